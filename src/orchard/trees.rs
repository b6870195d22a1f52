//! Trees as work is shared out: several pruners of one tree have a part of it each.

use std::borrow::Cow;
use std::fmt;
use std::iter::Sum;
use std::ops::{Add, AddAssign};

use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde::{Serialize, Serializer};

/// Parts that a tree is counted in: shares of up to ten people, of any quarter, and per cent, come out whole.
pub const TREE: u64 = 50_400;

/// A number of trees in whole parts of one, so that shares add up to what they are shares of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default, Hash)]
pub struct Trees(u64);

impl Trees {
    /// None.
    pub const NONE: Self = Self(0);

    /// Whole trees.
    pub fn whole(trees: u32) -> Self {
        Self(u64::from(trees) * TREE)
    }

    /// Of parts, [`TREE`] to a tree.
    pub fn of_parts(parts: u64) -> Self {
        Self(parts)
    }

    /// The parts, [`TREE`] to a tree.
    pub fn parts(self) -> u64 {
        self.0
    }

    /// As a number with decimals.
    pub fn number(self) -> f64 {
        self.0 as f64 / TREE as f64
    }

    /// The nearest whole number, halves up.
    pub fn rounded(self) -> u32 {
        u32::try_from((2 * self.0 + TREE) / (2 * TREE)).unwrap_or(u32::MAX)
    }
}

impl From<u32> for Trees {
    fn from(trees: u32) -> Self {
        Self::whole(trees)
    }
}

impl Add for Trees {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0.saturating_add(other.0))
    }
}

impl AddAssign for Trees {
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}

impl Sum for Trees {
    fn sum<I: Iterator<Item = Self>>(all: I) -> Self {
        all.fold(Self::NONE, Add::add)
    }
}

/// `12`, or `12.5` where it is no whole number.
impl fmt::Display for Trees {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.0.is_multiple_of(TREE) {
            f.pad(&(self.0 / TREE).to_string())
        } else {
            f.pad(&format!("{:.1}", self.number()))
        }
    }
}

impl Serialize for Trees {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        if self.0.is_multiple_of(TREE) {
            to.serialize_u64(self.0 / TREE)
        } else {
            to.serialize_f64(self.number())
        }
    }
}

impl JsonSchema for Trees {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> Cow<'static, str> {
        "Trees".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        schemars::json_schema!({ "type": "number", "minimum": 0 })
    }
}
