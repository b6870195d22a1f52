//! How a typed text is drawn: its cursor, what the next letter replaces, and what is said of that.

use super::{Form, Kind};
use crate::tui::text::Align;
use crate::tui::{Pen, text};
use ratatui::layout::Rect;
use ratatui::style::{Modifier, Style};
use unicode_segmentation::UnicodeSegmentation;

/// Said beside what the next letter replaces, as long as there is room, and where it goes on.
const REPLACES: [&str; 2] = ["typing replaces it; → or a touch keeps it", "→ keeps it"];
const GOES_ON: [&str; 2] = ["typing goes on at its end", "goes on"];

/// A typed text, moved so that its cursor is in view. What the next letter replaces is marked as the cursor is.
pub(super) fn draw(form: &Form, place: usize, pen: &mut Pen, area: Rect, style: Style) {
    if area.is_empty() {
        return;
    }
    let input = form.fields[place].input();
    if place != form.focus() {
        pen.text(area, input.value(), style);
        return;
    }
    let safe = text::safe(input.value());
    let before: String = safe.chars().take(input.cursor()).collect();
    let room = usize::from(area.width);
    // Leave out whole letters from the left until the cursor's own cell fits.
    let mut skipped = 0;
    let mut at = text::width(&before);
    for letter in before.graphemes(true) {
        if at < room {
            break;
        }
        at -= text::width(letter);
        skipped += letter.len();
    }
    let shown = safe.get(skipped..).unwrap_or_default();
    pen.text(area, shown, style);
    let at = at.min(room - 1) as u16;
    let cursor = if form.replaces() {
        Rect {
            width: at + 1,
            ..area
        }
    } else {
        Rect::new(area.x + at, area.y, 1, 1)
    };
    let under = Modifier::REVERSED;
    let theme_cursor = if style.add_modifier.contains(under) {
        Style::new()
            .remove_modifier(under)
            .add_modifier(Modifier::UNDERLINED)
    } else {
        Style::new().add_modifier(under)
    };
    pen.style(cursor, theme_cursor);
    tell_typing(form, pen, area, style);
}

/// Says in a field that is filled what comes of typing there.
fn tell_typing(form: &Form, pen: &mut Pen, area: Rect, style: Style) {
    let value = form.focused().map_or(0, |field| text::width(field.value()));
    let words = match form.focused() {
        _ if form.replaces() => REPLACES,
        Some(field) if field.kind == Kind::Note && form.fresh && value > 0 => GOES_ON,
        _ => return,
    };
    let free = usize::from(area.width).saturating_sub(value + 3);
    if let Some(words) = words.iter().find(|words| text::width(words) <= free) {
        pen.aligned(area, words, Align::Right, style);
    }
}
