//! The five metrics from day to day.

use ratatui::layout::Rect;

use super::Sheet;
use crate::report::document::pictures::{self, Labels, Room};
use crate::tui::Pen;
use crate::tui::pen::below;
use crate::tui::widgets::picture;

/// Lines that the picture wants at least; what is said below it gives way.
const PICTURE: u16 = 10;

/// Draws the part.
pub fn view(sheet: &Sheet, pen: &mut Pen, area: Rect) {
    let standing = sheet.standing;
    if standing.by_day.is_empty() {
        let faint = pen.theme.faint();
        pen.wrapped(area, "No tree was counted in these days.", faint);
        return;
    }
    let place = Rect {
        height: area.height - u16::from(area.height > PICTURE),
        ..area
    };
    let room = Room::cells(place.width, place.height);
    let drawn = pictures::trend(standing, &Labels::english(), room);
    picture(pen, place, &drawn.drawing);
    let faint = pen.theme.faint();
    pen.text(
        below(area, place.height),
        "One day alone settles nothing.",
        faint,
    );
}
