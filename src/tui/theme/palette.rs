//! The palette that colour-blind people can tell apart.
//!
//! Masataka Okabe and Kei Ito, "Color Universal Design", 2008; the values are from memory.

use ratatui::style::Color;

pub const BLACK: Color = Color::Rgb(0x00, 0x00, 0x00);
pub const ORANGE: Color = Color::Rgb(0xE6, 0x9F, 0x00);
pub const SKY_BLUE: Color = Color::Rgb(0x56, 0xB4, 0xE9);
pub const BLUISH_GREEN: Color = Color::Rgb(0x00, 0x9E, 0x73);
pub const YELLOW: Color = Color::Rgb(0xF0, 0xE4, 0x42);
pub const BLUE: Color = Color::Rgb(0x00, 0x72, 0xB2);
pub const VERMILLION: Color = Color::Rgb(0xD5, 0x5E, 0x00);
pub const REDDISH_PURPLE: Color = Color::Rgb(0xCC, 0x79, 0xA7);
/// Not of the palette: the ground by day.
pub const WHITE: Color = Color::Rgb(0xFF, 0xFF, 0xFF);
