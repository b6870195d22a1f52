//! A block: trees of one planting, and the geometry that follows from its spacing.

use std::ops::Deref;

use super::limits::{LEAN_DEG, ROW_SPACING_M, STEMS, TREE_SPACING_M, YEARS, within};
use super::{BlockId, Faults, Invalid, RowPlan, name, optional_name};

/// Whether a tree's stems stand in one line along the row or lean out to both sides of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sides {
    /// All stems in one plane along the row.
    Flat,
    /// Half of the stems lean to each side of the row.
    TwoSided,
}

impl Sides {
    /// Both, in the order that forms show them.
    pub const ALL: [Self; 2] = [Self::Flat, Self::TwoSided];

    /// Planes of stems along the row: 1 or 2.
    fn planes(self) -> u8 {
        match self {
            Self::Flat => 1,
            Self::TwoSided => 2,
        }
    }

    /// The word in forms and files.
    pub fn word(self) -> &'static str {
        match self {
            Self::Flat => "flat",
            Self::TwoSided => "two-sided",
        }
    }

    /// Reads [`Sides::word`].
    pub fn parse(raw: &str) -> Result<Self, Invalid> {
        Self::ALL
            .into_iter()
            .find(|sides| sides.word() == raw.trim())
            .ok_or_else(|| Invalid::new("sides", format!("{raw:?} is neither flat nor two-sided")))
    }
}

/// What a block is made of, before it is checked.
#[derive(Debug, Clone, PartialEq)]
pub struct BlockDraft {
    /// What the crew calls it; unique in the orchard.
    pub name: String,
    /// The variety, such as Conference.
    pub variety: String,
    /// The rootstock; may be empty.
    pub rootstock: String,
    /// Year of planting, 1850 to 2199.
    pub planted: Option<i32>,
    /// Distance between rows, m, 0.5 to 20.
    pub row_spacing_m: f64,
    /// Distance between trees in the row, m, 0.2 to 20.
    pub tree_spacing_m: f64,
    /// Stems (leaders) a tree, 1 to 24.
    pub stems: u8,
    /// One plane of stems, or two.
    pub sides: Sides,
    /// How far the stems lean from upright, degrees, 0 to 80.
    pub lean_deg: f64,
    /// The rows and their trees.
    pub rows: RowPlan,
}

/// Nothing is known yet: trees of one upright stem, and what must be filled in is refused.
impl Default for BlockDraft {
    fn default() -> Self {
        Self {
            name: String::new(),
            variety: String::new(),
            rootstock: String::new(),
            planted: None,
            row_spacing_m: 0.0,
            tree_spacing_m: 0.0,
            stems: 1,
            sides: Sides::Flat,
            lean_deg: 0.0,
            rows: RowPlan::default(),
        }
    }
}

/// A checked block. Reads like its [`BlockDraft`].
#[derive(Debug, Clone, PartialEq)]
pub struct Block {
    /// `UUIDv7`, made when it was entered; the same on every tablet.
    pub id: BlockId,
    draft: BlockDraft,
}

impl Deref for Block {
    type Target = BlockDraft;
    fn deref(&self) -> &BlockDraft {
        &self.draft
    }
}

impl Block {
    /// Checks a draft.
    pub fn new(id: BlockId, mut draft: BlockDraft) -> Result<Self, Faults> {
        let mut faults = Faults::default();
        draft.name = faults.take(name("name", &draft.name));
        draft.variety = faults.take(optional_name("variety", &draft.variety));
        draft.rootstock = faults.take(optional_name("rootstock", &draft.rootstock));
        if let Some(year) = draft.planted {
            faults.take(within("planted", year, &YEARS));
        }
        faults.take(within("row_spacing_m", draft.row_spacing_m, &ROW_SPACING_M));
        faults.take(within(
            "tree_spacing_m",
            draft.tree_spacing_m,
            &TREE_SPACING_M,
        ));
        faults.take(within("stems", draft.stems, &STEMS));
        faults.take(within("lean_deg", draft.lean_deg, &LEAN_DEG));
        if draft.rows.rows().is_empty() {
            faults.add(Invalid::new("rows", "has no row").against(&["missing"]));
        }
        faults.or(Self { id, draft })
    }

    /// The block's data, to be changed and checked again.
    pub fn draft(&self) -> &BlockDraft {
        &self.draft
    }

    /// Trees per hectare that the spacing gives: 10,000 m² / (row spacing × tree spacing).
    pub fn trees_per_ha(&self) -> f64 {
        10_000.0 / (self.row_spacing_m * self.tree_spacing_m)
    }

    /// Stems per hectare.
    pub fn stems_per_ha(&self) -> f64 {
        self.trees_per_ha() * f64::from(self.stems)
    }

    /// Distance along the row between neighbouring stems of one plane, m:
    /// tree spacing × planes / stems.
    pub fn stem_gap_m(&self) -> f64 {
        self.tree_spacing_m * f64::from(self.sides.planes()) / f64::from(self.stems)
    }

    /// Area that the standing trees take, ha.
    pub fn area_ha(&self) -> f64 {
        f64::from(self.rows.trees()) / self.trees_per_ha()
    }

    /// Checks that a tree stands at this row and place.
    pub fn check_tree(&self, row: u16, tree: u16) -> Result<(), Invalid> {
        let found = self
            .rows
            .row(row)
            .ok_or_else(|| Invalid::new("row", format!("block {} has no row {row}", self.name)))?;
        if found.has_tree(tree) {
            Ok(())
        } else if found.missing.contains(&tree) {
            Err(Invalid::new(
                "tree",
                format!("row {row} has no tree at place {tree}: it is listed as missing"),
            ))
        } else {
            Err(Invalid::new(
                "tree",
                format!("row {row} has places 1 to {}, not {tree}", found.places),
            ))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drafts::block_draft;
    use uuid::Uuid;

    fn draft() -> BlockDraft {
        BlockDraft {
            rootstock: "Quince C".into(),
            planted: Some(2012),
            stems: 6,
            sides: Sides::TwoSided,
            lean_deg: 15.0,
            ..block_draft("River", "1-4x50", "2:7")
        }
    }

    fn block(draft: BlockDraft) -> Block {
        Block::new(BlockId(Uuid::nil()), draft).unwrap()
    }

    /// Geometry of common plantings: common practice, no source.
    #[test]
    fn geometry_follows_from_spacing() {
        let six = block(draft());
        assert_eq!(six.trees_per_ha().round() as u32, 1667);
        assert!((six.stem_gap_m() - 0.50).abs() < 1e-12);
        let four = block(BlockDraft {
            stems: 4,
            ..draft()
        });
        assert!((four.stem_gap_m() - 0.75).abs() < 1e-12);
        let old = block(BlockDraft {
            row_spacing_m: 5.5,
            tree_spacing_m: 5.0,
            stems: 1,
            sides: Sides::Flat,
            ..draft()
        });
        assert_eq!(old.trees_per_ha().round() as u32, 364);
        assert!((six.stems_per_ha() - 10_000.0).abs() < 1e-6);
        assert!((six.area_ha() - 199.0 * 6.0 / 10_000.0).abs() < 1e-12);
    }

    #[test]
    fn every_field_is_checked() {
        let id = BlockId(Uuid::nil());
        for (field, wrong) in [
            (
                "name",
                BlockDraft {
                    name: " ".into(),
                    ..draft()
                },
            ),
            (
                "variety",
                BlockDraft {
                    variety: "\u{7}".into(),
                    ..draft()
                },
            ),
            (
                "planted",
                BlockDraft {
                    planted: Some(12),
                    ..draft()
                },
            ),
            (
                "row_spacing_m",
                BlockDraft {
                    row_spacing_m: f64::NAN,
                    ..draft()
                },
            ),
            (
                "tree_spacing_m",
                BlockDraft {
                    tree_spacing_m: 0.0,
                    ..draft()
                },
            ),
            (
                "stems",
                BlockDraft {
                    stems: 0,
                    ..draft()
                },
            ),
            (
                "lean_deg",
                BlockDraft {
                    lean_deg: 90.0,
                    ..draft()
                },
            ),
            (
                "rows",
                BlockDraft {
                    rows: RowPlan::default(),
                    ..draft()
                },
            ),
        ] {
            assert_eq!(Block::new(id, wrong).unwrap_err()[0].field, field);
        }
    }

    #[test]
    fn a_tree_must_stand_where_it_is_counted() {
        let block = block(draft());
        assert!(block.check_tree(2, 8).is_ok());
        assert!(
            block
                .check_tree(2, 7)
                .unwrap_err()
                .problem
                .contains("missing")
        );
        assert!(
            block
                .check_tree(2, 51)
                .unwrap_err()
                .problem
                .contains("1 to 50")
        );
        assert!(
            block
                .check_tree(9, 1)
                .unwrap_err()
                .problem
                .contains("no row 9")
        );
    }
}
