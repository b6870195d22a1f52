//! The form for all pieces of one leader, third by third: how much wood the tree has.

use crate::orchard::{Faults, InFull, Invalid, Part};
use crate::report::words;
use crate::store::Change;
use crate::tui::app::Model;
use crate::tui::features::forms::{FormSpec, Reading, whole_within};
use crate::tui::{Field, Form};

pub fn spec() -> FormSpec {
    FormSpec::new(in_full, |model, form, _| read_in_full(model, form))
}

const THIRDS: [(&str, &str); 3] = [
    ("base", "Base third"),
    ("middle", "Middle third"),
    ("top", "Top third"),
];

fn in_full(model: &Model) -> Result<Form, String> {
    let head = model.count.place().ok_or("no tree is chosen")?;
    let runs = head.part.runs();
    let runs = runs.ok_or("no leaders are drawn for this tree")?;
    let first = runs.iter().next().ok_or("no leaders are drawn")?;
    let known = match runs.in_full {
        InFull::Counted(thirds) => thirds.map(|pieces| pieces.to_string()),
        InFull::No | InFull::Asked => [const { String::new() }; 3],
    };
    let field = |((key, label), known): ((&'static str, &str), String)| {
        Field::whole(key, label)
            .with(known)
            .hint("all pieces there, of whatever age; all three empty: not counted")
    };
    let fields = THIRDS.into_iter().zip(known).map(field).collect();
    let title = format!(
        "All pieces of {}, without their ages: how much wood a tree has",
        words::leader(&runs, first)
    );
    Ok(Form::new(title, fields).that("Close"))
}

fn read_in_full(model: &Model, form: &Form) -> Result<Reading, Faults> {
    let gone = || Invalid::new("base", "the tree is gone");
    let mut head = model.count.place().ok_or_else(gone)?.clone();
    let count = model.count.begun().ok_or_else(gone)?;
    let mut runs = head.part.runs().ok_or_else(gone)?;
    let empty = THIRDS
        .iter()
        .all(|(key, _)| form.value(key).trim().is_empty());
    let mut faults = Faults::default();
    runs.in_full = if empty {
        InFull::No
    } else {
        let thirds = THIRDS.map(|(key, _)| faults.take(whole_within(form, key, (0, 999))));
        InFull::Counted(thirds)
    };
    faults.or(())?;
    head.part = Part::Runs(runs);
    Ok(Reading::Write(vec![
        Change::Head(count, Box::new(head)),
        Change::Close(count, true),
    ]))
}
