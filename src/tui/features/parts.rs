//! Parts that several screens show.

use ratatui::layout::Rect;
use ratatui::style::{Modifier, Style};

use crate::judge::{Judgement, Metric, Verdict};
use crate::report::{StandingLine, words};
use crate::tui::app::Model;
use crate::tui::keymap::{key_name, stack};
use crate::tui::widgets::{self, Button, Tone};
use crate::tui::{Action, Pen, Theme, is_small, text};

/// Which way a verdict leans.
pub fn tone(verdict: Verdict) -> Tone {
    match verdict {
        Verdict::InBalance => Tone::Good,
        Verdict::Light | Verdict::LeaningLight => Tone::Low,
        Verdict::Heavy | Verdict::LeaningHeavy => Tone::High,
        Verdict::NothingBadlyWrong | Verdict::KeepCounting => Tone::Undecided,
    }
}

/// The verdict on the whole in a word, as it is said of what it rests on.
pub fn verdict_word(overall: Verdict, lead: Option<Metric>) -> &'static str {
    lead.map_or(overall.word(), |lead| words::verdict(lead, overall))
}

/// What a narrow list says of somebody: a hint where there is one, else the verdict in a word.
pub fn list_word(line: &StandingLine) -> String {
    match (line.hint, line.overall) {
        (Some(hint), _) => format!("hint: {}", words::metric_short(hint.metric)),
        (None, Verdict::NothingBadlyWrong) => "nothing bad".to_owned(),
        (None, overall) => verdict_word(overall, line.lead).to_owned(),
    }
}

/// Draws the verdict on the whole; says how many columns it took.
pub fn badge(pen: &mut Pen, area: Rect, judgement: &Judgement) -> u16 {
    let word = verdict_word(judgement.overall, judgement.lead);
    widgets::badge(pen, area, tone(judgement.overall), word)
}

/// The ink of words that tell a verdict beside its mark, on the ordinary ground.
pub fn ink(theme: Theme, tone: Tone) -> Style {
    if tone == Tone::Undecided {
        theme.faint()
    } else {
        theme.text().add_modifier(Modifier::BOLD)
    }
}

/// A name and what follows on it, in one line: where there is not room for both, the name is cut.
pub fn led(name: &str, rest: &str, columns: u16) -> String {
    let room = usize::from(columns).saturating_sub(text::width(rest));
    text::cut(name, room) + rest
}

/// Writes a name and what follows on it on one line; where the name is cut, all of it is told in the menu.
pub fn lead(pen: &mut Pen, line: Rect, (name, rest): (&str, &str), style: Style) {
    if text::width(name) + text::width(rest) > usize::from(line.width) {
        pen.left_out(&format!("{name}{rest}"));
    }
    pen.text(line, &led(name, rest, line.width), style);
}

/// The room of a screen below the tabs and above the foot.
pub fn body(model: &Model) -> Rect {
    let (columns, lines) = model.size;
    let small = is_small(model.size);
    let foot = 1 + u16::from(model.tour.is_some() && !small);
    let tabs = widgets::tab_lines(small);
    Rect::new(0, tabs, columns, lines.saturating_sub(tabs + foot))
}

/// The button to the part before: on a small screen it is in the menu, as the others follow each other in a round.
pub fn turn_back(model: &Model) -> Button<'static> {
    let button = keyed(model, "Part <", Action::PrevSection);
    if is_small(model.size) {
        button.spare()
    } else {
        button
    }
}

/// A button with the key that does the same on the screen.
pub fn keyed<'a>(model: &Model, label: &'a str, action: Action) -> Button<'a> {
    let button = Button::new(label, action);
    let here = stack(model.screen, model.screen_mode());
    match key_name(here, action, &model.look.bud_keys) {
        Some(key) => button.key(key),
        None => button,
    }
}
