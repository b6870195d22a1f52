//! A draw for the minutes there are: to whom the trees go, in which order they are walked to, and what the walk takes.

use std::collections::{BTreeMap, HashMap};

use chrono::NaiveDate;

use super::plan::{PlanError, Pool};
use super::season::{Period, Place, Season};
use super::standing::Standing;
use crate::judge::{Candidate, Known, Lie, Until, Verdict, reach_m, share_out};
use crate::orchard::{Block, BlockId, Draw, DrawId, DrawnTree, PrunerId, Stage};

/// Metres a second between trees. From memory.
const PACE: f64 = 1.2;
/// Seconds of a tree with its walk where nobody has counted yet: finding and handling it, and some thirty pieces. From
/// memory.
const USUAL_SECONDS: f64 = 250.0;
/// Seconds of a tree at least, whatever the walk took of the known time.
const LEAST_SECONDS: f64 = 60.0;
/// Walk of a tree in the known time, m: by simulation of such draws.
const USUAL_WALK_M: f64 = 39.0;
/// Trees further apart than this, m, can be walked between. Common practice, no source.
const CROSSED_FROM_M: f64 = 3.0;

/// What a walk takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WalkTakes {
    /// Metres between the trees, by the alleys.
    pub metres: f64,
    /// Minutes, the counting with it.
    pub minutes: f64,
}

impl Season {
    /// Draws as many trees as fit into some minutes out of those pruned from `since` to `until`: whom they are of is chosen by
    /// where the next word is worth most for its time, which trees of theirs by lot. Walked alley by alley, both rows at
    /// once. People who have left get none. The same season, arguments and `seed` give the same trees.
    pub fn plan_minutes(
        &self,
        minutes: u16,
        (since, until): (NaiveDate, NaiveDate),
        seed: u64,
        id: DrawId,
        day: NaiveDate,
    ) -> Result<Draw, PlanError> {
        let mut pool = self.undrawn(since, until)?;
        pool.retain(|(_, pruner), _| self.is_here(*pruner, day));
        let given = self.shared_out(f64::from(minutes) * 60.0, &pool, day);
        let trees = Self::drawn_of(&pool, &given, seed);
        if trees.is_empty() {
            return Err(PlanError::TooShort { minutes });
        }
        Ok(Draw {
            id,
            winter: self.winter.id,
            day,
            since,
            until,
            seed,
            trees: self.with_runs(self.by_alleys(&trees), seed),
        })
    }

    /// Whether somebody has not left; teams are there as long as anybody of them may be.
    fn is_here(&self, pruner: PrunerId, day: NaiveDate) -> bool {
        let known = self.pruners.iter().find(|known| known.id == pruner);
        let stint = self.labour.stints.get(&pruner);
        let left = stint.and_then(|stint| stint.leaves);
        known.is_none_or(|known| known.active) && left.is_none_or(|left| left >= day)
    }

    /// Trees for each of a pool, in its order.
    fn shared_out(&self, seconds: f64, pool: &Pool, day: NaiveDate) -> Vec<usize> {
        let standings = self.crew_standings(Period::so_far(day));
        let last = self.last_day_of_each(day);
        let each = self.seconds_a_tree();
        let of = |pruner: PrunerId| {
            let own = standings
                .iter()
                .filter(|s| s.subject.pruner_id() == Some(pruner));
            // under two rules the one that is known less
            own.min_by_key(|standing| standing.trees)
        };
        let people: Vec<Candidate> = (pool.iter())
            .map(|((_, pruner), (_, trees))| {
                let standing = of(*pruner);
                let days_since = last.get(pruner).map_or(u32::MAX, |last| {
                    u32::try_from((day - *last).num_days()).unwrap_or(0)
                });
                Candidate {
                    n: standing.map_or(0, |standing| standing.trees),
                    known: standing.map_or(Known::Open, known),
                    until: standing.map_or(Until::FAR, |standing| standing.judgement.until),
                    available: trees.len(),
                    seconds: each,
                    days_since,
                }
            })
            .collect();
        let frames: Vec<&Vec<Place>> = pool.values().map(|(_, trees)| trees).collect();
        let reach = |i: usize, chosen: &[usize]| {
            let gone_to = chosen.iter().flat_map(|at| frames[*at].iter());
            self.reach_of(frames[i], gone_to) / PACE
        };
        share_out(seconds, &people, reach)
    }

    /// The day on which a tree of each was counted last.
    fn last_day_of_each(&self, day: NaiveDate) -> HashMap<PrunerId, NaiveDate> {
        let mut last = HashMap::new();
        for count in self.standing_counts(Stage::After, Period::so_far(day)) {
            if let Some(pruner) = count.pruner() {
                let known = last.entry(pruner).or_insert(count.head.at.day);
                *known = count.head.at.day.max(*known);
            }
        }
        last
    }

    /// Seconds that a tree takes, the walk apart.
    fn seconds_a_tree(&self) -> f64 {
        let timed = (self.usual_take()).filter(|_| self.trees_timed() > 0);
        let known = timed.map(|(_, seconds)| seconds);
        let known = known.or_else(|| Some(self.minutes_a_tree()? * 60.0));
        (known.unwrap_or(USUAL_SECONDS) - USUAL_WALK_M / PACE).max(LEAST_SECONDS)
    }

    /// Metres that going to some trees adds to a walk to others.
    fn reach_of<'p>(&self, frame: &[Place], gone_to: impl Iterator<Item = &'p Place>) -> f64 {
        let mut rows: HashMap<BlockId, Vec<u16>> = HashMap::new();
        for (block, row, _) in gone_to {
            rows.entry(*block).or_default().push(*row);
        }
        let mut stretches: BTreeMap<BlockId, BTreeMap<u16, (u16, u16)>> = BTreeMap::new();
        for (block, row, tree) in frame {
            let ends = stretches
                .entry(*block)
                .or_default()
                .entry(*row)
                .or_insert((*tree, *tree));
            *ends = (ends.0.min(*tree), ends.1.max(*tree));
        }
        let of_block = |(id, own): (BlockId, BTreeMap<u16, (u16, u16)>)| {
            let own: Vec<_> = own
                .into_iter()
                .map(|(row, (lo, hi))| (row, lo, hi))
                .collect();
            let gone_to = rows.get(&id).map_or(&[][..], Vec::as_slice);
            self.block(id)
                .map_or(0.0, |block| reach_m(lie(block), &own, gone_to))
        };
        stretches.into_iter().map(of_block).sum()
    }

    /// The order in which trees are walked to: block by block, alley by alley, both its rows at once, to and fro; by the
    /// shorter of the two ways to pair rows.
    fn by_alleys(&self, trees: &[DrawnTree]) -> Vec<DrawnTree> {
        let ways = [0, 1].map(|pairing| {
            let mut trees = trees.to_vec();
            let order = self.walking_order();
            let alley = |tree: &DrawnTree| u16::midpoint(tree.row, pairing);
            trees.sort_by_key(|tree| (order.get(&tree.block).copied(), alley(tree), tree.tree));
            let mut back = false;
            for same in trees.chunk_by_mut(|a, b| (a.block, alley(a)) == (b.block, alley(b))) {
                if back {
                    same.reverse();
                }
                back = !back;
            }
            trees
        });
        let [one, other] = ways;
        if self.metres(&one) <= self.metres(&other) {
            one
        } else {
            other
        }
    }

    /// Metres from tree to tree, with the way into each block.
    fn metres(&self, trees: &[DrawnTree]) -> f64 {
        let enters = trees.chunk_by(|a, b| a.block == b.block).count() as f64;
        let step = |pair: &[DrawnTree]| {
            let block = self
                .block(pair[0].block)
                .filter(|block| block.id == pair[1].block);
            block.map_or(0.0, |block| between(block, &pair[0], &pair[1]))
        };
        enters * reach_m(NOWHERE, &[], &[]) + trees.windows(2).map(step).sum::<f64>()
    }

    /// What walking to the trees of a draw and counting them takes.
    pub fn takes(&self, draw: &Draw) -> WalkTakes {
        let metres = self.metres(&draw.trees);
        let counting = draw.trees.len() as f64 * self.seconds_a_tree();
        WalkTakes {
            metres,
            minutes: (counting + metres / PACE) / 60.0,
        }
    }
}

/// A block without rows: only the way to it is left.
const NOWHERE: Lie = Lie {
    row_m: 0.0,
    tree_m: 0.0,
    trees: 0,
    crossed: true,
};

fn lie(block: &Block) -> Lie {
    let longest = block.rows.rows().iter().map(|row| row.places).max();
    Lie {
        row_m: block.row_spacing_m,
        tree_m: block.tree_spacing_m,
        trees: longest.unwrap_or(0),
        crossed: block.tree_spacing_m >= CROSSED_FROM_M,
    }
}

/// Metres from one tree of a block to another: along an alley, and from one alley to another by the nearer end of the rows, or
/// between the trees where there is room.
fn between(block: &Block, from: &DrawnTree, to: &DrawnTree) -> f64 {
    let lie = lie(block);
    let along = f64::from(from.tree.abs_diff(to.tree)) * lie.tree_m;
    let across = f64::from(from.row.abs_diff(to.row)) * lie.row_m;
    if from.row.abs_diff(to.row) <= 1 {
        return along;
    }
    if lie.crossed {
        return along + across;
    }
    let (one, other) = (f64::from(from.tree), f64::from(to.tree));
    let far = f64::from(lie.trees) * 2.0 - one - other;
    (one + other).min(far) * lie.tree_m + across
}

fn known(standing: &Standing) -> Known {
    let judgement = &standing.judgement;
    match judgement.overall {
        Verdict::InBalance | Verdict::Light | Verdict::Heavy => Known::Settled,
        Verdict::LeaningLight | Verdict::LeaningHeavy => Known::Leaning,
        _ if judgement.hint.is_some() => Known::Hint,
        Verdict::NothingBadlyWrong => Known::Fine,
        Verdict::KeepCounting => Known::Open,
    }
}
