//! The list of pruners, and the buttons of both views.

use ratatui::layout::Rect;

use super::sheet;
use crate::judge::More;
use crate::report::{Standing, StandingLine, Subject, words};
use crate::tui::app::Model;
use crate::tui::screens::parts::keyed;
use crate::tui::screens::standing::{self, list};
use crate::tui::widgets::{Button, Cell, Column, Table, Width, button_bar, table};
use crate::tui::{Action, Pen};

/// Draws the screen.
pub fn view(model: &Model, pen: &mut Pen, area: Rect) {
    let area = pen.clip(area);
    match &model.crew.open {
        Some(opened) => match sheet(model, opened) {
            Some(sheet) => {
                let still = !opened.at.part(sheet.parts).has_lines();
                let buttons = detail_buttons(model, still);
                standing::view(&sheet, &opened.at, pen, area, &buttons);
            }
            None => nothing(model, pen, area, opened.like.subject.shown()),
        },
        None => lines(model, pen, area),
    }
}

fn lines(model: &Model, pen: &mut Pen, area: Rect) {
    let rooms = list::rooms(area);
    let title = format!("Crew by number, {}", model.span.words());
    list::title(
        pen,
        rooms.title,
        &title,
        "% on the average tree, counted (drawn)",
    );
    let wide = area.width >= list::WIDE;
    let crew = &model.figures.crew;
    let rows: Vec<Vec<Cell>> = (crew.iter())
        .map(|standing| cells(crew, standing, pen, wide))
        .collect();
    let selected = model.crew.selected.min(rows.len().saturating_sub(1));
    table(
        pen,
        rooms.table,
        &Table {
            columns: &columns(wide),
            rows: &rows,
            selected: Some(selected),
            empty: empty(model),
        },
    );
    if let Some(standing) = crew.get(selected) {
        about(pen, rooms.about, standing);
    }
    button_bar(pen, rooms.buttons, &list_buttons(model, rows.is_empty()));
}

/// An opened pruner of whom nothing is known in these days.
fn nothing(model: &Model, pen: &mut Pen, area: Rect, shown: &str) {
    let rooms = list::rooms(area);
    list::title(pen, rooms.title, shown, model.span.words());
    let faint = pen.theme.faint();
    let words = "Neither pruned nor counted in these days: Period (p) shows others.";
    pen.wrapped(rooms.table, words, faint);
    button_bar(pen, rooms.buttons, &detail_buttons(model, true));
}

fn empty(model: &Model) -> &'static str {
    if model.season.is_none() {
        "No winter is set up yet: Set-up (F8), Winters, New (n). Then the blocks and the crew."
    } else if model.house.pruners.is_empty() {
        "Nobody is on the crew list yet: Set-up (F8), Crew, New (n)."
    } else {
        "Nobody has pruned or been counted yet. On Today (F2), Log work (w) says who pruned which rows and Draw (d) draws trees; Count (F3) counts them."
    }
}

fn columns(wide: bool) -> Vec<Column<'static>> {
    use Width::{Fixed, Share};
    let mut columns = vec![Column::new("Pruner", Share(1))];
    if wide {
        columns.push(Column::new("Blocks", Share(1)));
        columns.push(Column::right("Pruned", Fixed(6)));
    }
    columns.push(Column::right("Counted", Fixed(list::COUNTED)));
    columns.extend(["1y", "2y", "3y", "4+"].map(|age| Column::right(age, Fixed(3))));
    columns.extend([
        Column::right("Buds", Fixed(4)),
        Column::new("Verdict", Fixed(15)),
        Column::new("Rests on", Fixed(10)),
        Column::new("To count", Fixed(9)),
    ]);
    columns
}

fn cells(crew: &[Standing], standing: &Standing, pen: &Pen, wide: bool) -> Vec<Cell> {
    let line = StandingLine::new(standing);
    let mut cells = vec![Cell::new(name(crew, standing))];
    if wide {
        cells.push(Cell::new(words::list(&standing.blocks)));
        cells.push(Cell::new(standing.pruned.to_string()));
    }
    cells.push(list::counted(&line));
    cells.extend(list::shares(&line));
    cells.push(list::verdict(&line, pen.theme));
    cells.push(Cell::new(line.lead.map_or("", words::metric_short)));
    cells.push(Cell::new(more(&line)));
    cells
}

/// The pruner as shown; with the blocks where one pruner has several lines, one for each rule.
fn name(crew: &[Standing], standing: &Standing) -> String {
    let same = |other: &&Standing| super::same_pruner(other, standing);
    let several = crew.iter().filter(same).count() > 1;
    match (&standing.subject, several) {
        (Subject::Pruner { number, .. }, true) if !standing.blocks.is_empty() => {
            format!("Nr {number}: {}", words::list(&standing.blocks))
        }
        (subject, _) => subject.shown().to_owned(),
    }
}

/// How many more trees, in a narrow column.
fn more(line: &StandingLine) -> String {
    match line.more {
        More::Settled => String::new(),
        _ if line.trees == 0 => String::new(),
        More::About(trees) => format!("about {trees}"),
        More::TooClose => "too close".to_owned(),
        More::Unknown => "not known".to_owned(),
        More::NotLookedAt => "part seen".to_owned(),
    }
}

/// The selected pruner in words: nothing is cut off here that the table had no room for.
fn about(pen: &mut Pen, area: Rect, standing: &Standing) {
    let mut trees = list::trees(standing);
    if !standing.blocks.is_empty() {
        trees = format!("{trees}; in {}", words::list(&standing.blocks));
    }
    list::about(pen, area, standing, &trees);
}

fn list_buttons(model: &Model, none: bool) -> [Button<'static>; 7] {
    [
        keyed(model, "Open", Action::Open).off(none),
        keyed(model, "Up", Action::Up).off(none),
        keyed(model, "Down", Action::Down).off(none),
        keyed(model, "Period", Action::TogglePeriod),
        keyed(model, "Pictures", Action::Pictures).off(none),
        keyed(model, "Papers", Action::Papers),
        keyed(model, "Day sheet", Action::DaySheet).off(none),
    ]
}

fn detail_buttons(model: &Model, still: bool) -> [Button<'static>; 8] {
    [
        keyed(model, "Back", Action::Back),
        keyed(model, "Part <", Action::PrevSection),
        keyed(model, "Part >", Action::NextSection),
        keyed(model, "Up", Action::Up).off(still),
        keyed(model, "Down", Action::Down).off(still),
        keyed(model, "Period", Action::TogglePeriod),
        keyed(model, "Pictures", Action::Pictures),
        keyed(model, "Sheet", Action::DaySheet),
    ]
}
