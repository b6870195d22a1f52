//! Work that takes longer than a frame, on a thread of its own.

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{self, Receiver, Sender};

use super::app::{Event, Message, Tone, Working};
use crate::exchange::write_whole;
use crate::report::papers::Wanted;
use crate::report::{Making, Season};

/// A work under way: it tells how far it is, and can be stopped. Dropping it stops it too.
#[derive(Debug)]
pub struct Work {
    news: Receiver<Event>,
    stop: Arc<AtomicBool>,
}

impl Work {
    /// Writes papers of a winter into a folder; one file is whole before the next is begun.
    pub fn papers(season: Season, wanted: Wanted, folder: PathBuf, making: Making) -> Self {
        let (tell, news) = mpsc::channel();
        let stop = Arc::new(AtomicBool::new(false));
        let stopped = Arc::clone(&stop);
        std::thread::spawn(move || {
            let message = papers(&season, &wanted, &folder, &making, &tell, &stopped);
            // nobody listens once the program is left
            let _ = tell.send(Event::WorkEnded(message));
        });
        Self { news, stop }
    }

    /// Ends it after the file that it is at.
    pub fn stop(&self) {
        self.stop.store(true, Ordering::Relaxed);
    }

    /// What it told since last asked.
    pub fn news(&self) -> Vec<Event> {
        self.news.try_iter().collect()
    }
}

impl Drop for Work {
    fn drop(&mut self) {
        self.stop();
    }
}

fn papers(
    season: &Season,
    wanted: &Wanted,
    folder: &Path,
    making: &Making,
    tell: &Sender<Event>,
    stopped: &AtomicBool,
) -> Message {
    let failed = |words: String| Message {
        tone: Tone::Problem,
        words,
    };
    if let Err(e) = std::fs::create_dir_all(folder) {
        return failed(format!(
            "the folder {} cannot be made: {e}",
            folder.display()
        ));
    }
    let mut done = 0;
    for file in wanted.make(season, making) {
        if stopped.load(Ordering::Relaxed) {
            return note(format!("stopped: {}", files(done, folder)));
        }
        let (name, bytes) = match file {
            Ok(file) => file,
            Err(e) => return failed(format!("{e}; {} before that", files(done, folder))),
        };
        if let Err(e) = write_whole(&folder.join(&name), &bytes) {
            let kept = files(done, folder);
            return failed(format!("{name} cannot be written: {e}; {kept} before it"));
        }
        done += 1;
        let _ = tell.send(Event::Working(Working {
            last: name,
            done,
            of: wanted.files(),
        }));
    }
    note(match done {
        0 => "nothing to write: no draw was made up to today".to_owned(),
        done => files(done, folder),
    })
}

fn note(words: String) -> Message {
    Message {
        tone: Tone::Note,
        words,
    }
}

fn files(done: usize, folder: &Path) -> String {
    let files = if done == 1 { "file" } else { "files" };
    format!("{done} {files} in {}", folder.display())
}
