//! What lies over a screen, layer on layer: a form, a question, the help, a page to read. Keys go to the uppermost.

use super::{Effect, FormKind};
use crate::report::document::Document;
use crate::report::papers::Paper;
use crate::report::text;
use crate::tui::features::pictures::Pictures;
use crate::tui::{Cursor, Form, Mode, text as words};

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
    /// What a small screen has no room for, of the layer or screen below.
    Menu(Cursor),
    /// The help, scrolled down by so many lines.
    Help(Cursor),
    /// Pictures of what the screen shows.
    Pictures(Box<Pictures>),
    /// Lines to read, scrolled down by so many: a day sheet, say.
    Page {
        /// The heading.
        title: String,
        /// What is read.
        text: Reading,
        /// Lines scrolled down.
        scroll: Cursor,
        /// The paper that holds it, proposed where papers are written from here.
        paper: Option<Paper>,
    },
}

impl Layer {
    /// Lines to read, and the paper that holds them.
    pub fn page(title: impl Into<String>, lines: Vec<String>, paper: Option<Paper>) -> Self {
        Self::read(title.into(), Reading::Lines(lines), paper)
    }

    fn read(title: String, text: Reading, paper: Option<Paper>) -> Self {
        Self::Page {
            title,
            text,
            scroll: Cursor::default(),
            paper,
        }
    }

    /// The sheets of a report, as text.
    pub fn sheets(title: impl Into<String>, sheets: Document, paper: Option<Paper>) -> Self {
        Self::read(title.into(), Reading::Sheets(Box::new(sheets)), paper)
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
            Self::Menu(_) => Some(Mode::Menu),
            Self::Help(_) | Self::Page { .. } => Some(Mode::Help),
        }
    }
}

/// What is read on a page; it is set for the columns of the screen.
#[derive(Debug, Clone)]
pub enum Reading {
    /// Sentences.
    Lines(Vec<String>),
    /// The sheets of a report.
    Sheets(Box<Document>),
}

impl Reading {
    /// Its lines on a screen of so many columns.
    pub fn lines(&self, columns: u16) -> Vec<String> {
        let columns = usize::from(columns);
        let fitted = |line: &String| {
            // a line that fits keeps its blanks
            if words::width(line) <= columns {
                vec![line.clone()]
            } else {
                words::wrap(line, columns)
            }
        };
        match self {
            Self::Lines(lines) => lines.iter().flat_map(fitted).collect(),
            Self::Sheets(sheets) => {
                let text = text::render_within(sheets, columns);
                text.lines().map(str::to_owned).collect()
            }
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
