//! Reports: each is built once as plain data, and shown by one renderer per format.
//!
//! [`Season`] is one winter as it stands in the file. Every figure on a screen, on paper or in a
//! file is made from it by this part, once. The data hold facts; [`words`] turns them into
//! sentences, in the language of who reads them.
//!
//! A new format is one more module beside [`text`] and [`json`] that takes the same data.

mod brief;
mod clock;
mod day_sheet;
mod draw_list;
mod drawn;
mod every;
pub mod fit;
mod format;
pub mod html;
pub mod json;
mod lines;
mod logging;
mod outlook;
pub mod paper;
pub mod papers;
pub mod pdf;
mod plan;
mod repeat;
mod review;
mod row_map;
pub mod schema;
mod season;
mod standing;
mod standings;
mod supervisor;
pub mod tables;
pub mod text;
mod walk;
mod winter;
mod wood;
pub mod words;
pub mod xlsx;

pub use brief::{BriefSheet, BudsFrom, FactorLine, GrowthFrom, GrowthLine, Taken, harvest_year};
pub use day_sheet::{
    BudChange, Change, DaySheet, MAX_CHANGES, MOSTLY_BY_EYE, NotThere, Swap, WeekChange, changes,
    not_there,
};
pub use draw_list::DrawList;
pub use drawn::{FateLine, WalkTree};
pub use every::{MakeError, Making, Report};
pub use format::Format;
pub use lines::{AgainstRule, GoBackLine, MetricLine, StandingLine};
pub use logging::{Beside, Logging};
pub use outlook::{Ahead, CropLine, Left, OutlookSheet};
pub use plan::PlanError;
pub use repeat::{
    Counters, CountingCaution, RepeatFigure, RepeatGroup, RepeatLine, RepeatPair, RepeatTree,
    Repeats,
};
pub use review::{
    Asked, CropReview, DataQuality, Difference, FirstAndLast, GoBackTotals, LabourReview,
    MetricChange, ReviewLine, WeekSpan, WinterAhead, WinterReview, WorkDone,
};
pub use row_map::{BlockProgress, Mark, RowMap, RowMarks, Stretch};
pub use season::{Period, Season};
pub use standing::{BudFigures, DayFigures, Standing, Subject};
pub use standings::{Standings, StandingsOf};
pub use supervisor::{Quality, SupervisorPage};
pub use walk::{OpenCount, Walk};
pub use winter::{BlockPace, DayDone, Found, PrunerPace, WhatIf, WinterProgress};
pub use wood::{MIN_OFFERED, Offered, Trees, Wood};
