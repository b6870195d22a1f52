//! A block's rows as text, a mark for each tree.

use super::page::Page;
use crate::report::fit::Align;
use crate::report::{Mark, RowMap, RowMarks, words};

/// Tree places in a line.
const PLACES: usize = 60;

/// The block as text.
pub fn row_map(map: &RowMap) -> String {
    let mut page = Page::default();
    page.sides(&map.name, &words::day(map.day));
    page.line(&format!(
        "{} of {} pruned, {} left",
        map.pruned,
        words::trees(map.total),
        map.left
    ));
    page.line("# counted   o pruned   . not pruned   _ no tree");
    page.rule();
    for row in &map.rows {
        one_row(&mut page, row);
    }
    page.finish()
}

fn one_row(page: &mut Page, row: &RowMarks) {
    let number = row.number.to_string();
    for (at, places) in row.places.chunks(PLACES).enumerate() {
        let marks: String = places.iter().map(|mark| sign(*mark)).collect();
        let (name, done) = if at == 0 {
            (number.as_str(), format!("{}/{}", row.pruned, row.trees))
        } else {
            ("", String::new())
        };
        page.row(&[
            (name, 4, Align::Right),
            (&marks, PLACES, Align::Left),
            (&done, 9, Align::Right),
        ]);
    }
    if !row.pruners.is_empty() {
        let who: Vec<String> = (row.pruners.iter())
            .map(|part| format!("{}-{} {}", part.first, part.last, part.pruner_short))
            .collect();
        page.para(&who.join(", "), 5);
    }
    if let Some(line) = &row.sent_back {
        page.para(&words::go_back(line, true), 5);
    }
}

fn sign(mark: Mark) -> char {
    match mark {
        Mark::Missing => '_',
        Mark::Unpruned => '.',
        Mark::Pruned => 'o',
        Mark::Counted => '#',
    }
}
