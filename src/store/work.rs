//! The work log in the file.

use std::collections::HashMap;

use rusqlite::params;

use super::rows::{all, damaged, day, id, optional_id};
use super::{Store, StoreError};
use crate::orchard::{
    Block, BlockId, How, Invalid, PrunerId, WinterId, WorkDraft, WorkEntry, WorkId, WorkKind, Zone,
};

impl Store {
    /// The work of a winter, in order of day.
    pub fn work(&self, winter: WinterId) -> Result<Vec<WorkEntry>, StoreError> {
        let blocks = self.blocks_by_id()?;
        let mut find = self.conn.prepare_cached(
            "SELECT * FROM work WHERE winter = ?1 AND removed = 0 ORDER BY day, id",
        )?;
        all(find.query([winter.0.as_bytes()])?, |row| {
            let block = BlockId(id(row, "block")?);
            let draft = WorkDraft {
                winter,
                pruner: PrunerId(id(row, "pruner")?),
                block,
                row: row.get("row")?,
                first: row.get("first")?,
                last: row.get("last")?,
                day: day(row, "day")?,
                minutes: row.get("minutes")?,
                how: how(row)?,
            };
            let block = blocks.get(&block).ok_or_else(|| {
                damaged("work entry")(Invalid::new("block", "is not in the file"))
            })?;
            WorkEntry::known(WorkId(id(row, "id")?), draft, block).map_err(damaged("work entry"))
        })
    }

    pub(super) fn blocks_by_id(&self) -> Result<HashMap<BlockId, Block>, StoreError> {
        Ok(self
            .blocks()?
            .into_iter()
            .map(|block| (block.id, block))
            .collect())
    }

    /// Adds an entry, or changes the one with this id.
    pub fn save_work(&self, entry: &WorkEntry) -> Result<(), StoreError> {
        let mut put = self.conn.prepare_cached(
            "INSERT INTO work (id, winter, pruner, block, row, first, last, day, minutes, kind, zone, share, team)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13)
             ON CONFLICT (id) DO UPDATE SET winter = ?2, pruner = ?3, block = ?4, row = ?5, first = ?6, last = ?7,
             day = ?8, minutes = ?9, kind = ?10, zone = ?11, share = ?12, team = ?13, removed = 0",
        )?;
        put.execute(params![
            entry.id.0.as_bytes(),
            entry.winter.0.as_bytes(),
            entry.pruner.0.as_bytes(),
            entry.block.0.as_bytes(),
            entry.row,
            entry.first,
            entry.last,
            entry.day.to_string(),
            entry.minutes,
            entry.how.kind.word(),
            entry.how.zone.word(),
            entry.how.share,
            entry.how.team.map(|team| *team.0.as_bytes())
        ])?;
        Ok(())
    }

    /// Takes an entry out of the log. [`Store::save_work`] brings it back.
    pub fn remove_work(&self, entry: WorkId) -> Result<(), StoreError> {
        let sql = "UPDATE work SET removed = 1 WHERE id = ?1";
        self.change("work entry", sql, [entry.0.as_bytes()])
    }
}

/// What was done of the trees, and with whom.
fn how(row: &rusqlite::Row<'_>) -> Result<How, StoreError> {
    let word = |column| row.get_ref(column)?.as_str().map_err(rusqlite::Error::from);
    Ok(How {
        kind: WorkKind::parse(word("kind")?).map_err(damaged("work entry"))?,
        zone: Zone::parse(word("zone")?).map_err(damaged("work entry"))?,
        share: row.get("share")?,
        team: optional_id(row, "team")?.map(WorkId),
    })
}
