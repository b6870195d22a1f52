//! Working out how pruners and blocks stand.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::steadied::steadied;
use super::wrong_age::of_strata;
use super::{BudFigures, DayFigures, Standing, Subject};
use crate::judge::{
    Band, Judgement, Metric, Sample, Stratum, Sums, TreeFigures, WrongAge, bands, by_batch,
    judge_block, judge_strata, unsampled,
};
use crate::orchard::{Block, BlockId, Part, Pruner, PrunerId, Rule, Size, Stage, TreeCount};
use crate::report::figures::season::{Period, Place, Season};

impl Season {
    /// Crew and blocks at once, as [`Season::crew_standings`] and [`Season::block_standings`] give them.
    pub fn all_standings(&self, period: Period) -> (Vec<Standing>, Vec<Standing>) {
        let strata = self.strata(period);
        let (mut crew, mut blocks) = (self.of_crew(&strata), self.of_blocks(&strata));
        self.add_offered(crew.iter_mut().chain(&mut blocks), period);
        (crew, blocks)
    }

    /// All pruners who pruned or were counted in the period, in order of number. Where a pruner
    /// worked under rules that judge differently, one standing for each.
    pub fn crew_standings(&self, period: Period) -> Vec<Standing> {
        let mut crew = self.of_crew(&self.strata(period));
        self.add_offered(crew.iter_mut(), period);
        crew
    }

    /// Adds what the trees offered.
    pub(super) fn add_offered<'s>(
        &self,
        standings: impl Iterator<Item = &'s mut Standing>,
        period: Period,
    ) {
        let wood = self.wood_offered(Period::so_far(period.until));
        for standing in standings {
            let named = |block: &&Block| standing.blocks.contains(&block.name);
            let blocks = self.blocks.iter().filter(named);
            standing.offered = wood.offered(blocks.map(|block| block.id));
        }
    }

    fn of_crew(&self, strata: &Strata<'_>) -> Vec<Standing> {
        self.judged()
            .flat_map(|pruner| self.of_pruner(pruner, strata))
            .collect()
    }

    fn of_blocks(&self, strata: &Strata<'_>) -> Vec<Standing> {
        self.blocks
            .iter()
            .map(|block| self.of_block(block, strata))
            .collect()
    }

    /// As [`Season::crew_standings`], for one pruner.
    pub fn pruner_standings(&self, pruner: PrunerId, period: Period) -> Vec<Standing> {
        let strata = self.strata(period);
        let mut standings = self
            .pruner(pruner)
            .map_or_else(Vec::new, |pruner| self.of_pruner(pruner, &strata));
        self.add_offered(standings.iter_mut(), period);
        standings
    }

    /// All blocks, by name.
    pub fn block_standings(&self, period: Period) -> Vec<Standing> {
        let mut blocks = self.of_blocks(&self.strata(period));
        self.add_offered(blocks.iter_mut(), period);
        blocks
    }

    /// Trees pruned and counts after pruning, by pruner and block.
    fn strata(&self, period: Period) -> Strata<'_> {
        self.strata_of(period, |_| true)
    }

    /// The same with the counts of some trees alone.
    pub(super) fn strata_of(&self, period: Period, wanted: impl Fn(Place) -> bool) -> Strata<'_> {
        let mut strata = Strata::new();
        for (of, trees) in self.trees_pruned(Period::so_far(period.until)) {
            let stratum = strata.entry(of).or_default();
            (stratum.pruned, stratum.to_judge) = (trees.all, trees.judged);
            // over some days alone the trees that were counted on them are told of, each alike
            if period.since.is_none() {
                stratum.days = trees.days;
            }
        }
        for count in self.standing_counts_of(Stage::After, period, wanted) {
            if let Some(pruner) = count.pruner() {
                strata
                    .entry((pruner, count.head.block))
                    .or_default()
                    .counts
                    .push(count);
            }
        }
        strata
    }

    pub(super) fn of_pruner(&self, pruner: &Pruner, strata: &Strata<'_>) -> Vec<Standing> {
        let mine = strata
            .range((pruner.id, FIRST_BLOCK)..)
            .take_while(|((id, _), _)| *id == pruner.id);
        let mut by_rule: Vec<(&Rule, Vec<Within<'_, '_>>)> = Vec::new();
        for ((_, block), stratum) in mine {
            let rule = self.rule(*block);
            match by_rule
                .iter_mut()
                .find(|(known, _)| judge_alike(known, rule))
            {
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
            let strata: Vec<_> = seen.iter().map(|(_, stratum)| *stratum).collect();
            let judged = judged(&strata, rule, judge_strata);
            let mut standing = self.assemble(Subject::pruner(pruner), rule, &judged);
            standing.blocks = if seen.is_empty() {
                self.block_names(parts.iter().map(|(block, _)| *block))
            } else {
                self.block_names(seen.iter().map(|(block, _)| *block))
            };
            standing.pruned = parts.iter().map(|(_, stratum)| stratum.pruned).sum();
            standing
        };
        by_rule.into_iter().map(make).collect()
    }

    fn block_names(&self, blocks: impl Iterator<Item = BlockId>) -> Vec<String> {
        let mut names: Vec<_> = blocks
            .map(|block| self.block_name(block).to_owned())
            .collect();
        names.sort();
        names
    }

    pub(super) fn of_block(&self, block: &Block, strata: &Strata<'_>) -> Standing {
        let rule = self.rule(block.id);
        let parts: Vec<_> = strata
            .iter()
            .filter(|((_, id), _)| *id == block.id)
            .collect();
        let seen: Vec<_> = parts.iter().map(|(_, stratum)| *stratum).collect();
        let judged = judged(&seen, rule, judge_block);
        let mut standing = self.assemble(Subject::block(block), rule, &judged);
        standing.blocks = vec![block.name.clone()];
        standing.pruned = parts.iter().map(|(_, stratum)| stratum.pruned).sum();
        standing.not_looked_at = (parts.iter())
            .filter(|(_, stratum)| stratum.counts.is_empty() && stratum.to_judge > 0)
            .map(|((pruner, _), _)| self.pruner_shown(*pruner))
            .collect();
        standing.unsampled = unsampled_of(&seen);
        standing
    }

    fn assemble(&self, subject: Subject, rule: &Rule, judged: &Judged<'_>) -> Standing {
        let (judgement, counts) = (judged.judgement, judged.counts.as_slice());
        let left = self.pieces_of(counts);
        let means = [Metric::One, Metric::Two, Metric::Three, Metric::FourPlus]
            .map(|m| judgement.metric(m).mean);
        let mix = means
            .iter()
            .all(Option::is_some)
            .then(|| means.map(Option::unwrap_or_default));
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
            target: rule.target(),
            bands: bands(rule),
            mix,
            pieces: counts.iter().fold([0; 4], |sum, count| {
                std::array::from_fn(|k| sum[k] + count.tally.ages[k])
            }),
            pieces_a_tree: left.map(|left| left.iter().sum::<f64>()),
            left,
            offered: None,
            judgement,
            buds: Size::ALL.map(|size| BudFigures::new(size, rule.bud_limit(size), counts)),
            wrong_age: judged.wrong_age,
            upright_a_tree: self.a_tree(counts, |count| count.tally.upright),
            thick_top_a_tree: self.a_tree(counts, |count| count.tally.thick_top),
            by_day: by_day(counts, rule),
            tree_mixes: counts.iter().filter_map(|count| tree_mix(count)).collect(),
        }
    }

    /// The mean of a number over whole trees; what was counted in part is scaled up. None without counts that can be.
    fn a_tree(&self, counts: &[&TreeCount], number: impl Fn(&TreeCount) -> u32) -> Option<f64> {
        let scaled = |count: &&TreeCount| Some(f64::from(number(count)) * self.scale(count)?);
        let (sum, n) = (counts.iter().filter_map(scaled))
            .fold((0.0, 0u32), |(sum, n), one| (sum + one, n + 1));
        (n > 0).then(|| sum / f64::from(n))
    }

    /// The whole tree over what was counted of it; none where that is not known.
    pub(in crate::report) fn scale(&self, count: &TreeCount) -> Option<f64> {
        self.part_of(count).map(|(part, _)| 1.0 / part)
    }
}

/// What one pruner did in one block.
#[derive(Debug, Default)]
pub(super) struct InBlock<'a> {
    /// Trees pruned.
    pruned: u32,
    /// Of these, those that the rule is meant for.
    to_judge: u32,
    /// The same by the day that they were pruned on; empty where batches do not count.
    days: BTreeMap<NaiveDate, u32>,
    counts: Vec<&'a TreeCount>,
}

impl InBlock<'_> {
    /// The counts as they are judged: by batch, a day's trees each. What the log does not know goes by the day of the count.
    fn sample(&self, rule: &Rule, without: &[&TreeCount]) -> Sample {
        let is_in = |count: &&TreeCount| without.iter().all(|out| out.id != count.id);
        let counts = self.counts.iter().copied().filter(is_in);
        if self.days.is_empty() {
            return sample(&counts.collect::<Vec<_>>(), rule);
        }
        let none = || Sample::new(rule.target());
        let pruned = self.days.iter();
        let mut days: BTreeMap<NaiveDate, (u32, Sample)> = pruned
            .map(|(day, trees)| (*day, (*trees, none())))
            .collect();
        for count in counts {
            let day = count.pruned_on.unwrap_or(count.head.at.day);
            let (_, sample) = days.entry(day).or_insert_with(|| (0, none()));
            sample.add(&TreeFigures::of(&count.tally, rule));
        }
        let days: Vec<(u32, Sample)> = days.into_values().collect();
        by_batch(&days, rule.target())
    }
}

pub(super) type Strata<'a> = BTreeMap<(PrunerId, BlockId), InBlock<'a>>;
type Within<'s, 'a> = (BlockId, &'s InBlock<'a>);

/// Before every block in order.
const FIRST_BLOCK: BlockId = BlockId(uuid::Uuid::nil());

/// Share of the trees in strata of which no tree was looked at, by the judge's measure; whatever was counted on a tree.
fn unsampled_of(strata: &[&InBlock<'_>]) -> f64 {
    let looked_at = |stratum: &&InBlock<'_>| {
        let mut sums = Sums::default();
        for _ in &stratum.counts {
            sums.add(1, 1);
        }
        (stratum.to_judge, sums)
    };
    let seen: Vec<_> = strata.iter().map(looked_at).collect();
    let seen: Vec<_> = (seen.iter())
        .map(|(pruned, sums)| Stratum {
            pruned: *pruned,
            sums,
        })
        .collect();
    unsampled(&seen)
}

/// Whether two rules judge alike. Where thin ends and thick begins is told to the crew, and part of no verdict.
fn judge_alike(one: &Rule, other: &Rule) -> bool {
    bands(one) == bands(other) && one.buds == other.buds
}

/// With more counts one more moves the forecast little, and looking back takes its time.
const STEADIED: usize = 100;

/// What strata come to.
struct Judged<'a> {
    judgement: Judgement,
    wrong_age: Option<WrongAge>,
    /// All counts, in order of counting.
    counts: Vec<&'a TreeCount>,
}

/// The verdict over strata.
fn judged<'a>(
    strata: &[&InBlock<'a>],
    rule: &Rule,
    judge: impl Fn(&[(u32, &Sample)], &[Band; 5]) -> Judgement,
) -> Judged<'a> {
    let mut counts: Vec<_> = strata
        .iter()
        .flat_map(|stratum| stratum.counts.iter().copied())
        .collect();
    counts.sort_by_key(|count| (count.head.at.utc_ms, count.id));
    let samples = samples(strata, rule, &[]);
    let pairs = pairs(&samples);
    let all = match pairs.as_slice() {
        [(_, only)] => (*only).clone(),
        _ => sample(&counts, rule),
    };
    let before = |back: usize| {
        let last = &counts[counts.len().saturating_sub(back)..];
        judge(
            &self::pairs(&self::samples(strata, rule, last)),
            &bands(rule),
        )
    };
    let now = judge(&pairs, &bands(rule));
    Judged {
        judgement: if counts.len() > STEADIED {
            now
        } else {
            steadied(&now, before)
        },
        wrong_age: of_strata(&pairs, &all),
        counts,
    }
}

/// The counts of strata as they are judged, with the trees that each has, without some counts.
fn samples(strata: &[&InBlock<'_>], rule: &Rule, without: &[&TreeCount]) -> Vec<(u32, Sample)> {
    let of = |stratum: &&InBlock<'_>| (stratum.to_judge, stratum.sample(rule, without));
    strata.iter().map(of).collect()
}

fn pairs(samples: &[(u32, Sample)]) -> Vec<(u32, &Sample)> {
    let pairs = samples.iter();
    pairs.map(|(trees, sample)| (*trees, sample)).collect()
}

fn sample(counts: &[&TreeCount], rule: &Rule) -> Sample {
    let mut sample = Sample::new(rule.target());
    for count in counts {
        sample.add(&TreeFigures::of(&count.tally, rule));
    }
    sample
}

/// Shares by age of one tree; none where it has no pieces.
fn tree_mix(count: &TreeCount) -> Option<[f64; 4]> {
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
