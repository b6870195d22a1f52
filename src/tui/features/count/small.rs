//! The Count screen where there is little room: which tree, its mix, the pads, the last tap, the buttons. Two-year
//! pieces have the pads of one size at a time; the letters count all sizes.

use ratatui::layout::Rect;

use super::Current;
use super::runs;
use super::said::{about_words, blind_words, tally_words, to_go};
use super::view::{bud_label, buttons, echo, key_of, no_tree, pads, so_far, tree_mix};
use crate::orchard::{Buds, Size, Stage, Tap};
use crate::report::words;
use crate::tui::app::Model;
use crate::tui::features::parts;
use crate::tui::pen::{below, line_of, right_of};
use crate::tui::widgets::{Button, button, fold_tabs, mix_bar};
use crate::tui::{Action, Pen, text};

/// Lines above the pads: the tree, and its mix.
const HEAD: u16 = 2;
/// Cells of a row of units: three sizes and eight pads, and a word on the rule, in two rows.
const ACROSS: u16 = 6;
/// The fewest columns of a mix beside the words on it.
const BAR: u16 = 20;

/// Draws the screen.
pub(super) fn view(model: &Model, pen: &mut Pen, area: Rect) {
    let rest = area.height.saturating_sub(HEAD + 1);
    // ages, two rows of units and the buttons: four rows of targets
    let each = (rest / 4).clamp(3, 7);
    let head = area.height.saturating_sub(4 * each + 1);
    let line = |y: u16, height: u16| Rect {
        height: height.min(area.height.saturating_sub(y)),
        ..below(area, y)
    };
    let mut leads = None;
    if let Some(current) = &model.count.current {
        heading(model, pen, line(0, head), current);
        leads = runs_here(model, current, line(0, head));
        pads(model, pen, line(head, each));
        units(model, pen, [1, 2].map(|row| line(head + row * each, each)));
    } else {
        // nothing can be tapped, and what to do is told in the room of the pads
        no_tree(model, pen, line(0, head + 3 * each));
    }
    let below_pads = line(head + 3 * each, 1);
    match leads.filter(|_| !model.count.less) {
        // the piece just counted is in the sums above
        Some((_, on_it)) => pen.text(below_pads, &on_it, pen.theme.title()),
        None => echo(model, pen, below_pads),
    }
    buttons(model, pen, line(head + 3 * each + 1, each));
    fold_tabs(pen);
}

fn heading(model: &Model, pen: &mut Pen, area: Rect, current: &Current) {
    let season = model.season.as_ref();
    let block = season.map_or("?", |season| season.block_name(current.head.block));
    let place = place_words(model, current, area);
    parts::lead(pen, line_of(area, 0), (block, &place), pen.theme.title());
    let tally = tally_words(&current.tally, false);
    if current.head.again {
        pen.text(line_of(area, 1), &tally, pen.theme.text());
    } else {
        mix(pen, line_of(area, 1), &tally, current);
    }
    if let Some(next) = runs::line(model, current, area.width) {
        pen.text(line_of(area, 2), &next, pen.theme.title());
    } else {
        let about = about_words(model, current, u16::MAX) + &to_go(model, current);
        pen.text(line_of(area, 2), &about, pen.theme.faint());
    }
    if current.head.again {
        let words = blind_words(&current.head.counter);
        pen.wrapped(below(area, 3), &words, pen.theme.title());
        return;
    }
    so_far(model, pen, below(area, 3), current);
}

/// The leader and where on it, where the heading has no line for that alone.
fn runs_here(model: &Model, current: &Current, heading: Rect) -> Option<(String, String)> {
    let parts = runs::parts(model, current, heading.width);
    parts.filter(|_| heading.height <= HEAD)
}

/// The tree, which part of it is counted, and what sets it apart from others.
fn place_words(model: &Model, current: &Current, area: Rect) -> String {
    let head = &current.head;
    let mut place = format!(", row {}, tree {} · ", head.row, head.tree);
    place += &runs_here(model, current, area)
        .map_or_else(|| words::part(head.part), |(leader, _)| leader);
    if head.stage == Stage::Before {
        place += " · BEFORE";
    }
    if head.again {
        place += " · again";
    }
    let season = model.season.as_ref();
    let mark = season.and_then(|season| season.marks.get((head.block, head.row, head.tree)));
    if mark.is_some_and(|known| known.mark.is_outside()) {
        place += " · IN NO FIGURE";
    }
    place
}

/// What is on the tree, and its mix in what is left of the line.
fn mix(pen: &mut Pen, line: Rect, words: &str, current: &Current) {
    let used = (text::width(words) as u16 + 1).min(line.width.saturating_sub(BAR));
    let left = Rect {
        width: used.saturating_sub(1),
        ..line
    };
    pen.text(left, words, pen.theme.text());
    let shares = tree_mix(&current.tally).unwrap_or([0.0; 4]);
    mix_bar(pen, right_of(line, used), shares);
}

/// The sizes, and the pads of the one that is chosen.
fn units(model: &Model, pen: &mut Pen, rows: [Rect; 2]) {
    let size = model.count.pads;
    let cell = |nth: u16| {
        let row = rows[usize::from(nth / ACROSS)];
        let wide = row.width / ACROSS;
        Rect {
            x: row.x + nth % ACROSS * wide,
            width: wide,
            ..row
        }
    };
    let tally = model.count.tally().copied().unwrap_or_default();
    for (nth, one) in (0..).zip(Size::ALL) {
        let counted = tally.units_of(one);
        let mut pad = Button::new(one.word(), Action::Pads(one)).active(one == size);
        if counted > 0 {
            pad = pad.detail(counted.to_string());
        }
        button(pen, cell(nth), &pad);
    }
    for (nth, buds) in (3..).zip(Buds::all()) {
        let counted = tally.units[size.index()][usize::from(buds.get())];
        let label = bud_label(buds, counted);
        let tap = Action::Tap(Tap::TwoYear(size, buds));
        let mut pad = Button::new(&label, tap).key(key_of(model, tap));
        if counted > 0 {
            pad = pad.style(pen.theme.size(size));
        }
        button(pen, cell(nth), &pad);
    }
    rule(model, pen, cell(2 * ACROSS - 1), size);
}

/// What the rule says of the size, and what was left on this tree.
fn rule(model: &Model, pen: &mut Pen, area: Rect, size: Size) {
    let known = model.season.as_ref().zip(model.count.place());
    let Some((season, head)) = known else { return };
    let rule = season.rule(head.block);
    let limit = format!("rule {}", rule.bud_limit(size).text());
    pen.text(line_of(area, 0), &rule.size_band(size), pen.theme.faint());
    pen.text(line_of(area, 1), &limit, pen.theme.faint());
    let tally = model.count.tally().copied().unwrap_or_default();
    let units = tally.units_of(size);
    if units > 0 {
        let mean = f64::from(tally.buds_of(size)) / f64::from(units);
        let left = format!("left {}", words::figure(mean));
        pen.text(line_of(area, 2), &left, pen.theme.text());
    }
}
