//! The program that is killed: this test binary, started anew with a job to do without end. It says on standard
//! output what is done, and only once it is.

use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use thirdwood::exchange::bundle::merge;
use thirdwood::exchange::{self, ImportOptions, Table};
use thirdwood::store::Store;
use thirdwood::store::backup;
use thirdwood::store::bundle::TakeIn;
use thirdwood::tui::app::Event;
use thirdwood::tui::runtime::{Runtime, Start};
use thirdwood::tui::{Action, Key, Screen, Theme};
use uuid::Uuid;

use crate::common;
use crate::world::back_up;

const FILE: &str = "THIRDWOOD_FAULTS_FILE";
const JOB: &str = "THIRDWOOD_FAULTS_JOB";

/// Pruners of the table that is imported over and over.
pub const CREW: u16 = 30;

/// Bundles that are taken in one after the other.
pub const BUNDLES: u64 = 4;

/// What a child does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Job {
    /// Counts a tree without end.
    Taps,
    /// The same with a rest between, so that two can count on one file.
    CalmTaps,
    /// Reads a table of the crew, each time with other names.
    Import,
    /// Opens the file.
    Open,
    /// Taps and makes a backup, in turn.
    BackUp,
    /// Puts the first and the second backup back, in turn.
    Restore,
    /// Takes the bundles beside the file in, one after the other.
    Merge,
}

impl Job {
    const ALL: [Self; 7] = [
        Self::Taps,
        Self::CalmTaps,
        Self::Import,
        Self::Open,
        Self::BackUp,
        Self::Restore,
        Self::Merge,
    ];
}

/// Keys of the scripted count, over and over.
pub fn keys() -> impl Iterator<Item = char> {
    "123we4sd1zb23q".chars().cycle()
}

pub fn start() -> Start {
    Start {
        theme: Some(Theme::Plain),
        few_colours: false,
        round: false,
        today: Some(common::today()),
    }
}

/// The crew with names that say which reading of the table they are from.
pub fn crew(reading: u64) -> String {
    let line = |number| format!("{number},Reader {reading}\n");
    let lines: String = (1..=CREW).map(line).collect();
    format!("number,name\n{lines}")
}

pub fn import(store: &Store, reading: u64) {
    let options = ImportOptions {
        dry_run: false,
        today: common::today(),
        new_id: &mut Uuid::now_v7,
    };
    let report = exchange::import(store, Table::Crew, crew(reading).as_bytes(), options).unwrap();
    assert!(report.kept, "{report:?}");
}

/// Takes the bundle of this number in that lies beside the file.
pub fn take_in(store: &Store, file: &Path, number: u64) {
    let bundle = file.with_file_name(format!("{number}.bundle"));
    merge(store, &[bundle], TakeIn::default(), &mut |_| true).unwrap();
}

/// The child.
#[test]
fn child() {
    let (Ok(file), Ok(job)) = (std::env::var(FILE), std::env::var(JOB)) else {
        return;
    };
    let file = Path::new(&file);
    let job = Job::ALL
        .into_iter()
        .find(|known| format!("{known:?}") == job)
        .unwrap();
    let mut out = std::io::stdout();
    let mut say = |done: u64| {
        writeln!(out, "done {done}").unwrap();
        out.flush().unwrap();
    };
    if job == Job::Open {
        say(0);
        drop(Store::open(file).unwrap());
        say(1);
        return;
    }
    if job == Job::Restore {
        say(0);
        for (number, done) in [1, 2].into_iter().cycle().zip(1..) {
            backup::restore(file, number, common::today()).unwrap();
            say(done);
        }
        return;
    }
    let store = Store::open(file).unwrap();
    if job == Job::Merge {
        say(0);
        for done in 1..=BUNDLES {
            take_in(&store, file, done);
            say(done);
        }
        return;
    }
    let mut desk = Runtime::new(&store, start(), (80, 24)).unwrap();
    desk.take(Event::Act(Action::Go(Screen::Count)));
    for (key, done) in keys().zip(1u64..) {
        match job {
            Job::Import => import(&store, done),
            _ => desk.take(Event::Key(Key::Char(key))),
        }
        assert_eq!(
            desk.model
                .message
                .as_ref()
                .filter(|m| m.tone == thirdwood::tui::app::Tone::Problem),
            None
        );
        match job {
            Job::BackUp => drop(back_up(file)),
            Job::CalmTaps => std::thread::sleep(Duration::from_millis(3)),
            _ => {}
        }
        say(done);
    }
}

/// Starts a child on a file.
pub fn spawn(job: Job, file: &Path) -> Child {
    Command::new(std::env::current_exe().unwrap())
        .args(["--exact", "child::child", "--nocapture"])
        .env(FILE, file)
        .env(JOB, format!("{job:?}"))
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .unwrap()
}

/// What a child says is done. The harness of the child writes the test's name before its first word.
fn said(child: &mut Child) -> impl Iterator<Item = u64> + use<> {
    let lines = BufReader::new(child.stdout.take().unwrap()).lines();
    let lines = lines.map_while(Result::ok);
    lines.filter_map(|line| line.rsplit_once("done ")?.1.parse().ok())
}

/// How long a child takes from its first word until it has done so much more: kills fall within that time, however
/// fast or busy the machine is.
pub fn pace(job: Job, file: &Path, more: usize) -> Duration {
    let mut child = spawn(job, file);
    let mut done = said(&mut child);
    done.next().unwrap();
    let begun = Instant::now();
    done.nth(more - 1).unwrap();
    let took = begun.elapsed();
    let _ = child.kill();
    child.wait().unwrap();
    took
}

/// Runs a child until it says that it has begun, kills it after `wait`, and gives what it did last.
pub fn run_and_kill(job: Job, file: &Path, wait: Duration) -> u64 {
    let mut child = spawn(job, file);
    let mut done = said(&mut child);
    let first = done.next();
    let first = first.unwrap_or_else(|| panic!("the child of {job:?} did not begin"));
    std::thread::sleep(wait);
    // SIGKILL: the process gets no chance to tidy up. One that has ended is not killed any more
    let _ = child.kill();
    let last = done.last().unwrap_or(first);
    child.wait().unwrap();
    last
}
