//! Counts in the file: heads, taps, and the sums that the file keeps of them.

use rusqlite::{OptionalExtension, Row, params};

use super::rows::{all, damaged, day, id, optional_id, typed};
use super::tap_row::{decode, encode};
use super::{Store, StoreError};
use crate::orchard::limits::{MAX_BUDS, MAX_NAME, MAX_NOTE};
use crate::orchard::{
    BlockId, Chosen, CountHead, CountId, Names, Part, PrunerId, Stage, Stamp, Tally, Tap,
    TreeCount, WinterId,
};

/// Columns of a count's head, and then its sums, in the order that [`read`] takes them.
const HEAD: &str = "id, winter, block, row, tree, pruner, stage, stems, chosen, counter, at_ms, offset_min, day, \
    note, again, closed, zone, runs";
#[rustfmt::skip] // as they are laid out in a count
pub(super) const SUMS: [&str; 30] = [
    "one", "two", "three", "four", "upright", "thick_top",
    "thin0", "thin1", "thin2", "thin3", "thin4", "thin5", "thin6", "thin7",
    "medium0", "medium1", "medium2", "medium3", "medium4", "medium5", "medium6", "medium7",
    "thick0", "thick1", "thick2", "thick3", "thick4", "thick5", "thick6", "thick7",
];
const FIRST_SUM: usize = 18;

/// Which counts to read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CountFilter {
    /// All of a winter, open and closed.
    Winter(WinterId),
    /// Those of a winter that were not closed yet.
    Open(WinterId),
    /// Those of a winter that were taken out of the figures; only these.
    Removed(WinterId),
}

/// What a tap did.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Tapped {
    /// The tap's number within its count, from 1.
    pub seq: u32,
}

impl Store {
    /// Counts in order of their beginning; removed ones are left out but where they are asked for.
    pub fn counts(&self, filter: CountFilter) -> Result<Vec<TreeCount>, StoreError> {
        let mut counts = self.counts_as_typed(filter)?;
        let names = self.hidden_names()?;
        if !names.is_empty() {
            for count in &mut counts {
                hide(count, &names);
            }
        }
        Ok(counts)
    }

    fn counts_as_typed(&self, filter: CountFilter) -> Result<Vec<TreeCount>, StoreError> {
        let mut counts = Vec::new();
        self.each_count(filter, |count| {
            counts.push(count);
            Ok(())
        })?;
        Ok(counts)
    }

    /// Looks at counts one by one, as typed.
    pub(super) fn each_count(
        &self,
        filter: CountFilter,
        mut look: impl FnMut(TreeCount) -> Result<(), StoreError>,
    ) -> Result<(), StoreError> {
        let (winter, which) = match filter {
            CountFilter::Winter(winter) => (winter, "removed = 0"),
            CountFilter::Open(winter) => (winter, "removed = 0 AND closed = 0"),
            CountFilter::Removed(winter) => (winter, "removed = 1"),
        };
        let sql = format!(
            "SELECT {HEAD}, {} FROM tree_count WHERE winter = ?1 AND {which} ORDER BY at_ms, id",
            SUMS.join(", ")
        );
        let mut find = self.conn.prepare_cached(&sql)?;
        let mut rows = find.query([winter.0.as_bytes()])?;
        while let Some(row) = rows.next()? {
            look(read(row)?)?;
        }
        Ok(())
    }

    /// One count; also a removed one.
    pub fn count(&self, count: CountId) -> Result<Option<TreeCount>, StoreError> {
        let mut find = self.conn.prepare_cached(&format!(
            "SELECT {HEAD}, {} FROM tree_count WHERE id = ?1",
            SUMS.join(", ")
        ))?;
        let mut rows = find.query([count.0.as_bytes()])?;
        let mut found = rows.next()?.map(read).transpose()?;
        if let Some(count) = &mut found
            && !(count.head.note.is_empty() && count.head.counter.is_empty())
        {
            hide(count, &self.hidden_names()?);
        }
        Ok(found)
    }

    /// Begins a count without a tap. The head must have been checked against its block.
    pub fn begin_count(&self, count: CountId, head: &CountHead) -> Result<(), StoreError> {
        let (mut stems, mut zone, mut runs) = (None, None, None);
        match head.part {
            Part::Whole => {}
            Part::Stems(some) => stems = Some(some),
            Part::Zone(part) => zone = Some(part.word()),
            Part::Runs(drawn) => runs = Some(drawn.text()),
        }
        let mut add = self.conn.prepare_cached(
            "INSERT INTO tree_count (id, winter, block, row, tree, pruner, stage, stems, chosen, counter,
             at_ms, offset_min, day, note, again, zone, runs)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15, ?16, ?17)
             ON CONFLICT (id) DO UPDATE SET winter = ?2, block = ?3, row = ?4, tree = ?5, pruner = ?6, stage = ?7,
             stems = ?8, chosen = ?9, counter = ?10, at_ms = ?11, offset_min = ?12, day = ?13, note = ?14, again = ?15, zone = ?16,
             runs = ?17",
        )?;
        add.execute(params![
            count.0.as_bytes(),
            head.winter.0.as_bytes(),
            head.block.0.as_bytes(),
            head.row,
            head.tree,
            head.pruner.map(|pruner| *pruner.0.as_bytes()),
            head.stage.word(),
            stems,
            head.chosen.word(),
            head.counter,
            head.at.utc_ms,
            head.at.offset_min,
            head.at.day.to_string(),
            head.note,
            head.again,
            zone,
            runs
        ])?;
        Ok(())
    }

    /// Changes the head of a count.
    pub fn change_head(&self, count: CountId, head: &CountHead) -> Result<(), StoreError> {
        self.key(count)?;
        let id = [count.0.as_bytes()];
        let note = "SELECT note FROM tree_count WHERE id = ?1";
        let counter = "SELECT counter FROM tree_count WHERE id = ?1";
        let head = CountHead {
            note: self.as_typed(&head.note, note, id)?,
            counter: self.as_typed(&head.counter, counter, id)?,
            ..head.clone()
        };
        self.begin_count(count, &head)
    }

    fn key(&self, count: CountId) -> Result<i64, StoreError> {
        let mut find = self
            .conn
            .prepare_cached("SELECT key FROM tree_count WHERE id = ?1")?;
        find.query_row([count.0.as_bytes()], |row| row.get(0))
            .optional()?
            .ok_or(StoreError::Gone("count"))
    }

    /// Records one tap; on disk when this returns. `begin` is the head of a count that is not in
    /// the file yet: it is kept in the same transaction.
    pub fn tap(
        &self,
        count: CountId,
        begin: Option<&CountHead>,
        tap: Tap,
    ) -> Result<Tapped, StoreError> {
        let Some(head) = begin else {
            return self.add_tap(count, tap);
        };
        self.atomically(|store| {
            store.begin_count(count, head)?;
            store.add_tap(count, tap)
        })
    }

    /// One statement, so one transaction where none is open.
    fn add_tap(&self, count: CountId, tap: Tap) -> Result<Tapped, StoreError> {
        let (piece, size, buds, with_piece) = encode(tap);
        let mut add = self.conn.prepare_cached(
            "INSERT INTO tap (count, seq, piece, size, buds, with_piece, at_ms)
             SELECT key, 1 + coalesce((SELECT max(seq) FROM tap WHERE count = key), 0), ?2, ?3, ?4, ?5,
                CAST(unixepoch('now', 'subsec') * 1000 AS INTEGER)
             FROM tree_count WHERE id = ?1 AND removed = 0 AND closed = 0 RETURNING seq",
        )?;
        let mut rows = add.query(params![count.0.as_bytes(), piece, size, buds, with_piece])?;
        let tapped = match rows.next()? {
            Some(row) => Tapped { seq: row.get(0)? },
            None => return Err(StoreError::Gone("open count")),
        };
        // the statement commits when it has run to its end
        while rows.next()?.is_some() {}
        Ok(tapped)
    }

    /// Takes the last tap of a count back, and says which it was.
    pub fn undo_tap(&self, count: CountId) -> Result<Option<Tap>, StoreError> {
        let mut take = self.conn.prepare_cached(
            "DELETE FROM tap WHERE count = (SELECT key FROM tree_count WHERE id = ?1)
             AND seq = (SELECT max(seq) FROM tap WHERE count = (SELECT key FROM tree_count WHERE id = ?1))
             RETURNING piece, size, buds, with_piece",
        )?;
        let mut rows = take.query([count.0.as_bytes()])?;
        let tap = rows.next()?.map(decode).transpose()?;
        while rows.next()?.is_some() {}
        Ok(tap)
    }

    /// Takes the last tap of one kind off a count, wherever it stands in the order, and says how many stood before it;
    /// none where there is no such tap. Those after it move up. Buds of an earlier version, tapped by themselves, go where
    /// no piece with these buds is there.
    pub fn take_off(&self, count: CountId, tap: Tap) -> Result<Option<(usize, Tap)>, StoreError> {
        let by_itself = match tap {
            Tap::TwoYear(size, buds) => Some(Tap::Unit(size, buds)),
            _ => None,
        };
        self.atomically(|store| {
            let mut taps = store.taps(count)?;
            let last = |wanted: Tap| taps.iter().rposition(|known| *known == wanted);
            let Some(place) = last(tap).or_else(|| by_itself.and_then(last)) else {
                return Ok(None);
            };
            let off = taps.remove(place);
            store.set_taps(count, place, &taps)?;
            Ok(Some((place, off)))
        })
    }

    /// Puts a tap that was taken off back, behind the first `place` ones: the undoing of [`Store::take_off`].
    pub fn put_back(&self, count: CountId, place: usize, tap: Tap) -> Result<(), StoreError> {
        self.atomically(|store| {
            let mut taps = store.taps(count)?;
            let place = place.min(taps.len());
            taps.insert(place, tap);
            store.set_taps(count, place, &taps)
        })
    }

    /// Makes the taps of a count these, of which the first `place` stand already.
    fn set_taps(&self, count: CountId, place: usize, taps: &[Tap]) -> Result<(), StoreError> {
        let key = self.key(count)?;
        self.conn
            .prepare_cached("DELETE FROM tap WHERE count = ?1 AND seq > ?2")?
            .execute(params![key, place as i64])?;
        self.add_taps(key, place as i64 + 1, &taps[place..])
    }

    /// Adds taps with numbers from `first` on.
    fn add_taps(&self, key: i64, first: i64, taps: &[Tap]) -> Result<(), StoreError> {
        let mut add = self.conn.prepare_cached(
            "INSERT INTO tap (count, seq, piece, size, buds, with_piece) VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
        )?;
        for (tap, seq) in taps.iter().zip(first..) {
            let (piece, size, buds, with_piece) = encode(*tap);
            add.execute(params![key, seq, piece, size, buds, with_piece])?;
        }
        Ok(())
    }

    /// All taps of a count, first to last.
    pub fn taps(&self, count: CountId) -> Result<Vec<Tap>, StoreError> {
        let mut find = self.conn.prepare_cached(
            "SELECT piece, size, buds, with_piece FROM tap WHERE count = (SELECT key FROM tree_count WHERE id = ?1) ORDER BY seq",
        )?;
        all(find.query([count.0.as_bytes()])?, decode)
    }

    /// Says that a tree is done, or opens it again.
    pub fn close_count(&self, count: CountId, closed: bool) -> Result<(), StoreError> {
        let sql = "UPDATE tree_count SET closed = ?2 WHERE id = ?1";
        self.change("count", sql, params![count.0.as_bytes(), closed])
    }

    /// Takes a count out of all figures, or brings it back. Its taps stay in the file.
    pub fn remove_count(&self, count: CountId, removed: bool) -> Result<(), StoreError> {
        let sql = "UPDATE tree_count SET removed = ?2 WHERE id = ?1";
        self.change("count", sql, params![count.0.as_bytes(), removed])
    }

    /// Keeps a whole count, such as one from a table: its head, one tap for each thing counted.
    pub fn add_count(&self, count: &TreeCount) -> Result<(), StoreError> {
        self.atomically(|store| {
            store.begin_count(count.id, &count.head)?;
            let key = store.key(count.id)?;
            store
                .conn
                .prepare_cached("DELETE FROM tap WHERE count = ?1")?
                .execute([key])?;
            store.add_taps(key, 1, &count.tally.taps())?;
            store.close_count(count.id, count.closed)
        })
    }
}

/// Puts numbers for names in what was typed with a count.
fn hide(count: &mut TreeCount, names: &Names) {
    for text in [&mut count.head.note, &mut count.head.counter] {
        *text = names.hide(text).into_owned();
    }
}

/// Reads a row of [`HEAD`] and [`SUMS`]. By place: looking columns up by name takes longer than all the rest.
fn read(row: &Row<'_>) -> Result<TreeCount, StoreError> {
    let word = |column: usize| row.get_ref(column)?.as_str().map_err(rusqlite::Error::from);
    let stems: Option<u8> = row.get(7)?;
    let zone: Option<String> = row.get(16)?;
    let runs: Option<String> = row.get(17)?;
    let part = match zone.or(runs) {
        Some(part) => Part::parse(&part).map_err(damaged("count"))?,
        None => stems.map_or(Part::Whole, Part::Stems),
    };
    let at = Stamp::new(row.get(10)?, row.get(11)?, day(row, 12)?);
    let head = CountHead {
        winter: WinterId(id(row, 1)?),
        block: BlockId(id(row, 2)?),
        row: row.get(3)?,
        tree: row.get(4)?,
        pruner: optional_id(row, 5)?.map(PrunerId),
        stage: Stage::parse(word(6)?).map_err(damaged("count"))?,
        part,
        chosen: Chosen::parse(word(8)?).map_err(damaged("count"))?,
        counter: typed(row, 9, MAX_NAME)?,
        at: at.map_err(damaged("count"))?,
        note: typed(row, 13, MAX_NOTE)?,
        again: row.get(14)?,
    };
    Ok(TreeCount {
        id: CountId(id(row, 0)?),
        head,
        tally: tally(row, FIRST_SUM)?,
        closed: row.get(15)?,
        by_log: None,
        pruned_on: None,
    })
}

/// The columns of [`SUMS`], of which this is the first.
fn tally(row: &Row<'_>, first: usize) -> Result<Tally, StoreError> {
    let mut sums = (first..).map(|column| row.get::<_, u32>(column));
    let mut next = || sums.next().unwrap_or(Ok(0));
    let mut tally = Tally::default();
    for slot in &mut tally.ages {
        *slot = next()?;
    }
    tally.upright = next()?;
    tally.thick_top = next()?;
    for slot in tally.units.iter_mut().flatten() {
        *slot = next()?;
    }
    debug_assert_eq!(tally.units.len() * usize::from(MAX_BUDS + 1), 24);
    Ok(tally)
}

/// The sums that the file keeps of a count.
pub(super) struct Sums {
    /// The key that its taps name.
    pub key: i64,
    /// Which count.
    pub id: CountId,
    /// The sums.
    pub tally: Tally,
}

impl Sums {
    /// Reads those of all counts, in the order of their keys.
    pub fn query() -> String {
        format!(
            "SELECT key, id, {} FROM tree_count ORDER BY key",
            SUMS.join(", ")
        )
    }

    /// Reads a row of [`Sums::query`].
    pub fn read(row: &Row<'_>) -> Result<Self, StoreError> {
        Ok(Self {
            key: row.get(0)?,
            id: CountId(id(row, 1)?),
            tally: tally(row, 2)?,
        })
    }
}
