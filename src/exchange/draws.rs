//! The table of draws: a row for each drawn tree. Rows with one id (or, without ids, with the same
//! winter, days and seed) are one draw. Whether a drawn tree was counted follows from the counts,
//! so it is no column here; `skipped` is why a tree was left out. A draw is never changed once it
//! was made, but for what was skipped.

use std::collections::HashMap;

use chrono::NaiveDate;
use uuid::Uuid;

use super::ExchangeError;
use super::cells::{Cells, Reason, identity, whole};
use super::identity::{id_of, key};
use super::import::{Became, Import};
use super::out::{Labels, Out};
use super::sheet::Sheet;
use super::table::{Column, needed, optional};
use super::text::{plain, safe};
use crate::orchard::{Draw, DrawId, DrawnTree, Fate, Invalid, Part};
use crate::store::{Store, StoreError};

pub(super) const COLUMNS: &[Column] = &[
    optional("winter"),
    needed("day").of_day(),
    optional("since").of_day(),
    optional("until").of_day(),
    optional("seed"),
    optional("place"),
    needed("block"),
    needed("row"),
    needed("tree"),
    needed("pruner"),
    optional("skipped"),
    optional("part"),
    optional("id"),
];

pub(super) fn export(
    store: &Store,
    labels: &Labels,
    out: &mut Out<'_>,
) -> Result<(), ExchangeError> {
    for winter in &labels.winters {
        for draw in store.draws(winter.id)? {
            let head = [
                safe(&winter.label),
                draw.day.to_string(),
                draw.since.to_string(),
                draw.until.to_string(),
                draw.seed.to_string(),
            ];
            let mut rows: Vec<[String; 7]> = Vec::new();
            for (tree, place) in draw.trees.iter().zip(1..) {
                let skipped = match &tree.fate {
                    Fate::Skipped(reason) => safe(reason),
                    Fate::Waiting => String::new(),
                };
                let place: u32 = place;
                rows.push([
                    place.to_string(),
                    labels.block(tree.block),
                    tree.row.to_string(),
                    tree.tree.to_string(),
                    labels.pruner(tree.pruner),
                    skipped,
                    tree.runs.map_or_else(String::new, |runs| runs.text()),
                ]);
            }
            if rows.is_empty() {
                // a draw that found no tree is a draw all the same
                rows.push(Default::default());
            }
            for row in rows {
                let id = [draw.id.to_string()];
                out.row(&[&head[..], &row[..], &id[..]].concat())?;
            }
        }
    }
    Ok(())
}

/// What the rows of one draw have in common.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Head {
    winter: crate::orchard::WinterId,
    day: NaiveDate,
    since: NaiveDate,
    until: NaiveDate,
    seed: u64,
}

/// A draw as its rows make it.
struct Rows<'s> {
    id: Uuid,
    head: Head,
    first: Cells<'s>,
    trees: Vec<(u32, DrawnTree)>,
    spoilt: bool,
}

pub(super) fn import(import: &mut Import<'_>, sheet: &Sheet) -> Result<(), StoreError> {
    let mut draws: Vec<Rows<'_>> = Vec::new();
    let mut by_id: HashMap<Uuid, usize> = HashMap::new();
    for line in &sheet.lines {
        let mut cells = Cells::new(sheet, line);
        let given = cells.maybe("id", identity);
        let head = head(import, &mut cells, given);
        let tree = tree(import, &mut cells, given.is_some());
        let Some((id, head)) = head else {
            import.accept(cells);
            continue;
        };
        let place = cells.maybe("place", whole::<u32>);
        match by_id.get(&id).and_then(|at| draws.get_mut(*at)) {
            None => {
                by_id.insert(id, draws.len());
                let trees = tree.map(|tree| (place.unwrap_or(1), tree));
                draws.push(Rows {
                    id,
                    head,
                    first: cells,
                    trees: trees.into_iter().collect(),
                    spoilt: false,
                });
            }
            Some(draw) => {
                let place = place.unwrap_or(draw.trees.len() as u32 + 1);
                add_row(draw, &mut cells, head, tree, place);
                draw.spoilt |= !cells.good();
                import.accept(cells);
            }
        }
    }
    let mut known = HashMap::new();
    for winter in &import.known.winters {
        let draws = import.store.draws(winter.id)?.into_iter();
        known.extend(draws.map(|draw| (draw.id.0, draw)));
    }
    for mut draw in draws {
        if draw.first.good() && !draw.spoilt {
            draw.trees.sort_by_key(|(place, _)| *place);
            if let Some(change) = keep(import.store, &mut draw, &known)? {
                import.note(change);
            }
        }
        import.accept(draw.first);
    }
    Ok(())
}

fn add_row(
    draw: &mut Rows<'_>,
    cells: &mut Cells<'_>,
    head: Head,
    tree: Option<DrawnTree>,
    place: u32,
) {
    let first = draw.first.line();
    if draw.head != head {
        let reason = format!("days, winter or seed differ from line {first}, which has this id");
        cells.wrong("id", &reason);
    }
    if draw.trees.iter().any(|(taken, _)| *taken == place) {
        cells.wrong("place", "stands twice in this draw");
    }
    match tree {
        Some(tree) => draw.trees.push((place, tree)),
        None if cells.good() => cells.wrong("tree", "is empty, and this draw has other rows"),
        None => {}
    }
}

fn head(import: &Import<'_>, cells: &mut Cells<'_>, given: Option<Uuid>) -> Option<(Uuid, Head)> {
    let day = cells.must_day("day");
    let since = cells.day("since", day, day);
    let until = cells.day("until", day, day);
    let seed = cells.get("seed", 0, 0, |raw| {
        let seed = raw.parse::<u64>().ok();
        seed.ok_or_else(|| Reason::from("is not a whole number below 2^64"))
    });
    let winter = import.winter(cells, day);
    let (day, since, until, winter) = (day?, since?, until?, winter?);
    if since > until {
        cells.wrong("until", &format!("is before {since}"));
    }
    let says = key(&[&"draw", &winter.label, &day, &since, &until, &seed]);
    let head = Head {
        winter: winter.id,
        day,
        since,
        until,
        seed,
    };
    Some((given.unwrap_or_else(|| id_of(&says, 1)), head))
}

/// The tree of a row; none on the row of a draw without trees.
fn tree(import: &Import<'_>, cells: &mut Cells<'_>, recorded: bool) -> Option<DrawnTree> {
    let blank = |column| cells.raw(column).is_empty();
    if ["block", "row", "tree", "pruner", "skipped", "part"]
        .into_iter()
        .all(blank)
    {
        return None;
    }
    let block = import.block(cells);
    let row: Option<u16> = cells.must("row", whole);
    let tree: Option<u16> = cells.must("tree", whole);
    let pruner = cells.must("pruner", whole::<u16>);
    let pruner = pruner.and_then(|_| import.pruner(cells));
    let fate = cells.get("skipped", Fate::Waiting, Fate::Waiting, |raw| {
        Fate::skipped(&plain(raw))
    });
    let runs = cells.get("part", None, None, |raw| match Part::parse(raw)? {
        Part::Whole => Ok(None),
        Part::Runs(runs) => Ok(Some(runs)),
        Part::Stems(_) | Part::Zone(_) => {
            let problem = "of a drawn tree is whole, or leaders with their pieces";
            Err(Invalid::new("part", problem))
        }
    });
    let (block, row, tree, pruner) = (block?, row?, tree?, pruner?);
    if let Err(invalid) = block.at_the_time(recorded).check_tree(row, tree) {
        cells.refused(&invalid);
        return None;
    }
    Some(DrawnTree {
        block: block.now.id,
        row,
        tree,
        pruner: pruner.id,
        runs,
        fate,
    })
}

fn keep(
    store: &Store,
    rows: &mut Rows<'_>,
    known: &HashMap<Uuid, Draw>,
) -> Result<Option<Became>, StoreError> {
    let head = rows.head;
    let trees = std::mem::take(&mut rows.trees).into_iter();
    let new = Draw {
        id: DrawId(rows.id),
        winter: head.winter,
        day: head.day,
        since: head.since,
        until: head.until,
        seed: head.seed,
        trees: trees.map(|(_, tree)| tree).collect(),
    };
    let Some(old) = known.get(&rows.id) else {
        store.add_draw(&new)?;
        return Ok(Some(Became::Added));
    };
    if drawn(old) != drawn(&new) {
        rows.first.wrong(
            "id",
            "this draw is in the file with other trees or days, and a draw is not changed once made",
        );
        return Ok(None);
    }
    let mut change = Became::Unchanged;
    for (place, (old, new)) in old.trees.iter().zip(&new.trees).enumerate() {
        let (old, new) = (reason(&old.fate), reason(&new.fate));
        if old != new {
            store.skip_drawn(DrawId(rows.id), place, new)?;
            change = Became::Changed;
        }
    }
    Ok(Some(change))
}

/// A draw without what became of its trees.
fn drawn(draw: &Draw) -> Draw {
    let mut drawn = draw.clone();
    for tree in &mut drawn.trees {
        tree.fate = Fate::Waiting;
    }
    drawn
}

fn reason(fate: &Fate) -> Option<&str> {
    match fate {
        Fate::Skipped(reason) => Some(reason),
        Fate::Waiting => None,
    }
}
