//! The form that takes a pruner's name away for good. It asks twice: for the number, typed, and for a yes.

use crate::orchard::{Faults, Invalid, Naming, PrunerId};
use crate::report::words::OTHER_LETTERS;
use crate::tui::app::{Effect, Model};
use crate::tui::features::forms::{FormSpec, Reading, whole};
use crate::tui::{Field, Form};

pub fn spec(pruner: PrunerId) -> FormSpec {
    FormSpec::new(
        move |model| form(model, pruner),
        move |model, form, _| read(model, form, pruner),
    )
    .summary(|_, reading| match reading {
        Reading::Do(Effect::ForgetName(_, backups)) => summary(*backups),
        _ => String::new(),
    })
}

/// The form, or why there is nothing to take away.
fn form(model: &Model, pruner: PrunerId) -> Result<Form, String> {
    let known = model.house.pruners.iter().find(|known| known.id == pruner);
    let known = known.ok_or("this pruner is gone")?;
    let number = known.number;
    if known.naming() == Naming::Removed {
        return Err(format!(
            "the name of Nr {number} was taken away already; `thirdwood forget-name {number}` tells what holds it still"
        ));
    }
    let fields = vec![
        Field::whole("number", "Number again").hint("whose name it is: type the number"),
        Field::toggle("sure", "For good", false)
            .hint("yes: it cannot be undone; what was counted stays under the number"),
        Field::toggle("backups", "Old backups too", false)
            .hint("yes: a fresh backup is made, and those that hold the name are removed"),
    ];
    Ok(
        Form::new(format!("Take the name of Nr {number} away"), fields)
            .with_summary()
            .that("Forget"),
    )
}

/// Reads the form.
fn read(model: &Model, form: &Form, pruner: PrunerId) -> Result<Reading, Faults> {
    let typed = whole(form, "number")?;
    let mut crew = model.house.pruners.iter();
    if !crew.any(|known| known.id == pruner && known.number == typed) {
        return Err(Invalid::new("number", "is not this pruner's number").into());
    }
    if !form.is_on("sure") {
        return Err(Invalid::new("sure", "say yes, or leave with Esc").into());
    }
    let backups = form.is_on("backups");
    Ok(Reading::Do(Effect::ForgetName(pruner, backups)))
}

/// What would follow.
fn summary(backups: bool) -> String {
    let kept = if backups {
        "Backups and copies that hold the name are removed once a fresh one is made."
    } else {
        "Backups made before hold the name still."
    };
    format!(
        "Name and label go from this file, and from the other tablets by the next bundle; in notes that are in this \
         file the number stands for them. {OTHER_LETTERS} {kept} Papers written before hold it wherever they are."
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tui::app::FormKind;
    use crate::tui::trial::{crew_of, fill, model, refusal};

    #[test]
    fn it_takes_the_number_and_a_yes() {
        let mut model = model();
        model.house.pruners = crew_of(&[3, 7]);
        let id = model.house.pruners[1].id;
        let mut form = form(&model, id).unwrap();
        let refused = |form: &Form| refusal(&model, form, FormKind::ForgetName(id)).field;
        assert_eq!(refused(&form), "number");
        fill(&mut form, &[("number", "3"), ("sure", "yes")]);
        assert_eq!(refused(&form), "number", "another pruner's");
        fill(&mut form, &[("number", "7"), ("sure", "no")]);
        assert_eq!(refused(&form), "sure");
        fill(&mut form, &[("sure", "yes")]);
        let Reading::Do(effect) = read(&model, &form, id).unwrap() else {
            panic!("nothing to do");
        };
        assert_eq!(effect, Effect::ForgetName(id, false));
        // what is not looked for is said before it is done
        assert!(summary(false).contains(OTHER_LETTERS));
    }

    #[test]
    fn a_name_is_taken_away_once() {
        let mut model = model();
        model.house.pruners = crew_of(&[7]);
        let gone = model.house.pruners[0].clone().nameless(Naming::Removed);
        model.house.pruners = vec![gone.clone()];
        assert!(form(&model, gone.id).unwrap_err().contains("already"));
    }
}
