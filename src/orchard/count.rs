//! The count of one tree.

use super::limits::within;
use super::words::words;
use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::Serialize;

use super::{
    Block, BlockId, CountId, Doer, Faults, Invalid, PieceRuns, PrunerId, Stamp, Tally, WinterId,
    Zone, note, optional_name,
};

/// Counted before the pruner came, or after.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Stage {
    /// What the tree offered.
    Before,
    /// What the pruner left.
    After,
}

/// How the tree came to be counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Chosen {
    /// By the draw, without favour.
    Drawn,
    /// By eye.
    ByEye,
}

/// How much of the tree was counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Part {
    /// All of it.
    #[default]
    Whole,
    /// This many of its stems, 1 or more and fewer than the tree has.
    Stems(u8),
    /// One side or zone of it; never all of it.
    Zone(Zone),
    /// Runs of pieces on some of its leaders, as they were drawn.
    Runs(PieceRuns),
}

words!(Stage, "stage", After = "after", Before = "before");
words!(Chosen, "chosen", Drawn = "drawn", ByEye = "by eye");

impl Part {
    /// Checks it for trees of so many stems.
    fn check(self, stems: u8) -> Result<(), Invalid> {
        match self {
            // a tree may have lost a leader, or have one more than its block
            Self::Whole | Self::Zone(_) | Self::Runs(_) => Ok(()),
            Self::Stems(_) if stems == 1 => Err(Invalid::new(
                "part",
                "the trees of this block have one stem: count the whole tree",
            )),
            Self::Stems(counted) if counted == stems => {
                let problem =
                    format!("the trees have {stems} stems: for all of them, count the whole tree");
                Err(Invalid::new("part", problem))
            }
            Self::Stems(counted) => within("part", counted, &(1..=stems - 1)).map(drop),
        }
    }

    /// The zone that it lies in, by which it is known whose work it is.
    pub fn zone(self) -> Zone {
        match self {
            Self::Zone(zone) => zone,
            Self::Whole | Self::Stems(_) | Self::Runs(_) => Zone::Whole,
        }
    }

    /// The runs of it, where such were drawn.
    pub fn runs(self) -> Option<PieceRuns> {
        match self {
            Self::Runs(runs) => Some(runs),
            Self::Whole | Self::Stems(_) | Self::Zone(_) => None,
        }
    }

    /// Whether two counts are of the same part; of runs, whether they begin at the same places.
    pub fn alike(self, other: Self) -> bool {
        match (self, other) {
            (Self::Runs(one), Self::Runs(other)) => one.alike(&other),
            (one, other) => one == other,
        }
    }

    /// `whole`, the number of stems, the word of a zone, or [`PieceRuns::text`].
    pub fn text(self) -> String {
        match self {
            Self::Stems(stems) => stems.to_string(),
            Self::Runs(runs) => runs.text(),
            Self::Whole | Self::Zone(_) => self.zone().word().to_owned(),
        }
    }

    /// Reads [`Part::text`]; `A` and `B` are sides, `G` the base and `T` the top.
    pub fn parse(raw: &str) -> Result<Self, Invalid> {
        let raw = raw.trim();
        if let Ok(stems) = raw.parse() {
            return Ok(Self::Stems(stems));
        }
        if raw.starts_with("leader") {
            return PieceRuns::parse(raw).map(Self::Runs);
        }
        let zone = match raw.to_lowercase().as_str() {
            "a" | "side a" => Zone::SideA,
            "b" | "side b" => Zone::SideB,
            "g" => Zone::Base,
            "t" => Zone::Top,
            other => Zone::parse(other).map_err(|_| {
                let words = "is neither whole, a number of stems, A or B (a side), base nor top";
                Invalid::new("part", format!("{raw:?} {words}"))
            })?,
        };
        Ok(match zone {
            Zone::Whole => Self::Whole,
            part => Self::Zone(part),
        })
    }
}

/// All about a count but its figures.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CountHead {
    /// The winter whose work it judges.
    pub winter: WinterId,
    /// Where the tree stands.
    pub block: BlockId,
    /// The row's number.
    pub row: u16,
    /// The tree's place in the row.
    pub tree: u16,
    /// Whom the counter named as who pruned the tree; must be named in counts after pruning. Whose the count is in all
    /// figures, [`TreeCount::pruner`] says.
    pub pruner: Option<PrunerId>,
    /// Before or after pruning.
    pub stage: Stage,
    /// Whole tree or some stems.
    pub part: Part,
    /// Drawn or by eye.
    pub chosen: Chosen,
    /// Who counted; may be empty.
    pub counter: String,
    /// When the count was begun.
    pub at: Stamp,
    /// A note; may be empty.
    pub note: String,
    /// Counted once more without sight of the first count, to learn how sure the counting is: part of no verdict.
    pub again: bool,
}

impl CountHead {
    /// Checks what people typed, of a count that comes from elsewhere: its tree may have died since.
    pub fn check_text(&self) -> Result<(), Faults> {
        let mut faults = Faults::default();
        faults.take(optional_name("counter", &self.counter));
        faults.take(note("note", &self.note));
        faults.or(())
    }

    /// Checks the head against its block.
    pub fn check(mut self, block: &Block) -> Result<Self, Faults> {
        if block.id != self.block {
            return Err(Invalid::new("block", "is another block").into());
        }
        let mut faults = Faults::default();
        faults.take(block.check_tree(self.row, self.tree));
        faults.take(self.part.check(block.stems));
        if self.stage == Stage::After && self.pruner.is_none() {
            faults.add(Invalid::new(
                "pruner",
                "is not named, and a count after pruning judges somebody's work",
            ));
        }
        self.counter = faults.take(optional_name("counter", &self.counter));
        self.note = faults.take(note("note", &self.note));
        faults.or(self)
    }
}

/// A count: its head and what was tapped.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TreeCount {
    /// `UUIDv7`, made when it was entered; the same on every tablet.
    pub id: CountId,
    /// All but the figures.
    pub head: CountHead,
    /// What was tapped, summed by kind.
    pub tally: Tally,
    /// Whether the counter said that the tree is done.
    pub closed: bool,
    /// Who pruned the tree by the work log ([`super::attribute`]): never stored, as the log may be mended later.
    pub by_log: Option<Doer>,
    /// The last day on which the tree, or its counted zone, was pruned before it was counted, by the log: never stored
    /// either.
    pub pruned_on: Option<NaiveDate>,
}

impl TreeCount {
    /// Whose work the count is, a pruner's or a team's: by the log, or else whom the counter named.
    pub fn pruner(&self) -> Option<PrunerId> {
        self.by_log.map(Doer::subject).or(self.head.pruner)
    }

    /// One person whose work the count is: of several who share the tree, the first.
    pub fn person(&self) -> Option<PrunerId> {
        self.by_log.map(Doer::person).or(self.head.pruner)
    }

    /// The head with one person of [`TreeCount::pruner`] in it: to be shown and changed.
    pub fn head_by_log(&self) -> CountHead {
        CountHead {
            pruner: self.person(),
            ..self.head.clone()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drafts::block_draft;
    use crate::orchard::BlockDraft;
    use uuid::Uuid;

    fn block(stems: u8) -> Block {
        let draft = BlockDraft {
            stems,
            ..block_draft("River", "1x20", "1:3")
        };
        Block::new(BlockId(Uuid::from_u128(5)), draft).unwrap()
    }

    fn head() -> CountHead {
        CountHead {
            winter: WinterId(Uuid::nil()),
            block: BlockId(Uuid::from_u128(5)),
            row: 1,
            tree: 4,
            pruner: Some(PrunerId(Uuid::nil())),
            stage: Stage::After,
            part: Part::Whole,
            chosen: Chosen::Drawn,
            counter: String::new(),
            at: Stamp::parse_rfc3339("2027-01-12T09:30:00+10:00").unwrap(),
            note: String::new(),
            again: false,
        }
    }

    #[test]
    fn a_head_fits_its_block() {
        assert!(head().check(&block(4)).is_ok());
        assert!(
            CountHead {
                part: Part::Stems(3),
                ..head()
            }
            .check(&block(4))
            .is_ok()
        );
        for (field, wrong, stems) in [
            ("row", CountHead { row: 2, ..head() }, 4),
            ("tree", CountHead { tree: 3, ..head() }, 4),
            (
                "part",
                CountHead {
                    part: Part::Stems(4),
                    ..head()
                },
                4,
            ),
            (
                "part",
                CountHead {
                    part: Part::Stems(1),
                    ..head()
                },
                1,
            ),
            (
                "pruner",
                CountHead {
                    pruner: None,
                    ..head()
                },
                4,
            ),
            (
                "block",
                CountHead {
                    block: BlockId(Uuid::nil()),
                    ..head()
                },
                4,
            ),
            (
                "note",
                CountHead {
                    note: "\u{1b}".into(),
                    ..head()
                },
                4,
            ),
        ] {
            assert_eq!(wrong.check(&block(stems)).unwrap_err()[0].field, field);
        }
        let before = CountHead {
            stage: Stage::Before,
            pruner: None,
            ..head()
        };
        assert!(before.check(&block(4)).is_ok());
    }

    #[test]
    fn words_read_back() {
        for stage in Stage::ALL {
            assert_eq!(Stage::parse(stage.word()).unwrap(), stage);
        }
        for chosen in Chosen::ALL {
            assert_eq!(Chosen::parse(chosen.word()).unwrap(), chosen);
        }
        for part in [
            Part::Whole,
            Part::Stems(3),
            Part::Zone(Zone::SideB),
            Part::Zone(Zone::Top),
        ] {
            assert_eq!(Part::parse(&part.text()).unwrap(), part);
        }
        assert!(
            Stage::parse("during")
                .unwrap_err()
                .problem
                .contains("after, before")
        );
    }
}
