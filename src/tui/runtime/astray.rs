//! The file was taken away under the screens, or the clock cannot be believed any more: what is done all the same.

use std::sync::LazyLock;
use std::time::Instant;

use chrono::NaiveDate;
use uuid::{NoContext, Timestamp, Uuid};

use super::{RunError, Runtime};
use crate::orchard::Stamp;
use crate::store::{Astray, StoreError, clock};
use crate::tui::app::Moment;

impl Runtime<'_> {
    /// What the file refused. Once the file is not in its place, what was in it is saved elsewhere, and that is told too.
    pub(super) fn told(&mut self, error: &StoreError) -> String {
        match error {
            StoreError::Astray { how, .. } if *how != Astray::Linked => {}
            _ => return error.to_string(),
        }
        let store = self.store;
        let day = self.model.now.day;
        let saved = self
            .astray
            .get_or_insert_with(|| match store.save_aside(day) {
                Ok(saved) => format!("all before it is saved in {}", saved.display()),
                Err(e) => format!(
                    "all before it could not be saved elsewhere: {}",
                    e.in_short()
                ),
            });
        format!("{error}; {saved}")
    }

    /// At the end: what the open file holds must not go with it.
    pub(super) fn parting(&mut self) -> Result<(), RunError> {
        self.look_for_file()
            .map_err(|e| RunError::Astray(self.told(&e)))
    }

    /// Whether the file is in its place again, if it was not.
    pub(super) fn look_for_file(&mut self) -> Result<(), StoreError> {
        self.store.in_place()?;
        if self.astray.take().is_some() {
            self.model
                .note("the file is in its place again: what is counted is kept");
        }
        Ok(())
    }

    /// The moment of an event. Where the clock went wrong meanwhile, the last that could be believed.
    pub(super) fn moment(&self) -> Moment {
        if let Ok(now) = now(self.start.today) {
            let id = Uuid::now_v7();
            return Moment { now, id };
        }
        let now = self.model.now;
        let seconds = u64::try_from(now.utc_ms / 1_000).unwrap_or_default();
        let id = Uuid::new_v7(Timestamp::from_unix(NoContext, seconds, 0));
        Moment { now, id }
    }
}

/// The moment; on a day that was given, its evening and what has passed since the program began.
pub(super) fn now(today: Option<NaiveDate>) -> Result<Stamp, StoreError> {
    static BEGAN: LazyLock<Instant> = LazyLock::new(Instant::now);
    let evening = |day: NaiveDate| day.and_hms_opt(18, 0, 0).map(|at| at.and_utc());
    let given = today.and_then(evening).map(|at| at + BEGAN.elapsed());
    let at = given.map_or_else(clock::now, |at| Ok(at.fixed_offset()))?;
    Ok(Stamp::of(at))
}
