//! The age classes over the winters ahead, as bars.

use ratatui::layout::Rect;

use super::Opened;
use crate::outlook::Year;
use crate::report::{Ahead, OutlookSheet, words};
use crate::tui::Pen;
use crate::tui::pen::{below, line_of, right_of};
use crate::tui::text::{self, percent};
use crate::tui::widgets::mix_bar;

/// Columns from which on the figures of a winter stand on one line.
const FULL: u16 = 80;
/// Columns from which on the pieces are told too.
const WIDE: u16 = 96;

/// Lines of the part: it is scrolled where its room is lower.
pub(super) fn lines(opened: &Opened, columns: u16) -> u16 {
    let Some((sheet, ahead)) = shown(opened) else {
        return 0;
    };
    let said = said(sheet, ahead);
    let said = said
        .iter()
        .map(|words| text::wrap(words, usize::from(columns)).len());
    let titles = text::wrap(&title(opened), usize::from(columns)).len();
    let years = ahead.years.len() * usize::from(each(columns));
    (titles + years + said.sum::<usize>()) as u16
}

/// Lines of one winter.
fn each(columns: u16) -> u16 {
    if columns < FULL { 3 } else { 2 }
}

/// The way of going on that is shown, if it can be told.
fn shown(opened: &Opened) -> Option<(&OutlookSheet, &Ahead)> {
    let sheet = opened.outlook.as_ref().ok()?;
    let wanted = opened.scenario();
    let ahead = sheet.ahead.iter().find(|ahead| ahead.scenario == wanted)?;
    Some((sheet, ahead))
}

fn title(opened: &Opened) -> String {
    format!(
        "The average tree, {} (c: as pruned, mended now, on the rule)",
        opened.scenario().words()
    )
}

/// What is said below the winters.
fn said(sheet: &OutlookSheet, ahead: &Ahead) -> [String; 3] {
    [
        words::held(&ahead.years),
        words::units_wanted(sheet),
        words::growth(&sheet.growth),
    ]
}

/// Draws the part.
pub(super) fn view(opened: &Opened, pen: &mut Pen, area: Rect) {
    let all = lines(opened, area.width);
    // a full screen cuts what has no room at its end, as little is said there
    let all = if pen.small { all } else { 0 };
    let top = opened
        .line()
        .top(usize::from(all), usize::from(area.height));
    pen.scrolled(area, all, top as u16, |pen, area| draw(opened, pen, area));
}

fn draw(opened: &Opened, pen: &mut Pen, area: Rect) {
    let sheet = match &opened.outlook {
        Ok(sheet) => sheet,
        Err(why) => {
            pen.wrapped(area, &why.to_string(), pen.theme.error());
            return;
        }
    };
    let Some((_, ahead)) = shown(opened) else {
        let words = match words::not_ahead(sheet) {
            "" => {
                "No tree of this block was counted after pruning: there is no wood to carry ahead yet."
            }
            why => why,
        };
        pen.wrapped(area, words, pen.theme.text());
        return;
    };
    let used = pen.wrapped(area, &title(opened), pen.theme.title());
    let mut rest = below(area, used);
    for year in &ahead.years {
        winter(year, pen, rest);
        rest = below(rest, each(area.width));
    }
    let theme = pen.theme;
    let styles = [theme.text(), theme.text(), theme.faint()];
    for (words, style) in said(sheet, ahead).iter().zip(styles) {
        let used = pen.wrapped(rest, words, style);
        rest = below(rest, used);
    }
}

fn winter(year: &Year, pen: &mut Pen, area: Rect) {
    let crop = year.crop.tonnes_per_ha;
    let pieces = if area.width >= WIDE {
        format!("{:>5} pieces ", words::figure(year.pieces.iter().sum()))
    } else {
        String::new()
    };
    let wood = format!(
        "{:<12} {pieces}{:>5} units {:>5} buds",
        words::winter_name(year.ahead),
        words::figure(year.units),
        words::figure(year.buds)
    );
    let bears = format!(
        "{:>5} t/ha ({}-{}), {} of wrong age",
        words::figure(crop.mean),
        words::figure(crop.lo),
        words::figure(crop.hi),
        percent(year.wrong_age)
    );
    let style = pen.theme.text();
    if area.width < FULL {
        pen.text(line_of(area, 0), &wood, style);
        pen.text(right_of(line_of(area, 1), 2), bears.trim(), style);
    } else {
        pen.text(line_of(area, 0), &format!("{wood} {bears}"), style);
    }
    mix_bar(pen, line_of(area, each(area.width) - 1), year.mix);
}
