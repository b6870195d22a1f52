//! The taps of a count as one short text: `1` to `4` a piece of that age, `u` upright wood, `t` thick wood in the
//! top, a two-year piece with its buds as its size (`A` thin, `B` medium, `C` thick) and its buds, `B3`; in the order they were
//! made. Small letters are buds tapped by themselves, as earlier versions counted them.

use rusqlite::{Connection, params, params_from_iter};

use super::super::StoreError;
use super::super::counts::SUMS;
use super::body;

/// A tap as its columns: piece, size, buds, and whether these are a two-year piece too.
type Columns = (i64, Option<i64>, Option<i64>, bool);

/// The place of two-year pieces among [`SUMS`].
const TWO: usize = 1;

/// The taps of a count.
pub(super) fn read(conn: &Connection, key: &str) -> Result<String, StoreError> {
    let id = body::id(key).unwrap_or_default();
    let mut find = conn.prepare_cached(
        "SELECT piece, size, buds, with_piece FROM tap WHERE count = (SELECT key FROM tree_count WHERE id = ?1) ORDER BY seq",
    )?;
    let mut rows = find.query([id.as_bytes()])?;
    let mut text = String::new();
    while let Some(row) = rows.next()? {
        let digit = |n: i64| char::from(b'0' + n.clamp(0, 9) as u8);
        match row.get::<_, i64>(0)? {
            0 => {
                let first = if row.get(3)? { b'A' } else { b'a' };
                text.push(char::from(first + row.get::<_, i64>(1)?.clamp(0, 2) as u8));
                text.push(digit(row.get(2)?));
            }
            5 => text.push('u'),
            6 => text.push('t'),
            age => text.push(digit(age)),
        }
    }
    Ok(text)
}

/// Reads the text.
pub(super) fn parse(text: &str) -> Result<Vec<Columns>, StoreError> {
    let mut taps = Vec::new();
    let mut marks = text.bytes();
    while let Some(mark) = marks.next() {
        let tap = match mark {
            b'1'..=b'4' => (i64::from(mark - b'0'), None, None, false),
            b'u' => (5, None, None, false),
            b't' => (6, None, None, false),
            b'a'..=b'c' | b'A'..=b'C' => match marks.next() {
                Some(buds @ b'0'..=b'7') => (
                    0,
                    Some(i64::from(mark.to_ascii_lowercase() - b'a')),
                    Some(i64::from(buds - b'0')),
                    mark.is_ascii_uppercase(),
                ),
                _ => {
                    return Err(StoreError::Bundle(
                        "a unit of a count has no buds".to_owned(),
                    ));
                }
            },
            _ => {
                return Err(StoreError::Bundle(
                    "a count has a tap that is none".to_owned(),
                ));
            }
        };
        taps.push(tap);
    }
    Ok(taps)
}

/// Puts these taps in the place of those that a count has, and their sums in the count.
pub(super) fn write(conn: &Connection, key: &str, text: &str) -> Result<(), StoreError> {
    let id = body::id(key).unwrap_or_default();
    let count: i64 = conn
        .prepare_cached("SELECT key FROM tree_count WHERE id = ?1")?
        .query_row([id.as_bytes()], |row| row.get(0))?;
    conn.prepare_cached("DELETE FROM tap WHERE count = ?1")?
        .execute([count])?;
    let mut add = conn.prepare_cached(
        "INSERT INTO tap (count, seq, piece, size, buds, with_piece) VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
    )?;
    let mut sums = [0i64; SUMS.len()];
    for ((piece, size, buds, with_piece), seq) in parse(text)?.into_iter().zip(1i64..) {
        add.execute(params![count, seq, piece, size, buds, with_piece])?;
        sums[TWO] += i64::from(with_piece);
        let slot = match (size, buds) {
            (Some(size), Some(buds)) => 6 + size * 8 + buds,
            _ => piece - 1,
        };
        sums[slot as usize] += 1;
    }
    let set: Vec<String> = (2..)
        .zip(SUMS)
        .map(|(at, column)| format!("{column} = ?{at}"))
        .collect();
    let sql = format!("UPDATE tree_count SET {} WHERE key = ?1", set.join(", "));
    conn.prepare_cached(&sql)?
        .execute(params_from_iter(std::iter::once(count).chain(sums)))?;
    Ok(())
}
