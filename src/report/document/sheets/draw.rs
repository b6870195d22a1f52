//! A draw on paper, with boxes to tick.

use super::parts::{Head, Put, paper, sheet, table};
use super::words;
use crate::report::document::{Document, Sheet};
use crate::report::fit::Align::Left;
use crate::report::{DrawList, WalkTree};

const TITLE: &str = "Draw";
const HEADS: [Head<'static>; 5] = [
    ("Tree", Left),
    ("Done", Left),
    ("Leader and pieces", Left),
    ("Pruner", Left),
    ("Left out", Left),
];

/// A draw as a paper.
pub fn draw_list(of: &DrawList) -> Document {
    let title = format!("{TITLE} of {}", words::trees(of.trees.len() as u32));
    let day = words::day(of.day);
    let mut page = sheet(&of.orchard, &of.winter, title.clone(), day.clone());
    page.note(words::drawn_from(of));
    if of.trees.iter().any(|tree| tree.part.runs().is_some()) {
        page.note(words::LEADERS_NUMBERED.to_owned());
    }
    trees(&mut page, &of.trees);
    paper(format!("{title}, {day}"), vec![page])
}

/// Trees in walking order, a table a block. What no tree of the block has makes no column.
pub(super) fn trees(page: &mut Sheet, trees: &[WalkTree]) {
    for block in trees.chunk_by(|a, b| a.block == b.block) {
        let cells = |tree: &WalkTree| {
            let runs = tree.part.runs();
            [
                format!("row {}, tree {}", tree.row, tree.tree),
                words::tick(&tree.fate).to_owned(),
                runs.map_or_else(String::new, |runs| words::runs_short(&runs)),
                tree.pruner_shown.clone(),
                words::left_out(&tree.fate),
            ]
        };
        let rows: Vec<[String; 5]> = block.iter().map(cells).collect();
        let kept = |column: &usize| rows.iter().any(|row| !row[*column].is_empty()) || *column == 1;
        let columns: Vec<usize> = (0..HEADS.len()).filter(kept).collect();
        let heads: Vec<Head> = columns.iter().map(|column| HEADS[*column]).collect();
        let of = |row: &[String; 5]| columns.iter().map(|column| row[*column].clone()).collect();
        page.part(table(
            &block[0].block_name,
            &heads,
            rows.iter().map(of).collect(),
        ));
    }
}
