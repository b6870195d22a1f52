//! What the Count screen shows.

use ratatui::layout::Rect;

use super::runs;
use super::said::{about_words, blind_words, place_words, tally_words};
use super::{Current, State};
use crate::judge::Metric;
use crate::orchard::{Age, Buds, MAX_BUDS, PrunerId, Size, Tally, Tap};
use crate::report::{Standing, Subject, words};
use crate::tui::app::Model;
use crate::tui::features::parts;
use crate::tui::keymap::{key_name, stack};
use crate::tui::pen::{below, line_of, right_of};
use crate::tui::widgets::{Button, actions, button, button_bar, mix_bar};
use crate::tui::{Action, Mode, Pen, Screen};

/// Columns of the names of the three bands.
const NAMES: u16 = 16;
/// Lines above the pads.
const HEAD: u16 = 6;

/// Draws the screen.
pub fn view(model: &Model, pen: &mut Pen, area: Rect) {
    let rows = Rows::share(area);
    heading(model, pen, rows.head);
    pads(model, pen, rows.pads);
    for (size, band) in Size::ALL.into_iter().zip(rows.bands) {
        bud_band(model, pen, band, size);
    }
    echo(model, pen, rows.echo);
    buttons(model, pen, rows.buttons);
}

/// How the height is shared: pads and bands grow with the screen and are never lower than a finger.
struct Rows {
    head: Rect,
    pads: Rect,
    bands: [Rect; 3],
    echo: Rect,
    buttons: Rect,
}

impl Rows {
    fn share(area: Rect) -> Self {
        let rest = area.height.saturating_sub(HEAD + 1);
        // pads, three bands and the buttons: five rows of targets
        let each = (rest / 5).clamp(3, 7);
        let line = |y: u16, height: u16| Rect {
            height: height.min(area.height.saturating_sub(y)),
            ..below(area, y)
        };
        let head = HEAD + rest.saturating_sub(5 * each);
        Self {
            head: line(0, head),
            pads: line(head, each),
            bands: [1, 2, 3].map(|n| line(head + n * each, each)),
            echo: line(head + 4 * each, 1),
            buttons: line(head + 4 * each + 1, each),
        }
    }
}

fn heading(model: &Model, pen: &mut Pen, area: Rect) {
    let Some(current) = &model.count.current else {
        no_tree(model, pen, area);
        return;
    };
    pen.text(
        line_of(area, 0),
        &place_words(model, current, area.width),
        pen.theme.title(),
    );
    pen.text(
        line_of(area, 1),
        &about_words(model, current, area.width),
        pen.theme.faint(),
    );
    let this = format!(
        "this tree: {}",
        tally_words(&current.tally, model.look.extras)
    );
    if let Some(next) = runs::line(model, current, area.width) {
        pen.text(line_of(area, 3), &next, pen.theme.title());
    }
    if current.head.again {
        blind(pen, area, &this, &current.head.counter);
        return;
    }
    labelled_mix(pen, below(area, 2), &this, tree_mix(&current.tally));
    so_far(model, pen, below(area, 4), current);
}

/// A second count: neither the first one nor any mix or verdict is in sight.
fn blind(pen: &mut Pen, area: Rect, this: &str, counter: &str) {
    pen.text(line_of(area, 2), this, pen.theme.text());
    pen.wrapped(below(area, 4), &blind_words(counter), pen.theme.title());
}

pub(super) fn no_tree(model: &Model, pen: &mut Pen, area: Rect) {
    pen.text(line_of(area, 0), "No tree in hand", pen.theme.title());
    let words = if model.season.is_none() {
        "Nothing is set up yet. Leave (Esc), then Set-up (F8): a winter, the blocks and the crew are entered there."
    } else {
        "No drawn tree is waiting. Leave (Esc) to Today and Draw (d) trees there, or choose one by eye here: Other (6)."
    };
    pen.wrapped(below(area, 2), words, pen.theme.text());
}

pub(super) fn tree_mix(tally: &Tally) -> Option<[f64; 4]> {
    let pieces = tally.pieces();
    (pieces > 0).then(|| tally.ages.map(|n| f64::from(n) / f64::from(pieces)))
}

/// Columns of the words left of a mix.
fn label_columns(area: Rect) -> u16 {
    (area.width * 2 / 5).saturating_sub(1)
}

/// Words on the left, the mix as a bar on the right.
fn labelled_mix(pen: &mut Pen, area: Rect, words: &str, mix: Option<[f64; 4]>) {
    let line = line_of(area, 0);
    let left = Rect {
        width: label_columns(area),
        ..line
    };
    pen.text(left, words, pen.theme.text());
    let bar = right_of(line, left.width + 1);
    mix_bar(pen, bar, mix.unwrap_or([0.0; 4]));
}

/// The pruner's standing over the winter so far: closed counts only.
pub(super) fn so_far(model: &Model, pen: &mut Pen, area: Rect, current: &Current) {
    let Some(standing) = current
        .head
        .pruner
        .and_then(|pruner| standing(model, pruner, current))
    else {
        pen.text(
            line_of(area, 0),
            "no closed count of this pruner yet",
            pen.theme.faint(),
        );
        return;
    };
    let trees = format!(": {}", words::trees(standing.trees));
    let words = parts::led(standing.subject.shown(), &trees, label_columns(area));
    labelled_mix(pen, area, &words, standing.mix);
    let line = line_of(area, 1);
    let used = parts::badge(pen, line, &standing.judgement);
    let judgement = &standing.judgement;
    let found = |lead: Metric| {
        let target = standing.bands[lead.index()].target;
        words::finding(lead, judgement.metric(lead).verdict, target)
    };
    let lead = match (judgement.lead, judgement.hint) {
        (Some(lead), _) => found(lead),
        (None, Some(hint)) => words::hint(hint),
        (None, None) => String::new(),
    };
    let words: Vec<String> = [
        lead,
        words::more(judgement.more) + &words::taking(judgement.more, model.figures.minutes_a_tree),
    ]
    .into_iter()
    .filter(|part| !part.is_empty())
    .collect();
    pen.text(
        right_of(line, used + 1),
        &words.join(", "),
        pen.theme.text(),
    );
}

fn standing<'m>(model: &'m Model, pruner: PrunerId, current: &Current) -> Option<&'m Standing> {
    let of_pruner = |standing: &&Standing| matches!(standing.subject, Subject::Pruner { id, .. } if id == pruner);
    let block = model
        .season
        .as_ref()
        .map(|season| season.block_name(current.head.block))?;
    let mut all = model
        .figures
        .so_far
        .iter()
        .filter(of_pruner)
        .filter(|standing| standing.trees > 0);
    let first = all.clone().next();
    all.find(|standing| standing.blocks.iter().any(|name| name == block))
        .or(first)
}

pub(super) fn key_of(model: &Model, action: Action) -> String {
    key_name(
        stack(Screen::Count, Mode::Base),
        action,
        &model.look.bud_keys,
    )
    .unwrap_or_default()
}

pub(super) fn tap_button(
    model: &Model,
    label: &'static str,
    tap: Tap,
    counted: u32,
) -> Button<'static> {
    Button::new(label, Action::Tap(tap))
        .key(key_of(model, Action::Tap(tap)))
        .detail(counted.to_string())
}

pub(super) fn pads(model: &Model, pen: &mut Pen, area: Rect) {
    let tally = model.count.tally().copied().unwrap_or_default();
    let names = if pen.small && model.look.extras {
        // six of them leave room for no more, with their numbers
        ["1-yr", "2-yr", "3-yr", "4-plus"]
    } else {
        ["one-year", "two-year", "three-year", "four-plus"]
    };
    let mut bar: Vec<Button> = Age::ALL
        .into_iter()
        .zip(names)
        .map(|(age, name)| {
            tap_button(model, name, Tap::Piece(age), tally.ages[age.index()])
                .style(pen.theme.age(age))
        })
        .collect();
    if model.look.extras {
        bar.push(tap_button(model, "upright", Tap::Upright, tally.upright));
        let name = if pen.small { "in top" } else { "thick top" };
        bar.push(tap_button(model, name, Tap::ThickTop, tally.thick_top));
    }
    button_bar(pen, area, &bar);
}

fn bud_band(model: &Model, pen: &mut Pen, area: Rect, size: Size) {
    let tally = model.count.tally().copied().unwrap_or_default();
    band_name(
        model,
        pen,
        Rect {
            width: NAMES.min(area.width),
            ..area
        },
        size,
        &tally,
    );
    let cells = right_of(area, NAMES);
    let wide = cells.width / (u16::from(MAX_BUDS) + 1);
    for (x, buds) in (0..).zip(Buds::all()) {
        let place = Rect {
            x: cells.x + x * wide,
            width: wide,
            ..cells
        };
        let counted = tally.units[size.index()][usize::from(buds.get())];
        let label = bud_label(buds, counted);
        let tap = Action::Tap(Tap::TwoYear(size, buds));
        let mut cell = Button::new(&label, tap).key(key_of(model, tap));
        if counted > 0 {
            cell = cell.style(pen.theme.size(size));
        }
        button(pen, place, &cell);
    }
}

/// The buds, and how many units were tapped in the cell: `4`, then `4 x2`.
pub(super) fn bud_label(buds: Buds, counted: u32) -> String {
    let buds = if buds.get() == MAX_BUDS {
        "7+".to_owned()
    } else {
        buds.get().to_string()
    };
    if counted > 0 {
        format!("{buds} x{counted}")
    } else {
        buds
    }
}

fn band_name(model: &Model, pen: &mut Pen, area: Rect, size: Size, tally: &Tally) {
    let rule = model
        .season
        .as_ref()
        .zip(model.count.place())
        .map(|(season, head)| season.rule(head.block));
    pen.text(
        line_of(area, 0),
        &format!("{} 2-year", size.word()),
        pen.theme.text(),
    );
    if let Some(rule) = rule {
        pen.text(line_of(area, 1), &rule.size_band(size), pen.theme.faint());
        let limit = format!("rule {} buds", rule.bud_limit(size).text());
        pen.text(line_of(area, 2), &limit, pen.theme.faint());
    }
    let units = tally.units_of(size);
    if units > 0 && area.height > 3 {
        let mean = f64::from(tally.buds_of(size)) / f64::from(units);
        pen.text(
            line_of(area, 3),
            &format!("left {mean:.1} ({units})"),
            pen.theme.text(),
        );
    }
}

pub(super) fn echo(model: &Model, pen: &mut Pen, area: Rect) {
    let State { echo, less, .. } = &model.count;
    let looked_at = model.count.current.as_ref().is_some_and(|tree| tree.closed);
    let words = if *less {
        "TAKE ONE OFF: touch or press what is one too many (Del: nothing)"
    } else if looked_at {
        "CLOSED, only looked at: a tap opens it again; Esc leaves it as it is"
    } else {
        echo
    };
    pen.text(area, words, pen.theme.title());
}

pub(super) fn buttons(model: &Model, pen: &mut Pen, area: Rect) {
    let drawn = model.count.drawn().is_some();
    let none = model.count.place().is_none();
    let none_tapped = model.count.tally().is_none_or(Tally::is_empty);
    let make = |label, action| Button::new(label, action).key(key_of(model, action));
    let bar = [
        make("UNDO", Action::Undo),
        make("Less", Action::Less)
            .off(none)
            .active(model.count.less),
        make("Tree", Action::TreeDetails).off(none),
        make("Other", Action::OtherTree).rare(),
        make("Rework", Action::SendBack).off(none).rare(),
        make("Mark", Action::MarkTrees).off(none).rare(),
        // a tree with pieces is not left out any more, but its leader may have no more
        if model.count.leads() && !none_tapped {
            make("Next", Action::EndLeader)
        } else {
            make("Skip", Action::SkipTree).off(!drawn)
        },
        make("Leave", Action::LeaveCount),
        // ten buttons leave no room for the name of this key
        make("CLOSE", Action::CloseTree).key("↵").off(none),
        make("Help", Action::Help).rare(),
        make("Papers", Action::Papers).spare(),
    ];
    actions(pen, area, &bar);
}
