//! The palette that colour-blind people can tell apart: the colours of sheets and of screens.
//!
//! Masataka Okabe and Kei Ito, "Color Universal Design", 2008; the values are from memory.

use super::Ink;

/// Red, green and blue, each 0 to 255.
pub type Rgb = (u8, u8, u8);

/// Black.
pub const BLACK: Rgb = (0x00, 0x00, 0x00);
/// Orange.
pub const ORANGE: Rgb = (0xE6, 0x9F, 0x00);
/// Sky blue.
pub const SKY_BLUE: Rgb = (0x56, 0xB4, 0xE9);
/// Bluish green.
pub const BLUISH_GREEN: Rgb = (0x00, 0x9E, 0x73);
/// Yellow.
pub const YELLOW: Rgb = (0xF0, 0xE4, 0x42);
/// Blue.
pub const BLUE: Rgb = (0x00, 0x72, 0xB2);
/// Vermillion.
pub const VERMILLION: Rgb = (0xD5, 0x5E, 0x00);
/// Reddish purple.
pub const REDDISH_PURPLE: Rgb = (0xCC, 0x79, 0xA7);
/// Not of the palette: the ground of sheets, and of screens by day.
pub const WHITE: Rgb = (0xFF, 0xFF, 0xFF);
/// Not of the palette: grey that can still be read on white.
const GREY: Rgb = (0x59, 0x59, 0x59);
/// Not of the palette: vermillion, dark enough for letters on white.
const DARK_VERMILLION: Rgb = (0xA0, 0x42, 0x00);

/// The colour of lines and fills on white.
pub fn shape(ink: Ink) -> Rgb {
    match ink {
        Ink::Text | Ink::Seen => BLACK,
        Ink::Faint => GREY,
        Ink::One => SKY_BLUE,
        Ink::Two => BLUISH_GREEN,
        Ink::Three => ORANGE,
        Ink::FourPlus | Ink::Out => VERMILLION,
        Ink::Rule => BLUE,
    }
}

/// The colour of letters on white: at least 4.5 to 1 against it.
pub fn letters(ink: Ink) -> Rgb {
    match ink {
        Ink::One | Ink::Two | Ink::Three | Ink::Text | Ink::Seen => BLACK,
        Ink::FourPlus | Ink::Out => DARK_VERMILLION,
        Ink::Faint | Ink::Rule => shape(ink),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Relative luminance: W3C, Web Content Accessibility Guidelines 2.1, definition of "relative luminance" (from
    /// memory).
    fn luminance((r, g, b): Rgb) -> f64 {
        let linear = |v: u8| {
            let v = f64::from(v) / 255.0;
            if v <= 0.03928 {
                v / 12.92
            } else {
                ((v + 0.055) / 1.055).powf(2.4)
            }
        };
        0.2126 * linear(r) + 0.7152 * linear(g) + 0.0722 * linear(b)
    }

    #[test]
    fn letters_can_be_read_on_white() {
        // WCAG 2.1, success criterion 1.4.3 (AA): at least 4.5 to 1; "contrast ratio" from memory.
        for ink in Ink::ALL {
            let ratio = 1.05 / (luminance(letters(ink)) + 0.05);
            assert!(ratio >= 4.5, "{ink:?}: {ratio:.2}");
        }
    }
}
