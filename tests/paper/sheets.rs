//! What stands on a sheet, without a browser.

use thirdwood::orchard::{Block, Pruner};
use thirdwood::report::document::{Part, Sheet};
use thirdwood::report::fit::safe;
use thirdwood::report::{Format, Making, Report};

use crate::read::{one_blank, text};
use crate::world::{HOSTILE, MADE, REFUSED, hostile_season, reports, season};

pub fn page(report: &Report) -> String {
    written(report, Format::Html)
}

fn written(report: &Report, format: Format) -> String {
    let making = Making {
        made: MADE.to_owned(),
        ..Making::default()
    };
    String::from_utf8(report.write(format, &making).unwrap()).unwrap()
}

/// All words of a sheet, in order.
fn words(sheet: &Sheet) -> Vec<&str> {
    let mut words: Vec<&str> = vec![&sheet.orchard, &sheet.winter, &sheet.title, &sheet.day];
    for part in &sheet.parts {
        match part {
            Part::Heading(text)
            | Part::Lead(text)
            | Part::Para(text)
            | Part::Note(text)
            | Part::Caution(text) => words.push(text),
            Part::List { items, .. } => words.extend(items.iter().map(String::as_str)),
            Part::Table(table) => {
                words.push(&table.caption);
                words.extend(table.columns.iter().map(|column| column.title.as_str()));
                words.extend(table.rows.iter().flatten().map(String::as_str));
            }
            Part::Picture(picture) => words.push(&picture.title),
        }
    }
    words
}

#[test]
fn all_that_a_sheet_says_stands_on_its_page_in_order() {
    for season in [season(), hostile_season()] {
        for (name, report) in reports(&season) {
            let page = text(&page(&report));
            let mut rest = page.as_str();
            for sheet in &report.paper().sheets {
                for word in words(sheet) {
                    let word = one_blank(&safe(word));
                    let at = rest.find(&word);
                    let at = at.unwrap_or_else(|| panic!("{name}: {word:?} is not in {rest}"));
                    rest = &rest[at + word.len()..];
                }
            }
        }
    }
}

/// What has a digit in it, without the marks around it. Bars of the text, which are pictures, are no figures, nor is
/// what was cut.
fn figures(text: &str) -> Vec<&str> {
    let marks = |c: char| !c.is_alphanumeric();
    text.split_whitespace()
        .filter(|word| !word.contains(['[', '|', '…']))
        .map(|word| word.trim_matches(marks))
        .filter(|word| word.contains(|c: char| c.is_ascii_digit()))
        .collect()
}

#[test]
fn every_figure_of_the_text_stands_on_the_page() {
    let mut seen = 0;
    for (name, report) in reports(&season()) {
        let page = text(&page(&report));
        let there = figures(&page);
        for figure in figures(&written(&report, Format::Text)) {
            // the ages, the page's `1-year` is the text's `1-yr`
            if ["1-yr", "2-yr", "3-yr", "4"].contains(&figure) {
                continue;
            }
            assert!(
                there.contains(&figure),
                "{name}: {figure:?} is not on the page"
            );
            seen += 1;
        }
    }
    assert!(seen > 2000, "only {seen} figures compared");
}

#[test]
fn hostile_names_are_names_and_nothing_else() {
    let season = hostile_season();
    for (name, report) in reports(&season) {
        let page = page(&report);
        for tag in ["<script", "<img", "<b>"] {
            assert!(!page.contains(tag), "{name}: {tag}");
        }
        let steers = |c: char| c.is_control() && c != '\n';
        let body = page.split_once("</style>").unwrap().1;
        assert!(!body.contains(steers), "{name}");
        assert!(!body.contains('\u{202e}'), "{name}");
    }
    let crew = text(&page(&reports(&season)[4].1));
    for hostile in &HOSTILE {
        assert!(crew.contains(hostile), "{hostile:?}");
    }
}

#[test]
fn what_steers_a_terminal_is_no_name_to_begin_with() {
    let season = season();
    let mut block = (*season.blocks[0]).clone();
    REFUSED.clone_into(&mut block.name);
    assert!(Block::new(season.blocks[0].id, block).is_err());
    let mut pruner = (*season.pruners[0]).clone();
    HOSTILE[5].repeat(5).clone_into(&mut pruner.name);
    assert!(
        Pruner::new(season.pruners[0].id, pruner).is_err(),
        "300 characters"
    );
}

#[test]
fn a_page_is_built_as_readers_of_pages_expect() {
    for (name, report) in reports(&season()) {
        let page = page(&report);
        let count = |tag: &str| page.matches(tag).count();
        assert_eq!(count("<h1"), 1, "{name}");
        assert_eq!(count("<main>"), 1, "{name}");
        let sheets = report.paper().sheets.len();
        assert_eq!(count("<article"), sheets, "{name}");
        assert_eq!(count("<nav"), usize::from(sheets > 1), "{name}");
        assert_eq!(count("<table"), count("<caption>"), "{name}");
        assert!(page.contains("<html lang=\"en\">"), "{name}");
        assert!(
            !page.contains("http:") && !page.contains("https:"),
            "{name}"
        );
        assert!(page.contains("2027-07-14 17:40"), "{name}");
        let levels: Vec<u32> = (page.split("<h").skip(1))
            .filter_map(|rest| rest.chars().next()?.to_digit(10))
            .collect();
        assert!(
            levels.windows(2).all(|two| two[1] <= two[0] + 1),
            "{name}: {levels:?}"
        );
    }
}
