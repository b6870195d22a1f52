//! Blocks and pruners to begin tests with, of the invented orchard; a test names what matters to it and takes the rest
//! from here. Tests within the library use this file too.
#![allow(dead_code)] // each test binary uses its own part of this

use thirdwood::orchard::{BlockDraft, PrunerDraft, RowPlan};

/// A block of trees with four stems, 4 m by 1.5 m.
pub fn block_draft(name: &str, rows: &str, missing: &str) -> BlockDraft {
    BlockDraft {
        name: name.to_owned(),
        variety: "Conference".to_owned(),
        rootstock: "Quince A".to_owned(),
        planted: Some(2015),
        row_spacing_m: 4.0,
        tree_spacing_m: 1.5,
        stems: 4,
        rows: RowPlan::parse(rows, missing).unwrap(),
        ..BlockDraft::default()
    }
}

/// A pruner who works this winter.
pub fn pruner_draft(number: u16, name: &str) -> PrunerDraft {
    PrunerDraft {
        number,
        name: name.to_owned(),
        label: String::new(),
        active: true,
        number_only: false,
        language: String::new(),
    }
}
