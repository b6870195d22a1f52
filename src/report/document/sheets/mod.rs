//! Each report set as a [`Document`]: what is to be seen first, then what is to be read.
//!
//! The sentences are those of [`words`], the figures are written as there; what stands here is the order.

mod brief;
mod day_sheet;
mod draw;
mod figures;
mod outlook;
mod parts;
mod payroll;
mod review;
mod standings;
mod supervisor;
mod two_counts;
mod winter;

pub use brief::briefs;
pub use day_sheet::day_sheets;
pub use draw::draw_list;
pub use figures::figures;
pub use outlook::outlooks;
pub use payroll::payroll;
pub use review::review;
pub use standings::standings;
pub use supervisor::supervisor;
pub use two_counts::two_counts;
pub use winter::winter;

use crate::report::words;
