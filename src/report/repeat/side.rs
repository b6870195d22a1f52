//! Two counts of a tree side by side, once both are closed.

use super::RepeatPair;
use crate::orchard::{Age, Size};
use crate::report::season::Season;
use crate::report::words;

/// One thing counted, in both counts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SideLine {
    /// What.
    pub what: String,
    /// In the first count.
    pub first: u32,
    /// In the second.
    pub again: u32,
}

/// Two counts of a tree.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TwoCounts {
    /// Where the tree stands.
    pub place: String,
    /// Day and counter of the first count.
    pub first: String,
    /// Day and counter of the second.
    pub again: String,
    /// All that was counted in either.
    pub lines: Vec<SideLine>,
}

impl Season {
    /// Two counts of a tree, line by line.
    pub fn two_counts(&self, pair: &RepeatPair<'_>) -> TwoCounts {
        let head = &pair.first.head;
        let by = |head: &crate::orchard::CountHead| match head.counter.as_str() {
            "" => head.at.day.to_string(),
            name => format!("{} {name}", head.at.day),
        };
        TwoCounts {
            place: words::place(self.block_name(head.block), head.row, head.tree),
            first: by(head),
            again: by(&pair.again.head),
            lines: lines(pair),
        }
    }
}

fn lines(pair: &RepeatPair<'_>) -> Vec<SideLine> {
    let (first, again) = (&pair.first.tally, &pair.again.tally);
    let line = |what: String, first: u32, again: u32| SideLine { what, first, again };
    let mut lines: Vec<_> = (Age::ALL.into_iter())
        .map(|age| (age, age.index()))
        .map(|(age, at)| {
            line(
                format!("{} pieces", age.word()),
                first.ages[at],
                again.ages[at],
            )
        })
        .collect();
    for size in Size::ALL {
        let name = size.word();
        lines.push(line(
            format!("{name} units"),
            first.units_of(size),
            again.units_of(size),
        ));
        lines.push(line(
            "  their buds".to_owned(),
            first.buds_of(size),
            again.buds_of(size),
        ));
    }
    for (what, first, again) in [
        ("upright one-year left", first.upright, again.upright),
        ("thick wood in the top", first.thick_top, again.thick_top),
    ] {
        if first + again > 0 {
            lines.push(line(what.to_owned(), first, again));
        }
    }
    lines
}
