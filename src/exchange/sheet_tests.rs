use super::super::table::{needed, optional};
use super::*;

const COLUMNS: &[Column] = &[needed("name"), optional("lean_deg"), optional("note")];

fn read(text: &str) -> Sheet {
    Sheet::read(text.as_bytes(), COLUMNS)
        .map_err(|problems| problems[0].to_string())
        .unwrap()
}

fn told(bytes: &[u8]) -> Vec<String> {
    let problems = Sheet::read(bytes, COLUMNS).err().unwrap();
    problems.iter().map(ToString::to_string).collect()
}

#[test]
fn line_numbers_are_those_of_an_editor() {
    for text in [
        "name,note\na,1\n\n\nb,2\n",
        "name,note\r\na,1\r\n\r\n,\r\nb,2",
        "name,note\ra,1\r\r\rb,2\r",
        "\u{feff}name;note\na;1\n\n\nb;2\n",
    ] {
        let sheet = read(text);
        let lines: Vec<_> = sheet.lines.iter().map(|line| line.number).collect();
        assert_eq!(lines, [2, 5], "{text:?}");
        assert_eq!(sheet.cell(&sheet.lines[1], "name"), "b");
        assert_eq!(sheet.cell(&sheet.lines[1], "note"), "2");
    }
}

#[test]
fn delimiters_are_found_by_the_headings() {
    assert!(!read("name,note").decimal_comma);
    assert!(read("Note;Lean deg;name\n").decimal_comma);
    assert!(read("name\tnote\n").decimal_comma);
    assert_eq!(read("name\n").lines.len(), 0);
}

#[test]
fn a_first_line_may_tell_the_delimiter() {
    for text in [
        "sep=;\r\nname;lean_deg\r\na,b;4,5\r\n",
        "\u{feff}SEP=;\nname;lean_deg\na,b;4,5",
        "\"sep=;\"\nname;lean_deg\na,b;4,5",
        "sep=|\nname|lean_deg\na,b|4,5",
        "sep=\t\nname\tlean_deg\na,b\t4,5",
        "name|lean_deg\n\na,b|4,5",
    ] {
        let sheet = read(text);
        assert_eq!(sheet.problems.len(), 0, "{text:?}");
        assert_eq!(sheet.cell(&sheet.lines[0], "name"), "a,b", "{text:?}");
        assert_eq!(sheet.lines[0].number, 3, "{text:?}");
        assert!(sheet.decimal_comma);
    }
    let comma = read("sep=,\nname,note\n\"a;b\",c\n");
    assert_eq!(comma.cell(&comma.lines[0], "name"), "a;b");
    for wrong in [
        "sep=\nname\n",
        "sep=:\nname\n",
        "sep=;;\nname\n",
        "sep=€\nname\n",
    ] {
        let told = told(wrong.as_bytes());
        assert_eq!(told.len(), 1, "{told:?}");
        assert!(
            told[0].starts_with("line 1 [sep=") && told[0].contains("no delimiter"),
            "{told:?}"
        );
    }
    // a cut-off line is still named by where it stands
    let cut = read("sep=;\nname;note\na;\"b\n");
    assert!(
        cut.problems[0].to_string().starts_with("line 3, note"),
        "{}",
        cut.problems[0]
    );
}

#[test]
fn wrong_headings_are_all_named() {
    let told = told(b"nme,note,note,,colour\n");
    assert_eq!(told.len(), 4, "{told:?}");
    assert_eq!(
        told[0],
        "line 1, nme: is no heading of this table; they are: name, lean_deg, note"
    );
    assert!(told[1].contains("twice") && told[2].contains("colour"));
    assert_eq!(told[3], "line 1, name: is missing among the headings");
}

#[test]
fn bad_bytes_are_named_by_line() {
    let found = told(b"name\nok\nfa\xe7ade\nfine\n\xff\n");
    assert_eq!(found.len(), 2);
    assert!(found[0].starts_with("line 3 [fa]: is not UTF-8"));
    assert!(found[1].starts_with("line 5"));
    assert!(told(b"\xff\xfen\0a\0")[0].contains("UTF-16"));
    assert!(told(b"")[0].contains("empty"));
}

#[test]
fn lines_unlike_the_headings_are_named() {
    let sheet = read("name,note\na\nb,2,3\nc,3,\n\"d,4\ne,5\n");
    let told: Vec<_> = sheet.problems.iter().map(ToString::to_string).collect();
    assert_eq!(sheet.lines.len(), 1);
    assert!(told[0].starts_with("line 2: has 1 cells where the headings are 2"));
    assert!(told[1].starts_with("line 3 [3]: stands in cell 3"));
    assert!(told[2].starts_with("line 5, name") && told[2].contains("quotation mark"));
    let long = format!("name\n{}\n", "x".repeat(10_000));
    assert!(read(&long).problems[0].reason.contains("10000 bytes"));
}
