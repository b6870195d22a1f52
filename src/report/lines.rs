//! One line for each thing: a metric, a pruner or block against both rules, a row sent back, a drawn tree.

use std::collections::HashMap;

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::Serialize;

use super::season::Place;
use super::standing::{Standing, Subject};
use super::{Season, words};
use crate::judge::{Band, Interval, Metric, MetricVerdict, More, Verdict};
use crate::orchard::{
    BlockId, Draw, DrawId, DrawnTree, Fate, GoBack, GoBackId, Outcome, PrunerId, Stage,
};

/// One metric beside its rule.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct MetricLine {
    /// Which metric.
    pub metric: Metric,
    /// What the rule accepts.
    pub band: Band,
    /// Mean share over trees; none without trees that give a value.
    pub mean: Option<f64>,
    /// Trees that give a value.
    pub trees: u32,
    /// The interval that the verdict rests on: the one for in balance where that is the verdict, else the wider one.
    pub interval: Interval,
    /// The verdict.
    pub verdict: Verdict,
    /// How many more trees until there is one.
    pub more: More,
}

impl MetricLine {
    /// The line of one judged metric.
    pub fn new(judged: &MetricVerdict, band: Band) -> Self {
        Self {
            metric: judged.metric,
            band,
            mean: judged.mean,
            trees: judged.n,
            interval: match judged.verdict {
                Verdict::InBalance => judged.balance,
                _ => judged.flag,
            },
            verdict: judged.verdict,
            more: judged.more,
        }
    }

    /// All five of a standing.
    pub fn all(standing: &Standing) -> [Self; 5] {
        Metric::ALL.map(|m| Self::new(standing.judgement.metric(m), standing.bands[m.index()]))
    }

    /// Whether the interval says anything at all.
    pub fn is_known(&self) -> bool {
        self.interval.width() < 1.0
    }
}

/// How a pruner or block stands against one of the two rules.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
pub struct AgainstRule {
    /// The verdict.
    pub verdict: Verdict,
    /// The metric that it rests on, when it is light, heavy or leaning.
    pub lead: Option<Metric>,
}

impl AgainstRule {
    fn of(
        standing: &Standing,
        mut metrics: impl Iterator<Item = Metric>,
        spoken: &[Metric],
    ) -> Self {
        let found = |m: Metric| standing.judgement.metric(m).verdict;
        if let Some(lead) = spoken.first() {
            return Self {
                verdict: found(*lead),
                lead: Some(*lead),
            };
        }
        let verdict = if metrics.all(|m| found(m) == Verdict::InBalance) {
            Verdict::InBalance
        } else {
            Verdict::KeepCounting
        };
        Self {
            verdict,
            lead: None,
        }
    }

    /// In words, such as `light (one-year wood)`.
    pub fn words(self) -> String {
        words::whole(self.verdict, self.lead)
    }
}

/// A pruner or a block in one line.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct StandingLine {
    /// Whom or what it is about.
    pub subject: Subject,
    /// The blocks counted in, by name.
    pub blocks: Vec<String>,
    /// Trees pruned, by the work log.
    pub pruned: u32,
    /// Trees counted after pruning.
    pub trees: u32,
    /// Of these, drawn.
    pub drawn: u32,
    /// Estimated share by age, youngest first; none without pieces.
    pub mix: Option<[f64; 4]>,
    /// Wanted share by age.
    pub target: [f64; 4],
    /// Estimated share of units whose buds keep the rule; none without units.
    pub buds_within: Option<f64>,
    /// Against the rule of ages.
    pub wood: AgainstRule,
    /// Against the rule of buds.
    pub buds: AgainstRule,
    /// Against both.
    pub overall: Verdict,
    /// What the whole rests on, when it is light, heavy or leaning.
    pub lead: Option<Metric>,
    /// How many more trees until there is a verdict on the whole.
    pub more: More,
    /// Pruners of a block who were not looked at, as shown.
    pub not_looked_at: Vec<String>,
    /// Share of a block's pruned trees that are theirs, 0 to 1.
    pub unsampled: f64,
}

impl StandingLine {
    /// The line of a standing.
    pub fn new(standing: &Standing) -> Self {
        let judgement = &standing.judgement;
        let spoken = judgement.spoken(&standing.bands);
        let (buds, wood): (Vec<_>, Vec<_>) = spoken.into_iter().partition(|m| *m == Metric::Buds);
        let ages = Metric::ALL.into_iter().filter(|m| *m != Metric::Buds);
        Self {
            subject: standing.subject.clone(),
            blocks: standing.blocks.clone(),
            pruned: standing.pruned,
            trees: standing.trees,
            drawn: standing.drawn,
            mix: standing.mix,
            target: standing.target,
            buds_within: judgement.metric(Metric::Buds).mean,
            wood: AgainstRule::of(standing, ages, &wood),
            buds: AgainstRule::of(standing, std::iter::once(Metric::Buds), &buds),
            overall: judgement.overall,
            lead: judgement.lead,
            more: judgement.more,
            not_looked_at: standing.not_looked_at.clone(),
            unsampled: standing.unsampled,
        }
    }

    /// The whole in words, with how many more trees where that is open:
    /// `light (one-year wood)`, `keep counting, about 10 more trees`.
    pub fn words(&self) -> String {
        let verdict = words::whole(self.overall, self.lead);
        match words::more(self.more) {
            more if more.is_empty() || self.trees == 0 => verdict,
            more => format!("{verdict}, {more}"),
        }
    }
}

/// A row on the go-back list.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct GoBackLine {
    /// Identity.
    pub id: GoBackId,
    /// The block.
    pub block: BlockId,
    /// The block's name.
    pub block_name: String,
    /// The row.
    pub row: u16,
    /// Who is to go back.
    pub pruner: PrunerId,
    /// The pruner as shown.
    pub pruner_shown: String,
    /// The day the row was sent back.
    pub day: NaiveDate,
    /// What is to be mended; may be empty.
    pub reason: String,
    /// What came of it; none while open.
    pub outcome: Option<Outcome>,
    /// The day that was seen; none while open.
    pub settled_on: Option<NaiveDate>,
}

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
    /// What became of it.
    pub fate: FateLine,
}

impl WalkTree {
    /// Where it stands: `River, row 3, tree 12`.
    pub fn place_words(&self) -> String {
        words::place(&self.block_name, self.row, self.tree)
    }
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

impl Season {
    /// The go-back list as it stood on a day, in order of day: rows sent back until then, with what was known of them.
    pub fn go_back_lines(&self, until: NaiveDate) -> Vec<GoBackLine> {
        (self.go_backs.iter().filter(|entry| entry.day <= until))
            .map(|entry| self.go_back_line(entry, until))
            .collect()
    }

    fn go_back_line(&self, entry: &GoBack, until: NaiveDate) -> GoBackLine {
        let settled = entry.settled.filter(|settled| settled.day <= until);
        GoBackLine {
            id: entry.id,
            block: entry.block,
            block_name: self.block_name(entry.block).to_owned(),
            row: entry.row,
            pruner: entry.pruner,
            pruner_shown: self.pruner_shown(entry.pruner),
            day: entry.day,
            reason: entry.reason.clone(),
            outcome: settled.map(|settled| settled.outcome),
            settled_on: settled.map(|settled| settled.day),
        }
    }

    /// The trees of a draw, in walking order, each with what became of it by the counts as they are now.
    pub fn draw_lines(&self, draw: &Draw) -> Vec<WalkTree> {
        self.draw_lines_with(draw, &self.last_counted())
    }

    /// As [`Season::draw_lines`], for many draws at once.
    pub(super) fn draw_lines_with(&self, draw: &Draw, counted: &LastCounted) -> Vec<WalkTree> {
        let line = |(place, tree)| self.walk_tree(draw, place, tree, fate(draw, tree, counted));
        draw.trees.iter().enumerate().map(line).collect()
    }

    /// The trees of a draw that wait to be counted.
    pub(super) fn waiting_of<'a>(
        &'a self,
        draw: &'a Draw,
        counted: &LastCounted,
    ) -> impl Iterator<Item = WalkTree> {
        let waits =
            |(_, tree): &(usize, &DrawnTree)| fate(draw, tree, counted) == FateLine::Waiting;
        let line = |(place, tree)| self.walk_tree(draw, place, tree, FateLine::Waiting);
        draw.trees.iter().enumerate().filter(waits).map(line)
    }

    fn walk_tree(&self, draw: &Draw, place: usize, tree: &DrawnTree, fate: FateLine) -> WalkTree {
        // the log may have been mended since the draw
        let known = self.pruner_of((tree.block, tree.row, tree.tree), NaiveDate::MAX);
        let pruner = known.unwrap_or(tree.pruner);
        WalkTree {
            draw: draw.id,
            drawn_on: draw.day,
            place_in_draw: place,
            block: tree.block,
            block_name: self.block_name(tree.block).to_owned(),
            row: tree.row,
            tree: tree.tree,
            pruner,
            pruner_shown: self.pruner_shown(pruner),
            fate,
        }
    }

    /// The last day on which each tree has a closed count after pruning.
    pub(super) fn last_counted(&self) -> LastCounted {
        let mut last = LastCounted::new();
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
pub(super) type LastCounted = HashMap<Place, NaiveDate>;

/// What became of a drawn tree. The counts held here may be newer than the draw that was read with them.
fn fate(draw: &Draw, tree: &DrawnTree, counted: &LastCounted) -> FateLine {
    let last = counted.get(&(tree.block, tree.row, tree.tree));
    match &tree.fate {
        _ if last.is_some_and(|day| *day >= draw.day) => FateLine::Counted,
        Fate::Skipped(reason) => FateLine::Skipped {
            reason: reason.clone(),
        },
        Fate::Waiting => FateLine::Waiting,
    }
}
