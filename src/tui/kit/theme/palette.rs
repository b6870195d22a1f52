//! The colours of sheets, for the terminal.

use crate::report::document::palette as paper;
use ratatui::style::Color;

const fn of((r, g, b): paper::Rgb) -> Color {
    Color::Rgb(r, g, b)
}

pub const BLACK: Color = of(paper::BLACK);
pub const ORANGE: Color = of(paper::ORANGE);
pub const SKY_BLUE: Color = of(paper::SKY_BLUE);
pub const BLUISH_GREEN: Color = of(paper::BLUISH_GREEN);
pub const YELLOW: Color = of(paper::YELLOW);
pub const BLUE: Color = of(paper::BLUE);
pub const VERMILLION: Color = of(paper::VERMILLION);
pub const REDDISH_PURPLE: Color = of(paper::REDDISH_PURPLE);
pub const WHITE: Color = of(paper::WHITE);
