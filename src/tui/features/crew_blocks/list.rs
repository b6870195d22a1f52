//! The list of pruners or of blocks, and the buttons of both views.

use ratatui::layout::Rect;

use super::{Of, Part, block_of, is_same, opened, table as parts};
use crate::judge::More;
use crate::report::{Standing, StandingLine, Subject, words};
use crate::tui::app::Model;
use crate::tui::features::parts::{keyed, turn_back};
use crate::tui::text::percent;
use crate::tui::widgets::{Button, Cell, Column, Table, Width, actions, table};
use crate::tui::{Action, Pen, is_small};

/// Draws the screen.
pub fn view(model: &Model, of: Of, pen: &mut Pen, area: Rect) {
    let area = pen.clip(area);
    let Some(open) = &of.state(model).open else {
        return lines(model, of, pen, area);
    };
    match of.sheet(model, open) {
        Some(sheet) => {
            let buttons = detail_buttons(model, of, open.at.part(sheet.parts));
            opened::view(&sheet, &open.at, pen, area, &buttons);
        }
        None => nothing(model, of, pen, area, open.like.subject.shown()),
    }
}

fn lines(model: &Model, of: Of, pen: &mut Pen, area: Rect) {
    let rooms = parts::rooms(area);
    let what = match of {
        Of::Crew => "Crew by number",
        Of::Blocks => "Blocks by name",
    };
    let title = format!("{what}, {}", model.span.words());
    let key = "% on the average tree, counted (drawn)";
    parts::title(pen, rooms.title, &title, key);
    let wide = area.width >= parts::WIDE;
    let all = of.all(model);
    let rows: Vec<Vec<Cell>> = (all.iter())
        .map(|standing| cells(model, standing, pen, wide))
        .collect();
    let cursor = of.state(model).cursor;
    table(
        pen,
        rooms.table,
        &Table {
            columns: &columns(of, wide),
            rows: &rows,
            cursor: Some(cursor),
            empty: empty(model, of),
        },
    );
    if let Some(standing) = all.get(cursor.at(all.len())) {
        let rests_on = rests_on(model, standing);
        let told = (standing, model.figures.minutes_a_tree);
        parts::about(pen, rooms.about, told, &rests_on);
    }
    let buttons = list_buttons(model, of, rows.is_empty());
    actions(pen, rooms.buttons, &buttons);
}

/// What is opened, and nothing is known of it in these days.
fn nothing(model: &Model, of: Of, pen: &mut Pen, area: Rect, shown: &str) {
    let rooms = parts::rooms(area);
    parts::title(pen, rooms.title, shown, model.span.words());
    let faint = pen.theme.faint();
    let words = "Neither pruned nor counted in these days: Period (p) shows others.";
    pen.wrapped(rooms.table, words, faint);
    actions(pen, rooms.buttons, &detail_buttons(model, of, Part::Mix));
}

fn empty(model: &Model, of: Of) -> &'static str {
    match of {
        _ if model.season.is_none() => {
            "No winter is set up yet: Set-up (F8), Winters, New (n). Then the blocks and the crew."
        }
        Of::Blocks => "No block is entered yet: Set-up (F8), Blocks, New (n).",
        Of::Crew if model.house.pruners.is_empty() => {
            "Nobody is on the crew list yet: Set-up (F8), Crew, New (n)."
        }
        Of::Crew => {
            "Nobody has pruned or been counted yet. On Today (F2), Log work (w) says who pruned which rows and Draw (d) draws trees; Count (F3) counts them."
        }
    }
}

fn columns(of: Of, wide: bool) -> Vec<Column<'static>> {
    use Width::{Fixed, Share};
    let pruned = Column::right("Pruned", Fixed(6)).goes(1);
    let mut columns = match of {
        Of::Crew if wide => vec![
            Column::new("Pruner", Share(1)),
            Column::new("Blocks", Share(1)),
            pruned,
        ],
        Of::Crew => vec![Column::new("Pruner", Share(1))],
        Of::Blocks => vec![
            Column::new("Block", Share(1)),
            pruned,
            Column::right("Left", Fixed(5)),
        ],
    };
    columns.push(Column::right("Counted", Fixed(parts::COUNTED)).goes(3));
    columns.extend(["1y", "2y", "3y", "4+"].map(|age| Column::right(age, Fixed(3))));
    columns.extend([
        Column::right("Buds", Fixed(4)),
        Column::new("Verdict", Fixed(15)),
    ]);
    if wide || of == Of::Crew {
        columns.push(Column::new("Rests on", Fixed(10)).goes(4));
    }
    columns.push(match of {
        Of::Crew => Column::new("To count", Fixed(9)),
        Of::Blocks if wide => Column::right("Not looked at", Fixed(13)),
        Of::Blocks => Column::right("Not seen", Fixed(8)).goes(2),
    });
    columns
}

fn cells(model: &Model, standing: &Standing, pen: &Pen, wide: bool) -> Vec<Cell> {
    let line = StandingLine::new(standing);
    let pruned = Cell::new(standing.pruned.to_string());
    let block = block_of(standing);
    let mut cells = match block {
        None if wide => vec![
            Cell::new(name(model, standing)),
            Cell::new(words::list(&standing.blocks)),
            pruned,
        ],
        None => vec![Cell::new(name(model, standing))],
        Some(_) => {
            let left = left(model, standing);
            let left = left.map_or_else(|| "-".to_owned(), |left| left.to_string());
            vec![Cell::new(standing.subject.shown()), pruned, Cell::new(left)]
        }
    };
    cells.push(parts::counted(&line));
    cells.extend(parts::shares(&line));
    cells.push(parts::verdict(&line, pen.theme));
    if wide || block.is_none() {
        cells.push(Cell::new(line.lead.map_or("", words::metric_short)));
    }
    cells.push(Cell::new(match block {
        None => more(&line),
        Some(_) if standing.pruned == 0 => "-".to_owned(),
        Some(_) => percent(standing.unsampled),
    }));
    cells
}

/// The pruner as shown; with the blocks where one pruner has several lines, one for each rule.
fn name(model: &Model, standing: &Standing) -> String {
    let crew = model.figures.crew.iter();
    let several = crew.filter(|other| is_same(other, standing)).count() > 1;
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

/// Trees of the block that are not pruned yet.
fn left(model: &Model, standing: &Standing) -> Option<u32> {
    let block = block_of(standing)?;
    let mut all = model.figures.progress.iter();
    all.find(|known| known.block == block)
        .map(|known| known.left)
}

/// What the selected one rests on, in words: nothing is cut off here that the table had no room for.
fn rests_on(model: &Model, standing: &Standing) -> String {
    let mut trees = parts::trees(standing);
    if block_of(standing).is_none() {
        if !standing.blocks.is_empty() {
            trees = format!("{trees}; in {}", words::list(&standing.blocks));
        }
        return trees;
    }
    if let Some(left) = left(model, standing) {
        trees = format!("{trees}; {left} left to prune");
    }
    if !standing.not_looked_at.is_empty() {
        let names = words::list(&standing.not_looked_at);
        let share = percent(standing.unsampled);
        // first, as a long line is cut at its end
        trees = format!("not looked at: {names} ({share} of the trees); {trees}");
    }
    trees
}

/// What is asked of the one that is selected or opened, and of nothing else.
fn own_button(model: &Model, of: Of) -> Button<'static> {
    match of {
        Of::Crew => keyed(model, "Sheet", Action::DaySheet),
        Of::Blocks => keyed(model, "Go-back", Action::Settle),
    }
}

fn list_buttons(model: &Model, of: Of, none: bool) -> Vec<Button<'static>> {
    let mut buttons = vec![
        keyed(model, "Open", Action::Open).off(none),
        keyed(model, "Up", Action::Up).off(none),
        keyed(model, "Down", Action::Down).off(none),
        keyed(model, "Period", Action::TogglePeriod).rare(),
        keyed(model, "Pictures", Action::Pictures).off(none).rare(),
        keyed(model, "Papers", Action::Papers).rare(),
        keyed(model, "Rework", Action::SendBack).off(none).rare(),
        own_button(model, of).off(none),
    ];
    buttons.extend(marking(model, of));
    buttons
}

/// What a full screen has on the rows of a block, or by its key alone.
fn marking(model: &Model, of: Of) -> Vec<Button<'static>> {
    match of {
        Of::Crew => Vec::new(),
        Of::Blocks => vec![
            keyed(model, "Mark", Action::MarkTrees).spare(),
            keyed(model, "Unmark", Action::Undo).spare(),
        ],
    }
}

/// Beside those that all parts have, what is done with the rows that a part is about.
fn detail_buttons(model: &Model, of: Of, part: Part) -> Vec<Button<'static>> {
    let scrolled = is_small(model.size) && matches!(part, Part::Days | Part::Triangle);
    let still = !(part.has_lines() || scrolled);
    let period = keyed(model, "Period", Action::TogglePeriod);
    let rework = keyed(model, "Rework", Action::SendBack);
    let [one, other] = match part {
        Part::Rows => [keyed(model, "Mark", Action::MarkTrees), rework],
        Part::GoBacks => [period, rework],
        Part::Mix | Part::Buds | Part::Days | Part::Triangle | Part::Words => {
            [period, keyed(model, "Pictures", Action::Pictures)]
        }
    };
    let mut buttons = vec![
        keyed(model, "Back", Action::Back),
        turn_back(model),
        keyed(model, "Part >", Action::NextSection),
        keyed(model, "Up", Action::Up).off(still),
        keyed(model, "Down", Action::Down).off(still),
        one,
        other,
        own_button(model, of),
        keyed(model, "Period", Action::TogglePeriod).spare(),
        keyed(model, "Rework", Action::SendBack).spare(),
        keyed(model, "Pictures", Action::Pictures).spare(),
        keyed(model, "Papers", Action::Papers).spare(),
    ];
    buttons.extend(marking(model, of));
    buttons
}
