//! Why a value was refused.

use thiserror::Error;

/// A value that the orchard cannot have: which field, and what is wrong with it.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("{field}: {problem}")]
pub struct Invalid {
    /// The field, in the words that forms and file headings use (such as `row_spacing_m`).
    pub field: &'static str,
    /// What is wrong, and what would be accepted.
    pub problem: String,
}

impl Invalid {
    /// A refusal of `field` for the reason `problem`.
    pub fn new(field: &'static str, problem: impl Into<String>) -> Self {
        Self {
            field,
            problem: problem.into(),
        }
    }
}

/// Checks that a number is finite and within `lo..=hi`.
pub(crate) fn within(field: &'static str, value: f64, lo: f64, hi: f64) -> Result<f64, Invalid> {
    if value.is_finite() && (lo..=hi).contains(&value) {
        Ok(value)
    } else {
        Err(Invalid::new(
            field,
            format!("{value} is outside {lo} to {hi}"),
        ))
    }
}

/// Checks that a whole number is within `lo..=hi`.
pub(crate) fn whole_within(
    field: &'static str,
    value: i64,
    lo: i64,
    hi: i64,
) -> Result<(), Invalid> {
    if (lo..=hi).contains(&value) {
        Ok(())
    } else {
        Err(Invalid::new(
            field,
            format!("{value} is outside {lo} to {hi}"),
        ))
    }
}
