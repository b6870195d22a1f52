//! Every language says all of it: no message is missing or unused, none is left in English, none is cut.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use fluent_bundle::{FluentArgs, FluentBundle, FluentResource, FluentValue};
use thirdwood::orchard::*;
use thirdwood::report::document::{Document, Part, Shape, sheets};
use thirdwood::report::fit::width;
use thirdwood::report::text::render;
use thirdwood::report::words::Tongue;
use thirdwood::report::{BriefSheet, DaySheet, Period, Season, Taken, json};
use thirdwood::store::{Setting, Store};

use crate::builder::{Orchard, day};
use crate::formats::{ahead, on, plain};

/// Data that one language needs and the other has no use for: a month's name, the sound after "and".
const OWN: [(&str, &str); 3] = [
    ("day-named", "day"),
    ("day-named", "month"),
    ("list-last", "sound"),
];

/// English words that no Spanish sheet holds, but for the names of publications.
const ENGLISH: [&str; 40] = [
    "the", "and", "with", "from", "are", "is", "for", "in", "by", "on", "wood", "tree", "trees",
    "year", "buds", "bud", "rule", "left", "light", "heavy", "balance", "row", "block", "leave",
    "more", "fewer", "piece", "pieces", "counted", "judged", "units", "unit", "stem", "stems",
    "winter", "season", "seasons", "cut", "keep", "source",
];
const PUBLICATIONS: [&str; 5] = [
    "Reginato & Mesa, Acta Horticulturae 1303",
    "UC IPM, Thinning pears",
    "Good Fruit Grower",
    "University of Georgia",
    "Hoblyn et al. 1936",
];

fn messages(language: Language) -> String {
    let name = format!("assets/lang/{}.ftl", language.tag());
    std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(name)).unwrap()
}

/// Names after each `mark` in a text: letters, digits and hyphens.
fn named(text: &str, mark: &str) -> BTreeSet<String> {
    let name = |rest: &str| -> String {
        rest.chars()
            .take_while(|c| c.is_ascii_alphanumeric() || *c == '-')
            .collect()
    };
    let names = text.split(mark).skip(1).map(name);
    names.filter(|name| !name.is_empty()).collect()
}

/// The messages of a language by key, each as it is written.
fn by_key(language: Language) -> BTreeMap<String, String> {
    let text = messages(language);
    let mut found: BTreeMap<String, String> = BTreeMap::new();
    let mut last = String::new();
    for line in text.lines().filter(|line| !line.starts_with('#')) {
        if let Some((key, rest)) = line.split_once(" =").filter(|_| !line.starts_with(' ')) {
            key.clone_into(&mut last);
            let twice = found.insert(last.clone(), rest.to_owned());
            assert_eq!(twice, None, "{last} stands twice in {language:?}");
        } else if !line.is_empty() {
            found.get_mut(&last).unwrap().push_str(line);
        }
    }
    found
}

fn sources(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            sources(&path, found);
        } else if path.extension().is_some_and(|ext| ext == "rs") {
            found.push(path);
        }
    }
}

/// Literals of the reports that look like keys: lower case words joined by hyphens.
fn literals() -> BTreeSet<String> {
    let mut files = Vec::new();
    let reports = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/report");
    sources(&reports, &mut files);
    let mut found = BTreeSet::new();
    for file in files {
        let code = std::fs::read_to_string(file).unwrap();
        found.extend(code.split('"').map(str::to_owned));
    }
    let like_a_key = |text: &String| {
        !text.is_empty()
            && (text.chars()).all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-')
    };
    found.retain(like_a_key);
    found
}

#[test]
fn all_languages_have_the_same_messages_with_the_same_data() {
    let english = by_key(Language::En);
    assert!(english.len() > 150, "{}", english.len());
    for language in Language::ALL {
        let own = by_key(language);
        let keys = |of: &BTreeMap<String, String>| of.keys().cloned().collect::<BTreeSet<_>>();
        assert_eq!(keys(&own), keys(&english), "{language:?}");
        for (key, text) in &own {
            let mut data = named(text, "$");
            data.retain(|name| !OWN.contains(&(key.as_str(), name.as_str())));
            let mut wanted = named(&english[key], "$");
            wanted.retain(|name| !OWN.contains(&(key.as_str(), name.as_str())));
            assert_eq!(data, wanted, "{language:?}: {key}");
        }
    }
}

#[test]
fn every_message_is_used_and_every_key_used_is_there() {
    let english = by_key(Language::En);
    let literals = literals();
    let mut referred = BTreeSet::new();
    for text in english.values() {
        referred.extend(named(text, "{ "));
    }
    for key in english.keys() {
        let used = literals.contains(key) || referred.contains(key);
        assert!(used, "{key} is used nowhere");
    }
    let group = |key: &str| key.split_once('-').map(|(group, _)| group.to_owned());
    let groups: BTreeSet<String> = english.keys().filter_map(|key| group(key)).collect();
    for literal in literals {
        // the name of a report may be the beginning of its keys
        let begins = english
            .keys()
            .any(|key| key.starts_with(&format!("{literal}-")));
        if !begins && group(&literal).is_some_and(|of| groups.contains(&of)) {
            assert!(english.contains_key(&literal), "{literal} is no message");
        }
    }
}

/// Each message, with each number that chooses another form, is whole: nothing of it is unreadable or unknown.
#[test]
fn every_message_can_be_said() {
    for language in Language::ALL {
        let resource = FluentResource::try_new(messages(language));
        let resource = resource.unwrap_or_else(|(_, wrong)| panic!("{language:?}: {wrong:?}"));
        let mut bundle = FluentBundle::new(vec![language.tag().parse().unwrap()]);
        bundle.set_use_isolating(false);
        bundle.add_resource(resource).unwrap();
        for (key, text) in by_key(language) {
            let pattern = bundle.get_message(&key).and_then(|m| m.value()).unwrap();
            for n in [0, 1, 2, 5] {
                let mut given = FluentArgs::new();
                // a message referred to may want a number of its own
                for name in named(&text, "$").into_iter().chain(["n".to_owned()]) {
                    let value = match name.as_str() {
                        "n" => FluentValue::from(n),
                        "sound" => FluentValue::from(["i", "other"][n % 2]),
                        _ => FluentValue::from("x"),
                    };
                    given.set(name, value);
                }
                let mut wrong = Vec::new();
                let said = bundle.format_pattern(pattern, Some(&given), &mut wrong);
                assert!(wrong.is_empty(), "{language:?}, {key}: {wrong:?}");
                assert!(
                    !said.is_empty() && !said.contains(['{', '}', '\n', '$', '\u{2068}']),
                    "{language:?}, {key}: {said:?}"
                );
            }
        }
    }
}

/// Nothing of a page of text is cut or left in English.
fn is_whole_and_spanish(text: &str) {
    for line in text.lines() {
        assert!(width(line) <= 80, "{line}");
    }
    is_spanish(text);
}

/// Nothing of a text is English, a key or a cut word.
fn is_spanish(text: &str) {
    assert!(!text.contains(['{', '}', '…', '$', '\u{fffd}']), "{text}");
    let mut flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
    for publication in PUBLICATIONS {
        flat = flat.replace(publication, "");
    }
    for word in flat.split(|c: char| !c.is_alphabetic()) {
        let small = word.to_lowercase();
        assert!(!ENGLISH.contains(&small.as_str()), "{word} in:\n{text}");
    }
    for key in by_key(Language::Es).keys().filter(|key| key.contains('-')) {
        assert!(!text.contains(key.as_str()), "{key} in:\n{text}");
    }
}

/// All that stands on a paper, a line each.
fn lines(paper: &Document) -> Vec<String> {
    let mut found = vec![paper.title.clone()];
    for sheet in &paper.sheets {
        assert_eq!((sheet.lang, paper.lang), ("es", "es"));
        found.extend([&sheet.orchard, &sheet.winter, &sheet.title, &sheet.day].map(Clone::clone));
        for part in &sheet.parts {
            match part {
                Part::Heading(said)
                | Part::Lead(said)
                | Part::Para(said)
                | Part::Note(said)
                | Part::Caution(said) => found.push(said.clone()),
                Part::List { items, .. } => found.extend(items.clone()),
                Part::Table(table) => {
                    found.push(table.caption.clone());
                    found.extend(table.columns.iter().map(|column| column.title.clone()));
                    found.extend(table.rows.concat());
                }
                Part::Picture(picture) => {
                    found.extend([picture.title.clone(), picture.text.clone()]);
                    for shape in &picture.drawing.shapes {
                        if let Shape::Text { words, .. } = shape {
                            found.push(words.clone());
                        }
                    }
                }
            }
        }
    }
    found
}

/// The sheet in Spanish, with Spanish names for what a user typed.
fn in_spanish(mut sheet: DaySheet) -> DaySheet {
    sheet.language = Language::Es;
    sheet.orchard = String::new();
    for name in &mut sheet.standing.blocks {
        "Prado largo".clone_into(name);
    }
    for line in &mut sheet.go_backs {
        "Isla".clone_into(&mut line.block_name);
        "faltan dos árboles".clone_into(&mut line.reason);
    }
    sheet
}

#[test]
fn every_day_sheet_and_brief_of_the_demo_is_whole_in_spanish() {
    let store = Store::in_memory().unwrap();
    let today = day(40);
    let facts = thirdwood::demo::fill(&store, 7, today).unwrap();
    let winters = store.winters().unwrap();
    let winter = winters.into_iter().find(|known| known.id == facts.winter);
    let season = Season::load(&store, winter.unwrap()).unwrap();
    let days: BTreeSet<_> = season.work.iter().map(|entry| entry.day).collect();
    let mut seen = 0;
    for on in days {
        let sheets: Vec<_> = season.day_sheets(on).into_iter().map(in_spanish).collect();
        seen += sheets.len();
        is_whole_and_spanish(&render(&sheets::day_sheets(&sheets)));
        if !sheets.is_empty() {
            is_spanish(&lines(&sheets::day_sheets(&sheets)).join("\n"));
        }
    }
    assert!(seen > 50, "{seen}");
    let wood = season.wood(Period::so_far(today));
    for block in &season.blocks {
        let brief = season.brief(block.id, &wood, &Taken::default(), today);
        let briefs = in_spanish_too(vec![brief.unwrap()]);
        is_whole_and_spanish(&text_of(&briefs));
        is_spanish(&lines(&sheets::briefs(&briefs)).join("\n"));
    }
}

fn in_spanish_too(mut sheets: Vec<BriefSheet>) -> Vec<BriefSheet> {
    for sheet in &mut sheets {
        sheet.language = Language::Es;
        "Huerto inventado".clone_into(&mut sheet.orchard);
        "Isla".clone_into(&mut sheet.block_name);
    }
    sheets
}

fn text_of(sheets: &[BriefSheet]) -> String {
    render(&sheets::briefs(sheets))
}

#[test]
fn a_spanish_day_sheet_in_full() {
    let sheets = plain().day_sheets(on()).into_iter().map(in_spanish);
    let text = render(&sheets::day_sheets(&sheets.collect::<Vec<_>>()));
    is_whole_and_spanish(&text);
    insta::assert_snapshot!(text);
}

#[test]
fn a_spanish_brief_in_full() {
    let text = text_of(&in_spanish_too(ahead(&plain()).0));
    is_whole_and_spanish(&text);
    insta::assert_snapshot!(text);
}

#[test]
fn each_pruner_reads_the_own_language() {
    let orchard = Orchard::new("Invented Orchard");
    let block = orchard.block("River", "1-9x60", "");
    let tags = ["", "en", "es-MX", "fr"];
    for (number, tag) in (1..).zip(tags) {
        let draft = PrunerDraft {
            language: tag.to_owned(),
            ..orchard.pruner(number, "", false).draft().clone()
        };
        let known = orchard.store.pruners().unwrap();
        let pruner = Pruner::new(known[usize::from(number) - 1].id, draft).unwrap();
        orchard.store.save_pruner(&pruner).unwrap();
        orchard.work(&pruner, &block, number, (1, 60), 4);
    }
    let (en, es) = (Language::En, Language::Es);
    let languages = || -> Vec<Language> {
        let sheets = orchard.season().day_sheets(on());
        let text = render(&sheets::day_sheets(&sheets));
        let spanish = sheets.iter().filter(|sheet| sheet.language == Language::Es);
        assert_eq!(text.matches("Hoja del día").count(), spanish.count());
        sheets.iter().map(|sheet| sheet.language).collect()
    };
    assert_eq!(languages(), [en, en, es, en]);
    orchard.store.set(Setting::SheetLanguage, "es").unwrap();
    assert_eq!(languages(), [es, en, es, en]);
    orchard.store.set(Setting::SheetLanguage, "fr").unwrap();
    assert_eq!(languages(), [en, en, es, en]);
    let kept: Vec<_> = (orchard.store.pruners().unwrap().iter())
        .map(|pruner| pruner.language.clone())
        .collect();
    assert_eq!(kept, tags, "and a language not written yet is not lost");
    let kept = orchard.store.setting(Setting::SheetLanguage).unwrap();
    assert_eq!(kept.as_deref(), Some("fr"));
}

/// Data say the same in any language, but for the language itself.
#[test]
fn data_do_not_change_with_the_language() {
    let sheets = plain().day_sheets(on());
    let spanish: Vec<_> = (sheets.iter().cloned())
        .map(|sheet| DaySheet {
            language: Language::Es,
            ..sheet
        })
        .collect();
    let [english, spanish] = [sheets, spanish].map(|sheets| json::day_sheets(&sheets, "").unwrap());
    assert!(spanish.contains("\"language\": \"es\""));
    assert_eq!(
        spanish.replace("\"language\": \"es\"", "\"language\": \"en\""),
        english
    );
}

/// A screen says some of these at each frame. The quickest of many rounds is taken: the machine may be busy.
#[test]
fn a_message_is_said_at_once() {
    let words = Tongue::of(Language::Es);
    let round = || {
        let start = Instant::now();
        for n in 0..100 {
            assert!(!words.trees(n).is_empty());
            assert!(!words.list(&["Isla", "Prado", "Loma"]).is_empty());
        }
        start.elapsed() / 200
    };
    let quickest = (0..50).map(|_| round()).min().unwrap();
    println!("a message takes {quickest:?}");
    assert!(quickest < Duration::from_micros(20), "{quickest:?}");
}
