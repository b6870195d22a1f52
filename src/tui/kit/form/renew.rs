//! A form that stays open while what it changes is changed elsewhere.

use super::{Field, Form};

/// Said where what a form changes is there no more.
pub const REMOVED: &str = "was removed meanwhile: nothing is kept";

impl Form {
    /// Takes in what the same form is filled with when it is opened now: fields that nobody touched here take it, the others
    /// keep what was typed. Says whether a field was touched here and changed elsewhere too, which is told beside it.
    pub fn renew(&mut self, now: Self) -> bool {
        let focus = self.focused().map(|field| field.key);
        let mut met = false;
        let mut old = std::mem::take(&mut self.fields);
        if self.removed.take().is_some() {
            self.problem = None;
        }
        self.title = now.title;
        for mut field in now.fields {
            if let Some(place) = old.iter().position(|known| known.key == field.key) {
                met |= field.take_over(old.swap_remove(place));
            }
            self.fields.push(field);
        }
        if let Some(lost) = old.iter().find(|field| field.is_touched()) {
            let words = "was taken away on another screen: what was typed there is not kept";
            self.problem = Some(format!("{}: {words}", lost.label));
            met = true;
        }
        let place = self
            .fields
            .iter()
            .position(|field| Some(field.key) == focus);
        if let Some(place) = place {
            // what is being typed goes on, wherever its field stands now
            self.focus = place;
        } else {
            self.set_focus(self.focus);
            self.fresh = true;
        }
        met
    }

    /// What it changes was removed: it can be read, but not saved.
    pub fn is_removed(&mut self) {
        self.removed = Some(REMOVED);
        self.problem = Some(REMOVED.to_owned());
    }

    /// Whether what it changes was removed meanwhile.
    pub fn is_gone(&self) -> bool {
        self.removed.is_some()
    }
}

impl Field {
    /// Whether something else stands in it than it was filled with.
    fn is_touched(&self) -> bool {
        self.value() != self.began
    }

    /// Takes over what was filled in before, if anybody touched that; says whether it was changed elsewhere as well.
    fn take_over(&mut self, old: Self) -> bool {
        if !old.is_touched() || old.value() == self.value() {
            if old.began == self.began {
                self.error = old.error;
                self.elsewhere = old.elsewhere;
            }
            return false;
        }
        let same = old.began == self.began;
        if self.is_typed() {
            self.input = old.input;
        } else {
            self.set_value(old.value());
            if self.value() != old.value() {
                let gone = format!("{} is not there any more: choose again", old.value());
                return self.tell_elsewhere(gone);
            }
        }
        if same {
            self.error = old.error;
            self.elsewhere = old.elsewhere;
            return false;
        }
        let now = if self.began.is_empty() {
            "empty"
        } else {
            &self.began
        };
        let words =
            format!("is now {now} on another screen: type it again or keep yours with Save");
        self.tell_elsewhere(words)
    }

    /// It stays beside the field until somebody types there.
    fn tell_elsewhere(&mut self, words: String) -> bool {
        self.error = Some(words.clone());
        self.elsewhere = Some(words);
        true
    }
}
