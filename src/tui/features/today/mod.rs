//! The Today screen: which tree to walk to next, and who stands where.

pub(in crate::tui) mod again;
mod beside;
pub(in crate::tui) mod draw;
pub(in crate::tui) mod evening;
mod line;
mod rows;
pub(in crate::tui) mod work;

use std::fmt::Write as _;

use ratatui::layout::Rect;

use super::count;
use super::parts::{self, body};
use crate::judge::More;
use crate::orchard::CountId;
use crate::report::document::sheets;
use crate::report::papers::Paper;
use crate::report::{StandingLine, Walk, words};
use crate::tui::app::{Effect, Layer, Model, Moment};
use crate::tui::keymap::{key_name, stack};
use crate::tui::pen::{below, line_of, right_of};
use crate::tui::room::FULL;
use crate::tui::widgets::{Button, Cell, Column, Table, Width, actions, table, table_lines};
use crate::tui::{Action, Cursor, Mode, Pen, Screen, forms, text};

/// State of the screen.
#[derive(Debug, Default)]
pub struct State {
    /// The selected line: open counts first, then trees to count again, then the drawn trees that wait.
    selected: Cursor,
    /// First counts whose trees are to be counted again; kept while the program runs.
    again: Vec<CountId>,
    /// Who counts them.
    counter: String,
}

impl State {
    /// First counts whose trees were chosen to be counted again, those done among them.
    pub fn to_count_again(&self) -> &[CountId] {
        &self.again
    }

    /// Who counts them.
    pub fn counter(&self) -> &str {
        &self.counter
    }
}

/// From so many columns on, the crew's verdicts say what they rest on.
const WIDE: u16 = 50;
/// Lines of the buttons.
const BAR: u16 = 3;
/// From so many lines on, the crew stands below the trees where it has no room beside them.
const STACKED: u16 = 14;

/// What an action does here.
pub fn update(model: &mut Model, action: Action, _moment: Moment) -> Vec<Effect> {
    let lines = lines(model);
    let room = list_height(model);
    model
        .today
        .selected
        .act(lines, table_lines(room, lines), action);
    match action {
        Action::Open => open(model),
        Action::DaySheet => supervisor_page(model),
        _ => {}
    }
    Vec::new()
}

/// Trees to walk to.
fn lines(model: &Model) -> usize {
    let walk = model.figures.walk.as_ref();
    let of_walk = walk.map_or(0, |walk| walk.resume.len() + walk.next.len());
    of_walk + model.figures.again.len()
}

/// Lines of the list of trees to walk to.
fn list_height(model: &Model) -> u16 {
    let told = 2 + u16::from(model.house.to_settle > 0);
    let walk = model.figures.walk.as_ref();
    let anew = walk.is_some_and(|walk| !walk.redone.is_empty());
    let body = body(model);
    let height = body.height.saturating_sub(BAR);
    let (list, _) = halves(below(Rect { height, ..body }, told + u16::from(anew)));
    list.height - walk.map_or(0, |walk| part_lines(walk, list.height))
}

/// Counts the selected tree.
fn open(model: &mut Model) {
    let Some(walk) = &model.figures.walk else {
        model.note(forms::NO_WINTER);
        return;
    };
    let at = model.today.selected.at(lines(model));
    let resumed = walk.resume.get(at).map(|open| open.id);
    let below = at.checked_sub(walk.resume.len());
    let again = below.and_then(|at| model.figures.again.get(at));
    let again = again.map(|tree| tree.first);
    let next = below
        .and_then(|at| at.checked_sub(model.figures.again.len()))
        .and_then(|at| walk.next.get(at))
        .cloned();
    match (resumed, again, next) {
        (Some(open), ..) => count::resume(model, open),
        (None, Some(first), _) => count::pick_again(model, first),
        (None, None, Some(tree)) => count::pick(model, &tree),
        (None, None, None) => count::entered(model),
    }
    model.screen = Screen::Count;
}

/// Trees were chosen to be counted again: they stand before the drawn ones.
pub fn count_again(model: &mut Model, firsts: Vec<CountId>, counter: String) {
    (model.today.again, model.today.counter) = (firsts, counter);
    model.refresh_walk();
    model.screen = Screen::Today;
    let first = (model.figures.walk.as_ref()).map_or(0, |walk| walk.resume.len());
    model.today.selected.put(first);
    let trees = words::trees(model.figures.again.len() as u32);
    model.note(format!(
        "{trees} to count again, until the program is closed (asked for again, they are the same): Space counts the selected one"
    ));
}

/// The supervisor's page, to read.
fn supervisor_page(model: &mut Model) {
    let Some(season) = &model.season else {
        model.note(forms::NO_WINTER);
        return;
    };
    let page = sheets::supervisor(&season.supervisor_page(model.now.day));
    let paper = Some(Paper::Supervisor);
    model.show(Layer::sheets("The supervisor's page", page, paper));
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
        if matches!(model.layers.last(), Some(Layer::Reading)) {
            pen.text(line_of(body, 1), "Reading the winter …", pen.theme.faint());
            return;
        }
        pen.text(line_of(body, 1), "Welcome.", pen.theme.title());
        let words = "Nothing is set up yet. Set-up (F8, or touch it above) takes a winter, a block and the crew; \
            or leave and run `thirdwood demo` to look around in an invented orchard.";
        pen.wrapped(below(body, 3), words, pen.theme.text());
        return;
    };
    let orchard = if season.orchard.is_empty() {
        "Orchard"
    } else {
        season.orchard.as_str()
    };
    let rest = format!(", winter {}, {}", season.winter.label, words::day(walk.day));
    let title = pen.theme.title();
    parts::lead(pen, line_of(body, 0), (orchard, &rest), title);
    pen.text(
        line_of(body, 1),
        &sum_up(walk, body.width),
        pen.theme.text(),
    );
    let told = to_settle(model, pen, below(body, 2));
    let told = told + anew(walk, pen, below(body, 2 + told));
    let (list, beside) = halves(below(body, 2 + told));
    next_trees(model, pen, list, walk);
    who(pen, beside, walk);
}

/// The trees to walk to, and beside them who stands where; below them where there are too few columns, and nowhere where
/// there are too few lines for that.
fn halves(room: Rect) -> (Rect, Rect) {
    if room.width >= FULL.0 {
        let left = room.width * 11 / 20;
        let width = left.saturating_sub(1);
        return (Rect { width, ..room }, right_of(room, left));
    }
    let above = if room.height < STACKED {
        room.height
    } else {
        room.height.div_ceil(2)
    };
    let height = above;
    (Rect { height, ..room }, below(room, above))
}

/// Says that something waits for a person; gives the lines it took.
fn to_settle(model: &Model, pen: &mut Pen, area: Rect) -> u16 {
    let waiting = model.house.to_settle;
    if waiting > 0 {
        let words = format!("{waiting} to settle: Set-up (F8), Settings");
        pen.text(line_of(area, 0), &words, pen.theme.title());
    }
    u16::from(waiting > 0)
}

/// Says which rows were done over and want to be counted anew; gives the lines it took.
fn anew(walk: &Walk, pen: &mut Pen, area: Rect) -> u16 {
    let [first, more @ ..] = walk.redone.as_slice() else {
        return 0;
    };
    let also = match more.len() {
        0 => String::new(),
        more => format!(" and {more} more"),
    };
    let rest = format!(
        " row {}{also} redone: Draw (d) offers trees to count anew",
        first.row
    );
    let title = pen.theme.title();
    parts::lead(pen, line_of(area, 0), (&first.block_name, &rest), title);
    1
}

/// The day in a line; which row is open is said where there is room for all of it.
fn sum_up(walk: &Walk, columns: u16) -> String {
    let mut line = format!(
        "{} counted today; {} to go",
        words::trees(walk.counted_today),
        words::plural(walk.waiting, "drawn tree", "drawn trees")
    );
    if walk.disputes > 0 {
        let _ = write!(line, "; work logged twice: Set-up, Work");
        return line;
    }
    match walk.open_go_backs.as_slice() {
        [] => {}
        [one] => {
            line.push_str("; 1 row sent back is open");
            let place = format!(" ({} row {})", one.block_name, one.row);
            if text::width(&line) + text::width(&place) <= usize::from(columns) {
                line.push_str(&place);
            }
        }
        many => {
            let _ = write!(line, "; {} rows sent back are open", many.len());
        }
    }
    line
}

fn next_trees(model: &Model, pen: &mut Pen, area: Rect, walk: &Walk) {
    let open = walk.resume.iter().map(|open| {
        let block = model
            .season
            .as_ref()
            .map_or("", |season| season.block_name(open.block));
        let style = pen.theme.title();
        vec![
            Cell::styled(
                format!("{}: {block}", if open.again { "again" } else { "open" }),
                style,
            ),
            Cell::styled(open.row.to_string(), style),
            Cell::styled(open.tree.to_string(), style),
            Cell::new(open.pruner.as_deref().unwrap_or("before pruning")),
        ]
    });
    let again = model.figures.again.iter().map(|tree| {
        vec![
            Cell::new(format!("again: {}", tree.block_name)),
            Cell::new(tree.row.to_string()),
            Cell::new(tree.tree.to_string()),
            Cell::new(tree.pruner_shown.as_deref().unwrap_or("before pruning")),
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
    let rows: Vec<Vec<Cell>> = open.chain(again).chain(next).collect();
    let columns = [
        Column::new("Walk to", Width::Share(3)),
        Column::right("Row", Width::Fixed(4)),
        Column::right("Tree", Width::Fixed(5)),
        Column::new(" Pruned by", Width::Share(3)),
    ];
    let list = Table {
        columns: &columns,
        rows: &rows,
        cursor: Some(model.today.selected),
        empty: "No drawn tree waits. Log work (w) says what was pruned, Draw (d) draws trees out of it.",
    };
    // words that fill their lines would read on into what stands to the right
    let gap = if rows.is_empty() { 2 } else { 0 };
    let width = area.width.saturating_sub(gap);
    let lines = part_lines(walk, area.height);
    let height = area.height - lines;
    table(
        pen,
        Rect {
            width,
            height,
            ..area
        },
        &list,
    );
    if lines > 0 {
        let room = Rect {
            width: area.width.saturating_sub(1),
            ..below(area, height)
        };
        pen.wrapped(room, &selected_part(model, walk), pen.theme.title());
    }
}

/// Lines for what is to be counted on the selected tree, and the lines from which on there is room for it.
const PART_LINES: u16 = 3;
const PART_FROM: u16 = 9;

/// Lines below a list so high that tell what is to be counted, where leaders and pieces are drawn for a tree of it.
fn part_lines(walk: &Walk, height: u16) -> u16 {
    let drawn = walk.next.iter().any(|tree| tree.part.runs().is_some());
    PART_LINES * u16::from(drawn && height >= PART_FROM)
}

/// What is to be counted on the selected tree.
fn selected_part(model: &Model, walk: &Walk) -> String {
    let at = model.today.selected.at(lines(model));
    if let Some(open) = walk.resume.get(at) {
        let pieces = words::plural(open.pieces, "piece", "pieces");
        return format!("Begun, {pieces} so far: Count (Space) goes on with it");
    }
    let before = walk.resume.len() + model.figures.again.len();
    let tree = at.checked_sub(before).and_then(|at| walk.next.get(at));
    match tree.map(|tree| (tree, tree.part.runs())) {
        Some((tree, Some(runs))) => words::runs_line(tree.sides, tree.row, &runs),
        Some((_, None)) => "The whole tree, or the part counted last in the block".to_owned(),
        None => String::new(),
    }
}

fn who(pen: &mut Pen, area: Rect, walk: &Walk) {
    let seen = |line: &&StandingLine| line.trees > 0 || line.pruned > 0;
    let wide = area.width >= WIDE;
    let rows: Vec<Vec<Cell>> = walk
        .who
        .iter()
        .filter(seen)
        .map(|line| {
            let same = walk
                .who
                .iter()
                .filter(|other| other.subject == line.subject);
            who_line(pen, line, wide, same.count() > 1)
        })
        .collect();
    let columns = [
        Column::new("Stands", Width::Share(1)),
        Column::right("Trees", Width::Fixed(5)),
        Column::new(
            " Verdict",
            if wide {
                Width::Share(2)
            } else {
                Width::Fixed(17)
            },
        ),
    ];
    if area.is_empty() {
        for row in &rows {
            let cells: Vec<&str> = row.iter().map(|cell| cell.text().trim()).collect();
            pen.left_out(&format!("{}: {} trees, {}", cells[0], cells[1], cells[2]));
        }
    }
    let list = Table {
        columns: &columns,
        rows: &rows,
        cursor: None,
        empty: "Nobody has pruned or been counted yet.",
    };
    table(pen, area, &list);
}

/// The verdict in a word; what it rests on and how many more trees where there is room.
fn verdict(line: &StandingLine, wide: bool) -> String {
    let word = parts::list_word(line);
    match (line.lead, line.more) {
        (Some(lead), _) if wide => format!("{word} ({})", words::metric_short(lead)),
        (None, More::About(trees)) if wide => format!("{word}, about {trees} more"),
        _ => word,
    }
}

/// A pruner who works under two rules has two lines, and each says where.
fn who_line(pen: &Pen, line: &StandingLine, wide: bool, by_block: bool) -> Vec<Cell> {
    let tone = parts::tone(line.overall);
    let who = if by_block {
        format!("{} in {}", line.subject.shown(), line.blocks.join(", "))
    } else {
        line.subject.shown().to_owned()
    };
    vec![
        Cell::new(who),
        Cell::new(line.trees.to_string()),
        Cell::styled(
            format!(" {} {}", tone.mark(), verdict(line, wide)),
            parts::ink(pen.theme, tone),
        ),
    ]
}

fn buttons(model: &Model, pen: &mut Pen, area: Rect) {
    let make = |label, action| {
        let key = key_name(
            stack(Screen::Today, Mode::Base),
            action,
            &model.look.bud_keys,
        )
        .unwrap_or_default();
        Button::new(label, action).key(key)
    };
    let bar = [
        // nine buttons leave no room for the names of these keys
        make("Count", Action::Open).key("␣"),
        make("Up", Action::Up),
        make("Down", Action::Down),
        make("Work", Action::LogWork),
        make("Evening", Action::LogEvening),
        make("Draw", Action::DrawTrees),
        make("Again", Action::CountAgain).rare(),
        make("Page", Action::DaySheet).rare(),
        make("Papers", Action::Papers).key("^P").rare(),
    ];
    actions(pen, area, &bar);
}
