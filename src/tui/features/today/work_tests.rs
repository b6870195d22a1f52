use super::super::beside::entries;
use super::*;
use crate::orchard::{BlockDraft, BlockId};
use crate::tui::app::FormKind;
use crate::tui::features::forms::NOT_THERE;
use crate::tui::forms;
use crate::tui::trial::{crew_of, fill, moment, orchard, refusal, saved};

fn filled(values: &[(&str, &str)]) -> Result<Vec<WorkEntry>, Faults> {
    let model = orchard();
    let mut form = form(&model, None).unwrap();
    fill(&mut form, values);
    match forms::read(&model, &form, FormKind::Work(None), moment())? {
        Reading::Write(changes) => Ok(entries(&changes)),
        other => panic!("{other:?}"),
    }
}

#[test]
fn several_rows_are_logged_at_once_and_the_hours_shared() {
    let work = filled(&[("row", "1-2, 3"), ("hours", "7:31"), ("beside", "instead")]).unwrap();
    let rows: Vec<u16> = work.iter().map(|work| work.row).collect();
    assert_eq!(rows, [1, 2, 3]);
    assert!(work.iter().all(|work| work.first == 1 && work.last >= 1));
    assert_eq!(
        work.iter().filter_map(|work| work.minutes).sum::<u16>(),
        451
    );
    assert!(work[0].id < work[1].id && work[1].id < work[2].id);
    assert_eq!(
        filled(&[("row", "3"), ("first", "2"), ("last", "3")])
            .unwrap()
            .len(),
        1
    );
}

#[test]
fn the_chosen_pruner_and_block_stay_chosen_though_others_come_in_front() {
    let mut model = orchard();
    let mut form = form(&model, None).unwrap();
    fill(&mut form, &[("row", "1")]);
    let (pruner, block) = (form.value("pruner"), form.value("block"));
    let (pruner, block) = (pruner.to_owned(), block.to_owned());
    let before = saved(&model, &form, FormKind::Work(None));
    model.house.pruners.insert(0, crew_of(&[1]).remove(0));
    let draft = BlockDraft {
        name: "Alder".to_owned(),
        ..model.house.blocks[0].draft().clone()
    };
    let added = Block::new(BlockId(uuid::Uuid::from_u128(99)), draft).unwrap();
    model.house.blocks.insert(0, added);
    assert_eq!(saved(&model, &form, FormKind::Work(None)), before);
    // gone while the form was open: nobody else stands in
    let refused = |model: &Model| refusal(model, &form, FormKind::Work(None));
    model.house.blocks.retain(|known| known.name != block);
    assert_eq!(refused(&model), Invalid::new("block", NOT_THERE));
    model.house.pruners.retain(|known| known.shown() != pruner);
    assert_eq!(refused(&model), Invalid::new("pruner", NOT_THERE));
}

#[test]
fn what_is_no_row_is_told_in_its_field() {
    for (row, problem) in [
        ("", "fill in a row"),
        ("x", "is no row"),
        ("3-1", "ends before it begins"),
        ("1, 1", "named twice"),
        ("900", "has rows"),
        ("1-999", "has rows"),
        ("1-1200", "has rows"),
        ("1-65535", "has rows"),
        ("1,", "is no row"),
    ] {
        let refused = filled(&[("row", row)]).unwrap_err()[0].clone();
        assert_eq!(refused.field, "row");
        assert!(
            refused.problem.contains(problem),
            "{row}: {}",
            refused.problem
        );
    }
    let told = filled(&[
        ("row", "x"),
        ("hours", "25"),
        ("day", "soon"),
        ("first", "-"),
    ]);
    let told: Vec<_> = told.unwrap_err().iter().map(|fault| fault.field).collect();
    assert_eq!(told, ["row", "day", "hours", "first"]);
    let refused = filled(&[("row", "1-2"), ("last", "3")]).unwrap_err()[0].clone();
    assert_eq!(refused.field, "last");
}

#[test]
fn those_who_did_the_same_trees_are_logged_at_once() {
    let work = filled(&[
        ("row", "3"),
        ("with", "8 9"),
        ("hours", "4"),
        ("zone", "base"),
    ]);
    let work = work.unwrap();
    assert_eq!(work.len(), 3);
    let team = work[0].how.team;
    assert!(team.is_some() && work.iter().all(|entry| entry.how.team == team));
    assert!(
        work.iter()
            .all(|entry| entry.minutes == Some(240) && entry.how.zone == Zone::Base)
    );
    for (with, problem) in [("99", "no pruner number 99"), ("8, 8", "named twice")] {
        let refused = filled(&[("row", "3"), ("with", with)]).unwrap_err()[0].clone();
        assert_eq!(refused.field, "with");
        assert!(refused.problem.contains(problem), "{}", refused.problem);
    }
}
