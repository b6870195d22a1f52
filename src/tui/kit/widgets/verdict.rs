//! A verdict in a word, a mark and a style.

use crate::tui::{Pen, Theme, text};
use ratatui::layout::Rect;
use ratatui::style::Style;

/// Which way a verdict leans.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Tone {
    /// Within the rule.
    Good,
    /// Below the rule.
    Low,
    /// Above the rule.
    High,
    /// The evidence does not say yet.
    Undecided,
}

impl Tone {
    /// All tones.
    pub const ALL: [Self; 4] = [Self::Good, Self::Low, Self::High, Self::Undecided];

    /// The mark beside the word.
    pub fn mark(self) -> char {
        match self {
            Self::Good => '✓',
            Self::Low => '▼',
            Self::High => '▲',
            Self::Undecided => '?',
        }
    }

    /// The style of the badge.
    pub fn style(self, theme: Theme) -> Style {
        match self {
            Self::Good => theme.good(),
            Self::Low => theme.low(),
            Self::High => theme.high(),
            Self::Undecided => theme.undecided(),
        }
    }
}

/// Mark and word, such as `▲ heavy`, for a cell of a table.
pub fn badge_text(tone: Tone, word: &str) -> String {
    format!("{} {word}", tone.mark())
}

/// Draws a badge at the left of an area's first line; says how many columns it took.
pub fn badge(pen: &mut Pen, area: Rect, tone: Tone, word: &str) -> u16 {
    let area = pen.clip(area);
    let words = format!(" {} ", badge_text(tone, word));
    let width = (text::width(&words) as u16).min(area.width);
    let place = Rect::new(area.x, area.y, width, area.height.min(1));
    let style = tone.style(pen.theme);
    pen.fill(place, ' ', style);
    let inner = Rect::new(
        place.x + 1.min(width),
        place.y,
        width.saturating_sub(1),
        place.height,
    );
    pen.text(inner, words.trim(), style);
    width
}
