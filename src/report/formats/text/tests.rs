use proptest::prelude::*;

use super::*;
use crate::report::document::{Column, Drawing, Picture, Table};
use crate::report::fit::Align::{self, Left, Right};

fn table(heads: &[(&str, Align)], rows: &[&[&str]]) -> Part {
    let column = |(title, align): &(&str, Align)| Column {
        title: (*title).to_owned(),
        align: *align,
    };
    let row = |row: &&[&str]| row.iter().map(|cell| (*cell).to_owned()).collect();
    Part::Table(Table {
        caption: "What it shows".to_owned(),
        columns: heads.iter().map(column).collect(),
        rows: rows.iter().map(row).collect(),
    })
}

fn paper(sheets: Vec<Vec<Part>>) -> Document {
    let sheet = |parts| Sheet {
        lang: "en",
        orchard: "Orchard".to_owned(),
        winter: "winter 2026/27".to_owned(),
        title: "Sheet".to_owned(),
        day: "2027-01-12".to_owned(),
        parts,
    };
    Document {
        title: String::new(),
        lang: "en",
        sheets: sheets.into_iter().map(sheet).collect(),
    }
}

/// What stands below the line across.
fn body(parts: Vec<Part>) -> String {
    let text = render(&paper(vec![parts]));
    let (head, body) = text.split_once("---\n").unwrap();
    assert!(head.starts_with("Orchard") && head.contains("winter 2026/27\nSheet"));
    body.to_owned()
}

#[test]
fn figures_stand_below_their_heading_as_far_as_it_goes() {
    let heads = [("Wood", Left), ("Left", Right), ("Trees counted", Right)];
    let text = body(vec![table(&heads, &[&["cuatro o más", "5 %", "7"]])]);
    assert_eq!(
        text,
        "What it shows\nWood          Left  Trees counted\ncuatro o más   5 %              7\n"
    );
}

#[test]
fn words_that_find_no_room_stand_below_their_row() {
    let long = "a sentence of a good many words that says how it stands, ".repeat(3);
    let heads = [("Block", Left), ("Done", Right), ("Quality", Left)];
    let many: Vec<(&str, Align)> = (heads.into_iter()).chain([("Trees", Right); 8]).collect();
    let mut row = vec!["River", "150", long.as_str()];
    row.extend(["12"; 8]);
    let text = body(vec![table(&many, &[&row])]);
    let lines: Vec<&str> = text.lines().collect();
    assert!(
        lines[1].ends_with("Trees") && !lines[1].contains("Quality"),
        "{text}"
    );
    assert!(lines[2].starts_with("River   150     12"), "{text}");
    assert!(lines[3].starts_with("    Quality: a sentence"), "{text}");
    // beside a name alone they are wrapped where they stand
    let text = body(vec![table(&[heads[0], heads[2]], &[&["River", &long]])]);
    let lines: Vec<&str> = text.lines().collect();
    assert!(
        lines[2].starts_with("River  a sentence") && lines[3].starts_with("       "),
        "{text}"
    );
}

#[test]
fn a_picture_is_its_bars_or_nothing() {
    let bar = |name: &str, shares| Bar {
        name: name.to_owned(),
        shares,
    };
    let mut picture = Picture {
        title: "The mix".to_owned(),
        text: String::new(),
        bars: vec![
            bar("left", [1.0, 0.0, 0.0, 1.0]),
            bar("to be", [0.0, 1.0, 0.0, 0.0]),
        ],
        drawing: Drawing::default(),
    };
    let text = body(vec![Part::Picture(picture.clone())]);
    let (ones, twos) = ("1".repeat(24), "2".repeat(48));
    let fours = "4".repeat(24);
    assert_eq!(
        text,
        format!("The mix\nleft   [{ones}|{fours}]\nto be  [{twos}]\n")
    );
    picture.bars.clear();
    let parts = vec![
        Part::Para("a".into()),
        Part::Picture(picture),
        Part::Para("b".into()),
    ];
    assert_eq!(body(parts), "a\nb\n");
}

#[test]
fn a_page_breaks_only_where_asked() {
    let two = paper(vec![
        vec![Part::Heading("Straße".into())],
        vec![Part::Para("b".into())],
    ]);
    assert!(!render(&two).contains('\u{c}'));
    let paged = render_paged(&two);
    let pages: Vec<&str> = paged.split('\u{c}').collect();
    assert!(pages.len() == 2 && pages.iter().all(|page| page.starts_with("Orchard")));
    assert!(pages[0].ends_with("STRASSE\n"));
}

proptest! {
    /// Whatever a table holds keeps to the page, and every figure is on it.
    #[test]
    fn no_table_leaves_the_page_or_loses_a_figure(
        rights in proptest::collection::vec(any::<bool>(), 1..14),
        words in proptest::collection::vec("[a-zé梨]{1,9}( [a-z]{1,9}){0,20}", 14),
        figures in proptest::collection::vec(10_000u32..99_999, 14),
        columns in 60..=WIDTH,
    ) {
        let heads: Vec<(&str, Align)> = rights.iter().zip(&words)
            .map(|(right, word)| (word.as_str(), if *right { Right } else { Left }))
            .collect();
        let figures: Vec<String> = figures.iter().map(ToString::to_string).collect();
        let cell = |at: usize| if rights[at] { &figures[at] } else { &words[at] };
        let row: Vec<&str> = (0..rights.len()).map(|at| cell(at).as_str()).collect();
        let text = render_within(&paper(vec![vec![table(&heads, &[&row])]]), columns);
        for line in text.lines() {
            prop_assert!(width(line) <= columns && !line.contains(char::is_control), "{}", line);
        }
        for (at, _) in rights.iter().enumerate().filter(|(_, right)| **right) {
            prop_assert!(text.contains(&figures[at]), "{} in\n{}", figures[at], text);
        }
        prop_assert!(!text.contains('…'), "{}", text);
    }
}
