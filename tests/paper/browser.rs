//! Every page opened in headless Chromium: on a phone, on a desk, printed.

use std::path::{Path, PathBuf};
use std::process::Command;

use crate::sheets::page;
use crate::world::{hostile_season, reports, season};

/// The folder of the test's own files.
fn sources() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/paper")
}

/// The first of some programs that is on the path.
fn program(names: &[&str]) -> Option<PathBuf> {
    let path = std::env::var_os("PATH")?;
    let folders: Vec<PathBuf> = std::env::split_paths(&path).collect();
    let find = |name: &&str| {
        let files = folders.iter().map(|folder| folder.join(name));
        files.into_iter().find(|file| file.is_file())
    };
    names.iter().find_map(find)
}

/// What the looking takes; why not, where it is not there.
fn tools() -> Result<(PathBuf, PathBuf), String> {
    let chromium = program(&["chromium", "chromium-browser"])
        .ok_or("there is no chromium (on Debian: apt-get install chromium)")?;
    program(&["node"]).ok_or("there is no node")?;
    program(&["npm"]).ok_or("there is no npm")?;
    let place = Path::new(env!("CARGO_TARGET_TMPDIR")).join("paper-browser");
    std::fs::create_dir_all(&place).unwrap();
    install(&place)?;
    std::fs::copy(sources().join("look.mjs"), place.join("look.mjs")).unwrap();
    Ok((chromium, place))
}

/// Fetches the two libraries once; the lock file says which.
fn install(place: &Path) -> Result<(), String> {
    let locked = |folder: &Path| std::fs::read(folder.join("package-lock.json")).ok();
    if locked(place) == locked(&sources()) && place.join("installed").exists() {
        return Ok(());
    }
    let _ = std::fs::remove_file(place.join("installed"));
    for name in ["package.json", "package-lock.json"] {
        std::fs::copy(sources().join(name), place.join(name)).unwrap();
    }
    let output = Command::new("npm")
        .args(["ci", "--ignore-scripts", "--no-audit", "--no-fund"])
        .current_dir(place)
        .output()
        .map_err(|e| format!("npm: {e}"))?;
    if !output.status.success() {
        return Err(format!(
            "npm ci: {}",
            String::from_utf8_lossy(&output.stderr)
        ));
    }
    std::fs::write(place.join("installed"), "").unwrap();
    Ok(())
}

#[test]
fn every_page_is_whole_on_a_phone_on_a_desk_and_on_paper() {
    let (chromium, place) = match tools() {
        Ok(tools) => tools,
        Err(why) => {
            let in_ci = std::env::var("CI").is_ok_and(|word| word == "true");
            assert!(!in_ci, "no page was looked at in a browser: {why}");
            eprintln!("\n*** SKIPPED: no page was looked at in a browser: {why} ***\n");
            return;
        }
    };
    let pages = place.join("pages");
    let _ = std::fs::remove_dir_all(&pages);
    std::fs::create_dir_all(&pages).unwrap();
    let mut written = 0;
    for (kind, season) in [("", season()), ("hostile-", hostile_season())] {
        for (name, report) in reports(&season) {
            std::fs::write(pages.join(format!("{kind}{name}.html")), page(&report)).unwrap();
            written += 1;
        }
    }
    let output = Command::new("node")
        .arg(place.join("look.mjs"))
        .args([&chromium, &pages])
        .current_dir(&place)
        .output()
        .unwrap();
    let found = String::from_utf8_lossy(&output.stdout);
    assert!(
        output.status.success(),
        "{found}{}",
        String::from_utf8_lossy(&output.stderr)
    );
    assert_eq!(found, format!("{written} pages without fault\n"));
}
