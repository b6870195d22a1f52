//! The colours of pictures on white.

use krilla::color::{luma, rgb};

use crate::report::paper::Ink;

/// Of lines and fills.
///
/// The colours are of a palette that colour-blind people can tell apart: Masataka Okabe and Kei Ito, "Color Universal
/// Design", 2008; the values are from memory.
pub(super) fn shape(ink: Ink) -> rgb::Color {
    let (r, g, b) = match ink {
        Ink::Text | Ink::Seen => (0x00, 0x00, 0x00),
        Ink::Faint => (0x59, 0x59, 0x59),
        Ink::One => (0x56, 0xB4, 0xE9),
        Ink::Two => (0x00, 0x9E, 0x73),
        Ink::Three => (0xE6, 0x9F, 0x00),
        Ink::FourPlus | Ink::Out => (0xD5, 0x5E, 0x00),
        Ink::Rule => (0x00, 0x72, 0xB2),
    };
    rgb::Color::new(r, g, b)
}

/// Of letters, dark enough to be read.
pub(super) fn letters(ink: Ink) -> rgb::Color {
    match ink {
        Ink::One | Ink::Two | Ink::Three => shape(Ink::Text),
        Ink::FourPlus | Ink::Out => rgb::Color::new(0xA0, 0x42, 0x00),
        _ => shape(ink),
    }
}

/// Black by its darkness, 0 to 1.
pub(super) fn grey(dark: f32) -> luma::Color {
    luma::Color::new(((1.0 - dark.clamp(0.0, 1.0)) * 255.0).round() as u8)
}
