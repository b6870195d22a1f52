//! Leading through the leaders and pieces that were drawn for a tree.

use super::{Act, Current};
use crate::judge::{leaders_of, lot};
use crate::orchard::{InFull, Invalid, Next, Part, PieceRun, PieceRuns, Tap};
use crate::report::words;
use crate::store::Change;
use crate::tui::app::{Effect, FormKind, Model};
use crate::tui::{forms, text};

/// What is to be counted on a tree, where leaders and pieces were drawn.
fn runs(current: &Current) -> Option<PieceRuns> {
    current.head.part.runs()
}

/// Where the next piece is; none where no pieces were drawn, or all are counted.
pub(super) fn next(current: &Current) -> Option<Next> {
    runs(current)?.next(current.tally.pieces())
}

/// Whether all that was drawn is counted.
fn is_through(current: &Current) -> bool {
    runs(current).is_some() && next(current).is_none()
}

/// Whether the first leader's pieces are still to be told.
fn asks_in_full(current: &Current) -> bool {
    runs(current).is_some_and(|runs| runs.in_full == InFull::Asked)
}

/// What to do next, in one line of so many columns; none where nothing was drawn.
pub(super) fn line(model: &Model, current: &Current, columns: u16) -> Option<String> {
    let runs = runs(current)?;
    let Some(next) = next(current) else {
        return Some("All pieces are counted: CLOSE (Enter)".to_owned());
    };
    let block = model.house.block(current.head.block)?;
    let done = next.run.pieces - next.left;
    let mut line = if done == 0 {
        let begin = words::run_begin(block.sides, current.head.row, &runs, next.run);
        let whole = format!("{begin}, then {}", next.left);
        if text::width(&whole) <= usize::from(columns) {
            whole
        } else {
            // how many to leave out and to count is never cut; Today tells how the leader is found
            let begin = words::begin_on_leader(next.run);
            format!(
                "{}, {begin}, then {}",
                words::leader(&runs, next.run),
                next.left
            )
        }
    } else {
        let leader = words::leader(&runs, next.run);
        format!(
            "{leader}, from the {} third on: {} to go",
            next.run.third.word(),
            next.left
        )
    };
    add_next(&mut line, &runs, &next, columns);
    Some(line[..1].to_uppercase() + &line[1..])
}

/// The same in two parts, where there is no line for it alone: the leader, and where on it.
pub(super) fn parts(model: &Model, current: &Current, columns: u16) -> Option<(String, String)> {
    let runs = runs(current)?;
    let next = next(current)?;
    let block = model.house.block(current.head.block)?;
    let leader = words::leader_found(block.sides, current.head.row, &runs, next.run);
    let mut on_it = if next.left == next.run.pieces {
        format!("{}, then {}", words::begin_on_leader(next.run), next.left)
    } else {
        format!("{} to go", next.left)
    };
    add_next(&mut on_it, &runs, &next, columns);
    Some((leader, on_it[..1].to_uppercase() + &on_it[1..]))
}

/// Adds what comes after this run, where there is room for it.
fn add_next(line: &mut String, runs: &PieceRuns, next: &Next, columns: u16) {
    if let Some(then) = runs.iter().nth(next.nth + 1) {
        let then = format!(" · then {}", after(runs, next.run, then));
        if text::width(line) + text::width(&then) <= usize::from(columns) {
            *line += &then;
        }
    }
}

/// The leader after this one; of the same leader its other third.
fn after(runs: &PieceRuns, now: PieceRun, then: PieceRun) -> String {
    if then.leader == now.leader {
        format!("its {} third", then.third.word())
    } else {
        words::leader(runs, then)
    }
}

/// Whether a tap is refused: a piece more than were drawn.
pub(super) fn refuses(current: &Current, tap: Tap) -> bool {
    let piece = matches!(tap, Tap::Piece(_) | Tap::TwoYear(..));
    piece && is_through(current)
}

/// Whether this tap closes the tree: it is the last piece that was drawn, and nothing is asked after it.
pub(super) fn closes(model: &Model, current: &Current, tap: Tap) -> bool {
    let last = next(current).is_some_and(|next| {
        let runs = runs(current).map_or(0, |runs| runs.iter().count());
        next.left == 1 && runs == next.nth + 1
    });
    let piece = matches!(tap, Tap::Piece(_) | Tap::TwoYear(..));
    piece && last && !current.head.again && !model.look.stays_open && !asks_in_full(current)
}

/// The tap is on disk: where the first leader is counted in full after the last piece, its pieces are asked for.
pub(super) fn ask_in_full(model: &mut Model) {
    let asks = |current: &Current| is_through(current) && asks_in_full(current);
    if model.count.current.as_ref().is_some_and(asks) {
        forms::open(model, FormKind::LeaderInFull);
    }
}

/// Whether closing asks for the first leader's pieces before.
pub(super) fn asks_before_closing(current: &Current) -> bool {
    is_through(current) && asks_in_full(current)
}

/// What is asked where the tree is closed before all is counted; none where all is, or nothing was drawn.
pub(super) fn unfinished(current: &Current) -> Option<String> {
    let next = next(current)?;
    let all = runs(current)?.pieces();
    let leader = words::leader(&runs(current)?, next.run);
    Some(format!(
        "{} of {all} pieces are counted. If {leader} has no more, say no: Next (=) goes on to what is next. Close the \
         tree with what there is?",
        current.tally.pieces()
    ))
}

/// The leader in hand has no further piece: on to the next, or the tree is done.
pub(super) fn end_leader(model: &mut Model) -> Vec<Effect> {
    let Some(current) = &mut model.count.current else {
        return Vec::new();
    };
    let (Some(runs), Some(_)) = (runs(current), next(current)) else {
        model.note("no leaders and pieces are drawn here: CLOSE (Enter) ends a tree");
        return Vec::new();
    };
    let before = current.head.part;
    let ended = Part::Runs(runs.ended(current.tally.pieces()));
    current.acts.push(Act::Ended(before));
    record(model, ended)
}

/// Another number of leaders on this tree, by one; only before the first piece.
pub(super) fn leaders(model: &mut Model, by: i8) -> Vec<Effect> {
    let Some(current) = &model.count.current else {
        return Vec::new();
    };
    let Some(runs) = runs(current) else {
        model.note("no leaders are drawn for this tree");
        return Vec::new();
    };
    let of = runs.leaders().saturating_add_signed(by);
    match with_leaders(model, current, of) {
        Ok(part) => {
            let before = current.head.part;
            if let Some(current) = &mut model.count.current {
                current.acts.push(Act::Ended(before));
            }
            model.note(format!(
                "{} here",
                words::plural(u32::from(of), "leader", "leaders")
            ));
            record(model, part)
        }
        Err(wrong) => {
            model.note(wrong.problem);
            Vec::new()
        }
    }
}

/// The part to count on a tree with so many leaders: the lot falls anew, as it would have.
pub(super) fn with_leaders(model: &Model, current: &Current, of: u8) -> Result<Part, Invalid> {
    let part = current.head.part;
    let Some(runs) = runs(current).filter(|runs| runs.leaders() != of) else {
        return Ok(part);
    };
    if current.tally.pieces() > 0 {
        let problem = "pieces of this tree are counted already: take them back first (UNDO)";
        return Err(Invalid::new("leaders", problem));
    }
    let place = current.drawn.and_then(|(draw, place)| {
        let draws = model.season.iter().flat_map(|season| &season.draws);
        Some((draws.clone().find(|known| known.id == draw)?.seed, place))
    });
    // a second count goes where the first one went, as far as there are such leaders
    let drawn = place.map_or_else(
        || runs.iter().map(|run| run.leader.min(of)).collect(),
        |(seed, place)| leaders_of(of, runs.iter().count() as u8, lot(seed, place)),
    );
    let moved = runs.on_leaders(of, &drawn);
    moved
        .map(Part::Runs)
        .map_err(|wrong| Invalid::new("leaders", wrong.problem))
}

/// Undoes what [`end_leader`] and [`leaders`] did.
pub(super) fn undo_part(model: &mut Model, before: Part) -> Vec<Effect> {
    if let Some(current) = &mut model.count.current {
        current.acts.pop();
    }
    record(model, before)
}

/// Records another part with the tree in hand.
fn record(model: &mut Model, part: Part) -> Vec<Effect> {
    let Some(current) = &mut model.count.current else {
        return Vec::new();
    };
    current.head.part = part;
    if !current.begun {
        return Vec::new();
    }
    let head = current.head.clone();
    vec![Effect::Write(vec![Change::Head(
        current.id,
        Box::new(head),
    )])]
}

/// The part that was drawn for the tree in hand; none where none was.
pub(super) fn drawn(model: &Model, current: &Current) -> Option<PieceRuns> {
    let of_draw = current.drawn.and_then(|(draw, place)| {
        let mut draws = model.season.iter().flat_map(|season| &season.draws);
        draws.find(|known| known.id == draw)?.trees.get(place)?.runs
    });
    runs(current).or(of_draw)
}
