//! Whose work a counted tree is.

use std::collections::HashMap;

use chrono::NaiveDate;

use super::season::{Place, Season};
use crate::orchard::{BlockId, PrunerId, Stage, TreeCount, WorkEntry};

/// Who pruned a tree, by the entries of its row up to a day, the latest first.
///
/// The log decides, also where it was mended or filled in after the tree was counted. Another pruner can be named on a
/// count where the log cannot know: who worked in the row too, and is nowhere said to have pruned this tree.
fn of_tree<'w>(
    row: impl Iterator<Item = &'w WorkEntry> + Clone,
    tree: u16,
    until: NaiveDate,
    named: Option<PrunerId>,
) -> Option<PrunerId> {
    let row = row.filter(|entry| entry.day <= until);
    let holds = |entry: &WorkEntry| (entry.first..=entry.last).contains(&tree);
    let Some(last) = row.clone().find(|entry| holds(entry)) else {
        return named;
    };
    let mut theirs = row.filter(|entry| Some(entry.pruner) == named).peekable();
    let shares_the_row = theirs.peek().is_some() && !theirs.any(holds);
    if shares_the_row {
        named
    } else {
        Some(last.pruner)
    }
}

impl Season {
    /// Who pruned a tree, by the log up to a day.
    pub fn pruner_of(&self, place: Place, until: NaiveDate) -> Option<PrunerId> {
        self.pruner_of_named(place, until, None)
    }

    /// Whose a count of a tree is that names a pruner: the one who the log says, or who is named where the log leaves
    /// that open.
    pub fn pruner_of_named(
        &self,
        (block, row, tree): Place,
        until: NaiveDate,
        named: Option<PrunerId>,
    ) -> Option<PrunerId> {
        let latest_first = self.work.iter().rev();
        let of_row = latest_first.filter(|entry| (entry.block, entry.row) == (block, row));
        of_tree(of_row, tree, until, named)
    }

    /// Puts a count after pruning down to who pruned the tree.
    pub(super) fn put_down(&self, count: &mut TreeCount) {
        let head = &mut count.head;
        if head.stage == Stage::After {
            let place = (head.block, head.row, head.tree);
            head.pruner = self.pruner_of_named(place, head.at.day, head.pruner);
        }
    }
}

/// Puts counts after pruning down to who pruned the trees, by the log in order of day.
pub(super) fn put_down_all(work: &[WorkEntry], counts: &mut [TreeCount]) {
    let mut rows: HashMap<(BlockId, u16), Vec<&WorkEntry>> = HashMap::new();
    for entry in work.iter().rev() {
        rows.entry((entry.block, entry.row))
            .or_default()
            .push(entry);
    }
    for count in counts {
        let head = &mut count.head;
        if let (Stage::After, Some(row)) = (head.stage, rows.get(&(head.block, head.row))) {
            let row = row.iter().copied();
            head.pruner = of_tree(row, head.tree, head.at.day, head.pruner);
        }
    }
}
