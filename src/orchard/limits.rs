//! Every limit of what the file can hold, once. Forms tell them, constructors check them, and the `CHECK`s of the
//! schema are held against them by `tests/limits.rs`.

use std::fmt::Display;
use std::ops::RangeInclusive as Range;

use super::Invalid;

/// The longest name, in characters.
pub const MAX_NAME: usize = 60;
/// The longest note, in characters.
pub const MAX_NOTE: usize = 500;
/// The longest short label of a pruner, in characters.
pub const MAX_LABEL: usize = 4;
/// The longest language tag that is kept, in characters: room for all tags in use (RFC 5646, 4.4.1).
pub const MAX_TAG: usize = 35;

/// Years of planting and of harvest.
pub const YEARS: Range<i32> = 1_850..=2_199;
/// Years that a day can be in: whatever a clock says.
pub const DAY_YEARS: Range<i32> = 1_900..=2_299;
/// Years that days of a plan can be in.
pub const CALENDAR_YEARS: Range<i32> = 1_990..=2_199;
/// Days from a winter's start to the budburst that ends it.
pub const BUDBURST_DAYS: Range<i64> = 1..=300;
/// Days from a winter's start on which work is done in it.
pub const WINTER_DAYS: Range<i64> = 0..=300;
/// The same of a count: trees are counted before pruning begins, too.
pub const COUNT_DAYS: Range<i64> = -90..=300;
/// Days in a stretch without work.
pub const LOST_DAYS: Range<i64> = 1..=100;
/// Offset of local time from UTC, minutes east.
pub const OFFSET_MIN: Range<i32> = -840..=840;

/// Distance between rows, m.
pub const ROW_SPACING_M: Range<f64> = 0.5..=20.0;
/// Distance between trees in the row, m.
pub const TREE_SPACING_M: Range<f64> = 0.2..=20.0;
/// Stems of a tree.
pub const STEMS: Range<u8> = 1..=24;
/// How far stems lean from upright, degrees.
pub const LEAN_DEG: Range<f64> = 0.0..=80.0;
/// Numbers of rows.
pub const ROWS: Range<u16> = 1..=999;
/// Tree places in a row.
pub const PLACES: Range<u16> = 1..=2_000;

/// Numbers on the crew list.
pub const NUMBERS: Range<u16> = 1..=9_999;
/// Minutes of one piece of work: a day at most.
pub const MINUTES: Range<u16> = 1..=1_440;
/// One pruner's share of a tree that several did, per cent.
pub const SHARES: Range<u8> = 1..=99;

/// Wanted pieces of one age, as parts of a whole.
pub const PARTS: Range<u16> = 0..=1_000;
/// How far a share may be from its target.
pub const TOLERANCE: Range<f64> = 0.01..=0.5;
/// Diameters that part thin from medium and medium from thick, mm.
pub const DIAMETERS_MM: Range<f64> = 2.0..=60.0;
/// Share of units that must keep the bud limit.
pub const COMPLIANCE: Range<f64> = 0.1..=0.99;

/// The most buds that are told apart on one unit; it stands for all above, too.
pub const MAX_BUDS: u8 = 7;
/// Pieces or units of one kind on a tree: a guard against a stuck key and a wrong file.
pub const OF_A_KIND: Range<u32> = 0..=9_999;

/// Pieces to leave out before the first of a run.
pub const LEAVE_OUT: Range<u8> = 0..=99;
/// Pieces of one run.
pub const RUN_PIECES: Range<u8> = 0..=60;
/// The longest text of the runs of a tree, in characters: room for four of the longest and one leader in full.
pub const MAX_RUNS_TEXT: usize = 400;

/// Girth of a trunk, cm.
pub const GIRTH_CM: Range<f64> = 1.0..=300.0;
/// One-year pieces that grow on a tree until the next winter.
pub const GROWN: Range<f64> = 0.0..=10_000.0;
/// Buds of a tagged unit.
pub const TAGGED_BUDS: Range<u32> = 0..=99;
/// Fruit of a tagged unit.
pub const TAGGED_FRUIT: Range<u32> = 0..=999;
/// Weight of a fruit, g.
pub const FRUIT_G: Range<f64> = 20.0..=1_000.0;
/// Fruit that were weighed one by one, or counted into a weighed bin.
pub const WEIGHED: Range<u32> = 1..=1_000_000;
/// A rate of pay as the file has it, in ten-millionths of the currency's main unit: a million units at most.
pub const PAY: Range<i64> = 0..=10_000_000_000_000;

/// Checks that a number is within its limits; no number at all (NaN) is not.
pub(crate) fn within<T: PartialOrd + Display>(
    field: &'static str,
    value: T,
    limits: &Range<T>,
) -> Result<T, Invalid> {
    if limits.contains(&value) {
        return Ok(value);
    }
    let (least, most) = (limits.start(), limits.end());
    let problem = format!("{value} is outside {least} to {most}");
    Err(Invalid::new(field, problem))
}
