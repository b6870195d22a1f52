//! The days of the invented orchard: yesterday's work is drawn from and counted, row by row.

use std::collections::{BTreeSet, HashMap};

use chrono::NaiveDate;

use super::Habit;
use super::habit::{begun_tree, pruned_tree, unpruned_tree};
use super::maker::{Maker, made, moment};
use super::planting::{Member, Orchard, Planting};
use crate::judge::{
    Leaders, Need, Sample, THIRDS, Take, TreeFigures, allocate, bands, judge, lot, runs,
    systematic_in,
};
use crate::orchard::{
    BlockId, Chosen, CountHead, CountId, Draw, DrawId, DrawnTree, Fate, InFull, Part, PieceRuns,
    PrunerId, Stage, Tally, TreeCount, WorkEntry,
};
use crate::store::{Store, StoreError};

/// Trees drawn a day for each pruner who worked.
const DRAWN_EACH: f64 = 5.5;
/// The most that anybody gets, however far from a verdict: nobody is watched all day.
const MOST_EACH: usize = 8;
/// When counting begins, seconds after midnight.
const COUNTING_BEGINS: i64 = 27_900;
/// Share of counts that look at two stems instead of one.
const IN_PART: f64 = 0.08;
/// Trees counted by eye on a day, besides the one that was counted before pruning.
const BY_EYE: usize = 2;
/// From this day on (counted from 0) it is the second week.
const SECOND_WEEK: usize = 6;

/// A tree's place: block by place in the list, row, place in the row.
pub(super) type Place = (usize, u16, u16);

/// Counting, day by day.
pub(super) struct Counting<'a> {
    store: &'a Store,
    orchard: &'a Orchard,
    drawn: BTreeSet<Place>,
    samples: HashMap<PrunerId, Sample>,
    clock: i64,
    pub(super) counts: usize,
}

/// What a day's counting rests on.
pub(super) struct Day<'w> {
    /// From 0.
    pub(super) at: usize,
    pub(super) date: NaiveDate,
    /// The day of `work`.
    pub(super) before: NaiveDate,
    /// The last working day's work.
    pub(super) work: &'w [WorkEntry],
    /// A tree that was counted before it was pruned.
    pub(super) offered: Option<Place>,
    /// Whether counting stops in the middle.
    pub(super) half: bool,
}

impl<'a> Counting<'a> {
    pub(super) fn new(store: &'a Store, orchard: &'a Orchard) -> Self {
        let sample = || Sample::new(orchard.rule.target());
        let crew = orchard.crew.iter();
        Self {
            store,
            orchard,
            drawn: BTreeSet::new(),
            samples: crew.map(|m| (m.pruner.id, sample())).collect(),
            clock: 0,
            counts: 0,
        }
    }

    /// Counts what one of today's trees offers before it is pruned. Gives its place.
    pub(super) fn offer(
        &mut self,
        maker: &mut Maker,
        day: NaiveDate,
        work: &[WorkEntry],
    ) -> Result<Option<Place>, StoreError> {
        self.clock = COUNTING_BEGINS - 600;
        let trees = self.trees(work);
        let Some((place, _)) = trees.get(maker.below(trees.len())).copied() else {
            return Ok(None);
        };
        let tally = unpruned_tree(maker, self.planting(place).pieces);
        let head = self.head(day, place, None, Chosen::ByEye);
        self.keep(maker, head, tally, true)?;
        Ok(Some(place))
    }

    /// Makes the draw of a day and counts its trees, then some by eye. Where counting stops in the
    /// middle, the next tree is begun and left open.
    pub(super) fn day(&mut self, maker: &mut Maker, day: &Day<'_>) -> Result<(), StoreError> {
        self.clock = COUNTING_BEGINS;
        let trees = self.trees(day.work);
        let draw = self.draw(maker, day, &trees);
        let look_at = if day.half { draw.len() / 2 } else { draw.len() };
        for (place, pruner, fate) in draw.iter().take(look_at) {
            if *fate == Fate::Waiting {
                self.count(maker, day, *place, *pruner, Chosen::Drawn)?;
            }
        }
        self.store_draw(maker, day, &draw, look_at)?;
        let owner = |place: Place| trees.iter().find(|(other, _)| *other == place);
        if let Some((place, pruner)) = day.offered.and_then(owner) {
            self.count(maker, day, *place, *pruner, Chosen::ByEye)?;
        }
        for _ in 0..BY_EYE {
            let (place, pruner) = trees[maker.below(trees.len())];
            if self.drawn.insert(place) {
                self.count(maker, day, place, pruner, Chosen::ByEye)?;
            }
        }
        if let Some((place, pruner, _)) = draw.get(look_at) {
            let head = self.head(day.date, *place, Some(*pruner), Chosen::Drawn);
            self.keep(maker, head, begun_tree(), false)?;
        }
        Ok(())
    }

    /// The trees of some work in walking order, each with who pruned it.
    fn trees(&self, work: &[WorkEntry]) -> Vec<(Place, PrunerId)> {
        let mut trees = Vec::new();
        for entry in work {
            let Some(at) = self.block_at(entry.block) else {
                continue;
            };
            let row = self.orchard.blocks[at].block.rows.row(entry.row);
            let standing = |tree: &u16| row.is_some_and(|row| row.has_tree(*tree));
            let places = (entry.first..=entry.last).filter(standing);
            trees.extend(places.map(|tree| ((at, entry.row, tree), entry.pruner)));
        }
        trees.sort_unstable();
        trees
    }

    fn block_at(&self, block: BlockId) -> Option<usize> {
        let mut blocks = self.orchard.blocks.iter();
        blocks.position(|planting| planting.block.id == block)
    }

    /// Draws trees, more from those who are farthest from a verdict. In walking order.
    fn draw(
        &mut self,
        maker: &mut Maker,
        day: &Day<'_>,
        trees: &[(Place, PrunerId)],
    ) -> Vec<(Place, PrunerId, Fate)> {
        let bands = bands(&self.orchard.rule);
        let mut frames: Vec<(&Member, Vec<Place>)> = Vec::new();
        for member in &self.orchard.crew {
            let own = trees.iter().filter(|(place, pruner)| {
                *pruner == member.pruner.id && !self.drawn.contains(place)
            });
            let own: Vec<Place> = own.map(|(place, _)| *place).collect();
            if !own.is_empty() {
                frames.push((member, own));
            }
        }
        let needs: Vec<Need> = frames
            .iter()
            .filter_map(|(member, own)| {
                let sample = self.samples.get(&member.pruner.id)?;
                Some(Need {
                    trees_available: own.len().min(MOST_EACH),
                    more: judge(sample, &bands).until_settled,
                    n: sample.trees(),
                })
            })
            .collect();
        let k = (frames.len() as f64 * DRAWN_EACH).round() as usize;
        let seed = draw_seed(day);
        let mut drawn = Vec::new();
        for ((member, own), k) in frames.iter().zip(allocate(k, &needs)) {
            let stream = u64::from(member.pruner.number);
            for at in systematic_in(own.len(), k, seed, stream) {
                let fate = if maker.chance(0.015) {
                    Fate::Skipped("graft broken, no head".into())
                } else {
                    Fate::Waiting
                };
                drawn.push((own[at], member.pruner.id, fate));
            }
        }
        drawn.sort_by_key(|(place, ..)| *place);
        self.drawn.extend(drawn.iter().map(|(place, ..)| *place));
        drawn
    }

    fn store_draw(
        &self,
        maker: &mut Maker,
        day: &Day<'_>,
        drawn: &[(Place, PrunerId, Fate)],
        counted: usize,
    ) -> Result<(), StoreError> {
        let seed = draw_seed(day);
        let trees = drawn.iter().enumerate();
        let trees = trees.map(|(at, (place, pruner, fate))| DrawnTree {
            // those that are counted, or begun, are counted as the supervisor chose
            runs: (at > counted)
                .then(|| self.part(*place, seed, at))
                .flatten(),
            block: self.planting(*place).block.id,
            row: place.1,
            tree: place.2,
            pruner: *pruner,
            fate: fate.clone(),
        });
        self.store.add_draw(&Draw {
            id: DrawId(maker.id(moment(day.date, COUNTING_BEGINS - 60))),
            winter: self.orchard.winter.id,
            day: day.date,
            since: day.before,
            until: day.before,
            seed,
            trees: trees.collect(),
        })
    }

    /// The leaders and pieces drawn for a tree.
    fn part(&self, place: Place, seed: u64, at: usize) -> Option<PieceRuns> {
        let planting = self.planting(place);
        let leaders = Leaders {
            of: planting.block.stems,
            pieces: planting.pieces,
            thirds: THIRDS,
        };
        let take = Take::on(leaders.of, leaders.pieces)?;
        let runs = runs(&leaders, take, lot(seed, at));
        PieceRuns::new(leaders.of, runs, InFull::No).ok()
    }

    fn planting(&self, place: Place) -> &'a Planting {
        &self.orchard.blocks[place.0]
    }

    /// Counts a pruned tree.
    fn count(
        &mut self,
        maker: &mut Maker,
        day: &Day<'_>,
        place: Place,
        pruner: PrunerId,
        chosen: Chosen,
    ) -> Result<(), StoreError> {
        let planting = self.planting(place);
        let stems = planting.block.stems;
        let mut head = self.head(day.date, place, Some(pruner), chosen);
        let mut pieces = planting.pieces;
        if stems > 2 && maker.chance(IN_PART) {
            head.part = Part::Stems(2);
            pieces *= 2.0;
        }
        let mut crew = self.orchard.crew.iter();
        let habit = crew.find(|member| member.pruner.id == pruner);
        let habit = habit.map_or(Habit::Good, |member| member.habit);
        // the trees of this day were pruned the working day before
        let tally = pruned_tree(maker, habit, day.at > SECOND_WEEK, pieces);
        if let Some(sample) = self.samples.get_mut(&pruner) {
            sample.add(&TreeFigures::of(&tally, &self.orchard.rule));
        }
        self.keep(maker, head, tally, true)
    }

    fn head(
        &self,
        day: NaiveDate,
        place: Place,
        pruner: Option<PrunerId>,
        chosen: Chosen,
    ) -> CountHead {
        CountHead {
            winter: self.orchard.winter.id,
            block: self.planting(place).block.id,
            row: place.1,
            tree: place.2,
            pruner,
            stage: if pruner.is_some() {
                Stage::After
            } else {
                Stage::Before
            },
            // one stem of a tree is counted, now and then two
            part: Part::Stems(1),
            chosen,
            counter: "Ines".into(),
            at: moment(day, self.clock),
            note: String::new(),
            again: false,
        }
    }

    fn keep(
        &mut self,
        maker: &mut Maker,
        head: CountHead,
        tally: Tally,
        closed: bool,
    ) -> Result<(), StoreError> {
        let mut blocks = self.orchard.blocks.iter();
        let block = blocks.find(|planting| planting.block.id == head.block);
        let Some(planting) = block else {
            return Ok(());
        };
        let count = TreeCount {
            id: CountId(maker.id(head.at)),
            head: made(head.check(&planting.block))?,
            tally,
            closed,
            by_log: None,
            pruned_on: None,
        };
        self.store.add_count(&count)?;
        self.counts += 1;
        self.clock += maker.between(150.0, 270.0) as i64;
        Ok(())
    }
}

/// The seed of a day's draw: the day's number, so that it can be told over the telephone.
fn draw_seed(day: &Day<'_>) -> u64 {
    use chrono::Datelike;
    u64::from(day.date.num_days_from_ce().unsigned_abs())
}
