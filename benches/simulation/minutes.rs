//! Whole winters in minutes of the supervisor: how long until the first bad pruner is probably known, until each is surely
//! known, until all are known, and until all are settled.
//!
//! The program draws, walks and judges: `Season::plan_minutes`, `Season::takes` and `Season::crew_standings` on an invented
//! orchard of three blocks (old trees of four limbs of 100 pieces, 5.5 x 5 m; six stems of 35 pieces, 4 x 1.5 m; single stems
//! of 95 pieces, 3.5 x 1 m). A pruner takes row after row. Finding and handling a tree takes 66 s, each leader 14 s, a piece
//! 5 s, walking 1.2 m/s. Pieces of one tree are correlated by 0.04, those of one leader by 0.025 beyond that. Counts of whole
//! leaders are not in the minutes. All of it is invented: no orchard was measured.

use std::collections::{BTreeMap, HashMap};

use chrono::{Days, NaiveDate};
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha12Rng;
use rand_distr::{Distribution, Gamma};
use thirdwood::judge::{Metric, Verdict};
use thirdwood::orchard::*;
use thirdwood::report::{Period, Season};
use thirdwood::store::Store;
use uuid::Uuid;

use crate::{drafts, spread};

const HANDLING: f64 = 66.0;
const LEADER: f64 = 14.0;
const PIECE: f64 = 5.0;
const PACE: f64 = 1.2;
/// Dirichlet concentrations: 1 / correlation - 1, of trees about the pruner's mix and of leaders about their tree.
const OF_TREES: f64 = 24.0;
const OF_LEADERS: f64 = 37.4;
/// The same of buds within the rule: correlation 0.10.
const OF_BUDS: f64 = 9.0;
const WORKDAYS: u64 = 60;

/// What a pruner truly does.
#[derive(Clone, Copy, PartialEq)]
enum Habit {
    Good,
    /// One-year share 0.15.
    Old,
    /// Buds within the rule on 0.55 of the pieces.
    Buds,
}

impl Habit {
    fn mix(self) -> [f64; 4] {
        match self {
            Self::Good | Self::Buds => [1.0 / 3.0, 1.0 / 3.0, 1.0 / 3.0, 0.0],
            Self::Old => [0.15, 0.425, 0.425, 0.0],
        }
    }

    fn buds(self) -> f64 {
        if self == Self::Buds { 0.55 } else { 0.90 }
    }

    fn metric(self) -> Metric {
        if self == Self::Buds {
            Metric::Buds
        } else {
            Metric::One
        }
    }
}

/// How the supervisor draws and counts.
#[derive(Clone, Copy, PartialEq)]
enum Way {
    /// Whole first leaders, as many trees as fit, in the order of rows.
    Today,
    /// Drawn for the minutes, leaders and pieces by lot, by the alleys.
    Priced,
}

/// Minutes until each word; none where the winter ended before.
#[derive(Default)]
struct Course {
    first_leaning: Option<f64>,
    first_out: Option<f64>,
    each_out: Option<f64>,
    half_known: Option<f64>,
    all_known: Option<f64>,
    all_settled: Option<f64>,
    trees: f64,
    metres: f64,
    days: f64,
    /// Good pruners who were ever called light or heavy, or in balance though they are not.
    wrong: u32,
}

/// One block with its rows, and the trees that a pruner does in it in a day.
struct Plot {
    block: Block,
    leader: f64,
    a_day: u16,
    next_row: u16,
}

struct Played {
    season: Season,
    plots: Vec<Plot>,
    habits: HashMap<PrunerId, Habit>,
    /// The row that each is in, and its next tree.
    at: BTreeMap<usize, (u16, u16)>,
    rng: ChaCha12Rng,
    clock: i64,
}

fn start() -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, 12, 1).unwrap()
}

fn id(rng: &mut ChaCha12Rng) -> Uuid {
    Uuid::from_u128(rng.random())
}

impl Played {
    fn new(crew: usize, way: Way, seed: u64) -> Self {
        let mut rng = ChaCha12Rng::seed_from_u64(seed);
        let store = Store::in_memory().unwrap();
        let draft = WinterDraft {
            label: "2026/27".into(),
            start: start(),
            budburst: start() + Days::new(110),
            block_budburst: BTreeMap::new(),
        };
        let winter = Winter::new(WinterId(id(&mut rng)), draft).unwrap();
        store.save_winter(&winter).unwrap();
        let plots = [
            ("Old", 5.5, 5.0, 4, "1-400x36", 100.0, 36),
            ("Six", 4.0, 1.5, 6, "1-400x120", 35.0, 60),
            ("Single", 3.5, 1.0, 1, "1-400x120", 95.0, 100),
        ];
        let plots = plots.map(|(name, row_m, tree_m, stems, rows, leader, a_day)| {
            let draft = BlockDraft {
                row_spacing_m: row_m,
                tree_spacing_m: tree_m,
                stems,
                ..drafts::block_draft(name, rows, "")
            };
            let block = Block::new(BlockId(id(&mut rng)), draft).unwrap();
            store.save_block(&block).unwrap();
            Plot {
                block,
                leader,
                a_day,
                next_row: 1,
            }
        });
        let mut habits = HashMap::new();
        for number in 0..crew {
            let draft = drafts::pruner_draft(number as u16 + 1, "");
            let pruner = Pruner::new(PrunerId(id(&mut rng)), draft).unwrap();
            store.save_pruner(&pruner).unwrap();
            let habit = match number {
                1 => Habit::Old,
                4 => Habit::Buds,
                12 => Habit::Old,
                _ => Habit::Good,
            };
            habits.insert(pruner.id, habit);
        }
        if way == Way::Today {
            let whole = thirdwood::store::WHOLE_TREES;
            store
                .set(thirdwood::store::Setting::DrawnTrees, whole)
                .unwrap();
        }
        Self {
            season: Season::load(&store, winter).unwrap(),
            plots: plots.into(),
            habits,
            at: BTreeMap::new(),
            rng,
            clock: 0,
        }
    }

    /// The day's work: each goes on in the row, or begins the next of the block.
    fn work(&mut self, day: NaiveDate) {
        for number in 0..self.season.pruners.len() {
            let pruner = self.season.pruners[number].id;
            let plot = &mut self.plots[number % 3];
            let places = plot.block.rows.rows()[0].places;
            let mut left = plot.a_day;
            while left > 0 {
                let (row, first) = *self.at.entry(number).or_insert_with(|| {
                    plot.next_row += 1;
                    (plot.next_row - 1, 1)
                });
                let last = places.min(first + left - 1);
                left -= last - first + 1;
                let draft = WorkDraft {
                    winter: self.season.winter.id,
                    pruner,
                    block: plot.block.id,
                    row,
                    first,
                    last,
                    day,
                    minutes: None,
                    how: How::default(),
                };
                let entry = WorkEntry::new(WorkId(id(&mut self.rng)), draft, &plot.block).unwrap();
                self.season.work.push(entry);
                if last == places {
                    self.at.remove(&number);
                } else {
                    self.at.insert(number, (row, last + 1));
                }
            }
        }
    }

    /// The draw of a day; none where nothing can be drawn.
    fn draw(&mut self, way: Way, minutes: u16, day: NaiveDate) -> Option<Draw> {
        let since = self.season.last_day_to_draw(day)?;
        let (seed, made) = (self.rng.random(), DrawId(id(&mut self.rng)));
        if way == Way::Priced {
            let days = (since, day);
            return self
                .season
                .plan_minutes(minutes, days, seed, made, day)
                .ok();
        }
        let mut best = None;
        for trees in 3..40 {
            let draw = self
                .season
                .plan_draw(trees, since, day, seed, made, day)
                .ok()?;
            if self.seconds(way, &draw) > f64::from(minutes) * 60.0 {
                break;
            }
            best = Some(draw);
        }
        best
    }

    fn plot(&self, block: BlockId) -> &Plot {
        self.plots
            .iter()
            .find(|plot| plot.block.id == block)
            .unwrap()
    }

    /// What the draw takes in truth.
    fn seconds(&self, way: Way, draw: &Draw) -> f64 {
        let of = |tree: &DrawnTree| match (way, tree.runs) {
            (Way::Priced, Some(runs)) => {
                let leaders = runs.iter().count() as f64;
                HANDLING + leaders * LEADER + f64::from(runs.pieces()) * PIECE
            }
            _ => HANDLING + LEADER + self.plot(tree.block).leader * PIECE,
        };
        self.season.takes(draw).metres / PACE + draw.trees.iter().map(of).sum::<f64>()
    }

    /// Counts the trees of a draw.
    fn count(&mut self, way: Way, draw: &Draw, day: NaiveDate) {
        for tree in &draw.trees {
            let habit = self.habits[&tree.pruner];
            let shares = dirichlet(&mut self.rng, habit.mix(), OF_TREES);
            let buds = dirichlet(
                &mut self.rng,
                [habit.buds(), 1.0 - habit.buds(), 0.0, 0.0],
                OF_BUDS,
            )[0];
            let (part, runs) = match (way, tree.runs) {
                (Way::Priced, Some(runs)) => {
                    let runs_of = runs.iter().map(|run| (run.leader, u32::from(run.pieces)));
                    (Part::Runs(runs), runs_of.collect())
                }
                _ => {
                    let plot = self.plot(tree.block);
                    let part = if plot.block.stems > 1 {
                        Part::Stems(1)
                    } else {
                        Part::Whole
                    };
                    (part, vec![(1, plot.leader as u32)])
                }
            };
            let mut tally = Tally::default();
            let mut leaders: HashMap<u8, [f64; 4]> = HashMap::new();
            for (leader, pieces) in runs {
                let rng = &mut self.rng;
                let own = *leaders
                    .entry(leader)
                    .or_insert_with(|| dirichlet(rng, shares, OF_LEADERS));
                for _ in 0..pieces {
                    tally.add(piece(rng, own, buds)).unwrap();
                }
            }
            self.clock += 1;
            let head = CountHead {
                winter: draw.winter,
                block: tree.block,
                row: tree.row,
                tree: tree.tree,
                pruner: Some(tree.pruner),
                stage: Stage::After,
                part,
                chosen: Chosen::Drawn,
                counter: String::new(),
                at: Stamp::new(self.clock * 60_000, 0, day).unwrap(),
                note: String::new(),
                again: false,
            };
            self.season.put(TreeCount {
                id: CountId(id(&mut self.rng)),
                head,
                tally,
                closed: true,
                by_log: None,
                pruned_on: None,
            });
        }
        self.season.draws.push(draw.clone());
    }
}

/// One piece of these shares; of a two-year piece whether its buds keep the rule.
fn piece(rng: &mut ChaCha12Rng, shares: [f64; 4], buds: f64) -> Tap {
    let mut at: f64 = rng.random();
    for (age, share) in Age::ALL.into_iter().zip(shares) {
        at -= share;
        if at < 0.0 && age == Age::Two {
            let left = if rng.random::<f64>() < buds { 3 } else { 6 };
            return Tap::TwoYear(Size::Medium, Buds::new(left).unwrap());
        }
        if at < 0.0 {
            return Tap::Piece(age);
        }
    }
    Tap::Piece(Age::Three)
}

fn dirichlet(rng: &mut ChaCha12Rng, mean: [f64; 4], concentration: f64) -> [f64; 4] {
    let parts = mean.map(|share| match Gamma::new(share * concentration, 1.0) {
        Ok(gamma) if share > 0.0 => gamma.sample(rng),
        _ => 0.0,
    });
    let sum: f64 = parts.iter().sum();
    if sum > 0.0 {
        parts.map(|part| part / sum)
    } else {
        mean
    }
}

/// Plays one winter.
fn play(crew: usize, minutes: u16, way: Way, seed: u64) -> Course {
    let mut winter = Played::new(crew, way, seed);
    let mut course = Course::default();
    let mut spent = 0.0;
    let mut flagged: Vec<PrunerId> = Vec::new();
    for n in 0..WORKDAYS {
        let day = start() + Days::new(n);
        winter.work(day);
        if let Some(draw) = winter.draw(way, minutes, day) {
            let seconds = winter.seconds(way, &draw);
            course.metres += winter.season.takes(&draw).metres;
            course.trees += draw.trees.len() as f64;
            course.days += 1.0;
            winter.count(way, &draw, day);
            spent += seconds / 60.0;
        }
        note(&winter, &mut course, spent, &mut flagged);
        if course.all_settled.is_some() {
            break;
        }
    }
    course.wrong = flagged.len() as u32;
    course
}

/// Notes what is known by now.
fn note(winter: &Played, course: &mut Course, spent: f64, flagged: &mut Vec<PrunerId>) {
    let standings = winter
        .season
        .crew_standings(Period::so_far(start() + Days::new(WORKDAYS)));
    let (mut known, mut settled, mut bad, mut out) = (0, 0, 0, 0);
    for standing in &standings {
        let Some(pruner) = standing.subject.pruner_id() else {
            continue;
        };
        let (habit, judgement) = (winter.habits[&pruner], &standing.judgement);
        let overall = judgement.overall;
        let is_known = overall.is_settled() || overall == Verdict::NothingBadlyWrong;
        known += usize::from(is_known);
        settled += usize::from(overall.is_settled());
        let own = judgement.metric(habit.metric()).verdict;
        if habit == Habit::Good {
            if overall.is_out() && !flagged.contains(&pruner) {
                flagged.push(pruner);
            }
            continue;
        }
        bad += 1;
        out += usize::from(own == Verdict::Light);
        if own == Verdict::Light || own == Verdict::LeaningLight {
            course.first_leaning.get_or_insert(spent);
        }
        if own == Verdict::Light {
            course.first_out.get_or_insert(spent);
        }
        if overall == Verdict::InBalance && !flagged.contains(&pruner) {
            flagged.push(pruner);
        }
    }
    let crew = winter.season.pruners.len();
    let reached = [
        (out == bad && bad > 0, &mut course.each_out),
        (2 * known >= crew, &mut course.half_known),
        (known == crew, &mut course.all_known),
        (settled == crew, &mut course.all_settled),
    ];
    for (reached, at) in reached {
        if reached {
            at.get_or_insert(spent);
        }
    }
}

/// Prints the table.
pub fn print(winters: u64, seed: u64) {
    println!(
        "{winters} winters a row, seeds from {seed}; minutes of the supervisor, median / 90th percentile; -: not within \
         {WORKDAYS} days"
    );
    println!(
        "{:<30}{:>13}{:>13}{:>13}{:>13}{:>13}{:>13}{:>8}{:>6}{:>7}",
        "crew, minutes a day",
        "1st leaning",
        "1st light",
        "each light",
        "half known",
        "all known",
        "all settled",
        "trees/d",
        "m",
        "wrong"
    );
    for (crew, minutes) in [(8, 60), (8, 90), (20, 60), (20, 90)] {
        for (name, way) in [
            ("whole leaders, by rows", Way::Today),
            ("priced", Way::Priced),
        ] {
            let courses = spread(winters, |nth| play(crew, minutes, way, seed + nth));
            row(&format!("{crew}, {minutes}: {name}"), &courses);
        }
    }
    println!(
        "aimed at for 8, 60 (first leaning, each light, all known, all settled): 164, 594, 788, 1370"
    );
}

fn row(name: &str, courses: &[Course]) {
    let at = |pick: fn(&Course) -> Option<f64>| {
        let mut times: Vec<f64> = courses
            .iter()
            .map(|course| pick(course).unwrap_or(f64::INFINITY))
            .collect();
        times.sort_by(f64::total_cmp);
        let of = |part: f64| {
            let time = times[((times.len() - 1) as f64 * part).round() as usize];
            if time.is_finite() {
                format!("{time:.0}")
            } else {
                "-".to_owned()
            }
        };
        format!("{} / {}", of(0.5), of(0.9))
    };
    let sum = |pick: fn(&Course) -> f64| courses.iter().map(pick).sum::<f64>();
    let wrong: u32 = courses.iter().map(|course| course.wrong).sum();
    println!(
        "{name:<30}{:>13}{:>13}{:>13}{:>13}{:>13}{:>13}{:>8.1}{:>6.0}{wrong:>7}",
        at(|c| c.first_leaning),
        at(|c| c.first_out),
        at(|c| c.each_out),
        at(|c| c.half_known),
        at(|c| c.all_known),
        at(|c| c.all_settled),
        sum(|c| c.trees) / sum(|c| c.days),
        sum(|c| c.metres) / sum(|c| c.trees),
    );
}
