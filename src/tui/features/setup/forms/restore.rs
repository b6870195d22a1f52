//! The form that puts a backup back.

use crate::orchard::{Faults, Invalid};
use crate::report::words;
use crate::store::backup::{Contents, Shelved, change};
use crate::tui::app::{Effect, Model, Question};
use crate::tui::features::forms::{FormSpec, NOT_THERE, Reading};
use crate::tui::{Field, Form};

pub fn spec() -> FormSpec {
    FormSpec::new(form, |model, form, _| read(model, form)).summary(
        |model, reading| match reading {
            Reading::Ask(question) => match question.yes[..] {
                [Effect::Restore(number)] => summary(model, number),
                _ => String::new(),
            },
            _ => String::new(),
        },
    )
}

/// Those that can be put back, newest first.
fn sound(model: &Model) -> impl Iterator<Item = &Shelved> {
    let all = model.backups.iter().rev();
    all.filter(|one| !one.backup.damaged && one.contents.is_some())
}

/// How many backups there are, in the list of settings.
pub fn value(model: &Model) -> String {
    let all = sound(model).count();
    match sound(model).next() {
        Some(newest) => {
            let (number, when) = (newest.backup.number, newest.backup.when());
            format!("{all}; the newest is number {number}, of {when}")
        }
        None => String::from("none yet"),
    }
}

/// A backup in the choice, by its number.
fn entry(one: &Shelved) -> String {
    let counts = one.contents.as_ref().map_or(0, Contents::counts);
    let (number, when) = (one.backup.number, one.backup.when());
    let before = if one.backup.replaced {
        ", before a restore"
    } else {
        ""
    };
    let counts = words::plural(counts as u32, "count", "counts");
    format!("{number}: {when}, {counts}{before}")
}

/// Asks which backup.
fn form(model: &Model) -> Result<Form, String> {
    let names: Vec<String> = sound(model).map(entry).collect();
    if names.is_empty() {
        return Err(
            "there is no backup yet: one is made at each start, and each new day".to_owned(),
        );
    }
    let field = Field::choice_of("backup", "Backup", names)
        .hint("left and right; save asks first, then the whole file is what it was then");
    Ok(Form::new("Put a backup back", vec![field])
        .with_summary()
        .that("Put back"))
}

/// Reads the form.
fn read(model: &Model, form: &Form) -> Result<Reading, Faults> {
    let chosen = form.value("backup");
    let chosen = sound(model).find(|one| entry(one) == chosen);
    let chosen = chosen.ok_or_else(|| Invalid::new("backup", NOT_THERE))?;
    let (number, when) = (chosen.backup.number, chosen.backup.when());
    let words = format!(
        "Put backup {number}, of {when}, in the place of the file? {} The file as it is now becomes a backup \
         first: put that one back to undo this.",
        differs(model, chosen.contents.as_ref())
    );
    Ok(Reading::Ask(Question {
        words,
        yes: vec![Effect::Restore(number)],
    }))
}

/// What there would be more or less of than now.
fn differs(model: &Model, then: Option<&Contents>) -> String {
    let Some((now, then)) = model.holds.as_ref().zip(then) else {
        return String::new();
    };
    let told = change(now, then);
    if told.is_empty() {
        return "It holds as many counts and all else as now; what was changed since is as it was then.".to_owned();
    }
    format!("The file then has {} than now.", words::list(&told))
}

/// What it would put back.
fn summary(model: &Model, number: u32) -> String {
    let chosen = model.backups.iter().find(|one| one.backup.number == number);
    let held = chosen.and_then(|one| one.contents.as_ref());
    let words = held.map_or_else(String::new, Contents::words);
    let differs = differs(model, held);
    format!("It holds {words}. {differs}").trim_end().to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::Store;
    use crate::store::backup::{Keep, Stop, make, shelf};
    use crate::tui::app::FormKind;
    use crate::tui::trial::{fill_store, orchard};

    #[test]
    fn the_newest_is_proposed_and_what_it_holds_is_told() {
        let mut model = orchard();
        assert!(form(&model).unwrap_err().contains("no backup yet"));
        assert_eq!(value(&model), "none yet");
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("orchard.db");
        let store = Store::open(&file).unwrap();
        let back_up = || make(&file, model.now.day, Keep::Sound, None, &Stop::default()).unwrap();
        back_up();
        fill_store(&store);
        back_up();
        model.backups = shelf(&file).unwrap();
        assert!(value(&model).starts_with("2; the newest is number 2, of "));
        crate::tui::features::forms::open(&mut model, FormKind::Restore);
        let Some(crate::tui::app::Layer::Form(form, _)) = model.layers.pop() else {
            panic!("no form");
        };
        let words = form.summary.as_deref().unwrap();
        assert!(words.starts_with("It holds 1 count, 2 taps, "), "{words}");
        let restored = |model: &Model| match read(model, &form) {
            Ok(Reading::Ask(question)) => Ok(question.yes),
            Ok(other) => panic!("{other:?}"),
            Err(refused) => Err(refused[0].problem.clone()),
        };
        assert_eq!(restored(&model), Ok(vec![Effect::Restore(2)]));
        // one that was still being made comes in front
        let mut newer = model.backups[1].clone();
        newer.backup.number = 3;
        model.backups.push(newer);
        assert_eq!(restored(&model), Ok(vec![Effect::Restore(2)]));
        // and the chosen one is thinned out
        model.backups.remove(1);
        assert_eq!(restored(&model), Err(NOT_THERE.to_owned()));
    }
}
