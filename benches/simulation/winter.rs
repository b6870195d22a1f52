//! A winter of a supervisor, played on an invented orchard by the program itself: its log, its draws, its walk and its
//! verdicts. Only the trees, the pace of the pruners and the time that a count takes are invented here.
//!
//! - Three blocks: old trees 5.5 x 5 m, four limbs of 100 pieces, rows of 36; six stems of 35 pieces, 4 x 1.5 m, rows of 120;
//!   single stems of 95 pieces, 3.5 x 1 m, rows of 120. A third of the crew works in each, each pruner row after row:
//!   18, 40 or 80 trees a day.
//! - Pieces of a tree: ages about the pruner's true mix, alike within a tree and within a run of it (Dirichlet-multinomial in
//!   two stages, [`Alike::USUAL`]); the buds of its two-year pieces: beta-binomial, correlation 0.10. Trees are independent.
//! - A count takes 66 s of finding and handling, 14 s a run and 5 s a piece; the walk goes at 1.2 m/s.

use chrono::{Days, NaiveDate};
use rand::seq::SliceRandom;
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha12Rng;
use rand_distr::{Distribution, Gamma};
use thirdwood::judge::{Alike, Seconds, Take, Verdict};
use thirdwood::orchard::{
    Block, BlockDraft, BlockId, Chosen, CountHead, CountId, Draw, DrawId, DrawnTree, How, Part,
    Pruner, PrunerDraft, PrunerId, RowPlan, Stage, Stamp, Tally, TreeCount, Winter, WinterDraft,
    WinterId, WorkDraft, WorkEntry, WorkId,
};
use thirdwood::report::{Period, Season};
use thirdwood::store::Store;
use uuid::Uuid;

const TAKES: Seconds = Seconds {
    tree: 66.0,
    run: 14.0,
    piece: 5.0,
};
/// Metres a second.
const PACE: f64 = 1.2;
/// Correlation of the buds within a tree.
const BUDS_ALIKE: f64 = 0.10;
/// Minutes that a tree is taken to need with its whole stem, before any was counted.
const FIRST_GUESS: f64 = 10.0;
/// Working days after which the parties change blocks, where they do.
const WEEK: u16 = 5;

/// Name, metres between rows and trees, stems, places a row, pieces a stem, trees that a pruner does in a day.
const BLOCKS: [(&str, f64, f64, u8, u16, u8, u16); 3] = [
    ("old", 5.5, 5.0, 4, 36, 100, 18),
    ("six", 4.0, 1.5, 6, 120, 35, 40),
    ("single", 3.5, 1.0, 1, 120, 95, 80),
];

/// What a pruner truly does.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Truth {
    /// A third of each age, buds 0.92.
    OnTarget,
    /// One-year wood at the band's lower edge: innocent.
    AtEdge,
    /// One-year wood 0.15.
    TooLittleYoung,
    /// Buds 0.55.
    BudsNotKept,
}

impl Truth {
    fn ages(self) -> [f64; 3] {
        let one = match self {
            Self::OnTarget | Self::BudsNotKept => 1.0 / 3.0,
            Self::AtEdge => 1.0 / 3.0 - 0.10,
            Self::TooLittleYoung => 0.15,
        };
        let other = (1.0 - one) / 2.0;
        [one, other, other]
    }

    fn buds(self) -> f64 {
        if self == Self::BudsNotKept {
            0.55
        } else {
            0.92
        }
    }

    pub fn is_off(self) -> bool {
        matches!(self, Self::TooLittleYoung | Self::BudsNotKept)
    }
}

/// How the supervisor works.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Way {
    /// A number of trees, two of each pruner and the rest by how far each is from a verdict, in order of rows; of each a
    /// whole stem.
    WholeStems,
    /// As many trees as fit into the minutes, by what the next word is worth, by alleys; of each two runs of ten.
    Priced,
}

/// What is played.
#[derive(Clone)]
pub struct Plan {
    pub way: Way,
    pub crew: Vec<Truth>,
    /// Minutes of the supervisor a day.
    pub minutes: u16,
    /// Days at most.
    pub days: u16,
    /// Whether the parties change blocks each week.
    pub moving: bool,
}

/// What is known of a pruner, and since which minute of the supervisor.
#[derive(Clone, Copy, Default)]
pub struct Course {
    pub leaning: Option<f64>,
    pub out: Option<f64>,
    pub fine: Option<f64>,
    pub balance: Option<f64>,
}

/// A winter that was played.
pub struct Played {
    pub crew: Vec<(Truth, Course)>,
    pub trees: u32,
    pub metres: f64,
    /// Minutes that each day took.
    pub days: Vec<f64>,
}

struct Row {
    number: u16,
    /// The next tree.
    next: u16,
}

struct World<'p> {
    plan: &'p Plan,
    season: Season,
    lots: ChaCha12Rng,
    /// Rows in work, by pruner and block.
    rows: Vec<[Option<Row>; 3]>,
    /// Rows begun, by block.
    begun: [u16; 3],
    ids: u128,
    played: Played,
}

/// Plays one winter.
pub fn play(plan: &Plan, seed: u64, winter: u64) -> Played {
    let mut lots = ChaCha12Rng::seed_from_u64(seed);
    lots.set_stream(winter);
    let mut crew = plan.crew.clone();
    crew.shuffle(&mut lots);
    let mut world = World {
        plan,
        season: orchard(crew.len() as u16),
        lots,
        rows: crew.iter().map(|_| [None, None, None]).collect(),
        begun: [0; 3],
        ids: 1_000,
        played: Played {
            crew: crew.iter().map(|one| (*one, Course::default())).collect(),
            trees: 0,
            metres: 0.0,
            days: Vec::new(),
        },
    };
    for day in 0..plan.days {
        world.prune(day);
        let draw = world.draw(day);
        world.walk(&draw);
        if world.played.is_settled() {
            break;
        }
    }
    world.played
}

impl Played {
    fn is_settled(&self) -> bool {
        let settled = |(_, course): &(Truth, Course)| course.out.or(course.balance).is_some();
        self.crew.iter().all(settled)
    }
}

fn date(day: u16) -> NaiveDate {
    NaiveDate::from_ymd_opt(2027, 1, 4).unwrap() + Days::new(u64::from(day))
}

fn orchard(pruners: u16) -> Season {
    let store = Store::in_memory().unwrap();
    let draft = WinterDraft {
        label: "2027".into(),
        start: date(0),
        budburst: date(100),
        block_budburst: std::collections::BTreeMap::new(),
    };
    let winter = Winter::new(WinterId(Uuid::from_u128(1)), draft).unwrap();
    store.save_winter(&winter).unwrap();
    for (at, (name, row_m, tree_m, stems, places, ..)) in BLOCKS.into_iter().enumerate() {
        let draft = BlockDraft {
            name: format!("{at} {name}"),
            variety: "Conference".into(),
            row_spacing_m: row_m,
            tree_spacing_m: tree_m,
            stems,
            rows: RowPlan::parse(&format!("1-600x{places}"), "").unwrap(),
            ..BlockDraft::default()
        };
        let id = BlockId(Uuid::from_u128(10 + at as u128));
        store.save_block(&Block::new(id, draft).unwrap()).unwrap();
    }
    for number in 1..=pruners {
        let draft = PrunerDraft {
            number,
            name: format!("P{number}"),
            label: String::new(),
            active: true,
            number_only: false,
            language: String::new(),
        };
        let id = PrunerId(Uuid::from_u128(100 + u128::from(number)));
        store.save_pruner(&Pruner::new(id, draft).unwrap()).unwrap();
    }
    Season::load(&store, winter).unwrap()
}

impl World<'_> {
    fn id(&mut self) -> Uuid {
        self.ids += 1;
        Uuid::from_u128(self.ids)
    }

    /// Everybody prunes for a day, and it is put into the log.
    fn prune(&mut self, day: u16) {
        for at in 0..self.plan.crew.len() {
            let week = if self.plan.moving { day / WEEK } else { 0 };
            let block = (at + usize::from(week)) % BLOCKS.len();
            let (.., places, _, mut left) = BLOCKS[block];
            while left > 0 {
                let row = self.rows[at][block].take().unwrap_or_else(|| {
                    self.begun[block] += 1;
                    Row {
                        number: self.begun[block],
                        next: 1,
                    }
                });
                let last = places.min(row.next + left - 1);
                left -= last - row.next + 1;
                self.log(at, block, day, (row.number, row.next, last));
                self.rows[at][block] = (last < places).then_some(Row {
                    number: row.number,
                    next: last + 1,
                });
            }
        }
    }

    fn log(&mut self, at: usize, block: usize, day: u16, (row, first, last): (u16, u16, u16)) {
        let id = WorkId(self.id());
        let season = &mut self.season;
        let draft = WorkDraft {
            winter: season.winter.id,
            pruner: season.pruners[at].id,
            block: season.blocks[block].id,
            row,
            first,
            last,
            day: date(day),
            minutes: None,
            how: How::default(),
        };
        let entry = WorkEntry::new(id, draft, &season.blocks[block]).unwrap();
        season.work.push(entry);
    }

    /// The day's draw, out of what was pruned last.
    fn draw(&mut self, day: u16) -> Draw {
        let (id, seed, today) = (DrawId(self.id()), self.lots.random(), date(day));
        let since = self.season.last_day_to_draw(today).unwrap();
        let draw = match self.plan.way {
            Way::Priced => {
                let days = (since, today);
                self.season
                    .plan_minutes(self.plan.minutes, days, seed, id, today)
            }
            Way::WholeStems => {
                let each = self.season.minutes_a_tree().unwrap_or(FIRST_GUESS);
                let trees = (f64::from(self.plan.minutes) / each).floor() as usize;
                self.season
                    .plan_draw(trees.max(1), since, today, seed, id, today)
            }
        }
        .unwrap();
        self.season.draws.push(draw.clone());
        draw
    }

    /// The supervisor walks from tree to tree and counts; after each tree there is a look at who pruned it.
    fn walk(&mut self, draw: &Draw) {
        let before: f64 = self.played.days.iter().sum();
        let (mut counting, mut metres) = (0.0, 0.0);
        for (at, tree) in draw.trees.iter().enumerate() {
            let part = Draw {
                trees: draw.trees[..=at].to_vec(),
                ..draw.clone()
            };
            metres = self.season.takes(&part).metres;
            let begun = counting + metres / PACE;
            let (block, effort) = self.effort(tree);
            counting += TAKES.of(effort);
            let pruner = self.season.pruners.iter().position(|p| p.id == tree.pruner);
            let tally = self.tally(self.played.crew[pruner.unwrap()].0, effort);
            let count = self.count(draw, tree, block, begun, tally);
            self.season.put(count);
            let minute = before + (counting + metres / PACE) / 60.0;
            self.look(pruner.unwrap(), draw.day, minute);
        }
        self.played.trees += draw.trees.len() as u32;
        self.played.metres += metres;
        self.played.days.push((counting + metres / PACE) / 60.0);
    }

    fn effort(&self, tree: &DrawnTree) -> (BlockId, Take) {
        let block = self.season.blocks.iter().position(|b| b.id == tree.block);
        let (.., pieces, _) = BLOCKS[block.unwrap()];
        let effort = match self.plan.way {
            Way::Priced => tree.runs.map_or(Take::USUAL, |runs| Take {
                runs: runs.iter().count() as u8,
                pieces: runs.iter().map(|run| run.pieces).max().unwrap_or(0),
            }),
            Way::WholeStems => Take { runs: 1, pieces },
        };
        (tree.block, effort)
    }

    /// The part of the tree that is counted.
    fn part(&self, tree: &DrawnTree) -> Part {
        let block = self.season.blocks.iter().find(|b| b.id == tree.block);
        match (self.plan.way, tree.runs) {
            (Way::Priced, Some(runs)) => Part::Runs(runs),
            _ if block.is_some_and(|block| block.stems > 1) => Part::Stems(1),
            _ => Part::Whole,
        }
    }

    fn tally(&mut self, truth: Truth, effort: Take) -> Tally {
        let mut tally = Tally::default();
        let Alike { tree, run: stem } = Alike::USUAL;
        let own = self.about(truth.ages(), tree);
        for _ in 0..effort.runs {
            let run = self.about(own, stem / (1.0 - tree));
            for _ in 0..effort.pieces {
                let u = self.lots.random::<f64>();
                let age = usize::from(u >= run[0]) + usize::from(u >= run[0] + run[1]);
                tally.ages[age] += 1;
            }
        }
        let [kept, _, _] = self.about([truth.buds(), 1.0 - truth.buds(), 0.0], BUDS_ALIKE);
        for _ in 0..tally.ages[1] {
            // thin: two buds keep the default rule, five do not
            let buds = if self.lots.random::<f64>() < kept {
                2
            } else {
                5
            };
            tally.units[0][buds] += 1;
        }
        tally
    }

    /// Shares about a mean, in which pieces are alike by so much.
    fn about(&mut self, mean: [f64; 3], alike: f64) -> [f64; 3] {
        let strength = 1.0 / alike - 1.0;
        let parts = mean.map(|share| {
            let shape = share * strength;
            if shape > 1e-9 {
                Gamma::new(shape, 1.0).unwrap().sample(&mut self.lots)
            } else {
                0.0
            }
        });
        let whole: f64 = parts.iter().sum();
        parts.map(|part| part / whole)
    }

    fn count(
        &mut self,
        draw: &Draw,
        tree: &DrawnTree,
        block: BlockId,
        begun: f64,
        tally: Tally,
    ) -> TreeCount {
        let seven = draw.day.and_hms_opt(7, 0, 0).unwrap().and_utc();
        let at = seven.timestamp_millis() + (begun * 1_000.0) as i64;
        TreeCount {
            id: CountId(self.id()),
            head: CountHead {
                winter: draw.winter,
                block,
                row: tree.row,
                tree: tree.tree,
                pruner: Some(tree.pruner),
                stage: Stage::After,
                part: self.part(tree),
                chosen: Chosen::Drawn,
                counter: String::new(),
                at: Stamp::new(at, 0, draw.day).unwrap(),
                note: String::new(),
                again: false,
            },
            tally,
            closed: true,
            by_log: None,
            pruned_on: None,
        }
    }

    fn look(&mut self, at: usize, day: NaiveDate, minute: f64) {
        let pruner = self.season.pruners[at].id;
        let standings = self.season.pruner_standings(pruner, Period::so_far(day));
        let course = &mut self.played.crew[at].1;
        for standing in standings {
            let since = match standing.judgement.overall {
                Verdict::Light | Verdict::Heavy => &mut course.out,
                Verdict::LeaningLight | Verdict::LeaningHeavy => &mut course.leaning,
                Verdict::NothingBadlyWrong => &mut course.fine,
                Verdict::InBalance => &mut course.balance,
                Verdict::KeepCounting => continue,
            };
            since.get_or_insert(minute);
        }
    }
}
