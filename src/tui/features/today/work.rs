//! The form for an entry of the work log.

use chrono::NaiveDate;

use super::beside::{self, BESIDE, next, summary};
use super::rows::{rows, shared};
use crate::orchard::{
    Block, Faults, How, Invalid, PrunerId, WorkDraft, WorkEntry, WorkId, WorkKind, Zone,
    hours_text, parse_day, parse_hours,
};
use crate::report::GoBackLine;
use crate::tui::app::{Model, Moment};
use crate::tui::features::forms::{
    FormSpec, NO_BLOCK, NO_CREW, NO_WINTER, Reading, block_field, chosen_block, chosen_pruner,
    crew, crew_field, whole, winter,
};
use crate::tui::{Field, Form};

pub fn spec(entry: Option<WorkId>) -> FormSpec {
    let spec = FormSpec::new(
        move |model| form(model, entry),
        move |model, form, moment| read(model, form, entry, moment),
    );
    let spec = spec.summary(|model, reading| match reading {
        Reading::Write(changes) => summary(model, changes),
        _ => String::new(),
    });
    match entry {
        None => spec.new_entry().repeated().says_by(logged),
        Some(_) => spec.says("the entry is changed"),
    }
}

/// Work was logged. On a row that is sent back, asks for what came of it, and says where.
fn logged(model: &Model, form: &Form) -> String {
    sent_back(model, form).map_or_else(
        || "the work is logged".to_owned(),
        |open| {
            let (block, row) = (open.block_name, open.row);
            format!("the work is logged; is {block} row {row} mended? Set-up, Go-back settles it")
        },
    )
}

/// The form: empty but for the day and the last block, or filled with an entry.
fn form(model: &Model, entry: Option<WorkId>) -> Result<Form, String> {
    let season = model.season.as_ref().ok_or(NO_WINTER)?;
    if model.house.blocks.is_empty() {
        return Err(NO_BLOCK.to_owned());
    }
    let known = match entry {
        Some(id) => Some(season.work_entry(id).ok_or("this entry is gone")?),
        None => None,
    };
    let pruners = crew(model, known.map(|work| work.pruner));
    if pruners.is_empty() {
        return Err(NO_CREW.to_owned());
    }
    let block = known.or(season.work.last()).map(|work| work.block);
    let how = known.map(|work| work.how).unwrap_or_default();
    let number = |value: Option<u16>| value.map_or_else(String::new, |n| n.to_string());
    let fields = vec![
        crew_field(&pruners, known.map(|work| work.pruner)),
        block_field(model, block),
        Field::text("row", "Rows")
            .written_with("0123456789-,")
            .with(number(known.map(|w| w.row)))
            .hint("a row, or several such as 1-3, 5"),
        Field::whole("first", "First tree")
            .with(number(known.map(|w| w.first)))
            .hint("empty: from the start of the row"),
        Field::whole("last", "Last tree")
            .with(number(known.map(|w| w.last)))
            .hint("empty: to the end of the row"),
        Field::day("day", "Day")
            .with(known.map_or(model.now.day, |w| w.day).to_string())
            .hint("such as 2027-01-12"),
        Field::text("hours", "Hours")
            .written_with("0123456789:.")
            .with(hours_text(known.and_then(|w| w.minutes)))
            .hint("7.5 or 7:30, of each pruner; may stay empty"),
        Field::choice_of(
            "kind",
            "Work",
            WorkKind::ALL.map(|kind| kind.word().to_owned()).to_vec(),
        )
        .with(how.kind.word())
        .hint("only pruning and the second pass are judged"),
        Field::choice_of(
            "zone",
            "Part",
            Zone::ALL.map(|zone| zone.word().to_owned()).to_vec(),
        )
        .with(how.zone.word())
        .hint("side A is towards the row before, side B towards the next"),
        Field::text("with", "Together with")
            .written_with("0123456789, ")
            .hint("numbers of others who did the same trees, such as 4, 7"),
        Field::whole("share", "Share %")
            .with(
                how.share
                    .map_or_else(String::new, |share| share.to_string()),
            )
            .hint("of each tree, for pay by the tree; empty: equal shares"),
        Field::choice_of("beside", "If logged", BESIDE.map(str::to_owned).to_vec())
            .hint("if another entry of that day has these trees"),
    ];
    let title = if known.is_some() {
        "Change an entry of the work log"
    } else {
        "Log work: who pruned what"
    };
    Ok(Form::new(title, fields).with_summary())
}

/// The row on which the form logs work, where it was sent back and nothing is known of it yet.
fn sent_back(model: &Model, form: &Form) -> Option<GoBackLine> {
    let block = chosen_block(model, form).ok()?;
    let rows = rows(form.value("row"), block).ok()?;
    let day = parse_day("day", form.value("day")).ok()?;
    let open = model.season.as_ref()?.open_go_backs(model.now.day);
    open.into_iter().find(|open| {
        let of_form = open.block == block.id && rows.iter().any(|(row, _)| *row == open.row);
        of_form && open.day <= day
    })
}

/// Reads the form.
fn read(
    model: &Model,
    form: &Form,
    entry: Option<WorkId>,
    moment: Moment,
) -> Result<Reading, Faults> {
    let entries = written(model, form, entry, moment)?;
    let Some(season) = &model.season else {
        return Err(Invalid::new("row", NO_WINTER).into());
    };
    let beside = form.choice("beside");
    beside::settled(season, &entries, beside, moment).map(Reading::Write)
}

/// The entries that the form says: one for each pruner and row.
fn written(
    model: &Model,
    form: &Form,
    entry: Option<WorkId>,
    moment: Moment,
) -> Result<Vec<WorkEntry>, Faults> {
    let pruner = chosen_pruner(model, form, "pruner")?;
    let block = chosen_block(model, form)?;
    let mut faults = Faults::default();
    let others = faults.take(others(model, form, pruner));
    if entry.is_some() && !others.is_empty() {
        faults.add(Invalid::new(
            "with",
            "w on Today logs others; this entry is one pruner's",
        ));
    }
    let rows = faults.take(rows(form.value("row"), block));
    let known = entry.and_then(|id| model.season.as_ref()?.work_entry(id));
    let how = How {
        kind: faults.take(WorkKind::parse(form.value("kind"))),
        zone: faults.take(Zone::parse(form.value("zone"))),
        share: faults.take(share(form)),
        team: known.and_then(|work| work.how.team),
    };
    let mut draft = WorkDraft {
        winter: winter(model)?,
        pruner,
        block: block.id,
        row: 1,
        first: 1,
        last: 1,
        day: faults.take(day(model, form)),
        minutes: faults.take(parse_hours(form.value("hours"))),
        how,
    };
    let id = entry.unwrap_or(WorkId(moment.id));
    if rows.len() < 2 {
        let mut or = |key, default| match form.value(key).trim() {
            "" => default,
            _ => faults.take(whole(form, key)),
        };
        // where no row could be read, that is told, and its places are not known
        let (row, places) = rows.first().copied().unwrap_or_default();
        (draft.row, draft.first, draft.last) = (row, or("first", 1), or("last", places));
        let work = faults.made(WorkEntry::new(id, draft, block))?;
        return for_all(&[work], &others, block);
    }
    let alone = "belongs to one row: of several rows, all trees are logged";
    if let Some(field) = ["first", "last"]
        .iter()
        .find(|key| !form.value(key).trim().is_empty())
    {
        faults.add(Invalid::new(field, alone));
    }
    if entry.is_some() {
        let problem = "one row an entry: w on Today logs several at once";
        faults.add(Invalid::new("row", problem));
    }
    faults.or(())?;
    let shares = shared(draft.minutes, &rows);
    let all = rows
        .iter()
        .zip(shares)
        .zip(0u128..)
        .map(|((of, minutes), step)| {
            (draft.row, draft.last, draft.minutes) = (of.0, of.1, minutes);
            // entries of one moment, in the order of their rows
            WorkEntry::new(next(id, step), draft.clone(), block)
        });
    for_all(&all.collect::<Result<Vec<_>, Faults>>()?, &others, block)
}

/// Each entry once more for each of the others; those of one row are marked as meant so.
pub(super) fn for_all(
    entries: &[WorkEntry],
    others: &[PrunerId],
    block: &Block,
) -> Result<Vec<WorkEntry>, Faults> {
    if others.is_empty() {
        return Ok(entries.to_vec());
    }
    let mut all = Vec::new();
    for entry in entries {
        let team = Some(entry.id);
        all.push(entry.marked(team));
        for (pruner, step) in others.iter().zip(1u128..) {
            let how = How {
                share: None,
                team,
                ..entry.how
            };
            let draft = WorkDraft {
                pruner: *pruner,
                how,
                ..entry.draft().clone()
            };
            all.push(WorkEntry::new(next(entry.id, step << 32), draft, block)?);
        }
    }
    Ok(all)
}

/// Those who did the same trees, by their numbers.
fn others(model: &Model, form: &Form, pruner: PrunerId) -> Result<Vec<PrunerId>, Invalid> {
    let wrong = |problem: String| Invalid::new("with", problem);
    let typed = form.value("with").split([',', ' ']).map(str::trim);
    let mut found: Vec<PrunerId> = Vec::new();
    for number in typed.filter(|typed| !typed.is_empty()) {
        let mut crew = model.house.pruners.iter();
        let known = crew.find(|known| known.number.to_string() == number);
        let known = known.ok_or_else(|| wrong(format!("there is no pruner number {number}")))?;
        if known.id == pruner || found.contains(&known.id) {
            return Err(wrong(format!("{} is named twice", known.shown())));
        }
        found.push(known.id);
    }
    Ok(found)
}

fn share(form: &Form) -> Result<Option<u8>, Invalid> {
    let typed = form.value("share").trim();
    let read = || {
        let share = whole(form, "share")?;
        Ok(u8::try_from(share).unwrap_or(u8::MAX))
    };
    (!typed.is_empty()).then(read).transpose()
}

/// The day, in the winter and not still to come.
pub(super) fn day(model: &Model, form: &Form) -> Result<NaiveDate, Invalid> {
    let day = parse_day("day", form.value("day"))?;
    if let Some(season) = &model.season {
        season.winter.check_day(day)?;
    }
    if day > model.now.day {
        return Err(Invalid::new("day", format!("{day} is still to come")));
    }
    Ok(day)
}

#[cfg(test)]
#[path = "work_tests.rs"]
mod tests;
