//! Taps with the time of each, to learn how long counting takes and how alike the pieces of one tree are.

use rusqlite::params;

use super::rows::damaged;
use super::tap_row::decode;
use super::{Store, StoreError};
use crate::orchard::{BlockId, Part, PieceRuns, PrunerId, Tap, WinterId};

/// A closed count by leaders and pieces, with its taps.
#[derive(Debug, Clone, PartialEq)]
pub struct TimedCount {
    /// The block.
    pub block: BlockId,
    /// Whom the counter named as who pruned the tree.
    pub pruner: Option<PrunerId>,
    /// Who counted; may be empty.
    pub counter: String,
    /// What was drawn.
    pub runs: PieceRuns,
    /// Each tap, and when it was made in milliseconds since 1970, where that is known.
    pub taps: Vec<(Tap, Option<i64>)>,
}

impl Store {
    /// The last counts after pruning by leaders and pieces of a winter, at most `most`, the oldest first.
    pub fn timed_counts(&self, winter: WinterId, most: u32) -> Result<Vec<TimedCount>, StoreError> {
        let mut find = self.conn.prepare_cached(
            "SELECT key, block, pruner, counter, runs FROM tree_count WHERE winter = ?1 AND runs IS NOT NULL
             AND closed = 1 AND removed = 0 AND stage = 'after' AND again = 0 ORDER BY at_ms DESC, id LIMIT ?2",
        )?;
        let mut taps = self.conn.prepare_cached(
            "SELECT piece, size, buds, with_piece, at_ms FROM tap WHERE count = ?1 ORDER BY seq",
        )?;
        let mut rows = find.query(params![winter.0.as_bytes(), most])?;
        let mut found = Vec::new();
        while let Some(row) = rows.next()? {
            let runs: String = row.get(4)?;
            let Part::Runs(runs) = Part::parse(&runs).map_err(damaged("count"))? else {
                continue;
            };
            let key: i64 = row.get(0)?;
            let mut of = taps.query([key])?;
            let mut made = Vec::new();
            while let Some(tap) = of.next()? {
                made.push((decode(tap)?, tap.get(4)?));
            }
            found.push(TimedCount {
                block: BlockId(super::rows::id(row, 1)?),
                pruner: super::rows::optional_id(row, 2)?.map(PrunerId),
                counter: row.get(3)?,
                runs,
                taps: made,
            });
        }
        found.reverse();
        Ok(found)
    }
}
