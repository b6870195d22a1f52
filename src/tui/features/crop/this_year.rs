//! The crop of a block's counted wood, what was kept of the offered wood, and how to mend it.

use ratatui::layout::Rect;

use super::Opened;
use crate::report::{OutlookSheet, words};
use crate::tui::Pen;
use crate::tui::pen::line_of;
use crate::tui::text::{percent, width as width_of, wrap};

/// The lines of the part.
pub(super) fn lines(opened: &Opened, width: u16) -> Vec<String> {
    let said = match &opened.outlook {
        Ok(sheet) => said(sheet),
        Err(why) => vec![why.to_string()],
    };
    let room = usize::from(width.saturating_sub(1)).max(1);
    let fitted = |line: &String| {
        // a line of the table keeps its blanks
        if width_of(line) <= room {
            vec![line.clone()]
        } else {
            wrap(line, room)
        }
    };
    said.iter().flat_map(fitted).collect()
}

fn said(sheet: &OutlookSheet) -> Vec<String> {
    let mut said = Vec::new();
    if let Some(crop) = &sheet.crop {
        let potential = &crop.potential;
        let range = |name: &str, of: crate::outlook::Range| {
            format!(
                "{} {name} ({} to {} four times of five)",
                words::figure(of.mean),
                words::figure(of.lo),
                words::figure(of.hi)
            )
        };
        said.push(format!(
            "Crop of {}: {}, {}.",
            sheet.season,
            range("t/ha", potential.tonnes_per_ha),
            range("fruit a tree", potential.fruit_per_tree)
        ));
    }
    said.push(words::counted(sheet.left.as_ref()));
    if let Some(left) = &sheet.left {
        let line = |name: &str, cells: [String; 4]| {
            let [one, two, three, four] = cells;
            format!("{name:<14}{one:>10}{two:>10}{three:>11}{four:>10}")
        };
        said.push(line(
            "Pieces a tree",
            ["one-year", "two-year", "three-year", "four-plus"].map(str::to_owned),
        ));
        if let Some(offered) = left.offered {
            said.push(line("  offered", offered.pieces.map(words::figure)));
        }
        said.push(line("  left", left.pieces.map(words::figure)));
        if left.offered.is_some() {
            let share = |kept: Option<f64>| kept.map_or_else(|| "-".to_owned(), percent);
            said.push(line("  share kept", left.kept.map(share)));
        }
    }
    if let Some(mend) = &sheet.mend {
        said.push(format!(
            "To mend it soonest: {}",
            words::mend(mend).join(" ")
        ));
    }
    said.extend(words::crop_rests_on(sheet));
    said
}

/// Draws the part, from the line that is scrolled to.
pub(super) fn view(opened: &Opened, pen: &mut Pen, area: Rect) {
    let lines = lines(opened, area.width);
    let top = opened.line().top(lines.len(), usize::from(area.height));
    for (y, line) in (0..area.height).zip(&lines[top..]) {
        pen.text(line_of(area, y), line, pen.theme.text());
    }
}
