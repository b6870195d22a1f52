//! A draw on paper, with boxes to tick.

use super::parts::{Head, Put, paper, sheet, table};
use super::words;
use crate::report::document::{Document, Sheet};
use crate::report::fit::Align::Left;
use crate::report::{DrawList, WalkTree};

const TITLE: &str = "Draw";
const HEADS: [Head<'static>; 4] = [
    ("Tree", Left),
    ("Done", Left),
    ("Pruner", Left),
    ("Left out", Left),
];

/// A draw as a paper.
pub fn draw_list(of: &DrawList) -> Document {
    let title = format!("{TITLE} of {}", words::trees(of.trees.len() as u32));
    let day = words::day(of.day);
    let mut page = sheet(&of.orchard, &of.winter, title.clone(), day.clone());
    page.note(words::drawn_from(of));
    trees(&mut page, &of.trees);
    paper(format!("{title}, {day}"), vec![page])
}

/// Trees in walking order, a table a block.
pub(super) fn trees(page: &mut Sheet, trees: &[WalkTree]) {
    for block in trees.chunk_by(|a, b| a.block == b.block) {
        // where no tree was left out, there is no column for it
        let columns = if block
            .iter()
            .any(|tree| !words::left_out(&tree.fate).is_empty())
        {
            4
        } else {
            3
        };
        let rows = block.iter().map(|tree| {
            let mut row = vec![
                format!("row {}, tree {}", tree.row, tree.tree),
                words::tick(&tree.fate).to_owned(),
                tree.pruner_shown.clone(),
                words::left_out(&tree.fate),
            ];
            row.truncate(columns);
            row
        });
        page.part(table(
            &block[0].block_name,
            &HEADS[..columns],
            rows.collect(),
        ));
    }
}
