//! What must hold whatever was read.

use std::cell::Cell;

use ratatui::buffer::Buffer;
use thirdwood::exchange::{self, ImportOptions, ImportReport, Table};
use thirdwood::orchard::unsafe_in_text;
use thirdwood::report::papers::Paper;
use thirdwood::report::{Format, Making, Season};
use thirdwood::store::Store;
use uuid::Uuid;

use super::orchard::today;

thread_local! {
    static KEPT: Cell<usize> = const { Cell::new(0) };
}

/// Notes that an input was taken in: refusing everything would hold every promise.
pub fn note_kept() {
    KEPT.with(|kept| kept.set(kept.get() + 1));
}

/// How many inputs were taken in on this thread.
pub fn kept() -> usize {
    KEPT.with(Cell::get)
}

/// A message of one line or of several: nothing in it but newlines steers a terminal.
#[track_caller]
pub fn harmless(words: &str) {
    let bad = words.chars().find(|c| *c != '\n' && unsafe_in_text(*c));
    assert_eq!(bad, None, "{words:?}");
}

/// All tables, as they would be written to files: the file as a person can take it out.
pub fn all_tables(store: &Store) -> Vec<Vec<u8>> {
    let one = |table| {
        let mut bytes = Vec::new();
        exchange::export(store, table, &mut bytes).unwrap();
        bytes
    };
    Table::ALL.into_iter().map(one).collect()
}

/// A new identity, the same in each run.
pub fn next_id() -> Uuid {
    thread_local! {
        static MADE: Cell<u128> = const { Cell::new(1 << 64) };
    }
    MADE.with(|made| {
        made.set(made.get() + 1);
        Uuid::from_u128(made.get())
    })
}

pub fn import(store: &Store, table: Table, text: &[u8]) -> ImportReport {
    let options = ImportOptions {
        dry_run: false,
        today: today(),
        new_id: &mut next_id,
    };
    exchange::import(store, table, text, options).unwrap()
}

/// Tables that were taken out come in again, and are then the same; `news` says whether any line of them may be new.
pub fn comes_in_again(store: &Store, tables: &[Vec<u8>], news: bool) {
    for (table, text) in Table::ALL.into_iter().zip(tables) {
        let report = import(store, table, text);
        let told = || format!("{report:#?}\n{}", String::from_utf8_lossy(text));
        assert!(report.kept, "{}", told());
        assert!(news || report.added + report.changed == 0, "{}", told());
    }
    let again = all_tables(store);
    for (one, two) in tables.iter().zip(&again) {
        assert_eq!(String::from_utf8_lossy(one), String::from_utf8_lossy(two));
    }
}

/// Every sheet of every winter: it can be made, and holds nothing that steers.
pub fn sheets(store: &Store) {
    for winter in store.winters().unwrap() {
        let season = Season::load(store, winter).unwrap();
        for paper in Paper::ALL {
            // a block's own numbers may lie outside what an outlook can be made of: that is said, not made
            let Ok(Some(report)) = paper.report(&season, today()) else {
                continue;
            };
            for format in [Format::Text, Format::Csv, Format::Html, Format::Json] {
                let Ok(bytes) = report.write(format, &Making::default()) else {
                    continue;
                };
                let text = String::from_utf8(bytes).unwrap();
                let bad = text
                    .chars()
                    .find(|c| unsafe_in_text(*c) && !matches!(c, '\n' | '\r'));
                assert_eq!(bad, None, "{paper:?} {format:?}");
            }
        }
    }
}

/// Each drawn cell holds a letter or a blank.
pub fn cells(buffer: &Buffer) {
    for cell in buffer.content() {
        assert!(
            !cell.symbol().chars().any(unsafe_in_text),
            "{:?}",
            cell.symbol()
        );
    }
}
