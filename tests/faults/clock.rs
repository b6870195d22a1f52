//! A clock that is absurd: counts are kept and can be read, and a word is said.

use chrono::NaiveDate;
use thirdwood::exchange::{self, ImportOptions, Table};
use thirdwood::store::CountFilter;
use thirdwood::tui::app::{Event, Tone};
use thirdwood::tui::runtime::{Runtime, Start};
use thirdwood::tui::{Action, Key, Screen};

use crate::child::{keys, start};
use crate::common;
use crate::world::{counted, figures, taps, tell};

const TAPS: usize = 12;

fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

#[test]
fn counts_made_by_an_absurd_clock_are_kept_and_can_be_read() {
    let clocks = [
        "1969-12-31",
        "1970-01-01",
        "2000-02-29",
        "2100-01-01",
        "2262-04-11",
    ];
    for said in clocks {
        let (house, small) = counted(2);
        let before = taps(&house.store(), &small).len();
        let store = house.store();
        let absurd = Start {
            today: Some(day(said)),
            ..start()
        };
        let mut desk = Runtime::new(&store, absurd, (80, 24)).unwrap();
        let word = desk.model.message.clone().unwrap();
        assert_eq!(word.tone, Tone::Problem);
        assert!(
            word.words
                .contains(&format!("clock of this tablet says {said}")),
            "{word:?}"
        );
        desk.take(Event::Act(Action::Go(Screen::Count)));
        for key in keys().take(TAPS) {
            desk.take(Event::Key(Key::Char(key)));
        }
        desk.take(Event::Key(Key::Enter));
        assert_eq!(taps(&store, &small).len(), before + TAPS, "{said}");
        drop(desk);
        drop(store);
        // the clock is set right
        let store = house.store();
        store.vouch().unwrap();
        let all = store.counts(CountFilter::Winter(small.winter.id)).unwrap();
        assert_eq!(
            all.iter()
                .filter(|count| count.head.at.day == day(said))
                .count(),
            1
        );
        let desk = Runtime::new(&store, start(), (80, 24)).unwrap();
        let word = desk.model.message.as_ref().map(|word| word.words.clone());
        let ahead = day(said) > common::today();
        let wanted = format!("1 count is of days to come, up to {said}, ");
        assert_eq!(
            word.is_some_and(|word| word.starts_with(&wanted)),
            ahead,
            "{said}"
        );
        figures(&store).unwrap();
        comes_in_again(&store);
    }
    tell(&format!(
        "{TAPS} taps by each of {} absurd clocks: all there and read again",
        clocks.len()
    ));
}

/// The table of counts read again changes nothing.
fn comes_in_again(store: &thirdwood::store::Store) {
    let mut table = Vec::new();
    exchange::export(store, Table::Counts, &mut table).unwrap();
    let options = ImportOptions {
        dry_run: false,
        today: common::today(),
        new_id: &mut uuid::Uuid::now_v7,
    };
    let report = exchange::import(store, Table::Counts, table.as_slice(), options).unwrap();
    assert!(
        report.kept && report.added + report.changed == 0,
        "{report:?}"
    );
}
