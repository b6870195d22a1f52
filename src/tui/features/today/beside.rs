//! An entry of the work log beside those that are logged already: shared with them, in their place, or mending.

use std::collections::BTreeSet;

use crate::orchard::{Faults, Invalid, LostKind, Row, WorkDraft, WorkEntry, WorkId, hours_text};
use crate::report::{Beside, DayRemark, Logging, Season, words};
use crate::store::{Change, Thing, ThingId};
use crate::tui::app::{Model, Moment};

/// What may stand in the log beside an entry that claims its trees.
pub(super) const BESIDE: [&str; 3] = ["ask", "together", "instead"];

fn told_of(season: &Season, work: &WorkEntry) -> String {
    let who = season.pruner_shown(work.pruner);
    match work.minutes {
        Some(_) => format!("{who} is logged with {} h", hours_text(work.minutes)),
        None => format!("{who} is logged"),
    }
}

/// Saves entries, where need be with what is said of those that claim the same trees: by its place in [`BESIDE`].
pub(super) fn settled(
    season: &Season,
    entries: &[WorkEntry],
    said: usize,
    moment: Moment,
) -> Result<Vec<Change>, Faults> {
    let disputed = season.disputed_by(entries);
    match said {
        _ if disputed.is_empty() => Ok(saved(entries.to_vec())),
        1 => together(entries, &disputed, moment),
        2 => Ok(in_place_of(season, entries, &disputed, moment)),
        _ => {
            let mut who: Vec<String> = disputed.iter().map(|work| told_of(season, work)).collect();
            who.dedup();
            let problem = format!(
                "{} that day for these trees: choose together, or instead",
                words::list(&who)
            );
            Err(Invalid::new("beside", problem).against(&["row"]).into())
        }
    }
}

/// An identity of the same moment.
pub(super) fn next(id: WorkId, step: u128) -> WorkId {
    WorkId(uuid::Uuid::from_u128(id.0.as_u128().wrapping_add(step)))
}

fn saved(entries: Vec<WorkEntry>) -> Vec<Change> {
    let entries = entries.into_iter();
    entries
        .map(|entry| Change::save(Thing::Work(entry)))
        .collect()
}

/// The entries and those that they met, marked as meant.
fn together(
    entries: &[WorkEntry],
    disputed: &[&WorkEntry],
    moment: Moment,
) -> Result<Vec<Change>, Faults> {
    let twice = |work: &&&WorkEntry| entries.iter().any(|entry| entry.pruner == work.pruner);
    if disputed.iter().any(|work| twice(&work)) {
        let problem = "one pruner cannot share trees with himself: choose instead";
        return Err(Invalid::new("beside", problem).into());
    }
    let known = disputed.iter().find_map(|work| work.how.team);
    let team = Some(known.unwrap_or(WorkId(moment.id)));
    let all = entries.iter().chain(disputed.iter().copied());
    let marked = all.map(|entry| entry.marked(team));
    Ok(saved(marked.collect()))
}

/// The entries, and what is left of those that they take the place of. Hours go where all of the trees go.
fn in_place_of(
    season: &Season,
    entries: &[WorkEntry],
    disputed: &[&WorkEntry],
    moment: Moment,
) -> Vec<Change> {
    let mut changes = Vec::new();
    // of the same moment, and beyond those of the entries
    let mut fresh = (1u128 << 64..).map(|step| next(WorkId(moment.id), step + 1));
    for work in disputed {
        let block = season.block(work.block);
        let row = block.and_then(|block| block.rows.row(work.row));
        let rests = rests(work, entries, row);
        if rests.is_empty() {
            changes.push(Change::Remove(ThingId::Work(work.id)));
        }
        // the first rest is the entry still, with its hours
        let ids = std::iter::once(work.id).chain(&mut fresh);
        for ((first, last), id) in rests.into_iter().zip(ids) {
            let draft = WorkDraft {
                first,
                last,
                minutes: work.minutes.filter(|_| id == work.id),
                ..work.draft().clone()
            };
            let entry = block.and_then(|block| WorkEntry::known(id, draft, block).ok());
            changes.extend(entry.map(|entry| Change::save(Thing::Work(entry))));
        }
    }
    changes.extend(saved(entries.to_vec()));
    changes
}

/// First and last trees of what the entries leave of another.
fn rests(work: &WorkEntry, entries: &[WorkEntry], row: Option<&Row>) -> Vec<(u16, u16)> {
    let stands = |tree: u16| row.is_none_or(|row| row.has_tree(tree));
    let taken = |tree: u16| {
        let mut theirs = entries.iter().filter(|entry| entry.disputes(work));
        theirs.any(|entry| (entry.first..=entry.last).contains(&tree))
    };
    let left: Vec<u16> = (work.first..=work.last)
        .filter(|tree| !taken(*tree) && stands(*tree))
        .collect();
    let runs = left.chunk_by(|a, b| (*a..*b).skip(1).all(|tree| !taken(tree)));
    runs.map(|run| (run[0], run[run.len() - 1])).collect()
}

/// How many trees the entries name, and what saving them does to what is logged already.
pub(super) fn summary(model: &Model, changes: &[Change]) -> String {
    let entries = &entries(changes);
    let Some(season) = &model.season else {
        return String::new();
    };
    let logging = season.logging(entries);
    let mut what = words::trees(logging.trees);
    let rows: BTreeSet<u16> = entries.iter().map(|entry| entry.row).collect();
    if rows.len() > 1 {
        what = format!("{} rows, {what}, the hours shared by trees", rows.len());
    }
    let remarks = remarks(season, entries);
    let said = match consequence(season, changes, &logging) {
        Some(told) => format!("{what}, {} new. {told}", logging.new),
        None => format!("{what}."),
    };
    [remarks, said].join(" ").trim_start().to_owned()
}

/// What saving does to what is logged already.
pub(super) fn consequence(
    season: &Season,
    changes: &[Change],
    logging: &Logging,
) -> Option<String> {
    let told = [
        replaced(season, changes),
        told(season, logging, Beside::Shared),
        told(season, logging, Beside::Mended),
        told(season, logging, Beside::Mends),
    ];
    told.into_iter().flatten().next()
}

/// What is known of the days that does not fit in with work on them.
pub(super) fn remarks(season: &Season, entries: &[WorkEntry]) -> String {
    let remark = |remark: DayRemark| match remark {
        DayRemark::NoWork(day, LostKind::Rain) => format!("{day} IS NOTED AS RAIN."),
        DayRemark::NoWork(day, LostKind::Off) => format!("{day} IS NOTED AS A DAY OFF."),
        DayRemark::Left(pruner, day) => {
            format!("{} LEFT ON {day}.", season.pruner_shown(pruner))
        }
        DayRemark::NotYet(pruner, day) => {
            format!("{} COMES ON {day}.", season.pruner_shown(pruner))
        }
    };
    let remarks = season.day_remarks(entries).into_iter().map(remark);
    remarks.collect::<Vec<_>>().join(" ")
}

/// The entries that are saved.
pub(super) fn entries(changes: &[Change]) -> Vec<WorkEntry> {
    let entry = |change: &Change| match change {
        Change::Save(thing) => match &**thing {
            Thing::Work(entry) => Some(entry.clone()),
            _ => None,
        },
        _ => None,
    };
    changes.iter().filter_map(entry).collect()
}

/// Whose entries go, hours and all.
fn replaced(season: &Season, changes: &[Change]) -> Option<String> {
    let gone = |change: &Change| match change {
        Change::Remove(ThingId::Work(id)) => season.work_entry(*id),
        _ => None,
    };
    let gone: Vec<&WorkEntry> = changes.iter().filter_map(gone).collect();
    let minutes: u16 = gone.iter().filter_map(|work| work.minutes).sum();
    let mut who: Vec<String> = gone
        .iter()
        .map(|work| season.pruner_shown(work.pruner))
        .collect();
    who.dedup();
    let hours = match minutes {
        0 => String::new(),
        minutes => format!(", its {} hours too", hours_text(Some(minutes))),
    };
    let who = words::list(&who);
    (!gone.is_empty()).then(|| format!("This takes the place of what {who} had that day{hours}."))
}

/// What becomes of the entries of one kind; none where there are none.
fn told(season: &Season, logging: &Logging, wanted: Beside) -> Option<String> {
    let (mut days, mut who) = (Vec::new(), Vec::new());
    let mut kind = None;
    for (pruner, day, of) in logging.beside.iter().filter(|(_, _, of)| *of == wanted) {
        let shown = season.pruner_shown(*pruner);
        days.push(format!("{shown} on {day}"));
        if !who.contains(&shown) {
            who.push(shown);
        }
        kind = Some(*of);
    }
    days.dedup();
    let (days, who) = (words::list(&days), words::list(&who));
    Some(match kind? {
        Beside::Disputed => return None,
        Beside::Shared => format!("Shared with {who}: all hours count, each tree once."),
        Beside::Mended => format!(
            "Mending, after {days}: the hours come on top, each tree counts once, as before."
        ),
        Beside::Mends => format!(
            "Before {days}: these trees count here; what was logged then is mending, its hours stay."
        ),
    })
}
