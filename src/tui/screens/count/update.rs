//! What keys and touches do on the Count screen, and what comes back from the file.

use super::{Act, Current, Last};
use crate::orchard::{Age, CountHead, CountId, Tally, Tap};
use crate::report::words::plural;
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
        Action::CloseTree => return close(model, moment),
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
        model.note("upright and thick wood are not counted here: Set-up (F8), Settings, Extras");
        return Vec::new();
    }
    let Some(current) = &mut model.count.current else {
        model.note("no tree is chosen: Other (6) chooses one, or Draw (d) on Today draws some");
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

fn close(model: &mut Model, moment: Moment) -> Vec<Effect> {
    match &model.count.current {
        Some(current) if current.closed => {
            leave(model);
            Vec::new()
        }
        Some(current) if current.tally.units_without_piece() > 0 => {
            model.cover = Some(Cover::Question(pieces_of_units(current)));
            Vec::new()
        }
        Some(current) if current.head.again && !current.tally.is_empty() => {
            model.cover = Some(Cover::Question(Question {
                words: WHOLE_AGAIN.to_owned(),
                yes: vec![Effect::Close(current.id, true)],
            }));
            Vec::new()
        }
        Some(current) if !current.tally.is_empty() => vec![Effect::Close(current.id, true)],
        Some(current) if current.head.again => {
            model.note("nothing is counted on this tree yet; Other (6) chooses another");
            Vec::new()
        }
        Some(_) => {
            ask_whether_bare(model, moment);
            Vec::new()
        }
        None => {
            model.note("no tree is chosen: Other (6) chooses one by eye");
            Vec::new()
        }
    }
}

/// What a second count is asked before it is closed.
const WHOLE_AGAIN: &str = "Is the whole of it counted? Both counts of this tree are shown then, and this one is not \
    opened again.";

/// More units were tapped than two-year pieces, and each unit is one: the shares by age would be wrong, so the pieces
/// are offered.
fn pieces_of_units(current: &Current) -> Question {
    let tally = &current.tally;
    let missing = tally.units_without_piece();
    let two = Tap::Piece(Age::Two);
    let again = if current.head.again {
        format!(" {WHOLE_AGAIN}")
    } else {
        String::new()
    };
    let add = plural(missing, "two-year piece", "two-year pieces");
    let words = format!(
        "{} but {}: a unit is a piece of two-year wood, and its letter tells the buds alone. Count {add} more, \
         and close the tree? If a unit is wrong, say no, and take it off: Less (Del).{again}",
        plural(tally.unit_count(), "unit", "units"),
        plural(
            tally.ages[Age::Two.index()],
            "two-year piece",
            "two-year pieces"
        ),
    );
    let taps = (0..missing).map(|_| Effect::Tap(current.id, None, two));
    let yes = taps.chain([Effect::Close(current.id, true)]).collect();
    Question { words, yes }
}

/// Nothing was tapped: a tree without fruiting wood, or one that was not counted.
fn ask_whether_bare(model: &mut Model, moment: Moment) {
    let Some(current) = &mut model.count.current else {
        return;
    };
    let begin = (!current.begun).then(|| {
        current.id = CountId(moment.id);
        current.head.at = moment.now;
        Box::new(current.head.clone())
    });
    let yes = vec![Effect::CloseBare(current.id, begin)];
    let other = if current.drawn.is_some() {
        "If it was not counted, say no: Skip (0) leaves it out, with the reason."
    } else {
        "If it was not counted, say no: Other (6) chooses another tree."
    };
    let words = format!(
        "Nothing was tapped on this tree. Is it bare, with no fruiting wood at all? It is closed then: a tree that was \
         looked at, with no share of any age and nothing that bears. {other}"
    );
    model.cover = Some(Cover::Question(Question { words, yes }));
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
