//! Programs that read PDF. Where one is missing the test says so and passes, but fails where CI is set.

use std::path::Path;
use std::process::Command;

#[derive(Clone, Copy)]
pub enum Tool {
    Poppler,
    Qpdf,
}

impl Tool {
    pub fn there(self) -> bool {
        let (program, package) = match self {
            Self::Poppler => ("pdftotext", "poppler-utils"),
            Self::Qpdf => ("qpdf", "qpdf"),
        };
        let there = Command::new(program).arg("--version").output().is_ok();
        if !there {
            assert!(
                std::env::var_os("CI").is_none(),
                "{program} is missing: install {package}"
            );
            eprintln!("NOT TESTED: {program} is missing; install {package} to test the PDF sheets");
        }
        there
    }
}

pub fn run(program: &str, args: &[&str]) -> String {
    let out = Command::new(program).args(args).output().unwrap();
    let (text, faults) = (
        String::from_utf8(out.stdout).unwrap(),
        String::from_utf8_lossy(&out.stderr).into_owned(),
    );
    assert!(out.status.success(), "{program} {args:?}: {text}{faults}");
    // Poppler 22 finds fault with the standard's own way to say that no tag is in doubt
    let known = "Suspects object is wrong type (boolean)";
    assert!(
        faults.lines().all(|line| line.contains(known)),
        "{program} {args:?}: {faults}"
    );
    text
}

/// The text of one page, or of all, in the order in which it stands in the file.
pub fn page_text(path: &Path, page: Option<usize>) -> String {
    let path = path.to_str().unwrap();
    let number = page.map(|page| page.to_string());
    match &number {
        Some(page) => run(
            "pdftotext",
            &["-raw", "-enc", "UTF-8", "-f", page, "-l", page, path, "-"],
        ),
        None => run("pdftotext", &["-raw", "-enc", "UTF-8", path, "-"]),
    }
}

/// Each word and its left, top, right and bottom edge in points.
pub fn words_in_boxes(path: &Path) -> Vec<(String, [f32; 4])> {
    let text = run("pdftotext", &["-bbox", path.to_str().unwrap(), "-"]);
    let lines = text
        .lines()
        .filter(|line| line.trim_start().starts_with("<word "));
    lines
        .map(|line| {
            let edge = |name: &str| {
                let rest = line.split_once(&format!("{name}=\"")).unwrap().1;
                rest.split_once('"').unwrap().0.parse().unwrap()
            };
            let word = line.split_once('>').unwrap().1;
            let word = word.split_once("</word>").unwrap().0.to_owned();
            (word, ["xMin", "yMin", "xMax", "yMax"].map(edge))
        })
        .collect()
}
