//! A draw as a list to walk by.

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::{Serialize, Serializer};

use super::drawn::WalkTree;
use super::season::Season;
use crate::orchard::{Draw, DrawId};

/// A draw with the names of its places and pruners.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct DrawList {
    /// The orchard's name; may be empty.
    pub orchard: String,
    /// The winter's label.
    pub winter: String,
    /// The draw.
    pub id: DrawId,
    /// The day it was made.
    pub day: NaiveDate,
    /// Work from this day on was drawn from.
    pub since: NaiveDate,
    /// Work up to and with this day was drawn from.
    pub until: NaiveDate,
    /// The seed that repeats it. Text in JSON: it may be larger than a spreadsheet's whole numbers.
    #[serde(serialize_with = "as_text")]
    #[schemars(with = "String")]
    pub seed: u64,
    /// The trees, in walking order.
    pub trees: Vec<WalkTree>,
}

#[expect(
    clippy::trivially_copy_pass_by_ref,
    reason = "the shape that serde asks for"
)]
fn as_text<S: Serializer>(seed: &u64, to: S) -> Result<S::Ok, S::Error> {
    to.collect_str(seed)
}

impl Season {
    /// A draw as a list, whether it is in the file yet or not.
    pub fn draw_list(&self, draw: &Draw) -> DrawList {
        DrawList {
            orchard: self.orchard.clone(),
            winter: self.winter.label.clone(),
            id: draw.id,
            day: draw.day,
            since: draw.since,
            until: draw.until,
            seed: draw.seed,
            trees: self.draw_lines(draw),
        }
    }
}
