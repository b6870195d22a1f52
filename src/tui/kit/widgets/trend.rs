//! A share from day to day.

use super::scale::{Spot, spot};
use crate::tui::Pen;
use crate::tui::pen::line_of;
use crate::tui::text::{self, Align};
use crate::tui::theme::Stroke;
use ratatui::layout::Rect;

/// The figure of one day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TrendPoint {
    /// The day, as a number of days from any fixed one.
    pub day: f64,
    /// The day's mean.
    pub mean: f64,
}

/// The days to draw.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Trend<'a> {
    /// The days that have a figure, in any order; others are left blank.
    pub points: &'a [TrendPoint],
    /// The names of the first and the last day, such as `12 Jan`.
    pub ends: (&'a str, &'a str),
    /// What the rule asks for.
    pub target: f64,
    /// The least and most that the rule allows.
    pub band: (f64, f64),
    /// The ends of the upright axis.
    pub axis: (f64, f64),
}

const GUTTER: u16 = 7;

/// Draws the days from left to right: `░` is allowed, `┄` the target, `●` a day's mean; `▲` and `▼` stand for a mean
/// beyond the axis.
pub fn trend(pen: &mut Pen, area: Rect, trend: &Trend) {
    let area = pen.clip(area);
    if area.width < GUTTER + 4 || area.height < 4 {
        let style = pen.theme.faint();
        pen.text(line_of(area, 0), "(more room is needed)", style);
        return;
    }
    let plot = Rect::new(
        area.x + GUTTER,
        area.y,
        area.width - GUTTER,
        area.height - 1,
    );
    ground(pen, plot, trend);
    scale(pen, area, plot, trend);
    let days = trend.points.iter().map(|p| p.day).filter(|d| d.is_finite());
    let (first, last) = days.fold((f64::INFINITY, f64::NEG_INFINITY), |(lo, hi), d| {
        (lo.min(d), hi.max(d))
    });
    if first > last {
        let style = pen.theme.faint();
        let middle = line_of(plot, plot.height / 2);
        pen.aligned(middle, " nothing counted yet ", Align::Centre, style);
        return;
    }
    for point in trend.points {
        let x = match spot(point.day, (first, last), plot.width) {
            Some(Spot::At(x)) => x,
            // All on one day: in the middle.
            None if point.day.is_finite() => plot.width / 2,
            _ => continue,
        };
        draw_point(pen, plot, x, point, trend);
    }
}

/// The line of a value, counted from the top.
fn row(value: f64, plot: Rect, trend: &Trend) -> Option<(Spot, u16)> {
    let at = spot(value, trend.axis, plot.height)?;
    Some((at, plot.bottom() - 1 - at.clamped(plot.height)))
}

fn ground(pen: &mut Pen, plot: Rect, trend: &Trend) {
    let (lo, hi) = (
        row(trend.band.0, plot, trend),
        row(trend.band.1, plot, trend),
    );
    if let (Some((lo, bottom)), Some((hi, top))) = (lo, hi)
        && (lo != hi || matches!(lo, Spot::At(_)))
        && top <= bottom
    {
        let band = Rect::new(plot.x, top, plot.width, bottom - top + 1);
        let style = pen.theme.line(Stroke::Band);
        pen.fill(band, '░', style);
    }
    if let Some((Spot::At(_), y)) = row(trend.target, plot, trend) {
        let style = pen.theme.line(Stroke::Target);
        pen.fill(Rect::new(plot.x, y, plot.width, 1), '┄', style);
    }
}

fn scale(pen: &mut Pen, area: Rect, plot: Rect, trend: &Trend) {
    let faint = pen.theme.faint();
    let gutter = |y: u16| Rect::new(area.x, y, GUTTER - 1, 1);
    let (low, high) = (text::percent(trend.axis.0), text::percent(trend.axis.1));
    pen.aligned(gutter(plot.y), &high, Align::Right, faint);
    pen.aligned(gutter(plot.bottom() - 1), &low, Align::Right, faint);
    if let Some((Spot::At(_), y)) = row(trend.target, plot, trend)
        && y > plot.y
        && y + 1 < plot.bottom()
    {
        let style = pen.theme.line(Stroke::Target);
        let target = text::percent(trend.target);
        pen.aligned(gutter(y), &target, Align::Right, style);
    }
    let line = Rect::new(plot.x, area.bottom() - 1, plot.width, 1);
    let (first, last) = trend.ends;
    pen.text(line, first, faint);
    if first != last && text::width(first) + text::width(last) < usize::from(line.width) {
        pen.aligned(line, last, Align::Right, faint);
    }
}

fn draw_point(pen: &mut Pen, plot: Rect, x: u16, point: &TrendPoint, trend: &Trend) {
    if let Some((at, y)) = row(point.mean, plot, trend) {
        let style = pen.theme.line(Stroke::Mean);
        let mark = match at {
            Spot::Below => '▼',
            Spot::At(_) => '●',
            Spot::Above => '▲',
        };
        pen.mark(plot.x + x, y, mark, style);
    }
}
