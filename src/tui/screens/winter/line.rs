//! Done by day, and the finish, as a picture.

use chrono::NaiveDate;
use ratatui::layout::Rect;

use crate::outlook::pace::Finish;
use crate::report::WinterProgress;
use crate::tui::Pen;
use crate::tui::pen::line_of;
use crate::tui::text::Align;
use crate::tui::theme::Stroke;

/// Columns of the upright scale.
const GUTTER: u16 = 7;

/// Where days and trees stand.
struct Axes {
    plot: Rect,
    first: NaiveDate,
    days: i64,
    trees: u32,
}

impl Axes {
    fn x(&self, day: NaiveDate) -> Option<u16> {
        let at = day.signed_duration_since(self.first).num_days();
        let last = i64::from(self.plot.width) - 1;
        (0..=self.days)
            .contains(&at)
            .then(|| self.plot.x + (at * last / self.days.max(1)) as u16)
    }

    fn y(&self, trees: f64) -> u16 {
        let up = (trees / f64::from(self.trees.max(1)) * f64::from(self.plot.height - 1)).round();
        self.plot.bottom() - 1 - (up as u16).min(self.plot.height - 1)
    }
}

/// Draws the days: `●` trees done, `░` where the work will go on with 10-90 % chance, `┆` budburst.
pub(super) fn draw(pen: &mut Pen, area: Rect, progress: &WinterProgress) {
    let area = pen.clip(area);
    if area.width < GUTTER + 20 || area.height < 6 {
        pen.text(line_of(area, 0), "(more room is needed)", pen.theme.faint());
        return;
    }
    let axes = axes(area, progress);
    scale(pen, area, &axes);
    if let Finish::Expected { day, .. } = progress.finish {
        let soonest = day.low.unwrap_or(progress.day);
        let latest = day.high.unwrap_or_else(|| last_day(&axes));
        ahead(pen, &axes, progress, (soonest, latest));
    }
    let deadlines = progress.blocks.iter().map(|block| block.deadline);
    for deadline in deadlines.chain([progress.budburst]) {
        if let Some(x) = axes.x(deadline) {
            for y in axes.plot.top()..axes.plot.bottom() {
                pen.mark(x, y, '┆', pen.theme.line(Stroke::Target));
            }
        }
    }
    for day in &progress.by_day {
        if let Some(x) = axes.x(day.day) {
            let y = axes.y(f64::from(day.done));
            pen.mark(x, y, '●', pen.theme.line(Stroke::Mean));
        }
    }
}

fn axes(area: Rect, progress: &WinterProgress) -> Axes {
    let deadlines = progress.blocks.iter().map(|block| block.deadline);
    let mut last = deadlines
        .chain([progress.budburst])
        .max()
        .unwrap_or(progress.budburst);
    if let Finish::Expected { day, .. } = progress.finish {
        last = last.max(day.high.or(day.mid).unwrap_or(last));
    }
    let days = last.signed_duration_since(progress.start).num_days();
    Axes {
        plot: Rect::new(
            area.x + GUTTER,
            area.y,
            area.width - GUTTER,
            area.height - 2,
        ),
        first: progress.start,
        days: days.max(1),
        trees: progress.done + progress.left,
    }
}

fn last_day(axes: &Axes) -> NaiveDate {
    axes.first + chrono::Days::new(axes.days.unsigned_abs())
}

/// Fills between the fastest and the slowest way to the end, column by column.
fn ahead(
    pen: &mut Pen,
    axes: &Axes,
    progress: &WinterProgress,
    (soonest, latest): (NaiveDate, NaiveDate),
) {
    let (done, all) = (f64::from(progress.done), f64::from(axes.trees));
    let (Some(from), Some(to)) = (axes.x(progress.day), axes.x(latest)) else {
        return;
    };
    let reached = |x: u16, end: NaiveDate| {
        let whole = f64::from(axes.x(end).unwrap_or(to).saturating_sub(from).max(1));
        done + (all - done) * (f64::from(x - from) / whole).min(1.0)
    };
    for x in from..=to {
        for y in axes.y(reached(x, soonest))..=axes.y(reached(x, latest)) {
            pen.mark(x, y, '░', pen.theme.line(Stroke::Band));
        }
    }
}

fn scale(pen: &mut Pen, area: Rect, axes: &Axes) {
    let faint = pen.theme.faint();
    let gutter = |y: u16| Rect::new(area.x, y, GUTTER - 1, 1);
    let (top, bottom) = (axes.plot.top(), axes.plot.bottom() - 1);
    pen.aligned(gutter(top), &axes.trees.to_string(), Align::Right, faint);
    pen.aligned(gutter(bottom), "0", Align::Right, faint);
    let line = Rect::new(axes.plot.x, axes.plot.bottom(), axes.plot.width, 1);
    let name = |day: NaiveDate| day.format("%-d %b").to_string();
    pen.text(line, &name(axes.first), faint);
    pen.aligned(line, &name(last_day(axes)), Align::Right, faint);
    let legend = Rect::new(area.x, axes.plot.bottom() + 1, area.width, 1);
    let words = "● trees done   ░ to come, 10-90 % range of the finish   ┆ budburst";
    pen.text(legend, words, faint);
}
