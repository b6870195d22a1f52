//! The form for an entry of the work log.

use chrono::NaiveDate;

use crate::orchard::{
    Block, Faults, Invalid, WorkDraft, WorkEntry, WorkId, hours_text, parse_day, parse_hours,
};
use crate::report::{Beside, GoBackLine, Logging, Season, words};
use crate::store::{Change, Thing};
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
        Some(id) => {
            let found = season.work.iter().find(|work| work.id == id);
            Some(found.ok_or("this entry is gone")?)
        }
        None => None,
    };
    let pruners = crew(model, known.map(|work| work.pruner));
    if pruners.is_empty() {
        return Err(NO_CREW.to_owned());
    }
    let block = known.or(season.work.last()).map(|work| work.block);
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
            .hint("7.5 or 7:30; may stay empty"),
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
    let pruner = chosen_pruner(model, form)?;
    let block = chosen_block(model, form)?;
    let mut faults = Faults::default();
    let rows = faults.take(rows(form.value("row"), block));
    let mut draft = WorkDraft {
        winter: winter(model)?,
        pruner,
        block: block.id,
        row: 1,
        first: 1,
        last: 1,
        day: faults.take(day(model, form)),
        minutes: faults.take(parse_hours(form.value("hours"))),
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
        return Ok(Reading::save(Thing::Work(work)));
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
            let id = WorkId(uuid::Uuid::from_u128(id.0.as_u128().wrapping_add(step)));
            let entry = WorkEntry::new(id, draft.clone(), block)?;
            Ok(Change::save(Thing::Work(entry)))
        });
    Ok(Reading::Write(all.collect::<Result<_, Faults>>()?))
}

/// The day, in the winter and not still to come.
fn day(model: &Model, form: &Form) -> Result<NaiveDate, Invalid> {
    let day = parse_day("day", form.value("day"))?;
    if let Some(season) = &model.season {
        season.winter.check_day(day)?;
    }
    if day > model.now.day {
        return Err(Invalid::new("day", format!("{day} is still to come")));
    }
    Ok(day)
}

/// The rows named, such as `7`, `1-3` or `1-3, 5`, each with its places.
fn rows(text: &str, block: &Block) -> Result<Vec<(u16, u16)>, Invalid> {
    let wrong = |problem: String| Invalid::new("row", problem);
    let mut rows: Vec<(u16, u16)> = Vec::new();
    for part in text.split(',').map(str::trim) {
        let (first, last) = part.split_once('-').unwrap_or((part, part));
        let number = |text: &str| text.trim().parse::<u16>();
        let (Ok(first), Ok(last)) = (number(first), number(last)) else {
            let problem = if text.trim().is_empty() {
                "fill in a row, or several such as 1-3, 5".to_owned()
            } else {
                format!("{part:?} is no row; rows are named like 7 or 1-3, 5")
            };
            return Err(wrong(problem));
        };
        if last < first {
            return Err(wrong(format!("{part:?} ends before it begins")));
        }
        for row in first..=last {
            let known = block.rows.row(row).ok_or_else(|| {
                wrong(format!(
                    "block {} has rows {}",
                    block.name,
                    block.rows.rows_text()
                ))
            })?;
            if rows.iter().any(|(other, _)| *other == row) {
                return Err(wrong(format!("row {row} is named twice")));
            }
            rows.push((row, known.places));
        }
    }
    Ok(rows)
}

/// The minutes shared out by places; the sum stays what it is, and each row that gets any gets a minute at least.
fn shared(minutes: Option<u16>, rows: &[(u16, u16)]) -> Vec<Option<u16>> {
    let all: u64 = rows.iter().map(|(_, places)| u64::from(*places)).sum();
    let Some(minutes) = minutes.map(u64::from) else {
        return vec![None; rows.len()];
    };
    let (mut before, mut seen) = (0, 0);
    let share = |(_, places): &(u16, u16)| {
        seen += u64::from(*places);
        let upto = (minutes * seen + all / 2) / all.max(1);
        let own = upto - before;
        before = upto;
        u16::try_from(own).ok().filter(|own| *own > 0)
    };
    rows.iter().map(share).collect()
}

/// How many trees the entries name, and what saving them does to what is logged already.
fn summary(model: &Model, changes: &[Change]) -> String {
    let entries = &entries(changes);
    let Some(season) = &model.season else {
        return String::new();
    };
    let logging = season.logging(entries);
    let mut what = words::trees(logging.trees);
    if entries.len() > 1 {
        what = format!("{} rows, {what}, the hours shared by trees", entries.len());
    }
    let told = [
        told(season, &logging, is_replaced),
        told(season, &logging, |of| of == Beside::Corrected),
        told(season, &logging, |of| of == Beside::Holds),
        told(season, &logging, |of| of == Beside::Mended),
        told(season, &logging, |of| of == Beside::Mends),
    ];
    match told.into_iter().flatten().next() {
        Some(told) => format!("{what}, {} new. {told}", logging.new),
        None => format!("{what}."),
    }
}

fn entries(changes: &[Change]) -> Vec<WorkEntry> {
    let entry = |change: &Change| match change {
        Change::Save(thing) => match &**thing {
            Thing::Work(entry) => Some(entry.clone()),
            _ => None,
        },
        _ => None,
    };
    changes.iter().filter_map(entry).collect()
}

fn is_replaced(of: Beside) -> bool {
    matches!(of, Beside::Replaced(_))
}

/// What becomes of the entries of one kind; none where there are none.
fn told(season: &Season, logging: &Logging, is: fn(Beside) -> bool) -> Option<String> {
    let (mut days, mut who) = (Vec::new(), Vec::new());
    let (mut minutes, mut kind) = (0, None);
    for (pruner, day, of) in logging.beside.iter().filter(|(_, _, of)| is(*of)) {
        let shown = season.pruner_shown(*pruner);
        days.push(format!("{shown} on {day}"));
        if !who.contains(&shown) {
            who.push(shown);
        }
        if let Beside::Replaced(own) = of {
            minutes = own.unwrap_or(0).saturating_add(minutes);
        }
        kind = Some(*of);
    }
    days.dedup();
    let (days, who) = (words::list(&days), words::list(&who));
    Some(match kind? {
        Beside::Replaced(_) if minutes > 0 => {
            let hours = hours_text(Some(minutes));
            format!("This takes the place of what {who} had that day, its {hours} hours too.")
        }
        Beside::Replaced(_) => format!("This takes the place of what {who} had that day."),
        Beside::Corrected => format!(
            "This corrects what {who} had that day: these trees go, its other trees and its hours stay."
        ),
        Beside::Holds => {
            format!("What {who} had logged after it that day holds for the same trees.")
        }
        Beside::Mended => format!(
            "Mending, after {days}: the hours come on top, each tree counts once, as before."
        ),
        Beside::Mends => format!(
            "Before {days}: these trees count here; what was logged then is mending, its hours stay."
        ),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::orchard::{BlockDraft, BlockId};
    use crate::tui::app::FormKind;
    use crate::tui::features::forms::NOT_THERE;
    use crate::tui::forms;
    use crate::tui::trial::{crew_of, fill, moment, orchard, refusal, saved};

    fn filled(values: &[(&str, &str)]) -> Result<Vec<WorkEntry>, Faults> {
        let model = orchard();
        let mut form = form(&model, None).unwrap();
        fill(&mut form, values);
        match forms::read(&model, &form, FormKind::Work(None), moment())? {
            Reading::Write(changes) => Ok(entries(&changes)),
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn several_rows_are_logged_at_once_and_the_hours_shared() {
        let work = filled(&[("row", "1-2, 3"), ("hours", "7:31")]).unwrap();
        let rows: Vec<u16> = work.iter().map(|work| work.row).collect();
        assert_eq!(rows, [1, 2, 3]);
        assert!(work.iter().all(|work| work.first == 1 && work.last >= 1));
        assert_eq!(
            work.iter().filter_map(|work| work.minutes).sum::<u16>(),
            451
        );
        assert!(work[0].id < work[1].id && work[1].id < work[2].id);
        assert_eq!(
            filled(&[("row", "2"), ("first", "2"), ("last", "3")])
                .unwrap()
                .len(),
            1
        );
    }

    #[test]
    fn the_chosen_pruner_and_block_stay_chosen_though_others_come_in_front() {
        let mut model = orchard();
        let mut form = form(&model, None).unwrap();
        fill(&mut form, &[("row", "1")]);
        let (pruner, block) = (form.value("pruner"), form.value("block"));
        let (pruner, block) = (pruner.to_owned(), block.to_owned());
        let before = saved(&model, &form, FormKind::Work(None));
        model.house.pruners.insert(0, crew_of(&[1]).remove(0));
        let draft = BlockDraft {
            name: "Alder".to_owned(),
            ..model.house.blocks[0].draft().clone()
        };
        let added = Block::new(BlockId(uuid::Uuid::from_u128(99)), draft).unwrap();
        model.house.blocks.insert(0, added);
        assert_eq!(saved(&model, &form, FormKind::Work(None)), before);
        // gone while the form was open: nobody else stands in
        let refused = |model: &Model| refusal(model, &form, FormKind::Work(None));
        model.house.blocks.retain(|known| known.name != block);
        assert_eq!(refused(&model), Invalid::new("block", NOT_THERE));
        model.house.pruners.retain(|known| known.shown() != pruner);
        assert_eq!(refused(&model), Invalid::new("pruner", NOT_THERE));
    }

    #[test]
    fn what_is_no_row_is_told_in_its_field() {
        for (row, problem) in [
            ("", "fill in a row"),
            ("x", "is no row"),
            ("3-1", "ends before it begins"),
            ("1, 1", "named twice"),
            ("900", "has rows"),
            ("1-999", "has rows"),
            ("1-1200", "has rows"),
            ("1-65535", "has rows"),
            ("1,", "is no row"),
        ] {
            let refused = filled(&[("row", row)]).unwrap_err()[0].clone();
            assert_eq!(refused.field, "row");
            assert!(
                refused.problem.contains(problem),
                "{row}: {}",
                refused.problem
            );
        }
        let told = filled(&[
            ("row", "x"),
            ("hours", "25"),
            ("day", "soon"),
            ("first", "-"),
        ]);
        let told: Vec<_> = told.unwrap_err().iter().map(|fault| fault.field).collect();
        assert_eq!(told, ["row", "day", "hours", "first"]);
        let refused = filled(&[("row", "1-2"), ("last", "3")]).unwrap_err()[0].clone();
        assert_eq!(refused.field, "last");
    }
}
