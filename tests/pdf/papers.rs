//! Papers made by hand; every name and figure is invented.

use thirdwood::report::document::{
    Anchor, Column, Document, Drawing, Fill, Ink, Part, Picture, Shape, Sheet, Table,
};
use thirdwood::report::fit::Align;

const CLAUSE: &str = "What the trees were left with is set beside what the block's rule asks for, in pieces a tree, \
    with the range that the counted trees allow.";

/// Three sheets with parts of every kind; the first goes on over pages.
pub fn all_parts() -> Document {
    Document {
        title: "Winter review (invented)".to_owned(),
        lang: "en",
        sheets: vec![
            sheet("en", "Winter review", every_part()),
            sheet(
                "es",
                "Hoja del día de Íñigo Peña",
                vec![Part::Lead(
                    "Deje 4 piezas más de un año por árbol".to_owned(),
                )],
            ),
            sheet("en", "Brief for River Bend", long_table(90)),
        ],
    }
}

fn sheet(lang: &'static str, title: &str, parts: Vec<Part>) -> Sheet {
    Sheet {
        lang,
        orchard: "Invented Orchard".to_owned(),
        winter: "winter 2026/27".to_owned(),
        title: title.to_owned(),
        day: "2027-01-12".to_owned(),
        parts,
    }
}

fn every_part() -> Vec<Part> {
    let mut parts = vec![
        Part::Lead("In balance. Leave 3 pieces more of one-year wood on each tree.".to_owned()),
        Part::Heading("What to change".to_owned()),
        Part::Para(format!("{CLAUSE} {CLAUSE} {CLAUSE}")),
        Part::List {
            numbered: true,
            items: (1..=11)
                .map(|at| format!("Row {at}: {at}7 trees gone through, 3{at} % wrong age"))
                .collect(),
        },
        Part::List {
            numbered: false,
            items: vec![
                "Thin units: 2.1 buds for 2".to_owned(),
                format!("Thick units: {CLAUSE}"),
            ],
        },
        Part::Caution(format!("Most of these trees were chosen by eye. {CLAUSE}")),
        Part::Picture(picture()),
        Part::Note(format!("From 48 trees drawn at random. {CLAUSE}")),
    ];
    parts.extend(long_table(70));
    parts.push(Part::Heading("The end".to_owned()));
    parts.push(Part::Para("Made by hand for a test.".to_owned()));
    parts
}

fn column(title: &str, align: Align) -> Column {
    Column {
        title: title.to_owned(),
        align,
    }
}

fn long_table(rows: usize) -> Vec<Part> {
    let rows = (1..=rows).map(|at| {
        let note = if at % 7 == 0 {
            CLAUSE.to_owned()
        } else {
            String::new()
        };
        vec![
            format!("Long Field {at}"),
            format!("{}", 40 + at),
            format!("{} %", at % 100),
            format!("{}.{} to {}.{}", at, at % 10, at + 3, at % 9),
            note,
        ]
    });
    let table = Table {
        caption: "How the rows stand".to_owned(),
        columns: vec![
            column("Row of the block", Align::Left),
            column("Trees", Align::Right),
            column("One-year", Align::Right),
            column("Pieces a tree", Align::Right),
            column("Remark", Align::Left),
        ],
        rows: rows.collect(),
    };
    vec![Part::Heading("Rows".to_owned()), Part::Table(table)]
}

fn picture() -> Picture {
    let mut drawing = Drawing::new(480.0, 170.0);
    let fills = [
        (Ink::One, Fill::Solid, "1"),
        (Ink::Two, Fill::Rising, "2"),
        (Ink::Three, Fill::Falling, "3"),
        (Ink::FourPlus, Fill::Dotted, "4+"),
        (Ink::Rule, Fill::Light, "rule"),
        (Ink::Faint, Fill::Empty, "none"),
    ];
    for (at, (ink, fill, name)) in fills.into_iter().enumerate() {
        let x = 20.0 + 72.0 * at as f64;
        drawing.rect((x, 30.0), (60.0, 80.0), ink, fill);
        drawing.text((x + 30.0, 124.0), Anchor::Middle, 9.0, name);
    }
    drawing.line(
        vec![(10.0, 70.0), (200.0, 50.0), (460.0, 90.0)],
        1.5,
        false,
        Ink::Seen,
    );
    drawing.line(vec![(10.0, 80.0), (470.0, 80.0)], 1.0, true, Ink::Rule);
    for (at, fill) in [Fill::Solid, Fill::Empty, Fill::Rising]
        .into_iter()
        .enumerate()
    {
        let at = (60.0 + 100.0 * at as f64, 148.0);
        drawing.circle(at, 12.0, Ink::Out, fill);
    }
    drawing.text((470.0, 150.0), Anchor::End, 11.0, "33 % wanted");
    Picture {
        title: "The mix beside the rule".to_owned(),
        text: "One-year wood is 31 %, two-year 35 %, three-year 34 %; the rule asks for a third of each.".to_owned(),
        bars: Vec::new(),
        drawing,
    }
}

/// Names that other programs may send.
pub fn hostile() -> Document {
    let names = [
        "<script>alert(1)</script> & \"quoted\" (\\) %s",
        "\u{1b}[2J\u{7}\u{202e}txt.exe\u{2066} turned",
        "Aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa",
        "梨園の北 梨園の北 梨園の北",
        "🍐👩‍🌾 pear e\u{301}",
        "",
    ];
    let sheet = |name: &&str| {
        let cells: Vec<String> = names.iter().map(|name| (*name).to_owned()).collect();
        let wide = Table {
            caption: (*name).to_owned(),
            columns: names.iter().map(|name| column(name, Align::Left)).collect(),
            rows: vec![cells.clone(), cells.clone()],
        };
        let mut made = sheet("en", name, every_part());
        (*name).clone_into(&mut made.orchard);
        (*name).clone_into(&mut made.winter);
        made.parts.insert(0, Part::Lead(name.repeat(4)));
        made.parts.insert(1, Part::Table(wide));
        made.parts.insert(2, Part::Caution(name.repeat(40)));
        made.parts.insert(
            3,
            Part::List {
                numbered: false,
                items: cells,
            },
        );
        made
    };
    Document {
        title: names[1].to_owned(),
        lang: "en",
        sheets: names.iter().map(sheet).collect(),
    }
}

/// A sheet a pruner, about as long as day sheets are.
pub fn crew(pruners: usize) -> Document {
    let sheet = |at: usize| {
        let mut parts = every_part();
        parts.truncate(8);
        parts.extend(long_table(12));
        sheet("en", &format!("Day sheet for Invented Person {at}"), parts)
    };
    Document {
        title: "Day sheets (invented)".to_owned(),
        lang: "en",
        sheets: (1..=pruners).map(sheet).collect(),
    }
}

/// All words of a paper, piece by piece.
pub fn text_of(paper: &Document) -> Vec<String> {
    let mut all = Vec::new();
    for sheet in &paper.sheets {
        all.extend([&sheet.orchard, &sheet.winter, &sheet.title, &sheet.day].map(String::clone));
        for part in &sheet.parts {
            match part {
                Part::Heading(text) | Part::Lead(text) | Part::Para(text) | Part::Note(text) => {
                    all.push(text.clone());
                }
                Part::Caution(text) => all.push(text.clone()),
                Part::List { items, .. } => all.extend(items.iter().cloned()),
                Part::Table(table) => {
                    all.push(table.caption.clone());
                    all.extend(table.columns.iter().map(|column| column.title.clone()));
                    all.extend(table.rows.iter().flatten().cloned());
                }
                Part::Picture(picture) => {
                    all.push(picture.title.clone());
                    all.extend(
                        picture
                            .drawing
                            .shapes
                            .iter()
                            .filter_map(|shape| match shape {
                                Shape::Text { words, .. } => Some(words.clone()),
                                _ => None,
                            }),
                    );
                }
            }
        }
    }
    all.retain(|text| !text.is_empty());
    all
}
