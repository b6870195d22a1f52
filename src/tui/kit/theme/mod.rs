//! Colours by what they mean, in three themes.
//!
//! No meaning stands on colour alone: a word or a mark is always beside it. [`Theme::Plain`] uses
//! no colour at all.

mod indexed;
mod palette;

pub use indexed::reduce;

use crate::orchard::{Age, Size};
use crate::report::document::Ink;
use palette::{
    BLACK, BLUE, BLUISH_GREEN, ORANGE, REDDISH_PURPLE, SKY_BLUE, VERMILLION, WHITE, YELLOW,
};
use ratatui::style::{Color, Modifier, Style};

/// How the program looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Theme {
    /// Light on black, for the shed and the evening.
    #[default]
    Dark,
    /// Black on white, for the sun.
    Bright,
    /// The terminal's own colours, with bold, reverse and underline only.
    Plain,
}

/// A line or point of a picture.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Stroke {
    /// Axes and frames.
    Frame,
    /// The tolerance around the target.
    Band,
    /// What the rule asks for.
    Target,
    /// One tree or one day.
    Point,
    /// The mean of them.
    Mean,
}

/// Bluish green, dark enough for dots on white in 256 colours too.
const DAY_GREEN: Color = Color::Rgb(0x00, 0x7A, 0x5A);
/// Orange, dark enough for dots on white.
const DAY_ORANGE: Color = Color::Rgb(0x9A, 0x66, 0x00);
/// Reddish purple, dark enough for dots on white.
const DAY_PURPLE: Color = Color::Rgb(0x8F, 0x3D, 0x6C);
const NIGHT_FAINT: Color = Color::Rgb(0xB4, 0xB4, 0xB4);
const DAY_FAINT: Color = Color::Rgb(0x50, 0x50, 0x50);
const NIGHT_FIELD: Color = Color::Rgb(0x30, 0x30, 0x30);
const DAY_FIELD: Color = Color::Rgb(0xE4, 0xE4, 0xE4);

impl Theme {
    /// All themes.
    pub const ALL: [Self; 3] = [Self::Dark, Self::Bright, Self::Plain];

    /// The word in the settings: `dark`, `bright` or `plain`.
    pub fn word(self) -> &'static str {
        match self {
            Self::Dark => "dark",
            Self::Bright => "bright",
            Self::Plain => "plain",
        }
    }

    /// The theme of a setting's word.
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|t| t.word() == word)
    }

    fn pick(self, night: Style, day: Style, plain: Modifier) -> Style {
        match self {
            Self::Dark => night,
            Self::Bright => day,
            Self::Plain => Style::new().add_modifier(plain),
        }
    }

    /// Black or white letters on a colour of the palette, the same by night and by day.
    fn filled(self, fill: Color, plain: Modifier) -> Style {
        let letters = if fill == BLUE { WHITE } else { BLACK };
        let style = on(letters, fill);
        self.pick(style, style, plain)
    }

    /// Ordinary text, and the ground of everything.
    pub fn text(self) -> Style {
        self.pick(on(WHITE, BLACK), on(BLACK, WHITE), Modifier::empty())
    }

    /// Hints, units and what matters less.
    pub fn faint(self) -> Style {
        let (night, day) = (on(NIGHT_FAINT, BLACK), on(DAY_FAINT, WHITE));
        self.pick(night, day, Modifier::empty())
    }

    /// Headings.
    pub fn title(self) -> Style {
        let (night, day) = (on(SKY_BLUE, BLACK), on(BLUE, WHITE));
        self.pick(bold(night), bold(day), Modifier::BOLD)
    }

    /// A button that waits.
    pub fn button(self) -> Style {
        self.text()
    }

    /// A button that is on: the screen shown, the choice made.
    pub fn button_active(self) -> Style {
        let (night, day) = (on(BLACK, SKY_BLUE), on(WHITE, BLUE));
        self.pick(bold(night), bold(day), Modifier::REVERSED)
    }

    /// Wood of an age class.
    pub fn age(self, age: Age) -> Style {
        match age {
            Age::One => self.filled(SKY_BLUE, Modifier::empty()),
            Age::Two => self.filled(BLUISH_GREEN, Modifier::REVERSED),
            Age::Three => self.filled(ORANGE, Modifier::UNDERLINED),
            Age::FourPlus => {
                self.filled(VERMILLION, Modifier::REVERSED.union(Modifier::UNDERLINED))
            }
        }
    }

    /// Units of a size.
    pub fn size(self, size: Size) -> Style {
        match size {
            Size::Thin => self.filled(YELLOW, Modifier::empty()),
            Size::Medium => self.filled(REDDISH_PURPLE, Modifier::UNDERLINED),
            Size::Thick => self.filled(BLUE, Modifier::BOLD),
        }
    }

    /// Within the rule.
    pub fn good(self) -> Style {
        self.filled(BLUISH_GREEN, Modifier::BOLD)
    }

    /// Below the rule.
    pub fn low(self) -> Style {
        self.filled(SKY_BLUE, Modifier::UNDERLINED)
    }

    /// Above the rule.
    pub fn high(self) -> Style {
        self.filled(ORANGE, Modifier::REVERSED)
    }

    /// Not known yet.
    pub fn undecided(self) -> Style {
        self.filled(YELLOW, Modifier::empty())
    }

    /// Something is wrong and wants mending.
    pub fn error(self) -> Style {
        bold(self.filled(VERMILLION, Modifier::UNDERLINED))
    }

    /// A field of a form.
    pub fn field(self) -> Style {
        let (night, day) = (on(WHITE, NIGHT_FIELD), on(BLACK, DAY_FIELD));
        self.pick(night, day, Modifier::UNDERLINED)
    }

    /// The field that is written in.
    pub fn field_focus(self) -> Style {
        self.filled(YELLOW, Modifier::REVERSED)
    }

    /// The selected line of a list.
    pub fn selected(self) -> Style {
        self.button_active()
    }

    /// The colour of a line in a picture, on the ground of [`Theme::text`].
    pub fn stroke(self, stroke: Stroke) -> Color {
        match (self, stroke) {
            (Self::Plain, _) => Color::Reset,
            (Self::Dark, Stroke::Frame) => NIGHT_FAINT,
            (Self::Dark, Stroke::Band) => BLUISH_GREEN,
            (Self::Dark, Stroke::Target) => YELLOW,
            (Self::Dark, Stroke::Point) => SKY_BLUE,
            (Self::Dark, Stroke::Mean) => ORANGE,
            (Self::Bright, Stroke::Frame) => DAY_FAINT,
            (Self::Bright, Stroke::Band | Stroke::Target) => BLUE,
            (Self::Bright, Stroke::Point) => BLACK,
            (Self::Bright, Stroke::Mean) => VERMILLION,
        }
    }

    /// The colour of a shape of a drawing, on the ground of [`Theme::text`].
    pub fn ink(self, ink: Ink) -> Color {
        match (self, ink) {
            (Self::Plain, _) => Color::Reset,
            (Self::Dark, Ink::Text | Ink::Seen) => WHITE,
            (Self::Dark, Ink::Faint) => NIGHT_FAINT,
            (Self::Dark, Ink::One) => SKY_BLUE,
            (Self::Dark, Ink::Three) => ORANGE,
            (Self::Dark, Ink::Rule) => YELLOW,
            (Self::Bright, Ink::Text | Ink::Seen) => BLACK,
            (Self::Bright, Ink::Faint) => DAY_FAINT,
            (Self::Bright, Ink::One) => BLUE,
            (Self::Bright, Ink::Three) => DAY_ORANGE,
            (Self::Bright, Ink::Rule) => DAY_PURPLE,
            (Self::Dark, Ink::Two) => BLUISH_GREEN,
            (Self::Bright, Ink::Two) => DAY_GREEN,
            (_, Ink::FourPlus | Ink::Out) => VERMILLION,
        }
    }

    /// The style of a line in a picture: its [`stroke`](Self::stroke) on the ground.
    pub fn line(self, stroke: Stroke) -> Style {
        match (self, stroke) {
            (Self::Plain, Stroke::Mean | Stroke::Target) => {
                Style::new().add_modifier(Modifier::BOLD)
            }
            (Self::Plain, _) => Style::new(),
            _ => self.text().fg(self.stroke(stroke)),
        }
    }
}

fn on(letters: Color, ground: Color) -> Style {
    Style::new().fg(letters).bg(ground)
}

fn bold(style: Style) -> Style {
    style.add_modifier(Modifier::BOLD)
}

#[cfg(test)]
mod tests;
