//! Killed at a random moment, again and again, on every way of writing: what was acknowledged is there, once.

use std::collections::BTreeSet;
use std::path::Path;
use std::sync::atomic::{AtomicU64, AtomicUsize, Ordering};
use std::time::Duration;

use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha20Rng;
use thirdwood::orchard::Tap;
use thirdwood::store::backup;
use thirdwood::tui::keymap::{resolve, stack};
use thirdwood::tui::{Action, BudKeys, Key, Mode, Screen};

use crate::child::{CREW, Job, keys, pace, run_and_kill};
use crate::versions;
use crate::world::{House, back_up, counted, dump, script, taps, tell};

/// Kills `runs` children of a job, two at a time, each within the time that it takes for `more` things. `make` makes
/// the file, and `look` looks it over afterwards, with the number of things acknowledged.
pub fn kill(
    job: Job,
    runs: usize,
    more: usize,
    make: impl Fn(usize) -> House + Sync,
    look: impl Fn(&House, u64, usize) + Sync,
) {
    let paces = (0..3).map(|run| pace(job, &make(run).file, more));
    let alone = paces.max().unwrap().mul_f64(1.2).as_micros() as u64;
    // two run at once below, beside other tests: each takes longer than alone. Who is killed before anything was done
    // gives the next ones more time.
    let longest = AtomicU64::new(alone);
    let (next, acknowledged) = (AtomicUsize::new(0), AtomicU64::new(0));
    let work = |seed: u64| {
        let mut random = ChaCha20Rng::seed_from_u64(seed);
        loop {
            let run = next.fetch_add(1, Ordering::SeqCst);
            if run >= runs {
                return;
            }
            let house = make(run);
            let limit = longest.load(Ordering::SeqCst);
            let wait = Duration::from_micros(random.random_range(0..limit));
            let done = run_and_kill(job, &house.file, wait);
            if done == 0 {
                longest.store((limit + limit / 32).min(alone * 5), Ordering::SeqCst);
            }
            acknowledged.fetch_add(done, Ordering::SeqCst);
            look(&house, done, run);
        }
    };
    std::thread::scope(|scope| {
        scope.spawn(|| work(20_270_112));
        scope.spawn(|| work(20_270_113));
    });
    let acknowledged = acknowledged.into_inner();
    assert!(acknowledged > 0, "the children did nothing");
    tell(&format!(
        "{runs} kills of {job:?}: {acknowledged} acknowledged, none missing, none doubled"
    ));
}

pub fn sound(house: &House, run: usize) {
    let problems = house.store().check().unwrap().problems;
    assert_eq!(problems, Vec::<String>::new(), "run {run}");
}

fn tap_of(key: char) -> Tap {
    match resolve(
        stack(Screen::Count, Mode::Base),
        Key::Char(key),
        &BudKeys::QWERTY,
    ) {
        Some(Action::Tap(tap)) => tap,
        other => panic!("{key} is {other:?}"),
    }
}

/// The taps in the file are those of the script, in order: those acknowledged, and at most one more.
fn taps_fit(house: &House, small: &crate::common::Small, done: u64, run: usize) {
    let kept = taps(&house.store(), small);
    let number = kept.len() as u64;
    assert!(
        (done..=done + 1).contains(&number),
        "run {run}: {done} taps acknowledged, {number} kept"
    );
    let wanted: Vec<_> = keys().take(kept.len()).map(tap_of).collect();
    assert_eq!(kept, wanted, "run {run}");
}

#[test]
fn killed_in_the_midst_of_taps() {
    let (template, small) = counted(0);
    kill(
        Job::Taps,
        275,
        15,
        |_| House::copy_of(&template.file),
        |house, done, run| {
            sound(house, run);
            taps_fit(house, &small, done, run);
        },
    );
}

#[test]
fn killed_in_the_midst_of_imports() {
    let (template, _) = counted(4);
    kill(
        Job::Import,
        150,
        3,
        |_| House::copy_of(&template.file),
        |house, done, run| {
            sound(house, run);
            let crew = house.store().pruners().unwrap();
            assert_eq!(crew.len(), usize::from(CREW), "run {run}");
            let names: BTreeSet<String> =
                crew.into_iter().map(|pruner| pruner.name.clone()).collect();
            assert_eq!(
                names.len(),
                1,
                "run {run}: of one reading of the table, not of two"
            );
            let name = names.first().unwrap();
            let reading: u64 = name.strip_prefix("Reader ").unwrap().parse().unwrap();
            assert!(
                (done..=done + 1).contains(&reading),
                "run {run}: {done} acknowledged, {reading} kept"
            );
        },
    );
}

#[test]
fn killed_in_the_midst_of_migrations() {
    let (before, after) = (AtomicUsize::new(0), AtomicUsize::new(0));
    kill(
        Job::Open,
        150,
        1,
        |run| House::copy_of(&versions::fixture(1 + run as i64 % *versions::EARLIER)),
        |house, done, run| {
            let from = 1 + run as i64 % *versions::EARLIER;
            let reached = versions::version(&house.file);
            assert!(
                reached == from || reached == versions::now(),
                "run {run}: {reached}"
            );
            assert!(
                done == 0 || reached == versions::now(),
                "run {run}: acknowledged"
            );
            let slot = if reached == from { &before } else { &after };
            slot.fetch_add(1, Ordering::SeqCst);
            let copy = versions::copy_before(&house.file, from);
            assert!(
                reached == from || copy.exists(),
                "run {run}: brought up without a copy"
            );
            for file in [&house.file, &copy]
                .into_iter()
                .filter(|file| file.exists())
            {
                versions::holds_what_it_held(file, from);
            }
            versions::opens_with_all(&house.file);
        },
    );
    let (before, after) = (before.into_inner(), after.into_inner());
    assert!(
        before > 5 && after > 5,
        "{before} killed before, {after} after: too one-sided"
    );
    tell(&format!(
        "of these, {before} were still of the earlier version, {after} brought up"
    ));
}

#[test]
fn killed_in_the_midst_of_backups() {
    let (template, small) = counted(0);
    let kept = AtomicUsize::new(0);
    kill(
        Job::BackUp,
        125,
        2,
        |_| House::copy_of(&template.file),
        |house, done, run| {
            sound(house, run);
            // a tap more than backups is what a kill between the two leaves
            taps_fit(house, &small, done, run);
            let all = backup::shelf(&house.file).unwrap();
            let newest = all.last().map_or(0, |one| u64::from(one.backup.number));
            assert!(
                (done..=done + 1).contains(&newest),
                "run {run}: {done} acknowledged, {newest} kept"
            );
            for one in &all {
                let held = one.contents.as_ref().unwrap();
                assert_eq!(held.taps(), u64::from(one.backup.number), "run {run}");
            }
            assert!(
                all.len() as u64 >= newest.min(3),
                "run {run}: thinned out too far"
            );
            kept.fetch_add(all.len(), Ordering::SeqCst);
        },
    );
    tell(&format!(
        "{} backups were left, each whole",
        kept.into_inner()
    ));
}

#[test]
fn killed_in_the_midst_of_restores() {
    let (template, small) = counted(2);
    let first = dump(&template.file);
    back_up(&template.file);
    let store = template.store();
    let count = store
        .counts(thirdwood::store::CountFilter::Winter(small.winter.id))
        .unwrap()[0]
        .id;
    store.close_count(count, false).unwrap();
    for tap in script().take(25) {
        store.tap(count, None, tap).unwrap();
    }
    drop(store);
    back_up(&template.file);
    let second = dump(&template.file);
    assert_ne!(first, second);
    let folder = template.folder.path().join("backups");
    kill(
        Job::Restore,
        150,
        2,
        |_| {
            let house = House::copy_of(&template.file);
            copy_folder(&folder, &house.folder.path().join("backups"));
            house
        },
        |house, done, run| {
            sound(house, run);
            let now = dump(&house.file);
            let (last, next) = if done % 2 == 1 {
                (&first, &second)
            } else {
                (&second, &first)
            };
            assert!(
                now == *last || now == *next,
                "run {run}: neither the one nor the other"
            );
            for one in backup::backups(&house.file).unwrap() {
                assert!(!one.damaged, "run {run}");
                let held = dump(&one.path);
                assert!(held == first || held == second, "run {run}: {}", one.name());
            }
        },
    );
}

fn copy_folder(from: &Path, to: &Path) {
    std::fs::create_dir(to).unwrap();
    for entry in std::fs::read_dir(from).unwrap() {
        let entry = entry.unwrap();
        std::fs::copy(entry.path(), to.join(entry.file_name())).unwrap();
    }
}
