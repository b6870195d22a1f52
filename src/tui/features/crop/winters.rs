//! The age classes over the winters ahead, as bars.

use ratatui::layout::Rect;

use super::Opened;
use crate::outlook::Year;
use crate::report::words;
use crate::tui::Pen;
use crate::tui::pen::{below, line_of};
use crate::tui::text::percent;
use crate::tui::widgets::mix_bar;

/// Lines of one winter.
const EACH: u16 = 2;
/// Columns from which on the pieces are told too.
const WIDE: u16 = 96;

/// Draws the part.
pub(super) fn view(opened: &Opened, pen: &mut Pen, area: Rect) {
    let sheet = match &opened.outlook {
        Ok(sheet) => sheet,
        Err(why) => {
            pen.wrapped(area, &why.to_string(), pen.theme.error());
            return;
        }
    };
    let wanted = opened.scenario();
    let Some(ahead) = sheet.ahead.iter().find(|ahead| ahead.scenario == wanted) else {
        let words = match words::not_ahead(sheet) {
            "" => {
                "No tree of this block was counted after pruning: there is no wood to carry ahead yet."
            }
            why => why,
        };
        pen.wrapped(area, words, pen.theme.text());
        return;
    };
    let title = format!(
        "The average tree, {} (c: as pruned, mended now, on the rule)",
        wanted.words()
    );
    pen.text(line_of(area, 0), &title, pen.theme.title());
    let mut rest = below(area, 1);
    for year in &ahead.years {
        winter(year, pen, rest);
        rest = below(rest, EACH);
    }
    let held = words::held(&ahead.years);
    let used = pen.wrapped(rest, &held, pen.theme.text());
    rest = below(rest, used);
    let used = pen.wrapped(rest, &words::units_wanted(sheet), pen.theme.text());
    pen.wrapped(
        below(rest, used),
        &words::growth(&sheet.growth),
        pen.theme.faint(),
    );
}

fn winter(year: &Year, pen: &mut Pen, area: Rect) {
    let crop = year.crop.tonnes_per_ha;
    let pieces = if area.width >= WIDE {
        format!("{:>5} pieces ", words::figure(year.pieces.iter().sum()))
    } else {
        String::new()
    };
    let words = format!(
        "{:<12} {pieces}{:>5} units {:>5} buds {:>5} t/ha ({}-{}), {} of wrong age",
        words::winter_name(year.ahead),
        words::figure(year.units),
        words::figure(year.buds),
        words::figure(crop.mean),
        words::figure(crop.lo),
        words::figure(crop.hi),
        percent(year.wrong_age)
    );
    pen.text(line_of(area, 0), &words, pen.theme.text());
    mix_bar(pen, line_of(area, 1), year.mix);
}
