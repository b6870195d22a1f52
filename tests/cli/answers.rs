//! Help, exit codes, and what goes where.

use crate::{House, TODAY, run, thirdwood, word};

pub const COMMANDS: [&str; 25] = [
    "demo",
    "day-sheet",
    "supervisor",
    "crew",
    "blocks",
    "winter",
    "payroll",
    "review",
    "brief",
    "outlook",
    "draw",
    "import",
    "export",
    "bundle",
    "merge",
    "conflicts",
    "join",
    "forget-name",
    "check",
    "restore",
    "papers",
    "schema",
    "completions",
    "guide",
    "manual",
];
/// Options of every command, told once.
const GLOBAL: [&str; 5] = ["--data", "--theme", "--numbers-only", "--help", "--version"];

#[test]
fn the_help_of_every_command_has_an_example() {
    let whole = run(thirdwood(["--help"]), "").good();
    for command in COMMANDS {
        let help = run(thirdwood([command, "--help"]), "").good();
        let example = format!("thirdwood {command}");
        let examples = help
            .split_once("Example")
            .unwrap_or_else(|| panic!("{help}"));
        assert!(examples.1.contains(&example), "{help}");
        assert!(whole.contains(&format!("\n  {command} ")), "{command}");
    }
    assert!(
        whole.contains("Exit codes: 0 all is well, 1 it failed, 2 the command was not understood.")
    );
    let version = run(thirdwood(["--version"]), "").good();
    assert_eq!(
        version,
        concat!("thirdwood ", env!("CARGO_PKG_VERSION"), "\n")
    );
}

#[test]
fn every_line_of_help_fits_on_the_screen() {
    for command in COMMANDS {
        let help = run(thirdwood([command, "--help"]), "").good();
        for line in help.lines() {
            assert!(line.chars().count() <= 100, "{command}: {line}");
        }
    }
}

#[test]
fn completions_and_the_manual_are_made() {
    for shell in ["bash", "elvish", "fish", "powershell", "zsh"] {
        let words = run(thirdwood(["completions", shell]), "").good();
        for command in COMMANDS {
            assert!(words.contains(command), "{shell}: {command}");
        }
    }
    let manual = run(thirdwood(["manual"]), "").good();
    assert!(manual.contains(".TH thirdwood 1"), "{manual}");
    assert_eq!(
        manual.matches("\n.SS ").count(),
        COMMANDS.len(),
        "no command is left out here"
    );
    for command in COMMANDS {
        // a hyphen that is meant is escaped in a manual page
        let escaped = command.replace('-', "\\-");
        assert!(manual.contains(&escaped), "{command}");
        // each with its options, as its own help tells them
        let part = format!(".SS \"thirdwood {command}\"");
        let part = manual.split(&part).nth(1).unwrap_or_default();
        let part = part.split(".SS").next().unwrap_or_default();
        let help = run(thirdwood([command, "--help"]), "").good();
        let options = help.split_whitespace().filter(|word| {
            word.starts_with("--")
                && word[2..]
                    .chars()
                    .all(|c| c.is_ascii_lowercase() || c == '-')
        });
        let own = options.filter(|word| !GLOBAL.contains(word));
        for option in own {
            let escaped = option.replace('-', "\\-");
            assert!(part.contains(&escaped), "{command} {option}:\n{part}");
        }
    }
    run(thirdwood(["completions", "tcl"]), "").bad(2, "tcl");
}

#[test]
fn what_is_not_understood_is_2() {
    let house = House::demo();
    for (args, words) in [
        (&["bogus"][..], "unrecognized subcommand 'bogus'"),
        (&["crew", "--bogus"], "unexpected argument '--bogus'"),
        (&["crew", "extra"], "unexpected argument 'extra'"),
        (&["--theme", "pink"], "invalid value 'pink'"),
        (
            &["day-sheet", "-d", "12.1.2027"],
            "is not a day such as 2027-01-12",
        ),
        (&["day-sheet", "-p", "-1"], "-1"),
        (&["day-sheet", "-f", "xml"], "invalid value 'xml'"),
        (
            &["crew", "--since", TODAY, "--until", "2027-07-13"],
            "--since 2027-07-14 is after 2027-07-13",
        ),
        (&["draw", "-n", "0"], "0 is not in 1..=500"),
        (&["draw", "-n", "501"], "501 is not in 1..=500"),
        (&["draw", "--show", "-n", "4"], "cannot be used with"),
        (&["export", "apples"], "marks, all"),
        (&["export", "all"], "thirdwood export all -o FOLDER"),
        (&["import", "blocks"], "required arguments"),
        (&["demo"], "leave --data out"),
    ] {
        house.ask(args).bad(2, words);
    }
    run(thirdwood(["demo", "--keep", word(&house.file)]), "").bad(2, "the demo overwrites nothing");
}

#[test]
fn what_cannot_be_is_1_and_says_what_to_do() {
    let nothing = House::empty();
    for command in ["day-sheet", "supervisor", "crew", "blocks", "draw", "check"] {
        nothing.ask(&[command]).bad(1, "there is no orchard file");
    }
    assert!(!nothing.file.exists(), "a mistyped name makes no file");
    let empty = House::empty();
    drop(empty.store());
    for command in ["day-sheet", "supervisor", "crew", "blocks", "draw"] {
        empty.ask(&[command]).bad(
            1,
            "the file has no winter yet: open the screens (`thirdwood`)",
        );
    }
    let house = House::demo();
    house.ask(&["day-sheet", "-d", TODAY, "-p", "99"]).bad(
        1,
        "there is no pruner number 99; `thirdwood crew` lists them",
    );
}

#[test]
fn without_a_terminal_the_screens_say_what_to_run() {
    let house = House::empty();
    house.ask(&[]).bad(
        2,
        "the screens need a terminal. Without one, run `thirdwood day-sheet`",
    );
    assert!(!house.file.exists(), "and make no file");
}

#[test]
fn without_a_terminal_the_demo_prints_its_day_sheets() {
    let house = House::empty();
    let mut command = thirdwood(["demo"]);
    command.env("TMPDIR", house.folder.path());
    command.env("HOME", house.folder.path());
    let sheets = run(command, "").good();
    assert!(sheets.matches("Day sheet Nr ").count() >= 6, "{sheets}");
    assert!(sheets.contains("Fernhollow"), "{sheets}");
    let left = std::fs::read_dir(house.folder.path()).unwrap().count();
    assert_eq!(left, 0, "and leaves nothing behind");
    let kept = house.beside("kept.db");
    run(
        thirdwood(["demo", "--seed", "3", "--keep", word(&kept)]),
        "",
    )
    .good();
    let crew = run(thirdwood(["--data", word(&kept), "crew"]), "").good();
    assert!(crew.contains("Pruners, by number"), "{crew}");
}

#[test]
fn data_are_on_standard_output_whole_and_once() {
    let house = House::demo();
    for (args, kind) in [
        (&["day-sheet", "-d", TODAY][..], "day_sheets"),
        (&["supervisor", "-d", TODAY], "supervisor"),
        (&["crew", "--until", TODAY], "crew"),
        (&["blocks", "--until", TODAY], "blocks"),
        (&["draw", "--show"], "draw"),
    ] {
        let text = house.ask(args).good();
        assert!(
            text.ends_with('\n') && !text.ends_with("\n\n"),
            "{args:?}: {text:?}"
        );
        assert!(!text.contains('\u{1b}'), "{args:?}");
        let as_data = [args, &["-f", "json"]].concat();
        let json = house.ask(&as_data).good();
        assert!(json.ends_with("}\n") && !json.ends_with("\n\n"), "{args:?}");
        let data: serde_json::Value = serde_json::from_str(&json).unwrap();
        assert_eq!(
            (&data["thirdwood"], &data["version"]),
            (&kind.into(), &thirdwood::report::json::VERSION.into())
        );
        // the same into a file, and nothing beside it
        let to = house.beside("out");
        let into = [args, &["-o", word(&to)]].concat();
        assert_eq!(house.ask(&into).good(), "");
        assert_eq!(std::fs::read_to_string(&to).unwrap(), text, "{args:?}");
        let beside = std::fs::read_dir(house.folder.path()).unwrap().flatten();
        let mut beside = beside.map(|entry| entry.path());
        assert!(!beside.any(|path| path.extension().is_some_and(|end| end == "part")));
    }
}

#[test]
fn sheets_are_printed_in_the_language_asked_for() {
    let house = House::demo();
    for (command, english, spanish) in [
        ("day-sheet", "Day sheet Nr ", "Hoja del día Nr "),
        ("brief", "Brief ", "Pauta de poda "),
    ] {
        let ask = |lang: &[&str]| house.ask(&[&[command, "-d", TODAY], lang].concat());
        let usual = ask(&[]).good();
        assert!(
            usual.contains(english) && !usual.contains(spanish),
            "{usual}"
        );
        assert_eq!(ask(&["--lang", "en"]).good(), usual);
        let other = ask(&["--lang", "es"]).good();
        assert!(
            other.contains(spanish) && !other.contains(english),
            "{other}"
        );
        assert_eq!(
            usual.matches(english).count(),
            other.matches(spanish).count()
        );
        ask(&["--lang", "fr"]).bad(2, "es (Español)");
    }
}

#[test]
fn one_pruner_and_pages() {
    let house = House::demo();
    let sheets = house.ask(&["day-sheet", "-d", TODAY]).good();
    let one = house.ask(&["day-sheet", "-d", TODAY, "-p", "2"]).good();
    assert!(
        one.contains("Day sheet Nr 2 ") && !one.contains("Day sheet Nr 1 "),
        "{one}"
    );
    assert!(sheets.contains(&one), "the same sheet as among all");
    let pages = house
        .ask(&["day-sheet", "-d", TODAY, "--page-breaks"])
        .good();
    let heads = |text: &str| text.matches("Day sheet ").count();
    assert_eq!(pages.matches('\u{c}').count(), heads(&pages) - 1);
    assert_eq!(heads(&pages), heads(&sheets));
}

#[test]
fn a_draw_is_kept_and_can_be_repeated() {
    // a draw is made on the clock's day, at whatever hour: the invented orchard's own draws lie before
    let today = chrono::Local::now().date_naive();
    let house = House::demo_on(today.pred_opt().unwrap());
    let rows = || house.ask(&["export", "draws"]).good().lines().count();
    let before = rows();
    let draw = ["draw", "-n", "9", "--seed", "5"];
    let first = house.ask(&draw).good();
    assert_eq!(rows(), before + 9);
    assert_eq!(house.ask(&["draw", "--show"]).good(), first);
    assert_eq!(rows(), before + 9, "showing draws none");
    assert!(first.contains("Draw of 9 trees"), "{first}");
    assert!(first.contains("seed 5 repeats"), "{first}");
    assert_eq!(first.matches("[ ]").count(), 9, "{first}");
}

#[test]
fn the_file_is_named_by_flag_or_by_environment() {
    let house = House::demo();
    let by_flag = house.ask(&["crew", "--until", TODAY]).good();
    let mut command = thirdwood(["crew", "--until", TODAY]);
    command.env("THIRDWOOD_DATA", &house.file);
    assert_eq!(run(command, "").good(), by_flag);
    // the flag may stand after the command, and goes before the environment
    let mut command = thirdwood(["crew", "--until", TODAY, "-D", word(&house.file)]);
    command.env("THIRDWOOD_DATA", house.beside("another.db"));
    assert_eq!(run(command, "").good(), by_flag);
    // without either, in the data folder
    let in_folder = |args: &[&str]| {
        let mut command = thirdwood(args);
        command.env("XDG_DATA_HOME", house.beside("data"));
        run(command, "number,name\n7,Ana\n")
    };
    in_folder(&["import", "crew", "-"]).begun();
    let said = in_folder(&["check"]).good();
    let usual = house.beside("data").join("thirdwood").join("orchard.db");
    assert!(said.contains(word(&usual)), "{said}");
    assert!(usual.exists());
}

#[test]
fn the_winter_is_text_data_and_a_table() {
    let house = House::demo();
    let text = house.ask(&["winter", "-d", TODAY]).good();
    assert!(
        text.contains("Through: 2027-") && text.contains(" EUR"),
        "{text}"
    );
    assert!(
        text.lines().all(|line| line.chars().count() <= 80),
        "{text}"
    );
    let data = house.ask(&["winter", "-d", TODAY, "-f", "json"]).good();
    let data: serde_json::Value = serde_json::from_str(&data).unwrap();
    assert_eq!(data["thirdwood"], "winter");
    let trees = |field: &str| data["data"][field].as_u64().unwrap();
    assert!(text.contains(&format!("{} left", trees("left"))), "{text}");
    // two days of rain stand before the first day of work
    let rain = data["data"]["days"]["rain"].as_u64().unwrap();
    assert!((2..=3).contains(&rain), "{rain}");
    let to = house.beside("winter.csv");
    house
        .ask(&["winter", "-d", TODAY, "-f", "csv", "-o", word(&to)])
        .good();
    let mut table = csv::Reader::from_path(&to).unwrap();
    let rows: Vec<csv::StringRecord> = table.records().map(Result::unwrap).collect();
    assert_eq!(rows[0][3], trees("left").to_string());
    assert_eq!(rows.iter().filter(|row| &row[0] == "block").count(), 3);
    let empty = House::empty();
    drop(empty.store());
    empty.ask(&["winter"]).bad(1, "no winter yet");
}

#[test]
fn sheets_for_the_printer() {
    let house = House::demo();
    let (a4, letter) = (house.beside("crew.pdf"), house.beside("letter"));
    house
        .ask(&["crew", "--until", TODAY, "-o", word(&a4)])
        .good();
    let more = ["-f", "pdf", "--page-size", "letter", "-o", word(&letter)];
    house
        .ask(&[&["crew", "--until", TODAY], &more[..]].concat())
        .good();
    for (file, size) in [(&a4, "595.28 841.89"), (&letter, "612 792")] {
        let bytes = std::fs::read(file).unwrap();
        assert!(bytes.starts_with(b"%PDF-1.7"), "{}", file.display());
        let text = String::from_utf8_lossy(&bytes);
        assert!(text.contains(&format!("/MediaBox [0 0 {size}]")), "{size}");
    }
    house
        .ask(&["crew", "--page-size", "a5"])
        .bad(2, "invalid value 'a5'");
}
