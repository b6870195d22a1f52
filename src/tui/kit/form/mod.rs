//! A form of fields: typed, pasted or touched, and checked by whoever saves it.
//!
//! The form knows nothing of what its fields mean. The caller reads the values on
//! [`FormEvent::Save`], tries to make its type, and gives the problem back by
//! [`Form::set_error`] under the field's name.

mod field;
mod keys;
mod pad;
mod renew;
mod typed;
mod view;

use crate::orchard::Invalid;

pub use field::{Field, Kind, MAX_TYPED};
pub use view::{BAR, view};

/// What a key or touch did to a form.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FormEvent {
    /// Nothing that the caller need know.
    None,
    /// A value changed.
    Changed,
    /// The person wants it saved.
    Save,
    /// The person wants it saved, and to fill it in for another.
    SaveNext,
    /// The person wants to leave it.
    Cancel,
}

/// What follows once a form is saved.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Then {
    /// It is closed.
    Close,
    /// It is opened for the next one.
    OpenNext,
}

/// A form that is open.
#[derive(Debug, Clone)]
pub struct Form {
    /// The heading.
    pub title: String,
    /// The fields from top to bottom.
    pub fields: Vec<Field>,
    /// What is wrong with the form as a whole.
    pub problem: Option<String>,
    /// What follows from the values, shown below the fields; `None` in forms that have no such line.
    pub summary: Option<String>,
    /// The word of the button that does it.
    pub save: &'static str,
    /// Another one may follow at once: the word of its button.
    pub next: Option<&'static str>,
    /// It is being saved and stays open until that is done; and what follows then.
    pub saving: Option<Then>,
    focus: usize,
    search: String,
    /// The field was just come to: the first typed letter replaces what stands there, but for a note, which goes on.
    fresh: bool,
    /// Something was changed since the form was opened.
    changed: bool,
    /// The person asked to leave a changed form, and was told that it is not saved.
    leaving: bool,
    /// Why nothing of it can be saved any more.
    removed: Option<&'static str>,
}

/// Said before a changed form is left.
pub const UNSAVED: &str = "not saved yet: once more throws away what was changed here";

impl Form {
    /// A form with the first field in focus.
    pub fn new(title: impl Into<String>, mut fields: Vec<Field>) -> Self {
        for field in &mut fields {
            field.began = String::from(field.value());
        }
        Self {
            title: title.into(),
            fields,
            problem: None,
            summary: None,
            save: "Save",
            next: None,
            saving: None,
            focus: 0,
            search: String::new(),
            fresh: true,
            changed: false,
            leaving: false,
            removed: None,
        }
    }

    /// Whether the form may be left now: it is as it was opened, or the person asks for the second time in a row.
    pub fn may_leave(&mut self) -> bool {
        if !self.changed || self.leaving {
            return true;
        }
        self.leaving = true;
        self.problem = Some(UNSAVED.to_owned());
        false
    }

    /// Anything but asking to leave again means to stay.
    fn stays(&mut self) {
        if std::mem::take(&mut self.leaving) {
            self.problem = None;
        }
    }

    /// With room below the fields for what follows from them.
    #[must_use]
    pub fn with_summary(mut self) -> Self {
        self.summary = Some(String::new());
        self
    }

    /// With a button that says what it does, where that is not to save.
    #[must_use]
    pub fn that(mut self, does: &'static str) -> Self {
        self.save = does;
        self
    }

    /// The place of the field in focus.
    pub fn focus(&self) -> usize {
        self.focus.min(self.fields.len().saturating_sub(1))
    }

    /// The field in focus.
    pub fn focused(&self) -> Option<&Field> {
        self.fields.get(self.focus())
    }

    /// Moves the focus; past the last field is the last.
    pub fn set_focus(&mut self, place: usize) {
        let place = place.min(self.fields.len().saturating_sub(1));
        if place != self.focus {
            self.search.clear();
            self.fresh = true;
        }
        self.focus = place;
    }

    /// Whether the next letter replaces what stands in the field in focus.
    pub fn replaces(&self) -> bool {
        self.fresh
            && self.focused().is_some_and(|field| {
                field.is_typed() && field.kind != Kind::Note && !field.value().is_empty()
            })
    }

    fn find(&self, key: &str) -> Option<&Field> {
        self.fields.iter().find(|f| f.key == key)
    }

    /// What stands in a field: the typed text, the chosen entry, or `yes` and `no`. Empty for a
    /// field that the form does not have.
    pub fn value(&self, key: &str) -> &str {
        self.find(key).map_or("", Field::value)
    }

    /// The place of the chosen entry, from 0; 0 for a field that is no choice.
    pub fn choice(&self, key: &str) -> usize {
        self.find(key).map_or(0, Field::choice)
    }

    /// Whether a yes-or-no field says yes.
    pub fn is_on(&self, key: &str) -> bool {
        self.find(key).is_some_and(Field::is_on)
    }

    /// Shows a problem beside its field and moves there. Where the form has no such field, the problem
    /// is shown for the form as a whole, with the field's name.
    pub fn set_error(&mut self, key: &str, problem: &str) {
        match self.fields.iter().position(|f| f.key == key) {
            Some(place) => {
                self.fields[place].error = Some(problem.to_owned());
                self.set_focus(place);
            }
            None => self.problem = Some(format!("{key}: {problem}")),
        }
    }

    /// Shows each fault at its field, and goes to the first field that has one.
    pub fn set_faults(&mut self, faults: &[Invalid]) {
        for fault in faults {
            self.set_error(fault.field, &fault.problem);
        }
        if let Some(place) = self.fields.iter().position(|field| field.error.is_some()) {
            self.set_focus(place);
        }
    }

    /// Takes all problems away, as before another try to save, but for what was done elsewhere.
    pub fn clear_errors(&mut self) {
        self.problem = self.removed.map(str::to_owned);
        for field in &mut self.fields {
            field.error.clone_from(&field.elsewhere);
        }
    }
}

#[cfg(test)]
mod tests;
