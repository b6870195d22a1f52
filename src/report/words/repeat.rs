//! Trees counted twice, in words.

use super::{list, metric, plural};
use crate::judge::{MIN_PAIRS, Ranged, Repeat};
use crate::orchard::Stage;
use crate::report::fit::percent;
use crate::report::{Counters, CountingCaution, RepeatFigure, RepeatGroup, Repeats};

/// A figure's name where a column is narrow.
pub fn repeat_figure(figure: RepeatFigure) -> &'static str {
    match figure {
        RepeatFigure::PiecesOne => "1-year pieces",
        RepeatFigure::PiecesTwo => "2-year pieces",
        RepeatFigure::PiecesThree => "3-year pieces",
        RepeatFigure::PiecesFourPlus => "4-plus pieces",
        RepeatFigure::ShareOne => "1-year share",
        RepeatFigure::ShareTwo => "2-year share",
        RepeatFigure::ShareThree => "3-year share",
        RepeatFigure::ShareFourPlus => "4-plus share",
        RepeatFigure::Units => "units",
        RepeatFigure::BudsPerUnit => "buds a unit",
        RepeatFigure::BudsWithin => "buds in rule",
    }
}

/// A value of a figure in its unit: shares in percent, others as numbers.
pub fn repeat_value(figure: RepeatFigure, value: f64) -> String {
    // no minus before a nought
    let rounded = |text: String| match text.strip_prefix('-') {
        Some(rest) if !rest.contains(|digit: char| ('1'..='9').contains(&digit)) => rest.to_owned(),
        _ => text,
    };
    match (figure.metric(), figure) {
        (Some(_), _) => rounded(format!("{:.1}", value * 100.0)),
        (None, RepeatFigure::BudsPerUnit) => rounded(format!("{value:.2}")),
        (None, _) => rounded(format!("{value:.1}")),
    }
}

/// A value with its interval: `-1.2 (-3.0 to 0.6)`.
pub fn repeat_ranged(figure: RepeatFigure, ranged: Ranged) -> String {
    let value = |value| repeat_value(figure, value);
    format!(
        "{} ({} to {})",
        value(ranged.value),
        value(ranged.lo),
        value(ranged.hi)
    )
}

/// The limits of agreement without their intervals: `-6.1 to 4.8`.
pub fn limits(figure: RepeatFigure, agreement: &Repeat) -> String {
    format!(
        "{} to {}",
        repeat_value(figure, agreement.limit_lo.value),
        repeat_value(figure, agreement.limit_hi.value)
    )
}

/// The counter's share of the spread in percent: `21 (9-44)`; `-` where nothing differs.
pub fn counter_share(share: Option<Ranged>) -> String {
    let whole = |share: f64| format!("{:.0}", share * 100.0);
    share.map_or_else(
        || "-".to_owned(),
        |share| {
            let (value, lo, hi) = (whole(share.value), whole(share.lo), whole(share.hi));
            format!("{value} ({lo}-{hi})")
        },
    )
}

/// What the columns of the table of repeat counts mean.
pub const HOW_REPEATS: &str = "Intervals in brackets hold with 95 %, for one look. Repeat: 95 % of two counts of a tree \
    differ by no more. Limits: 95 % of the differences lie within. Counter's %: of the spread between counted trees, \
    the part that is not the trees' (1 less the intraclass correlation). Shares in percentage points; pieces and units \
    a whole tree.";

/// That a group has too few pairs for anything to be said.
pub fn too_few_pairs(group: &RepeatGroup) -> String {
    format!(
        "{}: {}; nothing is said for fewer than {MIN_PAIRS}.",
        counters(group),
        super::trees(group.pairs)
    )
}

/// Whose counts are compared, and that they were made before pruning where they were.
pub fn counters(group: &RepeatGroup) -> String {
    let whose = match &group.counters {
        Counters::All => "All trees counted twice (second less first)".to_owned(),
        Counters::One { name } => format!("{name}, both times"),
        Counters::Two { one, other } => format!("{one} and {other} ({other}'s less {one}'s)"),
    };
    if group.stage == Stage::Before {
        format!("{whose}, before pruning")
    } else {
        whose
    }
}

/// How many trees were counted twice, in a sentence.
pub fn repeats(repeats: &Repeats) -> String {
    let mut said = match repeats.pairs {
        0 => {
            "No tree was counted twice, so nothing is known of how sure the counting is.".to_owned()
        }
        n => format!(
            "{} counted twice, the second time without sight of the first.",
            super::trees(n)
        ),
    };
    if repeats.unpaired > 0 {
        said.push(' ');
        said.push_str(&plural(
            repeats.unpaired,
            "second count has",
            "second counts have",
        ));
        said.push_str(" no first count to stand beside.");
    }
    said
}

/// The caution that counting is part of what is seen, in a paragraph; empty where none is due.
pub fn counting(cautions: &[CountingCaution]) -> String {
    let part = |caution: &CountingCaution| {
        let Ranged { value, lo, hi } = caution.counter_share;
        let (of, value) = (metric(caution.metric), percent(value));
        format!("{value} ({:.0}-{}) of it for {of}", lo * 100.0, percent(hi))
    };
    let Some(first) = cautions.first() else {
        return String::new();
    };
    let parts: Vec<_> = cautions.iter().map(part).collect();
    format!(
        "By {} counted twice, much of the difference between trees seems to come from the counting, not from the wood: \
         {}. The intervals allow for chance in it, but not for a counter who always sees more or less than another.",
        super::trees(first.pairs),
        list(&parts)
    )
}
