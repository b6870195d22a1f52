//! Draws in the file.

use rusqlite::params;
use rusqlite::types::ValueRef;

use super::rows::{all, damaged, day, id, typed};
use super::{Store, StoreError};
use crate::orchard::limits::MAX_NOTE;
use crate::orchard::{
    BlockId, Draw, DrawId, DrawnTree, Fate, Names, PieceRuns, PrunerId, WinterId,
};

impl Store {
    /// The draws of a winter, oldest first.
    pub fn draws(&self, winter: WinterId) -> Result<Vec<Draw>, StoreError> {
        let mut find = self
            .conn
            .prepare_cached("SELECT * FROM draw WHERE winter = ?1 ORDER BY day, id")?;
        let mut draws = all(find.query([winter.0.as_bytes()])?, |row| {
            Ok(Draw {
                id: DrawId(id(row, "id")?),
                winter,
                day: day(row, "day")?,
                since: day(row, "since")?,
                until: day(row, "until")?,
                seed: row.get::<_, i64>("seed")? as u64,
                trees: Vec::new(),
            })
        })?;
        let names = self.hidden_names()?;
        for draw in &mut draws {
            draw.trees = self.drawn_trees(draw.id, &names)?;
        }
        Ok(draws)
    }

    fn drawn_trees(&self, draw: DrawId, names: &Names) -> Result<Vec<DrawnTree>, StoreError> {
        let mut find = self.conn.prepare_cached(
            "SELECT block, row, tree, pruner, skipped, runs FROM drawn_tree WHERE draw = ?1 ORDER BY place",
        )?;
        all(find.query([draw.0.as_bytes()])?, |row| {
            let fate = if row.get_ref(4)? == ValueRef::Null {
                Fate::Waiting
            } else {
                let reason = typed(row, 4, MAX_NOTE)?;
                Fate::skipped(&names.hide(&reason)).map_err(damaged("drawn tree"))?
            };
            let runs: Option<String> = row.get(5)?;
            let runs = runs.map(|text| PieceRuns::parse(&text)).transpose();
            Ok(DrawnTree {
                block: BlockId(id(row, 0)?),
                row: row.get(1)?,
                tree: row.get(2)?,
                pruner: PrunerId(id(row, 3)?),
                runs: runs.map_err(damaged("drawn tree"))?,
                fate,
            })
        })
    }

    /// Keeps a new draw.
    pub fn add_draw(&self, draw: &Draw) -> Result<(), StoreError> {
        self.atomically(|store| {
            store.conn.execute(
                "INSERT INTO draw (id, winter, day, since, until, seed) VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
                params![
                    draw.id.0.as_bytes(),
                    draw.winter.0.as_bytes(),
                    draw.day.to_string(),
                    draw.since.to_string(),
                    draw.until.to_string(),
                    draw.seed as i64
                ],
            )?;
            let mut add = store.conn.prepare_cached(
                "INSERT INTO drawn_tree (draw, place, block, row, tree, pruner, skipped, runs)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
            )?;
            for (tree, place) in draw.trees.iter().zip(0i64..) {
                let skipped = match &tree.fate {
                    Fate::Skipped(reason) => Some(reason),
                    Fate::Waiting => None,
                };
                add.execute(params![
                    draw.id.0.as_bytes(),
                    place,
                    tree.block.0.as_bytes(),
                    tree.row,
                    tree.tree,
                    tree.pruner.0.as_bytes(),
                    skipped,
                    tree.runs.map(|runs| runs.text())
                ])?;
            }
            Ok(())
        })
    }

    /// Notes why a drawn tree is left out; `None` puts it back on the list.
    pub fn skip_drawn(
        &self,
        draw: DrawId,
        place: usize,
        reason: Option<&str>,
    ) -> Result<(), StoreError> {
        let key = params![draw.0.as_bytes(), place as i64];
        let sql = "SELECT skipped FROM drawn_tree WHERE draw = ?1 AND place = ?2";
        let reason = reason
            .map(|reason| self.as_typed(reason, sql, key))
            .transpose()?;
        let sql = "UPDATE drawn_tree SET skipped = ?3 WHERE draw = ?1 AND place = ?2";
        let values = params![draw.0.as_bytes(), place as i64, reason];
        self.change("drawn tree", sql, values)
    }
}
