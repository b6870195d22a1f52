//! Every report in every format, into a folder.

use std::collections::BTreeSet;
use std::path::Path;
use std::process::Stdio;
use std::time::Duration;

use serde_json::Value;

use crate::{House, TODAY, thirdwood, word};

fn names(folder: &Path) -> BTreeSet<String> {
    let entries = std::fs::read_dir(folder).unwrap();
    entries
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect()
}

/// Whether a file is whole, by what its format ends with.
fn is_whole(path: &Path) -> bool {
    let bytes = std::fs::read(path).unwrap();
    match path.extension().unwrap().to_str().unwrap() {
        "json" => serde_json::from_slice::<Value>(&bytes).is_ok(),
        // the directory of a zip archive stands at its end
        "xlsx" => bytes.len() > 22 && bytes[bytes.len() - 22..].starts_with(b"PK\x05\x06"),
        "csv" | "txt" => bytes.ends_with(b"\n"),
        "html" => String::from_utf8(bytes)
            .unwrap()
            .trim_end()
            .ends_with("</html>"),
        "pdf" => bytes.trim_ascii_end().ends_with(b"%%EOF"),
        other => panic!("{other}"),
    }
}

#[test]
fn names_that_pdf_has_no_letters_for_are_told() {
    let house = House::demo();
    let crew = house.write("crew.csv", "number,name\n1,გიორგი\n2,Ana\n");
    let came = house.ask(&["import", "crew", word(&crew)]);
    assert_eq!(came.code, 0, "{}", came.err);
    let page = house.beside("crew.pdf");
    let told = house.ask(&["crew", "--until", TODAY, "-o", word(&page)]);
    assert_eq!(told.code, 0);
    let wanted = "thirdwood: PDF lacks letters of გიორგი: ";
    assert!(told.err.starts_with(wanted), "{}", told.err);
    assert!(is_whole(&page));
    // what shows them all says nothing
    let page = house.beside("crew.html");
    (house.ask(&["crew", "--until", TODAY, "-o", word(&page)])).good();
}

#[test]
fn all_reports_are_written_in_all_formats() {
    let house = House::demo();
    let folder = house.beside("papers");
    let answer = house.ask(&["papers", "-o", word(&folder), "-d", TODAY]);
    assert_eq!(
        (answer.code, answer.out.as_str()),
        (0, ""),
        "{}",
        answer.err
    );
    let names = names(&folder);
    assert_eq!(answer.err.lines().count(), names.len(), "a word for each");
    for report in [
        "day-sheet",
        "supervisor",
        "crew",
        "blocks",
        "winter",
        "brief",
        "outlook",
        "draw",
    ] {
        for ending in ["txt", "csv", "json", "xlsx"] {
            assert!(names.contains(&format!("{report}.{ending}")), "{names:?}");
        }
    }
    assert!(names.contains("everything.xlsx"));
    for name in &names {
        assert!(is_whole(&folder.join(name)), "{name}");
    }
    let crew = std::fs::read_to_string(folder.join("crew.csv")).unwrap();
    let alone = house.ask(&["crew", "--until", TODAY, "-f", "csv"]).good();
    assert_eq!(crew, alone, "the same as by its own command");
}

#[test]
fn a_stopped_run_leaves_no_half_file() {
    let house = House::demo();
    let mut stopped = 0;
    for round in 0..8 {
        let folder = house.beside(&format!("papers{round}"));
        let mut command = thirdwood(["--data", word(&house.file), "papers", "-o", word(&folder)]);
        command.args(["-d", TODAY]).stderr(Stdio::null());
        let mut child = command.spawn().unwrap();
        // on its way, a little later each time
        let far = |folder: &Path| folder.exists() && names(folder).len() > 4 * round;
        while !far(&folder) && child.try_wait().unwrap().is_none() {
            std::thread::sleep(Duration::from_millis(1));
        }
        stopped += u32::from(child.try_wait().unwrap().is_none());
        child.kill().unwrap();
        child.wait().unwrap();
        if folder.exists() {
            for name in names(&folder)
                .iter()
                .filter(|name| std::path::Path::new(name).extension() != Some("part".as_ref()))
            {
                assert!(is_whole(&folder.join(name)), "{name}");
            }
        }
    }
    assert!(stopped > 4, "only {stopped} were stopped on their way");
}

#[test]
fn the_schema_is_printed() {
    let house = House::empty();
    let schema: Value = serde_json::from_str(&house.ask(&["schema"]).good()).unwrap();
    let kinds = schema["properties"]["thirdwood"]["enum"]
        .as_array()
        .unwrap();
    assert!(kinds.contains(&Value::from("day_sheets")), "{kinds:?}");
}

#[test]
fn a_folder_that_cannot_be_made_is_named() {
    let house = House::demo();
    let file = house.write("taken", "");
    let answer = house.ask(&["papers", "-o", word(&file), "-d", TODAY]);
    answer.bad(1, "taken");
}
