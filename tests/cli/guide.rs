//! The guide and README: how long, and that what they name is there.

use std::path::{Path, PathBuf};

use crate::answers::COMMANDS;
use crate::{run, thirdwood};

/// A reader on the first day has no more patience.
const README_LINES: usize = 170;
/// The width of a terminal as the screens have it.
const COLUMNS: usize = 80;

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).to_owned()
}

fn text(file: &str) -> String {
    std::fs::read_to_string(root().join(file)).unwrap()
}

/// The commands that a text names, flags before them left out.
fn commands(text: &str) -> Vec<&str> {
    let after = |call| text.split(call).skip(1);
    let calls = after("thirdwood ").chain(after("cargo run --release -- "));
    let ends = ['`', ',', '\n'];
    let named = calls.filter_map(|words| {
        let mut words = words.split(ends).next()?.split(' ');
        words.find(|word| !word.starts_with("--"))
    });
    named
        .filter(|word| word.starts_with(|c: char| c.is_ascii_lowercase()))
        .collect()
}

/// Where the links of a text lead.
fn links(text: &str) -> Vec<&str> {
    let ends = text.split("](").skip(1);
    ends.filter_map(|rest| rest.split(')').next()).collect()
}

/// The name that a heading is linked by.
fn anchor(heading: &str) -> String {
    let letters = heading.trim_start_matches('#').trim().to_lowercase();
    let kept = letters.chars().filter(|c| c.is_alphanumeric() || *c == ' ');
    kept.map(|c| if c == ' ' { '-' } else { c }).collect()
}

fn headings(text: &str) -> Vec<String> {
    let parts = text.lines().filter(|line| line.starts_with("##"));
    parts.map(anchor).collect()
}

#[test]
fn the_guide_is_printed_as_it_is_stored() {
    let guide = run(thirdwood(["guide"]), "").good();
    assert!(guide == text("assets/guide.md"), "another text is printed");
    for line in guide.lines() {
        assert!(line.chars().count() <= COLUMNS, "{line}");
    }
}

#[test]
fn what_is_read_first_is_short_and_leads_on() {
    let readme = text("README.md");
    let lines = readme.lines().count();
    assert!(lines <= README_LINES, "{lines} lines");
    assert!(readme.contains("`thirdwood guide`"), "{readme}");
    assert!(links(&readme).contains(&"assets/guide.md"), "{readme}");
}

#[test]
fn every_command_that_is_named_exists_and_the_guide_names_all() {
    let (readme, guide) = (text("README.md"), text("assets/guide.md"));
    for (file, named) in [("README", commands(&readme)), ("guide", commands(&guide))] {
        for command in named {
            assert!(COMMANDS.contains(&command), "{file}: {command}");
        }
    }
    let named = commands(&guide);
    for command in COMMANDS {
        assert!(named.contains(&command), "the guide leaves out {command}");
    }
}

#[test]
fn every_link_leads_somewhere() {
    for file in ["README.md", "assets/guide.md", "assets/json.md"] {
        let (words, here) = (text(file), root().join(file));
        for link in links(&words) {
            let (path, part) = link.split_once('#').unwrap_or((link, ""));
            let to = match path {
                "" => here.clone(),
                path => here.parent().unwrap().join(path),
            };
            assert!(to.exists(), "{file}: {link}");
            let parts = || headings(&std::fs::read_to_string(&to).unwrap());
            assert!(
                part.is_empty() || parts().contains(&part.to_owned()),
                "{file}: {link}"
            );
        }
    }
    // and every part is in the list at the top
    let guide = text("assets/guide.md");
    for part in headings(&guide).iter().filter(|part| *part != "contents") {
        assert!(guide.contains(&format!("(#{part})")), "{part}");
    }
}
