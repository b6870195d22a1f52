//! What the Count screen says of the tree in hand.

use std::fmt::Write as _;

use super::Current;
use crate::orchard::{Stage, Tally};
use crate::report::words;
use crate::tui::app::Model;
use crate::tui::features::parts;

pub(super) fn place_words(model: &Model, current: &Current, columns: u16) -> String {
    let head = &current.head;
    let block = model
        .season
        .as_ref()
        .map_or("?", |season| season.block_name(head.block));
    let left = to_go(model, current);
    let rest = format!(", row {}, tree {}{left}", head.row, head.tree);
    parts::led(block, &rest, columns)
}

/// How many drawn trees wait, where this is one of them.
pub(super) fn to_go(model: &Model, current: &Current) -> String {
    let drawn = model.figures.walk.as_ref().map_or(0, |walk| walk.waiting);
    let trees = words::plural(drawn, "drawn tree", "drawn trees");
    let left = current.drawn.map(|_| format!("  ({trees} to go)"));
    left.unwrap_or_default()
}

pub(super) fn about_words(model: &Model, current: &Current, columns: u16) -> String {
    let head = &current.head;
    let who = match (head.pruner, &model.season) {
        (Some(pruner), Some(season)) => season.pruner_shown(pruner),
        _ => "pruner not known".to_owned(),
    };
    let stage = match head.stage {
        Stage::After => "after pruning",
        Stage::Before => "BEFORE pruning",
    };
    let part = words::part(head.part);
    let how = if head.again {
        "again, blind"
    } else {
        head.chosen.word()
    };
    let mark = (model.season.as_ref())
        .and_then(|season| season.marks.get((head.block, head.row, head.tree)))
        .map_or_else(String::new, |known| match known.mark {
            mark if mark.is_outside() => format!(" · {}: IN NO FIGURE", mark.word()),
            mark => format!(" · {}", mark.word()),
        });
    let rest = format!(" · {stage} · {part} · {how}{mark}");
    parts::led(&who, &rest, columns)
}

/// What is on the tree; upright and thick wood only where no pad tells it.
pub(super) fn tally_words(tally: &Tally, has_pads: bool) -> String {
    let mut words = [
        words::plural(tally.pieces(), "piece", "pieces"),
        words::plural(tally.unit_count(), "unit", "units"),
    ]
    .join(", ");
    for (number, name) in [
        (tally.upright, "upright"),
        (tally.thick_top, "thick in top"),
    ] {
        if number > 0 && !has_pads {
            let _ = write!(words, ", {number} {name}");
        }
    }
    words
}

/// What is said of a second count.
pub(super) fn blind_words(counter: &str) -> String {
    let who = if counter.is_empty() {
        "nobody is named as the counter".to_owned()
    } else {
        format!("counted by {counter}")
    };
    format!(
        "COUNTED AGAIN, {who}. The first count and all verdicts stay out of sight until it is closed."
    )
}
