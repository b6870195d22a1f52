//! Every figure, made once from a winter in memory, as plain data: numbers, days and codes, and what people typed. No
//! sentence: what is said of a figure is the business of `words`.

mod aimed;
mod brief;
mod calibration;
mod counting_time;
mod day_sheet;
mod draw_list;
mod drawn;
mod few;
mod last_rows;
mod leaders;
mod learned;
mod lines;
mod logging;
mod marked;
mod outlook;
mod part_drawn;
mod payroll;
mod plan;
mod pruned;
mod redone;
mod repeat;
mod review;
mod row_map;
mod season;
mod standing;
mod standings;
mod supervisor;
mod walk;
mod winter;
mod wood;

pub use aimed::WalkTakes;
pub use brief::{BriefSheet, BudsFrom, FactorLine, GrowthFrom, GrowthLine, Taken, harvest_year};
pub use calibration::CounterScore;
pub use day_sheet::{
    BudChange, Change, DaySheet, MAX_CHANGES, MOSTLY_BY_EYE, NotThere, Swap, WeekChange, changes,
    not_there,
};
pub use draw_list::DrawList;
pub use drawn::{FateLine, WalkTree};
pub use few::FarFewer;
pub use last_rows::LastRows;
pub use lines::{AgainstRule, GoBackLine, MetricLine, StandingLine};
pub use logging::{Beside, DayRemark, Logging};
pub use marked::MarkLine;
pub use outlook::{Ahead, CropLine, Left, OutlookSheet};
pub use payroll::{Payroll, PayrollLine, PayrollSum};
pub use plan::PlanError;
pub use pruned::PrunedTrees;
pub use redone::{Redone, RedoneRow};
pub use repeat::{
    Counters, CountingCaution, RepeatFigure, RepeatGroup, RepeatLine, RepeatPair, RepeatTree,
    Repeats,
};
pub use review::{
    Asked, CropReview, DataQuality, Difference, FirstAndLast, GoBackTotals, LabourReview,
    MetricChange, ReviewLine, WeekSpan, WinterAhead, WinterReview, WorkDone,
};
pub use row_map::{BlockProgress, PlaceState, RowMap, RowMarks, Stretch};
pub use season::{Period, Season};
pub use standing::{BudFigures, DayFigures, Standing, Subject, Touched};
pub use standings::{Standings, StandingsOf};
pub use supervisor::{Quality, SupervisorPage};
pub use walk::{OpenCount, Walk};
pub use winter::{BlockPace, DayDone, Found, PrunerPace, WhatIf, WinterProgress};
pub use wood::{MIN_OFFERED, Offered, Trees, Wood};
