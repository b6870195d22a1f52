//! A table of any kind, made by anybody.

use thirdwood::exchange::Table;

use super::checks::{all_tables, comes_in_again, harmless, import, note_kept, sheets};
use super::orchard::{emptied, scratch};

/// The tables by number: that of a find stays whatever tables come.
fn order() -> Vec<Table> {
    let first = [
        Table::Blocks,
        Table::Crew,
        Table::Winters,
        Table::Rules,
        Table::Work,
        Table::Counts,
        Table::Draws,
        Table::GoBacks,
        Table::Harvests,
    ];
    let since = Table::ALL
        .into_iter()
        .filter(|table| !first.contains(table));
    first.into_iter().chain(since).collect()
}

/// The first byte says which table, the rest is the file.
pub fn run(bytes: &[u8]) {
    let Some((which, text)) = bytes.split_first() else {
        return;
    };
    let all = order();
    let table = all[usize::from(*which) % all.len()];
    scratch(|store| {
        let before = all_tables(store);
        let report = import(store, table, text);
        for problem in &report.problems {
            harmless(&problem.to_string());
        }
        let after = all_tables(store);
        assert_eq!(report.kept, report.problems.is_empty());
        if !report.kept {
            assert_eq!(before, after, "a refused table changed something");
            return;
        }
        if report.added + report.changed > 0 {
            note_kept();
        }
        comes_in_again(store, &after, false);
        emptied(|other| comes_in_again(other, &after, true));
        if report.added + report.changed > 0 {
            sheets(store);
        }
    });
}

/// The tables of the invented orchard, each as an input of this target.
pub fn exported() -> Vec<Vec<u8>> {
    let mut inputs = Vec::new();
    scratch(|store| {
        let tables = all_tables(store).into_iter().zip(Table::ALL);
        let all = order();
        let which = |table| all.iter().position(|known| *known == table);
        inputs = tables
            .filter_map(|(text, table)| Some([vec![which(table)? as u8], text].concat()))
            .collect();
    });
    inputs
}
