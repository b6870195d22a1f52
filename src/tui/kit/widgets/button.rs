//! Buttons: a label, the key that does the same, and a place to touch.

use crate::tui::hit::{MIN_HEIGHT, MIN_WIDTH};
use crate::tui::pen::line_of;
use crate::tui::room::Fold;
use crate::tui::text::{self, Align};
use crate::tui::{Action, Pen};
use ratatui::layout::Rect;
use ratatui::style::Style;

/// How a button stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
enum State {
    /// It can be pressed.
    #[default]
    Idle,
    /// It is on: the screen shown, the choice made.
    Active,
    /// It does nothing now; a touch on it does nothing either.
    Off,
}

/// A button to draw.
#[derive(Debug, Clone)]
pub struct Button<'a> {
    label: &'a str,
    key: Option<String>,
    detail: Option<String>,
    action: Action,
    style: Option<Style>,
    state: State,
    need: Need,
}

/// How much a button is needed; the least needed are folded first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, PartialOrd, Ord)]
pub(super) enum Need {
    /// It has its place where it can.
    #[default]
    Usual,
    /// It is seldom wanted.
    Rare,
    /// It is in the menu alone: a full screen has it elsewhere, or by its key.
    Spare,
}

impl<'a> Button<'a> {
    /// A button of a label and what it asks for.
    pub fn new(label: &'a str, action: Action) -> Self {
        Self {
            label,
            key: None,
            detail: None,
            action,
            style: None,
            state: State::Idle,
            need: Need::Usual,
        }
    }

    /// Seldom wanted: folded before others where there is little room.
    #[must_use]
    pub fn rare(mut self) -> Self {
        self.need = Need::Rare;
        self
    }

    /// For the menu of a small screen alone.
    #[must_use]
    pub fn spare(mut self) -> Self {
        self.need = Need::Spare;
        self
    }

    /// With the name of its key, on its upper edge.
    #[must_use]
    pub fn key(mut self, name: impl Into<String>) -> Self {
        self.key = Some(name.into());
        self
    }

    /// With a second line, such as a count; shown where there is room for it.
    #[must_use]
    pub fn detail(mut self, detail: impl Into<String>) -> Self {
        self.detail = Some(detail.into());
        self
    }

    /// With a style of its own, such as that of an age class.
    #[must_use]
    pub fn style(mut self, style: Style) -> Self {
        self.style = Some(style);
        self
    }

    /// The same where it found no room.
    pub fn fold(&self) -> Fold {
        Fold {
            label: self.label.to_owned(),
            key: self.key.clone(),
            action: self.action,
            off: self.state == State::Off,
        }
    }

    /// On or not.
    #[must_use]
    pub fn active(mut self, active: bool) -> Self {
        if active {
            self.state = State::Active;
        }
        self
    }

    /// Without effect for now, or not.
    #[must_use]
    pub fn off(mut self, off: bool) -> Self {
        if off {
            self.state = State::Off;
        }
        self
    }
}

const THIN: [char; 6] = ['┌', '┐', '└', '┘', '─', '│'];
const HEAVY: [char; 6] = ['╔', '╗', '╚', '╝', '═', '║'];

impl Button<'_> {
    /// Its label.
    pub(super) fn label(&self) -> &str {
        self.label
    }

    /// What it asks for.
    pub(super) fn action(&self) -> Action {
        self.action
    }

    /// How much it is needed.
    pub(super) fn need(&self) -> Need {
        self.need
    }
}

/// Draws a button over an area and records it for touch. It wants at least
/// [`MIN_HEIGHT`] lines by [`MIN_WIDTH`] columns; in less, the label alone is drawn.
pub fn button(pen: &mut Pen, area: Rect, button: &Button) {
    let area = pen.clip(area);
    if area.is_empty() {
        return;
    }
    let style = match (button.state, button.style) {
        (State::Off, _) => pen.theme.faint(),
        (State::Idle, own) => own.unwrap_or(pen.theme.button()),
        (State::Active, own) => own.unwrap_or(pen.theme.button_active()),
    };
    if area.height < MIN_HEIGHT || area.width < 4 {
        pen.fill(area, ' ', style);
        let middle = line_of(area, area.height / 2);
        pen.hushed(|pen| pen.aligned(middle, button.label, Align::Centre, style));
    } else {
        let edge = if button.state == State::Active {
            HEAVY
        } else {
            THIN
        };
        pen.fill(inner(area), ' ', style);
        frame(pen, area, edge, style);
        pen.hushed(|pen| {
            key_name(pen, area, button, style);
            words(pen, area, button, style);
        });
    }
    if button.state != State::Off {
        pen.touch(area, button.action);
    }
}

/// A frame of six characters: four corners, across, down.
fn frame(pen: &mut Pen, area: Rect, edge: [char; 6], style: Style) {
    let (left, right) = (area.x, area.right() - 1);
    let (top, bottom) = (area.y, area.bottom() - 1);
    for y in [top, bottom] {
        pen.fill(Rect::new(left, y, area.width, 1), edge[4], style);
    }
    for x in [left, right] {
        pen.fill(Rect::new(x, top + 1, 1, area.height - 2), edge[5], style);
    }
    let corners = [(left, top), (right, top), (left, bottom), (right, bottom)];
    for ((x, y), mark) in corners.into_iter().zip(edge) {
        pen.mark(x, y, mark, style);
    }
}

/// The area within a frame.
fn inner(area: Rect) -> Rect {
    Rect::new(area.x + 1, area.y + 1, area.width - 2, area.height - 2)
}

/// The key's name with a blank on either side, on the upper edge.
fn key_name(pen: &mut Pen, area: Rect, button: &Button, style: Style) {
    let Some(key) = &button.key else {
        return;
    };
    let edge = Rect::new(area.x + 1, area.y, area.width - 2, 1);
    // a small screen has narrow buttons, and the long name of this key would be cut
    let key = match key.as_str() {
        "Enter" if pen.small && edge.width < 7 => "↵",
        key => key,
    };
    let width = text::width(key);
    if width + 2 > usize::from(edge.width) {
        pen.text(edge, &format!(" {key} "), style);
        return;
    }
    let name = Rect {
        x: edge.x + 1,
        width: width as u16,
        ..edge
    };
    pen.mark(edge.x, edge.y, ' ', style);
    pen.text(name, key, style);
    pen.mark(name.right(), edge.y, ' ', style);
}

/// The label in the middle; with room for two lines the detail below it, with one line only behind it
/// if both fit.
fn words(pen: &mut Pen, area: Rect, button: &Button, style: Style) {
    let inner = inner(area);
    let mut write = |y, words: &str| pen.aligned(line_of(inner, y), words, Align::Centre, style);
    let middle = (inner.height - 1) / 2;
    let Some(detail) = &button.detail else {
        write(middle, button.label);
        return;
    };
    if inner.height >= 2 {
        let top = (inner.height - 2) / 2;
        write(top, button.label);
        write(top + 1, detail.as_str());
        return;
    }
    let both = format!("{} {detail}", button.label);
    let fits = text::width(&both) <= usize::from(inner.width);
    write(middle, if fits { both.as_str() } else { button.label });
}

/// Draws buttons side by side, sharing the width; in as many rows as keep each wide enough to touch,
/// if the height allows.
pub fn button_bar(pen: &mut Pen, area: Rect, buttons: &[Button]) {
    let area = pen.clip(area);
    if area.is_empty() || buttons.is_empty() {
        return;
    }
    let most = usize::from(area.width / MIN_WIDTH).max(1);
    let rows = buttons.len().div_ceil(most);
    let rows = rows.clamp(1, usize::from(area.height / MIN_HEIGHT).max(1));
    let columns = buttons.len().div_ceil(rows);
    for (r, row) in (0..).zip(buttons.chunks(columns)) {
        for (c, one) in (0..).zip(row) {
            let place = cell(area, (r, rows as u16), (c, row.len() as u16));
            button(pen, place, one);
        }
    }
}

/// Cell (row of rows, column of columns) of an area shared evenly without a rest.
pub(super) fn cell(area: Rect, row: (u16, u16), column: (u16, u16)) -> Rect {
    let share = |whole: u16, (i, n): (u16, u16)| {
        let at = |i: u16| (u32::from(whole) * u32::from(i) / u32::from(n.max(1))) as u16;
        (at(i), at(i + 1) - at(i))
    };
    let (x, width) = share(area.width, column);
    let (y, height) = share(area.height, row);
    Rect::new(area.x + x, area.y + y, width, height)
}
