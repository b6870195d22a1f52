//! The same row, worked and counted wholly from tables or tapped in: the same figures. And the
//! same figure wherever it is shown.

#[path = "../common/mod.rs"]
mod common;
mod shown;

use std::fmt::Write as _;

use serde_json::Value;
use thirdwood::exchange::{ImportOptions, Table, import};
use thirdwood::orchard::{Age, Buds, Size, Tap};
use thirdwood::report::document::sheets;
use thirdwood::report::{Period, Season, json, text};
use thirdwood::store::{CountFilter, Store};
use thirdwood::tui::app::{Event, Layer};
use thirdwood::tui::runtime::{Runtime, Start};
use thirdwood::tui::{Action, BudKeys, Key, Theme};
use uuid::Uuid;

const BLOCKS: &str = "\
name,variety,rootstock,planted,row_spacing_m,tree_spacing_m,stems,sides,lean_deg,rows,missing
River,Conference,Quince A,2015,4.0,1.5,6,two-sided,15,1-6x50,2:7-9
";
const CREW: &str = "number,name\n1,Ana\n2,Ben\n";
const WINTERS: &str = "label,start,budburst\n2026/27,2026-12-23,2027-03-13\n";
const WORK: &str = "\
pruner,block,row,first,last,day,hours
1,River,1,1,50,2027-01-12,8
2,River,2,1,50,2027-01-12,7:30
";
/// Trees that are counted by eye, each with so many stems; none: the whole tree.
const TREES: [(u16, Option<u8>); 12] = [
    (3, None),
    (7, Some(2)),
    (11, Some(1)),
    (15, None),
    (19, None),
    (23, Some(3)),
    (27, None),
    (31, None),
    (35, Some(5)),
    (39, None),
    (43, None),
    (47, Some(2)),
];

fn start() -> Start {
    Start {
        theme: Some(Theme::Plain),
        few_colours: false,
        round: false,
        today: Some(common::today()),
    }
}

/// What is on a tree: pieces by age, then units of size and buds; little one-year wood, thick units
/// with many buds.
fn taps(tree: u16) -> Vec<Tap> {
    let n = usize::from(tree);
    // nine more two-year pieces come with their buds
    let pieces = [3 + n % 2, n % 3, 8, usize::from(n % 4 == 3)];
    let piece = |(age, pieces): (Age, usize)| vec![Tap::Piece(age); pieces];
    let mut taps: Vec<Tap> = Age::ALL.into_iter().zip(pieces).flat_map(piece).collect();
    for unit in 0..9 {
        let size = Size::ALL[unit % 3];
        let buds = if unit % 3 == 2 {
            5 + n % 3
        } else {
            2 + unit % 3
        };
        taps.push(Tap::TwoYear(size, Buds::new(buds as u8).unwrap()));
    }
    taps
}

/// The counts as a table made by hand would have them, with the time of day or without.
fn counts(timed: bool) -> String {
    let sizes = ["thin", "medium", "thick"];
    let mut table = "block,row,tree,pruner,part,chosen,at,one,two,three,four_plus".to_owned();
    for size in sizes {
        for buds in ["0", "1", "2", "3", "4", "5", "6", "7plus"] {
            write!(table, ",{size}_{buds}").unwrap();
        }
    }
    table.push('\n');
    for ((tree, stems), minute) in TREES.into_iter().zip(10..) {
        let mut figures = [0; 28];
        for tap in taps(tree) {
            match tap {
                Tap::Piece(age) => figures[age.index()] += 1,
                Tap::TwoYear(size, buds) => {
                    figures[Age::Two.index()] += 1;
                    figures[4 + 8 * size.index() + usize::from(buds.get())] += 1;
                }
                other => unreachable!("{other:?} is not tapped"),
            }
        }
        let part = stems.map_or(String::new(), |stems| stems.to_string());
        let time = if timed {
            format!("T09:{minute}:00+10:00")
        } else {
            String::new()
        };
        write!(table, "River,1,{tree},1,{part},by eye,2027-01-12{time}").unwrap();
        for figure in figures {
            // nothing counted is an empty cell
            let cell = if figure == 0 {
                String::new()
            } else {
                figure.to_string()
            };
            write!(table, ",{cell}").unwrap();
        }
        table.push('\n');
    }
    table
}

/// The row wholly from tables.
fn from_tables(timed: bool) -> Store {
    let store = Store::in_memory().unwrap();
    let counts = counts(timed);
    for (table, rows) in [
        (Table::Blocks, BLOCKS),
        (Table::Crew, CREW),
        (Table::Winters, WINTERS),
        (Table::Work, WORK),
        (Table::Counts, counts.as_str()),
    ] {
        let options = ImportOptions {
            dry_run: false,
            today: common::today(),
            new_id: &mut Uuid::now_v7,
        };
        let report = import(&store, table, rows.as_bytes(), options).unwrap();
        assert_eq!(report.problems, [], "{table:?}");
    }
    store
}

fn press(desk: &mut Runtime, keys: impl IntoIterator<Item = Key>) {
    for key in keys {
        desk.take(Event::Key(key));
    }
}

fn typed(text: &str) -> impl Iterator<Item = Key> {
    text.chars().map(Key::Char)
}

/// Moves to a field of the open form and writes in it, or turns its choice.
fn fill(desk: &mut Runtime, fields: &[&str]) {
    for (at, text) in fields.iter().enumerate() {
        if at > 0 {
            press(desk, [Key::Down]);
        }
        if !text.is_empty() {
            press(desk, [Key::Ctrl('u')]);
            press(desk, typed(text));
        }
    }
    press(desk, [Key::Ctrl('s')]);
    assert!(
        desk.model.layers.is_empty(),
        "not saved: {:?}",
        desk.model.layers
    );
}

/// The keys of a new entry in a section of Set-up, so many to the right of the first.
fn new(desk: &mut Runtime, section: usize, fields: &[&str]) {
    press(desk, [Key::F(8)]);
    desk.take(Event::Act(Action::Section(section)));
    press(desk, [Key::Char('n')]);
    fill(desk, fields);
}

fn key(tap: Tap) -> Key {
    Key::Char(match tap {
        Tap::Piece(age) => ['1', '2', '3', '4'][age.index()],
        Tap::TwoYear(size, buds) => BudKeys::QWERTY.key(size.index(), buds.get().into()),
        other => unreachable!("{other:?} is not tapped"),
    })
}

/// The same row, all of it by keys.
fn by_keys() -> Store {
    let store = Store::in_memory().unwrap();
    let mut desk = Runtime::new(&store, start(), (80, 24)).unwrap();
    new(&mut desk, 0, &["2026-12-23", "2027-03-13", ""]);
    new(
        &mut desk,
        1,
        &[
            "River",
            "Conference",
            "Quince A",
            "2015",
            "4.0",
            "1.5",
            "6",
            "two",
            "15",
            "1-6x50",
            "2:7-9",
        ],
    );
    new(&mut desk, 2, &["1", "Ana"]);
    new(&mut desk, 2, &["2", "Ben"]);
    for (pruner, row, hours) in [("1", "1", "8"), ("2", "2", "7:30")] {
        press(&mut desk, [Key::F(2), Key::Char('w')]);
        fill(&mut desk, &[pruner, "", row, "1", "50", "", hours]);
    }
    press(&mut desk, [Key::F(3)]);
    for (tree, stems) in TREES {
        other_tree(&mut desk, tree, stems);
        press(&mut desk, taps(tree).into_iter().map(key));
        press(&mut desk, [Key::Enter]);
    }
    drop(desk);
    store
}

/// Fills the form of a tree that was not drawn, field by field as its names say. The stems of the
/// tree before stand in it and are overwritten.
fn other_tree(desk: &mut Runtime, tree: u16, stems: Option<u8>) {
    press(desk, [Key::Char('6')]);
    let Some(Layer::Form(form, _)) = desk.model.layers.last() else {
        panic!("no form");
    };
    let names: Vec<&str> = form.fields.iter().map(|field| field.key).collect();
    for name in names {
        let value = match name {
            "row" => "1".to_owned(),
            "tree" => tree.to_string(),
            "part" => stems.map_or(String::new(), |stems| stems.to_string()),
            _ => {
                press(desk, [Key::Down]);
                continue;
            }
        };
        press(desk, [Key::Ctrl('u')]);
        press(desk, typed(&value));
        press(desk, [Key::Down]);
    }
    press(desk, [Key::Ctrl('s')]);
    assert!(desk.model.layers.is_empty(), "{:?}", desk.model.layers);
}

fn season(store: &Store) -> Season {
    let winter = store.winter_on(common::today()).unwrap().unwrap();
    Season::load(store, winter).unwrap()
}

/// A report with its identities and moments left out.
fn bare(mut report: Value) -> Value {
    fn strip(value: &mut Value) {
        match value {
            Value::Object(fields) => {
                fields.retain(|name, _| !matches!(name.as_str(), "id" | "made"));
                fields.values_mut().for_each(strip);
            }
            Value::Array(values) => values.iter_mut().for_each(strip),
            Value::String(text) if Uuid::parse_str(text).is_ok() => "an id".clone_into(text),
            _ => {}
        }
    }
    strip(&mut report);
    report
}

fn data(json: &str) -> Value {
    bare(serde_json::from_str(json).unwrap())
}

#[test]
fn a_row_from_tables_and_tapped_in_gives_the_same_figures() {
    let (read, tapped) = (from_tables(true), by_keys());
    let counted = |store: &Store| {
        let winter = season(store).winter.id;
        store.counts(CountFilter::Winter(winter)).unwrap().len()
    };
    assert_eq!(
        (counted(&read), counted(&tapped)),
        (TREES.len(), TREES.len())
    );
    let (read, tapped) = (season(&read), season(&tapped));
    let today = common::today();
    let figures = |standings| bare(serde_json::to_value(standings).unwrap());
    for period in [Period::so_far(today), Period::day(today)] {
        assert_eq!(
            figures(read.crew_standings(period)),
            figures(tapped.crew_standings(period))
        );
        assert_eq!(
            figures(read.block_standings(period)),
            figures(tapped.block_standings(period))
        );
    }
    let sheets = |season: &Season| data(&json::day_sheets(&season.day_sheets(today), "").unwrap());
    assert_eq!(sheets(&read), sheets(&tapped));
    let page =
        |season: &Season| data(&json::supervisor(&season.supervisor_page(today), "").unwrap());
    assert_eq!(page(&read), page(&tapped));
    let words = |season: &Season| {
        text::render(&sheets::day_sheets(&season.day_sheets(today)))
            + &text::render(&sheets::supervisor(&season.supervisor_page(today)))
    };
    assert_eq!(words(&read), words(&tapped));
    // and there is something to compare
    let sheet = &tapped.day_sheets(today)[0];
    assert_eq!((sheet.standing.trees, sheet.standing.in_part), (12, 5));
    assert!(!sheet.changes.is_empty());
}

/// Whether two reports say the same but for the last digits and the order of the trees.
fn close(one: &Value, other: &Value) -> bool {
    match (one, other) {
        (Value::Number(one), Value::Number(other)) => {
            (one.as_f64().unwrap() - other.as_f64().unwrap()).abs() < 1e-12
        }
        (Value::Array(one), Value::Array(other)) => {
            one.len() == other.len() && one.iter().zip(other).all(|(a, b)| close(a, b))
        }
        (Value::Object(one), Value::Object(other)) => {
            let same = |(name, value): (&String, &Value)| match other.get(name) {
                Some(found) if name == "tree_mixes" => close(&in_order(value), &in_order(found)),
                found => found.is_some_and(|found| close(value, found)),
            };
            one.len() == other.len() && one.iter().all(same)
        }
        _ => one == other,
    }
}

fn in_order(trees: &Value) -> Value {
    let mut trees = trees.as_array().unwrap().clone();
    trees.sort_by_key(Value::to_string);
    trees.into()
}

#[test]
fn a_day_without_a_time_makes_no_difference() {
    let today = common::today();
    let sheets =
        |store: &Store| data(&json::day_sheets(&season(store).day_sheets(today), "").unwrap());
    let (timed, untimed) = (sheets(&from_tables(true)), sheets(&from_tables(false)));
    assert!(close(&timed, &untimed), "{timed:#}\n{untimed:#}");
    let mut other = untimed.clone();
    other["data"][0]["standing"]["trees"] = 11.into();
    assert!(!close(&timed, &other), "the comparison sees a difference");
}
