use uuid::Uuid;

use super::*;
use crate::orchard::{How, Outcome, WorkDraft, WorkEntry, WorkId, WorkKind};
use crate::report::RedoneRow;
use crate::store::Store;
use crate::tui::app::FormKind;
use crate::tui::runtime::Runtime;
use crate::tui::trial::{desk, fill, fill_store, keys, open_form, refusal, shown, start, today};
use crate::tui::{Key, Screen};

const RIVER: BlockId = BlockId(Uuid::from_u128(3));
const AROHA: PrunerId = PrunerId(Uuid::from_u128(5));
const OTHER: PrunerId = PrunerId(Uuid::from_u128(6));

fn save(desk: &mut Runtime<'_>, values: &[(&str, &str)]) {
    fill(open_form(desk), values);
    keys(desk, &[Key::Ctrl('s')]);
}

fn sent(desk: &Runtime<'_>) -> Vec<(u16, PrunerId, String)> {
    let season = desk.model.season.as_ref().unwrap();
    let all = season.go_backs.iter().skip(1);
    all.map(|entry| (entry.row, entry.pruner, entry.reason.clone()))
        .collect()
}

#[test]
fn on_count_a_reason_is_a_touch_and_needed() {
    let store = Store::in_memory().unwrap();
    let mut desk = desk(&store);
    keys(&mut desk, &[Key::F(3), Key::Char('7'), Key::Ctrl('s')]);
    let error = open_form(&mut desk).fields[0].error.clone();
    assert_eq!(error.as_deref(), Some("choose what is to be mended"));
    save(
        &mut desk,
        &[("why", "top too thick"), ("reason", "last 20 trees")],
    );
    let reason = "top too thick: last 20 trees".to_owned();
    assert_eq!(sent(&desk), [(2, AROHA, reason)]);
    // in words alone, where none of the ready ones fits
    keys(&mut desk, &[Key::Char('7')]);
    save(&mut desk, &[("why", "other")]);
    let wrong = open_form(&mut desk).fields[1].error.clone();
    assert!(wrong.unwrap().contains("say what is to be mended"));
}

#[test]
fn blocks_the_row_map_and_crew_ask_for_rework_too() {
    let store = Store::in_memory().unwrap();
    let mut desk = desk(&store);
    desk.model.screen = Screen::Blocks;
    // the row map: its second row
    keys(
        &mut desk,
        &[Key::Enter, Key::Left, Key::Down, Key::Char('r')],
    );
    assert_eq!(open_form(&mut desk).value("row"), "2");
    save(&mut desk, &[("why", "buds too long")]);
    assert_eq!(sent(&desk), [(2, AROHA, "buds too long".to_owned())]);
    // the list
    keys(&mut desk, &[Key::Esc, Key::Char('r')]);
    let form = open_form(&mut desk);
    assert_eq!((form.value("block"), form.value("row")), ("River", ""));
    save(&mut desk, &[("row", "2"), ("why", "old wood left")]);
    assert_eq!(sent(&desk).len(), 2);
    desk.model.screen = Screen::Crew;
    keys(&mut desk, &[Key::Char('r')]);
    let form = open_form(&mut desk);
    let known = (form.value("pruner"), form.value("block"));
    assert_eq!(known, ("Nr 7 Aroha", "River"));
    save(&mut desk, &[("row", "1"), ("why", "few fruiting pieces")]);
    assert_eq!(sent(&desk)[2].0, 1);
}

#[test]
fn whom_the_log_does_not_name_alone_is_chosen() {
    let store = Store::in_memory().unwrap();
    fill_store(&store);
    let river = store
        .blocks()
        .unwrap()
        .into_iter()
        .find(|block| block.id == RIVER);
    let work = |id, row, pruner, first, last| {
        let draft = WorkDraft {
            winter: store.winters().unwrap()[1].id,
            pruner,
            block: RIVER,
            row,
            first,
            last,
            day: today(),
            minutes: None,
            how: How::default(),
        };
        let entry = WorkEntry::new(WorkId(Uuid::from_u128(id)), draft, river.as_ref().unwrap());
        store.save_work(&entry.unwrap()).unwrap();
    };
    work(90, 3, AROHA, 1, 25);
    work(91, 3, OTHER, 26, 50);
    let desk = Runtime::new(&store, start(), (80, 24)).unwrap();
    let kind = FormKind::Rework(Some(RIVER), None, None);
    for (row, field, word) in [
        ("3", "pruner", "Nr 7 Aroha; Nr 8"),
        ("4", "pruner", "no work is logged in row 4"),
        ("9", "row", "has no row 9"),
        ("", "row", "fill in a number"),
    ] {
        let mut form = of_row(&desk.model, Some(RIVER), None, None).unwrap();
        fill(&mut form, &[("row", row), ("why", "old wood left")]);
        let refused = refusal(&desk.model, &form, kind);
        assert!(
            refused.field == field && refused.problem.contains(word),
            "{row}: {refused}"
        );
    }
}

#[test]
fn who_redid_a_row_is_logged_and_its_trees_are_offered_to_be_counted_anew() {
    let store = Store::in_memory().unwrap();
    let mut desk = desk(&store);
    // no drawn tree waits in the row
    keys(&mut desk, &[Key::F(3)]);
    for _ in 0..2 {
        keys(&mut desk, &[Key::Char('0'), Key::Ctrl('s')]);
    }
    let anew = |desk: &Runtime<'_>| desk.model.season.as_ref().unwrap().to_count_anew(today());
    assert_eq!(anew(&desk), []);
    desk.model.screen = Screen::Blocks;
    keys(&mut desk, &[Key::Char('g')]);
    save(
        &mut desk,
        &[("pruner_again", "Nr 7 Aroha"), ("redone_on", "2027-01-11")],
    );
    let form = open_form(&mut desk);
    let wrong = form.fields.iter().find_map(|field| field.error.clone());
    assert!(wrong.unwrap().contains("before the row was sent back"));
    save(
        &mut desk,
        &[("outcome", "mended"), ("redone_on", "2027-01-12")],
    );
    assert!(desk.model.layers.is_empty(), "{:?}", desk.model.layers);
    let season = desk.model.season.as_ref().unwrap();
    let rework: Vec<_> = (season.work.iter())
        .filter(|work| work.how.kind == WorkKind::Rework)
        .map(|work| (work.pruner, work.row, work.first, work.last, work.day))
        .collect();
    assert_eq!(rework, [(AROHA, 2, 1, 50, today())]);
    let line = &season.go_back_lines(today())[0];
    assert_eq!(line.outcome, Some(Outcome::Mended));
    assert_eq!(
        (line.redone_by.as_slice(), line.redone_on),
        (["Nr 7 Aroha".to_owned()].as_slice(), Some(today()))
    );
    // the form shows what is logged, and logs it no second time
    keys(&mut desk, &[Key::Enter]);
    keys(&mut desk, &[Key::Esc]);
    assert_eq!(
        anew(&desk),
        [RedoneRow {
            block: RIVER,
            block_name: "River".to_owned(),
            row: 2,
            day: today()
        }]
    );
    keys(&mut desk, &[Key::F(2)]);
    let said = "River row 2 redone: Draw (d) offers trees to count anew";
    assert!(shown(&desk).contains(said), "{}", shown(&desk));
    keys(&mut desk, &[Key::Char('d')]);
    let form = open_form(&mut desk);
    let since = form.fields.iter().find(|field| field.key == "since");
    let hint = &since.expect("its first day is asked for").hint;
    assert!(hint.contains("River row 2"), "{hint}");
    save(&mut desk, &[("trees", "3")]);
    assert_eq!(anew(&desk), [], "trees of the row wait in a draw");
    assert!(!shown(&desk).contains(said));
}

#[test]
fn what_is_logged_already_is_not_logged_again() {
    let store = Store::in_memory().unwrap();
    let mut desk = desk(&store);
    desk.model.screen = Screen::Blocks;
    for again in [false, true] {
        keys(&mut desk, &[Key::Enter]);
        keys(&mut desk, &[Key::Right; 5]);
        keys(&mut desk, &[Key::Char('g')]);
        let who = open_form(&mut desk).value("pruner_again").to_owned();
        if again {
            assert_eq!(who, "as logged: Nr 7 Aroha, 2027-01-12");
            save(&mut desk, &[("outcome", "still wrong")]);
        } else {
            assert_eq!(who, "not noted");
            save(&mut desk, &[("pruner_again", "Nr 7 Aroha")]);
        }
        keys(&mut desk, &[Key::Esc]);
        let season = desk.model.season.as_ref().unwrap();
        assert_eq!(season.work.len(), 2);
    }
}
