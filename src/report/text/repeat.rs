//! Trees counted twice, as text.

use super::page::Page;
use crate::report::fit::Align::{Left, Right};
use crate::report::{RepeatGroup, Repeats, TwoCounts, words};

/// The section of the review.
pub(super) fn repeats(page: &mut Page, found: &Repeats) {
    page.heading("TREES COUNTED TWICE");
    page.para(&words::repeats(found), 2);
    for group in &found.groups {
        one_group(page, group);
    }
    if found.groups.iter().any(|group| !group.figures.is_empty()) {
        page.para(words::HOW_REPEATS, 2);
    }
    let caution = words::counting(&found.cautions);
    if !caution.is_empty() {
        page.para(&caution, 2);
    }
}

fn one_group(page: &mut Page, group: &RepeatGroup) {
    page.blank();
    if group.figures.is_empty() {
        page.para(&words::too_few_pairs(group), 2);
        return;
    }
    let trees = words::trees(group.pairs);
    page.para(&format!("{}: {trees}", words::counters(group)), 2);
    page.row(&[
        ("", 13, Left),
        ("Trees", 5, Right),
        ("Difference", 24, Right),
        ("Repeat", 6, Right),
        ("Limits", 16, Right),
        ("Counter's %", 11, Right),
    ]);
    for line in &group.figures {
        let [figure, trees, difference, repeat, limits, counter] = &words::repeat_cells(line);
        page.row(&[
            (figure, 13, Left),
            (trees, 5, Right),
            (difference, 24, Right),
            (repeat, 6, Right),
            (limits, 16, Right),
            (counter, 11, Right),
        ]);
    }
}

/// Two counts of a tree side by side.
pub fn two_counts(counts: &TwoCounts) -> String {
    let mut page = Page::default();
    page.para(&counts.place, 0);
    page.blank();
    page.row(&[
        ("", 24, Left),
        ("First", 20, Right),
        ("Again", 20, Right),
        ("Difference", 11, Right),
    ]);
    page.row(&[
        ("", 24, Left),
        (&counts.first, 20, Right),
        (&counts.again, 20, Right),
    ]);
    for line in &counts.lines {
        let difference = i64::from(line.again) - i64::from(line.first);
        let difference = match difference {
            0 => "same".to_owned(),
            other => format!("{other:+}"),
        };
        page.row(&[
            (&line.what, 24, Left),
            (&line.first.to_string(), 20, Right),
            (&line.again.to_string(), 20, Right),
            (&difference, 11, Right),
        ]);
    }
    page.blank();
    page.para(
        "The first count stands; this one is part of no verdict. What many such pairs say stands in the winter review \
         (F6, r).",
        0,
    );
    page.finish()
}
