//! The colours of sheets, as the printer takes them.

use krilla::color::{luma, rgb};

use crate::report::document::{Ink, palette};

/// Of lines and fills.
pub(super) fn shape(ink: Ink) -> rgb::Color {
    let (r, g, b) = palette::shape(ink);
    rgb::Color::new(r, g, b)
}

/// Of letters, dark enough to be read.
pub(super) fn letters(ink: Ink) -> rgb::Color {
    let (r, g, b) = palette::letters(ink);
    rgb::Color::new(r, g, b)
}

/// Black by its darkness, 0 to 1.
pub(super) fn grey(dark: f32) -> luma::Color {
    luma::Color::new(((1.0 - dark.clamp(0.0, 1.0)) * 255.0).round() as u8)
}
