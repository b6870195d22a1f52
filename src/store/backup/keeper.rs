//! Backups on a thread of their own, so that no tap waits for them.

use std::path::Path;
use std::sync::Arc;
use std::sync::mpsc::{Receiver, Sender, channel};
use std::thread::JoinHandle;

use chrono::NaiveDate;

use super::super::StoreError;
use super::{Backup, Contents, Keep, Made, Stop, backups, contents_of, make};

/// A backup with what is in it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Shelved {
    /// The backup.
    pub backup: Backup,
    /// How much it holds; none where it cannot be read.
    pub contents: Option<Contents>,
}

/// All backups of a file with what is in each, oldest first.
pub fn shelf(file: &Path) -> Result<Vec<Shelved>, StoreError> {
    let look = |backup: Backup| Shelved {
        contents: contents_of(&backup.path).ok(),
        backup,
    };
    Ok(backups(file)?.into_iter().map(look).collect())
}

/// What the keeper did.
#[derive(Debug)]
pub struct Report {
    /// What came of a backup.
    pub outcome: Result<Made, StoreError>,
    /// The backups there are now.
    pub shelf: Vec<Shelved>,
}

/// Makes backups of a file on a thread of its own. Dropping it breaks off what is not done and waits for the
/// thread, so that nobody holds the file any more.
#[derive(Debug)]
pub struct Keeper {
    days: Option<Sender<NaiveDate>>,
    reports: Receiver<Report>,
    stop: Arc<Stop>,
    thread: Option<JoinHandle<()>>,
}

impl Keeper {
    /// Begins to keep a file, which must be open already.
    pub fn start(file: &Path) -> Result<Self, StoreError> {
        let (days, asked) = channel();
        let (tell, reports) = channel();
        let stop = Arc::new(Stop::default());
        let (path, stopped) = (file.to_owned(), Arc::clone(&stop));
        let thread = std::thread::Builder::new()
            .name("backup".to_owned())
            .spawn(move || work(&path, &asked, &tell, &stopped))
            .map_err(|source| StoreError::of_io(file, source))?;
        Ok(Self {
            days: Some(days),
            reports,
            stop,
            thread: Some(thread),
        })
    }

    /// Asks for a backup, named by this day.
    pub fn back_up(&self, day: NaiveDate) {
        if let Some(days) = &self.days {
            // a thread that has gone has said why
            let _ = days.send(day);
        }
    }

    /// What was done since this was last asked.
    pub fn reports(&self) -> impl Iterator<Item = Report> {
        self.reports.try_iter()
    }
}

impl Drop for Keeper {
    fn drop(&mut self) {
        self.days = None;
        self.stop.ask();
        if let Some(thread) = self.thread.take() {
            let _ = thread.join();
        }
    }
}

fn work(file: &Path, asked: &Receiver<NaiveDate>, tell: &Sender<Report>, stop: &Stop) {
    while let Ok(day) = asked.recv() {
        let report = Report {
            outcome: make(file, day, Keep::Sound, None, stop),
            shelf: shelf(file).unwrap_or_default(),
        };
        if tell.send(report).is_err() {
            return;
        }
    }
}
