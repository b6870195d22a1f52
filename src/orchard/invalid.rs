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
