//! What the contributors' guide says of places is so.

use std::path::Path;

use thirdwood::orchard::Language;

/// Each `name` in `file` of the table "Where is", as name and file.
fn places(guide: &str) -> Vec<(String, String)> {
    let table = guide.split("## Where is").nth(1).unwrap();
    let table = table.split("\n## ").next().unwrap();
    let mut found = Vec::new();
    for (place, rest) in table.match_indices("` in `") {
        let before = &table[..place];
        let name = &before[before.rfind('`').unwrap() + 1..];
        let file = &table[place + rest.len()..];
        let file = &file[..file.find('`').unwrap()];
        found.push((name.to_owned(), file.to_owned()));
    }
    found
}

#[test]
fn the_guide_names_what_is_there() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let guide = std::fs::read_to_string(root.join("DEVELOPERS.md")).unwrap();
    let places = places(&guide);
    assert!(places.len() >= 5, "{places:?}");
    for (name, file) in places {
        let code = std::fs::read_to_string(root.join("src").join(&file));
        let code = code.unwrap_or_else(|e| panic!("{file}: {e}"));
        let last = name.rsplit("::").next().unwrap();
        let defined = ["fn ", "const ", "enum ", "struct "].iter();
        let here = defined
            .map(|word| format!("{word}{last}"))
            .any(|start| code.contains(&start));
        let variant = code.lines().any(|line| {
            line.trim_start().starts_with(&format!("{last} {{"))
                || line.trim() == format!("{last},")
                || line.trim_start().starts_with(&format!("{last}("))
        });
        assert!(here || variant, "{name} is not in {file}");
    }
}

/// The compiler does not ask for a language's place in the list of all.
#[test]
fn each_file_of_words_is_a_language() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let files = std::fs::read_dir(root.join("assets/lang")).unwrap();
    let mut tags: Vec<String> = files
        .map(|file| {
            file.unwrap()
                .path()
                .file_stem()
                .unwrap()
                .to_string_lossy()
                .into_owned()
        })
        .collect();
    tags.sort();
    let mut known = Language::ALL
        .map(|language| language.tag().to_owned())
        .to_vec();
    known.sort();
    assert_eq!(tags, known);
}
