//! What single commands say where the disk is full, or takes no more of a file, and what they leave.

use std::path::Path;
use std::process::{Command, Output};

use thirdwood::orchard::Naming;
use thirdwood::store::Store;

use crate::disk::{Tmpfs, limited};
use crate::world::{House, back_up, counted, tell};

fn ask(file: Option<&Path>, args: &[&str], last: &Path) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_thirdwood"));
    if let Some(file) = file {
        command.arg("--data").arg(file);
    }
    let output = command.args(args).arg(last).output();
    output.unwrap()
}

#[test]
fn a_bundle_and_a_restore_say_that_the_disk_is_full() {
    let Some(disk) = Tmpfs::new(1024) else { return };
    let (template, _) = counted(3);
    let file = disk.0.path().join("orchard.db");
    std::fs::copy(&template.file, &file).unwrap();
    back_up(&file);
    let bundle = template.folder.path().join("all.bundle");
    disk.fill(0);
    for (args, last) in [
        (&["bundle", "-o"][..], bundle.as_path()),
        (&["restore"], Path::new("1")),
    ] {
        let output = ask(Some(&file), args, last);
        let said = String::from_utf8_lossy(&output.stderr);
        assert_eq!(output.status.code(), Some(1), "{args:?}: {said}");
        assert!(said.contains("the disk is full: "), "{args:?}: {said}");
        assert!(
            !said.contains("read-only") && !said.contains("code "),
            "{args:?}: {said}"
        );
    }
    assert!(!bundle.exists());
}

#[test]
fn a_demo_that_finds_no_room_leaves_nothing() {
    let Some(disk) = Tmpfs::new(512) else { return };
    let kept = disk.0.path().join("demo.db");
    for free in [0, 4_096, 40_960, 200_000] {
        disk.fill(free);
        let output = ask(None, &["demo", "--keep"], &kept);
        let said = String::from_utf8_lossy(&output.stderr);
        assert_eq!(output.status.code(), Some(1), "{free}: {said}");
        assert!(said.contains("the disk is full"), "{free}: {said}");
        disk.make_room();
        let left: Vec<_> = std::fs::read_dir(disk.0.path()).unwrap().collect();
        assert!(left.is_empty(), "{free}: {left:?}");
    }
}

#[test]
fn a_name_that_is_gone_is_never_told_to_be_kept() {
    let (template, small) = counted(24);
    let number = small.pruners[0].number.to_string();
    // both its outputs are looked through
    let args = format!("forget-name {number} --sure {number} 1>&2");
    let (mut kept, mut half, mut done) = (0, 0, 0);
    for blocks in (0..100).map(|step| step * 8) {
        let house = House::copy_of(&template.file);
        let (well, said) = limited(blocks, &house.file, &args, "");
        let store = Store::open(&house.file).unwrap();
        let pruners = store.pruners().unwrap();
        let gone = pruners
            .iter()
            .any(|one| one.id == small.pruners[0].id && one.naming() == Naming::Removed);
        assert_eq!(
            gone,
            well || said.contains("is gone from the file"),
            "{blocks}: {said}"
        );
        assert!(!gone || !said.contains("was kept"), "{blocks}: {said}");
        match (gone, well) {
            (false, _) => kept += 1,
            (true, false) => half += 1,
            (true, true) => done += 1,
        }
    }
    assert!(kept > 0 && half > 0 && done > 0, "{kept} {half} {done}");
    tell(&format!(
        "{} names taken away with writes failing at some size: {kept} kept, {half} gone with bytes left and told, {done} \
         gone whole",
        kept + half + done
    ));
}
