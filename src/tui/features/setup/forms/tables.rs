//! The forms of tables for a spreadsheet: out into a folder, and in, after a look at what would come of it.

use std::path::PathBuf;

use crate::exchange::Table;
use crate::orchard::{Faults, Invalid};
use crate::tui::app::{Effect, Model, Working};
use crate::tui::features::forms::{FormSpec, Reading};
use crate::tui::{Field, Form};

pub fn out_spec() -> FormSpec {
    FormSpec::new(|model| Ok(out(model)), |_, form, _| read_out(form))
}

pub fn into_spec() -> FormSpec {
    FormSpec::new(|_| Ok(into()), |_, form, _| read_into(form))
}

/// Which table; the place behind the last is that of all of them.
fn which(all: &str) -> Field {
    let mut names: Vec<String> = Table::ALL.map(|table| table.word().to_owned()).to_vec();
    names.push(all.to_owned());
    Field::choice_of("table", "Table", names).chosen(Table::ALL.len())
}

fn chosen(form: &Form) -> Option<Table> {
    Table::ALL.get(form.choice("table")).copied()
}

/// Asks which tables, and where to.
fn out(model: &Model) -> Form {
    let fields = vec![
        which("all tables").hint("left and right, or type its first letters"),
        Field::text("folder", "Folder")
            .with(format!("tables-{}", model.now.day))
            .hint("made if it is not there; files of the same names are replaced"),
    ];
    Form::new("Write tables for a spreadsheet (CSV)", fields).that("Write")
}

fn read_out(form: &Form) -> Result<Reading, Faults> {
    let folder = place(form, "folder", "name a folder")?;
    let effect = Effect::WriteTables(chosen(form), folder);
    Ok(Reading::Work(Working::doing("Writing"), effect))
}

/// Asks which table, and from where.
fn into() -> Form {
    let fields = vec![
        which("all tables of a folder").hint("left and right, or type its first letters"),
        Field::text("file", "File")
            .hint("of one table its CSV file, of all the folder: what would come of it is told before it is kept"),
    ];
    let mut form = Form::new("Read tables of a spreadsheet (CSV)", fields).that("Look");
    form.set_focus(1);
    form
}

fn read_into(form: &Form) -> Result<Reading, Faults> {
    let file = place(form, "file", "name the file, or the folder of all tables")?;
    let effect = Effect::LookAtTables(chosen(form), file);
    Ok(Reading::Work(Working::doing("Looking at it"), effect))
}

fn place(form: &Form, key: &'static str, empty: &str) -> Result<PathBuf, Invalid> {
    let typed = form.value(key).trim();
    if typed.is_empty() {
        return Err(Invalid::new(key, empty));
    }
    Ok(PathBuf::from(typed))
}
