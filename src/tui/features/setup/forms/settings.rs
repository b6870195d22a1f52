//! The form of the settings.

use crate::orchard::{Faults, Language, optional_name};
use crate::outlook::pace::Currency;
use crate::store::{Change, IN_PART, NAMES_SHOWN, NUMBERS_ONLY, Setting, WHOLE_TREES};
use crate::tui::app::Model;
use crate::tui::features::forms::{FormSpec, Reading};
use crate::tui::{BudKeys, Field, Form, Theme};

pub fn spec() -> FormSpec {
    FormSpec::new(|model| Ok(form(model)), |model, form, _| read(model, form))
        .says("the settings are saved")
}

/// The name of a setting on the screen.
pub fn label(setting: Setting) -> &'static str {
    match setting {
        Setting::Orchard => "Orchard",
        Setting::Counter => "Counted by",
        Setting::Keyboard => "Keyboard",
        Setting::Theme => "Colours",
        Setting::Extras => "Extra wood",
        Setting::Currency => "Currency",
        Setting::SheetLanguage => "Sheets in",
        Setting::Names => "Names",
        Setting::DrawnTrees => "Drawn trees",
        Setting::ClosesItself => "Closes itself",
    }
}

/// What a setting says now, as the file has it.
pub fn value(model: &Model, setting: Setting) -> String {
    // the theme of this run may be another one, chosen at its start: the house has the setting's
    let look = &model.house.look;
    match setting {
        Setting::Orchard => model.house.orchard.clone(),
        Setting::Counter => look.counter.clone(),
        Setting::Keyboard => look.bud_keys.word().to_owned(),
        Setting::Theme => look.theme.word().to_owned(),
        Setting::Extras => if look.extras { "yes" } else { "no" }.to_owned(),
        Setting::Currency => model.house.currency.text(),
        Setting::SheetLanguage => model.house.sheet_language.word().to_owned(),
        Setting::Names => if model.house.numbers_only {
            NUMBERS_ONLY
        } else {
            NAMES_SHOWN
        }
        .to_owned(),
        Setting::DrawnTrees => if model.house.whole_trees {
            WHOLE_TREES
        } else {
            IN_PART
        }
        .to_owned(),
        Setting::ClosesItself => if look.stays_open { "no" } else { "yes" }.to_owned(),
    }
}

/// The form, filled with the settings.
fn form(model: &Model) -> Form {
    let fields = Setting::ALL.map(|setting| {
        let field = blank(setting).with(value(model, setting));
        field.hint(hint(model, setting))
    });
    Form::new("Settings", fields.to_vec())
}

fn blank(setting: Setting) -> Field {
    let (key, label) = (setting.key(), label(setting));
    let words = |words: &[&str]| words.iter().map(|word| (*word).to_owned()).collect();
    match setting {
        Setting::Orchard | Setting::Counter | Setting::Currency => Field::text(key, label),
        Setting::Keyboard => {
            Field::choice_of(key, label, words(&BudKeys::ALL.map(|keys| keys.word())))
        }
        Setting::Theme => Field::choice_of(key, label, words(&Theme::ALL.map(Theme::word))),
        Setting::Extras | Setting::ClosesItself => Field::toggle(key, label, false),
        Setting::DrawnTrees => Field::choice_of(key, label, words(&[IN_PART, WHOLE_TREES])),
        Setting::SheetLanguage => {
            Field::choice_of(key, label, words(&Language::ALL.map(Language::word)))
        }
        Setting::Names => Field::choice_of(key, label, words(&[NAMES_SHOWN, NUMBERS_ONLY])),
    }
}

fn hint(model: &Model, setting: Setting) -> &'static str {
    match setting {
        Setting::Orchard => "its name, at the head of sheets; may stay empty",
        Setting::Counter => "who counts on this tablet; stands with each new count; may stay empty",
        Setting::Keyboard => "the layout, so that the bud field lies in three rows under the hand",
        Setting::Theme if model.look.theme_fixed => {
            "this run's colours were chosen when it was started; the setting holds from the next run on"
        }
        Setting::Theme => "dark; bright, for the sun; plain, without colours",
        Setting::Extras => {
            "yes: Count has two more buttons, for upright one-year wood (8) and thick wood in the top (9)"
        }
        Setting::Currency => {
            "its letters and its decimals, such as EUR 2 or JPY 0; pay is entered on Winter (F6)"
        }
        Setting::SheetLanguage => {
            "the language of day sheets and briefs; a pruner may have another, under Crew"
        }
        Setting::DrawnTrees => {
            "in part: some pieces on leaders drawn by lot, half the time of a whole tree; whole: all of it"
        }
        Setting::ClosesItself => "yes: the last piece that was drawn closes the tree on Count",
        Setting::Names => {
            "numbers only: no name of a pruner on any screen, sheet, table or bundle; the names stay in the file"
        }
    }
}

/// Reads the form: what differs is set.
fn read(model: &Model, form: &Form) -> Result<Reading, Faults> {
    let mut faults = Faults::default();
    let mut changes = Vec::new();
    for setting in Setting::ALL {
        let key = setting.key();
        let typed = form.value(key);
        let wanted = match setting {
            Setting::Currency => Currency::parse(typed).map(|currency| currency.text()),
            _ => optional_name(key, typed),
        };
        let wanted = faults.take(wanted);
        if wanted != value(model, setting) {
            changes.push(Change::Set(setting, kept(setting, wanted)));
        }
    }
    faults.or(Reading::Write(changes))
}

/// What the file keeps of a value: the language by its tag, everything else as it is shown.
fn kept(setting: Setting, value: String) -> String {
    let language = Language::ALL
        .into_iter()
        .find(|known| known.word() == value);
    match (setting, language) {
        (Setting::SheetLanguage, Some(language)) => language.tag().to_owned(),
        _ => value,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tui::app::FormKind;
    use crate::tui::trial::{fill, model, refusal};

    fn changes(model: &Model, form: &Form) -> Vec<Change> {
        match read(model, form).unwrap() {
            Reading::Write(changes) => changes,
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn only_what_differs_is_set() {
        let model = model();
        let mut form = form(&model);
        assert_eq!(changes(&model, &form), []);
        fill(
            &mut form,
            &[
                ("orchard", " 梨園 "),
                ("counter", "Sina"),
                ("keyboard", "azerty"),
                ("theme", "bright"),
                ("extras", "yes"),
                ("currency", " jpy 0"),
                ("sheet language", "Español"),
                ("names", "numbers only"),
                ("drawn trees", "whole"),
                ("closes itself", "no"),
            ],
        );
        let set = |setting, word: &str| Change::Set(setting, word.to_owned());
        assert_eq!(
            changes(&model, &form),
            [
                set(Setting::Orchard, "梨園"),
                set(Setting::Counter, "Sina"),
                set(Setting::Keyboard, "azerty"),
                set(Setting::Theme, "bright"),
                set(Setting::Extras, "yes"),
                set(Setting::Currency, "JPY 0"),
                set(Setting::SheetLanguage, "es"),
                set(Setting::Names, "numbers only"),
                set(Setting::DrawnTrees, "whole"),
                set(Setting::ClosesItself, "no"),
            ]
        );
    }

    #[test]
    fn each_wrong_field_is_named() {
        for key in ["orchard", "counter"] {
            let mut form = form(&model());
            fill(&mut form, &[(key, "x".repeat(61).as_str())]);
            assert_eq!(refusal(&model(), &form, FormKind::Settings).field, key);
        }
        let mut form = form(&model());
        fill(&mut form, &[("currency", "euros")]);
        assert_eq!(
            refusal(&model(), &form, FormKind::Settings).field,
            "currency"
        );
    }
}
