//! What lies over a screen, layer on layer: a form, a question, the help, a page to read. Keys go to the uppermost.

use super::{Effect, FormKind};
use crate::report::document::Document;
use crate::report::papers::Paper;
use crate::report::text;
use crate::tui::features::pictures::Pictures;
use crate::tui::{Cursor, Form, Mode};

/// What lies over the screen, or over another layer.
#[derive(Debug, Clone)]
pub enum Layer {
    /// The file is being read: what is missing on the screen is not known to be missing.
    Reading,
    /// A form and what it is for.
    Form(Box<Form>, FormKind),
    /// A question.
    Question(Question),
    /// Work that takes its time.
    Working(Working),
    /// The help, scrolled down by so many lines.
    Help(Cursor),
    /// Pictures of what the screen shows.
    Pictures(Box<Pictures>),
    /// Lines to read, scrolled down by so many: a day sheet, say.
    Page {
        /// The heading.
        title: String,
        /// The lines.
        lines: Vec<String>,
        /// Lines scrolled down.
        scroll: Cursor,
        /// The paper that holds it, proposed where papers are written from here.
        paper: Option<Paper>,
    },
}

impl Layer {
    /// Lines to read, and the paper that holds them.
    pub fn page(title: impl Into<String>, lines: Vec<String>, paper: Option<Paper>) -> Self {
        Self::Page {
            title: title.into(),
            lines,
            scroll: Cursor::default(),
            paper,
        }
    }

    /// The sheets of a report, as text.
    pub fn sheets(title: impl Into<String>, sheets: &Document, paper: Option<Paper>) -> Self {
        let text = text::render(sheets);
        Self::page(title, text.lines().map(str::to_owned).collect(), paper)
    }

    /// The help from its top.
    pub fn help() -> Self {
        Self::Help(Cursor::default())
    }

    /// Which keys hold here; none of its own where the screen is seen as it is.
    pub fn mode(&self) -> Option<Mode> {
        match self {
            Self::Reading => None,
            Self::Form(..) => Some(Mode::Form),
            Self::Question(_) | Self::Working(_) => Some(Mode::Confirm),
            Self::Pictures(_) => Some(Mode::Pictures),
            Self::Help(_) | Self::Page { .. } => Some(Mode::Help),
        }
    }
}

/// How far a long work has come.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Working {
    /// What is being done, such as `Writing`.
    pub doing: &'static str,
    /// What was done last.
    pub last: String,
    /// Steps done.
    pub done: usize,
    /// Steps in all.
    pub of: usize,
}

impl Working {
    /// A work that is begun.
    pub fn doing(what: &'static str) -> Self {
        Self {
            doing: what,
            ..Self::default()
        }
    }
}

/// A question with yes and no.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// The question.
    pub words: String,
    /// What is done on yes.
    pub yes: Vec<Effect>,
}
