//! The form that writes reports to files.

use std::path::{Path, PathBuf};

use crate::orchard::{Faults, Invalid};
use crate::report::Format;
use crate::report::papers::{Paper, Wanted};
use crate::report::words;
use crate::tui::app::{Effect, Layer, Model, Working};
use crate::tui::features::forms::{FormSpec, NO_WINTER, Reading};
use crate::tui::{Field, Form, Screen};

pub fn spec() -> FormSpec {
    FormSpec::new(form, |model, form, _| read(model, form)).summary(|_, reading| match reading {
        Reading::Work(_, Effect::Papers(wanted, folder)) => summary(wanted, folder),
        _ => String::new(),
    })
}

const EVERY_PAPER: &str = "every paper";
const EVERY_FORMAT: &str = "every format";

/// Asks which paper, in which format, and where to; what the screen shows is proposed.
fn form(model: &Model) -> Result<Form, String> {
    if model.season.is_none() {
        return Err(NO_WINTER.to_owned());
    }
    let papers = Paper::ALL.map(|paper| paper.name().to_owned());
    let formats = Format::ALL.map(|format| format!("{}: {}", format.word(), format.purpose()));
    let first = |all: &[Format], wanted| all.iter().position(|format| *format == wanted);
    let fields = vec![
        Field::choice_of("paper", "Paper", with(papers, EVERY_PAPER))
            .chosen(proposed(model))
            .hint("which report; left and right, or type its first letters"),
        Field::choice_of("format", "Format", with(formats, EVERY_FORMAT))
            .chosen(first(&Format::ALL, Format::Html).unwrap_or(0))
            .hint("web page and pdf to read and print, csv and xlsx for a spreadsheet; left and right"),
        Field::text("folder", "Folder")
            .with(folder(model))
            .hint("made if it is not there; files of the same names are replaced"),
    ];
    Ok(Form::new("Write papers of today to files", fields)
        .with_summary()
        .that("Write"))
}

fn with<const N: usize>(names: [String; N], every: &str) -> Vec<String> {
    let mut names = Vec::from(names);
    names.push(every.to_owned());
    names
}

/// The place of the paper that shows what the screen, or the page over it, shows.
fn proposed(model: &Model) -> usize {
    let over = match model.layers.last() {
        Some(Layer::Page { paper, .. }) => *paper,
        _ => None,
    };
    let of_screen = match model.screen {
        Screen::Today => Some(Paper::Supervisor),
        Screen::Count => Some(Paper::DaySheets),
        Screen::Crew => Some(Paper::Crew),
        Screen::Blocks => Some(Paper::Blocks),
        Screen::Winter => Some(Paper::Winter),
        Screen::Outlook => Some(Paper::Outlooks),
        Screen::SetUp => None,
    };
    // the place behind the last paper is that of all of them
    let place = |paper| Paper::ALL.iter().position(|one| *one == paper);
    (over.or(of_screen).and_then(place)).unwrap_or(Paper::ALL.len())
}

/// What would be written, and where to.
fn summary(wanted: &Wanted, folder: &Path) -> String {
    let files = words::plural(wanted.files() as u32, "file", "files");
    let lies = if folder.is_absolute() || folder.starts_with("~") {
        ""
    } else {
        ", in the folder that the program was started from"
    };
    format!(
        "This writes {files} to {}{lies}. The whole path is told then.",
        folder.display()
    )
}

/// A folder a day, in the folder that the program was started from.
fn folder(model: &Model) -> String {
    format!("papers-{}", model.now.day)
}

/// Reads the form.
fn read(model: &Model, form: &Form) -> Result<Reading, Faults> {
    let folder = form.value("folder").trim();
    if folder.is_empty() {
        return Err(Invalid::new("folder", "name a folder").into());
    }
    let (paper, format) = (form.choice("paper"), form.choice("format"));
    let (one, kind) = (Paper::ALL.get(paper), Format::ALL.get(format));
    let wanted = Wanted {
        papers: one.map_or_else(|| Paper::ALL.to_vec(), |paper| vec![*paper]),
        formats: kind.map_or_else(|| Format::ALL.to_vec(), |format| vec![*format]),
        // the whole winter is a workbook
        everything: one.is_none() && kind.is_none_or(|format| *format == Format::Xlsx),
        day: model.now.day,
    };
    let working = Working {
        of: wanted.files(),
        ..Working::doing("Writing")
    };
    let effect = Effect::Papers(Box::new(wanted), PathBuf::from(folder));
    Ok(Reading::Work(working, effect))
}
