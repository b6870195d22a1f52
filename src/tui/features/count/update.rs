//! What keys and touches do on the Count screen, and what comes back from the file.

use super::next::keep_part;
use super::runs;
use super::{Act, Current, Last, Place};
use crate::orchard::{Age, CountHead, CountId, Part, Tally, Tap, TreeMark};
use crate::report::words;
use crate::store::{Change, Thing, ThingId};
use crate::tui::app::{Effect, FormKind, Layer, Model, Moment, Question};
use crate::tui::{Action, Screen, forms};

/// What an action does here.
pub fn update(model: &mut Model, action: Action, moment: Moment) -> Vec<Effect> {
    let less = std::mem::take(&mut model.count.less);
    match action {
        Action::Pads(size) => {
            model.count.pads = size;
            model.count.less = less;
        }
        Action::Tap(tap) if less => return take_off(model, tap),
        Action::Tap(tap) => return tap_on(model, tap, moment),
        Action::Less => arm(model, !less),
        // the way out of taking one off is not the way out of the tree
        Action::LeaveCount if less => {}
        Action::Undo => return undo(model),
        Action::CloseTree => return close(model, moment),
        Action::EndLeader => return runs::end_leader(model),
        Action::Leaders(by) => return runs::leaders(model, by),
        Action::LeaveCount => leave(model),
        Action::TreeDetails => forms::open(model, FormKind::TreeDetails),
        Action::OtherTree => forms::open(model, FormKind::OtherTree),
        Action::MarkTrees => forms::open(model, FormKind::MarkTree),
        Action::SendBack => forms::open(model, FormKind::SendBack),
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
fn change(current: &Current, change: Change) -> Vec<Effect> {
    let open = current.closed.then_some(Change::Close(current.id, false));
    write(open.into_iter().chain([change]).collect())
}

fn write(changes: Vec<Change>) -> Vec<Effect> {
    vec![Effect::Write(changes)]
}

fn tap_on(model: &mut Model, tap: Tap, moment: Moment) -> Vec<Effect> {
    if let Tap::TwoYear(size, _) = tap {
        model.count.pads = size;
    }
    if !model.look.extras && matches!(tap, Tap::Upright | Tap::ThickTop) {
        model
            .note("upright and thick wood are not counted here: Set-up (F8), Settings, Extra wood");
        return Vec::new();
    }
    let Some(current) = &model.count.current else {
        model.note("no tree is chosen: Other (6) chooses one, or Draw (d) on Today draws some");
        return Vec::new();
    };
    if runs::refuses(current, tap) {
        model.note("all pieces that were drawn are counted: CLOSE (Enter) ends this tree");
        return Vec::new();
    }
    let closes = runs::closes(model, current, tap);
    let Some(current) = &mut model.count.current else {
        return Vec::new();
    };
    let close = |count| closes.then_some(Change::Close(count, true));
    if current.begun {
        let open = current.closed.then_some(Change::Close(current.id, false));
        let tap = Change::Tap(current.id, tap);
        return write(
            open.into_iter()
                .chain([tap])
                .chain(close(current.id))
                .collect(),
        );
    }
    current.head.at = moment.now;
    let count = CountId(moment.id);
    let begin = Change::Begin(count, Box::new(current.head.clone()));
    let tap = Change::Tap(count, tap);
    write([begin, tap].into_iter().chain(close(count)).collect())
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
            change(current, Change::TakeOff(current.id, tap))
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
        return write(vec![Change::PutBack(current.id, *place, *tap)]);
    }
    if let Some(current) = &model.count.current
        && let Some(Act::Marked(before)) = current.acts.last()
    {
        let head = &current.head;
        let back = mark_as((head.block, head.row, head.tree), before.as_ref());
        model.note(MARK_BACK);
        return write(vec![back]);
    }
    if let Some(current) = &model.count.current
        && let Some(Act::Ended(before)) = current.acts.last()
    {
        let before = *before;
        model.note("as it was: the leader goes on");
        return runs::undo_part(model, before);
    }
    match (&model.count.current, model.count.last.clone()) {
        (Some(current), _) if !current.tally.is_empty() => {
            change(current, Change::TakeBack(current.id))
        }
        (_, Some(Last::Closed(closed))) => write(vec![Change::Close(closed, false)]),
        (_, Some(Last::LeftOut((draw, place)))) => {
            model.count.back = Some((draw, place));
            write(vec![Change::SkipDrawn(draw, place, None)])
        }
        (_, Some(Last::Marked(drawn, place, before))) => {
            model.count.back = Some(drawn);
            model.note(MARK_BACK);
            write(vec![mark_as(place, before.as_ref())])
        }
        _ => {
            model.note("nothing to take back here; trees closed before stand in F8, Counts");
            Vec::new()
        }
    }
}

const MARK_BACK: &str = "the mark is as it was";

/// Gives a tree this mark, or none.
fn mark_as(place: Place, mark: Option<&TreeMark>) -> Change {
    let (block, row, tree) = place;
    mark.map_or(Change::Remove(ThingId::Mark(block, row, tree)), |mark| {
        Change::save(Thing::Mark(mark.clone()))
    })
}

fn close(model: &mut Model, moment: Moment) -> Vec<Effect> {
    match &model.count.current {
        Some(current) if current.closed => {
            leave(model);
            Vec::new()
        }
        Some(current) if current.tally.missing_pieces() > 0 => {
            let few = few_words(model, current, current.tally.missing_pieces());
            let question = ask_for_pieces(current, few);
            model.show(Layer::Question(question));
            Vec::new()
        }
        Some(current) if !current.tally.is_empty() && runs::unfinished(current).is_some() => {
            let words = runs::unfinished(current).unwrap_or_default();
            let yes = write(vec![Change::Close(current.id, true)]);
            model.show(Layer::Question(Question { words, yes }));
            Vec::new()
        }
        Some(current) if runs::asks_before_closing(current) => {
            forms::open(model, FormKind::LeaderInFull);
            Vec::new()
        }
        Some(current) if current.head.again && !current.tally.is_empty() => {
            let words = format!("Is the whole of it counted? {AGAIN}");
            let yes = write(vec![Change::Close(current.id, true)]);
            model.show(Layer::Question(Question { words, yes }));
            Vec::new()
        }
        Some(current) if !current.tally.is_empty() => {
            let yes = write(vec![Change::Close(current.id, true)]);
            let Some(few) = few_words(model, current, 0) else {
                return yes;
            };
            let words = format!("{few} Close it all the same? No goes on with it.");
            model.show(Layer::Question(Question { words, yes }));
            Vec::new()
        }
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

const AGAIN: &str = "Both counts of this tree are shown then, and this one is not opened again.";

/// What is to be said of a tree with far fewer pieces than others, `more` of them added: it is hardly counted through.
fn few_words(model: &Model, current: &Current, more: u32) -> Option<String> {
    let season = model.season.as_ref()?;
    let count = season.count(current.id).filter(|_| !current.head.again)?;
    let pieces = current.tally.pieces() + more;
    let few = season.far_fewer(count, pieces)?;
    let whose = few.of.map_or_else(
        || {
            format!(
                "the other trees of {}",
                season.block_name(current.head.block)
            )
        },
        |of| format!("{}'s other trees here", season.pruner_shown(of)),
    );
    let part = match current.head.part {
        Part::Whole | Part::Runs(_) => String::new(),
        part @ Part::Stems(_) => format!(" on {}", words::part(part)),
        Part::Zone(zone) => format!(" on the {}", zone.word()),
    };
    let pieces = words::plural(pieces, "piece", "pieces");
    Some(format!(
        "{pieces}; {whose} have about {:.0}{part}.",
        few.usual
    ))
}

/// More units than two-year pieces: the mix would lack wood that was seen.
fn ask_for_pieces(current: &Current, few: Option<String>) -> Question {
    let missing = current.tally.missing_pieces();
    let two = current.tally.ages[Age::Two.index()];
    let again = if current.head.again { AGAIN } else { "" };
    let words = format!(
        "{} and {} were tapped. Each unit is a two-year piece with its buds, so {missing} of them would be missing in the \
         mix. Yes taps {missing} more two-year (2) and closes the tree. No goes back to it. {again}",
        words::plural(current.tally.unit_count(), "unit", "units"),
        words::plural(two, "two-year piece", "two-year pieces"),
    );
    let tap = Change::Tap(current.id, Tap::Piece(Age::Two));
    let mut changes = vec![tap; missing as usize];
    changes.push(Change::Close(current.id, true));
    let few = few.map_or_else(String::new, |few| format!(" It would have {few}"));
    let (words, yes) = (words.trim_end().to_owned() + &few, write(changes));
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
        Change::Begin(current.id, Box::new(current.head.clone()))
    });
    let close = Change::Close(current.id, true);
    let yes = write(begin.into_iter().chain([close]).collect());
    let other = if current.drawn.is_some() {
        "If it was not counted, say no: Skip (0) leaves it out, with the reason."
    } else {
        "If it was not counted, say no: Other (6) chooses another tree."
    };
    let words = format!(
        "Nothing was tapped on this tree. Is it bare, with no fruiting wood at all? It is closed then: a tree that was \
         looked at, with no share of any age and nothing that bears. {other}"
    );
    model.show(Layer::Question(Question { words, yes }));
}

fn skip(model: &mut Model) {
    match &model.count.current {
        Some(current) if !current.tally.is_empty() => {
            model.note(
                "this tree has taps: UNDO (Backspace) takes them back, CLOSE (Enter) keeps them",
            );
        }
        _ => forms::open(model, FormKind::SkipTree),
    }
}

/// Records something else with the tree in hand.
pub fn details(model: &mut Model, head: CountHead) -> Vec<Effect> {
    keep_part(model, &head);
    let Some(current) = &mut model.count.current else {
        return Vec::new();
    };
    if current.begun {
        return write(vec![Change::Head(current.id, Box::new(head))]);
    }
    current.head = head;
    Vec::new()
}
