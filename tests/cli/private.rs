//! Numbers only: no name of a pruner in anything that any command gives.

use std::io::Read;
use std::path::{Path, PathBuf};
use std::process::Command;

use calamine::{Reader, Xlsx, open_workbook};
use thirdwood::orchard::PrunerDraft;
use thirdwood::store::Store;

use crate::names::{found, told, typed_everywhere};
use crate::{House, thirdwood, word};

/// The invented orchard up to today, with names in notes and reasons, and a name that was changed on two tablets.
fn house() -> House {
    let house = House::demo_on(chrono::Local::now().date_naive());
    typed_everywhere(&house.store());
    let other = House::empty();
    let all = house.beside("first.bundle");
    house.ask(&["bundle", "-o", word(&all)]).good();
    other.ask(&["merge", word(&all)]).begun();
    for (at, end) in [(&house, "Oak"), (&other, "Ash")] {
        let store = at.store();
        let pruner = store.pruners().unwrap().remove(0);
        let name = format!("{} {end}", pruner.name);
        let draft = PrunerDraft {
            name,
            ..pruner.draft().clone()
        };
        store.save_pruner(&pruner.changed(draft).unwrap()).unwrap();
    }
    let theirs = house.beside("second.bundle");
    other.ask(&["bundle", "-o", word(&theirs)]).good();
    house.ask(&["merge", word(&theirs)]).good();
    for path in [all, theirs] {
        std::fs::remove_file(path).unwrap();
    }
    house
}

/// What a file says to whoever opens it; none where a program for that is missing.
fn text_of(path: &Path) -> Option<String> {
    let bytes = std::fs::read(path).unwrap();
    Some(match path.extension().unwrap().to_str().unwrap() {
        "pdf" => {
            let Ok(out) = Command::new("pdftotext")
                .args([path.as_os_str(), "-".as_ref()])
                .output()
            else {
                assert!(std::env::var_os("CI").is_none(), "install poppler-utils");
                eprintln!("NOT TESTED: pdftotext is missing; install poppler-utils");
                return None;
            };
            String::from_utf8_lossy(&out.stdout).into_owned()
        }
        "xlsx" => {
            let mut book: Xlsx<_> = open_workbook(path).unwrap();
            let sheets = book.worksheets();
            let rows = sheets.iter().flat_map(|(_, range)| range.rows());
            format!("{:?}\n{:?}", book.sheet_names(), rows.collect::<Vec<_>>())
        }
        "bundle" => {
            let mut text = String::new();
            let mut zip = flate2::read::GzDecoder::new(bytes.as_slice());
            zip.read_to_string(&mut text).unwrap();
            text
        }
        _ => String::from_utf8(bytes).unwrap(),
    })
}

/// Every output of every command: what it is, and its text.
fn outputs(house: &House, flags: &[&str]) -> Vec<(String, String)> {
    let mut all = Vec::new();
    let folder = house.beside("out");
    std::fs::create_dir(&folder).unwrap();
    let file = |name: &str| folder.join(name).to_str().unwrap().to_owned();
    let wrong = house.write("wrong.csv", "number,name\n1,\"a\u{7}b\"\n70000,c\n");
    let mut commands: Vec<Vec<String>> = Vec::new();
    let mut add = |words: &[&str]| commands.push(words.iter().map(|w| (*w).to_owned()).collect());
    for report in [
        "day-sheet",
        "supervisor",
        "crew",
        "blocks",
        "winter",
        "review",
        "brief",
        "outlook",
    ] {
        add(&[report]);
    }
    add(&["draw", "--show"]);
    add(&["day-sheet", "-p", "2", "--lang", "es"]);
    add(&["papers", "-o", &file("papers")]);
    for table in [
        "blocks", "crew", "winters", "rules", "work", "counts", "draws", "go-backs", "harvests",
        "marks",
    ] {
        add(&["export", table]);
    }
    add(&["export", "all", "-o", &file("tables")]);
    for command in [&["conflicts"][..], &["join"], &["check"], &["restore"]] {
        add(command);
    }
    add(&["forget-name", "2"]);
    add(&["import", "crew", word(&wrong), "-n"]);
    add(&["bundle", "--numbers-in-notes", "-o", &file("all.bundle")]);
    add(&["merge", &file("all.bundle"), "-n"]);
    for words in commands {
        let mut with: Vec<&str> = flags.to_vec();
        with.extend(words.iter().map(String::as_str));
        let answer = house.ask(&with);
        let bad = words[0] == "import";
        assert_eq!(answer.code, i32::from(bad), "{words:?}: {}", answer.err);
        all.push((words.join(" "), answer.out + &answer.err));
    }
    let mut open: Vec<PathBuf> = vec![folder.clone()];
    while let Some(path) = open.pop() {
        if path.is_dir() {
            open.extend(
                std::fs::read_dir(path)
                    .unwrap()
                    .map(|entry| entry.unwrap().path()),
            );
            continue;
        }
        let name = path.strip_prefix(&folder).unwrap().display().to_string();
        if let Some(text) = text_of(&path) {
            all.push((name.clone(), format!("{name}\n{text}")));
        }
    }
    std::fs::remove_dir_all(folder).unwrap();
    all
}

#[test]
fn no_command_tells_a_name_where_only_numbers_are_shown() {
    let house = house();
    let words = told(&house.store());
    let hidden = outputs(&house, &["--numbers-only"]);
    for (what, text) in &hidden {
        assert_eq!(found(text, &words), None, "{what}:\n{text}");
    }
    // the search finds a name that is put in, and finds them where they are shown: in each kind of file
    let (_, text) = &hidden[0];
    assert!(found(&format!("{text} {}.", words[0].to_uppercase()), &words).is_some());
    let house = self::house();
    let shown = outputs(&house, &[]);
    assert_eq!(shown.len(), hidden.len());
    let telling: Vec<&str> = shown
        .iter()
        .filter(|(_, text)| found(text, &words).is_some())
        .map(|(what, _)| what.as_str())
        .collect();
    for ending in [".txt", ".html", ".csv", ".json", ".xlsx", ".pdf", ".bundle"] {
        let of_kind = |what: &&(String, String)| what.0.ends_with(ending) && !what.0.contains(' ');
        if shown.iter().any(|what| of_kind(&what)) {
            assert!(
                telling.iter().any(|what| what.ends_with(ending)),
                "{ending}"
            );
        }
    }
    assert!(
        telling.len() > 30 && telling.contains(&"conflicts"),
        "{telling:?}"
    );
    println!(
        "{} outputs searched, {} of them tell names where names are shown",
        hidden.len(),
        telling.len()
    );
}

#[test]
fn the_setting_does_the_same_and_the_demo_too() {
    use thirdwood::store::Setting;
    let house = house();
    let words = told(&house.store());
    house.store().set(Setting::Names, "numbers only").unwrap();
    for command in [
        &["day-sheet"][..],
        &["crew", "-f", "json"],
        &["export", "crew"],
        &["conflicts"],
    ] {
        let said = house.ask(command).good();
        assert_eq!(found(&said, &words), None, "{command:?}:\n{said}");
    }
    let path = house.beside("own.bundle");
    let said = house.ask(&["bundle", "-o", word(&path)]);
    said.bad(1, "reasons or notes name a pruner");
    let both = ["bundle", "--with-names", "--numbers-only"];
    house.ask(&both).bad(2, "opposite");
    let said = house
        .ask(&["bundle", "--with-names", "-o", word(&path)])
        .good();
    assert!(!said.contains("without names"));
    assert!(
        found(&text_of(&path).unwrap(), &words).is_some(),
        "asked for by name"
    );
    let demo = crate::run(thirdwood(["demo", "--numbers-only"]), "").good();
    let shown = crate::run(thirdwood(["demo"]), "").good();
    assert!(found(&demo, &words).is_none() && found(&shown, &words).is_some());
}

#[test]
fn a_table_without_names_read_in_again_takes_none_away() {
    let house = House::demo();
    let before = house.store().pruners().unwrap();
    let table = house.beside("crew.csv");
    house
        .ask(&["--numbers-only", "export", "crew", "-o", word(&table)])
        .good();
    let said = house.ask(&["import", "crew", word(&table)]).good();
    assert!(said.contains("0 new, 0 changed"), "{said}");
    assert_eq!(house.store().pruners().unwrap(), before);
}

#[test]
fn a_name_is_taken_away_by_command_after_asking_twice() {
    let house = House::demo();
    let number = |store: &Store| store.pruners().unwrap()[1].shown();
    let shown = number(&house.store());
    assert_ne!(shown, "Nr 2");
    let told = house.ask(&["forget-name", "2"]).good();
    assert!(
        told.contains("--sure 2") && told.contains("nothing was changed"),
        "{told}"
    );
    house
        .ask(&["forget-name", "2", "--sure", "3"])
        .bad(2, "nothing was changed");
    house
        .ask(&["forget-name", "77"])
        .bad(1, "no pruner number 77");
    assert_eq!(number(&house.store()), shown);
    let table = house.beside("crew.csv");
    // reading a table in makes a backup, which holds the name
    house.ask(&["export", "crew", "-o", word(&table)]).good();
    house.ask(&["import", "crew", word(&table)]).good();

    let said = house.ask(&["forget-name", "2", "--sure", "2"]).good();
    assert!(
        said.contains("goes by number from now on") && said.contains("backups"),
        "{said}"
    );
    assert_eq!(number(&house.store()), "Nr 2");
    // a table written before does not bring it back
    let again = house.ask(&["import", "crew", word(&table)]);
    assert!(
        again.code == 1 && again.err.contains("stays away"),
        "{again:?}"
    );
    let said = house
        .ask(&["forget-name", "2", "--sure", "2", "--and-backups"])
        .good();
    assert!(said.contains("none of them holds the name"), "{said}");
}

#[cfg(unix)]
#[test]
fn what_commands_write_is_for_its_owner_only() {
    use std::os::unix::fs::PermissionsExt;
    let house = House::demo();
    let (papers, tables) = (house.beside("papers"), house.beside("tables"));
    let sheet = house.beside("sheet.txt");
    std::fs::write(&sheet, "readable by all").unwrap();
    std::fs::set_permissions(&sheet, PermissionsExt::from_mode(0o644)).unwrap();
    house
        .ask(&["day-sheet", "-d", crate::TODAY, "-o", word(&sheet)])
        .good();
    house.ask(&["papers", "-o", word(&papers), "-d", crate::TODAY]);
    house.ask(&["export", "all", "-o", word(&tables)]);
    let mut files = vec![sheet];
    for folder in [papers, tables] {
        files.extend(
            std::fs::read_dir(folder)
                .unwrap()
                .map(|entry| entry.unwrap().path()),
        );
    }
    assert!(files.len() > 50, "{}", files.len());
    for file in files {
        let mode = std::fs::metadata(&file).unwrap().permissions().mode();
        assert_eq!(mode & 0o777, 0o600, "{}", file.display());
    }
}
