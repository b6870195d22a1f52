//! Several people on the same trees, logged by screen, from a table, and on two tablets at once: the hours, the shares
//! of trees, the pay and whom a count judges come out as one table made by hand, whichever way it was entered.

use std::fmt::Write as _;

use thirdwood::exchange::{self, ImportOptions, Table};
use thirdwood::orchard::*;
use thirdwood::outlook::pace::{Money, Pay};
use thirdwood::report::{Period, Season};
use thirdwood::tui::app::{Event, Layer};
use thirdwood::tui::runtime::{Runtime, Start};
use thirdwood::tui::{Action, Key, Screen, Theme};
use uuid::Uuid;

use crate::device::*;

/// Whose work, the part of each tree, minutes, and the tablet on which it is entered.
type Line = (u16, &'static str, u16, usize);

/// What comes of it: number, trees, minutes, and pay in cents at 0.75 a tree.
type Sum = (u16, f64, u32, i64);

struct Case {
    trees: u16,
    lines: &'static [Line],
    sums: &'static [Sum],
    /// Whom a count of a whole tree judges.
    judged: &'static str,
}

const CASES: [Case; 3] = [
    // three on a row: 4, 5 and 4 hours; 50 trees are 16 2/3 each, 12.50 in money
    Case {
        trees: 50,
        lines: &[
            (2, "whole", 240, 0),
            (4, "whole", 300, 1),
            (7, "whole", 240, 0),
        ],
        sums: &[
            (2, 50.0 / 3.0, 240, 1_250),
            (4, 50.0 / 3.0, 300, 1_250),
            (7, 50.0 / 3.0, 240, 1_250),
        ],
        judged: "Nr 2 + Nr 4 + Nr 7",
    },
    // a side each
    Case {
        trees: 60,
        lines: &[(2, "side A", 300, 0), (4, "side B", 360, 1)],
        sums: &[(2, 30.0, 300, 2_250), (4, 30.0, 360, 2_250)],
        judged: "Nr 2 + Nr 4",
    },
    // one from the ground, one on the platform
    Case {
        trees: 40,
        lines: &[(4, "base", 330, 1), (7, "top", 330, 0)],
        sums: &[(4, 20.0, 330, 1_500), (7, 20.0, 330, 1_500)],
        judged: "Nr 4 + Nr 7",
    },
];

/// Three pruners, one row, 0.75 a tree.
fn house(device: &mut Device, case: &Case) -> (Winter, Block) {
    let winter = Winter::new(WinterId(device.id()), winter_draft("2027")).unwrap();
    let rows = format!("1x{}", case.trees);
    let block = Block::new(BlockId(device.id()), block_draft("River", &rows, "")).unwrap();
    device.store.save_winter(&winter).unwrap();
    device.store.save_block(&block).unwrap();
    for number in [2, 4, 7] {
        let pruner = Pruner::new(PrunerId(device.id()), pruner_draft(number, "")).unwrap();
        device.store.save_pruner(&pruner).unwrap();
    }
    let rate = device.store.currency().unwrap().parse_rate("0.75").unwrap();
    let pay = Some(Pay::Tree(rate));
    device.store.save_pay(winter.id, None, pay).unwrap();
    (winter, block)
}

/// Whether the lines claim the same part of a tree.
fn together(case: &Case) -> bool {
    case.lines.iter().all(|line| line.1 == "whole")
}

fn by_screen(device: &Device, lines: &[Line], said: &str) {
    let start = Start {
        theme: Some(Theme::Plain),
        few_colours: false,
        round: false,
        today: Some(day(12)),
    };
    let mut desk = Runtime::new(&device.store, start, (80, 24)).unwrap();
    desk.take(Event::Act(Action::Go(Screen::Today)));
    for (number, zone, minutes, _) in lines {
        desk.take(Event::Key(Key::Char('w')));
        let hours = format!("{}:{:02}", minutes / 60, minutes % 60);
        let pruner = format!("Nr {number}");
        for (key, value) in [
            ("pruner", pruner.as_str()),
            ("row", "1"),
            ("hours", &hours),
            ("zone", zone),
            ("beside", said),
        ] {
            let Some(Layer::Form(form, _)) = desk.model.layers.last_mut() else {
                panic!("no form: {:?}", desk.model.message);
            };
            let field = form.fields.iter_mut().find(|field| field.key == key);
            field.unwrap().set_value(value);
        }
        desk.take(Event::Key(Key::Ctrl('s')));
        assert!(desk.model.layers.is_empty(), "{:?}", desk.model.message);
    }
}

fn by_table(device: &Device, case: &Case) {
    let mut table = "winter,pruner,block,row,day,hours,zone,team\r\n".to_owned();
    let team = if together(case) { "evening" } else { "" };
    for (number, zone, minutes, _) in case.lines {
        let hours = format!("{}:{:02}", minutes / 60, minutes % 60);
        let day = day(12);
        write!(
            table,
            "2027,{number},River,1,{day},{hours},{zone},{team}\r\n"
        )
        .unwrap();
    }
    let options = ImportOptions {
        dry_run: false,
        today: day(12),
        new_id: &mut Uuid::now_v7,
    };
    let report = exchange::import(&device.store, Table::Work, table.as_bytes(), options).unwrap();
    assert!(report.kept, "{:?}", report.problems);
}

/// What comes out, and how many pairs of entries claim the same.
fn found(device: &Device, winter: &Winter) -> (Vec<(u16, f64, u32, i64)>, usize) {
    let season = Season::load(&device.store, winter.clone()).unwrap();
    let payroll = season.payroll(Period::so_far(day(28)));
    let sums = (payroll.sums.iter()).map(|sum| {
        let Money(cents) = sum.amount;
        (sum.number, sum.trees.number(), sum.minutes, cents)
    });
    (sums.collect(), season.disputes().len())
}

fn judged(device: &mut Device, winter: &Winter, block: &Block, case: &Case) -> String {
    let pruners = device.store.pruners().unwrap();
    let pruner = pruners
        .iter()
        .find(|pruner| pruner.number == case.lines[0].0);
    let count = CountId(device.id());
    let head = CountHead {
        winter: winter.id,
        block: block.id,
        row: 1,
        tree: 9,
        pruner: pruner.map(|pruner| pruner.id),
        stage: Stage::After,
        part: Part::Whole,
        chosen: Chosen::ByEye,
        counter: String::new(),
        at: Stamp::new(1_799_740_800_000, 0, day(12)).unwrap(),
        note: String::new(),
        again: false,
    };
    device
        .store
        .tap(count, Some(&head), Tap::Piece(Age::One))
        .unwrap();
    device.store.close_count(count, true).unwrap();
    let season = Season::load(&device.store, winter.clone()).unwrap();
    let standings = season.crew_standings(Period::so_far(day(28)));
    let counted = standings.iter().find(|standing| standing.trees == 1);
    counted.unwrap().subject.shown().to_owned()
}

fn check(
    way: &str,
    case: &Case,
    device: &mut Device,
    (winter, block): &(Winter, Block),
    open: usize,
) {
    let (sums, disputes) = found(device, winter);
    assert_eq!(disputes, open, "{way}");
    assert_eq!(sums.len(), case.sums.len(), "{way}: {sums:?}");
    for (found, wanted) in sums.iter().zip(case.sums) {
        assert_eq!(
            (found.0, found.2, found.3),
            (wanted.0, wanted.2, wanted.3),
            "{way}"
        );
        assert!((found.1 - wanted.1).abs() < 1e-9, "{way}: {found:?}");
    }
    assert_eq!(judged(device, winter, block, case), case.judged, "{way}");
}

#[test]
fn shared_trees_come_out_alike_whichever_way_they_are_logged() {
    for case in &CASES {
        let said = if together(case) { "together" } else { "ask" };
        let mut screen = Device::new(1);
        let at_screen = house(&mut screen, case);
        by_screen(&screen, case.lines, said);
        check("screen", case, &mut screen, &at_screen, 0);

        let mut table = Device::new(2);
        let at_table = house(&mut table, case);
        by_table(&table, case);
        check("table", case, &mut table, &at_table, 0);

        let mut tablets = [Device::new(3), Device::new(4)];
        let at_tablets = house(&mut tablets[0], case);
        tablets[1].take(&tablets[0].all());
        for (nr, tablet) in tablets.iter().enumerate() {
            let own: Vec<Line> = case
                .lines
                .iter()
                .filter(|line| line.3 == nr)
                .copied()
                .collect();
            by_screen(tablet, &own, said);
        }
        let all = tablets[0].all();
        tablets[1].take(&all);
        let all = tablets[1].all();
        tablets[0].take(&all);
        // who was logged on the other tablet is listed to settle; all hours and shares count meanwhile
        let claims = if together(case) { 2 } else { 0 };
        for tablet in &mut tablets {
            check("two tablets", case, tablet, &at_tablets, claims);
        }
    }
}
