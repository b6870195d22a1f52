//! The house: each part uses only those below it, and SQL and unsafe code stay where they belong.

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
        for name in named(&code) {
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
