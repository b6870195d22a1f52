//! A disk that is full, or that takes no more of a file; what may not be written.

use std::io::Write;
use std::path::Path;
use std::process::{Command, Stdio};

use thirdwood::orchard::CountId;
use thirdwood::store::backup::{self, Keep, Made, Stop};
use thirdwood::store::{CountFilter, Store, StoreError};
use thirdwood::tui::Key;
use thirdwood::tui::app::{Effect, Event, Tone};
use thirdwood::tui::runtime::Runtime;

use crate::child::{crew, start};
use crate::common::{self, Small};
use crate::world::{House, back_up, counted, script, taps, tell};

/// A small disk in memory, which only root can make.
pub struct Tmpfs(pub tempfile::TempDir);

impl Tmpfs {
    pub fn new(kib: usize) -> Option<Self> {
        let folder = tempfile::tempdir().unwrap();
        let mounted = Command::new("mount")
            .args(["-t", "tmpfs", "-o", &format!("size={kib}k"), "tmpfs"])
            .arg(folder.path())
            .output();
        if mounted.is_ok_and(|output| output.status.success()) {
            return Some(Self(folder));
        }
        tell("SKIPPED, NOT TESTED: a full disk needs a small tmpfs, which only root may mount");
        None
    }

    /// Fills the disk up to so many free bytes.
    pub fn fill(&self, free: usize) {
        let ballast = self.0.path().join("ballast");
        let mut file = std::fs::File::create(&ballast).unwrap();
        let block = [7; 1024];
        while file.write_all(&block).is_ok() {}
        let length = file.metadata().unwrap().len();
        file.set_len(length.saturating_sub(free as u64)).unwrap();
    }

    pub fn make_room(&self) {
        std::fs::remove_file(self.0.path().join("ballast")).unwrap();
    }
}

impl Drop for Tmpfs {
    fn drop(&mut self) {
        let _ = Command::new("umount").arg("-l").arg(self.0.path()).status();
    }
}

/// Opens the last count of the file again.
fn open_count(store: &Store, small: &Small) -> CountId {
    let counts = store.counts(CountFilter::Winter(small.winter.id)).unwrap();
    let id = counts.last().unwrap().id;
    store.close_count(id, false).unwrap();
    id
}

#[test]
fn taps_on_a_disk_that_fills_up() {
    let mut runs = 0;
    for free in (0..40).map(|step| step * 3_000) {
        let Some(disk) = Tmpfs::new(1024) else { return };
        let (template, small) = counted(3);
        let file = disk.0.path().join("orchard.db");
        std::fs::copy(&template.file, &file).unwrap();
        let store = Store::open(&file).unwrap();
        let before = taps(&store, &small).len();
        let count = open_count(&store, &small);
        disk.fill(free);
        let mut kept = Vec::new();
        let refused = script()
            .take(2_000)
            .find_map(|tap| match store.tap(count, None, tap) {
                Ok(_) => {
                    kept.push(tap);
                    None
                }
                Err(e) => Some(e),
            });
        let refused = refused.expect("the disk was not full");
        assert!(
            matches!(refused, StoreError::Full | StoreError::Disk(_)),
            "{free}: {refused:?}"
        );
        // what was acknowledged is there: as this program sees it, and as another one does
        assert_eq!(taps(&store, &small)[before..], kept, "{free}");
        disk.make_room();
        for tap in script().take(3) {
            store.tap(count, None, tap).unwrap();
            kept.push(tap);
        }
        drop(store);
        let store = Store::open(&file).unwrap();
        assert_eq!(taps(&store, &small)[before..], kept, "{free}");
        store.vouch().unwrap();
        runs += 1;
    }
    tell(&format!(
        "{runs} disks filled up while tapping: nothing acknowledged was lost, and it went on once there was room"
    ));
}

#[test]
fn a_full_disk_costs_no_more_than_the_backup() {
    let Some(disk) = Tmpfs::new(1024) else { return };
    let (template, small) = counted(3);
    let file = disk.0.path().join("orchard.db");
    std::fs::copy(&template.file, &file).unwrap();
    let make = || backup::make(&file, common::today(), Keep::Sound, None, &Stop::default());
    assert!(matches!(make(), Ok(Made::Kept(_))));
    let store = Store::open(&file).unwrap();
    let count = open_count(&store, &small);
    let tap = script().next().unwrap();
    store.tap(count, None, tap).unwrap();
    let mut runs = 0;
    for free in (10..100).step_by(10).map(|kib| kib * 1_000) {
        disk.fill(free);
        let refused = make().unwrap_err();
        assert!(
            matches!(refused, StoreError::Full | StoreError::Disk(_)),
            "{free}: {refused:?}"
        );
        let left: Vec<_> = std::fs::read_dir(backup::folder(&file))
            .unwrap()
            .map(|e| e.unwrap().file_name())
            .collect();
        assert_eq!(left.len(), 2, "half a backup is left: {left:?}");
        // nor is anything put back where the present file cannot be kept
        let before = crate::world::dump(&file);
        assert!(
            backup::restore(&file, 1, common::today()).is_err(),
            "{free}"
        );
        assert_eq!(crate::world::dump(&file), before, "{free}");
        runs += 1;
        disk.make_room();
    }
    assert!(matches!(make(), Ok(Made::Kept(_))));
    store.tap(count, None, tap).unwrap();
    tell(&format!(
        "{runs} backups and restores on a full disk: refused, nothing changed"
    ));
}

#[test]
fn screens_say_that_the_disk_is_full_and_go_on() {
    let Some(disk) = Tmpfs::new(1024) else { return };
    let (template, small) = counted(3);
    let file = disk.0.path().join("orchard.db");
    std::fs::copy(&template.file, &file).unwrap();
    let store = Store::open(&file).unwrap();
    let mut desk = Runtime::new(&store, start(), (80, 24)).unwrap();
    desk.take(Event::Key(Key::F(3)));
    desk.take(Event::Key(Key::Char('1')));
    let before = taps(&store, &small).len();
    disk.fill(0);
    for _ in 0..400 {
        desk.take(Event::Key(Key::Char('2')));
    }
    let message = desk.model.message.clone().unwrap();
    assert_eq!(message.tone, Tone::Problem);
    assert!(
        message.words.contains("nothing of this change was kept"),
        "{message:?}"
    );
    let kept = taps(&store, &small).len();
    let shown = desk.model.count.tally().unwrap().pieces() as usize;
    assert_eq!(
        shown,
        1 + kept - before,
        "what the screen shows is what is on disk"
    );
    disk.make_room();
    desk.take(Event::Key(Key::Char('2')));
    assert_eq!(taps(&store, &small).len(), kept + 1);
}

/// Runs the program under a limit on the size of files: writes beyond it fail as on a disk that is broken there.
pub fn limited(blocks: usize, file: &Path, args: &str, input: &str) -> (bool, String) {
    let program = env!("CARGO_BIN_EXE_thirdwood");
    let line = format!(
        "trap '' XFSZ; ulimit -f {blocks}; exec '{program}' --data '{}' {args}",
        file.display()
    );
    let mut child = Command::new("sh")
        .args(["-c", &line])
        .stdin(Stdio::piped())
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let _ = child.stdin.take().unwrap().write_all(input.as_bytes());
    let output = child.wait_with_output().unwrap();
    (
        output.status.success(),
        String::from_utf8_lossy(&output.stderr).into_owned(),
    )
}

#[test]
fn tables_where_the_disk_takes_no_more() {
    let (template, _) = counted(6);
    let before = crate::world::dump(&template.file);
    let (mut kept, mut refused) = (0, 0);
    for blocks in (0..48).map(|step| step * 4) {
        let house = House::copy_of(&template.file);
        let (done, said) = limited(blocks, &house.file, "import crew -", &crew(7));
        assert!(
            !said.contains("panicked") && !said.contains("a fault of its own"),
            "{blocks}: {said}"
        );
        let store = house.store();
        store.vouch().unwrap();
        let names: Vec<String> = store
            .pruners()
            .unwrap()
            .into_iter()
            .map(|p| p.name.clone())
            .collect();
        drop(store);
        if done {
            assert!(
                names.iter().all(|name| name == "Reader 7"),
                "{blocks}: {names:?}"
            );
            kept += 1;
        } else {
            assert_eq!(crate::world::dump(&house.file), before, "{blocks}: {said}");
            assert!(said.starts_with("thirdwood: "), "{blocks}: {said}");
            refused += 1;
        }
    }
    assert!(kept > 3 && refused > 3, "{kept} kept, {refused} refused");
    tell(&format!(
        "{} tables with writes failing at some size: {refused} refused whole, {kept} kept whole",
        kept + refused
    ));
}

#[test]
fn sheets_and_tables_on_a_full_disk_are_whole_or_not_there() {
    let Some(disk) = Tmpfs::new(256) else { return };
    let (template, _) = counted(24);
    for (free, args) in [
        (0, "crew -f json"),
        (0, "export counts"),
        (900, "supervisor -f json"),
        (900, "export counts"),
    ] {
        disk.fill(free);
        let out = disk.0.path().join("out");
        let args: Vec<&str> = args.split(' ').collect();
        let output = Command::new(env!("CARGO_BIN_EXE_thirdwood"))
            .arg("--data")
            .arg(&template.file)
            .args(&args)
            .arg("-o")
            .arg(&out)
            .output()
            .unwrap();
        assert_eq!(output.status.code(), Some(1), "{args:?}");
        assert!(!out.exists(), "{args:?}: half a file");
        let mut left = std::fs::read_dir(disk.0.path()).unwrap().flatten();
        assert!(
            !left.any(|left| left.path().extension().is_some_and(|end| end == "part")),
            "{args:?}"
        );
        disk.make_room();
    }
}

#[test]
fn figures_come_out_of_a_file_on_a_full_disk() {
    let Some(disk) = Tmpfs::new(1024) else { return };
    let (template, _) = counted(24);
    let file = disk.0.path().join("orchard.db");
    std::fs::copy(&template.file, &file).unwrap();
    let ask = |args: &[&str]| {
        let mut command = Command::new(env!("CARGO_BIN_EXE_thirdwood"));
        command
            .arg("--data")
            .arg(&file)
            .args(args)
            .output()
            .unwrap()
    };
    let wanted = ask(&["supervisor", "-f", "json"]).stdout;
    let mut runs = 0;
    for free in (0..24).map(|step| step * 4_096) {
        disk.fill(free);
        let output = ask(&["crew"]);
        assert!(output.status.success(), "{free}: {output:?}");
        let output = ask(&["supervisor", "-f", "json"]);
        assert!(output.status.success(), "{free}: {output:?}");
        assert_eq!(
            without_moment(&output.stdout),
            without_moment(&wanted),
            "{free}"
        );
        disk.make_room();
        runs += 1;
    }
    // with no room at all the screens say so, and what is typed is not shown as kept
    disk.fill(0);
    let store = Store::open(&file).unwrap();
    let mut desk = Runtime::new(&store, start(), (80, 24)).unwrap();
    let word = desk.model.message.clone().unwrap().words;
    assert!(word.contains("nothing can be entered"), "{word}");
    desk.take(Event::Key(Key::F(3)));
    desk.take(Event::Key(Key::Char('1')));
    let word = desk.model.message.clone().unwrap().words;
    assert!(
        word.starts_with("the disk is full: nothing of this change was kept"),
        "{word}"
    );
    assert_eq!(
        desk.model
            .count
            .tally()
            .map_or(0, thirdwood::orchard::Tally::pieces),
        0
    );
    tell(&format!(
        "{runs} disks with little or no room: all figures came out"
    ));
}

/// A report as data without the moment of its making.
fn without_moment(json: &[u8]) -> String {
    let mut data: serde_json::Value = serde_json::from_slice(json).unwrap();
    assert!(data.as_object_mut().unwrap().remove("made").is_some());
    data.to_string()
}

#[test]
fn a_name_forgotten_on_a_full_disk_is_told_without_contradiction() {
    let mut stayed = 0;
    for free in (0..30).map(|step| step * 8_192) {
        let Some(disk) = Tmpfs::new(1024) else { return };
        let (template, small) = counted(3);
        let file = disk.0.path().join("orchard.db");
        std::fs::copy(&template.file, &file).unwrap();
        back_up(&file);
        let store = Store::open(&file).unwrap();
        let mut desk = Runtime::new(&store, start(), (80, 24)).unwrap();
        disk.fill(free);
        let words = match desk.carry_out(Effect::ForgetName(small.pruners[0].id, true)) {
            Ok(()) => desk.model.message.clone().unwrap().words,
            Err(refused) => refused.to_string(),
        };
        let gone = words.contains("the name is gone");
        assert!(
            !(gone && words.contains("nothing of this change was kept")),
            "{free}: {words}"
        );
        stayed += usize::from(words.contains("the old backups stay"));
    }
    assert!(stayed > 0);
}
