//! The trees that were drawn, each in a line with what became of it.

use chrono::NaiveDate;
use rustc_hash::FxHashMap;
use schemars::JsonSchema;
use serde::Serialize;

use super::Season;
use super::season::Place;
use crate::orchard::{
    BlockId, Doer, Draw, DrawId, DrawnTree, Fate, Marks, Part, PieceRun, Portion, PrunerId, RowLog,
    Sides, Stage, Zone,
};

/// A drawn tree and what became of it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct WalkTree {
    /// The draw.
    pub draw: DrawId,
    /// The day of the draw.
    pub drawn_on: NaiveDate,
    /// Its place in the draw, from 0.
    pub place_in_draw: usize,
    /// The block.
    pub block: BlockId,
    /// The block's name.
    pub block_name: String,
    /// The row.
    pub row: u16,
    /// The tree's place in the row.
    pub tree: u16,
    /// Who pruned it.
    pub pruner: PrunerId,
    /// The pruner as shown.
    pub pruner_shown: String,
    /// The part of it to count: `whole`, or its runs of pieces as `3-middle-1-10_1-top-upper-9-10`: leader, third and part
    /// of the third, pieces to leave out, pieces to count.
    #[serde(serialize_with = "as_code")]
    #[schemars(with = "String")]
    pub part: Part,
    /// How its leaders stand.
    #[serde(skip)]
    pub sides: Sides,
    /// What became of it.
    pub fate: FateLine,
}

fn as_code<S: serde::Serializer>(part: &Part, to: S) -> Result<S::Ok, S::Error> {
    let Some(runs) = part.runs() else {
        return to.serialize_str("whole");
    };
    let code = |run: PieceRun| {
        let portion = run.portion.map_or("", Portion::word);
        let gap = if portion.is_empty() { "" } else { "-" };
        let (leader, third) = (run.leader, run.third.word());
        format!(
            "{leader}-{third}{gap}{portion}-{}-{}",
            run.leave_out, run.pieces
        )
    };
    to.serialize_str(&runs.iter().map(code).collect::<Vec<_>>().join("_"))
}

/// What became of a drawn tree.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case", tag = "state")]
pub enum FateLine {
    /// Not visited yet.
    Waiting,
    /// Counted.
    Counted,
    /// Left out.
    Skipped {
        /// Why.
        reason: String,
    },
}

/// A tree of a draw, its place in it from 0, and what became of it.
pub(super) struct Drawn<'d> {
    draw: &'d Draw,
    place: usize,
    tree: &'d DrawnTree,
    pub(super) fate: FateLine,
}

impl Drawn<'_> {
    /// Where the tree stands.
    pub(super) fn stands(&self) -> Place {
        (self.tree.block, self.tree.row, self.tree.tree)
    }
}

impl Season {
    /// The trees of a draw, in walking order, each with what became of it by the counts as they are now.
    pub fn draw_lines(&self, draw: &Draw) -> Vec<WalkTree> {
        self.walk_trees(self.drawn([draw]))
    }

    /// Drawn trees that wait: the oldest draw first, each in walking order.
    pub fn waiting(&self) -> Vec<WalkTree> {
        let mut draws: Vec<_> = self.draws.iter().collect();
        draws.sort_by_key(|draw| (draw.day, draw.id));
        let drawn = self.drawn(draws);
        self.walk_trees(drawn.filter(|drawn| drawn.fate == FateLine::Waiting))
    }

    /// All trees of these draws, in their order.
    pub(super) fn drawn<'d>(
        &self,
        draws: impl IntoIterator<Item = &'d Draw>,
    ) -> impl Iterator<Item = Drawn<'d>> {
        let counted = self.last_counted();
        let marks = &self.marks;
        let trees = (draws.into_iter())
            .flat_map(|draw| (draw.trees.iter().enumerate()).map(move |tree| (draw, tree)));
        trees.map(move |(draw, (place, tree))| Drawn {
            draw,
            place,
            tree,
            fate: fate(draw, tree, &counted, marks),
        })
    }

    fn walk_trees<'d>(&self, drawn: impl Iterator<Item = Drawn<'d>>) -> Vec<WalkTree> {
        let log = RowLog::of(self.work.iter());
        let line = |one: Drawn| {
            // the log may have been mended since the draw
            let known = log.doer_of(one.stands(), NaiveDate::MAX, Zone::Whole);
            let pruner = known.map_or(one.tree.pruner, Doer::subject);
            WalkTree {
                draw: one.draw.id,
                drawn_on: one.draw.day,
                place_in_draw: one.place,
                block: one.tree.block,
                block_name: self.block_name(one.tree.block).to_owned(),
                row: one.tree.row,
                tree: one.tree.tree,
                pruner,
                pruner_shown: self.pruner_shown(pruner),
                part: one.tree.runs.map_or(Part::Whole, Part::Runs),
                sides: (self.block(one.tree.block)).map_or(Sides::Flat, |block| block.sides),
                fate: one.fate,
            }
        };
        drawn.map(line).collect()
    }

    /// The last day on which each tree has a closed count after pruning.
    fn last_counted(&self) -> LastCounted {
        let mut last = LastCounted::default();
        last.reserve(self.counts().len());
        for count in self.counts().iter().filter(|count| count.closed) {
            let head = &count.head;
            if head.stage == Stage::After && !head.again {
                let day = last
                    .entry((head.block, head.row, head.tree))
                    .or_insert(head.at.day);
                *day = head.at.day.max(*day);
            }
        }
        last
    }
}

/// The last day that a tree was counted on.
type LastCounted = FxHashMap<Place, NaiveDate>;

/// What became of a drawn tree; one that was marked since as outside the rule is left out. The counts held here may be newer than the draw that was read with them.
fn fate(draw: &Draw, tree: &DrawnTree, counted: &LastCounted, marks: &Marks) -> FateLine {
    let place = (tree.block, tree.row, tree.tree);
    let last = counted.get(&place);
    let marked = marks.get(place).filter(|known| known.mark.is_outside());
    match &tree.fate {
        _ if last.is_some_and(|day| *day >= draw.day) => FateLine::Counted,
        Fate::Skipped(reason) => FateLine::Skipped {
            reason: reason.clone(),
        },
        Fate::Waiting => marked.map_or(FateLine::Waiting, |known| FateLine::Skipped {
            reason: known.mark.word().to_owned(),
        }),
    }
}
