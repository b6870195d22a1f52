//! The figures of PDF pages, as Poppler reads them, beside those of the text and of JSON.

use thirdwood::report::{Format, MakeError, Making, Report};

use super::tools::{Tool, pages};
use crate::{json_figures, world};

/// What has a digit in it, without the marks around it; bars of the text are pictures, and what was cut is none.
fn figures(text: &str) -> Vec<&str> {
    let marks = |c: char| !c.is_alphanumeric();
    text.split_whitespace()
        .filter(|word| !word.contains(['[', '|', '…']))
        .map(|word| word.trim_matches(marks))
        .filter(|word| word.contains(|c: char| c.is_ascii_digit()))
        .collect()
}

fn made(report: &Report, format: Format, figures: bool) -> Result<Vec<u8>, MakeError> {
    let making = Making {
        made: world::MADE.to_owned(),
        figures,
        ..Making::default()
    };
    report.write(format, &making)
}

#[test]
fn every_figure_of_the_text_stands_on_the_pages() {
    if !Tool::Poppler.there() {
        return;
    }
    let mut seen = 0;
    for (name, report) in world::reports(&world::season()) {
        let text = String::from_utf8(made(&report, Format::Text, false).unwrap()).unwrap();
        let Ok(bytes) = made(&report, Format::Pdf, false) else {
            assert!(report.paper().sheets.is_empty(), "{name}");
            continue;
        };
        let file = tempfile::NamedTempFile::with_suffix(".pdf").unwrap();
        std::fs::write(file.path(), bytes).unwrap();
        let printed = pages(file.path()).join(" ");
        let there = figures(&printed);
        // the ages, the sheets' `1-year` is the text's `1-yr`
        let ages = ["1-yr", "2-yr", "3-yr", "4"];
        for figure in figures(&text)
            .into_iter()
            .filter(|figure| !ages.contains(figure))
        {
            assert!(
                there.contains(&figure),
                "{name}: {figure:?} is not on the pages"
            );
            seen += 1;
        }
    }
    assert!(seen > 2000, "only {seen} figures compared");
}

/// As the sheet of every figure prints it: four decimals at most, or a share in per cent with two.
fn as_printed(figure: f64) -> [String; 2] {
    let long = format!("{figure:.4}");
    let short = long.trim_end_matches('0').trim_end_matches('.');
    let plain = if short == "-0" { "0" } else { short };
    [plain.to_owned(), format!("{:.2}", figure * 100.0)]
}

#[test]
fn every_figure_of_json_stands_on_the_pages_where_it_is_asked_for() {
    if !Tool::Poppler.there() {
        return;
    }
    let (mut seen, mut missed_without) = (0, 0);
    for (name, report) in world::reports(&world::season()) {
        if report.paper().sheets.is_empty() {
            continue;
        }
        let words = |figures| {
            let file = tempfile::NamedTempFile::with_suffix(".pdf").unwrap();
            std::fs::write(file.path(), made(&report, Format::Pdf, figures).unwrap()).unwrap();
            let text = pages(file.path()).join(" ");
            let words = text.split_whitespace().map(str::to_owned);
            words.collect::<std::collections::BTreeSet<_>>()
        };
        let (with, without) = (words(true), words(false));
        let json = made(&report, Format::Json, false).unwrap();
        let json: serde_json::Value = serde_json::from_slice(&json).unwrap();
        for (path, figure) in json_figures::figures(&json["data"]) {
            let printed = as_printed(figure);
            assert!(
                printed.iter().any(|word| with.contains(word)),
                "{name}: {path} {figure} is not on the pages as one of {printed:?}"
            );
            seen += 1;
            missed_without += usize::from(!printed.iter().any(|word| without.contains(word)));
        }
    }
    println!(
        "{seen} figures of JSON on the pages; {missed_without} of them only on the last sheet"
    );
    assert!(seen > 1_500, "{seen}");
    // the pages proper round more: were nothing missed there, this test could not see a figure that is not there
    assert!(missed_without > 100, "{missed_without}");
}
