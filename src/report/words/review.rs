//! The winter review in words.

use super::standings::named_in;
use super::{aim, cost, figure, finish, list, metric_short, plural, quality, trees, winter_name};
use crate::orchard::BudLimit;
use crate::report::fit::percent;
use crate::report::{
    Asked, BudFigures, CropReview, DataQuality, FirstAndLast, GoBackTotals, LabourReview,
    MetricChange, ReviewLine, WinterReview,
};

/// How the intervals of first week and last come about, and what they do not say.
pub const HOW_WEEKS: &str = "Intervals of the difference, in percentage points, hold with at least 96 % at any look: \
    each week's own interval, subtracted end from end. What came between was feedback, weather, other blocks and \
    practice: the figures do not tell which.";

/// What was asked of a block: `River: 33 / 33 / 33 / 0 % by age; buds 2 on thin, ...`.
pub fn asked(asked: &Asked) -> String {
    let target = asked.target.map(|share| format!("{:.0}", share * 100.0));
    let [thin, medium, thick] = asked.buds.map(BudLimit::text);
    let aimed = asked.aim.map_or_else(
        || "no aim was set".to_owned(),
        |target| format!("aim {}", aim(target)),
    );
    format!(
        "{}: {} % by age; buds {thin} on thin, {medium} on medium, {thick} on thick units; {aimed}",
        asked.name,
        target.join(" / ")
    )
}

/// How many of the pruned trees were looked at, and whose were not.
pub fn looked_at(of: &ReviewLine) -> String {
    let line = &of.line;
    let unseen = match line.not_looked_at.as_slice() {
        [] => String::new(),
        names => format!("; not looked at: {}", list(names)),
    };
    format!(
        "{} counted of {} pruned, {} of them drawn{unseen}",
        trees(line.trees),
        line.pruned,
        line.drawn
    )
}

/// Mean buds left by size of unit, beside the rule.
pub fn buds_left(of: &ReviewLine) -> String {
    let size = |size: &BudFigures| {
        let left = size.mean_left?;
        Some(format!(
            "{} {left:.1} (rule {})",
            size.size.word(),
            size.limit_text()
        ))
    };
    let sizes: Vec<_> = of.buds.iter().filter_map(size).collect();
    if sizes.is_empty() {
        return "no buds counted".to_owned();
    }
    format!("buds a unit: {}", sizes.join(", "))
}

/// Which two weeks of whom are compared.
pub fn two_weeks(of: &FirstAndLast, review: &WinterReview) -> String {
    let all = review.pruners.iter().map(|one| &one.line);
    format!(
        "{}: {} from {}, then {} to {}",
        named_in(&of.subject, &of.blocks, all),
        trees(of.first.trees),
        of.first.since,
        trees(of.last.trees),
        of.last.until
    )
}

/// What came of the rows that were sent back.
pub fn go_back_totals(totals: &GoBackTotals) -> String {
    let rows = totals.mended + totals.still_wrong + totals.left_as_is + totals.open;
    format!(
        "{}: {} mended, {} still wrong, {} left as is, {} open.",
        plural(rows, "row", "rows"),
        totals.mended,
        totals.still_wrong,
        totals.left_as_is,
        totals.open
    )
}

/// Trees, hours and cost, a sentence each.
pub fn labour(labour: &LabourReview) -> Vec<String> {
    let mut said = vec![format!(
        "{} pruned, {} left; {}. {} with work.",
        trees(labour.done),
        labour.left,
        finish(&labour.finish),
        plural(labour.days, "day", "days")
    )];
    if let Some(speed) = &labour.speed {
        said.push(format!(
            "{:.1} hours noted, on {} of {}.",
            speed.minutes as f64 / 60.0,
            percent(speed.hours_known),
            plural(
                speed.person_days,
                "day worked by a pruner",
                "days worked by a pruner"
            )
        ));
        said.push(format!("Cost: {}.", cost(&labour.cost, &labour.currency)));
    }
    if !labour.without_pay.is_empty() {
        said.push(format!(
            "No pay is entered for {}.",
            list(&labour.without_pay)
        ));
    }
    said
}

/// How much the review rests on, a sentence each.
pub fn known(known: &DataQuality) -> Vec<String> {
    let mut said = Vec::new();
    if let (Some(counted), Some(drawn)) = (known.counted_share, known.drawn_share) {
        said.push(format!(
            "{} of the pruned trees were counted; {} of the counted ones were drawn.",
            percent(counted),
            percent(drawn)
        ));
    }
    said.extend(quality(&known.counts));
    let days: Vec<_> = (known.days_without_counts.iter())
        .map(ToString::to_string)
        .collect();
    if !days.is_empty() {
        said.push(format!(
            "No tree of the work of these days was counted: {}.",
            list(&days)
        ));
    }
    said
}

/// A metric that surely changed, or may have: `one-year 16 -> 33 % (+5 to +30, nearer the rule)`; none where it is not
/// known in both weeks.
pub fn metric_change(change: &MetricChange) -> Option<String> {
    let (first, last) = (change.first?, change.last?);
    if !change.difference.is_known() {
        return None;
    }
    let verdict = match change.better {
        Some(true) => ", nearer the rule",
        Some(false) => ", farther from the rule",
        None => "",
    };
    Some(format!(
        "{} {:.0} -> {} ({:+.0} to {:+.0}{verdict})",
        metric_short(change.metric),
        first * 100.0,
        percent(last),
        change.difference.lo * 100.0,
        change.difference.hi * 100.0
    ))
}

/// The changes of a pruner in a row, or that too few trees were counted to tell.
pub fn changes_of(metrics: &[String]) -> String {
    if metrics.is_empty() {
        "too few trees in one of the weeks to tell".to_owned()
    } else {
        metrics.join("; ")
    }
}

/// What a block's counted wood bears, beside its aim.
pub fn crop_review(crop: &CropReview) -> String {
    if let Some(problem) = &crop.problem {
        return format!("cannot be worked out: {problem}");
    }
    let wood = crop.crop.map_or_else(
        || "no buds were counted".to_owned(),
        |line| {
            let tonnes = line.potential.tonnes_per_ha;
            format!(
                "the counted wood bears {} t/ha (likely {} to {})",
                figure(tonnes.mean),
                figure(tonnes.lo),
                figure(tonnes.hi)
            )
        },
    );
    match crop.aim {
        Some(target) => format!("{wood}; the aim was {}", aim(target)),
        None => wood,
    }
}

/// The winters ahead if the wood is pruned on as it was, or why they are not known; none where nothing can be worked
/// out.
pub fn ahead(crop: &CropReview) -> Option<String> {
    let years: Vec<_> = (crop.ahead.iter().skip(1))
        .map(|year| {
            let shares = year.mix.map(|share| format!("{:.0}", share * 100.0));
            format!("{} {} %", winter_name(year.ahead), shares.join("/"))
        })
        .collect();
    if years.is_empty() {
        let known = crop.aim.is_some() || crop.crop.is_some();
        let lacking = if known {
            "no wood was counted after pruning"
        } else {
            "that takes wood counted after pruning, and buds counted on it or an aim"
        };
        let unknown = || format!("the winters ahead are not known: {lacking}");
        return crop.problem.is_none().then(unknown);
    }
    let mended = match crop.balanced_in {
        Some(0) => "in balance now".to_owned(),
        Some(1) => "mended now, in balance next winter".to_owned(),
        Some(winters) => format!("mended now, in balance in {winters} winters"),
        None => "not in balance within four winters, even if mended now".to_owned(),
    };
    Some(format!("pruned on as it was: {}; {mended}", list(&years)))
}
