//! The PDF sheets as other programs read them: Poppler's pdftotext and pdfinfo, and qpdf.

mod pdf {
    pub mod figures;
    pub mod papers;
    pub mod tools;
}
#[path = "common/json_figures.rs"]
mod json_figures;
#[path = "paper/world.rs"]
mod world;

use std::path::Path;

use pdf::papers::{all_parts, crew, hostile, text_of};
use pdf::tools::{Tool, pages, run, words_in_boxes};
use thirdwood::report::document::Document;
use thirdwood::report::fit::safe;
use thirdwood::report::pdf::{PageSize, PdfError, render};

fn printed(paper: &Document, page: PageSize) -> tempfile::NamedTempFile {
    let file = tempfile::NamedTempFile::with_suffix(".pdf").unwrap();
    std::fs::write(file.path(), render(paper, page).unwrap()).unwrap();
    file
}

/// All that is not a blank, in the order of reading.
fn bare(text: &str) -> String {
    text.split_whitespace().collect()
}

/// A page's number in its sheet, and how many there are: the last that stands on it.
fn number(text: &str) -> (usize, usize) {
    let last = text.split_whitespace().last().unwrap();
    let (number, of) = last
        .split_once('/')
        .unwrap_or_else(|| panic!("no number ends {text}"));
    (number.parse().unwrap(), of.parse().unwrap())
}

/// Two texts with a dot between them, or the one that is not empty.
fn dotted(one: &str, other: &str) -> String {
    if other.is_empty() {
        one.to_owned()
    } else {
        format!("{one} · {other}")
    }
}

/// The words of a document without its running titles and feet.
fn body(paper: &Document, path: &Path) -> String {
    let mut sheets = paper.sheets.iter();
    let mut sheet = None;
    let mut body = String::new();
    for text in pages(path) {
        let (at, of) = number(&text);
        if at == 1 {
            sheet = sheets.next();
        }
        let sheet = sheet.unwrap();
        let foot = format!("{} {at}/{of}", dotted(&sheet.orchard, &sheet.winter));
        let head = dotted(&sheet.title, &sheet.day);
        let text = bare(&text);
        let mut text = text
            .strip_suffix(&bare(&foot))
            .unwrap_or_else(|| panic!("no {foot} ends {text}"));
        if at > 1 {
            text = text
                .strip_prefix(&bare(&head))
                .unwrap_or_else(|| panic!("no {head} begins {text}"));
        }
        body.push_str(text);
    }
    assert!(sheets.next().is_none(), "a first page a sheet");
    body
}

#[test]
fn every_word_and_figure_can_be_copied() {
    if !Tool::Poppler.there() {
        return;
    }
    for page in [PageSize::A4, PageSize::Letter] {
        let paper = all_parts();
        let file = printed(&paper, page);
        let text = body(&paper, file.path());
        let mut pieces = 0;
        for piece in text_of(&paper) {
            let want = bare(&piece);
            assert!(text.contains(&want), "{piece:?} is not in\n{text}");
            pieces += 1;
        }
        assert!(pieces > 80, "{pieces}");
    }
}

#[test]
fn a_long_table_repeats_its_head_on_each_page() {
    if !Tool::Poppler.there() {
        return;
    }
    let paper = all_parts();
    let file = printed(&paper, PageSize::A4);
    let mut counted = Vec::new();
    for text in pages(file.path()) {
        counted.push(number(&text));
        let rows = text.contains("Long Field ");
        assert_eq!(rows, text.contains("Row of the block"), "{text}");
    }
    let of = counted[0].1;
    assert!(of >= 3, "{counted:?}");
    assert_eq!(
        counted[of - 1..=of],
        [(of, of), (1, 1)],
        "a page a short sheet"
    );
    assert_eq!(counted[of + 1].0, 1);
}

fn line_of<'t>(text: &'t str, key: &str) -> &'t str {
    let line = text.lines().find(|line| line.starts_with(key));
    line.unwrap_or_else(|| panic!("no {key} in {text}"))[key.len()..].trim()
}

#[test]
fn the_file_tells_its_title_language_and_structure() {
    if !Tool::Poppler.there() {
        return;
    }
    let paper = all_parts();
    let file = printed(&paper, PageSize::Letter);
    let path = file.path().to_str().unwrap();
    let info = run("pdfinfo", &[path]);
    assert_eq!(line_of(&info, "Title:"), paper.title);
    assert_eq!(line_of(&info, "Tagged:"), "yes");
    assert_eq!(line_of(&info, "Page size:"), "612 x 792 pts (letter)");
    assert!(!info.contains("CreationDate"), "no clock: {info}");
    let tree = run("pdfinfo", &["-struct-text", path]);
    for piece in [
        "H1 \"Winter review\"",
        "H2 \"What to change\"",
        "Sect",
        "P (block)",
        "L (block)",
        "LI (block)",
        "Table (block)",
        "THead",
        "/Scope /Column",
        "/Scope /Row",
        "TD",
        "Figure",
        "Caption",
    ] {
        assert!(tree.contains(piece), "{piece} is not in the structure");
    }
    // the structure is not compressed: the picture's text equivalent, the language of the document and of each sheet
    let raw = std::fs::read(file.path()).unwrap();
    let raw = String::from_utf8_lossy(&raw);
    assert!(raw.contains("/Alt (One-year wood is 31 %, two-year 35 %"));
    assert!(raw.contains("/Lang (es)") && raw.contains("/Lang (en)"));
    let alone = printed(&paper, PageSize::A4);
    let info = run("pdfinfo", &[alone.path().to_str().unwrap()]);
    assert!(line_of(&info, "Page size:").ends_with("(A4)"), "{info}");
}

#[test]
fn hostile_words_stay_on_the_page() {
    if !Tool::Poppler.there() {
        return;
    }
    for page in [PageSize::A4, PageSize::Letter] {
        let file = printed(&hostile(), page);
        let (width, height) = page.points();
        let words = words_in_boxes(file.path());
        assert!(words.len() > 100, "{}", words.len());
        for (word, [left, top, right, bottom]) in words {
            let inside =
                left >= 40.0 && right <= width - 40.0 && top >= 20.0 && bottom <= height - 15.0;
            assert!(inside, "{word:?} at {left} {top} {right} {bottom}");
            assert!(!word.contains(['\u{1b}', '\u{202e}', '\u{7}']), "{word:?}");
        }
    }
}

#[test]
fn letters_that_the_faces_lack_are_seen_and_can_be_copied() {
    if !Tool::Poppler.there() {
        return;
    }
    let file = printed(&hostile(), PageSize::A4);
    let text = pages(file.path()).concat();
    assert!(text.contains("梨園"), "{text}");
}

#[test]
fn the_file_is_sound_and_has_a_bookmark_a_sheet() {
    if !Tool::Qpdf.there() {
        return;
    }
    for paper in [all_parts(), hostile(), crew(3)] {
        let file = printed(&paper, PageSize::A4);
        let path = file.path().to_str().unwrap();
        let checked = run("qpdf", &["--check", path]);
        assert!(
            checked.contains("No syntax or stream encoding errors"),
            "{checked}"
        );
        let json: serde_json::Value =
            serde_json::from_str(&run("qpdf", &["--json", "--json-key=outlines", path])).unwrap();
        let marks = json["outlines"].as_array().unwrap();
        assert_eq!(marks.len(), paper.sheets.len());
        for (mark, sheet) in marks.iter().zip(&paper.sheets) {
            let title = mark["title"].as_str().unwrap();
            let plain = sheet
                .title
                .chars()
                .all(|letter| letter.is_alphanumeric() || letter == ' ');
            assert!(!plain || title.contains(sheet.title.trim()), "{title}");
        }
    }
}

#[test]
fn a_crew_of_forty_is_printed_at_once() {
    let paper = crew(40);
    let start = std::time::Instant::now();
    let bytes = render(&paper, PageSize::A4).unwrap();
    let took = start.elapsed();
    println!("40 sheets: {took:?}, {} bytes", bytes.len());
    assert!(bytes.len() < 40 * 40_000, "{} bytes", bytes.len());
    // far above what it takes, so that a busy machine does not fail: the measured time stands in the output
    assert!(took.as_secs() < 10, "{took:?}");
}

#[test]
fn every_word_of_every_report_stands_on_its_pages_in_order() {
    if !Tool::Poppler.there() {
        return;
    }
    let mut found = 0;
    for (name, report) in world::reports(&world::season()) {
        let paper = report.paper();
        if paper.sheets.is_empty() {
            assert_eq!(render(&paper, PageSize::A4), Err(PdfError::NoSheets));
            continue;
        }
        let file = printed(&paper, PageSize::A4);
        let text = body(&paper, file.path());
        let mut rest = text.as_str();
        for piece in text_of(&paper) {
            let want = bare(&safe(&piece));
            let at = rest.find(&want);
            let at = at.unwrap_or_else(|| panic!("{name}: {piece:?} is not in {rest}"));
            rest = &rest[at + want.len()..];
            found += 1;
        }
    }
    assert!(found > 2000, "only {found} texts");
}

#[test]
fn reports_with_hostile_names_stay_on_the_page() {
    if !Tool::Poppler.there() {
        return;
    }
    for (name, report) in world::reports(&world::hostile_season()) {
        let paper = report.paper();
        if paper.sheets.is_empty() {
            continue;
        }
        let file = printed(&paper, PageSize::Letter);
        let (width, height) = PageSize::Letter.points();
        for (word, [left, top, right, bottom]) in words_in_boxes(file.path()) {
            let inside =
                left >= 40.0 && right <= width - 40.0 && top >= 20.0 && bottom <= height - 15.0;
            assert!(inside, "{name}: {word:?} at {left} {top} {right} {bottom}");
            assert!(!word.contains(char::is_control), "{name}: {word:?}");
        }
    }
}
