//! The forms of several tablets: a bundle out, bundles in, what is to be settled, what was entered twice.

use std::path::PathBuf;

use uuid::Uuid;

use crate::orchard::{Faults, Invalid};
use crate::store::Change;
use crate::store::bundle::{Conflict, Joinable, Kind, Saying, Since, Twin, Twins, Unsettled};
use crate::tui::app::{Effect, FormKind, Model, Working};
use crate::tui::features::forms::{FormSpec, Reading};
use crate::tui::{Field, Form};

pub fn out_spec() -> FormSpec {
    FormSpec::new(
        |model| Ok(out(model)),
        |model, form, _| read_out(model, form),
    )
}

pub fn into_spec() -> FormSpec {
    FormSpec::new(
        |model| Ok(into(model)),
        |model, form, _| read_into(model, form),
    )
}

pub fn settle_spec(record: Unsettled) -> FormSpec {
    FormSpec::new(
        move |model| settle(model, record),
        move |model, form, _| read_settle(model, form, record),
    )
    .summary(|model, reading| match reading {
        Reading::Write(changes) => match &changes[..] {
            [Change::Settle(kind, key, set)] => summary(model, (*kind, key), *set),
            _ => String::new(),
        },
        _ => String::new(),
    })
    .says("it is settled; the next bundle tells the other tablets")
}

pub fn join_spec(kind: Joinable, entry: Uuid) -> FormSpec {
    FormSpec::new(
        move |model| join(model, (kind, entry)),
        move |model, form, _| read_join(model, form, (kind, entry)),
    )
    .says("they are one; the next bundle tells the other tablets")
}

/// A line of the list of settings that has to do with other tablets; places are those in [`crate::tui::app::Tablets`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TabletLine {
    /// Writing a bundle.
    Out,
    /// Taking bundles in.
    In,
    /// Something that was changed on two tablets.
    ToSettle(usize),
    /// Something that was entered on two tablets.
    Twice(usize),
    /// Entries that were made one.
    Joined(usize),
}

impl TabletLine {
    /// Whether somebody has to decide.
    pub fn waits(self) -> bool {
        matches!(self, Self::ToSettle(_) | Self::Twice(_))
    }
}

/// The lines of what other tablets have to do with.
pub fn lines(model: &Model) -> Vec<TabletLine> {
    let of = &model.tablets;
    let mut lines = vec![TabletLine::Out, TabletLine::In];
    lines.extend((0..of.conflicts.len()).map(TabletLine::ToSettle));
    lines.extend((0..of.twins.len()).map(TabletLine::Twice));
    lines.extend((0..of.joined.len()).map(TabletLine::Joined));
    lines
}

/// The form in which somebody decides of a line.
pub fn decides(model: &Model, line: TabletLine) -> Option<FormKind> {
    let of = &model.tablets;
    match line {
        TabletLine::ToSettle(at) => Some(FormKind::SettleTwo(of.conflicts.get(at)?.record())),
        TabletLine::Twice(at) => {
            let twins = of.twins.get(at)?;
            Some(FormKind::Join(twins.kind, twins.all.first()?.id))
        }
        TabletLine::Out | TabletLine::In | TabletLine::Joined(_) => None,
    }
}

/// What stands in a line; nothing where what it stood for is gone.
pub fn cells(model: &Model, line: TabletLine) -> Option<Vec<String>> {
    let of = &model.tablets;
    let (label, value) = match line {
        TabletLine::Out => (
            "Bundle out",
            "one file that carries the orchard to the other tablets".to_owned(),
        ),
        TabletLine::In => (
            "Bundles in",
            match of.found.len() {
                0 => "take in what the other tablets wrote".to_owned(),
                1 => "take in what the other tablets wrote; 1 bundle is at hand".to_owned(),
                n => format!("take in what the other tablets wrote; {n} bundles are at hand"),
            },
        ),
        TabletLine::ToSettle(at) => ("TO SETTLE", of.conflicts.get(at)?.what.clone()),
        TabletLine::Twice(at) => ("ENTERED TWICE", twice(of.twins.get(at)?)),
        TabletLine::Joined(at) => ("Joined", of.joined.get(at)?.words()),
    };
    Some(vec![label.to_owned(), value])
}

fn twice(twins: &Twins) -> String {
    let all: Vec<String> = twins.all.iter().map(named).collect();
    format!(
        "{} {}: {}",
        twins.kind.word(),
        twins.given,
        all.join(", and ")
    )
}

fn named(twin: &Twin) -> String {
    if twin.more.is_empty() {
        twin.goes_by.clone()
    } else {
        format!("{} ({})", twin.goes_by, twin.more)
    }
}

/// The entry of a choice that stands for a typed place.
const TYPED: &str = "another, typed below";

/// A choice among places at hand.
fn places(key: &'static str, label: &str, all: &[PathBuf]) -> Field {
    let names = all.iter().map(|path| path.display().to_string());
    Field::choice_of(key, label, names.chain([TYPED.to_owned()]).collect())
}

/// Asks what a bundle is to carry, and where to.
fn out(model: &Model) -> Form {
    let what = [
        "everything",
        "only what is new since the last bundle written here",
    ];
    let mut fields = vec![
        places("folder", "Folder", &model.tablets.folders)
            .hint("left and right; a stick that is plugged in stands first"),
        Field::text("other", "Other folder")
            .hint("type one that is not in the choice above; it is made if it is not there"),
        Field::choice_of("carry", "Carry", what.map(str::to_owned).to_vec())
            .hint("everything is never wrong: what the others know already changes nothing there"),
    ];
    if model.house.numbers_only {
        fields.push(
            Field::toggle("names", "With names", false)
                .hint("yes only for tablets of the same house: here numbers only are shown"),
        );
    }
    Form::new("Write a bundle for the other tablets", fields).that("Write")
}

/// Reads it.
fn read_out(model: &Model, form: &Form) -> Result<Reading, Faults> {
    let typed = form.value("other").trim();
    let folder = match model.tablets.folders.get(form.choice("folder")) {
        Some(folder) if typed.is_empty() => folder.clone(),
        _ if typed.is_empty() => return Err(Invalid::new("other", "name a folder").into()),
        _ => PathBuf::from(typed),
    };
    let since = match form.choice("carry") {
        0 => Since::Beginning,
        _ => Since::LastBundle,
    };
    let effect = Effect::WriteBundle(since, form.is_on("names"), folder);
    Ok(Reading::Work(Working::doing("Writing a bundle"), effect))
}

/// Asks which bundles.
fn into(model: &Model) -> Form {
    let fields = vec![
        places("bundle", "Bundle", &model.tablets.found)
            .hint("left and right; newest first, of this folder, downloads and what is plugged in"),
        Field::text("other", "Other place")
            .hint("a bundle that is not in the choice above, or a folder: every bundle in it"),
    ];
    let mut form = Form::new("Take in bundles of other tablets", fields).that("Take in");
    if model.tablets.found.is_empty() {
        form.set_focus(1);
    }
    form
}

/// Reads it: what they would bring is looked at first.
fn read_into(model: &Model, form: &Form) -> Result<Reading, Faults> {
    let typed = form.value("other").trim();
    // by what it says: the list may have been read again since
    let chosen = form.value("bundle");
    let mut found = model.tablets.found.iter();
    let place = match found.find(|path| path.display().to_string() == chosen) {
        Some(path) if typed.is_empty() => path.clone(),
        _ if typed.is_empty() => {
            let problem = "name a bundle, or a folder with bundles";
            return Err(Invalid::new("other", problem).into());
        }
        _ => PathBuf::from(typed),
    };
    let effect = Effect::LookInto(place);
    Ok(Reading::Work(Working::doing("Looking into it"), effect))
}

const SETTLED: &str = "this is settled already";

fn unsettled(model: &Model, record: Unsettled) -> Option<&Conflict> {
    let mut conflicts = model.tablets.conflicts.iter();
    conflicts.find(|conflict| conflict.record() == record)
}

/// What was chosen, by what it says: the list that the choice was made of may have been read again since.
fn chosen<'a, T>(
    form: &Form,
    field: &str,
    all: &'a [T],
    says: impl Fn(&T) -> String,
) -> Option<&'a T> {
    let is_it = |one: &&T| says(one) == form.value(field);
    // where several say the same, the one at its place
    let there = all.get(form.choice(field)).filter(is_it);
    there.or_else(|| all.iter().find(is_it))
}

/// Asks what of a conflict is to hold.
fn settle(model: &Model, record: Unsettled) -> Result<Form, String> {
    let conflict = unsettled(model, record).ok_or(SETTLED)?;
    let own = &model.tablets.own;
    let names = conflict.sayings.iter().map(|saying| said(saying, own));
    let field = Field::choice_of("holds", "What holds", names.collect())
        .hint("left and right; here and, by the next bundle, on all tablets");
    Ok(Form::new(conflict.what.clone(), vec![field]).with_summary())
}

fn said(saying: &Saying, own: &str) -> String {
    let whose = if saying.tablet == own {
        " (this one)"
    } else {
        ""
    };
    format!("tablet {}{whose}: {}", saying.tablet, saying.words)
}

/// Reads it.
fn read_settle(model: &Model, form: &Form, record: Unsettled) -> Result<Reading, Faults> {
    let gone = || Invalid::new("holds", SETTLED);
    let conflict = unsettled(model, record).ok_or_else(gone)?;
    let own = &model.tablets.own;
    let saying = chosen(form, "holds", &conflict.sayings, |one| said(one, own));
    let changed = "this was changed elsewhere meanwhile: leave with Esc and open it again";
    let saying = saying.ok_or_else(|| Invalid::new("holds", changed))?;
    let (kind, key) = (conflict.kind, conflict.key.clone());
    Ok(Reading::Write(vec![Change::Settle(kind, key, saying.set)]))
}

/// The choice in full: on the line of the form it may be cut.
fn summary(model: &Model, (kind, key): (Kind, &str), set: Uuid) -> String {
    let is_it = |conflict: &&Conflict| conflict.kind == kind && conflict.key == key;
    let conflict = model.tablets.conflicts.iter().find(is_it);
    let saying = conflict.and_then(|one| one.sayings.iter().find(|saying| saying.set == set));
    saying.map_or_else(String::new, |saying| {
        let now = if saying.shown {
            " It stands so now."
        } else {
            ""
        };
        format!("{}.{now}", said(saying, &model.tablets.own))
    })
}

const APART: &str = "these are told apart by now";

fn twins(model: &Model, (kind, entry): (Joinable, Uuid)) -> Option<&Twins> {
    let mut all = model.tablets.twins.iter();
    all.find(|twins| twins.kind == kind && twins.all.iter().any(|twin| twin.id == entry))
}

/// Asks which of the entries goes, and which stands for both.
fn join(model: &Model, entry: (Joinable, Uuid)) -> Result<Form, String> {
    let twins = twins(model, entry).ok_or(APART)?;
    let names: Vec<String> = twins.all.iter().map(named).collect();
    let title = format!("One {}, entered twice", twins.kind.word());
    let fields = vec![
        Field::choice_of("kept", "Stays", names.clone()).hint("stands for both from now on"),
        Field::choice_of("gone", "Goes", names)
            .chosen(1)
            .hint("all that names it names the other; x on the list parts them again"),
    ];
    Ok(Form::new(title, fields))
}

/// Reads it.
fn read_join(model: &Model, form: &Form, entry: (Joinable, Uuid)) -> Result<Reading, Faults> {
    let twins = twins(model, entry).ok_or_else(|| Invalid::new("kept", APART))?;
    let chosen = |field| {
        let twin = chosen(form, field, &twins.all, named);
        twin.ok_or_else(|| Invalid::new(field, "is not there any more"))
    };
    let (kept, gone) = (chosen("kept")?, chosen("gone")?);
    if kept.id == gone.id {
        return Err(Invalid::new("gone", "choose two different ones").into());
    }
    Ok(Reading::Write(vec![Change::Join(
        twins.kind, gone.id, kept.id,
    )]))
}
