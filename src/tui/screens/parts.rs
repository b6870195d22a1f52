//! Parts that several screens show.

use ratatui::layout::Rect;
use ratatui::style::{Modifier, Style};

use crate::judge::{Judgement, Verdict};
use crate::tui::widgets::{self, Tone};
use crate::tui::{Action, Pen, Theme};

/// Which way a verdict leans.
pub fn tone(verdict: Verdict) -> Tone {
    match verdict {
        Verdict::InBalance => Tone::Good,
        Verdict::Light | Verdict::LeaningLight => Tone::Low,
        Verdict::Heavy | Verdict::LeaningHeavy => Tone::High,
        Verdict::KeepCounting => Tone::Undecided,
    }
}

/// Draws the verdict on the whole; says how many columns it took.
pub fn badge(pen: &mut Pen, area: Rect, judgement: &Judgement) -> u16 {
    widgets::badge(pen, area, tone(judgement.overall), judgement.overall.word())
}

/// The ink of words that tell a verdict beside its mark, on the ordinary ground.
pub fn ink(theme: Theme, tone: Tone) -> Style {
    if tone == Tone::Undecided {
        theme.faint()
    } else {
        theme.text().add_modifier(Modifier::BOLD)
    }
}

/// Where the selection of a list of `lines` goes; other actions leave it where it is.
pub fn moved(at: usize, lines: usize, page: usize, action: Action) -> usize {
    let last = lines.saturating_sub(1);
    match action {
        Action::Up => at.min(last).saturating_sub(1),
        Action::Down => at + 1,
        Action::PageUp => at.min(last).saturating_sub(page),
        Action::PageDown => at + page,
        Action::First => 0,
        Action::Last => last,
        Action::Select(line) => line,
        _ => at,
    }
    .min(last)
}
