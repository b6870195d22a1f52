//! What comes back from the file: a tap that is on disk, a tree that is closed, another reading.

use super::next::{pick_again, resume, take_back, take_next};
use super::runs::ask_in_full;
use super::{Act, Current, DrawnPlace, Last, Place};
use crate::orchard::{CountHead, CountId, Fate, Tap, TreeCount};
use crate::report::Season;
use crate::report::document::sheets;
use crate::tui::Screen;
use crate::tui::app::{Layer, Model};

/// A tap is on disk.
pub fn tapped(model: &mut Model, count: TreeCount, tap: Tap) {
    model.count.echo = format!("+ {}", tap.words());
    take_in(model, count);
    did(model, Act::Tapped);
    ask_in_full(model);
}

/// A tap was taken off, wherever it stood.
pub fn taken_off(model: &mut Model, count: TreeCount, off: Option<(usize, Tap)>) {
    model.count.echo = off.map_or_else(
        || {
            "nothing taken off: each two-year piece here has buds, its letter takes it off"
                .to_owned()
        },
        |(_, tap)| format!("took off: {} (undo puts it back)", tap.words()),
    );
    take_in(model, count);
    if let Some((place, tap)) = off {
        did(model, Act::TookOff(place, tap));
    }
}

/// A tap that was taken off is back.
pub fn put_back(model: &mut Model, count: TreeCount, tap: Tap) {
    model.count.echo = format!("put back: {}", tap.words());
    take_in(model, count);
    undone(model);
}

/// The tree in hand was marked, or its mark taken away.
pub fn marked(model: &mut Model) {
    let place = model.count.place().map(place_of);
    let before = place.and_then(|place| model.marks_before.get(place).cloned());
    did(model, Act::Marked(before));
}

fn place_of(head: &CountHead) -> Place {
    (head.block, head.row, head.tree)
}

fn did(model: &mut Model, act: Act) {
    if let Some(current) = &mut model.count.current {
        current.acts.push(act);
    }
}

fn undone(model: &mut Model) {
    if let Some(current) = &mut model.count.current {
        current.acts.pop();
    }
}

/// A tap was taken back.
pub fn taken_back(model: &mut Model, count: TreeCount, tap: Option<Tap>) {
    model.count.echo = tap.map_or_else(String::new, |tap| format!("took back: {}", tap.words()));
    take_in(model, count);
    undone(model);
}

fn take_in(model: &mut Model, count: TreeCount) {
    if let Some(current) = &mut model.count.current {
        current.id = count.id;
        current.tally = count.tally;
        current.begun = true;
    }
    let id = count.id;
    if let Some(season) = &mut model.season {
        season.put(count);
    }
    // the season says whose work the tree is
    let known = model.season.as_ref().and_then(|season| season.count(id));
    if let (Some(current), Some(known)) = (&mut model.count.current, known) {
        current.head = known.head_by_log();
    }
}

/// A count was closed or opened again, or what is recorded with it changed.
pub fn changed(model: &mut Model, count: TreeCount) {
    let (id, closed, again) = (count.id, count.closed, count.head.again);
    let (ages, bare) = (count.tally.ages, count.tally.is_empty());
    let place = (count.head.row, count.head.tree);
    let known = model.season.as_ref().and_then(|season| season.count(id));
    let reopened = !closed && known.is_some_and(|known| known.closed);
    if let Some(season) = &mut model.season {
        let mut touched = season.touched_by(id);
        season.put(count);
        touched.join(season.touched_by(id));
        model.refresh_touched(&touched);
    }
    let current = model.count.current.as_ref();
    // a bare tree is not begun until it is closed
    let current = current.filter(|current| current.id == id);
    let in_hand = current.is_some();
    if closed && current.is_some_and(|current| !current.closed) {
        if current.is_some_and(|current| current.listed) {
            model.screen = Screen::SetUp;
        }
        // once both counts are seen, the second is not opened again
        model.count.last = (!again).then_some(Last::Closed(id));
        model.count.echo.clear();
        let after = model.count.current.take().and_then(|tree| tree.drawn);
        take_next(model, after);
        if again {
            compare(model, id);
            return;
        }
        let [one, two, three, four] = ages;
        let counted = if bare {
            "a bare tree".to_owned()
        } else {
            format!("{one} / {two} / {three} / {four}")
        };
        model.note(format!(
            "row {} tree {} closed: {counted}",
            place.0, place.1
        ));
    } else if reopened || in_hand {
        if !in_hand {
            model.count.last = None;
            model.note(format!(
                "row {} tree {} is open again: CLOSE (Enter) closes it",
                place.0, place.1
            ));
        }
        resume(model, id);
    }
}

/// A count was taken out of the figures.
pub fn removed(model: &mut Model, count: CountId) {
    if model.count.last == Some(Last::Closed(count)) {
        model.count.last = None;
    }
    if model
        .count
        .current
        .as_ref()
        .is_some_and(|current| current.begun && current.id == count)
    {
        model.count.current = None;
        if model.screen == Screen::Count {
            take_next(model, None);
        }
    }
}

/// The file was read again: what is in hand may be gone, or skipped.
pub fn reloaded(model: &mut Model) {
    let Some(season) = &model.season else {
        model.count.current = None;
        return;
    };
    if let Some(Last::Closed(closed)) = &model.count.last
        && season.count(*closed).is_none()
    {
        model.count.last = None;
    }
    if let Some(back) = model.count.back.take()
        && take_back(model, back)
    {
        model.count.last = None;
        model.note("the tree that was left out is in hand again");
        return;
    }
    let Some(season) = &model.season else { return };
    if let Some(current) = &mut model.count.current
        && let Some(Act::Marked(before)) = current.acts.last()
        && season.marks.get(place_of(&current.head)) == before.as_ref()
    {
        // that was taken back
        current.acts.pop();
    }
    let stays = match &mut model.count.current {
        None => return,
        Some(current) if current.begun => match season.count(current.id) {
            Some(count) if !count.closed || current.closed => {
                current.closed = count.closed;
                if current.tally != count.tally {
                    model.count.echo.clear();
                    current.acts.clear();
                }
                current.head = count.head_by_log();
                current.tally = count.tally;
                true
            }
            // closed elsewhere, or not there: it takes no tap any more
            _ => false,
        },
        Some(Current {
            drawn: Some((draw, place)),
            ..
        }) => {
            let mut waiting = model.figures.walk.iter().flat_map(|walk| &walk.next);
            waiting.any(|tree| (tree.draw, tree.place_in_draw) == (*draw, *place))
        }
        // by eye, not begun: another winter may be looked at now, or the tree be gone
        Some(current) => {
            let head = &current.head;
            head.winter == season.winter.id
                && season
                    .block(head.block)
                    .is_some_and(|block| block.check_tree(head.row, head.tree).is_ok())
        }
    };
    if !stays {
        let tree = model.count.current.take();
        let gone = tree.as_ref().and_then(|tree| tree.drawn);
        model.count.last = match (gone, tree.as_ref().and_then(|tree| tree.acts.last())) {
            (Some(drawn), Some(Act::Marked(before))) => {
                let place = tree.as_ref().map(|tree| place_of(&tree.head));
                place.map(|place| Last::Marked(drawn, place, before.clone()))
            }
            (Some(drawn), _) if is_left_out(season, drawn) => Some(Last::LeftOut(drawn)),
            _ => model.count.last.take(),
        };
        model.count.less = false;
        model.count.echo.clear();
        take_next(model, gone);
    }
}

fn is_left_out(season: &Season, (draw, place): DrawnPlace) -> bool {
    let draw = season.draws.iter().find(|known| known.id == draw);
    let tree = draw.and_then(|draw| draw.trees.get(place));
    tree.is_some_and(|tree| matches!(tree.fate, Fate::Skipped(_)))
}

/// Shows both counts of a tree once the second is closed, and goes on to the next tree to count again.
fn compare(model: &mut Model, again: CountId) {
    let Some(season) = &model.season else { return };
    match season.repeat_pair(again) {
        Some(pair) => {
            let page = sheets::two_counts(season, &pair);
            model.show(Layer::sheets("The two counts of this tree", page, None));
        }
        None => model.note(
            "closed; no first count stands beside it: other stems, or pruned after the first count",
        ),
    }
    if let Some(next) = model.figures.again.first().map(|tree| tree.first) {
        pick_again(model, next);
    }
}
