//! Blocks in the file.

use std::fmt::Write as _;

use rusqlite::{OptionalExtension, params};

use super::error::{Constraint, explain};
use super::rows::{all, damaged, id, typed};
use super::{Store, StoreError};
use crate::orchard::limits::MAX_NAME;
use crate::orchard::{Block, BlockDraft, BlockId, Row, RowPlan, Sides};

impl Store {
    /// All blocks, by name.
    pub fn blocks(&self) -> Result<Vec<Block>, StoreError> {
        let mut find = self
            .conn
            .prepare_cached("SELECT * FROM block ORDER BY name")?;
        all(find.query([])?, |row| {
            let block = BlockId(id(row, "id")?);
            let sides: String = row.get("sides")?;
            let draft = BlockDraft {
                name: typed(row, "name", MAX_NAME)?,
                variety: typed(row, "variety", MAX_NAME)?,
                rootstock: typed(row, "rootstock", MAX_NAME)?,
                planted: row.get("planted")?,
                row_spacing_m: row.get("row_spacing_m")?,
                tree_spacing_m: row.get("tree_spacing_m")?,
                stems: row.get("stems")?,
                sides: Sides::parse(&sides).map_err(damaged("block"))?,
                lean_deg: row.get("lean_deg")?,
                rows: self.row_plan(block)?,
            };
            Block::new(block, draft).map_err(damaged("block"))
        })
    }

    fn row_plan(&self, block: BlockId) -> Result<RowPlan, StoreError> {
        let mut rows = String::new();
        let mut missing = String::new();
        let mut find = self
            .conn
            .prepare_cached("SELECT number, places FROM block_row WHERE block = ?1")?;
        let mut found = find.query([block.0.as_bytes()])?;
        while let Some(row) = found.next()? {
            let _ = write!(rows, "{}x{},", row.get::<_, i64>(0)?, row.get::<_, i64>(1)?);
        }
        let mut find = self
            .conn
            .prepare_cached("SELECT row, place FROM missing_tree WHERE block = ?1")?;
        let mut found = find.query([block.0.as_bytes()])?;
        while let Some(row) = found.next()? {
            let _ = write!(
                missing,
                "{}:{},",
                row.get::<_, i64>(0)?,
                row.get::<_, i64>(1)?
            );
        }
        RowPlan::parse(&rows, &missing).map_err(damaged("block"))
    }

    /// Adds a block, or changes the one with this id. Rows and places that work or counts name
    /// cannot be taken away.
    pub fn save_block(&self, block: &Block) -> Result<(), StoreError> {
        self.atomically(|store| {
            store.upsert_block(block)?;
            store.drop_rows_not_in(block)?;
            block
                .rows
                .rows()
                .iter()
                .try_for_each(|row| store.upsert_row(block.id, row))
        })
    }

    fn upsert_block(&self, block: &Block) -> Result<(), StoreError> {
        let sql = "INSERT INTO block
            (id, name, variety, rootstock, planted, row_spacing_m, tree_spacing_m, stems, sides, lean_deg)
            VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10)
            ON CONFLICT (id) DO UPDATE SET name = ?2, variety = ?3, rootstock = ?4, planted = ?5,
            row_spacing_m = ?6, tree_spacing_m = ?7, stems = ?8, sides = ?9, lean_deg = ?10";
        let values = params![
            block.id.0.as_bytes(),
            block.name,
            block.variety,
            block.rootstock,
            block.planted,
            block.row_spacing_m,
            block.tree_spacing_m,
            block.stems,
            block.sides.word(),
            block.lean_deg
        ];
        explain(self.conn.execute(sql, values), Constraint::Taken, || {
            format!("there is another block called {}", block.name)
        })?;
        Ok(())
    }

    fn drop_rows_not_in(&self, block: &Block) -> Result<(), StoreError> {
        let key = block.id.0.as_bytes();
        let mut find = self
            .conn
            .prepare_cached("SELECT number FROM block_row WHERE block = ?1")?;
        let numbers = all(find.query([key])?, |row| Ok(row.get::<_, u16>(0)?))?;
        for number in numbers
            .into_iter()
            .filter(|number| block.rows.row(*number).is_none())
        {
            let gone = self.conn.execute(
                "DELETE FROM block_row WHERE block = ?1 AND number = ?2",
                params![key, number],
            );
            explain(gone, Constraint::InUse, || {
                format!(
                    "row {number} of block {} has work or counts, so it cannot be taken away",
                    block.name
                )
            })?;
        }
        Ok(())
    }

    fn upsert_row(&self, block: BlockId, row: &Row) -> Result<(), StoreError> {
        let key = block.0.as_bytes();
        let mut last = self.conn.prepare_cached(
            "SELECT max(place) FROM (
                SELECT max(last) AS place FROM work WHERE block = ?1 AND row = ?2
                UNION ALL SELECT max(tree) FROM tree_count WHERE block = ?1 AND row = ?2)",
        )?;
        let used: Option<u16> = last
            .query_row(params![key, row.number], |found| found.get(0))
            .optional()?
            .flatten();
        if let Some(used) = used.filter(|used| *used > row.places) {
            return Err(StoreError::InUse(format!(
                "row {} has work or counts up to place {used}, so it cannot be cut to {} places",
                row.number, row.places
            )));
        }
        self.conn.execute(
            "INSERT INTO block_row (block, number, places) VALUES (?1, ?2, ?3)
             ON CONFLICT DO UPDATE SET places = ?3",
            params![key, row.number, row.places],
        )?;
        self.conn.execute(
            "DELETE FROM missing_tree WHERE block = ?1 AND row = ?2",
            params![key, row.number],
        )?;
        let mut add = self
            .conn
            .prepare_cached("INSERT INTO missing_tree (block, row, place) VALUES (?1, ?2, ?3)")?;
        for place in &row.missing {
            add.execute(params![key, row.number, place])?;
        }
        Ok(())
    }

    /// Removes a block that has no work, count, draw or go-back row.
    pub fn remove_block(&self, block: BlockId) -> Result<(), StoreError> {
        explain(
            self.conn
                .execute("DELETE FROM block WHERE id = ?1", [block.0.as_bytes()]),
            Constraint::InUse,
            || "this block has work or counts, so it cannot be removed".to_owned(),
        )?;
        Ok(())
    }
}
