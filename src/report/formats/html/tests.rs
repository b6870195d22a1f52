use super::render;
use crate::report::document::{Column, Document, Drawing, Part, Picture, Sheet, Table};
use crate::report::fit::Align;

const MADE: &str = "2027-01-12T17:40:00+01:00";

fn sheet(title: &str, parts: Vec<Part>) -> Sheet {
    Sheet {
        lang: "en",
        orchard: "Test <orchard>".to_owned(),
        winter: "winter 2026/27".to_owned(),
        title: title.to_owned(),
        day: "Tuesday 2027-01-12".to_owned(),
        parts,
    }
}

fn paper(sheets: Vec<Sheet>) -> Document {
    Document {
        title: "Sheets & more".to_owned(),
        lang: "en",
        sheets,
    }
}

/// Two columns, or as many more of figures.
fn table(figures: usize) -> Part {
    let column = |title: String, align| Column { title, align };
    let mut columns = vec![column("Block".to_owned(), Align::Left)];
    columns.extend((0..figures).map(|at| column(format!("Figure {at}"), Align::Right)));
    let mut row = vec!["River".to_owned()];
    row.extend((0..figures).map(|at| format!("{at}.5")));
    Part::Table(Table {
        caption: "A caption".to_owned(),
        columns,
        rows: vec![row],
    })
}

#[test]
fn one_sheet_has_one_h1_and_no_contents() {
    let page = render(
        &paper(vec![sheet("Only", vec![Part::Heading("Part".into())])]),
        MADE,
    );
    assert!(page.starts_with("<!DOCTYPE html><html lang=\"en\">"));
    assert_eq!(page.matches("<h1").count(), 1);
    assert!(page.contains("<h1 id=\"name-1\">Only</h1>"));
    assert!(page.contains("<h2>Part</h2>"));
    assert!(!page.contains("<nav"));
    assert!(page.contains("<title>Sheets &amp; more</title>"));
    assert!(page.contains("<time datetime=\"2027-01-12T17:40:00+01:00\">2027-01-12 17:40</time>"));
}

#[test]
fn several_sheets_are_linked_and_carry_their_language() {
    let mut other = sheet("Otra", vec![Part::Heading("Parte".into())]);
    other.lang = "es";
    let page = render(&paper(vec![sheet("First", Vec::new()), other]), MADE);
    assert_eq!(page.matches("<h1").count(), 1);
    assert!(page.contains("<a href=\"#sheet-2\">Otra</a>"));
    assert!(page.contains("<article id=\"sheet-2\" lang=\"es\""));
    assert!(
        page.contains("<article id=\"sheet-1\" aria-labelledby"),
        "{page}"
    );
    assert!(page.contains("<h2 id=\"name-2\">Otra</h2>") && page.contains("<h3>Parte</h3>"));
}

#[test]
fn a_table_has_heads_for_rows_and_columns() {
    let page = render(&paper(vec![sheet("T", vec![table(1)])]), MADE);
    assert!(
        page.contains("<table class=\"whole\"><caption>A caption</caption>"),
        "{page}"
    );
    assert!(page.contains("<th scope=\"col\" class=\"n\">Figure 0</th>"));
    assert!(page.contains("<th scope=\"row\" class=\"w\">River</th><td class=\"n\">0.5</td>"));
}

#[test]
fn a_wide_table_becomes_cards_and_stays_a_table_to_the_ear() {
    let page = render(&paper(vec![sheet("T", vec![table(8)])]), MADE);
    assert!(page.contains("<table class=\"cards whole\" role=\"table\">"));
    assert!(
        page.contains("<td class=\"n\" role=\"cell\" data-head=\"Figure 7\"><span>7.5</span></td>")
    );
}

#[test]
fn nothing_is_fetched_and_nothing_runs() {
    let evil = "\"><script>alert(1)</script>\u{1b}[2J\u{202e}";
    let parts = vec![
        Part::Heading(evil.into()),
        Part::Lead(evil.into()),
        Part::Para(evil.into()),
        Part::Note(evil.into()),
        Part::Caution(evil.into()),
        Part::List {
            numbered: true,
            items: vec![evil.into()],
        },
        Part::Table(Table {
            caption: evil.into(),
            columns: vec![
                Column {
                    title: evil.into(),
                    align: Align::Left,
                };
                5
            ],
            rows: vec![vec![evil.into(); 5]],
        }),
        Part::Picture(Picture {
            title: evil.into(),
            text: evil.into(),
            bars: Vec::new(),
            drawing: Drawing::new(100.0, 50.0),
        }),
    ];
    let mut bad = sheet(evil, parts);
    bad.orchard = evil.to_owned();
    bad.day = evil.to_owned();
    let mut paper = paper(vec![bad.clone(), bad]);
    paper.title = evil.to_owned();
    let page = render(&paper, evil);
    assert!(!page.contains("<script"), "{page}");
    assert!(!page.contains('\u{1b}') && !page.contains('\u{202e}'));
    assert!(page.contains("&lt;script&gt;alert(1)&lt;/script&gt;\u{fffd}[2J\u{fffd}"));
    // a quote ends no attribute
    assert!(page.contains("data-head=\"&quot;&gt;&lt;script"));
    for word in ["http:", "https:", "//", "url(", "src=", "@import", "onload"] {
        assert!(!page.contains(word), "{word}");
    }
    assert!(page.contains("content=\"default-src 'none'; style-src 'unsafe-inline'"));
}
