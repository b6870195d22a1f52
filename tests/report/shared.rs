//! Several pruners on one tree: hours, pay to the cent, pace and verdicts, by tables made by hand.

use thirdwood::orchard::*;
use thirdwood::outlook::pace::{Money, PaidFor, Pay};
use thirdwood::report::{Period, Season};
use uuid::Uuid;

use crate::builder::{Orchard, day, even};

/// Logs the first places of row 1 for each of these: who, how, the day, minutes.
fn log(orchard: &Orchard, block: &Block, last: u16, entries: &[(&Pruner, How, u64, u16)]) {
    for (pruner, how, on, minutes) in entries {
        let draft = WorkDraft {
            winter: orchard.winter.id,
            pruner: pruner.id,
            block: block.id,
            row: 1,
            first: 1,
            last,
            day: day(*on),
            minutes: Some(*minutes),
            how: *how,
        };
        let entry = WorkEntry::new(WorkId(Uuid::now_v7()), draft, block).unwrap();
        orchard.store.save_work(&entry).unwrap();
    }
}

fn how(kind: WorkKind, zone: Zone, share: Option<u8>) -> How {
    How {
        kind,
        zone,
        share,
        team: Some(WorkId(Uuid::from_u128(1))),
    }
}

/// Number, trees, minutes and trees an hour of each pruner.
fn paces(season: &Season) -> Vec<(u16, f64, u64, f64)> {
    let progress = season.winter_progress(day(9));
    let of = progress.pruners.iter().map(|one| {
        let per_hour = one.speed.per_hour.unwrap().mean;
        (
            one.number,
            one.speed.trees.number(),
            one.speed.minutes,
            per_hour,
        )
    });
    of.collect()
}

/// What all have cost by the tree and by the hour.
fn costs(orchard: &Orchard, tree: &str, hour: &str) -> (Money, Money) {
    let currency = orchard.store.currency().unwrap();
    let cost = |pay| {
        orchard
            .store
            .save_pay(orchard.winter.id, None, Some(pay))
            .unwrap();
        let cost = orchard.season().winter_progress(day(9)).cost;
        assert_eq!(cost.unpriced_days, 0);
        cost.total()
    };
    let rate = |text| currency.parse_rate(text).unwrap();
    (cost(Pay::Tree(rate(tree))), cost(Pay::Hour(rate(hour))))
}

/// Trees that each is judged by, as shown.
fn judged(season: &Season) -> Vec<(String, u32)> {
    let standings = season.crew_standings(Period::so_far(day(9)));
    let of = |standing: &thirdwood::report::Standing| {
        (standing.subject.shown().to_owned(), standing.trees)
    };
    standings
        .iter()
        .map(of)
        .filter(|(_, trees)| *trees > 0)
        .collect()
}

/// Three on a row of 50 trees: 4, 5 and 4 hours.
#[test]
fn three_people_on_one_row() {
    let orchard = Orchard::new("Invented Orchard");
    let block = orchard.block("River", "1x50", "");
    let crew = [2, 4, 7].map(|n| orchard.pruner(n, "", false));
    let whole = how(WorkKind::Pruning, Zone::Whole, None);
    let entries =
        [(0, 240), (1, 300), (2, 240)].map(|(who, minutes)| (&crew[who], whole, 4, minutes));
    log(&orchard, &block, 50, &entries);
    orchard.count(&crew[1], &block, (1, 9), 4, &even(1));
    let season = orchard.season();
    let third = 50.0 / 3.0;
    let wanted = [
        (2, third, 240, third / 4.0),
        (4, third, 300, third / 5.0),
        (7, third, 240, third / 4.0),
    ];
    for (found, wanted) in paces(&season).into_iter().zip(wanted) {
        assert_eq!((found.0, found.2), (wanted.0, wanted.2));
        assert!((found.1 - wanted.1).abs() < 1e-9 && (found.3 - wanted.3).abs() < 1e-9);
    }
    assert_eq!(season.winter_progress(day(9)).done, 50, "each tree once");
    assert!(season.disputes().is_empty());
    // 50/3 trees at 0.75 are 12.50 each; 13 hours at 17.20 are 223.60
    assert_eq!(
        costs(&orchard, "0.75", "17.20"),
        (Money(3_750), Money(22_360))
    );
    // whom the counter named does not matter: it cannot be told who left what
    assert_eq!(judged(&season), [("Nr 2 + Nr 4 + Nr 7".to_owned(), 1)]);
    let sheets = season.day_sheets(day(4));
    let shown: Vec<_> = sheets
        .iter()
        .map(|sheet| sheet.standing.subject.shown())
        .collect();
    assert!(shown.contains(&"Nr 2 + Nr 4 + Nr 7"), "{shown:?}");
}

/// One side on Monday by Nr 2 (5 h), the other on Tuesday by Nr 4 (6 h); 60 trees.
#[test]
fn a_row_of_two_sides() {
    let orchard = Orchard::new("Invented Orchard");
    let block = orchard.block("River", "1x60", "");
    let [one, two] = [2, 4].map(|n| orchard.pruner(n, "", false));
    let side = |zone| How {
        zone,
        ..How::default()
    };
    let entries = [
        (&one, side(Zone::SideA), 4, 300),
        (&two, side(Zone::SideB), 5, 360),
    ];
    log(&orchard, &block, 60, &entries);
    let part = |zone| move |count: &mut TreeCount| count.head.part = Part::Zone(zone);
    orchard.count_as(&one, &block, (1, 9), 5, &even(1), part(Zone::SideA));
    orchard.count_as(&one, &block, (1, 9), 5, &even(1), part(Zone::SideB));
    orchard.count(&one, &block, (1, 20), 5, &even(1));
    let season = orchard.season();
    assert_eq!(paces(&season), [(2, 30.0, 300, 6.0), (4, 30.0, 360, 5.0)]);
    assert_eq!(costs(&orchard, "0.50", "20"), (Money(3_000), Money(22_000)));
    let done = |on| season.winter_progress(day(on)).done;
    assert_eq!((done(4), done(5)), (0, 60), "half a tree is not done");
    let wanted = [("Nr 2", 1), ("Nr 4", 1), ("Nr 2 + Nr 4", 1)];
    assert_eq!(
        judged(&season),
        wanted.map(|(shown, trees)| (shown.to_owned(), trees))
    );
}

/// The base from the ground for 60 % of the tree, the top from the platform for the rest; 50 trees.
#[test]
fn a_base_and_top_pair() {
    let orchard = Orchard::new("Invented Orchard");
    let block = orchard.block("River", "1x50", "");
    let [one, two] = [2, 4].map(|n| orchard.pruner(n, "", false));
    let part = |zone, share| how(WorkKind::Pruning, zone, share);
    let entries = [
        (&one, part(Zone::Base, Some(60)), 4, 240),
        (&two, part(Zone::Top, None), 4, 300),
    ];
    log(&orchard, &block, 50, &entries);
    let season = orchard.season();
    assert_eq!(paces(&season), [(2, 30.0, 240, 7.5), (4, 20.0, 300, 4.0)]);
    // 30 and 20 trees at 0.81; 4 and 5 hours at 15.10
    assert_eq!(
        costs(&orchard, "0.81", "15.10"),
        (Money(4_050), Money(13_590))
    );
}

/// The payroll of the hedging and the two passes below.
fn paid_line_by_line(season: &Season) {
    let lines: Vec<_> = (season.payroll(Period::so_far(day(9))).lines.iter())
        .map(|line| {
            (
                line.number,
                line.kind,
                line.minutes,
                line.rate.clone().unwrap(),
                line.paid_for.unwrap(),
                line.amount.unwrap(),
            )
        })
        .collect();
    let line = |number, kind, minutes, rate: &str, paid_for, amount| {
        (
            number,
            kind,
            Some(minutes),
            rate.to_owned(),
            paid_for,
            Money(amount),
        )
    };
    let wanted = [
        line(2, WorkKind::Hedging, 60, "16.00", PaidFor::Hours, 1_600),
        line(2, WorkKind::FirstPass, 120, "0.20", PaidFor::Trees, 1_200),
        line(
            4,
            WorkKind::SecondPass,
            300,
            "12.00",
            PaidFor::LeastForHours,
            6_000,
        ),
        line(
            4,
            WorkKind::Rework,
            30,
            "12.00",
            PaidFor::LeastForHours,
            600,
        ),
    ];
    assert_eq!(lines, wanted);
}

/// Hedging and two passes: each kind has its pace and its cost, and the tree is done after the second pass.
#[test]
fn kinds_of_work_are_paced_and_paid_apart() {
    let orchard = Orchard::new("Invented Orchard");
    let block = orchard.block("River", "1x60", "");
    let [one, two] = [2, 4].map(|n| orchard.pruner(n, "", false));
    let of = |kind| How {
        kind,
        ..How::default()
    };
    let entries = [
        (&one, of(WorkKind::Hedging), 2, 60),
        (&one, of(WorkKind::FirstPass), 3, 120),
        (&two, of(WorkKind::SecondPass), 5, 300),
        (&two, of(WorkKind::Rework), 6, 30),
    ];
    log(&orchard, &block, 60, &entries);
    let currency = orchard.store.currency().unwrap();
    let rate = |text| currency.parse_rate(text).unwrap();
    let winter = orchard.winter.id;
    let hour = Pay::Hour(rate("16"));
    let tree = Pay::AtLeast {
        tree: rate("0.90"),
        hour: rate("12"),
    };
    orchard.store.save_pay(winter, None, Some(tree)).unwrap();
    let hedging = (None, Some(WorkKind::Hedging));
    orchard
        .store
        .save_special_pay(winter, hedging, Some(hour))
        .unwrap();
    let first = (Some(block.id), Some(WorkKind::FirstPass));
    orchard
        .store
        .save_special_pay(winter, first, Some(Pay::Tree(rate("0.20"))))
        .unwrap();
    let progress = orchard.season().winter_progress(day(9));
    let by_kind: Vec<_> = (progress.by_kind.iter())
        .map(|of| {
            (
                of.kind,
                of.speed.trees.number(),
                of.speed.minutes,
                of.cost.total(),
            )
        })
        .collect();
    let wanted = [
        (WorkKind::FirstPass, 60.0, 120, Money(1_200)),
        (WorkKind::SecondPass, 60.0, 300, Money(6_000)), // 54.00 by the tree, 60.00 for five hours
        (WorkKind::Hedging, 60.0, 60, Money(1_600)),
        (WorkKind::Rework, 0.0, 30, Money(600)),
    ];
    assert_eq!(by_kind, wanted);
    assert_eq!(progress.cost.total(), Money(1_200 + 6_000 + 1_600 + 600));
    assert_eq!(progress.done, 60);
    let season = orchard.season();
    paid_line_by_line(&season);
    assert_eq!(
        season.winter_progress(day(3)).done,
        0,
        "after the first pass alone nothing is done"
    );
    // hedging is no part of the pace of pruning
    assert_eq!(progress.speed.unwrap().minutes, 450);
}

/// Two on a row of 50 trees, shared by a given part, and one of them without hours on another day.
#[test]
fn the_payroll_adds_up_to_the_cost() {
    let orchard = Orchard::new("Invented Orchard");
    let block = orchard.block("River", "1x50", "");
    let [one, two] = [2, 4].map(|n| orchard.pruner(n, "", false));
    let shared = |share| how(WorkKind::Pruning, Zone::Whole, Some(share));
    let entries = [(&one, shared(33), 4, 245), (&two, shared(67), 4, 310)];
    log(&orchard, &block, 50, &entries);
    let currency = orchard.store.currency().unwrap();
    let pay = Pay::Tree(currency.parse_rate("0.735").unwrap());
    orchard
        .store
        .save_pay(orchard.winter.id, None, Some(pay))
        .unwrap();
    let season = orchard.season();
    let payroll = season.payroll(Period::so_far(day(9)));
    let sums: Vec<_> = (payroll.sums.iter())
        .map(|sum| {
            (
                sum.number,
                sum.days,
                sum.minutes,
                sum.trees.number(),
                sum.amount,
            )
        })
        .collect();
    // 16.5 trees at 0.735 are 12.1275, 33.5 are 24.6225
    let wanted = [
        (2, 1, 245, 16.5, Money(1_213)),
        (4, 1, 310, 33.5, Money(2_462)),
    ];
    assert_eq!(sums, wanted);
    let cost = season.winter_progress(day(9)).cost.total();
    assert_eq!(
        cost,
        payroll.lines.iter().filter_map(|line| line.amount).sum()
    );
    // what lies outside the days is not in it
    let later = Period {
        since: Some(day(5)),
        until: day(9),
    };
    assert!(season.payroll(later).lines.is_empty());
}
