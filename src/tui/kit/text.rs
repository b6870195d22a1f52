//! Text that stays in its place; the same that the sheets use.

pub use crate::report::fit::{Align, align, cut, fit, percent, plain, safe, width, wrap};
