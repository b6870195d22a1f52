use krilla::configure::{Configuration, Validator};
use proptest::prelude::*;

use super::font::Faces;
use super::frame::Frame;
use super::lines::{Style, wrap};
use super::pages::{Room, share};
use super::strip::{Flow, Role, Strip, Thing};
use super::{PageSize, PdfError, print, render, set};
use crate::report::document::{Column, Document, Drawing, Fill, Ink, Part, Picture, Sheet, Table};
use crate::report::fit::Align;

/// Names that people or other programs may send: markup, escape sequences, turned direction, no blank, letters that
/// the faces do not have, nothing.
const HOSTILE: [&str; 8] = [
    "<script>alert(1)</script> & \"q\" (\\) %s",
    "\u{1b}[2J\u{7}\u{202e}txt.exe\u{2066}",
    "Aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa",
    "梨園の北 — 果樹園",
    "🍐👩‍🌾 e\u{301}\u{fe0f}\u{200b}",
    "אורי עלי",
    "",
    " \t\n ",
];

fn sheet(name: &str) -> Sheet {
    let table = Table {
        caption: name.to_owned(),
        columns: [
            ("Who", Align::Left),
            ("Trees", Align::Right),
            (name, Align::Centre),
        ]
        .map(|(title, align)| Column {
            title: title.to_owned(),
            align,
        })
        .to_vec(),
        rows: vec![
            vec![name.to_owned(), "12".to_owned(), String::new()],
            vec![String::new()],
        ],
    };
    let mut drawing = Drawing::new(200.0, 90.0);
    for (at, fill) in [
        Fill::Empty,
        Fill::Solid,
        Fill::Light,
        Fill::Rising,
        Fill::Falling,
        Fill::Dotted,
    ]
    .into_iter()
    .enumerate()
    {
        drawing.rect((30.0 * at as f64, 10.0), (25.0, 40.0), Ink::One, fill);
    }
    drawing.text(
        (0.0, 60.0),
        crate::report::document::Anchor::Start,
        9.0,
        name,
    );
    drawing.circle((f64::NAN, 1.0), f64::INFINITY, Ink::Out, Fill::Rising);
    drawing.line(vec![(0.0, 0.0), (f64::INFINITY, 3.0)], 1.0, true, Ink::Seen);
    drawing.line(vec![(1e30, -1e30), (3.0, 1e300)], 1.0, true, Ink::Seen);
    drawing.line(vec![], 1.0, false, Ink::Seen);
    Sheet {
        lang: "es",
        orchard: name.to_owned(),
        winter: name.to_owned(),
        title: name.to_owned(),
        day: name.to_owned(),
        parts: vec![
            Part::Heading(name.to_owned()),
            Part::Lead(name.to_owned()),
            Part::Para(name.to_owned()),
            Part::Note(name.to_owned()),
            Part::Caution(name.to_owned()),
            Part::List {
                numbered: true,
                items: vec![name.to_owned(); 3],
            },
            Part::List {
                numbered: false,
                items: Vec::new(),
            },
            Part::Table(table),
            Part::Picture(Picture {
                title: name.to_owned(),
                text: name.to_owned(),
                bars: Vec::new(),
                drawing,
            }),
            Part::Picture(Picture {
                title: String::new(),
                text: name.to_owned(),
                bars: Vec::new(),
                drawing: Drawing::new(0.0, f64::NAN),
            }),
        ],
    }
}

fn hostile() -> Document {
    Document {
        title: HOSTILE[1].to_owned(),
        lang: "en",
        sheets: HOSTILE.iter().map(|name| sheet(name)).collect(),
    }
}

#[test]
fn a_paper_without_sheets_is_refused() {
    let paper = Document {
        title: "Nothing".to_owned(),
        lang: "en",
        sheets: Vec::new(),
    };
    assert_eq!(render(&paper, PageSize::A4), Err(PdfError::NoSheets));
}

/// PDF/UA-1 as far as the library that writes the file checks it: every mark tagged or an artifact's, text
/// equivalents, titles of headings, a character behind every glyph. The sheets do not claim it.
#[test]
fn the_structure_keeps_the_rules_of_accessible_pdf() {
    let rules = Configuration::new_with_validator(Validator::UA1);
    let plain = Document {
        title: "Day sheets".to_owned(),
        lang: "en",
        sheets: vec![sheet("Ana"), sheet("Łukasz Żółć, 33 %")],
    };
    assert!(print::paper(&plain, PageSize::A4, rules).is_ok());
    assert!(print::paper(&plain, PageSize::Letter, rules).is_ok());
}

#[test]
fn hostile_words_are_printed() {
    for page in [PageSize::A4, PageSize::Letter] {
        assert!(render(&hostile(), page).unwrap().starts_with(b"%PDF-"));
    }
}

#[test]
fn the_same_paper_gives_the_same_bytes() {
    let once = render(&hostile(), PageSize::A4).unwrap();
    assert_eq!(once, render(&hostile(), PageSize::A4).unwrap());
}

/// Every mark of a sheet, and where its right end is.
#[test]
fn no_word_leaves_the_text() {
    let faces = Faces::open().unwrap();
    let frame = Frame::new(PageSize::A4);
    let mut seen = 0;
    for name in HOSTILE {
        let made = sheet(name);
        for strip in set::sheet(&made, &faces, frame).strips {
            for mark in strip.marks {
                if let Thing::Words {
                    at,
                    text,
                    size,
                    bold,
                    ..
                } = mark.thing
                {
                    let right = at.0 + faces.face(bold).width(text.trim_end(), size);
                    assert!(right <= frame.text() + 0.1, "{right} {text}");
                    seen += 1;
                }
            }
        }
    }
    assert!(seen > 100, "{seen}");
}

#[test]
fn the_faces_have_what_sheets_are_written_with() {
    let faces = Faces::open().unwrap();
    let letters = "áéíóúüñ¿¡ «» łżćęőű şğı ăâîșț čďěň ß ø å Žž Ωλ Жщ ế — – … · • × − ± ≈ ≤ ≥ → ↑ ⚠ ✓ █ ▲ ● ½ ‰ € ² \u{fffd}";
    for letter in letters.chars() {
        assert!(faces.face(false).has(letter), "{letter}");
        assert!(faces.face(true).has(letter), "bold {letter}");
    }
    assert!(!faces.face(false).has('梨'));
    let wide = faces.face(false).width("梨", 10.0);
    assert!(
        (wide - faces.face(false).width("\u{fffd}", 10.0)).abs() < 1e-6,
        "a visible sign"
    );
    assert!(wide > 5.0);
}

#[test]
fn names_in_a_script_without_letters_are_told() {
    for name in ["გიორგი", "梨園", "نورا", "नेहा", "אורי עלי"] {
        let told = super::caution(&Document {
            title: String::new(),
            lang: "en",
            sheets: vec![sheet(&format!("Nr 7 {name}, 12 trees"))],
        });
        let told = told.unwrap().unwrap();
        assert!(
            told.starts_with(&format!("PDF lacks letters of {name}:")),
            "{told}"
        );
    }
    for whole in [
        "Łukasz Żółć",
        "Nr 7 \u{200f}Ana\u{200e}\u{61c}",
        "Ωλ Жщ 33 %",
    ] {
        let paper = Document {
            title: String::new(),
            lang: "en",
            sheets: vec![sheet(whole)],
        };
        assert_eq!(super::caution(&paper), Ok(None), "{whole}");
    }
    assert!(
        super::caution(&hostile())
            .unwrap()
            .unwrap()
            .contains("אורי עלי")
    );
}

#[test]
fn direction_marks_and_joiners_are_no_boxes() {
    let faces = Faces::open().unwrap();
    let face = faces.face(false);
    assert_eq!(face.glyphs("a\u{200d}b\u{fe0f}\u{200c}").len(), 2);
    let style = Style { face, size: 10.0 };
    let lines = wrap("\u{200e}Ana\u{200f}\u{61c} 7", style, 200.0);
    assert_eq!(lines[0].text, "Ana 7");
}

#[test]
fn a_share_stays_with_its_sign() {
    let faces = Faces::open().unwrap();
    let style = Style {
        face: faces.face(false),
        size: 10.0,
    };
    let room = style.width("about 33 ");
    let lines: Vec<String> = wrap("about 33 % of it", style, room)
        .into_iter()
        .map(|line| line.text)
        .collect();
    assert_eq!(lines, ["about ", "33 % of ", "it"]);
}

fn strips(heights: &[(f32, bool)]) -> Flow<'static> {
    let strips = heights
        .iter()
        .map(|(height, glued)| Strip {
            gap: 5.0,
            height: *height,
            glued: *glued,
            ..Strip::default()
        })
        .collect();
    Flow {
        strips,
        ..Flow::default()
    }
}

const ROOM: Room = Room {
    first: 40.0,
    next: 60.0,
    end: 400.0,
};

#[test]
fn a_heading_goes_over_the_page_with_what_it_heads() {
    let flow = strips(&[(300.0, false), (20.0, false), (40.0, true), (20.0, false)]);
    let pages = share(&flow, ROOM);
    let on: Vec<Vec<usize>> = pages
        .iter()
        .map(|page| page.iter().map(|placed| placed.strip).collect())
        .collect();
    assert_eq!(on, [vec![0], vec![1, 2, 3]]);
    assert!(
        (pages[1][0].top - 60.0).abs() < 1e-6,
        "no gap at the top of a page"
    );
}

#[test]
fn a_table_repeats_its_head_on_each_page() {
    let mut flow = strips(&[(20.0, false); 60]);
    flow.heads.push(0..2);
    for strip in &mut flow.strips[2..] {
        strip.table = Some(0);
    }
    let pages = share(&flow, ROOM);
    assert!(pages.len() > 3);
    for page in &pages[1..] {
        let heads: Vec<bool> = page.iter().map(|placed| placed.again).collect();
        assert!(heads[0] && heads[1] && !heads[2..].contains(&true));
        assert_eq!((page[0].strip, page[1].strip), (0, 1));
    }
}

proptest! {
    #[test]
    fn every_strip_is_printed_once_in_order_and_on_its_page(
        heights in prop::collection::vec((1.0f32..330.0, any::<bool>()), 1..60)
    ) {
        let flow = strips(&heights);
        let pages = share(&flow, ROOM);
        let order: Vec<usize> = pages.iter().flatten().map(|placed| placed.strip).collect();
        prop_assert_eq!(order, (0..heights.len()).collect::<Vec<_>>());
        for page in &pages {
            prop_assert!(!page.is_empty());
            for placed in page {
                prop_assert!(placed.top + heights[placed.strip].0 <= ROOM.end + 0.01);
            }
        }
    }

    #[test]
    fn lines_keep_every_letter_and_their_width(text in "\\PC{0,80}|[a-z ]{0,200}", room in 20.0f32..300.0) {
        let faces = Faces::open().unwrap();
        let style = Style { face: faces.face(false), size: 10.0 };
        let lines = wrap(&text, style, room);
        let bare = |text: &str| text.split_whitespace().collect::<String>();
        let printed: String = lines.iter().map(|line| line.text.as_str()).collect();
        prop_assert_eq!(bare(&printed), bare(&crate::report::fit::safe(&text)));
        for line in &lines {
            prop_assert!((style.width(line.text.trim_end_matches(' ')) - line.width).abs() < 0.05);
            let single = line.text.trim_end().chars().count() <= 8;
            prop_assert!(line.width <= room + 0.01 || single, "{:?}", line);
        }
    }
}

#[test]
fn headings_are_named_for_who_hears_them() {
    let faces = Faces::open().unwrap();
    let made = sheet("Ana");
    let flow = set::sheet(&made, &faces, Frame::new(PageSize::A4));
    let levels: Vec<u16> = flow
        .nodes
        .iter()
        .filter_map(|node| match &node.role {
            Role::Heading(level, _) => Some(*level),
            _ => None,
        })
        .collect();
    assert_eq!(levels, [1, 2]);
}
