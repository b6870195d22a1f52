//! How a pruner or a block stands against the rule.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use serde::Serialize;

use super::season::{Period, Season};
use crate::judge::{
    Band, Judgement, Metric, Sample, TreeFigures, WrongAge, bands, judge_block, judge_strata,
    swaps, wrong_age,
};
use crate::orchard::{
    Block, BlockId, BudLimit, MAX_BUDS, Part, Pruner, PrunerId, Rule, Size, Stage, TreeCount,
};

/// Whom or what a standing is about.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case", tag = "kind")]
pub enum Subject {
    /// A pruner.
    Pruner {
        /// Identity.
        id: PrunerId,
        /// Number on the crew list.
        number: u16,
        /// As shown: number and, where wanted, name.
        shown: String,
    },
    /// A block.
    Block {
        /// Identity.
        id: BlockId,
        /// Name.
        shown: String,
    },
}

impl Subject {
    /// As shown.
    pub fn shown(&self) -> &str {
        match self {
            Self::Pruner { shown, .. } | Self::Block { shown, .. } => shown,
        }
    }

    fn pruner(pruner: &Pruner) -> Self {
        Self::Pruner {
            id: pruner.id,
            number: pruner.number,
            shown: pruner.shown(),
        }
    }

    fn block(block: &Block) -> Self {
        Self::Block {
            id: block.id,
            shown: block.name.clone(),
        }
    }
}

/// Buds left on the units of one size, over all counted trees.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BudFigures {
    /// `thin`, `medium` or `thick`.
    pub size: &'static str,
    /// Fewest buds the rule allows.
    pub least: u8,
    /// Most buds the rule allows.
    pub most: u8,
    /// Units by buds left, 0 to 7; the last stands for seven or more.
    pub units_by_buds: [u32; MAX_BUDS as usize + 1],
    /// Units counted.
    pub units: u32,
    /// Mean buds left a unit, a unit of seven or more taken as seven; none without units.
    pub mean_left: Option<f64>,
    /// Units with more buds than the rule allows.
    pub over: u32,
    /// Units with fewer buds than the rule allows.
    pub under: u32,
}

impl BudFigures {
    fn new(size: Size, limit: BudLimit, counts: &[&TreeCount]) -> Self {
        let mut units_by_buds = [0; MAX_BUDS as usize + 1];
        for count in counts {
            for (sum, units) in units_by_buds
                .iter_mut()
                .zip(count.tally.units[size.index()])
            {
                *sum += units;
            }
        }
        let with = |wanted: &dyn Fn(u8) -> bool| {
            (0u8..)
                .zip(units_by_buds)
                .filter(|(buds, _)| wanted(*buds))
                .map(|(_, units)| units)
                .sum()
        };
        let units: u32 = units_by_buds.iter().sum();
        let buds: u32 = (0..)
            .zip(units_by_buds)
            .map(|(buds, units): (u32, u32)| buds * units)
            .sum();
        Self {
            size: size.word(),
            least: limit.least,
            most: limit.most,
            units_by_buds,
            units,
            mean_left: (units > 0).then(|| f64::from(buds) / f64::from(units)),
            over: with(&|buds| buds > limit.most),
            under: with(&|buds| buds < limit.least),
        }
    }

    /// The limit in words, such as `4` or `3-4`.
    pub fn limit_text(&self) -> String {
        BudLimit {
            least: self.least,
            most: self.most,
        }
        .text()
    }
}

/// The mean over the trees that were counted on one day.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DayFigures {
    /// The day.
    pub day: NaiveDate,
    /// Trees counted.
    pub trees: u32,
    /// Mean share by age, youngest first; none without pieces.
    pub mix: Option<[f64; 4]>,
    /// Mean share of units within the bud limit; none without units.
    pub buds_within: Option<f64>,
}

/// How one pruner or one block stands. All shares in [0, 1]; means are means over trees.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Standing {
    /// Whom or what it is about.
    pub subject: Subject,
    /// The blocks counted in (of a pruner), by name; of a block, itself.
    pub blocks: Vec<String>,
    /// Pruners of a block whose trees have not been looked at, as shown; empty for a pruner.
    pub not_looked_at: Vec<String>,
    /// Share of a block's pruned trees that those pruners pruned.
    pub unsampled: f64,
    /// Trees pruned, by the work log.
    pub pruned: u32,
    /// Trees counted.
    pub trees: u32,
    /// Of these, drawn.
    pub drawn: u32,
    /// Of these, counted on some of their stems only.
    pub in_part: u32,
    /// Wanted share by age.
    pub target: [f64; 4],
    /// What the rule accepts, by metric.
    pub bands: [Band; 5],
    /// Estimated share by age; none without pieces.
    pub mix: Option<[f64; 4]>,
    /// Pieces counted, by age. For information: no verdict rests on it.
    pub pieces: [u32; 4],
    /// Pieces on the average whole tree (counts of some stems are scaled up by stems).
    pub pieces_a_tree: f64,
    /// The verdicts.
    pub judgement: Judgement,
    /// Pieces to leave more (positive) or fewer of each age on the average whole tree; adds to zero.
    pub swaps: [i32; 4],
    /// Buds left, by size of unit.
    pub buds: [BudFigures; 3],
    /// How many of 100 pieces would have to be of another age.
    pub wrong_age: Option<WrongAge>,
    /// Upright one-year pieces left on the average whole tree.
    pub upright_a_tree: f64,
    /// Thick pieces left in the top of the average whole tree.
    pub thick_top_a_tree: f64,
    /// By day, oldest first.
    pub by_day: Vec<DayFigures>,
    /// Share of one-, two- and three-year wood (and older) of each counted tree, in order of counting.
    pub tree_mixes: Vec<[f64; 4]>,
}

impl Season {
    /// All pruners who pruned or were counted in the period, in order of number. Where a pruner
    /// worked under different rules, one standing for each rule.
    pub fn crew_standings(&self, period: Period) -> Vec<Standing> {
        let strata = self.strata(period);
        self.pruners
            .iter()
            .flat_map(|pruner| self.of_pruner(pruner, &strata))
            .collect()
    }

    /// As [`Season::crew_standings`], for one pruner.
    pub fn pruner_standings(&self, pruner: PrunerId, period: Period) -> Vec<Standing> {
        let strata = self.strata(period);
        self.pruner(pruner)
            .map_or_else(Vec::new, |pruner| self.of_pruner(pruner, &strata))
    }

    /// All blocks, by name.
    pub fn block_standings(&self, period: Period) -> Vec<Standing> {
        let strata = self.strata(period);
        self.blocks
            .iter()
            .map(|block| self.of_block(block, &strata))
            .collect()
    }

    /// Trees pruned and counts after pruning, by pruner and block.
    fn strata(&self, period: Period) -> Strata<'_> {
        let mut strata = Strata::new();
        for entry in self.pruned(Period::so_far(period.until)).values() {
            strata
                .entry((entry.pruner, entry.block))
                .or_default()
                .pruned += 1;
        }
        for count in self.standing_counts(Stage::After, period) {
            if let Some(pruner) = count.head.pruner {
                strata
                    .entry((pruner, count.head.block))
                    .or_default()
                    .counts
                    .push(count);
            }
        }
        strata
    }

    fn of_pruner(&self, pruner: &Pruner, strata: &Strata<'_>) -> Vec<Standing> {
        let mine = strata
            .range((pruner.id, FIRST_BLOCK)..)
            .take_while(|((id, _), _)| *id == pruner.id);
        let mut by_rule: Vec<(&Rule, Vec<Within<'_, '_>>)> = Vec::new();
        for ((_, block), stratum) in mine {
            let rule = self.rule(*block);
            match by_rule.iter_mut().find(|(known, _)| *known == rule) {
                Some((_, parts)) => parts.push((*block, stratum)),
                None => by_rule.push((rule, vec![(*block, stratum)])),
            }
        }
        let make = |(rule, parts): (&Rule, Vec<Within<'_, '_>>)| {
            // a block of this pruner's that nobody looked at yet is not part of what is judged
            let seen: Vec<_> = parts
                .iter()
                .filter(|(_, stratum)| !stratum.counts.is_empty())
                .collect();
            let mut counts: Vec<&TreeCount> = seen
                .iter()
                .flat_map(|(_, s)| s.counts.iter().copied())
                .collect();
            counts.sort_by_key(|count| (count.head.at.utc_ms, count.id));
            let samples: Vec<_> = seen
                .iter()
                .map(|(_, s)| (s.pruned, sample(&s.counts, rule)))
                .collect();
            let pairs: Vec<_> = samples
                .iter()
                .map(|(pruned, sample)| (*pruned, sample))
                .collect();
            let judgement = judge_strata(&pairs, &bands(rule));
            let mut standing = self.assemble(Subject::pruner(pruner), rule, &judgement, &counts);
            let named: &mut dyn Iterator<Item = BlockId> =
                &mut seen.iter().map(|(block, _)| *block);
            standing.blocks = named
                .map(|block| self.block_name(block).to_owned())
                .collect();
            standing.pruned = parts.iter().map(|(_, stratum)| stratum.pruned).sum();
            standing
        };
        by_rule.into_iter().map(make).collect()
    }

    fn of_block(&self, block: &Block, strata: &Strata<'_>) -> Standing {
        let rule = self.rule(block.id);
        let parts: Vec<_> = strata
            .iter()
            .filter(|((_, id), _)| *id == block.id)
            .collect();
        let samples: Vec<_> = parts
            .iter()
            .map(|(_, s)| (s.pruned, sample(&s.counts, rule)))
            .collect();
        let pairs: Vec<_> = samples
            .iter()
            .map(|(pruned, sample)| (*pruned, sample))
            .collect();
        let mut counts: Vec<&TreeCount> = parts
            .iter()
            .flat_map(|(_, s)| s.counts.iter().copied())
            .collect();
        counts.sort_by_key(|count| (count.head.at.utc_ms, count.id));
        let mut standing = self.assemble(
            Subject::block(block),
            rule,
            &judge_block(&pairs, &bands(rule)),
            &counts,
        );
        standing.blocks = vec![block.name.clone()];
        standing.pruned = parts.iter().map(|(_, stratum)| stratum.pruned).sum();
        let unseen = || {
            parts
                .iter()
                .filter(|(_, stratum)| stratum.counts.is_empty())
        };
        standing.not_looked_at = unseen()
            .map(|((pruner, _), _)| self.pruner_shown(*pruner))
            .collect();
        let unseen_trees: u32 = unseen().map(|(_, stratum)| stratum.pruned).sum();
        standing.unsampled = if standing.pruned == 0 {
            0.0
        } else {
            f64::from(unseen_trees) / f64::from(standing.pruned)
        };
        standing
    }

    fn assemble(
        &self,
        subject: Subject,
        rule: &Rule,
        judgement: &Judgement,
        counts: &[&TreeCount],
    ) -> Standing {
        let target = rule.target();
        let whole = sample(counts, rule);
        let means = [Metric::One, Metric::Two, Metric::Three, Metric::FourPlus]
            .map(|m| judgement.metric(m).mean);
        let mix = means
            .iter()
            .all(Option::is_some)
            .then(|| means.map(Option::unwrap_or_default));
        let pieces_a_tree = self.a_tree(counts, |count| count.tally.pieces());
        Standing {
            subject,
            blocks: Vec::new(),
            not_looked_at: Vec::new(),
            unsampled: 0.0,
            pruned: 0,
            trees: counts.len() as u32,
            drawn: counts
                .iter()
                .filter(|count| Season::is_drawn(count))
                .count() as u32,
            in_part: counts
                .iter()
                .filter(|count| count.head.part != Part::Whole)
                .count() as u32,
            target,
            bands: bands(rule),
            mix,
            pieces: counts.iter().fold([0; 4], |sum, count| {
                std::array::from_fn(|k| sum[k] + count.tally.ages[k])
            }),
            pieces_a_tree,
            judgement: *judgement,
            swaps: mix.map_or([0; 4], |mix| {
                swaps(target, mix, pieces_a_tree, judgement.spoken_ages())
            }),
            buds: Size::ALL.map(|size| BudFigures::new(size, rule.bud_limit(size), counts)),
            wrong_age: wrong_age(&whole),
            upright_a_tree: self.a_tree(counts, |count| count.tally.upright),
            thick_top_a_tree: self.a_tree(counts, |count| count.tally.thick_top),
            by_day: by_day(counts, rule),
            tree_mixes: counts.iter().filter_map(|count| tree_mix(count)).collect(),
        }
    }

    /// The mean of a number over whole trees; a count of some stems is scaled up by stems.
    fn a_tree(&self, counts: &[&TreeCount], number: impl Fn(&TreeCount) -> u32) -> f64 {
        let scaled = |count: &&TreeCount| f64::from(number(count)) * self.scale(count);
        if counts.is_empty() {
            0.0
        } else {
            counts.iter().map(scaled).sum::<f64>() / counts.len() as f64
        }
    }

    /// Stems of the tree over stems counted.
    fn scale(&self, count: &TreeCount) -> f64 {
        match (count.head.part, self.block(count.head.block)) {
            (Part::Stems(counted), Some(block)) => {
                f64::from(block.stems) / f64::from(counted.max(1))
            }
            _ => 1.0,
        }
    }
}

/// What one pruner did in one block.
#[derive(Debug, Default)]
struct InBlock<'a> {
    pruned: u32,
    counts: Vec<&'a TreeCount>,
}

type Strata<'a> = BTreeMap<(PrunerId, BlockId), InBlock<'a>>;
type Within<'s, 'a> = (BlockId, &'s InBlock<'a>);

/// Before every block in order.
const FIRST_BLOCK: BlockId = BlockId(uuid::Uuid::nil());

fn sample(counts: &[&TreeCount], rule: &Rule) -> Sample {
    let mut sample = Sample::new(rule.target());
    for count in counts {
        sample.add(&TreeFigures::of(&count.tally, rule));
    }
    sample
}

/// Shares by age of one tree; none where it has no pieces.
pub(super) fn tree_mix(count: &TreeCount) -> Option<[f64; 4]> {
    let pieces = count.tally.pieces();
    (pieces > 0).then(|| count.tally.ages.map(|n| f64::from(n) / f64::from(pieces)))
}

fn by_day(counts: &[&TreeCount], rule: &Rule) -> Vec<DayFigures> {
    let mut days: BTreeMap<NaiveDate, Vec<&TreeCount>> = BTreeMap::new();
    for count in counts {
        days.entry(count.head.at.day).or_default().push(count);
    }
    let figures = |(day, counts): (NaiveDate, Vec<&TreeCount>)| {
        let sample = sample(&counts, rule);
        DayFigures {
            day,
            trees: counts.len() as u32,
            mix: sample.mix(),
            buds_within: sample.metric(Metric::Buds).mean(),
        }
    };
    days.into_iter().map(figures).collect()
}
