//! The form of a pruner.

use crate::orchard::limits::NUMBERS;
use crate::orchard::{Faults, Invalid, Language, Naming, Pruner, PrunerDraft, PrunerId};
use crate::store::Thing;
use crate::tui::app::{Model, Moment};
use crate::tui::features::forms::{FormSpec, Reading, whole};
use crate::tui::{Field, Form};

pub fn spec(pruner: Option<PrunerId>) -> FormSpec {
    let spec = FormSpec::new(
        move |model| form(model, pruner),
        move |model, form, moment| read(model, form, pruner, moment),
    )
    .says("the pruner is saved")
    .guided();
    if pruner.is_some() {
        return spec;
    }
    spec.new_entry().repeated()
}

/// The form: the next free number, or filled with a pruner.
fn form(model: &Model, pruner: Option<PrunerId>) -> Result<Form, String> {
    let known = match pruner {
        Some(id) => Some(find(model, id).ok_or("this pruner is gone")?),
        None => None,
    };
    let number = known.map_or_else(|| next_number(model), |pruner| pruner.number);
    let text = |of: fn(&Pruner) -> String| known.map_or_else(String::new, of);
    let mut fields = vec![
        Field::whole("number", "Number")
            .with(number.to_string())
            .hint(number_hint(model, known)),
        Field::text("name", "Name")
            .with(text(|p| p.name.clone()))
            .hint("may stay empty where the crew goes by number"),
        Field::text("label", "Short label")
            .with(text(|p| p.label.clone()))
            .hint("up to 4 characters for narrow columns; empty: the number"),
        Field::toggle(
            "active",
            "Works this winter",
            known.is_none_or(|p| p.active),
        )
        .hint("no: not offered for work any more; what was counted stays"),
        Field::toggle(
            "number_only",
            "By number only",
            known.is_some_and(|p| p.number_only),
        )
        .hint("yes: the name is on no screen and no sheet but this form"),
        language(known.map_or("", |pruner| &pruner.language)),
    ];
    if is_nameless(model, known) {
        fields.retain(|field| !matches!(field.key, "name" | "label"));
    }
    let title = known.map_or_else(
        || "New pruner".to_owned(),
        |pruner| format!("Change Nr {}", pruner.number),
    );
    Ok(Form::new(title, fields))
}

/// Whether neither name nor label is asked for.
fn is_nameless(model: &Model, known: Option<&Pruner>) -> bool {
    model.house.numbers_only || known.is_some_and(|pruner| pruner.naming() == Naming::Removed)
}

fn number_hint(model: &Model, known: Option<&Pruner>) -> &'static str {
    match known.map(Pruner::naming) {
        Some(Naming::Removed) => "on the crew list; the name was taken away at the pruner's wish",
        _ if model.house.numbers_only => {
            "on the crew list; names are not shown (Settings), and stay as they are"
        }
        _ => "on the crew list",
    }
}

/// The languages to choose from; a tag that is none of theirs stays to be chosen as it is.
fn language(tag: &str) -> Field {
    let entries = tags(tag)
        .into_iter()
        .map(|tag| match Language::of_tag(tag) {
            _ if tag.is_empty() => "as the orchard's".to_owned(),
            Some(language) if language.tag() == tag => language.word().to_owned(),
            Some(language) => format!("{tag} ({})", language.word()),
            None => format!("{tag} (not written yet: English)"),
        });
    let chosen = tags(tag).iter().position(|known| *known == tag);
    Field::choice_of("language", "Sheets in", entries.collect())
        .chosen(chosen.unwrap_or(0))
        .hint("the language of this pruner's day sheets")
}

/// Tags to choose from: the orchard's, those of the languages, and the pruner's own where it is another.
fn tags(own: &str) -> Vec<&str> {
    let mut tags = vec![""];
    tags.extend(Language::ALL.map(Language::tag));
    if !tags.contains(&own) {
        tags.push(own);
    }
    tags
}

fn find(model: &Model, pruner: PrunerId) -> Option<&Pruner> {
    model.house.pruners.iter().find(|known| known.id == pruner)
}

/// The number after the highest; the lowest free one where that is the last there is.
fn next_number(model: &Model) -> u16 {
    let taken = |number: u16| model.house.pruners.iter().any(|p| p.number == number);
    let highest = model.house.pruners.iter().map(|p| p.number).max();
    let next = highest.map_or(1, |number| number.saturating_add(1));
    if NUMBERS.contains(&next) {
        return next;
    }
    (1..next).find(|number| !taken(*number)).unwrap_or(next)
}

/// Reads the form.
fn read(
    model: &Model,
    form: &Form,
    pruner: Option<PrunerId>,
    moment: Moment,
) -> Result<Reading, Faults> {
    let id = pruner.unwrap_or(PrunerId(moment.id));
    let mut faults = Faults::default();
    let draft = PrunerDraft {
        number: faults.take(free_number(model, form, id)),
        name: form.value("name").to_owned(),
        label: form.value("label").to_owned(),
        active: form.is_on("active"),
        number_only: form.is_on("number_only"),
        language: chosen_tag(model, form, id),
    };
    let made = match find(model, id) {
        Some(known) => known.changed(draft),
        None => Pruner::new(id, draft),
    };
    let pruner = faults.made(made)?;
    Ok(Reading::save(Thing::Pruner(pruner)))
}

fn chosen_tag(model: &Model, form: &Form, id: PrunerId) -> String {
    let own = find(model, id).map_or("", |known| &known.language);
    let tags = tags(own);
    let chosen = tags.get(form.choice("language"));
    chosen.copied().unwrap_or_default().to_owned()
}

/// The number, if it is no other pruner's.
fn free_number(model: &Model, form: &Form, id: PrunerId) -> Result<u16, Invalid> {
    let number = whole(form, "number")?;
    let mut crew = model.house.pruners.iter();
    match crew.find(|known| known.id != id && known.number == number) {
        Some(other) => Err(Invalid::new(
            "number",
            format!("{number} is taken: {}", other.shown()),
        )),
        None => Ok(number),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tui::app::FormKind;
    use crate::tui::trial::{crew_of, fill, model, refusal, saved};

    #[test]
    fn a_pruner_is_read_with_the_next_number() {
        let mut model = model();
        assert_eq!(form(&model, None).unwrap().value("number"), "1");
        model.house.pruners = crew_of(&[3, 7]);
        let mut form = form(&model, None).unwrap();
        fill(&mut form, &[("name", "Aroha 梨"), ("label", "Ar")]);
        let Thing::Pruner(pruner) = saved(&model, &form, FormKind::Pruner(None)) else {
            panic!("not a pruner");
        };
        assert_eq!(pruner.shown(), "Nr 8 Aroha 梨");
        assert!(pruner.active && !pruner.number_only);
    }

    #[test]
    fn the_last_number_leaves_the_gaps() {
        let mut model = model();
        model.house.pruners = crew_of(&[1, 2, 9_999]);
        assert_eq!(next_number(&model), 3);
    }

    #[test]
    fn a_language_is_chosen_and_an_unknown_one_kept() {
        let mut model = model();
        model.house.pruners = crew_of(&[3, 4]);
        let ids = [0, 1].map(|at: usize| model.house.pruners[at].id);
        let draft = PrunerDraft {
            language: "fr".into(),
            ..model.house.pruners[1].draft().clone()
        };
        model.house.pruners[1] = Pruner::new(ids[1], draft).unwrap();
        let kept = |id, chosen: &[(&str, &str)]| {
            let mut form = form(&model, Some(id)).unwrap();
            fill(&mut form, chosen);
            match saved(&model, &form, FormKind::Pruner(Some(id))) {
                Thing::Pruner(pruner) => pruner.language.clone(),
                other => panic!("{other:?}"),
            }
        };
        assert_eq!(kept(ids[0], &[]), "");
        assert_eq!(kept(ids[0], &[("language", "Español")]), "es");
        assert_eq!(kept(ids[1], &[]), "fr");
        assert_eq!(kept(ids[1], &[("language", "English")]), "en");
        assert_eq!(kept(ids[1], &[("language", "as the orchard's")]), "");
    }

    #[test]
    fn each_wrong_field_is_named() {
        let mut model = model();
        model.house.pruners = crew_of(&[3]);
        for (key, wrong) in [
            ("number", ""),
            ("number", "0"),
            ("number", "3"),
            ("number", "70000"),
            ("name", "a\u{202e}b"),
            ("label", "Aroha"),
        ] {
            let mut form = form(&model, None).unwrap();
            fill(&mut form, &[(key, wrong)]);
            assert_eq!(refusal(&model, &form, FormKind::Pruner(None)).field, key);
            fill(&mut form, &[("label", "Aroha")]);
            assert_eq!(refusal(&model, &form, FormKind::Pruner(None)).field, key);
        }
    }

    #[test]
    fn a_change_keeps_the_own_number() {
        let mut model = model();
        model.house.pruners = crew_of(&[3]);
        let id = model.house.pruners[0].id;
        let mut form = form(&model, Some(id)).unwrap();
        fill(&mut form, &[("active", "no")]);
        let Thing::Pruner(pruner) = saved(&model, &form, FormKind::Pruner(Some(id))) else {
            panic!("not a pruner");
        };
        assert_eq!((pruner.id, pruner.number, pruner.active), (id, 3, false));
    }
}
