//! What keys and touches do on the Count screen, and what comes back from the file.

use super::{Current, State};
use crate::orchard::{
    BlockId, Chosen, CountHead, CountId, DrawId, Part, Stage, Tally, Tap, TreeCount,
};
use crate::report::{Season, WalkTree, text};
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
        Action::LeaveCount => {
            model.screen = Screen::Today;
            model.refresh_walk();
        }
        Action::TreeDetails => forms::open(model, Job::TreeDetails),
        Action::OtherTree => forms::open(model, Job::OtherTree),
        Action::SendBack => forms::open(model, Job::SendBack),
        Action::SkipTree => skip(model),
        _ => {}
    }
    Vec::new()
}

fn tap_on(model: &mut Model, tap: Tap, moment: Moment) -> Vec<Effect> {
    if !model.look.extras && matches!(tap, Tap::Upright | Tap::ThickTop) {
        model.note(
            "upright and thick wood are not counted on this tablet: F8, Settings turns it on",
        );
        return Vec::new();
    }
    let Some(current) = &mut model.count.current else {
        model.note("no tree is chosen: 6 chooses one by eye, and on Today d draws some");
        return Vec::new();
    };
    if current.begun {
        return vec![Effect::Tap(current.id, None, tap)];
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
        Some(current) if current.tally.has(tap) => vec![Effect::TakeOff(current.id, tap)],
        _ => {
            model.note(format!("there is no {} on this tree", tap.words()));
            Vec::new()
        }
    }
}

/// Takes the last tap back; on a tree without taps, opens the tree before it again.
fn undo(model: &mut Model) -> Vec<Effect> {
    match (&model.count.current, model.count.last_closed) {
        (Some(current), _) if !current.tally.is_empty() => vec![Effect::TakeBack(current.id)],
        (_, Some(closed)) => vec![Effect::Close(closed, false)],
        _ => {
            model.note("nothing to take back");
            Vec::new()
        }
    }
}

fn close(model: &mut Model) -> Vec<Effect> {
    match &model.count.current {
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
            model.note("nothing is counted on this tree yet; 6 chooses another");
            Vec::new()
        }
        None => {
            model.note("no tree is chosen: 6 chooses one by eye");
            Vec::new()
        }
    }
}

fn skip(model: &mut Model) {
    match &model.count.current {
        Some(current) if !current.tally.is_empty() => {
            model.note("this tree has taps: take them back first, or close it");
        }
        _ => forms::open(model, Job::SkipTree),
    }
}

/// The screen was entered: the open count is taken up again, or the next drawn tree.
pub fn entered(model: &mut Model) {
    if model.count.current.is_none() {
        take_next(model);
    }
}

/// Takes up an open count, or else the next drawn tree.
fn take_next(model: &mut Model) {
    let Some(season) = &model.season else { return };
    let open = season.open_counts().first().map(|count| count.id);
    match open {
        Some(count) => resume(model, count),
        None => model.count.current = next_drawn(season, &model.count, model),
    }
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
    model.count.current = Some(Current {
        id: found.id,
        head: found.head.clone(),
        tally: found.tally,
        begun: true,
        drawn,
    });
    model.count.echo.clear();
}

fn place_in_draw(season: &Season, head: &CountHead) -> Option<(DrawId, usize)> {
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

/// The first drawn tree that waits, ready to be counted.
fn next_drawn(season: &Season, state: &State, model: &Model) -> Option<Current> {
    let tree = model.figures.walk.as_ref()?.next.first()?;
    Some(drawn(season, state, model, tree))
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
        part: usual_part(season, state, tree.block),
        chosen: Chosen::Drawn,
        counter: model.look.counter.clone(),
        at: model.now,
        note: String::new(),
        again: false,
    };
    fresh(head, Some((tree.draw, tree.place_in_draw)))
}

/// As many stems as were counted last in this block.
fn usual_part(season: &Season, state: &State, block: BlockId) -> Part {
    let last = || {
        let counts = season
            .counts()
            .iter()
            .filter(|count| count.head.block == block);
        counts
            .max_by_key(|count| count.head.at.utc_ms)
            .map(|count| count.head.part)
    };
    let known = state.parts.get(&block).copied();
    known.or_else(last).unwrap_or(Part::Whole)
}

/// A tree that has no count in the file yet; its identity comes with the first tap.
fn fresh(head: CountHead, drawn: Option<(DrawId, usize)>) -> Current {
    Current {
        id: CountId(uuid::Uuid::nil()),
        head,
        tally: Tally::default(),
        begun: false,
        drawn,
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

/// Begins a tree that was chosen in a form.
pub fn begin(
    model: &mut Model,
    head: CountHead,
    drawn: Option<(DrawId, usize)>,
    _moment: Moment,
) -> Vec<Effect> {
    model.count.parts.insert(head.block, head.part);
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
    Vec::new()
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
}

/// A tap was taken back.
pub fn taken_back(model: &mut Model, count: TreeCount, tap: Option<Tap>) {
    model.count.echo = tap.map_or_else(String::new, |tap| format!("took back: {}", tap.words()));
    take_in(model, count);
}

fn take_in(model: &mut Model, count: TreeCount) {
    if let Some(current) = &mut model.count.current {
        current.id = count.id;
        current.head.clone_from(&count.head);
        current.tally = count.tally;
        current.begun = true;
    }
    if let Some(season) = &mut model.season {
        season.put(count);
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
    let in_hand = model
        .count
        .current
        .as_ref()
        .is_some_and(|current| current.id == id && current.begun);
    if closed && in_hand {
        // once both counts are seen, the second is not opened again
        model.count.last_closed = (!again).then_some(id);
        model.count.echo.clear();
        model.count.current = None;
        take_next(model);
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
            model.count.last_closed = None;
            model.note(format!(
                "row {} tree {} is open again: Enter closes it",
                place.0, place.1
            ));
        }
        resume(model, id);
    }
}

/// A count was taken out of the figures.
pub fn removed(model: &mut Model, count: CountId) {
    if model.count.last_closed == Some(count) {
        model.count.last_closed = None;
    }
    if model
        .count
        .current
        .as_ref()
        .is_some_and(|current| current.begun && current.id == count)
    {
        model.count.current = None;
        if model.screen == Screen::Count {
            take_next(model);
        }
    }
}

/// The file was read again: what is in hand may be gone, or skipped.
pub fn reloaded(model: &mut Model) {
    let Some(season) = &model.season else {
        model.count.current = None;
        return;
    };
    if let Some(closed) = model.count.last_closed
        && season.count(closed).is_none()
    {
        model.count.last_closed = None;
    }
    let stays = match &mut model.count.current {
        None => return,
        Some(current) if current.begun => match season.count(current.id) {
            Some(count) if !count.closed => {
                if current.tally != count.tally {
                    model.count.echo.clear();
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
        model.count.current = None;
        model.count.less = false;
        model.count.echo.clear();
        take_next(model);
    }
}
