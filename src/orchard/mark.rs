//! Marks on trees: those that the rule is not meant for, and those to come back to.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::words::{as_its_word, words};
use super::{Block, BlockId, Faults, Invalid, note};

/// What is to be known of a tree.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Mark {
    /// Young, and still being formed: it is pruned for its frame.
    InFormation,
    /// Planted in the place of a tree that died.
    Replant,
    /// Of another variety, there for its pollen.
    Pollinizer,
    /// Canker was seen on it: cut out, and burnt.
    Canker,
    /// Its count is agreed on: counters are held against it.
    Reference,
    /// What the note says.
    Other,
}

words!(
    Mark,
    "mark",
    InFormation = "in formation",
    Replant = "replant",
    Pollinizer = "pollinizer",
    Canker = "canker",
    Reference = "reference",
    Other = "other"
);

impl Mark {
    /// Whether the rule is not meant for the tree: it is never drawn, and its counts are in no figure.
    pub fn is_outside(self) -> bool {
        match self {
            Self::InFormation | Self::Replant | Self::Pollinizer => true,
            Self::Canker | Self::Reference | Self::Other => false,
        }
    }
}

as_its_word!(Mark, "What is to be known of a tree.");

/// A marked tree.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TreeMark {
    /// Where it stands.
    pub block: BlockId,
    /// Number of the row in that block.
    pub row: u16,
    /// Its place in the row.
    pub tree: u16,
    /// What is to be known of it.
    pub mark: Mark,
    /// A note; with [`Mark::Other`] it says what is meant.
    pub note: String,
    /// The day from whose winter on it holds.
    pub day: NaiveDate,
}

impl TreeMark {
    /// Checks the mark against its block.
    pub fn check(mut self, block: &Block) -> Result<Self, Faults> {
        if block.id != self.block {
            return Err(Invalid::new("block", "is another block").into());
        }
        let mut faults = Faults::default();
        faults.take(block.check_tree(self.row, self.tree));
        let noted = note("note", &self.note).and_then(|note| self.mark.noted(note));
        self.note = faults.take(noted);
        faults.or(self)
    }

    /// The tree's place.
    pub fn place(&self) -> (BlockId, u16, u16) {
        (self.block, self.row, self.tree)
    }
}

impl Mark {
    /// A note with this mark; "other" alone says nothing.
    fn noted(self, note: String) -> Result<String, Invalid> {
        if self == Self::Other && note.is_empty() {
            return Err(Invalid::new("note", "is empty; say what is with the tree"));
        }
        Ok(note)
    }
}

/// Marked trees by place.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Marks(BTreeMap<(BlockId, u16, u16), TreeMark>);

impl Marks {
    /// The mark of a tree.
    pub fn get(&self, place: (BlockId, u16, u16)) -> Option<&TreeMark> {
        self.0.get(&place)
    }

    /// Whether the rule is not meant for a tree.
    pub fn is_outside(&self, place: (BlockId, u16, u16)) -> bool {
        self.get(place).is_some_and(|known| known.mark.is_outside())
    }

    /// Those between two places of a row, both included.
    pub fn between(
        &self,
        (block, row): (BlockId, u16),
        first: u16,
        last: u16,
    ) -> impl Iterator<Item = &TreeMark> {
        let some = (first <= last).then(|| self.0.range((block, row, first)..=(block, row, last)));
        some.into_iter().flatten().map(|(_, mark)| mark)
    }

    /// Of these, how many the rule is not meant for.
    pub fn outside_between(&self, row: (BlockId, u16), first: u16, last: u16) -> u32 {
        let outside = |known: &&TreeMark| known.mark.is_outside();
        self.between(row, first, last).filter(outside).count() as u32
    }

    /// All of them, by place.
    pub fn iter(&self) -> impl Iterator<Item = &TreeMark> {
        self.0.values()
    }
}

impl FromIterator<TreeMark> for Marks {
    fn from_iter<I: IntoIterator<Item = TreeMark>>(marks: I) -> Self {
        let placed = marks.into_iter().map(|mark| (mark.place(), mark));
        Self(placed.collect())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drafts::block_draft;
    use uuid::Uuid;

    fn mark(tree: u16, mark: Mark, note: &str) -> TreeMark {
        TreeMark {
            block: BlockId(Uuid::nil()),
            row: 1,
            tree,
            mark,
            note: note.to_owned(),
            day: NaiveDate::from_ymd_opt(2027, 1, 12).unwrap(),
        }
    }

    #[test]
    fn a_mark_is_of_a_tree_that_stands_and_other_says_what() {
        let block = Block::new(BlockId(Uuid::nil()), block_draft("River", "1x20", "1:3")).unwrap();
        assert!(mark(4, Mark::Canker, "").check(&block).is_ok());
        for (field, wrong) in [
            ("tree", mark(3, Mark::Replant, "")),
            ("tree", mark(21, Mark::Replant, "")),
            ("note", mark(4, Mark::Other, "  ")),
            ("note", mark(4, Mark::Canker, "a\u{202e}b")),
        ] {
            assert_eq!(wrong.check(&block).unwrap_err()[0].field, field);
        }
    }

    #[test]
    fn three_marks_take_a_tree_out_of_the_rule() {
        let outside = Mark::ALL.map(Mark::is_outside);
        assert_eq!(outside, [true, true, true, false, false, false]);
        let marks: Marks = [(2, Mark::Replant), (5, Mark::Canker), (9, Mark::Pollinizer)]
            .map(|(tree, word)| mark(tree, word, ""))
            .into_iter()
            .collect();
        let row = (BlockId(Uuid::nil()), 1);
        assert_eq!(marks.outside_between(row, 1, 20), 2);
        assert_eq!(marks.outside_between(row, 3, 8), 0);
        assert_eq!(marks.outside_between(row, 9, 2), 0);
        assert_eq!(marks.between(row, 2, 5).count(), 2);
    }
}
