//! The five metrics from day to day, against what the rule accepts.

use std::fmt::Write as _;

use chrono::Datelike;

use super::axis::Axis;
use super::legend::{Swatch, legend};
use super::{Labels, Room, band_words, nothing, titled};
use crate::judge::{Band, BandKind, Metric};
use crate::report::document::letters::{self, ADVANCE, LINE};
use crate::report::document::{Anchor, Drawing, Fill, Ink, Picture};
use crate::report::fit::percent;
use crate::report::{DayFigures, Standing};

/// Room for `100 %` and a gap.
const GUTTER: f64 = 6.0 * ADVANCE;
/// Between panels.
const GAP: f64 = 2.0 * ADVANCE;

/// Draws a panel for each metric: the mean of each day's trees, joined, over the band that the rule accepts and the
/// target. A day alone has no interval: it would invite to judge by it.
pub fn trend(standing: &Standing, labels: &Labels, room: Room) -> Picture {
    // three panels beside each other where they find the width, so that two lines of them do
    let columns = if room.width > 1.5 * room.height.max(15.0 * LINE) {
        3
    } else {
        2
    };
    let rows = 6 / columns;
    let room = room.at_least(220.0, 5.0 * f64::from(rows) * LINE);
    let title = titled(&labels.trend_title, standing.subject.shown());
    if standing.by_day.is_empty() {
        return nothing(title, labels, room);
    }
    let mut drawing = room.field();
    let width = (room.width + GAP) / f64::from(columns) - GAP;
    let height = (room.height / f64::from(rows) / LINE).floor() * LINE;
    let corner = |n: i32| {
        let (column, row) = (f64::from(n % columns), f64::from(n / columns));
        (column * (width + GAP), row * height)
    };
    for (n, metric) in (0..).zip(Metric::ALL) {
        let panel = Panel {
            at: corner(n),
            size: (width, height),
        };
        one(&mut drawing, &panel, standing, labels, metric);
    }
    let entries = [
        (Swatch::Dot(Ink::Seen, Fill::Solid, 1.6), &*labels.day_mean),
        (Swatch::Line(Ink::Rule, true), &*labels.wanted),
        (Swatch::Box(Ink::Rule, Fill::Light), &*labels.accepted),
    ];
    let (x, y) = corner(5);
    for (entry, line) in entries.into_iter().zip([1.0, 2.0, 3.0]) {
        legend(&mut drawing, (x, y + line * LINE), width, &[entry]);
    }
    Picture {
        title,
        text: text(standing, labels),
        bars: Vec::new(),
        drawing,
    }
}

struct Panel {
    at: (f64, f64),
    size: (f64, f64),
}

fn name(labels: &Labels, metric: Metric) -> &str {
    labels
        .ages
        .get(metric.index())
        .unwrap_or(&labels.buds_within)
}

fn value(day: &DayFigures, metric: Metric) -> Option<f64> {
    match metric {
        Metric::Buds => day.buds_within,
        age => day.mix.map(|mix| mix[age.index()]),
    }
}

fn one(drawing: &mut Drawing, panel: &Panel, standing: &Standing, labels: &Labels, metric: Metric) {
    let ((left, top), (width, height)) = (panel.at, panel.size);
    let head = letters::cut(name(labels, metric), width);
    letters::head(drawing, (left, top), &head);
    let band = standing.bands[metric.index()];
    let days = &standing.by_day;
    let seen = || days.iter().filter_map(|day| value(day, metric));
    let (lo, hi) = ends(band, seen());
    let up = Axis {
        from: top + height - LINE,
        to: top + LINE + 2.0,
        lo,
        hi,
    };
    let ends = (left + GUTTER, left + width);
    let size = (ends.1 - ends.0, up.at(band.lo) - up.at(band.hi));
    drawing.area((ends.0, up.at(band.hi)), size, Ink::Rule, Fill::Light);
    let target = up.at(band.target);
    drawing.line(
        vec![(ends.0, target), (ends.1, target)],
        1.0,
        true,
        Ink::Rule,
    );
    for (value, line) in [(hi, up.to - 2.0), (lo, up.from - LINE)] {
        let at = (ends.0 - ADVANCE, line);
        letters::write(drawing, at, Anchor::End, Ink::Faint, &percent(value));
    }
    drawing.line(
        vec![(ends.0, up.to), (ends.0, up.from)],
        0.75,
        false,
        Ink::Text,
    );
    drawing.line(
        vec![(ends.0, up.from), (ends.1, up.from)],
        0.75,
        false,
        Ink::Text,
    );
    points(drawing, days, metric, (ends, up));
    dates(drawing, days, labels, (ends, up.from));
}

/// The ends of the upright axis: round, with the band and all days between them.
fn ends(band: Band, seen: impl Iterator<Item = f64>) -> (f64, f64) {
    let (lo, hi) = seen.fold((1.0f64, 0.0f64), |(lo, hi), v| (lo.min(v), hi.max(v)));
    let tenth = |v: f64| (v * 10.0 - 1e-9).ceil() / 10.0;
    match band.kind {
        BandKind::Compliance => (
            ((lo.min(band.lo) * 10.0).floor() / 10.0 - 0.1).clamp(0.0, 0.9),
            1.0,
        ),
        BandKind::Kept => (0.0, tenth(hi.max(band.hi) + 0.05).clamp(0.1, 1.0)),
        BandKind::TooOld => (0.0, tenth(hi.max(2.0 * band.hi)).clamp(0.1, 1.0)),
    }
}

/// Where each day stands.
fn along(days: &[DayFigures], ends: (f64, f64)) -> Axis {
    let number =
        |day: Option<&DayFigures>| day.map_or(0.0, |day| f64::from(day.day.num_days_from_ce()));
    let (first, last) = (number(days.first()), number(days.last()));
    let inset = 4.0;
    if first < last {
        Axis {
            from: ends.0 + inset,
            to: ends.1 - inset,
            lo: first,
            hi: last,
        }
    } else {
        // one day stands in the middle
        Axis {
            from: ends.0,
            to: ends.1,
            lo: first - 1.0,
            hi: first + 1.0,
        }
    }
}

fn points(
    drawing: &mut Drawing,
    days: &[DayFigures],
    metric: Metric,
    (ends, up): ((f64, f64), Axis),
) {
    let across = along(days, ends);
    let at = |day: &DayFigures| {
        let x = across.at(f64::from(day.day.num_days_from_ce()));
        value(day, metric).map(|value| (x, up.at(value)))
    };
    let points: Vec<(f64, f64)> = days.iter().filter_map(at).collect();
    if points.len() > 1 {
        drawing.line(points.clone(), 0.75, false, Ink::Seen);
    }
    for at in points {
        drawing.circle(at, 1.6, Ink::Seen, Fill::Solid);
    }
}

fn dates(
    drawing: &mut Drawing,
    days: &[DayFigures],
    labels: &Labels,
    ((from, to), y): ((f64, f64), f64),
) {
    let (Some(first), Some(last)) = (days.first(), days.last()) else {
        return;
    };
    let (one, other) = (labels.day(first.day), labels.day(last.day));
    letters::write(drawing, (from, y), Anchor::Start, Ink::Faint, &one);
    let both = letters::width(&one) + letters::width(&other) + ADVANCE;
    if first.day < last.day && both <= to - from {
        letters::write(drawing, (to, y), Anchor::End, Ink::Faint, &other);
    }
}

fn text(standing: &Standing, labels: &Labels) -> String {
    let mut said = String::new();
    for metric in Metric::ALL {
        let band = standing.bands[metric.index()];
        let name = name(labels, metric);
        let _ = write!(said, "{name}: {} {}. ", labels.accepted, band_words(band));
    }
    for day in &standing.by_day {
        let values = Metric::ALL.map(|metric| {
            let share = value(day, metric).map_or_else(|| "-".to_owned(), percent);
            format!("{} {share}", name(labels, metric))
        });
        let _ = write!(
            said,
            "{}: {} {}, {}. ",
            labels.day(day.day),
            labels.trees,
            day.trees,
            values.join(", ")
        );
    }
    said.trim_end().to_owned()
}

#[cfg(test)]
mod tests {
    use super::super::inspect::{check, standing};
    use super::super::on_paper;
    use super::*;

    #[test]
    fn sixty_days_and_one_day_have_their_room() {
        let mut standing = standing(120, [0.3, 0.3, 0.3, 0.1]);
        for room in [
            on_paper::TREND,
            Room::cells(80, 17),
            Room::cells(200, 50),
            Room::cells(80, 10),
        ] {
            let picture = trend(&standing, &Labels::english(), room);
            check(&picture);
            let field = (picture.drawing.width, picture.drawing.height);
            assert_eq!(
                field,
                (room.width, room.height),
                "it fills the room it gets"
            );
        }
        assert!(standing.by_day.len() >= 60);
        standing.by_day.truncate(1);
        let picture = trend(&standing, &Labels::english(), on_paper::TREND);
        check(&picture);
        assert!(
            picture.text.contains("1 Dec: trees 2, one-year"),
            "{}",
            picture.text
        );
    }

    #[test]
    fn the_band_and_all_days_are_on_the_axis() {
        let kept = Band::kept(1.0 / 3.0, 0.1);
        assert_eq!(ends(kept, [0.2, 0.5].into_iter()), (0.0, 0.6));
        assert_eq!(ends(kept, [1.0].into_iter()), (0.0, 1.0));
        assert_eq!(ends(Band::too_old(0.05), std::iter::empty()), (0.0, 0.1));
        assert_eq!(ends(Band::compliance(0.8), [0.0].into_iter()), (0.0, 1.0));
    }
}
