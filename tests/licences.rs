//! Every package built in has a licence of the list in `deny.toml`, and comes from the registry.

use std::path::Path;
use std::process::Command;

/// The licences allowed: the quoted words of `allow = [...]`.
fn allowed() -> Vec<String> {
    let list =
        std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("deny.toml")).unwrap();
    let list = list
        .split_once("\nallow = [")
        .unwrap()
        .1
        .split_once(']')
        .unwrap()
        .0;
    list.split('"')
        .skip(1)
        .step_by(2)
        .map(str::to_owned)
        .collect()
}

/// Whether a licence expression (SPDX, "SPDX License Expressions") can be met by licences of the list. `/` is how
/// older packages write OR.
fn is_allowed(expression: &str, allowed: &[String]) -> bool {
    let spaced = expression
        .replace('/', " OR ")
        .replace('(', " ( ")
        .replace(')', " ) ");
    let words: Vec<&str> = spaced.split_whitespace().collect();
    let mut at = 0;
    let met = any(&words, &mut at, allowed);
    met && at == words.len()
}

fn any(words: &[&str], at: &mut usize, allowed: &[String]) -> bool {
    let mut met = all(words, at, allowed);
    while words.get(*at) == Some(&"OR") {
        *at += 1;
        met |= all(words, at, allowed);
    }
    met
}

fn all(words: &[&str], at: &mut usize, allowed: &[String]) -> bool {
    let mut met = one(words, at, allowed);
    while words.get(*at) == Some(&"AND") {
        *at += 1;
        met &= one(words, at, allowed);
    }
    met
}

fn one(words: &[&str], at: &mut usize, allowed: &[String]) -> bool {
    let word = words.get(*at);
    // beyond the end, too: then not all is read as it should be
    *at += 1;
    let Some(word) = word else {
        return false;
    };
    if *word == "(" {
        let met = any(words, at, allowed);
        *at += 1;
        return met && words.get(*at - 1) == Some(&")");
    }
    let mut licence = (*word).to_owned();
    if words.get(*at) == Some(&"WITH") {
        let exception = words.get(*at + 1).copied().unwrap_or_default();
        licence = format!("{licence} WITH {exception}");
        *at += 2;
    }
    allowed.contains(&licence)
}

/// The kind of machine that this was built for: packages of others need not be there.
fn host() -> String {
    let output = Command::new("rustc").arg("-vV").output().unwrap();
    let text = String::from_utf8(output.stdout).unwrap();
    let host = text.lines().find_map(|line| line.strip_prefix("host: "));
    host.unwrap().to_owned()
}

#[test]
fn every_package_is_allowed() {
    let output = Command::new(env!("CARGO"))
        .args([
            "metadata",
            "--offline",
            "--locked",
            "--format-version",
            "1",
            "--filter-platform",
            &host(),
        ])
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .unwrap();
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    let metadata: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    let allowed = allowed();
    let packages = metadata["packages"].as_array().unwrap();
    let mut wrong = Vec::new();
    for package in packages {
        let (name, licence) = (&package["name"], package["license"].as_str().unwrap_or(""));
        if !is_allowed(licence, &allowed) {
            wrong.push(format!("{name}: licence {licence:?}"));
        }
        // this package itself has no source
        if package["source"]
            .as_str()
            .is_some_and(|source| !source.starts_with("registry+"))
        {
            wrong.push(format!("{name}: from {}", package["source"]));
        }
    }
    assert_eq!(wrong, Vec::<String>::new());
    assert!(
        packages.len() > 100,
        "{}: does this still read the packages?",
        packages.len()
    );
}

#[test]
fn a_licence_outside_the_list_would_be_found() {
    let allowed = allowed();
    for good in [
        "MIT",
        "MIT OR GPL-3.0-only",
        "Apache-2.0/MIT",
        "(MIT OR Apache-2.0) AND Unicode-3.0",
        "Apache-2.0 WITH LLVM-exception OR GPL-2.0-only",
    ] {
        assert!(is_allowed(good, &allowed), "{good}");
    }
    for bad in [
        "",
        "GPL-3.0-only",
        "MIT AND GPL-3.0-only",
        "(MIT OR Apache-2.0) AND AGPL-3.0",
        "Apache-2.0 WITH Other",
        "MIT OR",
        "(MIT",
    ] {
        assert!(!is_allowed(bad, &allowed), "{bad}");
    }
}
