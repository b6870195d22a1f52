//! Carrying out what the screens ask for: the file, and work on a thread of its own.
#![deny(clippy::wildcard_enum_match_arm)]

use super::Runtime;
use super::file::forget;
use super::place::whole;
use super::stop::can_be_continued;
use super::tables;
use super::tablets::{self, Apart};
use super::task::Task;
use crate::orchard::{CountId, TreeCount};
use crate::report::Making;
use crate::store::backup::shelf;
use crate::store::kept::Kept;
use crate::store::{Change, Outcome, StoreError, ThingId, clock};
use crate::tui::app::{Effect, Event, FormKind};

impl Runtime<'_> {
    /// Carries out all that one event asks for.
    ///
    /// # Errors
    /// The first that the file refused; what comes after it is not done.
    pub fn carry_out_all(&mut self, effects: Vec<Effect>) -> Result<(), StoreError> {
        let mut each = effects.into_iter();
        each.try_for_each(|effect| self.carry_out(effect))
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
            Effect::Write(changes) => self.write(&changes)?,
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
                    made: clock::now()?.to_rfc3339_opts(chrono::SecondsFormat::Secs, false),
                    ..Making::default()
                };
                let season = self.model.season.clone();
                let season = season.ok_or(StoreError::Gone("winter"))?;
                let place = (Kept::of(store.path()), whole(folder));
                self.task = Some(Task::papers(season, *wanted, place, making));
            }
            Effect::WriteBundle(since, with_names, folder) => {
                let (day, apart) = (self.model.now.day, Apart::from(store)?);
                let what = (since, with_names);
                self.task = Some(tablets::write(apart, what, whole(folder), day));
            }
            Effect::LookInto(place) => {
                self.task = Some(tablets::look_into(Apart::from(store)?, whole(place)));
            }
            Effect::TakeIn(files, join) => {
                let (day, apart) = (self.model.now.day, Apart::from(store)?);
                self.task = Some(tablets::take_in(apart, files, join, day));
            }
            Effect::WriteTables(table, folder) => {
                let wanted = (table, whole(folder));
                self.task = Some(tables::write(Apart::from(store)?, wanted));
            }
            Effect::LookAtTables(table, place) => {
                let (day, apart) = (self.model.now.day, Apart::from(store)?);
                self.task = Some(tables::look_at(apart, (table, whole(place)), day));
            }
            Effect::ReadTables(table, place) => {
                let (day, apart) = (self.model.now.day, Apart::from(store)?);
                self.task = Some(tables::take_in(apart, (table, place), day));
            }
            Effect::ReadTablets => self.read_tablets()?,
            Effect::Fresh(job) => self.open_fresh(job)?,
            Effect::StopWork => {
                if let Some(work) = &self.task {
                    work.stop();
                }
            }
        }
        Ok(())
    }

    /// Writes changes, and reads what they reach: one count by itself, or all that figures are made of.
    fn write(&mut self, changes: &[Change]) -> Result<(), StoreError> {
        let outcomes = self.store.apply(changes)?;
        let of_counts: Option<Vec<_>> = (outcomes.iter())
            .map(|outcome| match outcome {
                Outcome::Count(count, what) => Some((*count, *what)),
                Outcome::Orchard | Outcome::Tablets => None,
            })
            .collect();
        if let Some(of_counts) = of_counts {
            return of_counts.into_iter().try_for_each(|(count, what)| {
                let count = self.count(count)?;
                self.tell(Event::Counted(count, what))
            });
        }
        if outcomes.contains(&Outcome::Tablets) {
            self.read_tablets()?;
        }
        self.reload()?;
        // of a mark its form speaks, or what took it back
        if matches!(changes, [Change::Remove(what)] if !matches!(what, ThingId::Mark(..))) {
            self.model.note("removed; the figures follow");
        }
        Ok(())
    }

    pub(super) fn read_tablets(&mut self) -> Result<(), StoreError> {
        let tablets = tablets::read(self.store)?;
        self.tell(Event::Tablets(Box::new(tablets)))
    }

    /// Opens a form on what there is at this moment, such as a stick that was put in just now.
    fn open_fresh(&mut self, job: FormKind) -> Result<(), StoreError> {
        let shelf = if job == FormKind::Restore {
            Some((shelf(self.store.path())?, self.store.contents()?))
        } else {
            self.read_tablets()?;
            None
        };
        self.tell(Event::Fresh(job, shelf))
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
