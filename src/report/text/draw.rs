//! A draw as a list to walk by.

use super::page::{Page, head};
use crate::report::fit::Align::{Left, Right};
use crate::report::{DrawList, WalkTree, words};

/// The draw as text.
pub fn draw_list(list: &DrawList) -> String {
    let mut page = Page::default();
    head(
        &mut page,
        &list.orchard,
        &list.winter,
        &format!("DRAW of {}", words::trees(list.trees.len() as u32)),
        &words::day(list.day),
    );
    page.para(&words::drawn_from(list), 0);
    page.blank();
    trees(&mut page, &list.trees);
    page.finish()
}

/// Trees in walking order, with a box to tick.
pub(super) fn trees(page: &mut Page, trees: &[WalkTree]) {
    let mut block = None;
    for tree in trees {
        if block != Some(tree.block) {
            page.line(&format!("  {}", tree.block_name));
            block = Some(tree.block);
        }
        page.row(&[
            ("", 3, Left),
            (words::tick(&tree.fate), 3, Left),
            ("row", 3, Left),
            (&tree.row.to_string(), 3, Right),
            ("tree", 4, Left),
            (&tree.tree.to_string(), 4, Right),
            ("", 1, Left),
            (&tree.pruner_shown, 50, Left),
        ]);
        let left_out = words::left_out(&tree.fate);
        if !left_out.is_empty() {
            page.para(&left_out, 8);
        }
    }
}
