//! The mix of ages as a bar, and the five metrics against what the rule accepts.

use ratatui::layout::Rect;

use super::Sheet;
use crate::report::{MetricLine, words};
use crate::tui::Pen;
use crate::tui::features::parts::tone;
use crate::tui::pen::{below, line_of, right_of};
use crate::tui::text::{Align, percent};
use crate::tui::widgets::{IntervalBar, badge, interval_bar, mix_bar};

const LEGEND: &str = "left: what the average tree has after pruning, # four years and more; rule: what it should have; \
    buds: units that keep it. ● left; ├──┤ the true share lies in here; ░ accepted by the rule; ┼ wanted";

/// A bar of fewer cells tells nothing.
const LEAST_BAR: u16 = 8;

/// Draws the part.
pub fn view(sheet: &Sheet, pen: &mut Pen, area: Rect) {
    bars(sheet, pen, area);
    let roomy = area.height >= 12;
    let table = below(area, if roomy { 3 } else { 2 });
    metrics(sheet, pen, table);
    if roomy {
        let faint = pen.theme.faint();
        pen.wrapped(below(table, 8), LEGEND, faint);
    } else {
        pen.left_out(LEGEND);
    }
}

/// What was left, and below it what the rule wants.
fn bars(sheet: &Sheet, pen: &mut Pen, area: Rect) {
    let standing = sheet.standing;
    let left = standing.mix.unwrap_or([0.0; 4]);
    for (y, name, mix) in [(0, "was left", left), (1, "the rule", standing.target)] {
        let line = line_of(area, y);
        let style = pen.theme.text();
        pen.text(line, name, style);
        mix_bar(pen, right_of(line, 9), mix);
    }
}

fn metrics(sheet: &Sheet, pen: &mut Pen, area: Rect) {
    let columns = Columns::of(line_of(area, 0));
    let title = pen.theme.title();
    pen.text(columns.name, "Wood", title);
    pen.aligned(columns.left, "left", Align::Right, title);
    pen.aligned(columns.interval, "interval", Align::Right, title);
    pen.aligned(columns.rule, "rule", Align::Right, title);
    pen.text(right_of(columns.verdict, 1), "verdict", title);
    let lines = MetricLine::all(sheet.standing);
    for (y, line) in (1..).zip(&lines) {
        metric(pen, &Columns::of(line_of(area, y)), line);
    }
    axis(pen, Columns::of(line_of(area, 6)).bar);
}

fn metric(pen: &mut Pen, columns: &Columns, line: &MetricLine) {
    let style = pen.theme.text();
    let share = line.mean.map_or_else(|| "-".to_owned(), percent);
    pen.text(columns.name, words::metric_short(line.metric), style);
    pen.aligned(columns.left, &share, Align::Right, style);
    pen.aligned(
        columns.interval,
        &words::interval(line.interval),
        Align::Right,
        style,
    );
    pen.aligned(columns.rule, &words::band(line.band), Align::Right, style);
    badge(
        pen,
        columns.verdict,
        tone(line.verdict),
        words::verdict(line.metric, line.verdict),
    );
    let known = line.is_known();
    let end = |value: f64| if known { value } else { f64::NAN };
    let bar = IntervalBar {
        mean: line.mean.unwrap_or(f64::NAN),
        interval: (end(line.interval.lo), end(line.interval.hi)),
        target: line.band.target,
        band: (line.band.lo, line.band.hi),
        axis: (0.0, 1.0),
    };
    interval_bar(pen, columns.bar, &bar);
}

/// All five bars have one axis, so that they can be read beside each other.
fn axis(pen: &mut Pen, area: Rect) {
    let faint = pen.theme.faint();
    if area.width >= 18 {
        pen.text(area, "0 %", faint);
        pen.aligned(area, "50 %", Align::Centre, faint);
        pen.aligned(area, "100 %", Align::Right, faint);
    }
}

/// The cells of a line; the bar has what the others leave.
struct Columns {
    name: Rect,
    left: Rect,
    interval: Rect,
    bar: Rect,
    rule: Rect,
    verdict: Rect,
}

impl Columns {
    fn of(line: Rect) -> Self {
        let bar = line.width.saturating_sub(10 + 6 + 9 + 1 + 10 + 1 + 19);
        let bar = if bar < LEAST_BAR { 0 } else { bar };
        let mut x = 0;
        let mut next = |width: u16, gap: u16| {
            let rest = right_of(line, x);
            x += width + gap;
            Rect {
                width: width.min(rest.width),
                ..rest
            }
        };
        Self {
            name: next(10, 0),
            left: next(6, 0),
            interval: next(9, 1),
            bar: next(bar, 0),
            rule: next(10, 1),
            verdict: next(19, 0),
        }
    }
}
