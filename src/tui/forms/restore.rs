//! The form that puts a backup back.

use super::{NOT_THERE, Reading};
use crate::orchard::Invalid;
use crate::store::backup::{Contents, Shelved};
use crate::tui::app::{Effect, Model};
use crate::tui::{Field, Form};

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
            let (number, day) = (newest.backup.number, newest.backup.day);
            format!("{all}; the newest is number {number}, of {day}")
        }
        None => String::from("none yet"),
    }
}

/// A backup in the choice, by its number.
fn entry(one: &Shelved) -> String {
    let counts = one.contents.as_ref().map_or(0, Contents::counts);
    let (number, day) = (one.backup.number, one.backup.day);
    let before = if one.backup.replaced {
        ", before a restore"
    } else {
        ""
    };
    format!("{number}: {day}, {counts} counts{before}")
}

/// Asks which backup.
pub fn form(model: &Model) -> Result<Form, String> {
    let names: Vec<String> = sound(model).map(entry).collect();
    if names.is_empty() {
        return Err(
            "there is no backup yet: one is made at each start, and each new day".to_owned(),
        );
    }
    let field = Field::choice_of("backup", "Backup", names)
        .hint("left and right; save puts the whole file back to what it was then");
    Ok(Form::new("Put a backup back", vec![field]).with_summary())
}

/// Reads the form.
pub fn read(model: &Model, form: &Form) -> Result<Reading, Invalid> {
    let chosen = form.value("backup");
    let chosen = sound(model).find(|one| entry(one) == chosen);
    let chosen = chosen.ok_or_else(|| Invalid::new("backup", NOT_THERE))?;
    Ok(Reading::Write(vec![Effect::Restore(chosen.backup.number)]))
}

/// What it would put back.
pub fn summary(model: &Model, number: u32) -> String {
    let chosen = model.backups.iter().find(|one| one.backup.number == number);
    let held = chosen.and_then(|one| one.contents.as_ref());
    let held = held.map_or_else(String::new, Contents::words);
    format!(
        "It holds {held}. The file as it is now becomes a backup first: putting that one back undoes this."
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::Store;
    use crate::store::backup::{Keep, Stop, make, shelf};
    use crate::tui::app::Job;
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
        super::super::open(&mut model, Job::Restore);
        let Some(crate::tui::app::Cover::Form(form, _)) = model.cover.take() else {
            panic!("no form");
        };
        let words = form.summary.as_deref().unwrap();
        assert!(words.starts_with("It holds 1 count, 2 taps, "), "{words}");
        let restored = |model: &Model| match read(model, &form) {
            Ok(Reading::Write(effects)) => Ok(effects),
            Ok(other) => panic!("{other:?}"),
            Err(refused) => Err(refused.problem),
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
