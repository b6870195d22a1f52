//! Rows of tables that stand on paper and in text alike: each face gives them its columns.

use super::{
    Tongue, counter_share, limits, rate, repeat_figure, repeat_ranged, repeat_value, share,
};
use crate::orchard::Age;
use crate::report::{BudFigures, DayFigures, DaySheet, MetricLine, RepeatLine, WorkDone};

impl Tongue {
    /// Of a day sheet: metric, rule, left, interval, the day alone, trees, verdict.
    pub fn wood_cells(&self, sheet: &DaySheet, line: &MetricLine) -> [String; 7] {
        [
            self.metric_short(line.metric).to_owned(),
            self.band(line.band),
            share(line.mean),
            self.interval(line.interval),
            share(sheet.on_the_day(line.metric)),
            line.trees.to_string(),
            self.verdict(line.metric, line.verdict).to_owned(),
        ]
    }

    /// Of a day sheet: size, rule, mean buds left, units, units with too many, with too few.
    pub fn bud_cells(&self, size: &BudFigures) -> [String; 6] {
        [
            self.size(size.size).to_owned(),
            size.limit_text(),
            self.mean_buds(size),
            size.units.to_string(),
            size.over.to_string(),
            size.under.to_string(),
        ]
    }
}

/// Of a day sheet: day, trees, the share of each age, units within the rule.
pub fn day_cells(day: &DayFigures) -> Vec<String> {
    let mut cells = vec![day.day.to_string(), day.trees.to_string()];
    cells.extend(Age::ALL.map(|age| share(day.mix.map(|mix| mix[age.index()]))));
    cells.push(share(day.buds_within));
    cells
}

/// Of the winter review: metric, left, interval, rule, trees, verdict.
pub fn metric_cells(line: &MetricLine) -> [String; 6] {
    let words = Tongue::english();
    [
        words.metric_short(line.metric).to_owned(),
        share(line.mean),
        words.interval(line.interval),
        words.band(line.band),
        line.trees.to_string(),
        words.verdict(line.metric, line.verdict).to_owned(),
    ]
}

/// Of the winter review: whose work, trees done, trees left, trees an hour and a day.
pub fn work_cells(work: &WorkDone) -> [String; 5] {
    let speed = work.speed.as_ref();
    [
        work.shown.clone(),
        work.done.to_string(),
        work.left.map_or_else(String::new, |left| left.to_string()),
        rate(speed.and_then(|speed| speed.per_hour)),
        rate(speed.and_then(|speed| speed.per_day)),
    ]
}

/// Of trees counted twice: figure, trees, difference, repeat, limits, the counter's share.
pub fn repeat_cells(line: &RepeatLine) -> [String; 6] {
    let (figure, found) = (line.figure, &line.agreement);
    [
        repeat_figure(figure).to_owned(),
        found.pairs.to_string(),
        repeat_ranged(figure, found.bias),
        repeat_value(figure, found.repeatability),
        limits(figure, found),
        counter_share(found.counter_share),
    ]
}
