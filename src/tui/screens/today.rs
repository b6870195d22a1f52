//! The Today screen: which tree to walk to next, and who stands where.

use ratatui::layout::Rect;

use super::{count, parts};
use crate::report::{StandingLine, Walk, text as text_report, words};
use crate::tui::app::{Cover, Effect, Model, Moment};
use crate::tui::keymap::{key_name, stack};
use crate::tui::pen::{below, line_of, right_of};
use crate::tui::widgets::{Button, Cell, Column, Table, Width, button_bar, table};
use crate::tui::{Action, Layer, Pen, Screen};

/// State of the screen.
#[derive(Debug, Default)]
pub struct State {
    /// The selected line: open counts first, then the drawn trees that wait.
    selected: usize,
}

/// Lines that page keys move by.
const PAGE: usize = 10;

/// What an action does here.
pub fn update(model: &mut Model, action: Action, _moment: Moment) -> Vec<Effect> {
    let lines = model
        .figures
        .walk
        .as_ref()
        .map_or(0, |walk| walk.resume.len() + walk.next.len());
    let at = &mut model.today.selected;
    *at = parts::moved(*at, lines, PAGE, action);
    match action {
        Action::Open => open(model),
        Action::DaySheet => supervisor_page(model),
        _ => {}
    }
    Vec::new()
}

/// Counts the selected tree.
fn open(model: &mut Model) {
    let Some(walk) = &model.figures.walk else {
        model.note("set up a winter first: F8 Set-up");
        return;
    };
    let at = model.today.selected;
    let resumed = walk.resume.get(at).map(|open| open.id);
    let next = at
        .checked_sub(walk.resume.len())
        .and_then(|at| walk.next.get(at))
        .cloned();
    match (resumed, next) {
        (Some(open), _) => count::resume(model, open),
        (None, Some(tree)) => count::pick(model, &tree),
        (None, None) => count::entered(model),
    }
    model.screen = Screen::Count;
}

/// The supervisor's page, to read.
fn supervisor_page(model: &mut Model) {
    let Some(season) = &model.season else {
        model.note("set up a winter first: F8 Set-up");
        return;
    };
    let page = text_report::supervisor(&season.supervisor_page(model.now.day));
    model.cover = Some(Cover::Page {
        title: "The supervisor's page".to_owned(),
        lines: page.lines().map(str::to_owned).collect(),
        scroll: 0,
    });
}

/// Draws the screen.
pub fn view(model: &Model, pen: &mut Pen, area: Rect) {
    let bar = below(area, area.height.saturating_sub(3));
    let body = Rect {
        height: area.height.saturating_sub(3),
        ..area
    };
    buttons(model, pen, bar);
    let (Some(walk), Some(season)) = (&model.figures.walk, &model.season) else {
        if model.reading {
            pen.text(line_of(body, 1), "Reading the winter …", pen.theme.faint());
            return;
        }
        pen.text(line_of(body, 1), "Welcome.", pen.theme.title());
        let words = "Nothing is set up yet. Press F8 for Set-up and enter a winter, a block and the crew; \
            or leave and run `thirdwood demo` to look around in an invented orchard.";
        pen.wrapped(below(body, 3), words, pen.theme.text());
        return;
    };
    let orchard = if season.orchard.is_empty() {
        "Orchard"
    } else {
        season.orchard.as_str()
    };
    let head = format!(
        "{orchard}, winter {}, {}",
        season.winter.label,
        words::day(walk.day)
    );
    pen.text(line_of(body, 0), &head, pen.theme.title());
    pen.text(line_of(body, 1), &sum_up(walk), pen.theme.text());
    let room = below(body, 2);
    let left = room.width * 11 / 20;
    next_trees(
        model,
        pen,
        Rect {
            width: left.saturating_sub(1),
            ..room
        },
        walk,
    );
    who(pen, right_of(room, left), walk);
}

fn sum_up(walk: &Walk) -> String {
    let back = match walk.open_go_backs.as_slice() {
        [] => String::new(),
        [one] => format!(
            "; 1 row sent back is open ({} row {})",
            one.block_name, one.row
        ),
        many => format!("; {} rows sent back are open", many.len()),
    };
    format!(
        "{} counted today; {} to go{back}",
        words::trees(walk.counted_today),
        words::plural(walk.waiting, "drawn tree", "drawn trees")
    )
}

fn next_trees(model: &Model, pen: &mut Pen, area: Rect, walk: &Walk) {
    let open = walk.resume.iter().map(|open| {
        let block = model
            .season
            .as_ref()
            .map_or("", |season| season.block_name(open.block));
        let style = pen.theme.title();
        vec![
            Cell::styled(format!("open: {block}"), style),
            Cell::styled(open.row.to_string(), style),
            Cell::styled(open.tree.to_string(), style),
            Cell::new(open.pruner.as_deref().unwrap_or("before pruning")),
        ]
    });
    let next = walk.next.iter().map(|tree| {
        vec![
            Cell::new(tree.block_name.as_str()),
            Cell::new(tree.row.to_string()),
            Cell::new(tree.tree.to_string()),
            Cell::new(tree.pruner_shown.as_str()),
        ]
    });
    let rows: Vec<Vec<Cell>> = open.chain(next).collect();
    let columns = [
        Column::new("Walk to", Width::Share(3)),
        Column::right("Row", Width::Fixed(4)),
        Column::right("Tree", Width::Fixed(5)),
        Column::new(" Pruned by", Width::Share(3)),
    ];
    let list = Table {
        columns: &columns,
        rows: &rows,
        selected: (!rows.is_empty())
            .then_some(model.today.selected.min(rows.len().saturating_sub(1))),
        empty: "No drawn tree waits. w logs work, d draws trees.",
    };
    table(pen, area, &list);
}

fn who(pen: &mut Pen, area: Rect, walk: &Walk) {
    let seen = |line: &&StandingLine| line.trees > 0 || line.pruned > 0;
    let rows: Vec<Vec<Cell>> = walk
        .who
        .iter()
        .filter(seen)
        .map(|line| who_line(pen, line))
        .collect();
    let columns = [
        Column::new("Stands", Width::Share(2)),
        Column::right("Trees", Width::Fixed(5)),
        Column::new(" Verdict", Width::Share(3)),
    ];
    let list = Table {
        columns: &columns,
        rows: &rows,
        selected: None,
        empty: "Nobody has pruned or been counted yet.",
    };
    table(pen, area, &list);
}

fn who_line(pen: &Pen, line: &StandingLine) -> Vec<Cell> {
    let tone = parts::tone(line.overall);
    vec![
        Cell::new(line.subject.shown()),
        Cell::new(line.trees.to_string()),
        Cell::styled(
            format!(" {} {}", tone.mark(), line.words()),
            parts::ink(pen.theme, tone),
        ),
    ]
}

fn buttons(model: &Model, pen: &mut Pen, area: Rect) {
    let make = |label, action| {
        let key = key_name(
            stack(Screen::Today, Layer::Base),
            action,
            &model.look.bud_keys,
        )
        .unwrap_or_default();
        Button::new(label, action).key(key)
    };
    let bar = [
        make("Count", Action::Open),
        make("Up", Action::Up),
        make("Down", Action::Down),
        make("Log work", Action::LogWork),
        make("Draw", Action::DrawTrees),
        make("Sheet", Action::DaySheet),
    ];
    button_bar(pen, area, &bar);
}
