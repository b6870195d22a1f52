use uuid::Uuid;

use super::*;
use crate::orchard::CountId;
use crate::store::Store;
use crate::tui::app::{FormKind, Layer};
use crate::tui::runtime::Runtime;
use crate::tui::trial::{desk, fill, keys, open_form, refusal, shown, today};
use crate::tui::{Key, Screen};

const RIVER: BlockId = BlockId(Uuid::from_u128(3));

/// Fills the open form in and saves it.
fn save(desk: &mut Runtime<'_>, values: &[(&str, &str)]) {
    fill(open_form(desk), values);
    keys(desk, &[Key::Ctrl('s')]);
    assert!(desk.model.layers.is_empty(), "{:?}", desk.model.layers);
}

fn in_hand(desk: &Runtime<'_>) -> (u16, u16) {
    let place = desk.model.count.place().unwrap();
    (place.row, place.tree)
}

fn marks(store: &Store) -> Vec<(u16, u16, Mark)> {
    let marks = store.marks().unwrap().into_iter();
    marks.map(|mark| (mark.row, mark.tree, mark.mark)).collect()
}

#[test]
fn a_drawn_tree_that_is_marked_gives_way_to_the_next_and_undo_brings_it_back() {
    let store = Store::in_memory().unwrap();
    let mut desk = desk(&store);
    keys(&mut desk, &[Key::F(3)]);
    assert_eq!(in_hand(&desk), (2, 15));
    keys(&mut desk, &[Key::Char('/')]);
    save(&mut desk, &[("mark", "replant")]);
    assert_eq!(marks(&store), [(2, 15, Mark::Replant)]);
    assert_eq!(in_hand(&desk), (2, 30), "on to the next drawn tree");
    keys(&mut desk, &[Key::Backspace]);
    assert_eq!((marks(&store), in_hand(&desk)), (vec![], (2, 15)));
    // canker keeps it in hand, and is seen there
    keys(&mut desk, &[Key::Char('/')]);
    save(&mut desk, &[("mark", "canker"), ("note", "at the graft")]);
    assert_eq!(in_hand(&desk), (2, 15));
    assert!(shown(&desk).contains("· canker"), "{}", shown(&desk));
    // what stands is shown, and changed
    keys(&mut desk, &[Key::Char('/')]);
    let Some(Layer::Form(form, FormKind::MarkTree)) = desk.model.layers.last() else {
        panic!("{:?}", desk.model.layers);
    };
    let values = (form.value("mark"), form.value("note"));
    assert_eq!(values, ("canker", "at the graft"));
    save(&mut desk, &[("mark", "no mark")]);
    assert_eq!(marks(&store), []);
    // undo goes back step by step
    keys(&mut desk, &[Key::Backspace]);
    assert_eq!(marks(&store), [(2, 15, Mark::Canker)]);
    keys(&mut desk, &[Key::Backspace]);
    assert_eq!(marks(&store), []);
}

#[test]
fn undo_takes_taps_and_marks_back_in_their_order() {
    let store = Store::in_memory().unwrap();
    let mut desk = desk(&store);
    keys(&mut desk, &[Key::F(3), Key::Char('1'), Key::Char('/')]);
    save(&mut desk, &[("mark", "in formation")]);
    assert_eq!(in_hand(&desk), (2, 15), "what is begun stays in hand");
    assert!(shown(&desk).contains("in formation: IN NO FIGURE"));
    keys(&mut desk, &[Key::Char('2')]);
    let pieces = |desk: &Runtime<'_>| desk.model.count.tally().unwrap().pieces();
    assert_eq!(pieces(&desk), 2);
    keys(&mut desk, &[Key::Backspace]);
    assert_eq!((pieces(&desk), marks(&store).len()), (1, 1));
    keys(&mut desk, &[Key::Backspace]);
    assert_eq!((pieces(&desk), marks(&store).len()), (1, 0));
    keys(&mut desk, &[Key::Backspace]);
    assert_eq!(pieces(&desk), 0);
    // closed, it is in no figure and says so in the list
    keys(&mut desk, &[Key::Char('1'), Key::Char('/')]);
    save(&mut desk, &[("mark", "in formation")]);
    let id = desk.model.count.begun().unwrap();
    keys(&mut desk, &[Key::Enter]);
    let season = desk.model.season.as_ref().unwrap();
    let state = |id: CountId| season.how_it_stands(season.count(id).unwrap()).word();
    assert_eq!(state(id), "outside");
}

#[test]
fn runs_of_trees_are_marked_on_the_row_map_and_taken_back() {
    let store = Store::in_memory().unwrap();
    let mut desk = desk(&store);
    desk.model.screen = Screen::Blocks;
    keys(&mut desk, &[Key::Enter, Key::Left]);
    keys(&mut desk, &[Key::Char('m')]);
    save(
        &mut desk,
        &[("trees", "1:2-4, 3:7"), ("mark", "pollinizer")],
    );
    let three = [1, 3].map(|row| (row, if row == 1 { 2 } else { 7 }, Mark::Pollinizer));
    let three = [three[0], (1, 4, Mark::Pollinizer), three[1]];
    assert_eq!(marks(&store), three, "1:3 is missing");
    keys(&mut desk, &[Key::Char('m')]);
    save(&mut desk, &[("trees", "1:4-5"), ("mark", "canker")]);
    let map = shown(&desk);
    assert!(
        map.contains("◇ outside") && map.contains("+ marked"),
        "{map}"
    );
    assert!(map.contains("1  ·◇x++··"), "{map}");
    assert!(map.contains("pollinizer 2; canker 4-5"), "{map}");
    keys(&mut desk, &[Key::Backspace]);
    assert_eq!(marks(&store), three);
    keys(&mut desk, &[Key::Char('m')]);
    save(&mut desk, &[("trees", "1:1-50, 3:7"), ("mark", "no mark")]);
    assert_eq!(marks(&store), []);
    keys(&mut desk, &[Key::Backspace]);
    assert_eq!(marks(&store), three);
    // once is all
    keys(&mut desk, &[Key::Backspace]);
    assert_eq!(marks(&store), three);
}

#[test]
fn each_wrong_field_is_named() {
    let store = Store::in_memory().unwrap();
    let desk = desk(&store);
    let kind = FormKind::MarkTrees(RIVER);
    for (values, wrong) in [
        ([("trees", ""), ("mark", "canker")], "trees"),
        ([("trees", "9:1"), ("mark", "canker")], "trees"),
        ([("trees", "1:3"), ("mark", "canker")], "trees"),
        ([("trees", "1:1"), ("mark", "other")], "note"),
    ] {
        let mut form = of_block(&desk.model, RIVER).unwrap();
        fill(&mut form, &values);
        assert_eq!(refusal(&desk.model, &form, kind).field, wrong, "{values:?}");
    }
    assert_eq!(desk.model.now.day, today());
}

#[test]
fn names_in_notes_give_way_to_numbers() {
    let store = Store::in_memory().unwrap();
    let mut desk = desk(&store);
    keys(&mut desk, &[Key::F(3), Key::Char('/')]);
    save(&mut desk, &[("mark", "canker"), ("note", "Aroha saw it")]);
    store
        .forget_name(crate::orchard::PrunerId(Uuid::from_u128(5)))
        .unwrap();
    assert_eq!(store.marks().unwrap()[0].note, "Nr 7 saw it");
}
