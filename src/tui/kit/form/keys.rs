//! What keys, pasted text and touches do to a form.

use super::{Form, FormEvent, Kind};
use crate::tui::keymap::{BudKeys, resolve};
use crate::tui::{Action, Context, Key};
use tui_input::InputRequest;

impl Form {
    /// One key. Keys of the form's table act; others are typed.
    pub fn key(&mut self, key: Key) -> FormEvent {
        // A space or letter is typed even where the table might come to know it.
        if !matches!(key, Key::Char(_))
            && let Some(action) = resolve(&[Context::Form], key, &BudKeys::QWERTY)
        {
            return self.act(action);
        }
        self.stays();
        match key {
            Key::Char(c) => self.typed(c),
            Key::Backspace => self.erase(),
            Key::Delete => self.edit(InputRequest::DeleteNextChar),
            Key::Ctrl('u') => self.edit(InputRequest::DeleteLine),
            _ => FormEvent::None,
        }
    }

    /// A touch, or an action of the form's table.
    pub fn act(&mut self, action: Action) -> FormEvent {
        if action == Action::Cancel {
            let leave = self.may_leave();
            return if leave {
                FormEvent::Cancel
            } else {
                FormEvent::None
            };
        }
        self.stays();
        match action {
            Action::Save => return FormEvent::Save,
            Action::SaveNext if self.next.is_some() => return FormEvent::SaveNext,
            Action::Type(c) => return self.typed(c),
            Action::Erase => return self.erase(),
            Action::Pick(place) => return self.pick(place),
            Action::Step(by) => return self.step(by),
            Action::NextField if self.focus() + 1 >= self.fields.len() => return FormEvent::Save,
            Action::NextField | Action::Down => self.set_focus(self.focus() + 1),
            Action::Up => self.set_focus(self.focus().saturating_sub(1)),
            Action::Field(place) => return self.touched(place),
            Action::Choose(step) => return self.turn(step),
            Action::First => return self.end(InputRequest::GoToStart, 0),
            Action::Last => return self.end(InputRequest::GoToEnd, usize::MAX),
            _ => {}
        }
        FormEvent::None
    }

    /// Pasted text: line ends and tabs become blanks, what else steers a terminal is left out. What finds no room is not
    /// taken in part: the field says so.
    pub fn paste(&mut self, text: &str) -> FormEvent {
        self.stays();
        let mut event = FormEvent::None;
        if !self.focused().is_some_and(super::Field::is_typed) {
            return event;
        }
        let text = text.trim_end_matches(['\r', '\n']).replace("\r\n", "\n");
        let place = self.focus();
        let replaces = self.replaces();
        let kept = |value: &str| if replaces { 0 } else { value.chars().count() };
        if let Some(field) = self.fields.get_mut(place)
            && kept(field.value()) + text.chars().count() > super::MAX_TYPED
        {
            field.error = Some(format!(
                "not pasted: it would be more than {} letters",
                super::MAX_TYPED
            ));
            return event;
        }
        for c in text.chars() {
            let c = if matches!(c, '\r' | '\n' | '\t') {
                ' '
            } else {
                c
            };
            if self.typed(c) == FormEvent::Changed {
                event = FormEvent::Changed;
            }
        }
        event
    }

    /// A touch moves to a field; a second one on a choice takes the next entry, on what is typed it keeps what stands there.
    fn touched(&mut self, place: usize) -> FormEvent {
        if place == self.focus() {
            return match self.focused() {
                Some(field) if !field.is_typed() => self.turn(1),
                _ => {
                    self.fresh = false;
                    FormEvent::None
                }
            };
        }
        self.set_focus(place);
        FormEvent::None
    }

    fn changed(&mut self, changed: bool) -> FormEvent {
        if !changed {
            return FormEvent::None;
        }
        let place = self.focus();
        if let Some(field) = self.fields.get_mut(place) {
            field.error = None;
            field.elsewhere = None;
        }
        self.changed = true;
        FormEvent::Changed
    }

    fn edit(&mut self, request: InputRequest) -> FormEvent {
        self.fresh = false;
        let place = self.focus();
        let field = self.fields.get_mut(place);
        let changed = field.is_some_and(|f| f.edit(request));
        self.changed(changed)
    }

    fn typed(&mut self, c: char) -> FormEvent {
        let place = self.focus();
        let Some(field) = self.fields.get_mut(place) else {
            return FormEvent::None;
        };
        if field.is_typed() {
            if !field.takes(c) {
                return FormEvent::None;
            }
            if std::mem::take(&mut self.fresh) && field.kind != Kind::Note {
                field.set_value("");
            }
            let changed = field.type_char(c);
            return self.changed(changed);
        }
        if c == ' ' && self.search.is_empty() {
            return self.turn(1);
        }
        self.search_for(c)
    }

    /// Typing at a choice looks for an entry; what finds none begins anew.
    fn search_for(&mut self, c: char) -> FormEvent {
        let place = self.focus();
        let Some(field) = self.fields.get_mut(place) else {
            return FormEvent::None;
        };
        let before = field.choice();
        self.search.push(c);
        if !field.jump(&self.search) {
            self.search = c.to_string();
            if !field.jump(&self.search) {
                self.search.clear();
            }
        }
        let changed = field.choice() != before;
        self.changed(changed)
    }

    fn erase(&mut self) -> FormEvent {
        if self.search.is_empty() {
            self.edit(InputRequest::DeletePrevChar)
        } else {
            self.shorten_search()
        }
    }

    /// A touched entry of the choice in focus.
    fn pick(&mut self, entry: usize) -> FormEvent {
        self.search.clear();
        let place = self.focus();
        let Some(field) = self.fields.get_mut(place) else {
            return FormEvent::None;
        };
        let before = field.choice();
        if !field.is_typed() {
            field.set_choice(entry);
        }
        let changed = field.choice() != before;
        self.changed(changed)
    }

    /// A number or a day one more or less.
    fn step(&mut self, by: i8) -> FormEvent {
        let place = self.focus();
        let changed = self
            .fields
            .get_mut(place)
            .is_some_and(|field| field.step(by));
        self.changed(changed)
    }

    fn shorten_search(&mut self) -> FormEvent {
        self.search.pop();
        FormEvent::None
    }

    /// The next choice; in a typed field, the cursor moves instead.
    fn turn(&mut self, step: i8) -> FormEvent {
        self.fresh = false;
        self.search.clear();
        let place = self.focus();
        let Some(field) = self.fields.get_mut(place) else {
            return FormEvent::None;
        };
        if field.is_typed() {
            field.edit(if step < 0 {
                InputRequest::GoToPrevChar
            } else {
                InputRequest::GoToNextChar
            });
            return FormEvent::None;
        }
        let changed = field.turn(step);
        self.changed(changed)
    }

    fn end(&mut self, request: InputRequest, entry: usize) -> FormEvent {
        self.fresh = false;
        self.search.clear();
        let place = self.focus();
        let Some(field) = self.fields.get_mut(place) else {
            return FormEvent::None;
        };
        if field.is_typed() {
            field.edit(request);
            return FormEvent::None;
        }
        let before = field.choice();
        field.set_choice(entry);
        let changed = field.choice() != before;
        self.changed(changed)
    }
}
