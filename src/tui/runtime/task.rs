//! Work that takes longer than a frame, on a thread of its own.

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{self, Receiver, Sender, TryRecvError};
use std::time::{Duration, Instant};

use crate::report::papers::Wanted;
use crate::report::{Making, Season};
use crate::store::kept::Kept;
use crate::store::whole::write_file;
use crate::store::why;
use crate::tui::app::{Event, Message, Tone, Working};

/// How long to wait for a work that was told to end.
const LAST: Duration = Duration::from_secs(2);

/// A work under way: it tells how far it is, and can be stopped. Dropping it stops it too.
#[derive(Debug)]
pub struct Task {
    news: Receiver<Event>,
    stop: Arc<AtomicBool>,
}

/// What a work has of the outside: it tells, and asks whether it is to end.
#[derive(Debug)]
pub(super) struct Outside {
    tell: Sender<Event>,
    stop: Arc<AtomicBool>,
}

impl Outside {
    /// Tells how far it is.
    pub fn so_far(&self, done: usize, of: usize, last: String) {
        let state = Working {
            last,
            done,
            of,
            ..Working::default()
        };
        // nobody listens once the program is left
        let _ = self.tell.send(Event::Working(state));
    }

    /// Whether it is to end.
    pub fn is_stopped(&self) -> bool {
        self.stop.load(Ordering::Relaxed)
    }
}

impl Task {
    /// Begins a work; what it ends with is the last that it tells.
    pub(super) fn begin(work: impl FnOnce(&Outside) -> Event + Send + 'static) -> Self {
        let (tell, news) = mpsc::channel();
        let stop = Arc::new(AtomicBool::new(false));
        let outside = Outside {
            tell,
            stop: Arc::clone(&stop),
        };
        std::thread::spawn(move || {
            let end = work(&outside);
            // nobody listens once the program is left
            let _ = outside.tell.send(end);
        });
        Self { news, stop }
    }

    /// Writes papers of a winter into a folder; one file is whole before the next is begun.
    pub fn papers(
        season: Season,
        wanted: Wanted,
        (kept, folder): (Kept, PathBuf),
        making: Making,
    ) -> Self {
        Self::begin(move |outside| {
            let place = (&kept, folder.as_path());
            Event::WorkEnded(papers(&season, &wanted, place, &making, outside))
        })
    }

    /// Ends it as soon as it can be ended.
    pub fn stop(&self) {
        self.stop.store(true, Ordering::Relaxed);
    }

    /// What it told since last asked, and whether that was all.
    pub fn news(&self) -> (Vec<Event>, bool) {
        let mut told = Vec::new();
        loop {
            match self.news.try_recv() {
                Ok(event) => told.push(event),
                Err(TryRecvError::Empty) => return (told, false),
                Err(TryRecvError::Disconnected) => return (told, true),
            }
        }
    }
}

impl Drop for Task {
    fn drop(&mut self) {
        self.stop();
        // it ends at its next file or record and tidies up, if it can soon; the program may be at its end
        let end = Instant::now() + LAST;
        while self
            .news
            .recv_timeout(end.saturating_duration_since(Instant::now()))
            .is_ok()
        {}
    }
}

fn papers(
    season: &Season,
    wanted: &Wanted,
    (kept, folder): (&Kept, &Path),
    making: &Making,
    outside: &Outside,
) -> Message {
    if let Err(e) = kept.make_folder(folder) {
        return failed(format!(
            "the folder {} cannot be made: {}",
            folder.display(),
            why(&e)
        ));
    }
    let mut done = 0;
    let mut cautions = Vec::new();
    for file in wanted.make(season, making) {
        if outside.is_stopped() {
            return note(format!("stopped: {}", files(done, folder)));
        }
        let file = match file {
            Ok(file) => file,
            Err(e) => return failed(format!("{e}; {} before that", files(done, folder))),
        };
        if let Err(e) = write_file(kept, &folder.join(&file.name), &file.bytes) {
            let (name, kept) = (file.name, files(done, folder));
            let why = why(&e);
            return failed(format!("{name} cannot be written: {why}; {kept} before it"));
        }
        done += 1;
        cautions.extend(file.caution);
        outside.so_far(done, wanted.files(), file.name);
    }
    let told = match done {
        0 => "nothing to write: no draw was made up to today".to_owned(),
        done => files(done, folder),
    };
    // the longest names the most
    match cautions.into_iter().max_by_key(String::len) {
        Some(caution) => note(format!("{told}; {caution}")),
        None => note(told),
    }
}

pub(super) fn failed(words: String) -> Message {
    Message {
        tone: Tone::Problem,
        words,
    }
}

pub(super) fn note(words: String) -> Message {
    Message {
        tone: Tone::Note,
        words,
    }
}

fn files(done: usize, folder: &Path) -> String {
    let files = if done == 1 { "file" } else { "files" };
    format!("{done} {files} in {}", folder.display())
}
