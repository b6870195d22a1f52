//! The figures of workbooks beside those of JSON.

use calamine::Data;
use serde_json::Value;
use thirdwood::report::Report;

use crate::book::{Sheet, day, number, part, sheet, sheets, written};
use crate::formats::{as_json, plain, reports};
use crate::json_figures::figures;

#[test]
fn every_figure_of_json_stands_in_the_workbook() {
    let mut compared = 0;
    for report in reports(&plain()) {
        let mut cells: Vec<f64> = Vec::new();
        for sheet in sheets(&written(&report)) {
            cells.extend(sheet.rows.iter().flatten().filter_map(number));
        }
        cells.sort_by(f64::total_cmp);
        for (path, figure) in figures(&as_json(&report)["data"]) {
            let at = cells.partition_point(|cell| *cell < figure - 1e-12);
            let found = cells
                .get(at)
                .is_some_and(|cell| (cell - figure).abs() <= 1e-12);
            assert!(found, "{}: {path} {figure} is in no cell", report.word());
            compared += 1;
        }
    }
    assert!(compared > 1_500, "{compared}");
}

/// A column of the first sheet, and where its figure stands in an item of JSON.
type Pair = (&'static str, &'static str);

const STANDING: &[Pair] = &[
    ("Pruned", "/pruned"),
    ("Trees", "/trees"),
    ("Drawn", "/drawn"),
    ("In part", "/in_part"),
    ("One", "/mix/0"),
    ("Four plus", "/mix/3"),
    ("Buds", "/judgement/metrics/4/mean"),
    ("Pieces two", "/pieces/1"),
    ("Pieces a tree", "/pieces_a_tree"),
    ("Wrong age", "/wrong_age/share"),
    ("Wrong age lo", "/wrong_age/interval/lo"),
    ("Offered three", "/offered/pieces/2"),
    ("Upright a tree", "/upright_a_tree"),
    ("Unsampled", "/unsampled"),
];
const BRIEF: &[Pair] = &[
    ("Season", "/season"),
    ("Trees per ha", "/trees_per_ha"),
    ("Stems", "/stems"),
    ("Tonnes per ha", "/brief/tonnes_per_ha"),
    ("Tree fruit", "/brief/tree/fruit"),
    ("Tree pieces one", "/brief/tree/pieces/0"),
    ("Stem extra one year", "/brief/stem/extra_one_year"),
    ("Rule two", "/rule_target/1"),
    ("Bearing pairs", "/bearing/pairs"),
];
const WINTER: &[Pair] = &[
    ("Done", "/done"),
    ("Left", "/left"),
    ("In time", "/finish/expected/in_time"),
    ("Crew needed", "/finish/expected/needed/crew"),
    ("Trees per hour", "/speed/per_hour/mean"),
    ("Trees per day hi", "/speed/per_day/range/1"),
    ("Minutes", "/speed/minutes"),
];

/// Each figure stands under its own heading, in the line of its own item.
fn figures_match(sheet: &Sheet, items: &[Value], from: usize, pairs: &[Pair]) -> usize {
    let mut compared = 0;
    for (row, item) in (from..).zip(items) {
        for (heading, path) in pairs {
            let cell = sheet.cell(row, heading);
            match item.pointer(path).and_then(Value::as_f64) {
                Some(figure) => {
                    let found = number(cell).unwrap_or_else(|| panic!("{heading}: {cell:?}"));
                    assert!(
                        (found - figure).abs() < 1e-12,
                        "{heading}: {found} {figure}"
                    );
                    compared += 1;
                }
                None => assert_eq!(*cell, Data::Empty, "{heading}"),
            }
        }
    }
    compared
}

#[test]
fn a_figure_stands_under_its_heading() {
    let list = |value: &Value| value.as_array().unwrap().clone();
    let mut compared = 0;
    for report in reports(&plain()) {
        let (json, read) = (as_json(&report), sheets(&written(&report)));
        let data = &json["data"];
        compared += match &report {
            Report::Standings(_) => figures_match(&read[0], &list(&data["standings"]), 0, STANDING),
            Report::Briefs(_) => figures_match(&read[0], &list(data), 0, BRIEF),
            Report::Winter(_) => {
                let blocks = list(&data["blocks"]);
                figures_match(&read[0], std::slice::from_ref(data), 0, WINTER)
                    + figures_match(&read[0], &blocks, 1, WINTER)
            }
            _ => 0,
        };
    }
    assert!(compared > 80, "{compared}");
}

#[test]
fn days_are_days_in_the_iso_form() {
    let going = Report::Winter(Box::new(crate::winter::going()));
    let (json, bytes) = (as_json(&going), written(&going));
    let read = sheets(&bytes);
    let wanted = |path: &str| {
        json["data"]
            .pointer(path)
            .unwrap()
            .as_str()
            .unwrap()
            .to_owned()
    };
    let shown = |cell: &Data| day(cell).unwrap().to_string();
    assert_eq!(shown(read[0].cell(0, "Deadline")), wanted("/budburst"));
    let finish = shown(read[0].cell(0, "Finish 50"));
    assert_eq!(finish, wanted("/finish/expected/day/mid"));
    let by_day = sheet(&read, "Done by day");
    assert_eq!(by_day.len(), 5);
    assert_eq!(shown(by_day.cell(4, "Day")), wanted("/by_day/4/day"));
    let styles = part(&bytes, "xl/styles.xml").unwrap();
    assert!(styles.contains("formatCode=\"yyyy-mm-dd\""), "{styles}");
    assert!(styles.contains("formatCode=\"0.0%\""), "{styles}");
}
