//! Which counts figures rest on, and why another one does not.

use std::collections::HashMap;
use std::collections::hash_map::Entry;

use rustc_hash::FxHashMap;

use super::{BlockId, CountId, Marks, RowLog, Stage, TreeCount, WorkEntry, Zone};

/// Block, row and place of a tree, its zone, and whether before or after pruning: of the counts of one such key the last
/// stands.
type Key = (BlockId, u16, u16, Zone, Stage);

/// How a count stands to the figures of its winter.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stands {
    /// The figures rest on it.
    InUse,
    /// The figures rest on it, but the tree was pruned again on a later day: it shows the tree as it was before.
    Repruned,
    /// Of a tree that the rule is not meant for: in no figure.
    Outside,
    /// Of a tree that nobody is known to have pruned: in no verdict.
    NoPruner,
    /// A later count of the same tree stands in its place.
    Replaced,
    /// Made again to compare two counts of a tree: in no figure but that comparison.
    ToCompare,
    /// The figures rest on it: a bare tree, closed with nothing counted. It has no share of any age, and bears nothing.
    Bare,
    /// Not closed yet.
    Open,
}

impl Stands {
    /// The word for it, on screens and in tables.
    pub fn word(self) -> &'static str {
        match self {
            Self::InUse => "in use",
            Self::Repruned => "re-pruned",
            Self::Outside => "outside",
            Self::NoPruner => "no pruner",
            Self::Replaced => "replaced",
            Self::ToCompare => "to compare",
            Self::Bare => "bare",
            Self::Open => "open",
        }
    }
}

fn key(count: &TreeCount) -> Key {
    let head = &count.head;
    let zone = head.part.zone();
    (head.block, head.row, head.tree, zone, head.stage)
}

/// What keeps a count out of the figures whatever else was counted.
fn left_out(count: &TreeCount) -> Option<Stands> {
    if !count.closed {
        Some(Stands::Open)
    } else if count.head.again {
        Some(Stands::ToCompare)
    } else {
        None
    }
}

/// The counts of one winter that figures rest on: closed, not made to compare, and of each tree and stage the
/// one begun last. In the order given, but that the last count of a tree is where its first was.
pub fn last_counts<'c>(counts: impl Iterator<Item = &'c TreeCount>) -> Vec<&'c TreeCount> {
    let mut last: Vec<&TreeCount> = Vec::new();
    let mut places: FxHashMap<Key, usize> = FxHashMap::default();
    for count in counts.filter(|count| left_out(count).is_none()) {
        match places.entry(key(count)) {
            Entry::Vacant(place) => {
                place.insert(last.len());
                last.push(count);
            }
            Entry::Occupied(place) => {
                let kept = &mut last[*place.get()];
                if (kept.head.at.utc_ms, kept.id) < (count.head.at.utc_ms, count.id) {
                    *kept = count;
                }
            }
        }
    }
    last
}

fn last_by_tree<'c>(counts: impl Iterator<Item = &'c TreeCount>) -> FxHashMap<Key, &'c TreeCount> {
    let last = last_counts(counts).into_iter();
    last.map(|count| (key(count), count)).collect()
}

/// How each count of a winter stands, by the winter's work log and the marks on its trees.
pub fn how_all_stand<'a>(
    work: impl Iterator<Item = &'a WorkEntry>,
    counts: impl Iterator<Item = &'a TreeCount> + Clone,
    marks: &Marks,
) -> HashMap<CountId, Stands> {
    let last = last_by_tree(counts.clone());
    let log = RowLog::of(work);
    let of = |count: &TreeCount| {
        how(
            count,
            &last,
            log.row((count.head.block, count.head.row)),
            marks,
        )
    };
    counts.map(|count| (count.id, of(count))).collect()
}

/// How one count of a winter stands among all of them.
pub fn how_it_stands(
    work: &[WorkEntry],
    counts: &[TreeCount],
    marks: &Marks,
    count: &TreeCount,
) -> Stands {
    let same = counts.iter().filter(|other| key(other) == key(count));
    let place = (count.head.block, count.head.row);
    let row = work
        .iter()
        .filter(|entry| (entry.block, entry.row) == place);
    how(count, &last_by_tree(same), row, marks)
}

/// The same, by the last counts and the work of the count's row.
fn how<'w>(
    count: &TreeCount,
    last: &FxHashMap<Key, &TreeCount>,
    mut row: impl Iterator<Item = &'w WorkEntry>,
    marks: &Marks,
) -> Stands {
    let head = &count.head;
    let later = |entry: &WorkEntry| {
        entry.day > head.at.day
            && entry.how.kind.leaves_pruned()
            && entry.how.zone.meets(head.part.zone())
            && (entry.first..=entry.last).contains(&head.tree)
    };
    if let Some(why) = left_out(count) {
        why
    } else if marks.is_outside((head.block, head.row, head.tree)) {
        Stands::Outside
    } else if last
        .get(&key(count))
        .is_some_and(|last| last.id != count.id)
    {
        Stands::Replaced
    } else if head.stage == Stage::Before {
        Stands::InUse
    } else if count.pruner().is_none() {
        Stands::NoPruner
    } else if row.any(later) {
        Stands::Repruned
    } else if count.tally.is_empty() {
        Stands::Bare
    } else {
        Stands::InUse
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drafts::block_draft;
    use crate::orchard::{
        Age, Block, BlockDraft, Chosen, CountHead, How, Mark, Part, PrunerId, Stamp, Tally, Tap,
        TreeMark, WinterId, WorkDraft, WorkId,
    };
    use uuid::Uuid;

    fn count(id: u128, tree: u16, day: u32) -> TreeCount {
        let mut tally = Tally::default();
        tally.add(Tap::Piece(Age::One)).unwrap();
        let head = CountHead {
            winter: WinterId(Uuid::nil()),
            block: BlockId(Uuid::nil()),
            row: 1,
            tree,
            pruner: Some(PrunerId(Uuid::nil())),
            stage: Stage::After,
            part: Part::Whole,
            chosen: Chosen::Drawn,
            counter: String::new(),
            at: Stamp::parse_rfc3339(&format!("2027-01-{day:02}T10:00:00Z")).unwrap(),
            note: String::new(),
            again: false,
        };
        TreeCount {
            id: CountId(Uuid::from_u128(id)),
            head,
            tally,
            closed: true,
            by_log: None,
            pruned_on: None,
        }
    }

    fn pruned(day: u32, first: u16, last: u16) -> WorkEntry {
        let draft = BlockDraft {
            stems: 1,
            ..block_draft("River", "1x50", "")
        };
        let block = Block::new(BlockId(Uuid::nil()), draft).unwrap();
        let work = WorkDraft {
            winter: WinterId(Uuid::nil()),
            pruner: PrunerId(Uuid::nil()),
            block: block.id,
            row: 1,
            first,
            last,
            day: chrono::NaiveDate::from_ymd_opt(2027, 1, day).unwrap(),
            minutes: None,
            how: How::default(),
        };
        WorkEntry::new(WorkId(Uuid::from_u128(u128::from(day))), work, &block).unwrap()
    }

    #[test]
    fn of_each_count_it_is_known_whether_figures_rest_on_it() {
        let work = [pruned(4, 1, 50), pruned(9, 1, 5)];
        let mut all: Vec<_> = [
            (1, 2, 5),
            (2, 2, 6),
            (3, 3, 9),
            (4, 8, 5),
            (5, 9, 5),
            (6, 10, 5),
        ]
        .map(|(id, tree, day)| count(id, tree, day))
        .into();
        all[3].closed = false;
        all[4].tally = Tally::default();
        all[5].head.pruner = None;
        let mut again = count(7, 3, 10);
        again.head.again = true;
        let mut before = count(8, 2, 3);
        before.head.stage = Stage::Before;
        all.extend([again, before]);
        let mut marked = count(9, 12, 5);
        marked.head.pruner = None;
        all.push(marked);
        let marks: Marks = [(12, Mark::Replant), (3, Mark::Canker)]
            .map(|(tree, mark)| TreeMark {
                block: BlockId(Uuid::nil()),
                row: 1,
                tree,
                mark,
                note: String::new(),
                day: chrono::NaiveDate::from_ymd_opt(2027, 1, 9).unwrap(),
            })
            .into_iter()
            .collect();
        let stand = how_all_stand(work.iter(), all.iter(), &marks);
        let told: Vec<_> = all.iter().map(|count| stand[&count.id]).collect();
        assert_eq!(
            told,
            [
                Stands::Replaced,
                Stands::Repruned,
                Stands::InUse,
                Stands::Open,
                Stands::Bare,
                Stands::NoPruner,
                Stands::ToCompare,
                Stands::InUse,
                Stands::Outside,
            ]
        );
        for (count, told) in all.iter().zip(told) {
            assert_eq!(how_it_stands(&work, &all, &marks, count), told);
        }
        // those that figures rest on are the last ones, and no others
        let last = last_counts(all.iter());
        let mut last: Vec<_> = last.iter().map(|count| count.id.0.as_u128()).collect();
        last.sort_unstable();
        assert_eq!(last, [2, 3, 5, 6, 8, 9]);
    }
}
