//! Carrying out what the screens ask for: the file, and work on a thread of its own.

use chrono::Local;

use super::Desk;
use super::file::{forget, is_write, write};
use super::place::whole;
use super::tablets::{self, Apart};
use crate::orchard::{CountHead, CountId, TreeCount};
use crate::report::Making;
use crate::store::StoreError;
use crate::store::backup::shelf;
use crate::tui::app::{Effect, Event, Job};
use crate::tui::stop::can_be_continued;
use crate::tui::work::Work;

impl Desk<'_> {
    /// Carries out all that one event asks for. Changes of the file alone are one change: all of it is kept, or nothing.
    ///
    /// # Errors
    /// The first that the file refused; what comes after it is not done.
    pub fn carry_out_all(&mut self, effects: Vec<Effect>) -> Result<(), StoreError> {
        if effects.len() < 2 || !effects.iter().all(is_write) {
            return effects
                .into_iter()
                .try_for_each(|effect| self.carry_out(effect));
        }
        self.store.atomically(|store| {
            let mut each = effects.into_iter();
            each.try_for_each(|effect| write(store, effect))
        })?;
        self.reload()
    }

    /// Carries out what [`crate::tui::app::update()`] asks for, and tells the model what came of it.
    ///
    /// # Errors
    /// What the file refused; nothing of it was kept.
    pub fn carry_out(&mut self, effect: Effect) -> Result<(), StoreError> {
        let store = self.store;
        match effect {
            Effect::Quit => self.done = true,
            Effect::Stop if can_be_continued() => self.stopping = true,
            Effect::Stop => (self.model).note("there is no shell here to come back from"),
            Effect::Tap(count, begin, tap) => {
                store.tap(count, begin.as_deref(), tap)?;
                let count = self.count(count)?;
                self.tell(Event::Tapped(count, tap));
            }
            Effect::TakeBack(count) => {
                let tap = store.undo_tap(count)?;
                let count = self.count(count)?;
                self.tell(Event::TakenBack(count, tap));
            }
            Effect::TakeOff(count, tap) => {
                let place = store.take_off(count, tap)?;
                let count = self.count(count)?;
                self.tell(Event::TakenOff(count, place.map(|place| (place, tap))));
            }
            Effect::PutBack(count, place, tap) => {
                store.put_back(count, place, tap)?;
                let count = self.count(count)?;
                self.tell(Event::PutBack(count, tap));
            }
            Effect::Close(count, closed) => {
                store.close_count(count, closed)?;
                let count = self.count(count)?;
                self.tell(Event::CountChanged(count));
            }
            Effect::CloseBare(count, begin) => {
                self.close_bare(count, begin.as_deref())?;
            }
            Effect::Head(count, head) => {
                store.change_head(count, &head)?;
                let count = self.count(count)?;
                self.tell(Event::CountChanged(count));
            }
            Effect::RemoveCount(count, true) => {
                store.remove_count(count, true)?;
                self.tell(Event::CountRemoved(count));
            }
            Effect::RemoveCount(count, false) => {
                store.remove_count(count, false)?;
                let count = self.count(count)?;
                self.tell(Event::CountChanged(count));
            }
            Effect::UseWinter(winter) => {
                self.winter = Some(winter);
                self.reload()?;
            }
            Effect::Restore(number) => self.restore(number)?,
            Effect::ForgetName(pruner, backups) => {
                let told = forget(store, pruner, backups, self.model.now.day)?;
                self.reload()?;
                self.model.note(told);
                // the list of backups is read afresh
                self.back_up();
            }
            Effect::Papers(wanted, folder) => {
                let making = Making {
                    made: Local::now().to_rfc3339_opts(chrono::SecondsFormat::Secs, false),
                    ..Making::default()
                };
                let season = self.model.season.clone();
                let season = season.ok_or(StoreError::Gone("winter"))?;
                self.work = Some(Work::papers(season, *wanted, whole(folder), making));
            }
            Effect::WriteBundle(since, with_names, folder) => {
                let (day, apart) = (self.model.now.day, Apart::from(store)?);
                let what = (since, with_names);
                self.work = Some(tablets::write(apart, what, whole(folder), day));
            }
            Effect::LookInto(place) => {
                self.work = Some(tablets::look_into(Apart::from(store)?, whole(place)));
            }
            Effect::TakeIn(files, join) => {
                let (day, apart) = (self.model.now.day, Apart::from(store)?);
                self.work = Some(tablets::take_in(apart, files, join, day));
            }
            Effect::ReadTablets => self.read_tablets()?,
            Effect::Fresh(job) => self.open_fresh(job)?,
            effect @ (Effect::Settle(..) | Effect::Join(..) | Effect::Part(..)) => {
                write(store, effect)?;
                self.read_tablets()?;
                self.reload()?;
            }
            Effect::StopWork => {
                if let Some(work) = &self.work {
                    work.stop();
                }
            }
            other => self.change(other)?,
        }
        Ok(())
    }

    /// What changes the orchard: all figures follow from it.
    fn change(&mut self, effect: Effect) -> Result<(), StoreError> {
        let removes = matches!(effect, Effect::Remove(_));
        write(self.store, effect)?;
        self.reload()?;
        if removes {
            self.model.note("removed; the figures follow");
        }
        Ok(())
    }

    pub(super) fn read_tablets(&mut self) -> Result<(), StoreError> {
        let tablets = tablets::read(self.store)?;
        self.tell(Event::Tablets(Box::new(tablets)));
        Ok(())
    }

    /// Opens a form on what there is at this moment, such as a stick that was put in just now.
    fn open_fresh(&mut self, job: Job) -> Result<(), StoreError> {
        let shelf = if job == Job::Restore {
            Some((shelf(self.store.path())?, self.store.contents()?))
        } else {
            self.read_tablets()?;
            None
        };
        self.tell(Event::Fresh(job, shelf));
        Ok(())
    }

    fn close_bare(&mut self, count: CountId, begin: Option<&CountHead>) -> Result<(), StoreError> {
        self.store.atomically(|store| {
            if let Some(head) = begin {
                store.begin_count(count, head)?;
            }
            store.close_count(count, true)
        })?;
        let count = self.count(count)?;
        self.tell(Event::CountChanged(count));
        Ok(())
    }

    fn restore(&mut self, number: u32) -> Result<(), StoreError> {
        let restored = self.store.restore(number, self.model.now.day);
        // the list may be an old one
        let restored = restored.inspect_err(|_| self.back_up())?;
        self.seen = self.store.changes_by_others()?;
        self.winter = None;
        self.reload()?;
        let undo = match restored.before {
            Some(before) => format!(
                "; number {} is the file as it was: putting that one back undoes it",
                before.number
            ),
            None => String::new(),
        };
        self.model
            .note(format!("backup {number} is put back{undo}"));
        // the list of backups is read afresh
        self.back_up();
        Ok(())
    }

    fn count(&self, count: CountId) -> Result<Box<TreeCount>, StoreError> {
        self.store
            .count(count)?
            .map(Box::new)
            .ok_or(StoreError::Gone("count"))
    }
}
