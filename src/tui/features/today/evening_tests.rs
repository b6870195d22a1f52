use super::*;
use crate::drafts::block_draft;
use crate::orchard::{BlockDraft, BlockId, LostDays, LostDaysId, LostKind, Stint};
use crate::orchard::{Winter, WinterDraft, WinterId};
use crate::store::Store;
use crate::tui::app::Event;
use crate::tui::runtime::Runtime;
use crate::tui::trial::{crew_of, shown, start, today};
use crate::tui::{Action, Key, Screen};
use uuid::Uuid;

/// The day before the evening.
fn yesterday() -> NaiveDate {
    today().pred_opt().unwrap()
}

/// Two blocks, eight pruners, and what seven of them did yesterday: 8 h each.
fn orchard() -> Store {
    let store = Store::in_memory().unwrap();
    let draft = WinterDraft {
        label: "2026/27".into(),
        start: NaiveDate::from_ymd_opt(2026, 11, 20).unwrap(),
        budburst: NaiveDate::from_ymd_opt(2027, 3, 25).unwrap(),
        block_budburst: BTreeMap::new(),
    };
    let winter = Winter::new(WinterId(Uuid::from_u128(1)), draft).unwrap();
    store.save_winter(&winter).unwrap();
    let block = |id, name: &str, rows: &str| {
        let draft: BlockDraft = block_draft(name, rows, "");
        let block = Block::new(BlockId(Uuid::from_u128(id)), draft).unwrap();
        store.save_block(&block).unwrap();
        block
    };
    let chapel = block(10, "Chapel", "1-40x60");
    let river = block(11, "River", "1-40x60");
    let crew = crew_of(&[1, 2, 3, 4, 5, 6, 7, 8]);
    for pruner in &crew {
        store.save_pruner(pruner).unwrap();
    }
    let did = [
        (0, &chapel, 1..=2),
        (1, &chapel, 3..=4),
        (2, &chapel, 5..=5),
        (3, &chapel, 6..=7),
        (4, &river, 1..=2),
        (5, &river, 3..=3),
        (6, &river, 4..=5),
    ];
    let mut id = 100;
    for (who, block, rows) in did {
        let many = u16::try_from(rows.clone().count()).unwrap();
        for row in rows {
            id += 1;
            let draft = WorkDraft {
                winter: winter.id,
                pruner: crew[who].id,
                block: block.id,
                row,
                first: 1,
                last: 60,
                day: yesterday(),
                minutes: Some(480 / many),
                how: How::default(),
            };
            let entry = WorkEntry::new(WorkId(Uuid::from_u128(id)), draft, block).unwrap();
            store.save_work(&entry).unwrap();
        }
    }
    store
}

fn desk(store: &Store, size: (u16, u16)) -> Runtime<'_> {
    let mut desk = Runtime::new(store, start(), size).unwrap();
    desk.take(Event::Act(Action::Go(Screen::Today)));
    desk
}

/// What is logged of the evening: pruner, block, row, minutes.
fn logged(store: &Store) -> Vec<(u16, String, u16, Option<u16>)> {
    let (blocks, pruners) = (store.blocks().unwrap(), store.pruners().unwrap());
    let work = store
        .work(WinterId(Uuid::from_u128(1)))
        .unwrap()
        .into_iter();
    let of_day = work.filter(|work| work.day == today());
    let mut lines: Vec<_> = of_day
        .map(|work| {
            let number = pruners
                .iter()
                .find(|one| one.id == work.pruner)
                .unwrap()
                .number;
            let block = blocks.iter().find(|one| one.id == work.block).unwrap();
            (number, block.name.clone(), work.row, work.minutes)
        })
        .collect();
    lines.sort();
    lines
}

/// Eight pruners, ten pieces of work: two worked in two places, one of them in the other block; one had other hours;
/// one is ill.
#[test]
fn an_evening_of_eight_takes_at_most_sixty_keys() {
    let store = orchard();
    let mut desk = desk(&store, (80, 24));
    let mut keys = vec![Key::Char('e')];
    for line in ["+", "+", "=;16", "13-14", "+", "=;20 ch 2h", "+6:30", ""] {
        keys.extend(line.chars().map(Key::Char));
        keys.push(Key::Enter);
    }
    keys.push(Key::Ctrl('s'));
    let pressed = keys.len();
    for key in keys {
        desk.take(Event::Key(key));
    }
    assert!(
        desk.model.layers.is_empty(),
        "{:?}",
        desk.model.layers.last()
    );
    assert!(pressed <= 60, "{pressed} keys");
    let line = |number, block: &str, row, minutes| (number, block.to_owned(), row, Some(minutes));
    let wanted = [
        line(1, "Chapel", 8, 240),
        line(1, "Chapel", 9, 240),
        line(2, "Chapel", 10, 240),
        line(2, "Chapel", 11, 240),
        line(3, "Chapel", 5, 240),
        line(3, "Chapel", 16, 240),
        line(4, "Chapel", 13, 240),
        line(4, "Chapel", 14, 240),
        line(5, "River", 6, 240),
        line(5, "River", 7, 240),
        line(6, "Chapel", 20, 120),
        line(6, "River", 3, 360),
        line(7, "River", 9, 195),
        line(7, "River", 10, 195),
    ];
    assert_eq!(logged(&store), wanted);
}

fn form_of(desk: &Runtime<'_>) -> String {
    shown(desk)
}

/// Types a line for the first pruner of the list, and tries to save.
fn typed(desk: &mut Runtime<'_>, lines: &[&str]) -> String {
    desk.take(Event::Key(Key::Char('e')));
    for line in lines {
        for letter in line.chars() {
            desk.take(Event::Key(Key::Char(letter)));
        }
        desk.take(Event::Key(Key::Enter));
    }
    desk.take(Event::Key(Key::Ctrl('s')));
    form_of(desk)
}

#[test]
fn what_is_wrong_is_told_in_its_line_and_nothing_is_kept() {
    for (lines, problem) in [
        (&["99"][..], "has rows"),
        (&["=", "1"], "has row 1 of Chapel above"),
        (&["= 13:00", "+ 25:00"], "is no time"),
        (&["5 zz"], "zz begins no block: /1 Chapel, /2 River"),
        (&["5 /9"], "/9 is no block"),
        (&["5 &1"], "is named twice"),
        (&["5 &77"], "no pruner number 77"),
        (&["= 20:00; 9 7:00"], "would have 27:00 hours"),
        (&["; 5 6:00 7:00"], "one too many"),
        (&["", "", ""], "nothing is typed yet"),
        (&["= 8:00; 9"], "they leave none for the rest"),
        (
            &["", "", "", "", "", "", "", "+"],
            "in which block? Write its first letters",
        ),
    ] {
        let store = orchard();
        let mut desk = desk(&store, (80, 24));
        let shown = typed(&mut desk, lines).replace('\n', " ");
        let shown = shown.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(shown.contains(problem), "{lines:?} {problem}: {shown}");
        assert_eq!(logged(&store), [], "{lines:?}");
    }
}

#[test]
fn a_pair_and_rows_that_another_has_are_shared_when_it_is_said() {
    let store = orchard();
    let mut desk = desk(&store, (80, 24));
    typed(&mut desk, &["", "", "20 &4 6:00"]);
    assert!(desk.model.layers.is_empty(), "{}", form_of(&desk));
    let season = desk.model.season.as_ref().unwrap();
    assert!(season.disputes().is_empty(), "a pair is meant");
    let all = logged(&store);
    let pair = [3, 4].map(|number| (number, "Chapel".to_owned(), 20, Some(360)));
    assert_eq!(all, pair);
    // the same row again, by another: asked, and nothing is replaced
    let shown = typed(&mut desk, &["20"]);
    assert!(shown.contains("choose together, or instead"), "{shown}");
    assert_eq!(logged(&store), pair);
}

#[test]
fn rain_and_who_has_left_are_told_before_it_is_saved() {
    let store = orchard();
    let winter = WinterId(Uuid::from_u128(1));
    let rain = LostDays {
        id: LostDaysId(Uuid::from_u128(50)),
        winter,
        first: today(),
        last: today(),
        kind: LostKind::Rain,
    };
    store.save_lost_days(&rain).unwrap();
    let stint = |number: usize, leaves| Stint {
        winter,
        pruner: store.pruners().unwrap()[number - 1].id,
        joins: None,
        leaves: Some(leaves),
    };
    store.save_stint(&stint(1, yesterday())).unwrap();
    store
        .save_stint(&stint(2, yesterday() - chrono::Days::new(5)))
        .unwrap();
    let mut desk = desk(&store, (100, 34));
    desk.take(Event::Key(Key::Char('e')));
    desk.take(Event::Key(Key::Char('=')));
    let shown = form_of(&desk);
    assert!(shown.contains("2027-01-12 IS NOTED AS RAIN."), "{shown}");
    assert!(shown.contains("LEFT ON 2027-01-11."), "{shown}");
    assert!(!shown.contains("Nr 2"), "left long ago: {shown}");
    // the form for one tells it too
    let mut desk = self::desk(&store, (100, 34));
    desk.take(Event::Key(Key::Char('w')));
    for key in [Key::Tab, Key::Tab, Key::Char('9')] {
        desk.take(Event::Key(key));
    }
    let shown = form_of(&desk);
    assert!(shown.contains("IS NOTED AS RAIN."), "{shown}");
}

/// Every line is in sight while it is typed in, and a touch finds its letters.
#[test]
fn an_evening_is_logged_on_a_narrow_screen_and_by_touch() {
    let store = orchard();
    let mut desk = desk(&store, (60, 16));
    desk.take(Event::Act(Action::LogEvening));
    for at in 0..8 {
        desk.take(Event::Act(Action::Field(BEFORE + at)));
        let shown = form_of(&desk);
        assert!(shown.contains(&format!("Nr {}", at + 1)), "{shown}");
    }
    desk.take(Event::Act(Action::Field(BEFORE)));
    for letter in ['2', '1', '-', '2', '2'] {
        desk.take(Event::Act(Action::Type(letter)));
    }
    desk.take(Event::Act(Action::Save));
    let line = |row| (1, "Chapel".to_owned(), row, Some(240));
    assert_eq!(logged(&store), [line(21), line(22)]);
}
