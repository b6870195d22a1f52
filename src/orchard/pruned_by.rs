//! Whose work a counted tree is: the log says, also where it is mended or filled in after the tree was counted. Whom a
//! count names holds where nothing is logged for the tree.

use chrono::NaiveDate;
use rustc_hash::FxHashMap;

use super::{BlockId, PrunerId, Stage, TreeCount, WorkEntry};

/// A log by its rows, the latest entry first: quick where many trees are asked for.
pub struct RowLog<'w>(FxHashMap<(BlockId, u16), Vec<&'w WorkEntry>>);

impl<'w> RowLog<'w> {
    /// Of a log in order of day.
    pub fn of(work: impl DoubleEndedIterator<Item = &'w WorkEntry>) -> Self {
        let mut rows: FxHashMap<_, Vec<_>> = FxHashMap::default();
        for entry in work.rev() {
            rows.entry((entry.block, entry.row))
                .or_default()
                .push(entry);
        }
        Self(rows)
    }

    /// The entries of a row.
    pub(super) fn row(&self, place: (BlockId, u16)) -> impl Iterator<Item = &'w WorkEntry> {
        self.0.get(&place).into_iter().flatten().copied()
    }

    /// Who pruned a tree, up to a day.
    pub fn pruner_of(
        &self,
        (block, row, tree): (BlockId, u16, u16),
        until: NaiveDate,
    ) -> Option<PrunerId> {
        of_tree(self.row((block, row)), tree, until)
    }
}

/// Who pruned one tree: block, row and place in the row, by a log in order of day, up to a day.
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

/// Attributes a count after pruning to who pruned the tree, by a log in order of day.
pub fn attribute(work: &[WorkEntry], count: &mut TreeCount) {
    attribute_to(count, |place, day| pruner_of(work, place, day));
}

/// The same of many counts, quicker.
pub fn attribute_all(work: &[WorkEntry], counts: &mut [TreeCount]) {
    let log = RowLog::of(work.iter());
    for count in counts {
        attribute_to(count, |place, day| log.pruner_of(place, day));
    }
}

fn attribute_to(
    count: &mut TreeCount,
    known: impl Fn((BlockId, u16, u16), NaiveDate) -> Option<PrunerId>,
) {
    let head = &count.head;
    count.by_log = match head.stage {
        Stage::After => known((head.block, head.row, head.tree), head.at.day),
        Stage::Before => None,
    };
}
