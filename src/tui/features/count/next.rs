//! Which tree comes into the hand: an open count, the next drawn tree, or one that was picked.

use super::{Current, DrawnPlace, State};
use crate::orchard::{BlockId, Chosen, CountHead, CountId, Part, Stage, Tally};
use crate::report::{Season, WalkTree};
use crate::tui::Screen;
use crate::tui::app::Model;

/// The screen was entered: the open count is taken up again, or the next drawn tree.
pub fn entered(model: &mut Model) {
    let current = model.count.current.as_ref();
    if current.is_none_or(|current| current.closed) {
        take_next(model, None);
    }
}

/// Takes up the drawn tree that comes after one in the walk, so that nobody is sent back past trees that were left
/// standing; else an open count, or else the first drawn tree.
pub(super) fn take_next(model: &mut Model, after: Option<DrawnPlace>) {
    let Some(season) = &model.season else { return };
    let next = model.figures.walk.iter().flat_map(|walk| &walk.next);
    let comes_after = |tree: &&WalkTree| {
        after.is_some_and(|(draw, place)| tree.draw == draw && tree.place_in_draw > place)
    };
    let onward = next.clone().find(comes_after);
    let open = season.open_counts().first().map(|count| count.id);
    match (onward, open) {
        (None, Some(count)) => resume(model, count),
        (onward, _) => {
            let tree = onward.or(next.clone().next());
            model.count.current = tree.map(|tree| drawn(season, &model.count, model, tree));
        }
    }
}

/// Takes a drawn tree up that was left out; says whether it waits again.
pub(super) fn take_back(model: &mut Model, (draw, place): DrawnPlace) -> bool {
    let waiting = model.figures.walk.iter().flat_map(|walk| &walk.next);
    let same = |tree: &&WalkTree| (tree.draw, tree.place_in_draw) == (draw, place);
    let Some(tree) = waiting.clone().find(same).cloned() else {
        return false;
    };
    pick(model, &tree);
    true
}

/// Takes up a count that is in the file.
pub fn resume(model: &mut Model, count: CountId) {
    let Some(found) = model.season.as_ref().and_then(|season| season.count(count)) else {
        return;
    };
    let drawn = model
        .season
        .as_ref()
        .and_then(|season| place_in_draw(season, &found.head));
    // something else about the tree in hand changed: what undo takes back stays
    let before = model.count.current.take();
    let before = before.filter(|current| current.begun && current.id == count);
    let listed = before.as_ref().is_some_and(|current| current.listed);
    let same = before.filter(|current| current.tally == found.tally);
    model.count.current = Some(Current {
        id: found.id,
        head: found.head_by_log(),
        tally: found.tally,
        begun: true,
        drawn,
        acts: same.map_or_else(Vec::new, |current| current.acts),
        closed: found.closed,
        listed,
    });
    model.count.echo.clear();
}

/// Takes up a count of the list, open or closed. A closed one stays so while it is only looked at.
pub fn look_at(model: &mut Model, count: CountId) {
    resume(model, count);
    if let Some(current) = &mut model.count.current {
        current.listed = true;
    }
    model.screen = Screen::Count;
}

fn place_in_draw(season: &Season, head: &CountHead) -> Option<DrawnPlace> {
    if head.chosen == Chosen::ByEye || head.again {
        return None;
    }
    season.draws.iter().rev().find_map(|draw| {
        let same = |tree: &crate::orchard::DrawnTree| {
            (tree.block, tree.row, tree.tree) == (head.block, head.row, head.tree)
        };
        Some((draw.id, draw.trees.iter().position(same)?))
    })
}

/// A drawn tree, ready to be counted.
fn drawn(season: &Season, state: &State, model: &Model, tree: &WalkTree) -> Current {
    let head = CountHead {
        winter: season.winter.id,
        block: tree.block,
        row: tree.row,
        tree: tree.tree,
        pruner: Some(tree.pruner),
        stage: Stage::After,
        part: drawn_part(season, tree).unwrap_or_else(|| usual_part(season, state, tree.block)),
        chosen: Chosen::Drawn,
        counter: model.look.counter.clone(),
        at: model.now,
        note: String::new(),
        again: false,
    };
    fresh(head, Some((tree.draw, tree.place_in_draw)))
}

/// The part that was drawn with the tree.
fn drawn_part(season: &Season, tree: &WalkTree) -> Option<Part> {
    let draw = season.draws.iter().find(|draw| draw.id == tree.draw)?;
    draw.trees.get(tree.place_in_draw)?.runs.map(Part::Runs)
}

/// The part that was counted last in this block, where none was drawn.
fn usual_part(season: &Season, state: &State, block: BlockId) -> Part {
    let last = || {
        let counts = season
            .counts()
            .iter()
            .filter(|count| count.head.block == block && count.head.part.runs().is_none());
        counts
            .max_by_key(|count| count.head.at.utc_ms)
            .map(|count| count.head.part)
    };
    let known = state.parts.get(&block).copied();
    known.or_else(last).unwrap_or(Part::Whole)
}

/// A tree that has no count in the file yet; its identity comes with the first tap.
fn fresh(head: CountHead, drawn: Option<DrawnPlace>) -> Current {
    Current {
        id: CountId(uuid::Uuid::nil()),
        head,
        tally: Tally::default(),
        begun: false,
        drawn,
        acts: Vec::new(),
        closed: false,
        listed: false,
    }
}

/// Goes to a drawn tree of the list on Today.
pub fn pick(model: &mut Model, tree: &WalkTree) {
    let Some(season) = &model.season else { return };
    model.count.current = Some(drawn(season, &model.count, model, tree));
    model.count.echo.clear();
}

/// Goes to a tree that is to be counted again; `first` is its first count.
pub fn pick_again(model: &mut Model, first: CountId) {
    let season = model.season.as_ref();
    let head = season.and_then(|season| season.head_again(first, model.today.counter(), model.now));
    if let Some(head) = head {
        model.count.current = Some(fresh(head, None));
        model.count.echo.clear();
    }
}

/// Keeps the part for the next trees of the block; what was drawn is of one tree alone.
pub(super) fn keep_part(model: &mut Model, head: &CountHead) {
    if head.part.runs().is_none() {
        model.count.parts.insert(head.block, head.part);
    }
}

/// Begins a tree that was chosen in a form.
pub fn begin(model: &mut Model, head: CountHead, drawn: Option<DrawnPlace>) {
    keep_part(model, &head);
    let again = !head.again
        && model.season.as_ref().is_some_and(|season| {
            let place = (head.block, head.row, head.tree, head.stage);
            let mut counts = season.counts().iter().filter(|count| count.closed);
            counts.any(|c| (c.head.block, c.head.row, c.head.tree, c.head.stage) == place)
        });
    if again {
        model.note("this tree was counted before: the figures take the count that is begun last");
    }
    model.count.current = Some(fresh(head, drawn));
    model.count.echo.clear();
}
