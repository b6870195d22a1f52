//! Looking a database over: whether its pages, references, sums and values fit.

use std::cmp::Ordering;

use rusqlite::{Connection, Rows};

use super::counts::Sums;
use super::tap_row::decode;
use super::{CountFilter, Store, StoreError, migrate};
use crate::orchard::{Tally, Tap};

/// Problems of a kind that are told.
const TOLD: usize = 20;

/// What a problem of the database's pages begins with.
pub(super) const PAGES: &str = "pages: ";

impl Store {
    /// Reads all that the domain has to allow.
    pub(super) fn read_everything(&self) -> Result<(), StoreError> {
        self.blocks()?;
        self.pruners()?;
        for winter in self.winters()? {
            self.rules(winter.id)?;
            self.work(winter.id)?;
            self.draws(winter.id)?;
            self.go_backs(winter.id)?;
            self.labour(winter.id)?;
            self.crop_book(winter.id)?;
            self.each_count(CountFilter::Winter(winter.id), |_| Ok(()))?;
            self.each_count(CountFilter::Removed(winter.id), |_| Ok(()))?;
        }
        Ok(())
    }
}

/// Adds what it finds.
type Look = fn(&Connection, &mut Vec<String>) -> Result<(), StoreError>;

/// What does not fit in a database, a line each: pages, indexes and limits; references; the schema; running sums
/// against taps. Damage that keeps it from being read is a line too.
pub(super) fn inspect(conn: &Connection) -> Result<Vec<String>, StoreError> {
    let mut problems = Vec::new();
    let looks: [Look; 4] = [pages, references, schema, sums];
    for look in looks {
        match look(conn, &mut problems) {
            Err(
                e @ (StoreError::Corrupt(_) | StoreError::Sqlite(_) | StoreError::Damaged { .. }),
            ) => {
                problems.push(e.to_string());
            }
            outcome => outcome?,
        }
        // what is read from broken pages says nothing more
        if !problems.is_empty() {
            break;
        }
    }
    Ok(problems)
}

/// As [`inspect`], and that every value is one that the domain allows: for backups, which must be beyond doubt.
/// Files of earlier versions are read once they are brought up. Gives the connection back.
pub(super) fn inspect_values(conn: Connection) -> Result<(Connection, Vec<String>), StoreError> {
    let mut problems = inspect(&conn)?;
    let newest = migrate::version(&conn)? == migrate::known();
    let store = Store {
        conn,
        path: std::path::PathBuf::new(),
        warning: None,
        opened: None,
        unwritable: None,
        numbers_only: false,
    };
    if newest && problems.is_empty() {
        problems.extend(store.read_everything().err().map(|e| e.to_string()));
    }
    Ok((store.conn, problems))
}

fn each_text(conn: &Connection, sql: &str, mut take: impl FnMut(String)) -> Result<(), StoreError> {
    let mut find = conn.prepare(sql)?;
    let mut rows = find.query([])?;
    while let Some(row) = rows.next()? {
        take(row.get(0)?);
    }
    Ok(())
}

fn pages(conn: &Connection, problems: &mut Vec<String>) -> Result<(), StoreError> {
    each_text(conn, &format!("PRAGMA integrity_check({TOLD})"), |line| {
        // the database tells several in one, below a line that says of which file
        let told = line.lines().map(str::trim);
        let told =
            told.filter(|line| !(line.is_empty() || *line == "ok" || line.starts_with("***")));
        problems.extend(told.map(|line| format!("{PAGES}{line}")));
    })
}

fn references(conn: &Connection, problems: &mut Vec<String>) -> Result<(), StoreError> {
    let sql = format!(
        "SELECT \"table\" || ' refers to a missing ' || parent FROM pragma_foreign_key_check LIMIT {TOLD}"
    );
    each_text(conn, &sql, |line| {
        problems.push(format!("references: {line}"));
    })
}

/// The tables, triggers and limits are those that the program made: a changed letter in one would let wrong
/// things in. Files of earlier versions are looked at once they are brought up.
fn schema(conn: &Connection, problems: &mut Vec<String>) -> Result<(), StoreError> {
    if migrate::version(conn)? != migrate::known() {
        return Ok(());
    }
    let made = Store::in_memory()?;
    let read = |conn: &Connection| {
        let mut parts = Vec::new();
        each_text(
            conn,
            "SELECT type || ' ' || name || ' of ' || tbl_name || ': ' || coalesce(sql, '') FROM sqlite_schema
             WHERE name NOT LIKE 'sqlite_stat%' ORDER BY type, name",
            |part| parts.push(part),
        )?;
        Ok::<_, StoreError>(parts)
    };
    if read(conn)? != read(&made.conn)? {
        problems.push("its tables are not as this program makes them".to_owned());
    }
    Ok(())
}

/// Each count's sums against its taps, in one pass through both in the order of their keys. Taps have the
/// numbers 1, 2, 3 and so on: the last is taken back first.
fn sums(conn: &Connection, problems: &mut Vec<String>) -> Result<(), StoreError> {
    let mut find = conn
        .prepare("SELECT piece, size, buds, with_piece, count, seq FROM tap ORDER BY count, seq")?;
    let mut taps = Taps::new(find.query([])?)?;
    let mut find = conn.prepare(&Sums::query())?;
    let mut counts = find.query([])?;
    while let Some(row) = counts.next()? {
        let kept = Sums::read(row)?;
        let mut again = Tally::default();
        let mut wanted = 1;
        let mut fits = true;
        while let Some((key, seq, tap)) = taps.here {
            match key.cmp(&kept.key) {
                Ordering::Less => fits = false,
                Ordering::Greater => break,
                Ordering::Equal => {
                    fits &= seq == wanted && again.add(tap).is_ok();
                    wanted += 1;
                }
            }
            taps.step()?;
        }
        if (!fits || again != kept.tally) && problems.len() < TOLD {
            problems.push(format!("count {}: its sums differ from its taps", kept.id));
        }
    }
    Ok(())
}

/// Taps one by one, each with the key of its count and its number.
struct Taps<'s> {
    rows: Rows<'s>,
    here: Option<(i64, i64, Tap)>,
}

impl<'s> Taps<'s> {
    fn new(rows: Rows<'s>) -> Result<Self, StoreError> {
        let mut taps = Self { rows, here: None };
        taps.step()?;
        Ok(taps)
    }

    fn step(&mut self) -> Result<(), StoreError> {
        self.here = match self.rows.next()? {
            Some(row) => Some((row.get(4)?, row.get(5)?, decode(row)?)),
            None => None,
        };
        Ok(())
    }
}
