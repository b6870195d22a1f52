//! The house: each part uses only those below it, and SQL and unsafe code stay where they belong.

mod circles;
mod guide;

use std::path::{Path, PathBuf};

/// From the ground up. A part may use those before it.
const PARTS: [&str; 9] = [
    "orchard", "judge", "outlook", "store", "exchange", "report", "demo", "tui", "cli",
];

fn sources(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(sources(&path));
        } else if path.extension().is_some_and(|ext| ext == "rs") {
            found.push(path);
        }
    }
    found
}

/// The part that a file belongs to; none for `lib.rs` and `main.rs`.
fn part_of(path: &Path, src: &Path) -> Option<usize> {
    let first = path.strip_prefix(src).unwrap().components().next().unwrap();
    let name = first.as_os_str().to_str().unwrap().trim_end_matches(".rs");
    PARTS.iter().position(|part| *part == name)
}

/// Parts named after `crate::` in a file's code, by name.
fn named(code: &str) -> Vec<String> {
    let mut names = Vec::new();
    for rest in code.split("crate::").skip(1) {
        if let Some(group) = rest.strip_prefix('{') {
            let group = group.split('}').next().unwrap_or_default();
            let heads = group
                .split(',')
                .filter_map(|item| item.trim().split("::").next());
            names.extend(heads.map(str::to_owned));
        } else {
            let end = rest
                .find(|c: char| !c.is_alphanumeric() && c != '_')
                .unwrap_or(rest.len());
            names.push(rest[..end].to_owned());
        }
    }
    names
}

#[test]
fn no_part_uses_one_above_it() {
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut arrows = 0;
    for path in sources(&src) {
        let Some(own) = part_of(&path, &src) else {
            continue;
        };
        let code = std::fs::read_to_string(&path).unwrap();
        // what tests begin with is no part: it is built for tests alone
        for name in named(&code).into_iter().filter(|name| name != "drafts") {
            let used = PARTS.iter().position(|part| *part == name);
            let used = used.unwrap_or_else(|| {
                panic!("{} names crate::{name}, which is no part", path.display())
            });
            assert!(
                used <= own,
                "{} ({}) uses {name}",
                path.display(),
                PARTS[own]
            );
            arrows += usize::from(used < own);
        }
    }
    assert!(
        arrows > 50,
        "only {arrows} arrows found: does this test still read the sources?"
    );
}

#[test]
fn sql_stands_in_the_store_alone() {
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    for path in sources(&src) {
        if path.starts_with(src.join("store")) {
            continue;
        }
        let code = std::fs::read_to_string(&path).unwrap();
        for word in ["rusqlite::", "SELECT ", "INSERT INTO", "DELETE FROM"] {
            assert!(!code.contains(word), "{} holds {word:?}", path.display());
        }
    }
}

#[test]
fn a_forbidden_arrow_would_be_found() {
    assert_eq!(
        named("use crate::tui::Key; use crate::{store::Store, judge};"),
        ["tui", "store", "judge"]
    );
}

#[test]
fn the_kit_of_the_screens_knows_no_screen() {
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let kit = sources(&src.join("tui").join("kit"));
    assert!(
        kit.len() > 20,
        "only {} files: does this test still find the kit?",
        kit.len()
    );
    for path in kit {
        let code = std::fs::read_to_string(&path).unwrap();
        for room in ["features", "forms", "app", "runtime"] {
            let used = code.contains(&format!("tui::{room}"));
            assert!(!used, "{} uses tui::{room}", path.display());
        }
    }
}

/// The rooms of the reports, from the ground up. A room may use those before it.
const ROOMS: [&str; 5] = ["fit", "figures", "words", "document", "formats"];

/// The room that a name after `report::` leads to: the room itself, or the one from which `report` hands the name on.
fn room_of(name: &str, handed_on: &str) -> usize {
    let room = |name: &str| ROOMS.iter().position(|room| *room == name);
    let from = |statement: &str| {
        let (from, names) = statement
            .trim()
            .strip_prefix("pub use ")?
            .split_once("::")?;
        let mut names = names.split(|c: char| !c.is_alphanumeric() && c != '_');
        names.any(|known| known == name).then(|| room(from))?
    };
    // what no statement names comes with all of the figures
    room(name)
        .or_else(|| handed_on.split(';').find_map(from))
        .unwrap_or(1)
}

/// Names after `crate::report::` in a file's code.
fn from_reports(code: &str) -> Vec<String> {
    let groups = code.split("crate::report::").skip(1).flat_map(|rest| {
        let end = if rest.starts_with('{') { '}' } else { ';' };
        let group = rest
            .split(end)
            .next()
            .unwrap_or_default()
            .trim_start_matches('{');
        let many = if end == '}' { usize::MAX } else { 1 };
        group.split(',').take(many).collect::<Vec<_>>()
    });
    let head = |item: &str| {
        let item = item.trim();
        let end = item.find(|c: char| !c.is_alphanumeric() && c != '_');
        item[..end.unwrap_or(item.len())].to_owned()
    };
    groups.map(head).filter(|name| !name.is_empty()).collect()
}

#[test]
fn figures_know_no_words_and_words_no_documents() {
    let report = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/report");
    let handed_on = std::fs::read_to_string(report.join("mod.rs")).unwrap();
    assert!(handed_on.contains("pub use figures::*;"));
    assert_eq!(
        (room_of("json", &handed_on), room_of("Season", &handed_on)),
        (4, 1)
    );
    let mut arrows = 0;
    for path in sources(&report) {
        let inner = path.strip_prefix(&report).unwrap();
        let parts: Vec<&str> = inner.iter().map(|part| part.to_str().unwrap()).collect();
        let first = parts[0].trim_end_matches(".rs");
        let Some(own) = ROOMS.iter().position(|room| *room == first) else {
            assert_eq!(parts, ["mod.rs"], "{} is in no room", path.display());
            continue;
        };
        let whole = std::fs::read_to_string(&path).unwrap();
        // tests may look into other rooms
        let code = whole.split("#[cfg(test)]").next().unwrap_or_default();
        for name in from_reports(code) {
            let used = room_of(&name, &handed_on);
            assert!(
                used <= own,
                "{} ({first}) uses {name}, of {}",
                path.display(),
                ROOMS[used]
            );
            arrows += usize::from(used < own);
        }
        // the way out of a room goes through `crate::report`, which is read above
        let depth = parts.len() - usize::from(parts.ends_with(&["mod.rs"]));
        let out = "super::".repeat(depth);
        assert!(
            !code.contains(&out),
            "{} leaves its room by {out}",
            path.display()
        );
    }
    assert!(
        arrows > 80,
        "only {arrows} arrows found: does this test still read the sources?"
    );
}

#[test]
fn an_arrow_out_of_a_room_would_be_found() {
    let code = "use crate::report::{Season, words::trees}; crate::report::json::day_sheets(a, b);";
    assert_eq!(from_reports(code), ["Season", "words", "json"]);
}
