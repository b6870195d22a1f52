//! Lists that are longer than their room move by the line, and a touched line stays under the finger.

use thirdwood::orchard::{Block, BlockId};
use thirdwood::store::Store;
use thirdwood::tui::app::Event;
use thirdwood::tui::runtime::Runtime;
use thirdwood::tui::{Action, Key, Screen};
use uuid::Uuid;

use crate::drafts::block_draft;
use crate::{demo, desk, drawn, letters};

const BLOCKS: usize = 60;

/// The invented orchard with so many blocks in all, the last by name the new ones.
fn many_blocks() -> Store {
    let store = demo();
    let known = store.blocks().unwrap().len();
    for n in known..BLOCKS {
        let draft = block_draft(&format!("Z block {n}"), "1-2x20", "");
        let block = Block::new(BlockId(Uuid::from_u128(9000 + n as u128)), draft).unwrap();
        store.save_block(&block).unwrap();
    }
    store
}

/// The lines that can be touched now, by their place in the list, and the letters of the marked one.
fn in_sight(desk: &Runtime<'_>) -> (Vec<usize>, String) {
    let (buf, hits) = drawn(desk, desk.model.size);
    let mut lines = Vec::new();
    let mut marked = Vec::new();
    let shown = letters(&buf);
    for (area, action) in hits.rows() {
        let Action::Select(line) = action else {
            continue;
        };
        lines.push(line);
        if buf[(area.x, area.y)].symbol() == "▸" {
            marked.push(shown.lines().nth(usize::from(area.y)).unwrap().to_owned());
        }
    }
    assert_eq!(marked.len(), 1, "{shown}");
    (lines, marked.remove(0))
}

#[test]
fn a_list_of_sixty_blocks_moves_by_one_line() {
    let store = many_blocks();
    let lists = [
        (Screen::Blocks, None),
        (Screen::Outlook, None),
        (Screen::SetUp, Some(Action::Section(1))),
        (Screen::Winter, None),
    ];
    let sizes = [(60, 16), (80, 24)];
    for (size, (screen, before)) in sizes
        .into_iter()
        .flat_map(|size| lists.map(|of| (size, of)))
    {
        let mut desk = desk(&store, size);
        desk.take(Event::Act(Action::Go(screen)));
        if let Some(action) = before {
            desk.take(Event::Act(action));
        }
        let (first, _) = in_sight(&desk);
        let room = first.len();
        assert!(room > 3 && room < BLOCKS && first[0] == 0, "{screen:?}");
        let mut last = String::new();
        for at in 1..BLOCKS {
            desk.take(Event::Key(Key::Down));
            let (lines, marked) = in_sight(&desk);
            let from = (at + 1).saturating_sub(room);
            assert_eq!(lines, (from..from + room).collect::<Vec<_>>(), "{screen:?}");
            assert_ne!(marked, last, "{screen:?}");
            last = marked;
        }
        // the way back begins with the cursor alone
        let (end, _) = in_sight(&desk);
        for _ in 1..room {
            desk.take(Event::Key(Key::Up));
            assert_eq!(in_sight(&desk).0, end, "{screen:?}");
        }
        desk.take(Event::Key(Key::Up));
        assert_eq!(in_sight(&desk).0[0], end[0] - 1, "{screen:?}");
        // nor does a touch move the list
        let (lines, _) = in_sight(&desk);
        desk.take(Event::Act(Action::Select(lines[room - 1])));
        assert_eq!(in_sight(&desk).0, lines, "{screen:?}");
    }
}

#[test]
fn a_list_that_became_lower_shows_the_chosen_line() {
    let store = many_blocks();
    let mut desk = desk(&store, (80, 40));
    desk.take(Event::Act(Action::Go(Screen::Blocks)));
    for _ in 0..25 {
        desk.take(Event::Key(Key::Down));
    }
    let (_, chosen) = in_sight(&desk);
    desk.take(Event::Resize(80, 24));
    let (lines, marked) = in_sight(&desk);
    assert_eq!((lines.last(), marked), (Some(&25), chosen));
    desk.take(Event::Key(Key::Up));
    assert_eq!(
        in_sight(&desk).0,
        lines,
        "the list stays where it was drawn"
    );
}
