//! The form of a count in the list of counts: what is recorded with it, and where it stands.

use crate::orchard::{Chosen, CountHead, CountId, Faults, Invalid};
use crate::report::Season;
use crate::store::Change;
use crate::tui::app::Model;
use crate::tui::features::count::tree;
use crate::tui::features::forms::{FormSpec, NO_WINTER, Reading, whole};
use crate::tui::{Field, Form};

pub fn spec(count: CountId) -> FormSpec {
    FormSpec::new(
        move |model| form(model, count),
        move |model, form, _| read(model, form, count),
    )
    .summary(|model, reading| match reading {
        Reading::Write(changes) => match &changes[..] {
            [Change::Head(id, head)] => summary(model, *id, head),
            _ => String::new(),
        },
        _ => String::new(),
    })
    .says("the count is changed")
}

/// The form, filled with the count.
fn form(model: &Model, count: CountId) -> Result<Form, String> {
    let season = model.season.as_ref().ok_or(NO_WINTER)?;
    let head = season
        .count(count)
        .ok_or("this count is gone")?
        .head_by_log();
    let mut fields = vec![
        Field::whole("row", "Row")
            .with(head.row.to_string())
            .hint("the row's number; pieces are mended under Count (Enter)"),
        Field::whole("tree", "Tree")
            .with(head.tree.to_string())
            .hint("the tree's place in the row"),
    ];
    fields.extend(tree::detail_fields(model, Some(&head), head.part));
    let block = season.block_name(head.block);
    let title = format!("Change a count in {block}, of {}", head.at.day);
    Ok(Form::new(title, fields).with_summary())
}

/// Says where another count is of the same tree.
fn summary(model: &Model, id: CountId, head: &CountHead) -> String {
    let place = |head: &CountHead| (head.block, head.row, head.tree, head.stage);
    let counts = model.season.iter().flat_map(Season::counts);
    let others = counts.filter(|count| count.id != id && !count.head.again);
    let mut others = others.filter(|count| place(&count.head) == place(head));
    others.next().map_or_else(String::new, |other| {
        format!(
            "This tree has another count, of {}: the figures take the one that was begun last.",
            other.head.at.day
        )
    })
}

/// Reads the form.
fn read(model: &Model, form: &Form, count: CountId) -> Result<Reading, Faults> {
    let gone = || Invalid::new("count", "is gone");
    let season = model.season.as_ref().ok_or_else(gone)?;
    let head = season.count(count).ok_or_else(gone)?.head_by_log();
    let mut faults = Faults::default();
    let row = faults.take(whole(form, "row"));
    let tree = faults.take(whole(form, "tree"));
    let moved = at_place(season, &head, row, tree);
    let changed = faults.made(tree::changed_head(model, form, &moved, head.part.runs()))?;
    if changed == head {
        return Ok(Reading::Write(Vec::new()));
    }
    Ok(Reading::Write(vec![Change::Head(count, Box::new(changed))]))
}

/// A count that turns out to be of another tree. It counts as drawn only where that tree was drawn.
fn at_place(season: &Season, head: &CountHead, row: u16, tree: u16) -> CountHead {
    let same = (row, tree) == (head.row, head.tree);
    let drawn = || {
        let mut trees = season.draws.iter().flat_map(|draw| &draw.trees);
        trees.any(|drawn| (drawn.block, drawn.row, drawn.tree) == (head.block, row, tree))
    };
    CountHead {
        row,
        tree,
        chosen: if same || drawn() {
            head.chosen
        } else {
            Chosen::ByEye
        },
        ..head.clone()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::orchard::{Part, Stage};
    use crate::tui::app::FormKind;
    use crate::tui::trial::{fill, orchard, refusal};

    fn changed(model: &Model, form: &Form, count: CountId) -> Option<CountHead> {
        match read(model, form, count).unwrap() {
            Reading::Write(changes) => changes.into_iter().next().map(|change| match change {
                Change::Head(id, head) if id == count => *head,
                other => panic!("{other:?}"),
            }),
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn what_is_recorded_can_be_changed() {
        let model = orchard();
        let count = model.season.as_ref().unwrap().counts()[0].clone();
        let mut form = form(&model, count.id).unwrap();
        assert_eq!(changed(&model, &form, count.id), None, "nothing typed");
        fill(
            &mut form,
            &[("stage", "before pruning"), ("part", "2"), ("note", "wind")],
        );
        let head = changed(&model, &form, count.id).unwrap();
        assert_eq!(
            head,
            CountHead {
                stage: Stage::Before,
                part: Part::Stems(2),
                note: "wind".to_owned(),
                ..count.head
            }
        );
    }

    #[test]
    fn a_count_of_the_wrong_tree_is_moved_and_no_longer_drawn() {
        let model = orchard();
        let count = model.season.as_ref().unwrap().counts()[0].clone();
        assert_eq!(count.head.chosen, Chosen::Drawn);
        let mut form = form(&model, count.id).unwrap();
        fill(&mut form, &[("tree", "9")]);
        let head = changed(&model, &form, count.id).unwrap();
        assert_eq!((head.tree, head.chosen), (9, Chosen::ByEye));
    }

    #[test]
    fn a_pruner_who_left_stays_named() {
        let mut model = orchard();
        let count = model.season.as_ref().unwrap().counts()[0].clone();
        for pruner in &mut model.house.pruners {
            let draft = crate::orchard::PrunerDraft {
                active: false,
                ..pruner.draft().clone()
            };
            *pruner = crate::orchard::Pruner::new(pruner.id, draft).unwrap();
        }
        let form = form(&model, count.id).unwrap();
        assert_eq!(changed(&model, &form, count.id), None);
    }

    #[test]
    fn each_wrong_field_is_named() {
        let model = orchard();
        let count = model.season.as_ref().unwrap().counts()[0].id;
        for (key, wrong) in [
            ("row", ""),
            ("row", "99"),
            ("tree", "999"),
            ("part", "40"),
            ("note", "a\u{202e}b"),
        ] {
            let mut form = form(&model, count).unwrap();
            fill(&mut form, &[(key, wrong)]);
            assert_eq!(refusal(&model, &form, FormKind::Count(count)).field, key);
        }
    }
}
