//! Parts that several screens show.

use ratatui::layout::Rect;

use crate::judge::{Judgement, Verdict};
use crate::tui::Pen;
use crate::tui::widgets::{self, Tone};

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
