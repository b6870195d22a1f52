//! What one form is, and what it asks for once it is filled.

use crate::orchard::{CountHead, CountId, DrawId, Faults};
use crate::store::{Change, Thing};
use crate::tui::Form;
use crate::tui::app::{Effect, Model, Moment, Question, Working};

/// What a filled form asks for.
#[derive(Debug)]
pub enum Reading {
    /// Write this.
    Write(Vec<Change>),
    /// Do this, which is more than a change of the file.
    Do(Effect),
    /// Count this tree, drawn or not.
    Tree(Box<CountHead>, Option<(DrawId, usize)>),
    /// Count the trees of these counts again, by this counter.
    Again(Vec<CountId>, String),
    /// Ask this first.
    Ask(Question),
    /// Begin a work that takes its time.
    Work(Working, Effect),
    /// Record this with the count on the Count screen.
    Details(Box<CountHead>),
}

impl Reading {
    pub(crate) fn save(thing: Thing) -> Self {
        Self::Write(vec![Change::save(thing)])
    }

    /// What would be saved, where that is one thing or begins with it.
    pub(crate) fn thing(&self) -> Option<&Thing> {
        match self {
            Self::Write(changes) => match changes.first() {
                Some(Change::Save(thing)) => Some(thing),
                _ => None,
            },
            _ => None,
        }
    }
}

type Open = dyn Fn(&Model) -> Result<Form, String>;
type Read = dyn Fn(&Model, &Form, Moment) -> Result<Reading, Faults>;
type Words = dyn Fn(&Model, &Form) -> String;
type After = dyn Fn(&mut Model);

/// All of one form: how it is filled when it is opened, how it is read, what follows from it, and what is said and done
/// once it is kept.
pub struct FormSpec {
    pub(super) open: Box<Open>,
    pub(super) read: Box<Read>,
    pub(super) summary: fn(&Model, &Reading) -> String,
    pub(super) says: Option<Box<Words>>,
    pub(super) then: Option<Box<After>>,
    pub(super) new_entry: bool,
    pub(super) repeated: bool,
    pub(super) guided: bool,
}

impl std::fmt::Debug for FormSpec {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.debug_struct("FormSpec").finish_non_exhaustive()
    }
}

impl FormSpec {
    /// A form. `open` fills its fields, or says why it cannot be filled in yet; `read` makes the checked thing, or says
    /// which field is wrong: it runs at each change, so it is quick and writes nothing.
    pub fn new(
        open: impl Fn(&Model) -> Result<Form, String> + 'static,
        read: impl Fn(&Model, &Form, Moment) -> Result<Reading, Faults> + 'static,
    ) -> Self {
        Self {
            open: Box::new(open),
            read: Box::new(read),
            summary: |_, _| String::new(),
            says: None,
            then: None,
            new_entry: false,
            repeated: false,
            guided: false,
        }
    }

    /// What follows from what was filled in, shown below the fields.
    #[must_use]
    pub fn summary(mut self, summary: fn(&Model, &Reading) -> String) -> Self {
        self.summary = summary;
        self
    }

    /// What is said once it is kept. Nothing is where this is not called: what is done tells itself.
    #[must_use]
    pub fn says(self, words: &'static str) -> Self {
        self.says_by(move |_, _| words.to_owned())
    }

    /// The same, by what was filled in.
    #[must_use]
    pub fn says_by(mut self, words: impl Fn(&Model, &Form) -> String + 'static) -> Self {
        self.says = Some(Box::new(words));
        self
    }

    /// What is done once it is kept.
    #[must_use]
    pub fn then(mut self, then: impl Fn(&mut Model) + 'static) -> Self {
        self.then = Some(Box::new(then));
        self
    }

    /// It makes an entry, which is selected where it stands in a list.
    #[must_use]
    pub fn new_entry(mut self) -> Self {
        self.new_entry = true;
        self
    }

    /// It is filled in several times in a row: a button opens it for the next one.
    #[must_use]
    pub fn repeated(mut self) -> Self {
        self.repeated = true;
        self
    }

    /// On the first days, what comes next is said with it.
    #[must_use]
    pub fn guided(mut self) -> Self {
        self.guided = true;
        self
    }
}
