//! Tables in and out.

use std::collections::BTreeMap;
use std::path::Path;

use thirdwood::exchange::Table;
use thirdwood::store::Store;

use crate::{House, word};

/// Every file of a folder with its text.
fn files(folder: &Path) -> BTreeMap<String, String> {
    let entries = std::fs::read_dir(folder).unwrap();
    let read = |path: &Path| std::fs::read_to_string(path).unwrap();
    entries
        .map(|entry| entry.unwrap())
        .map(|entry| {
            (
                entry.file_name().into_string().unwrap(),
                read(&entry.path()),
            )
        })
        .collect()
}

#[test]
fn all_tables_come_back_unchanged() {
    let house = House::demo();
    let first = house.beside("first");
    let answer = house.ask(&["export", "all", "-o", word(&first)]);
    assert_eq!((answer.code, answer.out.as_str()), (0, ""));
    assert_eq!(
        answer.err.lines().count(),
        Table::ALL.len(),
        "a word for each: {}",
        answer.err
    );
    assert_eq!(files(&first).len(), Table::ALL.len(), "and nothing else");

    let other = House::empty();
    let said = other.ask(&["import", "all", word(&first)]).begun();
    assert!(said.contains("crew: 8 read, 8 new, 0 changed"), "{said}");
    let second = house.beside("second");
    other.ask(&["export", "all", "-o", word(&second)]);
    assert_eq!(files(&first), files(&second));
    // once more, and over the same files: nothing is new
    let again = other.ask(&["import", "all", word(&first)]).good();
    for line in again.lines() {
        assert!(line.contains(" 0 new, 0 changed, "), "{line}");
    }
    other.ask(&["export", "all", "-o", word(&second)]);
    assert_eq!(files(&first), files(&second));
}

/// All reports of a house as JSON: identities that are made anew where a table is read stand as names.
fn reports(house: &House) -> BTreeMap<&'static str, String> {
    let store = Store::open(&house.file).unwrap();
    let blocks = store.blocks().unwrap().into_iter();
    let mut names: Vec<(String, String)> = blocks
        .map(|block| (block.id.to_string(), block.name.clone()))
        .collect();
    let pruners = store.pruners().unwrap().into_iter();
    names
        .extend(pruners.map(|pruner| (pruner.id.to_string(), format!("pruner {}", pruner.number))));
    let winters = store.winters().unwrap().into_iter();
    names.extend(winters.map(|winter| (winter.id.to_string(), winter.label.clone())));
    let day = ["-d", crate::TODAY];
    let until = ["--until", crate::TODAY];
    let asked: [(&str, &[&str]); 9] = [
        ("day-sheet", &day),
        ("supervisor", &day),
        ("crew", &until),
        ("blocks", &until),
        ("winter", &day),
        ("review", &day),
        ("brief", &[]),
        ("outlook", &[]),
        ("draw", &["--show"]),
    ];
    let reports = asked.map(|(report, more)| {
        let args = [&[report, "-f", "json"], more].concat();
        let mut text = house.ask(&args).good();
        for (id, name) in &names {
            text = text.replace(id, name);
        }
        let mut data: serde_json::Value = serde_json::from_str(&text).unwrap();
        data["made"].take();
        (report, serde_json::to_string_pretty(&data).unwrap())
    });
    reports.into()
}

#[test]
fn an_orchard_made_from_tables_alone_gives_every_figure_of_every_report() {
    let house = House::demo();
    let block = Store::open(&house.file).unwrap().blocks().unwrap()[0]
        .name
        .clone();
    // some of all that can be set up, also what the invented orchard leaves as it is
    for (table, lines) in [
        ("weeks", "weekdays\nMon..Fri\n".to_owned()),
        (
            "days-off",
            "first,last,kind\n20/07/2027,21/07/2027,off\n".to_owned(),
        ),
        ("stays", "pruner,joins,leaves\n2,,2027-07-30\n".to_owned()),
        ("pay", "pruner,basis,rate\n2,tree,0.4125\n".to_owned()),
        (
            "aims",
            format!("block,fruit_per_cm2,girth_cm\n{block},5.5,31\n"),
        ),
        (
            "factors",
            format!("block,factor,value,spread\n{block},set,0.55,0.1\n"),
        ),
        (
            "growth",
            format!(
                "block,grown,survival_one,survival_two,survival_three,survival_four_plus\n{block},41.5,0.9,0.93,0.94,0.88\n"
            ),
        ),
        (
            "set-counts",
            format!(
                "block,season,buds,fruit_buds,clusters,fruit\n{block},2025,4,,3,5\n{block},2025,5,4,2,2\n"
            ),
        ),
        (
            "marks",
            format!(
                "block,row,tree,mark,note\n{block},3,1,canker,at the graft\n{block},3,2,replant,\n"
            ),
        ),
        (
            "settings",
            "setting,value\ncurrency,KWD 3\nsheet language,es\nextras,yes\n".to_owned(),
        ),
    ] {
        let file = house.write(&format!("{table}.csv"), &lines);
        let said = house.ask(&["import", table, word(&file)]).good();
        assert!(!said.contains(" 0 new, 0 changed"), "{said}");
    }
    let tables = house.beside("tables");
    house.ask(&["export", "all", "-o", word(&tables)]);
    for table in Table::ALL {
        let rows = std::fs::read_to_string(tables.join(table.file_name())).unwrap();
        assert!(
            rows.lines().count() > 1,
            "{table:?} is empty and shows nothing"
        );
    }
    let other = House::empty();
    other.ask(&["import", "all", word(&tables)]).begun();
    let (ours, theirs) = (reports(&house), reports(&other));
    for (report, figures) in &ours {
        assert!(figures.len() > 500, "{report}: {figures}");
        for (own, other) in figures.lines().zip(theirs[report].lines()) {
            assert_eq!(own, other, "{report}");
        }
        assert_eq!(figures, &theirs[report], "{report}");
    }
}

#[test]
fn a_hyphen_is_standard_input_and_output() {
    let house = House::demo();
    let crew = house.ask(&["export", "crew"]).good();
    assert_eq!(house.ask(&["export", "crew", "-o", "-"]).good(), crew);
    let other = House::empty();
    let said = other.ask_with(&["import", "crew", "-"], &crew).begun();
    assert_eq!(said, "crew: 8 read, 8 new, 0 changed, 0 as they were\n");
    assert_eq!(other.ask(&["export", "crew"]).good(), crew);
}

#[test]
fn every_wrong_cell_is_named_and_nothing_is_kept() {
    let house = House::empty();
    let table = house.write(
        "crew.csv",
        "number,name,active\n1,Aroha,yes\n0,Mele,perhaps\n1,Ines,no\n",
    );
    let answer = house.ask(&["import", "crew", word(&table)]);
    assert_eq!(answer.code, 1);
    let wrong: Vec<&str> = answer.err.lines().collect();
    assert_eq!(wrong.len(), 3, "{}", answer.err);
    for cell in [
        "crew: line 3, number [0]: ",
        "crew: line 3, active [perhaps]: is neither yes nor no",
        "crew: line 4, number [1]: stands on line 2 already",
    ] {
        assert!(
            wrong.iter().any(|said| said.starts_with(cell)),
            "{cell}: {wrong:#?}"
        );
    }
    assert!(
        answer.out.ends_with("; nothing was kept\n"),
        "{}",
        answer.out
    );
    house.ask(&["export", "crew"]).columns();
}

#[test]
fn one_wrong_table_of_a_folder_and_nothing_of_any_is_kept() {
    let demo = House::demo();
    let tables = demo.beside("tables");
    demo.ask(&["export", "all", "-o", word(&tables)]);
    let mut work = std::fs::read_to_string(tables.join("work.csv")).unwrap();
    work.push_str("Winter 2027,99,Nowhere,1,1,2,2027-07-12,8,,,,,\n");
    std::fs::write(tables.join("work.csv"), work).unwrap();
    let house = House::empty();
    let answer = house.ask(&["import", "all", word(&tables)]);
    assert_eq!(answer.code, 1);
    assert!(
        answer
            .err
            .contains("block [Nowhere]: no block is called so"),
        "{}",
        answer.err
    );
    assert!(answer.err.contains("pruner [99]"), "{}", answer.err);
    house.ask(&["export", "blocks"]).columns();
}

#[test]
fn a_dry_run_tells_and_keeps_nothing() {
    let demo = House::demo();
    let tables = demo.beside("tables");
    demo.ask(&["export", "all", "-o", word(&tables)]);
    let house = House::empty();
    let said = house
        .ask(&["import", "all", word(&tables), "--dry-run"])
        .good();
    assert_eq!(said.lines().count(), Table::ALL.len());
    for line in said.lines() {
        assert!(line.ends_with("; a dry run, nothing was kept"), "{line}");
    }
    assert!(said.contains("blocks: 3 read, 3 new"), "{said}");
    for table in Table::ALL {
        house.ask(&["export", table.word()]).columns();
    }
}

#[test]
fn what_cannot_be_read_or_written_is_named() {
    let house = House::demo();
    house
        .ask(&["import", "crew", "/nowhere/crew.csv"])
        .bad(1, "/nowhere/crew.csv: ");
    house
        .ask(&["import", "all", word(house.folder.path())])
        .bad(1, "no table was found in");
    house
        .ask(&["export", "crew", "-o", "/nowhere/crew.csv"])
        .bad(1, "/nowhere/crew.csv: ");
    let file = word(&house.file);
    house.ask(&["export", "all", "-o", file]).bad(1, file);
    house.ask(&["import", "all", file]).bad(1, file);
    let binary = house.beside("binary.csv");
    std::fs::write(&binary, [0xff, 0xfe, 0, 1]).unwrap();
    let answer = house.ask(&["import", "crew", word(&binary)]);
    assert_eq!(answer.code, 1);
    assert!(answer.err.starts_with("crew: line "), "{answer:?}");
}

#[test]
fn without_a_file_the_columns_are_told_and_no_file_is_made() {
    let house = House::empty();
    let told = |err: &str| {
        err.contains("there is no orchard file at ")
            && err.contains("yet: these are the columns alone")
    };
    let crew = house.ask(&["export", "crew"]);
    assert_eq!((crew.code, crew.out.lines().count()), (0, 1), "{crew:?}");
    assert!(crew.out.starts_with("number,name,"), "{}", crew.out);
    assert!(told(&crew.err), "{}", crew.err);
    let numbers = house.ask(&["--numbers-only", "export", "crew"]).out;
    assert!(
        numbers.starts_with("number,") && !numbers.contains("name"),
        "{numbers}"
    );
    let all = house.beside("all");
    let answer = house.ask(&["export", "all", "-o", word(&all)]);
    assert!(answer.code == 0 && told(&answer.err), "{answer:?}");
    let tables = files(&all);
    assert_eq!(tables.len(), Table::ALL.len());
    assert!(tables.values().all(|table| table.lines().count() == 1));
    assert!(!house.file.exists(), "a mistyped name makes no file");
    // and takes the place of no table
    let kept = house.write("crew.csv", "number,name\n7,Ana\n");
    for output in [&kept, &all] {
        let table = if output == &kept { "crew" } else { "all" };
        house
            .ask(&["export", table, "-o", word(output)])
            .bad(1, "there is no orchard file");
    }
    let crew = std::fs::read_to_string(&kept).unwrap();
    assert_eq!(crew, "number,name\n7,Ana\n");
}
