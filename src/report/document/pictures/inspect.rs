//! Looking pictures over, in tests: nothing leaves the field, no word lies over another; and standings to draw.

use chrono::{Days, NaiveDate};
use uuid::Uuid;

use crate::judge::{Sample, TreeFigures, bands, judge, wrong_age};
use crate::orchard::{BlockId, GoBackId, PrunerId, Rule, RuleDraft, Size, Tally};
use crate::outlook::pace::{CostSoFar, Currency, DaysSeen, Finish};
use crate::report::document::letters::{self, BASE, LINE, SIZE};
use crate::report::document::{Picture, Shape};
use crate::report::{BlockPace, DayDone, WhatIf, WinterProgress};
use crate::report::{
    BudFigures, DayFigures, GoBackLine, PlaceState, RowMap, RowMarks, Standing, Subject,
};

/// Fails where a picture could not be shown as it is.
#[track_caller]
pub fn check(picture: &Picture) {
    assert!(!picture.title.is_empty() && !picture.text.is_empty());
    let drawing = &picture.drawing;
    assert!(drawing.width > 0.0 && drawing.height > 0.0);
    let mut texts: Vec<([f64; 4], &str)> = Vec::new();
    for shape in &drawing.shapes {
        let place = extent(shape);
        let inside = place.iter().all(|v| v.is_finite())
            && place[0] >= -0.01
            && place[1] >= -0.01
            && place[2] <= drawing.width + 0.01
            && place[3] <= drawing.height + 0.01;
        assert!(
            inside,
            "{}: {shape:?} beyond {} x {}",
            picture.title, drawing.width, drawing.height
        );
        if let Shape::Text { words, size, .. } = shape {
            assert!((size - SIZE).abs() < 1e-9 && !words.is_empty());
            for (other, said) in &texts {
                let over = |a: usize| place[a + 2].min(other[a + 2]) - place[a].max(other[a]);
                let apart = over(0) < 0.5 || over(1) < 1.0;
                assert!(
                    apart,
                    "{}: {words:?} {place:?} over {said:?} {other:?}",
                    picture.title
                );
            }
            texts.push((place, words));
        }
    }
}

/// Left, top, right and bottom of a shape.
fn extent(shape: &Shape) -> [f64; 4] {
    match shape {
        Shape::Path { points, .. } => {
            assert!(points.len() >= 2, "{points:?}");
            assert!(
                points.iter().all(|(x, y)| x.is_finite() && y.is_finite()),
                "{points:?}"
            );
            let xs = || points.iter().map(|(x, _)| *x);
            let ys = || points.iter().map(|(_, y)| *y);
            let (inf, less) = (f64::INFINITY, f64::NEG_INFINITY);
            [
                xs().fold(inf, f64::min),
                ys().fold(inf, f64::min),
                xs().fold(less, f64::max),
                ys().fold(less, f64::max),
            ]
        }
        Shape::Circle {
            at: (x, y), radius, ..
        } => [x - radius, y - radius, x + radius, y + radius],
        Shape::Text {
            at: (x, y),
            anchor,
            words,
            ..
        } => {
            let width = letters::width(words);
            let left = x - anchor.before(width);
            [left, y - BASE, left + width, y - BASE + LINE]
        }
    }
}

/// The day so many days after the first of December 2026.
pub fn day(n: usize) -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, 12, 1).unwrap() + Days::new(n as u64)
}

/// A block's standing with an even number of trees of 60 pieces each, whose mean shares are as given.
pub fn standing(trees: usize, mix: [f64; 4]) -> Standing {
    let tallies: Vec<Tally> = (0..trees)
        .map(|n| {
            let mut ages = mix.map(|share| (share * 60.0).round() as u32);
            let (from, to) = if n % 2 == 0 { (0, 1) } else { (1, 0) };
            let moved = (n / 2 % 4) as u32;
            ages[from] -= moved.min(ages[from].min(ages[to]));
            ages[to] += moved.min(60);
            let mut tally = Tally {
                ages,
                ..Tally::default()
            };
            for (size, buds) in [2, 3, 4].into_iter().enumerate() {
                tally.units[size][buds + usize::from(n % 7 == 0)] += 3;
            }
            tally
        })
        .collect();
    standing_of("Long Meadow", &tallies)
}

/// A standing of trees, two counted a day.
pub fn standing_of(name: &str, tallies: &[Tally]) -> Standing {
    let rule = Rule::new(RuleDraft::default()).unwrap();
    let mut whole = Sample::new(rule.target());
    for tally in tallies {
        whole.add(&TreeFigures::of(tally, &rule));
    }
    let bands = bands(&rule);
    let by_day = tallies.chunks(2).enumerate().map(|(n, trees)| {
        let mut sample = Sample::new(rule.target());
        for tally in trees {
            sample.add(&TreeFigures::of(tally, &rule));
        }
        DayFigures {
            day: day(n),
            trees: trees.len() as u32,
            mix: sample.mix(),
            buds_within: judge(&sample, &bands).metrics[4].mean,
        }
    });
    let share = |tally: &Tally| {
        let all = f64::from(tally.pieces());
        (all > 0.0).then(|| tally.ages.map(|n| f64::from(n) / all))
    };
    Standing {
        subject: Subject::Block {
            id: BlockId(Uuid::from_u128(1)),
            shown: name.to_owned(),
        },
        blocks: vec![name.to_owned()],
        not_looked_at: Vec::new(),
        unsampled: 0.0,
        pruned: tallies.len() as u32,
        trees: tallies.len() as u32,
        drawn: tallies.len() as u32,
        in_part: 0,
        target: rule.target(),
        bands,
        mix: whole.mix(),
        pieces: [0; 4],
        pieces_a_tree: None,
        left: None,
        offered: None,
        judgement: judge(&whole, &bands),
        buds: Size::ALL.map(|size| buds(size, &rule, tallies)),
        wrong_age: wrong_age(&whole),
        upright_a_tree: None,
        thick_top_a_tree: None,
        by_day: by_day.collect(),
        tree_mixes: tallies.iter().filter_map(share).collect(),
    }
}

fn buds(size: Size, rule: &Rule, tallies: &[Tally]) -> BudFigures {
    let mut units_by_buds = [0; 8];
    for tally in tallies {
        for (sum, units) in units_by_buds.iter_mut().zip(tally.units[size.index()]) {
            *sum += units;
        }
    }
    let limit = rule.bud_limit(size);
    BudFigures {
        size,
        least: limit.least,
        most: limit.most,
        units_by_buds,
        units: units_by_buds.iter().sum(),
        mean_left: None,
        over: 0,
        under: 0,
    }
}

/// A block of rows: the first pruned with its tenth tree counted and its second missing, the second sent back, the
/// third half pruned, the others to prune.
pub fn row_map(rows: u16, places: u16) -> RowMap {
    let rows: Vec<RowMarks> = (1..=rows).map(|number| row(number, places)).collect();
    RowMap {
        block: BlockId(Uuid::from_u128(1)),
        name: "A block with a name that is longer than any line of a sheet has room for".to_owned(),
        day: day(0),
        pruned: rows.iter().map(|row| row.pruned).sum(),
        left: rows.iter().map(|row| row.trees - row.pruned).sum(),
        total: rows.iter().map(|row| row.trees).sum(),
        rows,
    }
}

fn row(number: u16, places: u16) -> RowMarks {
    let mark = |place: u16| match (number, place) {
        (1, 2) => PlaceState::Missing,
        (1, 10) => PlaceState::Counted,
        (1 | 2, _) => PlaceState::Pruned,
        (3, place) if place <= places / 2 => PlaceState::Pruned,
        _ => PlaceState::Unpruned,
    };
    let places: Vec<PlaceState> = (1..=places).map(mark).collect();
    let many =
        |wanted: &[PlaceState]| places.iter().filter(|mark| wanted.contains(mark)).count() as u32;
    let sent_back = (number == 2).then(|| GoBackLine {
        id: GoBackId(Uuid::from_u128(2)),
        block: BlockId(Uuid::from_u128(1)),
        block_name: "River".to_owned(),
        row: number,
        pruner: PrunerId(Uuid::from_u128(3)),
        pruner_shown: "Nr 1".to_owned(),
        day: day(0),
        reason: String::new(),
        outcome: None,
        settled_on: None,
        redone_by: Vec::new(),
        redone_on: None,
    });
    RowMarks {
        number,
        pruners: Vec::new(),
        trees: many(&[
            PlaceState::Unpruned,
            PlaceState::Pruned,
            PlaceState::Counted,
        ]),
        pruned: many(&[PlaceState::Pruned, PlaceState::Counted]),
        counted: many(&[PlaceState::Counted]),
        sent_back,
        marks: Vec::new(),
        places,
    }
}

/// A winter from the first of December with trees of each day, and a block for each day of budburst.
pub fn winter(trees: &[u32], left: u32, finish: Finish, bursts: &[usize]) -> WinterProgress {
    let mut done = 0;
    let by_day: Vec<DayDone> = (trees.iter().enumerate())
        .map(|(n, trees)| {
            done += trees;
            DayDone {
                day: day(n),
                trees: *trees,
                done,
            }
        })
        .collect();
    let block = |n: &usize| BlockPace {
        block: BlockId(Uuid::from_u128(1)),
        name: "River".to_owned(),
        done,
        left,
        deadline: day(*n),
        finish,
        speed: None,
        found: Vec::new(),
    };
    WinterProgress {
        by_kind: Vec::new(),
        orchard: String::new(),
        winter: "2026/27".to_owned(),
        day: day(trees.len()),
        start: day(0),
        budburst: day(bursts.first().copied().unwrap_or(100)),
        what_if: WhatIf::default(),
        currency: Currency::default(),
        done,
        left,
        finish,
        speed: None,
        crew: 4,
        usual_hours: 8.0,
        days: DaysSeen {
            worked: trees.len() as u32,
            rain: 0,
            idle: 0,
            rain_chance: 0.0,
        },
        cost: CostSoFar::default(),
        to_come: None,
        without_pay: Vec::new(),
        blocks: bursts.iter().map(block).collect(),
        pruners: Vec::new(),
        by_day,
    }
}
