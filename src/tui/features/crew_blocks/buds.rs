//! Buds left on the units of each size, against the rule's limits.

use ratatui::layout::Rect;

use super::Sheet;
use crate::judge::Metric;
use crate::orchard::Size;
use crate::report::{BudFigures, MetricLine, words};
use crate::tui::Pen;
use crate::tui::features::parts::tone;
use crate::tui::pen::{below, line_of, right_of};
use crate::tui::text::percent;
use crate::tui::widgets::{BudBars, badge, bud_bars};

/// Draws the part.
pub fn view(sheet: &Sheet, pen: &mut Pen, area: Rect) {
    if area.width < NARROW {
        below_each_other(sheet, pen, area);
        return;
    }
    let roomy = area.height >= 10;
    if roomy {
        within(sheet, pen, line_of(area, 0));
    }
    let rest = below(area, if roomy { 2 } else { 0 });
    let width = area.width.saturating_sub(2) / 3;
    for (n, (size, figures)) in (0..).zip(Size::ALL.into_iter().zip(&sheet.standing.buds)) {
        let column = Rect {
            width,
            ..right_of(rest, n * (width + 1))
        };
        one_size(pen, column, size, figures);
    }
}

/// In fewer columns there is no room for the sizes beside each other.
const NARROW: u16 = 66;

/// The sizes in words, where there is no room for pictures of them.
fn below_each_other(sheet: &Sheet, pen: &mut Pen, area: Rect) {
    within(sheet, pen, line_of(area, 0));
    let sizes = Size::ALL.into_iter().zip(&sheet.standing.buds);
    for (n, (size, figures)) in (0..).zip(sizes) {
        let room = below(area, 1 + 2 * n);
        bud_bars(
            pen,
            line_of(room, 0),
            &BudBars {
                size,
                counts: figures.units_by_buds,
                limit: (figures.least, figures.most),
            },
        );
        let [mean, off] = in_words(figures);
        let words = format!("  {mean}; {off}");
        pen.text(line_of(room, 1), &words, pen.theme.text());
    }
}

/// What was left against the rule, and how many units are off it.
fn in_words(figures: &BudFigures) -> [String; 2] {
    let left = figures
        .mean_left
        .map_or_else(|| "-".to_owned(), |mean| format!("{mean:.1}"));
    [
        format!("left {left}, rule {}", figures.limit_text()),
        format!("{} over, {} under", figures.over, figures.under),
    ]
}

/// The share of units that keep the rule, and its verdict.
fn within(sheet: &Sheet, pen: &mut Pen, line: Rect) {
    let buds = MetricLine::new(
        sheet.standing.judgement.metric(Metric::Buds),
        sheet.standing.bands[Metric::Buds.index()],
    );
    let used = badge(
        pen,
        line,
        tone(buds.verdict),
        words::verdict(buds.metric, buds.verdict),
    );
    let words = match buds.mean {
        Some(share) => format!(
            "average tree: {} of the units keep the rule ({} asked)",
            percent(share),
            percent(buds.band.lo)
        ),
        None => "no unit counted in these days".to_owned(),
    };
    let style = pen.theme.text();
    pen.text(right_of(line, used + 1), &words, style);
}

fn one_size(pen: &mut Pen, area: Rect, size: Size, figures: &BudFigures) {
    let bars = Rect {
        height: area.height.saturating_sub(2),
        ..area
    };
    bud_bars(
        pen,
        bars,
        &BudBars {
            size,
            counts: figures.units_by_buds,
            limit: (figures.least, figures.most),
        },
    );
    let style = pen.theme.text();
    let [mean, off] = in_words(figures);
    let foot = below(area, bars.height);
    pen.text(line_of(foot, 0), &mean, style);
    pen.text(line_of(foot, 1), &off, style);
}
