//! Draws in the file.

use rusqlite::params;

use super::rows::{all, damaged, day, id};
use super::{Store, StoreError};
use crate::orchard::{BlockId, Draw, DrawId, DrawnTree, Fate, PrunerId, WinterId};

impl Store {
    /// The draws of a winter, oldest first, each tree with what became of it.
    pub fn draws(&self, winter: WinterId) -> Result<Vec<Draw>, StoreError> {
        let mut find = self
            .conn
            .prepare_cached("SELECT * FROM draw WHERE winter = ?1 ORDER BY day, id")?;
        all(find.query([winter.0.as_bytes()])?, |row| {
            let draw = DrawId(id(row, "id")?);
            Ok(Draw {
                id: draw,
                winter,
                day: day(row, "day")?,
                since: day(row, "since")?,
                until: day(row, "until")?,
                seed: row.get::<_, i64>("seed")? as u64,
                trees: self.drawn_trees(draw)?,
            })
        })
    }

    fn drawn_trees(&self, draw: DrawId) -> Result<Vec<DrawnTree>, StoreError> {
        // a tree is counted once a closed count after pruning stands for it
        let mut find = self.conn.prepare_cached(
            "SELECT t.*, EXISTS (
                SELECT 1 FROM tree_count c WHERE c.block = t.block AND c.row = t.row AND c.tree = t.tree
                AND c.winter = d.winter AND c.stage = 'after' AND c.closed = 1 AND c.removed = 0 AND c.day >= d.day
             ) AS counted
             FROM drawn_tree t JOIN draw d ON d.id = t.draw WHERE t.draw = ?1 ORDER BY t.place",
        )?;
        all(find.query([draw.0.as_bytes()])?, |row| {
            let skipped: Option<String> = row.get("skipped")?;
            let fate = match (row.get("counted")?, skipped) {
                (true, _) => Fate::Counted,
                (false, Some(reason)) => Fate::skipped(&reason).map_err(damaged("drawn tree"))?,
                (false, None) => Fate::Waiting,
            };
            Ok(DrawnTree {
                block: BlockId(id(row, "block")?),
                row: row.get("row")?,
                tree: row.get("tree")?,
                pruner: PrunerId(id(row, "pruner")?),
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
                "INSERT INTO drawn_tree (draw, place, block, row, tree, pruner, skipped)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
            )?;
            for (tree, place) in draw.trees.iter().zip(0i64..) {
                let skipped = match &tree.fate {
                    Fate::Skipped(reason) => Some(reason),
                    Fate::Waiting | Fate::Counted => None,
                };
                add.execute(params![
                    draw.id.0.as_bytes(),
                    place,
                    tree.block.0.as_bytes(),
                    tree.row,
                    tree.tree,
                    tree.pruner.0.as_bytes(),
                    skipped
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
        let changed = self.conn.execute(
            "UPDATE drawn_tree SET skipped = ?3 WHERE draw = ?1 AND place = ?2",
            params![draw.0.as_bytes(), place as i64, reason],
        )?;
        if changed == 0 {
            Err(StoreError::Gone("drawn tree"))
        } else {
            Ok(())
        }
    }
}
