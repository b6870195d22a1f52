//! Trees pruned by day, and where it will go on until the finish, against budburst.

use std::fmt::Write as _;

use chrono::{Datelike, NaiveDate};

use super::axis::{Axis, marks};
use super::legend::{Swatch, legend};
use super::{Labels, Room};
use crate::outlook::pace::{Finish, Span};
use crate::report::WinterProgress;
use crate::report::document::letters::{self, ADVANCE, LINE};
use crate::report::document::{Anchor, Drawing, Fill, Ink, Picture};
use crate::report::fit::percent;

/// Draws the winter: the line of trees pruned, the fan of what is to come (10, 50 and 90 % points of the finish), and
/// budburst. Where the slowest of ten runs is not through within a year, the fan stays open to the right.
pub fn progress(progress: &WinterProgress, labels: &Labels, room: Room) -> Picture {
    let room = room.at_least(240.0, 10.0 * LINE);
    let mut drawing = room.field();
    let entries = [
        (Swatch::Line(Ink::Seen, false), &*labels.done),
        (Swatch::Box(Ink::Two, Fill::Light), &*labels.to_come),
        (Swatch::Line(Ink::Two, true), &*labels.middle),
        (Swatch::Line(Ink::Rule, true), &*labels.budburst),
    ];
    let legend_high = legend(&mut drawing, (0.0, 0.0), room.width, &entries);
    let room = room.below(&mut drawing, legend_high, 8.0);
    let field = Field::of(progress, room, legend_high + 2.0 * LINE);
    field.scale(&mut drawing, progress, labels);
    if let Finish::Expected { day, .. } = progress.finish {
        fan(&mut drawing, &field, progress, day);
        finish(&mut drawing, &field, labels, (day, legend_high));
    }
    bursts(&mut drawing, &field, progress, labels, legend_high + LINE);
    let mut line = vec![field.at(progress.start, 0.0)];
    line.extend(
        progress
            .by_day
            .iter()
            .map(|day| field.at(day.day, f64::from(day.done))),
    );
    let today = field.at(progress.day, f64::from(progress.done));
    line.push(today);
    drawing.line(line, 1.75, false, Ink::Seen);
    drawing.circle(today, 2.5, Ink::Seen, Fill::Solid);
    Picture {
        title: format!("{}, {}", labels.progress_title, progress.winter),
        text: text(progress, labels),
        bars: Vec::new(),
        drawing,
    }
}

fn number(day: NaiveDate) -> f64 {
    f64::from(day.num_days_from_ce())
}

/// Where days and trees stand.
struct Field {
    days: Axis,
    trees: Axis,
    first: NaiveDate,
    last: NaiveDate,
}

impl Field {
    fn of(progress: &WinterProgress, room: Room, top: f64) -> Self {
        let all = f64::from(progress.done + progress.left);
        let first = progress.start.min(
            progress
                .by_day
                .first()
                .map_or(progress.start, |day| day.day),
        );
        let deadlines = progress.blocks.iter().map(|block| block.deadline);
        let mut last = deadlines.fold(progress.budburst.max(progress.day), NaiveDate::max);
        if let Finish::Expected { day, .. } = progress.finish {
            last = last.max(day.high.or(day.mid).unwrap_or(last));
        }
        let last = last.max(first.succ_opt().unwrap_or(first));
        let gutter = letters::width(&format!("{all:.0}")) + ADVANCE;
        Self {
            days: Axis {
                from: gutter,
                to: room.width - ADVANCE,
                lo: number(first),
                hi: number(last).max(number(first) + 1.0),
            },
            trees: Axis {
                from: room.height - LINE - 1.0,
                to: top + LINE / 2.0,
                lo: 0.0,
                hi: all.max(1.0),
            },
            first,
            last,
        }
    }

    fn at(&self, day: NaiveDate, trees: f64) -> (f64, f64) {
        (self.days.at(number(day)), self.trees.at(trees))
    }

    fn scale(&self, drawing: &mut Drawing, progress: &WinterProgress, labels: &Labels) {
        let (days, trees) = (self.days, self.trees);
        let all = trees.at(f64::from(progress.done + progress.left));
        drawing.line(
            vec![(days.from, all), (days.to, all)],
            0.5,
            true,
            Ink::Faint,
        );
        drawing.line(
            vec![(days.from, trees.to), (days.from, trees.from)],
            0.75,
            false,
            Ink::Text,
        );
        drawing.line(
            vec![(days.from, trees.from), (days.to, trees.from)],
            0.75,
            false,
            Ink::Text,
        );
        let whole = f64::from(progress.done + progress.left);
        let mut taken = all;
        let mut ticks = marks(whole, 4);
        ticks.retain(|tick| *tick < whole);
        ticks.push(whole);
        for tick in ticks.into_iter().rev() {
            let y = trees.at(tick);
            let top = (y - LINE / 2.0).min(trees.from - LINE + 1.0);
            if (y - all).abs() > 1e-9 && top < taken {
                continue;
            }
            let words = format!("{tick:.0}");
            letters::write(
                drawing,
                (days.from - ADVANCE, top),
                Anchor::End,
                Ink::Faint,
                &words,
            );
            taken = top + LINE;
        }
        self.dates(drawing, labels);
    }

    /// The first day, and the first of each month as far as there is room.
    fn dates(&self, drawing: &mut Drawing, labels: &Labels) {
        let y = self.trees.from + 1.0;
        let mut free_from = self.days.from;
        let mut day = Some(self.first);
        while let Some(this) = day.filter(|day| *day <= self.last) {
            let words = labels.day(this);
            let x = self.days.at(number(this));
            let wide = letters::width(&words);
            if x >= free_from - 1e-9 && x + wide <= self.days.to + ADVANCE {
                letters::write(drawing, (x, y), Anchor::Start, Ink::Faint, &words);
                drawing.line(vec![(x, y - 3.0), (x, y)], 0.75, false, Ink::Text);
                free_from = x + wide + 2.0 * ADVANCE;
            }
            day = this
                .with_day(1)
                .and_then(|first| first.checked_add_months(chrono::Months::new(1)));
        }
    }
}

/// From today to the finish: the quickest, the middle and the slowest way.
fn fan(drawing: &mut Drawing, field: &Field, progress: &WinterProgress, day: Span<NaiveDate>) {
    let all = f64::from(progress.done + progress.left);
    let today = field.at(progress.day, f64::from(progress.done));
    let Some(low) = day.low else { return };
    let mut points = vec![today, field.at(low, all)];
    match day.high {
        Some(high) => points.push(field.at(high, all)),
        None => points.extend([(field.days.to, field.trees.to), (field.days.to, today.1)]),
    }
    drawing.closed(points, 0.75, Ink::Two, Fill::Light);
    if let Some(mid) = day.mid {
        drawing.line(vec![today, field.at(mid, all)], 1.25, true, Ink::Two);
    }
}

/// The finish in words, above where it stands.
fn finish(
    drawing: &mut Drawing,
    field: &Field,
    labels: &Labels,
    (day, top): (Span<NaiveDate>, f64),
) {
    let words = format!("{} {}", labels.finish, days(day, labels));
    let x = field.days.at(day.mid.map_or(field.days.hi, number));
    placed(drawing, field, (x, top), Ink::Text, &words);
}

fn days(day: Span<NaiveDate>, labels: &Labels) -> String {
    let one = |day: Option<NaiveDate>| {
        day.map_or_else(
            || labels.beyond_a_year.clone().into_owned(),
            |day| labels.day(day),
        )
    };
    format!("{} ({} - {})", one(day.mid), one(day.low), one(day.high))
}

/// A word with its middle at an x, but not beyond the field.
fn placed(drawing: &mut Drawing, field: &Field, (x, top): (f64, f64), ink: Ink, words: &str) {
    let room = field.days.to + ADVANCE;
    let words = letters::cut(words, room);
    let half = letters::width(&words) / 2.0;
    let x = x.min(room - half).max(half);
    letters::write(drawing, (x, top), Anchor::Middle, ink, &words);
}

/// A line at budburst, and at the days of blocks that have their own; the soonest is named.
fn bursts(
    drawing: &mut Drawing,
    field: &Field,
    progress: &WinterProgress,
    labels: &Labels,
    top: f64,
) {
    let days = bursts_of(progress);
    for day in &days {
        let x = field.days.at(number(*day));
        let ends = vec![(x, field.trees.to - 3.0), (x, field.trees.from)];
        drawing.line(ends, 1.0, true, Ink::Rule);
    }
    if let Some(soonest) = days.first() {
        let x = field.days.at(number(*soonest));
        let words = format!("{} {}", labels.budburst, labels.day(*soonest));
        placed(drawing, field, (x, top), Ink::Rule, &words);
    }
}

/// The different days by which work should be through, the soonest first.
fn bursts_of(progress: &WinterProgress) -> Vec<NaiveDate> {
    let own = progress.blocks.iter().map(|block| block.deadline);
    let mut days: Vec<NaiveDate> = own.collect();
    if days.is_empty() {
        days.push(progress.budburst);
    }
    days.sort_unstable();
    days.dedup();
    days
}

fn text(progress: &WinterProgress, labels: &Labels) -> String {
    let mut said = format!(
        "{}: {}; {}: {}; {}: {}.",
        labels.trees,
        progress.done + progress.left,
        labels.pruned,
        progress.done,
        labels.to_prune,
        progress.left
    );
    match progress.finish {
        Finish::Done => {}
        Finish::Expected { day, in_time, .. } => {
            let _ = write!(
                said,
                " {}: {}, 4 times of 5; {}: {}.",
                labels.finish,
                days(day, labels),
                labels.in_time,
                percent(in_time)
            );
        }
        Finish::NoBlock | Finish::TooFewDays { .. } | Finish::Never(_) => {
            let _ = write!(said, " {}: {}.", labels.finish, labels.no_forecast);
        }
    }
    let bursts: Vec<String> = (bursts_of(progress).iter())
        .map(|day| labels.day(*day))
        .collect();
    let _ = write!(said, " {}: {}.", labels.budburst, bursts.join(", "));
    let by_day: Vec<String> = (progress.by_day.iter())
        .map(|day| format!("{} {}", labels.day(day.day), day.done))
        .collect();
    if !by_day.is_empty() {
        let _ = write!(said, " {}: {}.", labels.done, by_day.join(", "));
    }
    said
}

#[cfg(test)]
mod tests {
    use super::super::inspect::{check, day, winter};
    use super::super::on_paper;
    use super::*;
    use crate::outlook::pace::Needed;
    use crate::report::document::Shape;

    fn expected(low: usize, mid: usize, high: Option<usize>) -> Finish {
        Finish::Expected {
            day: Span {
                low: Some(day(low)),
                mid: Some(day(mid)),
                high: high.map(day),
            },
            in_time: 0.9,
            needed: Needed {
                crew: None,
                extra: None,
            },
        }
    }

    #[test]
    fn the_fan_goes_from_today_to_the_finish() {
        let of = winter(&[100; 10], 1000, expected(18, 20, Some(25)), &[50]);
        let picture = progress(&of, &Labels::english(), on_paper::PROGRESS);
        check(&picture);
        let fan = picture
            .drawing
            .shapes
            .iter()
            .rev()
            .find_map(|shape| match shape {
                Shape::Path {
                    points,
                    closed: true,
                    ..
                } => Some(points.clone()),
                _ => None,
            });
        let fan = fan.unwrap();
        let burst = picture.drawing.shapes.iter().find_map(|shape| match shape {
            Shape::Path {
                points,
                ink: Ink::Rule,
                dashed: true,
                ..
            } if (points[0].0 - points[1].0).abs() < 1e-9 => Some(points[0].0),
            _ => None,
        });
        // today is day 10, the finish day 18 to 25, budburst day 50: all on one scale
        let (today, low, high) = (fan[0], fan[1], fan[2]);
        let a_day = (burst.unwrap() - today.0) / 40.0;
        assert!((low.0 - today.0 - 8.0 * a_day).abs() < 1e-6, "{fan:?}");
        assert!((high.0 - today.0 - 15.0 * a_day).abs() < 1e-6, "{fan:?}");
        assert!(
            (low.1 - high.1).abs() < 1e-9 && low.1 < today.1,
            "both end at all trees"
        );
        assert!(
            picture
                .text
                .contains("finish: 21 Dec (19 Dec - 26 Dec), 4 times of 5; in time: 90 %"),
            "{}",
            picture.text
        );
    }

    #[test]
    fn a_slowest_way_beyond_a_year_stays_open() {
        let of = winter(&[100; 10], 9000, expected(60, 90, None), &[50]);
        let picture = progress(&of, &Labels::english(), on_paper::PROGRESS);
        check(&picture);
        assert!(picture.text.contains("beyond a year"), "{}", picture.text);
    }
}
