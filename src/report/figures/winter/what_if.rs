//! What if: another crew, longer days, more days off. Nothing of it is stored.

use std::collections::BTreeSet;

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::Serialize;

use crate::orchard::Invalid;
use crate::outlook::pace::{HORIZON_DAYS, Newcomers, Plan, WorkCalendar};

/// The most pruners more.
const MOST_PRUNERS: i16 = 99;
/// The most days off more.
const MOST_DAYS: u16 = 60;
/// The longest change of a day, quarters of an hour.
const MOST_QUARTERS: i16 = 24;

/// What is changed against what is entered.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, JsonSchema)]
pub struct WhatIf {
    /// Pruners more from today on, average ones of the crew; below 0, so many fewer: of those there today, the last on
    /// the crew list go.
    pub pruners: i16,
    /// Quarters of an hour more a day; below 0, less.
    pub quarters: i16,
    /// Days off more: the next so many working days, beginning tomorrow.
    pub days_off: u16,
}

impl WhatIf {
    /// Whether anything is changed.
    pub fn is_something(self) -> bool {
        self != Self::default()
    }

    /// With more (or fewer) of the part at this place: 0 pruners, 1 hours, 2 days off. Stays within what makes sense
    /// for a crew of `crew`.
    #[must_use]
    pub fn changed(mut self, place: usize, step: i8, crew: u32) -> Self {
        let fewest = -i16::try_from(crew).unwrap_or(i16::MAX);
        let step = i16::from(step);
        let within = |value: i16, least: i16, most: i16| (value + step).clamp(least, most);
        match place {
            0 => self.pruners = within(self.pruners, fewest.max(-MOST_PRUNERS), MOST_PRUNERS),
            1 => self.quarters = within(self.quarters, -MOST_QUARTERS, MOST_QUARTERS),
            _ => {
                self.days_off = self.days_off.saturating_add_signed(step).min(MOST_DAYS);
            }
        }
        self
    }

    /// How many times as long as now the days are; `hours` is the usual day.
    pub fn length(self, hours: f64) -> f64 {
        let longer = (hours + f64::from(self.quarters) / 4.0) / hours;
        if longer.is_finite() {
            longer.clamp(0.1, 3.0)
        } else {
            1.0
        }
    }

    /// Changes crew and calendar of a plan.
    pub(super) fn apply(self, plan: &mut Plan) -> Result<(), Invalid> {
        match u16::try_from(self.pruners) {
            Ok(0) => {}
            Ok(more) => plan.newcomers.push(Newcomers {
                count: more,
                from: plan.today,
                until: None,
            }),
            Err(_) => {
                let fewer = usize::from(self.pruners.unsigned_abs());
                // who has left, or is still to come, is none of today's
                let there: Vec<usize> = (0..plan.crew.len())
                    .filter(|at| plan.crew[*at].is_there(plan.today))
                    .collect();
                for at in there.into_iter().rev().take(fewer) {
                    plan.crew.remove(at);
                }
            }
        }
        if self.days_off > 0 {
            plan.calendar = self.with_days_off(&plan.calendar, plan.today)?;
        }
        Ok(())
    }

    fn with_days_off(
        self,
        known: &WorkCalendar,
        today: NaiveDate,
    ) -> Result<WorkCalendar, Invalid> {
        let coming = today.iter_days().skip(1).take(usize::from(HORIZON_DAYS));
        let more = coming
            .filter(|day| known.works(*day))
            .take(usize::from(self.days_off));
        let off: BTreeSet<NaiveDate> = known.off().iter().copied().chain(more).collect();
        WorkCalendar::new(known.weekdays(), off, known.rain().clone())
    }
}
