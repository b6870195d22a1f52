//! Rules in the file.

use std::collections::BTreeMap;

use rusqlite::{Row, params};

use super::rows::{all, damaged, optional_id};
use super::{Store, StoreError};
use crate::orchard::{Age, BlockId, BudLimit, Invalid, Rule, RuleDraft, WinterId};

/// The rules of one winter.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Rules {
    /// Holds where a block has none of its own.
    pub general: Rule,
    /// Blocks with their own.
    pub by_block: BTreeMap<BlockId, Rule>,
}

impl Rules {
    /// The rule that holds in a block.
    pub fn of(&self, block: BlockId) -> &Rule {
        self.by_block.get(&block).unwrap_or(&self.general)
    }
}

impl Store {
    /// The rules of a winter; the house's default where none was set.
    pub fn rules(&self, winter: WinterId) -> Result<Rules, StoreError> {
        let mut find = self
            .conn
            .prepare_cached("SELECT * FROM rule WHERE winter = ?1")?;
        let mut rules = Rules::default();
        for (block, rule) in all(find.query([winter.0.as_bytes()])?, read)? {
            match block {
                Some(block) => drop(rules.by_block.insert(block, rule)),
                None => rules.general = rule,
            }
        }
        Ok(rules)
    }

    /// Sets the rule of a winter (`block` = `None`) or of one block in it.
    pub fn save_rule(
        &self,
        winter: WinterId,
        block: Option<BlockId>,
        rule: &Rule,
    ) -> Result<(), StoreError> {
        self.atomically(|store| {
            store.clear_rule(winter, block)?;
            let [thin, medium, thick] = rule.buds;
            store.conn.execute(
                "INSERT INTO rule VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15, ?16, ?17,
                 ?18, ?19, ?20)",
                params![
                    winter.0.as_bytes(),
                    block.map(|block| *block.0.as_bytes()),
                    rule.parts[0],
                    rule.parts[1],
                    rule.parts[2],
                    rule.parts[3],
                    rule.tolerance[0],
                    rule.tolerance[1],
                    rule.tolerance[2],
                    rule.tolerance[3],
                    rule.oldest.index() as i64 + 1,
                    thin.least,
                    thin.most,
                    medium.least,
                    medium.most,
                    thick.least,
                    thick.most,
                    rule.diameters_mm[0],
                    rule.diameters_mm[1],
                    rule.compliance
                ],
            )?;
            Ok(())
        })
    }

    /// Takes a rule away, so that the more general one holds again.
    pub fn clear_rule(&self, winter: WinterId, block: Option<BlockId>) -> Result<(), StoreError> {
        self.conn.execute(
            "DELETE FROM rule WHERE winter = ?1 AND block IS ?2",
            params![winter.0.as_bytes(), block.map(|block| *block.0.as_bytes())],
        )?;
        Ok(())
    }
}

fn read(row: &Row<'_>) -> Result<(Option<BlockId>, Rule), StoreError> {
    let limit = |least, most| -> Result<BudLimit, StoreError> {
        Ok(BudLimit {
            least: row.get(least)?,
            most: row.get(most)?,
        })
    };
    let oldest: i64 = row.get("oldest")?;
    let oldest = Age::ALL
        .into_iter()
        .find(|age| age.index() as i64 + 1 == oldest)
        .ok_or_else(|| damaged("rule")(Invalid::new("oldest", format!("{oldest} is no age"))))?;
    let draft = RuleDraft {
        parts: [
            row.get("part_one")?,
            row.get("part_two")?,
            row.get("part_three")?,
            row.get("part_four")?,
        ],
        tolerance: [
            row.get("tolerance_one")?,
            row.get("tolerance_two")?,
            row.get("tolerance_three")?,
            row.get("tolerance_four")?,
        ],
        oldest,
        buds: [
            limit("thin_least", "thin_most")?,
            limit("medium_least", "medium_most")?,
            limit("thick_least", "thick_most")?,
        ],
        diameters_mm: [row.get("medium_from_mm")?, row.get("thick_from_mm")?],
        compliance: row.get("compliance")?,
    };
    Ok((
        optional_id(row, "block")?.map(BlockId),
        Rule::new(draft).map_err(damaged("rule"))?,
    ))
}
