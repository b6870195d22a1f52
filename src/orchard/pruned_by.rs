//! Whose work a counted tree is: the log says, also where it is mended or filled in after the tree was counted. Whom a
//! count names holds where nothing is logged for the tree.

use std::collections::HashMap;

use chrono::NaiveDate;

use super::{BlockId, PrunerId, Stage, TreeCount, WorkEntry};

/// Who pruned a tree: block, row and place in the row, by a log in order of day, up to a day.
pub fn pruner_of(
    work: &[WorkEntry],
    (block, row, tree): (BlockId, u16, u16),
    until: NaiveDate,
) -> Option<PrunerId> {
    let latest_first = work.iter().rev();
    let of_row = latest_first.filter(|entry| (entry.block, entry.row) == (block, row));
    of_tree(of_row, tree, until)
}

/// The same by the entries of its row, the latest first.
fn of_tree<'w>(
    mut row: impl Iterator<Item = &'w WorkEntry>,
    tree: u16,
    until: NaiveDate,
) -> Option<PrunerId> {
    let holds =
        |entry: &&WorkEntry| entry.day <= until && (entry.first..=entry.last).contains(&tree);
    row.find(holds).map(|entry| entry.pruner)
}

/// Puts a count after pruning down to who pruned the tree, by a log in order of day.
pub fn put_down(work: &[WorkEntry], count: &mut TreeCount) {
    let head = &mut count.head;
    if head.stage == Stage::After {
        let place = (head.block, head.row, head.tree);
        head.pruner = pruner_of(work, place, head.at.day).or(head.pruner);
    }
}

/// The same of many counts, quicker.
pub fn put_down_all(work: &[WorkEntry], counts: &mut [TreeCount]) {
    let mut rows: HashMap<(BlockId, u16), Vec<&WorkEntry>> = HashMap::new();
    for entry in work.iter().rev() {
        rows.entry((entry.block, entry.row))
            .or_default()
            .push(entry);
    }
    for count in counts {
        let head = &mut count.head;
        if let (Stage::After, Some(row)) = (head.stage, rows.get(&(head.block, head.row))) {
            let known = of_tree(row.iter().copied(), head.tree, head.at.day);
            head.pruner = known.or(head.pruner);
        }
    }
}
