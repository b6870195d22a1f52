//! The counted trees in the triangle of the three ages.

use ratatui::layout::Rect;

use super::Sheet;
use crate::report::document::pictures::{self, Labels, Room};
use crate::tui::Pen;
use crate::tui::pen::right_of;
use crate::tui::widgets::picture;

const EXPLAINED: &str = "Each ring is a counted tree. Only the first three ages are taken, as shares of one another; four-plus wood is left out. \
    A tree in a corner has wood of one age only. Inside the outline around the cross all three are as the rule accepts them. The disc is the mean.";
/// Columns of the words beside the picture.
const WORDS: u16 = 27;

/// Draws the part.
pub fn view(sheet: &Sheet, pen: &mut Pen, area: Rect) {
    let standing = sheet.standing;
    if standing.tree_mixes.is_empty() {
        let faint = pen.theme.faint();
        pen.wrapped(area, "No tree was counted in these days.", faint);
        return;
    }
    let beside = area.width >= 24 + 2 + WORDS + 16;
    let place = Rect {
        width: area.width - if beside { WORDS + 2 } else { 0 },
        ..area
    };
    let room = Room::cells(place.width, place.height);
    let drawn = pictures::ternary(standing, &Labels::english(), room);
    picture(pen, place, &drawn.drawing);
    if beside {
        let faint = pen.theme.faint();
        pen.wrapped(right_of(area, place.width + 2), EXPLAINED, faint);
    } else {
        pen.left_out(EXPLAINED);
    }
}
