//! The form of an evening: what the whole crew pruned on a day, a line a pruner. Day, hours and kind of work stand once; a line
//! says rows, and only what is unlike the others.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::beside::{self, BESIDE, entries, next};
use super::line::{self, Part, Said};
use super::rows::{rows, shared};
use super::work::{day, for_all};
use crate::orchard::limits::MINUTES;
use crate::orchard::{
    Block, Faults, How, Invalid, Pruner, PrunerId, WorkDraft, WorkEntry, WorkId, WorkKind,
    hours_text, parse_hours,
};
use crate::report::{LastRows, Season, words};
use crate::store::Change;
use crate::tui::app::{Model, Moment};
use crate::tui::features::forms::{FormSpec, NO_BLOCK, NO_CREW, NO_WINTER, Reading, winter};
use crate::tui::{Field, Form};

/// The names of the lines. Whoever has a larger crew logs the rest one by one.
const LINES: [&str; 60] = [
    "line1", "line2", "line3", "line4", "line5", "line6", "line7", "line8", "line9", "line10",
    "line11", "line12", "line13", "line14", "line15", "line16", "line17", "line18", "line19",
    "line20", "line21", "line22", "line23", "line24", "line25", "line26", "line27", "line28",
    "line29", "line30", "line31", "line32", "line33", "line34", "line35", "line36", "line37",
    "line38", "line39", "line40", "line41", "line42", "line43", "line44", "line45", "line46",
    "line47", "line48", "line49", "line50", "line51", "line52", "line53", "line54", "line55",
    "line56", "line57", "line58", "line59", "line60",
];
/// Fields before the lines.
const BEFORE: usize = 2;

pub fn spec() -> FormSpec {
    FormSpec::new(form, read)
        .summary(|model, reading| match reading {
            Reading::Write(changes) => told(model, changes),
            _ => String::new(),
        })
        .says("the day's work is logged")
}

/// The crew of the form, by number, with what each did last and might go on with.
fn crew(model: &Model, season: &Season) -> Vec<(Pruner, LastRows)> {
    let there = |pruner: &&Pruner| {
        let stint = season.labour.stints.get(&pruner.id);
        let left = stint.and_then(|stint| stint.leaves);
        // whoever left before the day before is not offered; who left since is told of
        pruner.active && left.is_none_or(|left| left >= model.now.day.pred_opt().unwrap_or(left))
    };
    let crew = model.house.pruners.iter().filter(there);
    season.last_rows(crew.take(LINES.len()), model.now.day)
}

fn form(model: &Model) -> Result<Form, String> {
    let season = model.season.as_ref().ok_or(NO_WINTER)?;
    if model.house.blocks.is_empty() {
        return Err(NO_BLOCK.to_owned());
    }
    let crew = crew(model, season);
    if crew.is_empty() {
        return Err(NO_CREW.to_owned());
    }
    let mut fields = vec![
        Field::day("day", "Day")
            .with(model.now.day.to_string())
            .hint("of all lines"),
        Field::text("hours", "Hours")
            .written_with("0123456789:.")
            .with(hours_text(usual_minutes(&crew)))
            .hint("of each pruner whose line says no others; may stay empty"),
    ];
    for ((pruner, last), key) in crew.iter().zip(LINES) {
        fields.push(
            Field::text(key, pruner.shown())
                // more would not fit on a narrow screen: what is unlike the others is typed, or logged by itself
                .written_with("0123456789-=+ ")
                .hint(hint(season, last)),
        );
    }
    let kinds = WorkKind::ALL.map(|kind| kind.word().to_owned()).to_vec();
    fields.push(Field::choice_of("kind", "Work", kinds).hint("of all lines"));
    fields.push(
        Field::choice_of("beside", "If logged", BESIDE.map(str::to_owned).to_vec())
            .hint("if another entry of that day has these trees"),
    );
    let mut form = Form::new("Rows pruned: a line a pruner", fields).with_summary();
    form.set_focus(BEFORE);
    Ok(form)
}

/// The hours of most of the crew on their last day.
fn usual_minutes(crew: &[(Pruner, LastRows)]) -> Option<u16> {
    let mut times: BTreeMap<u16, usize> = BTreeMap::new();
    for minutes in crew.iter().filter_map(|(_, last)| last.minutes) {
        *times.entry(minutes).or_default() += 1;
    }
    let most = times
        .into_iter()
        .max_by_key(|(minutes, times)| (*times, *minutes));
    most.map(|(minutes, _)| minutes)
}

/// What may be typed: `= River 11-12 again, + 13-14. After rows …`.
fn hint(season: &Season, last: &LastRows) -> String {
    let block = last.block.map_or("", |block| season.block_name(block));
    let own = match (last.same.as_slice(), last.next.as_slice()) {
        ([], _) => "Rows: 13-14.".to_owned(),
        (same, []) => format!("= {block} {} again.", line::rows_text(same)),
        (same, next) => format!(
            "= {block} {} again, + {}.",
            line::rows_text(same),
            line::rows_text(next)
        ),
    };
    format!("{own} After rows 6:30, ri or /2 a block, &4 a pair; more after ;")
}

fn read(model: &Model, form: &Form, moment: Moment) -> Result<Reading, Faults> {
    let season = model
        .season
        .as_ref()
        .ok_or_else(|| Invalid::new("day", NO_WINTER))?;
    let mut faults = Faults::default();
    let evening = Evening {
        model,
        season,
        winter: winter(model)?,
        day: faults.take(day(model, form)),
        minutes: faults.take(parse_hours(form.value("hours"))),
        kind: faults.take(WorkKind::parse(form.value("kind"))),
    };
    let mut all: Vec<WorkEntry> = Vec::new();
    for (at, (pruner, last)) in crew(model, season).iter().enumerate() {
        let (key, id) = (LINES[at], next(WorkId(moment.id), (at as u128 + 1) << 40));
        let made = evening.line(pruner, last, form.value(key), id);
        let new = faults.take(made.map_err(|problem| Invalid::new(key, problem)));
        if let Some(problem) = evening.clash(&all, &new) {
            faults.add(Invalid::new(key, problem));
        }
        all.extend(new);
    }
    if all.is_empty() {
        let problem =
            "nothing is typed yet: = the same rows, + the next ones, or rows such as 13-14";
        faults.add(Invalid::new(LINES[0], problem));
    }
    faults.or(())?;
    let said = form.choice("beside");
    beside::settled(season, &all, said, moment).map(Reading::Write)
}

/// What holds for all lines.
struct Evening<'m> {
    model: &'m Model,
    season: &'m Season,
    winter: crate::orchard::WinterId,
    day: NaiveDate,
    minutes: Option<u16>,
    kind: WorkKind,
}

impl Evening<'_> {
    /// The entries of a line; none where nothing is typed in it.
    fn line(
        &self,
        pruner: &Pruner,
        last: &LastRows,
        typed: &str,
        id: WorkId,
    ) -> Result<Vec<WorkEntry>, String> {
        let mut parts = Vec::new();
        for part in line::parts(typed)? {
            let block = self.block(&part, last)?;
            let rows = match &part.rows {
                Said::Same => with_places(&last.same, block),
                Said::Next => with_places(&last.next, block),
                Said::Rows(text) => rows(text, block).map_err(|wrong| wrong.problem)?,
            };
            if rows.is_empty() {
                return Err("there are none to go on with: write rows such as 13-14".to_owned());
            }
            parts.push((part, block, rows));
        }
        let told: u16 = parts.iter().filter_map(|(part, ..)| part.minutes).sum();
        let rest: Vec<(u16, u16)> = parts
            .iter()
            .filter(|(part, ..)| part.minutes.is_none())
            .flat_map(|(_, _, rows)| rows.clone())
            .collect();
        let left = self.minutes.map(|minutes| minutes.saturating_sub(told));
        if left == Some(0) && !rest.is_empty() {
            return Err("say the hours of each place: they leave none for the rest".to_owned());
        }
        let mut of_rest = shared(left, &rest).into_iter();
        let mut all = Vec::new();
        for (part, block, rows) in parts {
            let minutes = match part.minutes {
                Some(minutes) => shared(Some(minutes), &rows),
                None => of_rest.by_ref().take(rows.len()).collect(),
            };
            let others = self.others(&part, pruner)?;
            let mut made = Vec::new();
            for ((row, places), minutes) in rows.into_iter().zip(minutes) {
                let draft = self.draft(pruner.id, block, (row, places), minutes);
                let id = next(id, (all.len() + made.len()) as u128);
                made.push(WorkEntry::new(id, draft, block).map_err(|faults| faults.to_string())?);
            }
            all.extend(for_all(&made, &others, block).map_err(|faults| faults.to_string())?);
        }
        self.too_long(&all)?;
        Ok(all)
    }

    fn draft(
        &self,
        pruner: PrunerId,
        block: &Block,
        (row, places): (u16, u16),
        minutes: Option<u16>,
    ) -> WorkDraft {
        WorkDraft {
            winter: self.winter,
            pruner,
            block: block.id,
            row,
            first: 1,
            last: places,
            day: self.day,
            minutes,
            how: How {
                kind: self.kind,
                ..How::default()
            },
        }
    }

    /// The block that a part names, by its first letters or its place in the list; else that of the last day.
    fn block(&self, part: &Part, last: &LastRows) -> Result<&Block, String> {
        let blocks = &self.model.house.blocks;
        let Some(named) = &part.block else {
            let own = last
                .block
                .and_then(|id| blocks.iter().find(|block| block.id == id));
            return own
                .or_else(|| blocks.first().filter(|_| blocks.len() == 1))
                .ok_or_else(|| {
                    format!(
                        "in which block? Write its first letters: {}",
                        listed(blocks)
                    )
                });
        };
        if let Some(place) = named.strip_prefix('/') {
            let place = place
                .parse::<usize>()
                .ok()
                .and_then(|place| place.checked_sub(1));
            let found = place.and_then(|place| blocks.get(place));
            return found.ok_or_else(|| format!("{named} is no block: {}", listed(blocks)));
        }
        let named = named.to_lowercase();
        let mut found = blocks
            .iter()
            .filter(|block| block.name.to_lowercase().starts_with(&named));
        match (found.next(), found.next()) {
            (Some(block), None) => Ok(block),
            (Some(_), Some(_)) => Err(format!("{named} begins several blocks: {}", listed(blocks))),
            (None, _) => Err(format!("{named} begins no block: {}", listed(blocks))),
        }
    }

    fn others(&self, part: &Part, pruner: &Pruner) -> Result<Vec<PrunerId>, String> {
        let mut found = Vec::new();
        for number in &part.with {
            let mut crew = self.model.house.pruners.iter();
            let known = crew.find(|known| known.number == *number);
            let known = known.ok_or_else(|| format!("there is no pruner number {number}"))?;
            if known.id == pruner.id || found.contains(&known.id) {
                return Err(format!("{} is named twice", known.shown()));
            }
            found.push(known.id);
        }
        Ok(found)
    }

    /// What is wrong with new entries beside those of the lines above.
    fn clash(&self, above: &[WorkEntry], new: &[WorkEntry]) -> Option<String> {
        let twice = |entry: &&WorkEntry| above.iter().any(|other| other.disputes(entry));
        let entry = new.iter().find(twice)?;
        let other = above.iter().find(|other| other.disputes(entry))?;
        let (who, block) = (
            self.season.pruner_shown(other.pruner),
            self.season.block_name(entry.block),
        );
        let number = self
            .season
            .pruner(entry.pruner)
            .map_or(0, |known| known.number);
        Some(format!(
            "{who} has row {} of {block} above: did both, write &{number} behind it there",
            entry.row
        ))
    }

    /// Nobody works more than a day's hours on a day, what is logged already among them.
    fn too_long(&self, new: &[WorkEntry]) -> Result<(), String> {
        let mut sums: BTreeMap<PrunerId, u32> = BTreeMap::new();
        let known = self.season.work.iter().filter(|work| work.day == self.day);
        for work in known.chain(new) {
            *sums.entry(work.pruner).or_default() += u32::from(work.minutes.unwrap_or(0));
        }
        let most = u32::from(*MINUTES.end());
        let of_new = |who: &PrunerId| new.iter().any(|work| work.pruner == *who);
        match sums.iter().find(|(who, sum)| **sum > most && of_new(who)) {
            None => Ok(()),
            Some((who, sum)) => Err(format!(
                "{} would have {}:{:02} hours that day, with what is logged already",
                self.season.pruner_shown(*who),
                sum / 60,
                sum % 60
            )),
        }
    }
}

fn with_places(rows: &[u16], block: &Block) -> Vec<(u16, u16)> {
    let known = |row: &u16| block.rows.row(*row).map(|known| (*row, known.places));
    rows.iter().filter_map(known).collect()
}

/// `/1 Chapel Field, /2 Long Meadow`.
fn listed(blocks: &[Block]) -> String {
    let each = (1..)
        .zip(blocks)
        .map(|(place, block): (u32, &Block)| format!("/{place} {}", block.name));
    each.collect::<Vec<_>>().join(", ")
}

/// How many lines, entries and hours are saved, who has which rows, and what has to be known before.
fn told(model: &Model, changes: &[Change]) -> String {
    let all = entries(changes);
    let Some(season) = &model.season else {
        return String::new();
    };
    let mut rows: BTreeMap<(u16, &str), Vec<u16>> = BTreeMap::new();
    for entry in &all {
        let number = season.pruner(entry.pruner).map_or(0, |known| known.number);
        rows.entry((number, season.block_name(entry.block)))
            .or_default()
            .push(entry.row);
    }
    let minutes: u32 = all
        .iter()
        .map(|entry| u32::from(entry.minutes.unwrap_or(0)))
        .sum();
    let mut who: Vec<u16> = rows.keys().map(|(number, _)| *number).collect();
    who.dedup();
    let many = |n: usize, one, more| words::plural(n as u32, one, more);
    let sum = format!(
        "{}, {}, {}:{:02} h",
        many(who.len(), "pruner", "pruners"),
        many(all.len(), "entry", "entries"),
        minutes / 60,
        minutes % 60
    );
    let each: Vec<String> = rows
        .iter()
        .map(|((number, block), rows)| format!("{number} {block} {}", line::rows_text(rows)))
        .collect();
    let said = format!("{sum}: {}.", each.join("; "));
    let others = beside::consequence(season, changes, &season.logging(&all));
    let told = [Some(beside::remarks(season, &all)), others, Some(said)];
    let told = told.into_iter().flatten().filter(|words| !words.is_empty());
    told.collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
#[path = "evening_tests.rs"]
mod tests;
