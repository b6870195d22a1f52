//! What keys and touches do on the Count screen, and what comes back from the file.

use super::next::{pick_again, resume, take_back, take_next};
use super::{Act, Current, DrawnPlace, Last};
use crate::orchard::{CountHead, CountId, Fate, Tally, Tap, TreeCount};
use crate::report::{Season, text};
use crate::tui::app::{Cover, Effect, Job, Model, Moment, Question};
use crate::tui::{Action, Screen, forms};

/// What an action does here.
pub fn update(model: &mut Model, action: Action, moment: Moment) -> Vec<Effect> {
    let less = std::mem::take(&mut model.count.less);
    match action {
        Action::Tap(tap) if less => return take_off(model, tap),
        Action::Tap(tap) => return tap_on(model, tap, moment),
        Action::Less => arm(model, !less),
        // the way out of taking one off is not the way out of the tree
        Action::LeaveCount if less => {}
        Action::Undo => return undo(model),
        Action::CloseTree => return close(model),
        Action::LeaveCount => leave(model),
        Action::TreeDetails => forms::open(model, Job::TreeDetails),
        Action::OtherTree => forms::open(model, Job::OtherTree),
        Action::SendBack => forms::open(model, Job::SendBack),
        Action::SkipTree => skip(model),
        _ => {}
    }
    Vec::new()
}

/// Leaves the tree as it stands: to the list that it was opened from, or to Today.
fn leave(model: &mut Model) {
    let current = model.count.current.as_mut();
    let listed = current.is_some_and(|current| std::mem::take(&mut current.listed));
    if listed {
        model.screen = Screen::SetUp;
        let looked_at = model.count.current.take_if(|current| current.closed);
        if looked_at.is_some() {
            model.note("nothing was changed: the count is closed as it was");
        }
        return;
    }
    model.screen = Screen::Today;
    model.refresh_walk();
}

/// A change of the taps in hand; a count that is closed is opened again for it.
fn change(current: &Current, effect: Effect) -> Vec<Effect> {
    let open = current.closed.then_some(Effect::Close(current.id, false));
    open.into_iter().chain([effect]).collect()
}

fn tap_on(model: &mut Model, tap: Tap, moment: Moment) -> Vec<Effect> {
    if !model.look.extras && matches!(tap, Tap::Upright | Tap::ThickTop) {
        model.note(
            "upright and thick wood are not counted on this tablet: Set-up (F8), Settings turns it on",
        );
        return Vec::new();
    }
    let Some(current) = &mut model.count.current else {
        model.note(
            "no tree is chosen: Other (6) chooses one by eye, and Draw (d) on Today draws some",
        );
        return Vec::new();
    };
    if current.begun {
        return change(current, Effect::Tap(current.id, None, tap));
    }
    current.head.at = moment.now;
    vec![Effect::Tap(
        CountId(moment.id),
        Some(Box::new(current.head.clone())),
        tap,
    )]
}

/// The next tap takes one off, or no longer does.
fn arm(model: &mut Model, less: bool) {
    let none = (model.count.tally()).is_none_or(Tally::is_empty);
    if less && none {
        model.note("nothing is counted on this tree yet");
        return;
    }
    model.count.less = less;
}

fn take_off(model: &mut Model, tap: Tap) -> Vec<Effect> {
    match &model.count.current {
        Some(current) if current.tally.has(tap) => {
            change(current, Effect::TakeOff(current.id, tap))
        }
        _ => {
            model.note(format!("there is no {} on this tree", tap.words()));
            Vec::new()
        }
    }
}

/// Undoes what was done last with the tree in hand: a tap goes, one that was taken off comes back. On a tree without
/// taps, opens the tree before it again.
fn undo(model: &mut Model) -> Vec<Effect> {
    if let Some(current) = &model.count.current
        && let Some(Act::TookOff(place, tap)) = current.acts.last()
    {
        return vec![Effect::PutBack(current.id, *place, *tap)];
    }
    match (&model.count.current, model.count.last) {
        (Some(current), _) if !current.tally.is_empty() => {
            change(current, Effect::TakeBack(current.id))
        }
        (_, Some(Last::Closed(closed))) => vec![Effect::Close(closed, false)],
        (_, Some(Last::LeftOut((draw, place)))) => {
            model.count.back = Some((draw, place));
            vec![Effect::SkipDrawn(draw, place, None)]
        }
        _ => {
            model.note("nothing to take back here; trees closed before stand in F8, Counts");
            Vec::new()
        }
    }
}

fn close(model: &mut Model) -> Vec<Effect> {
    match &model.count.current {
        Some(current) if current.closed => {
            leave(model);
            Vec::new()
        }
        Some(current) if current.head.again && !current.tally.is_empty() => {
            let words = "Is the whole of it counted? Both counts of this tree are shown then, and this one is not \
                opened again.";
            model.cover = Some(Cover::Question(Question {
                words: words.to_owned(),
                yes: vec![Effect::Close(current.id, true)],
            }));
            Vec::new()
        }
        Some(current) if !current.tally.is_empty() => vec![Effect::Close(current.id, true)],
        Some(current) if current.drawn.is_some() => {
            model.note("nothing is counted on this tree yet; 0 leaves it out");
            Vec::new()
        }
        Some(_) => {
            model.note("nothing is counted on this tree yet; Other (6) chooses another");
            Vec::new()
        }
        None => {
            model.note("no tree is chosen: Other (6) chooses one by eye");
            Vec::new()
        }
    }
}

fn skip(model: &mut Model) {
    match &model.count.current {
        Some(current) if !current.tally.is_empty() => {
            model.note(
                "this tree has taps: UNDO (Backspace) takes them back, CLOSE (Enter) keeps them",
            );
        }
        _ => forms::open(model, Job::SkipTree),
    }
}

/// Shows both counts of a tree once the second is closed, and goes on to the next tree to count again.
fn compare(model: &mut Model, again: CountId) {
    let Some(season) = &model.season else { return };
    match season.repeat_pair(again) {
        Some(pair) => {
            let page = text::two_counts(&season.two_counts(&pair));
            model.cover = Some(Cover::Page {
                title: "The two counts of this tree".to_owned(),
                lines: page.lines().map(str::to_owned).collect(),
                scroll: 0,
            });
        }
        None => model.note(
            "closed; no first count stands beside it: other stems, or pruned after the first count",
        ),
    }
    if let Some(next) = model.figures.again.first().map(|tree| tree.first) {
        pick_again(model, next);
    }
}

/// Records something else with the tree in hand.
pub fn details(model: &mut Model, head: CountHead) -> Vec<Effect> {
    model.count.parts.insert(head.block, head.part);
    let Some(current) = &mut model.count.current else {
        return Vec::new();
    };
    if current.begun {
        return vec![Effect::Head(current.id, Box::new(head))];
    }
    current.head = head;
    Vec::new()
}

/// A tap is on disk.
pub fn tapped(model: &mut Model, count: TreeCount, tap: Tap) {
    model.count.echo = format!("+ {}", tap.words());
    take_in(model, count);
    did(model, Act::Tapped);
}

/// A tap was taken off, wherever it stood.
pub fn taken_off(model: &mut Model, count: TreeCount, off: Option<(usize, Tap)>) {
    model.count.echo = off.map_or_else(String::new, |(_, tap)| {
        format!("took off: {} (undo puts it back)", tap.words())
    });
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
        current.head.clone_from(&known.head);
    }
}

/// A count was closed or opened again, or what is recorded with it changed.
pub fn changed(model: &mut Model, count: TreeCount) {
    let (id, closed, again) = (count.id, count.closed, count.head.again);
    let ages = count.tally.ages;
    let place = (count.head.row, count.head.tree);
    let known = model.season.as_ref().and_then(|season| season.count(id));
    let reopened = !closed && known.is_some_and(|known| known.closed);
    if let Some(season) = &mut model.season {
        season.put(count);
    }
    model.refresh();
    let current = model.count.current.as_ref();
    let current = current.filter(|current| current.id == id && current.begun);
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
        model.note(format!(
            "row {} tree {} closed: {one} / {two} / {three} / {four}",
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
    if let Some(Last::Closed(closed)) = model.count.last
        && season.count(closed).is_none()
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
    let stays = match &mut model.count.current {
        None => return,
        Some(current) if current.begun => match season.count(current.id) {
            Some(count) if !count.closed || current.closed => {
                current.closed = count.closed;
                if current.tally != count.tally {
                    model.count.echo.clear();
                    current.acts.clear();
                }
                current.head.clone_from(&count.head);
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
        let gone = model.count.current.take().and_then(|tree| tree.drawn);
        if let Some(place) = gone.filter(|place| is_left_out(season, *place)) {
            model.count.last = Some(Last::LeftOut(place));
        }
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
