//! One figure with its interval, the target and what the rule allows, on one line.

use super::scale::{Spot, spot};
use crate::tui::Pen;
use crate::tui::pen::line_of;
use crate::tui::theme::Stroke;
use ratatui::layout::Rect;

/// A figure to draw. A number that is not known is NaN and is left out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct IntervalBar {
    /// The mean of what was counted.
    pub mean: f64,
    /// The lower and upper end of its interval.
    pub interval: (f64, f64),
    /// What the rule asks for.
    pub target: f64,
    /// The least and most that the rule allows.
    pub band: (f64, f64),
    /// The ends of the axis.
    pub axis: (f64, f64),
}

/// Draws the figure on the first line of an area: `░` is allowed, `┼` the target, `├──┤` the interval, `●` the mean; `◂` and `▸`
/// say that something goes on beyond the axis.
pub fn interval_bar(pen: &mut Pen, area: Rect, bar: &IntervalBar) {
    let area = pen.clip(area);
    if area.is_empty() {
        return;
    }
    let line = line_of(area, 0);
    let at = |value: f64| spot(value, bar.axis, line.width);
    pen.fill(line, '·', pen.theme.line(Stroke::Frame));
    if let (Some(lo), Some(hi)) = (at(bar.band.0), at(bar.band.1)) {
        span(pen, line, (lo, hi), '░', Stroke::Band);
    }
    if let (Some(lo), Some(hi)) = (at(bar.interval.0), at(bar.interval.1)) {
        span(pen, line, (lo, hi), '─', Stroke::Mean);
        let style = pen.theme.line(Stroke::Mean);
        let width = line.width;
        let end = |spot, mark| {
            if let Spot::At(_) = spot {
                mark
            } else {
                beyond(spot)
            }
        };
        pen.mark(line.x + lo.clamped(width), line.y, end(lo, '├'), style);
        pen.mark(line.x + hi.clamped(width), line.y, end(hi, '┤'), style);
    }
    if let Some(Spot::At(x)) = at(bar.target) {
        pen.mark(line.x + x, line.y, '┼', pen.theme.line(Stroke::Target));
    }
    if let Some(mean) = at(bar.mean) {
        let mark = if let Spot::At(_) = mean {
            '●'
        } else {
            beyond(mean)
        };
        let x = line.x + mean.clamped(line.width);
        pen.mark(x, line.y, mark, pen.theme.line(Stroke::Mean));
    }
}

fn beyond(spot: Spot) -> char {
    if spot == Spot::Below { '◂' } else { '▸' }
}

/// Fills the cells between two places, as far as they are on the axis.
fn span(pen: &mut Pen, line: Rect, (lo, hi): (Spot, Spot), mark: char, stroke: Stroke) {
    if lo == hi && !matches!(lo, Spot::At(_)) {
        return;
    }
    let (from, to) = (lo.clamped(line.width), hi.clamped(line.width));
    let style = pen.theme.line(stroke);
    for x in from..=to {
        pen.mark(line.x + x, line.y, mark, style);
    }
}
