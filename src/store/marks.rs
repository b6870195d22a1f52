//! Marks on trees in the file.

use rusqlite::params;

use super::rows::{all, damaged, day, id, typed};
use super::{Store, StoreError};
use crate::orchard::limits::MAX_NOTE;
use crate::orchard::{BlockId, Mark, Marks, TreeMark, Winter};

impl Store {
    /// The marks on all trees that stand today, by place. Where a tree is gone, its mark waits in the file.
    pub fn marks(&self) -> Result<Vec<TreeMark>, StoreError> {
        let names = self.hidden_names()?;
        let mut find = self
            .conn
            .prepare_cached("SELECT * FROM tree_mark ORDER BY block, row, tree")?;
        let found = all(find.query([])?, |row| {
            let word = row.get_ref("mark")?.as_str();
            Ok(TreeMark {
                block: BlockId(id(row, "block")?),
                row: row.get("row")?,
                tree: row.get("tree")?,
                mark: Mark::parse(word.map_err(rusqlite::Error::from)?).map_err(damaged("mark"))?,
                note: names.hide(&typed(row, "note", MAX_NOTE)?).into_owned(),
                day: day(row, "day")?,
            })
        })?;
        if found.is_empty() {
            return Ok(found);
        }
        let blocks = self.blocks_by_id()?;
        let stands = |mark: &TreeMark| {
            let block = blocks.get(&mark.block);
            block.is_some_and(|block| block.check_tree(mark.row, mark.tree).is_ok())
        };
        Ok(found.into_iter().filter(stands).collect())
    }

    /// Those that hold for a winter: made before the next one begins.
    pub fn marks_in(&self, winter: &Winter) -> Result<Marks, StoreError> {
        let next = self.next_start(winter)?;
        let marks = self.marks()?.into_iter();
        let holds = |mark: &TreeMark| next.is_none_or(|next| mark.day < next);
        Ok(marks.filter(holds).collect())
    }

    /// The day that the winter after one begins.
    pub fn next_start(&self, winter: &Winter) -> Result<Option<chrono::NaiveDate>, StoreError> {
        let starts = self.winters()?.into_iter().map(|other| other.start);
        Ok(starts.filter(|start| *start > winter.start).min())
    }

    /// Marks a tree, or changes its mark.
    pub fn save_mark(&self, mark: &TreeMark) -> Result<(), StoreError> {
        let key = params![mark.block.0.as_bytes(), mark.row, mark.tree];
        let sql = "SELECT note FROM tree_mark WHERE block = ?1 AND row = ?2 AND tree = ?3";
        let note = self.as_typed(&mark.note, sql, key)?;
        let mut put = self.conn.prepare_cached(
            "INSERT INTO tree_mark (block, row, tree, mark, note, day) VALUES (?1, ?2, ?3, ?4, ?5, ?6)
             ON CONFLICT (block, row, tree) DO UPDATE SET mark = ?4, note = ?5, day = ?6",
        )?;
        put.execute(params![
            mark.block.0.as_bytes(),
            mark.row,
            mark.tree,
            mark.mark.word(),
            note,
            mark.day.to_string()
        ])?;
        Ok(())
    }

    /// Takes the mark off a tree.
    pub fn remove_mark(&self, (block, row, tree): (BlockId, u16, u16)) -> Result<(), StoreError> {
        let sql = "DELETE FROM tree_mark WHERE block = ?1 AND row = ?2 AND tree = ?3";
        self.change("mark", sql, params![block.0.as_bytes(), row, tree])
    }
}
