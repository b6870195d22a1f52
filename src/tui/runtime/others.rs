//! What other programs wrote to the file while the screens are open.

use super::Runtime;
use crate::store::StoreError;
use crate::tui::Key;
use crate::tui::app::{Event, Layer};

impl Runtime<'_> {
    /// Reads what other programs wrote; says whether there was anything.
    pub(super) fn read_others(&mut self) -> Result<bool, StoreError> {
        let seen = self.store.changes_by_others()?;
        if seen == self.seen {
            return Ok(false);
        }
        self.reload()?;
        self.seen = seen;
        Ok(true)
    }

    /// Before anything is done in an open form, looks at what other programs wrote just now; says whether that met what was
    /// filled in here, so that it must be seen before the form is saved. A letter that was typed is taken all the same.
    pub(super) fn met_others(&mut self, event: &Event) -> bool {
        let in_form = matches!(self.model.layers.last(), Some(Layer::Form(..)));
        if !in_form || !matches!(event, Event::Key(_) | Event::Act(_)) {
            return false;
        }
        self.model.met = false;
        if let Err(e) = self.read_others() {
            let words = self.told(&e);
            self.model.problem(words);
        }
        self.model.met && !matches!(event, Event::Key(Key::Char(_)))
    }
}
