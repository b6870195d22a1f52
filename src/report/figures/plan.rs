//! Choosing the trees to look at.

use std::collections::{BTreeMap, HashMap, HashSet};

use chrono::NaiveDate;
use thiserror::Error;

use super::season::{Period, Place, Season};
use crate::judge::{More, Need, allocate, systematic_in};
use crate::orchard::{BlockId, Done, Draw, DrawId, DrawnTree, Fate, PrunerId, Stage};

/// Why no trees can be drawn, and what to do.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum PlanError {
    /// No tree was asked for.
    #[error("no tree was asked for: ask for at least 1")]
    NothingWanted,
    /// The period ends before it begins.
    #[error(
        "the days to draw from run from {since} back to {until}: give the first day before the last"
    )]
    Reversed {
        /// First day.
        since: NaiveDate,
        /// Last day.
        until: NaiveDate,
    },
    /// The work log is empty for the period.
    #[error(
        "no work is logged from {since} to {until}: log who pruned which rows first, or draw from other days"
    )]
    NoWork {
        /// First day.
        since: NaiveDate,
        /// Last day.
        until: NaiveDate,
    },
    /// Nobody can be reached.
    #[error("{minutes} minutes are too few for any tree: give more, or draw a number of trees")]
    TooShort {
        /// Minutes asked for.
        minutes: u16,
    },
    /// Nothing is left to draw.
    #[error(
        "all that was pruned from {since} to {until} is drawn or counted already (trees: {trees}): log new work, or draw from more days"
    )]
    AllDrawn {
        /// Trees pruned in the period.
        trees: usize,
        /// First day.
        since: NaiveDate,
        /// Last day.
        until: NaiveDate,
    },
}

impl Season {
    /// Draws `want` trees at random (fewer, where fewer are left) out of those pruned from `since` to `until`.
    ///
    /// Trees that were drawn or counted since they were pruned are left out; a row that was pruned again after it was
    /// sent back can be drawn again. The trees are spread over the pruners, so that those farthest from a verdict get
    /// more; each pruner's are a random systematic sample in walking order. The same season, arguments and `seed` give
    /// the same trees. `day` is the day of the draw, `id` its identity.
    pub fn plan_draw(
        &self,
        want: usize,
        since: NaiveDate,
        until: NaiveDate,
        seed: u64,
        id: DrawId,
        day: NaiveDate,
    ) -> Result<Draw, PlanError> {
        if want == 0 {
            return Err(PlanError::NothingWanted);
        }
        if since > until {
            return Err(PlanError::Reversed { since, until });
        }
        let pool = self.undrawn(since, until)?;
        let mut trees = self.choose(want, &pool, seed, day);
        let order = self.walking_order();
        trees.sort_by_key(|tree| (order.get(&tree.block).copied(), tree.row, tree.tree));
        Ok(Draw {
            id,
            winter: self.winter.id,
            day,
            since,
            until,
            seed,
            trees: self.with_runs(trees, seed),
        })
    }

    /// Trees pruned from `since` to `until` that can be drawn.
    pub fn trees_to_draw(&self, since: NaiveDate, until: NaiveDate) -> usize {
        let since = Some(since);
        self.not_looked_at(&self.pruned(Period { since, until }))
            .count()
    }

    /// The last day of work up to a day of which trees can be drawn; none where all are drawn or counted.
    pub fn last_day_to_draw(&self, until: NaiveDate) -> Option<NaiveDate> {
        let pruned = self.pruned(Period::so_far(until));
        self.not_looked_at(&pruned)
            .map(|(_, entry)| entry.day)
            .max()
    }

    /// Those of pruned trees that were neither drawn nor counted since, do not wait in a draw, and are no trees that the
    /// rule is not meant for.
    fn not_looked_at<'p>(
        &self,
        pruned: &'p BTreeMap<Place, Done>,
    ) -> impl Iterator<Item = (Place, Done)> + use<'_, 'p> {
        let seen = self.last_looked_at();
        let waiting = self.waiting_places();
        let open = move |place: &Place, entry: &Done| {
            let looked_at = seen.get(place).is_some_and(|day| *day >= entry.day);
            !looked_at && !waiting.contains(place) && !self.marks.is_outside(*place)
        };
        let pruned = pruned.iter().map(|(place, done)| (*place, *done));
        pruned.filter(move |(place, entry)| open(place, entry))
    }

    /// By pruner's number: the trees to choose from, in walking order.
    pub(super) fn undrawn(&self, since: NaiveDate, until: NaiveDate) -> Result<Pool, PlanError> {
        let pruned = self.pruned(Period {
            since: Some(since),
            until,
        });
        if pruned.is_empty() {
            return Err(PlanError::NoWork { since, until });
        }
        let mut pool = Pool::new();
        for (place, entry) in self.not_looked_at(&pruned) {
            // of a tree that several did, what is drawn is drawn of them together
            if let Some(pruner) = self.pruner(entry.by.subject()) {
                pool.entry((pruner.number, pruner.id))
                    .or_insert_with(|| (entry.by.person(), Vec::new()))
                    .1
                    .push(place);
            }
        }
        if pool.is_empty() {
            return Err(PlanError::AllDrawn {
                trees: pruned.len(),
                since,
                until,
            });
        }
        let order = self.walking_order();
        for (_, trees) in pool.values_mut() {
            trees.sort_by_key(|(block, row, tree)| (order.get(block).copied(), *row, *tree));
        }
        Ok(pool)
    }

    /// The last day up to which each tree's pruning has been drawn from or counted.
    fn last_looked_at(&self) -> HashMap<Place, NaiveDate> {
        let drawn = self.draws.iter().flat_map(|draw| {
            (draw.trees.iter()).map(|tree| ((tree.block, tree.row, tree.tree), draw.until))
        });
        let counted = (self.counts().iter())
            .map(|count| &count.head)
            .filter(|head| head.stage == Stage::After && !head.again)
            .map(|head| ((head.block, head.row, head.tree), head.at.day));
        let mut last = HashMap::new();
        for (place, day) in drawn.chain(counted) {
            let known = last.entry(place).or_insert(day);
            *known = day.max(*known);
        }
        last
    }

    /// Where drawn trees stand that wait.
    pub(super) fn waiting_places(&self) -> HashSet<Place> {
        (self.drawn(&self.draws))
            .filter(|drawn| drawn.fate == super::FateLine::Waiting)
            .map(|drawn| drawn.stands())
            .collect()
    }

    fn choose(&self, want: usize, pool: &Pool, seed: u64, day: NaiveDate) -> Vec<DrawnTree> {
        let far = self.how_far(day);
        let needs: Vec<Need> = pool
            .iter()
            .map(|((_, pruner), (_, trees))| {
                let (more, n) = far.get(pruner).copied().unwrap_or((More::Unknown, 0));
                Need {
                    trees_available: trees.len(),
                    more,
                    n,
                }
            })
            .collect();
        Self::drawn_of(pool, &allocate(want, &needs), seed)
    }

    /// So many trees of each of a pool, by lot, in its order.
    pub(super) fn drawn_of(pool: &Pool, given: &[usize], seed: u64) -> Vec<DrawnTree> {
        let mut chosen = Vec::new();
        for (((number, _), (person, trees)), k) in pool.iter().zip(given) {
            for at in systematic_in(trees.len(), *k, seed, u64::from(*number)) {
                let (block, row, tree) = trees[at];
                chosen.push(DrawnTree {
                    block,
                    row,
                    tree,
                    pruner: *person,
                    runs: None,
                    fate: Fate::Waiting,
                });
            }
        }
        chosen
    }

    /// How far each pruner is from a verdict, and trees counted. Under several rules the farthest one holds.
    fn how_far(&self, day: NaiveDate) -> HashMap<PrunerId, (More, u32)> {
        let mut far: HashMap<PrunerId, (More, u32)> = HashMap::new();
        for standing in self.crew_standings(Period::so_far(day)) {
            let Some(id) = standing.subject.pruner_id() else {
                continue;
            };
            let (more, n) = far.entry(id).or_insert((More::Settled, 0));
            let settled = standing.judgement.until_settled;
            if distance(settled) > distance(*more) {
                *more = settled;
            }
            *n += standing.trees;
        }
        far
    }

    /// The place of each block in walking order.
    pub(super) fn walking_order(&self) -> BTreeMap<BlockId, usize> {
        (self.blocks.iter().zip(0..))
            .map(|(block, at)| (block.id, at))
            .collect()
    }
}

/// By number and identity of who is judged: a person who did the trees, and the trees.
pub(super) type Pool = BTreeMap<(u16, PrunerId), (PrunerId, Vec<Place>)>;

fn distance(more: More) -> u16 {
    match more {
        More::Settled => 0,
        More::About(trees) => trees,
        More::Unknown | More::NotLookedAt => 30,
        More::TooClose => 61,
    }
}
