//! The five metrics from day to day.

use chrono::{Datelike, NaiveDate};
use ratatui::layout::Rect;

use super::Sheet;
use crate::judge::{Band, BandKind, Metric};
use crate::report::{DayFigures, words};
use crate::tui::Pen;
use crate::tui::pen::{below, line_of, right_of};
use crate::tui::widgets::{Trend, TrendPoint, trend};

/// Draws the part: three pictures above, two below and beside them what they mean.
pub fn view(sheet: &Sheet, pen: &mut Pen, area: Rect) {
    let width = area.width.saturating_sub(4) / 3;
    let height = area.height / 2;
    let place = |n: u16| Rect {
        width,
        height,
        ..right_of(below(area, n / 3 * height), n % 3 * (width + 2))
    };
    for (n, metric) in (0..).zip(Metric::ALL) {
        one(sheet, pen, place(n), metric);
    }
    let style = pen.theme.faint();
    pen.wrapped(place(5), explained(&sheet.standing.by_day), style);
}

fn one(sheet: &Sheet, pen: &mut Pen, area: Rect, metric: Metric) {
    let title = pen.theme.title();
    pen.text(line_of(area, 0), words::metric(metric), title);
    let days = &sheet.standing.by_day;
    let points: Vec<TrendPoint> = days.iter().filter_map(|day| point(day, metric)).collect();
    let ends = (days.first(), days.last());
    let name = |day: Option<&DayFigures>| day.map_or_else(String::new, |day| short(day.day));
    let band = sheet.standing.bands[metric.index()];
    let picture = Trend {
        points: &points,
        ends: (&name(ends.0), &name(ends.1)),
        target: band.target,
        band: (band.lo, band.hi),
        axis: axis(band),
    };
    trend(pen, below(area, 1), &picture);
}

/// A day's mean; there is no interval of a single day, as it would invite to judge by it.
fn point(day: &DayFigures, metric: Metric) -> Option<TrendPoint> {
    let mean = match metric {
        Metric::Buds => day.buds_within,
        age => day.mix.map(|mix| mix[age.index()]),
    };
    mean.map(|mean| TrendPoint {
        day: f64::from(day.day.num_days_from_ce()),
        mean,
    })
}

/// The part of the shares around what the rule accepts: what lies beyond is marked so.
fn axis(band: Band) -> (f64, f64) {
    match band.kind {
        BandKind::Kept => (0.0, (2.0 * band.hi - band.lo).clamp(0.1, 1.0)),
        BandKind::TooOld => (0.0, (4.0 * band.hi).clamp(0.1, 1.0)),
        BandKind::Compliance => ((3.0 * band.lo - 2.0).clamp(0.0, 0.9), 1.0),
    }
}

fn short(day: NaiveDate) -> String {
    day.format("%-d %b").to_string()
}

fn explained(days: &[DayFigures]) -> &'static str {
    if days.is_empty() {
        "No tree was counted in these days."
    } else {
        "● mean of a day's trees, ▲ ▼ beyond the axis; ░ accepted, ┄ wanted. One day alone settles nothing."
    }
}
