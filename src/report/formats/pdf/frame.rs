//! The page around the strips: margins, running title, page number.

use super::PageSize;
use super::font::Faces;
use super::pages::Room;
use super::strip::{Mark, Thing};
use crate::report::document::Sheet;
use crate::report::fit::safe;

/// Room at each side, in points; above what home printers leave white.
pub(super) const MARGIN: f32 = 48.0;
const TOP: f32 = 42.0;
const BOTTOM: f32 = 52.0;
/// Height that the running title of further pages takes.
const RUNNING: f32 = 22.0;
const SMALL: f32 = 8.5;
const DARK: f32 = 0.7;

/// A page's measures in points.
#[derive(Debug, Clone, Copy)]
pub(super) struct Frame {
    /// Its width.
    pub width: f32,
    /// Its height.
    pub height: f32,
}

impl Frame {
    /// Of a page of a size.
    pub fn new(page: PageSize) -> Self {
        let (width, height) = page.points();
        Self { width, height }
    }

    /// How wide text is.
    pub fn text(self) -> f32 {
        self.width - 2.0 * MARGIN
    }

    /// Where strips may stand.
    pub fn room(self) -> Room {
        Room {
            first: TOP,
            next: TOP + RUNNING,
            end: self.height - BOTTOM,
        }
    }

    /// The height of strips that each page can hold.
    pub fn body(self) -> f32 {
        let room = self.room();
        room.end - room.next
    }

    /// What stands on top of a page of a sheet; nothing on the first, which has the title itself.
    pub fn head(self, sheet: &Sheet, number: usize, faces: &Faces) -> Vec<Mark<'static>> {
        if number == 1 {
            return Vec::new();
        }
        let title = joined(&[&sheet.title, &sheet.day]);
        let title = faces.face(true).cut(&title, SMALL, self.text());
        let under = (MARGIN, TOP + RUNNING - 10.0);
        vec![
            words(title, MARGIN, TOP + SMALL - 2.0, true),
            Mark::bar(under, (self.text(), 0.5), DARK),
        ]
    }

    /// What stands at its foot.
    pub fn foot(
        self,
        sheet: &Sheet,
        (number, of): (usize, usize),
        faces: &Faces,
    ) -> Vec<Mark<'static>> {
        let face = faces.face(false);
        let count = format!("{number}/{of}");
        let wide = face.width(&count, SMALL);
        let orchard = joined(&[&sheet.orchard, &sheet.winter]);
        let orchard = face.cut(&orchard, SMALL, self.text() - wide - 12.0);
        let base = self.height - BOTTOM + 24.0;
        let right = MARGIN + self.text() - wide;
        vec![
            words(orchard, MARGIN, base, false),
            words(count, right, base, false),
        ]
    }
}

fn words(text: String, x: f32, base: f32, bold: bool) -> Mark<'static> {
    let thing = Thing::Words {
        at: (x, base),
        text,
        size: SMALL,
        bold,
        dark: DARK,
    };
    Mark { node: None, thing }
}

/// The texts that are not empty, with a dot between them.
pub(super) fn joined(texts: &[&str]) -> String {
    let texts: Vec<_> = texts
        .iter()
        .map(|text| safe(text.trim()))
        .filter(|text| !text.is_empty())
        .collect();
    texts.join(" · ")
}
