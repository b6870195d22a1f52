//! The table of counted trees.
//!
//! `at` is a moment with its offset, such as `2027-01-12T09:30:00+10:00`. A day alone will do, in
//! `at` or in `day`: the count then stands at noon UTC of that day, whatever clock the tablet has,
//! so that the same file gives the same counts everywhere. `day` is the orchard's local day; it is
//! the day of `at` where it is left out. `stands` tells how a count stands to the figures, and is not read.

use chrono::NaiveDate;
use uuid::Uuid;

use super::ExchangeError;
use super::cells::{Cells, Reason, identity, whole, yes_no};
use super::days::Order;
use super::figures::{FIGURES, figures_of, read_figures};
use super::identity::{Present, key};
use super::import::{Became, Import, KnownBlock};
use super::out::{self, Labels, Out};
use super::sheet::Sheet;
use super::table::{Column, needed, optional};
use super::text::safe;
use crate::orchard::{
    Chosen, CountHead, CountId, Part, PrunerId, RowLog, Stage, Stamp, TreeCount, WinterId,
    WorkEntry, attribute_all, how_all_stand, parse_day,
};
use crate::store::{CountFilter, Store, StoreError};

pub(super) const COLUMNS: &[Column] = &{
    const HEAD: usize = 15;
    let mut columns = [optional("id"); HEAD + FIGURES.len() + 1];
    columns[0] = optional("winter");
    columns[1] = needed("block");
    columns[2] = needed("row");
    columns[3] = needed("tree");
    columns[4] = optional("pruner");
    columns[5] = optional("stage");
    columns[6] = optional("part");
    columns[7] = optional("chosen");
    columns[8] = optional("counter");
    columns[9] = optional("at").of_day();
    columns[10] = optional("day").of_day();
    columns[11] = optional("note");
    columns[12] = optional("closed");
    columns[13] = optional("again");
    // told on the way out; on the way in the other columns say it
    columns[14] = optional("stands");
    let mut at = 0;
    while at < FIGURES.len() {
        // the pieces are what a count is: a file without them is some other table
        let name = FIGURES[at];
        columns[HEAD + at] = if at < 3 { needed(name) } else { optional(name) };
        at += 1;
    }
    columns
};

pub(super) fn export(
    store: &Store,
    labels: &Labels,
    out: &mut Out<'_>,
) -> Result<(), ExchangeError> {
    for winter in &labels.winters {
        let label = safe(&winter.label);
        let (work, counts) = log_and_counts(store, winter.id)?;
        let stands = how_all_stand(work.iter(), counts.iter(), &store.marks_in(winter)?);
        for count in counts {
            let head = &count.head;
            let mut cells = vec![
                label.clone(),
                labels.block(head.block),
                head.row.to_string(),
                head.tree.to_string(),
                count
                    .person()
                    .map_or_else(String::new, |p| labels.pruner(p)),
                head.stage.word().to_owned(),
                head.part.text(),
                head.chosen.word().to_owned(),
                safe(&head.counter),
                head.at.rfc3339(),
                head.at.day.to_string(),
                safe(&head.note),
                out::yes_no(count.closed),
                out::yes_no(head.again),
                stands
                    .get(&count.id)
                    .map_or("", |how| how.word())
                    .to_owned(),
            ];
            cells.extend(figures_of(&count.tally).map(|figure| figure.to_string()));
            cells.push(count.id.to_string());
            out.row(&cells)?;
        }
    }
    Ok(())
}

/// The log of a winter and its counts, each with the pruner whose it is by the log, as in every figure.
fn log_and_counts(
    store: &Store,
    winter: WinterId,
) -> Result<(Vec<WorkEntry>, Vec<TreeCount>), StoreError> {
    let (work, mut counts) = (
        store.work(winter)?,
        store.counts(CountFilter::Winter(winter))?,
    );
    attribute_all(&RowLog::of(work.iter()), &mut counts);
    Ok((work, counts))
}

fn spot(head: &CountHead) -> String {
    key(&[&head.winter, &head.block, &head.row, &head.tree])
}

pub(super) fn import(import: &mut Import<'_>, sheet: &Sheet) -> Result<(), StoreError> {
    let mut known = Vec::new();
    for winter in &import.known.winters {
        let counts = log_and_counts(import.store, winter.id)?.1.into_iter();
        // a table says whose a count is by the log: it is compared with that
        known.extend(counts.map(|count| TreeCount {
            head: count.head_by_log(),
            by_log: None,
            pruned_on: None,
            ..count
        }));
    }
    let known = known.into_iter();
    let mut present = Present::new(known.map(|count| (count.id.0, spot(&count.head), count)));
    for line in &sheet.lines {
        let mut cells = Cells::new(sheet, line);
        if let Some(change) = one(import, &mut cells, &mut present)? {
            import.note(change);
        }
        import.accept(cells);
    }
    Ok(())
}

fn one(
    import: &Import<'_>,
    cells: &mut Cells<'_>,
    present: &mut Present<TreeCount>,
) -> Result<Option<Became>, StoreError> {
    let given = cells.maybe("id", identity);
    let old = given.and_then(|id| present.get(id)).cloned();
    let tally = read_figures(cells, old.as_ref().map(|old| &old.tally));
    let closed = old.as_ref().is_none_or(|old| old.closed);
    let closed = cells.get("closed", closed, true, yes_no);
    let Some(read) = read_head(import, cells, given, old.as_ref()) else {
        return Ok(None);
    };
    let same = |old: &TreeCount| {
        let mut head = read.head.clone();
        if read.day_only && head.at.day == old.head.at.day {
            head.at = old.head.at;
        }
        head == old.head && tally == old.tally && closed == old.closed
    };
    let id = present.settle(cells, given, &read.says, &spot(&read.head), same);
    if !cells.good() {
        return Ok(None);
    }
    let mut count = TreeCount {
        id: CountId(id),
        head: read.head,
        tally,
        closed,
        by_log: None,
        pruned_on: None,
    };
    let old = present.get(id);
    if let Some(old) = old.filter(|old| read.day_only && old.head.at.day == count.head.at.day) {
        // a day says less than the moment that is stored
        count.head.at = old.head.at;
    }
    keep(import.store, &count, old).map(Some)
}

/// Saves what differs. The order of taps stays where the figures are the same.
fn keep(store: &Store, new: &TreeCount, old: Option<&TreeCount>) -> Result<Became, StoreError> {
    match old {
        Some(old) if old == new => Ok(Became::Unchanged),
        Some(old) if old.tally == new.tally => {
            store.change_head(new.id, &new.head)?;
            store.close_count(new.id, new.closed)?;
            Ok(Became::Changed)
        }
        _ => {
            store.add_count(new)?;
            // one that was removed comes back
            store.remove_count(new.id, false)?;
            Ok(if old.is_some() {
                Became::Changed
            } else {
                Became::Added
            })
        }
    }
}

/// The head of a count as a line tells it.
struct ReadHead {
    head: CountHead,
    /// Whether the line has a day and no time.
    day_only: bool,
    /// What the line's id is made of.
    says: String,
}

fn read_head(
    import: &Import<'_>,
    cells: &mut Cells<'_>,
    given: Option<Uuid>,
    old: Option<&TreeCount>,
) -> Option<ReadHead> {
    let old = old.map(|old| &old.head);
    let at = moment(cells, old);
    let winter = import.winter(cells, at.map(|(at, _)| at.day));
    let block = import.block(cells);
    let row = cells.must("row", whole);
    let tree = cells.must("tree", whole);
    let number = import.pruner(cells);
    let pruner = if cells.has("pruner") {
        number.map(|pruner| pruner.id)
    } else {
        old.and_then(|old| old.pruner)
    };
    let stage = old.map_or(Stage::After, |old| old.stage);
    let stage = cells.get("stage", stage, Stage::After, |raw| {
        Stage::parse(&raw.to_lowercase())
    });
    let part = old.map_or(Part::Whole, |old| old.part);
    let part = cells.get("part", part, Part::Whole, |raw| {
        Part::parse(&raw.to_lowercase())
    });
    let chosen = old.map_or(Chosen::ByEye, |old| old.chosen);
    let chosen = cells.get("chosen", chosen, Chosen::ByEye, |raw| {
        Chosen::parse(&raw.to_lowercase())
    });
    let counter = cells.text_or("counter", old.map_or("", |old| &old.counter));
    let note = cells.text_or("note", old.map_or("", |old| &old.note));
    let again = old.is_some_and(|old| old.again);
    let again = cells.get("again", again, false, yes_no);
    let ((at, day_only), winter, block, row, tree) = (at?, winter?, block?, row?, tree?);
    // a count that a wrong clock made is in the file, and stays as it is
    if old.is_none_or(|old| old.at.day != at.day)
        && let Err(far) = winter.check_count_day(at.day)
    {
        let column = if cells.raw("day").is_empty() {
            "at"
        } else {
            "day"
        };
        cells.wrong(column, &far.problem);
        return None;
    }
    let head = CountHead {
        winter: winter.id,
        block: block.now.id,
        row,
        tree,
        pruner,
        stage,
        part,
        chosen,
        counter,
        at,
        note,
        again,
    };
    let head = check(cells, head, &block, given.is_some())?;
    let when = if day_only {
        at.day.to_string()
    } else {
        at.utc_ms.to_string()
    };
    let says = key(&[
        &"count",
        &winter.label,
        &block.now.name,
        &row,
        &tree,
        &stage.word(),
        &part.text(),
        &number.map_or(0, |pruner| pruner.number),
        &head.counter,
        &when,
    ]);
    // a count in the figures keeps the id that it had before counts could be made again
    let says = if again { key(&[&says, &"again"]) } else { says };
    Some(ReadHead {
        head,
        day_only,
        says,
    })
}

fn check(
    cells: &mut Cells<'_>,
    head: CountHead,
    block: &KnownBlock,
    recorded: bool,
) -> Option<CountHead> {
    let block = block.at_the_time(recorded);
    let pruner_is_wrong = !cells.raw("pruner").is_empty() && head.pruner.is_none();
    let head = CountHead {
        // a number that nobody has is told once
        pruner: if pruner_is_wrong {
            Some(PrunerId(Uuid::nil()))
        } else {
            head.pruner
        },
        ..head
    };
    cells.judge(head.check(block))
}

/// When the count was made, and whether the line has only the day of it.
fn moment(cells: &mut Cells<'_>, old: Option<&CountHead>) -> Option<(Stamp, bool)> {
    let day = cells.day("day", None, None);
    let days = cells.days();
    let at = cells.maybe("at", |raw| read_at(days, raw));
    match (at, day) {
        (Some((at, day_only)), Some(day)) => {
            let stamp = Stamp::new(at.utc_ms, at.offset_min, day);
            let stamp = stamp.map_err(|invalid| cells.wrong("day", &invalid.problem));
            stamp.ok().map(|stamp| (stamp, day_only))
        }
        (Some(found), None) => Some(found),
        (None, Some(day)) if cells.raw("at").is_empty() => Some((noon(day), true)),
        (None, None) if !cells.has("at") && !cells.has("day") && old.is_some() => {
            old.map(|old| (old.at, false))
        }
        _ => {
            if cells.raw("at").is_empty() && cells.raw("day").is_empty() {
                cells.wrong("at", "is empty, and so is the day: one of them is needed");
            }
            None
        }
    }
}

fn read_at(days: Order, raw: &str) -> Result<(Stamp, bool), Reason> {
    match days.read(raw) {
        Ok(day) => return Ok((noon(day), true)),
        Err(wrong) if Order::means_a_day(raw) => return Err(wrong.into()),
        Err(_) => {}
    }
    let stamp = Stamp::parse_rfc3339(raw)?;
    // the same years as any other day
    parse_day("at", &stamp.day.to_string())?;
    Ok((stamp, false))
}

fn noon(day: NaiveDate) -> Stamp {
    let noon = day.and_time(chrono::NaiveTime::MIN) + chrono::TimeDelta::hours(12);
    Stamp::of(noon.and_utc().fixed_offset())
}
