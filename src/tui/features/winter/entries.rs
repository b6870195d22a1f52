//! The list of worked days, comings and goings, and pay.

use crate::orchard::{LostDaysId, LostKind, PrunerId, WorkKind};
use crate::outlook::pace::{Pay, PaySpot, weekdays_text};
use crate::report::Season;
use crate::store::{Change, ThingId};
use crate::tui::app::{FormKind, Model};

/// What a line stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Entry {
    /// The week.
    Weekdays,
    /// The heading of the days without work.
    LostHead,
    /// Days without work.
    Lost(LostDaysId),
    /// The heading of the comings and goings.
    StintHead,
    /// When a pruner comes and goes.
    Stint(PrunerId),
    /// The pay of everybody.
    Pay,
    /// The pay of one pruner.
    OwnPay(PrunerId),
    /// The heading of the pay of blocks and kinds of work.
    SpecialHead,
    /// The pay of a block, or of a kind of work.
    SpecialPay(PaySpot),
}

/// The lines, in order.
pub(super) fn entries(model: &Model) -> Vec<Entry> {
    let Some(season) = &model.season else {
        return Vec::new();
    };
    let labour = &season.labour;
    let mut lines = vec![Entry::Weekdays, Entry::LostHead];
    lines.extend(labour.lost.iter().rev().map(|lost| Entry::Lost(lost.id)));
    lines.push(Entry::StintHead);
    let crew = || season.pruners.iter().map(|pruner| pruner.id);
    lines.extend(
        crew()
            .filter(|id| labour.stints.contains_key(id))
            .map(Entry::Stint),
    );
    lines.push(Entry::Pay);
    lines.extend(
        crew()
            .filter(|id| labour.pay.own.contains_key(id))
            .map(Entry::OwnPay),
    );
    lines.push(Entry::SpecialHead);
    lines.extend(labour.pay.special.keys().copied().map(Entry::SpecialPay));
    lines
}

/// The selected line.
pub(super) fn selected(model: &Model) -> Option<Entry> {
    let lines = entries(model);
    lines.get(model.winter.selected(lines.len())).copied()
}

/// What the line says: kind, what, and how to go on.
pub(super) fn texts(season: &Season, entry: Entry) -> [String; 3] {
    let labour = &season.labour;
    let day = |day: Option<chrono::NaiveDate>, none: &str| {
        day.map_or_else(|| none.to_owned(), |day| day.to_string())
    };
    match entry {
        Entry::Weekdays => [
            "Weekdays worked".into(),
            weekdays_text(labour.worked_weekdays()),
            if labour.weekdays.is_some() {
                ""
            } else {
                "as usual; e changes them"
            }
            .into(),
        ],
        Entry::LostHead => {
            let days: usize = labour.lost.iter().map(|lost| lost.days().count()).sum();
            let days = crate::report::words::plural(days as u32, "day", "days");
            ["Days off and rain".into(), days, "n enters some".into()]
        }
        Entry::Lost(id) => {
            labour
                .lost
                .iter()
                .find(|lost| lost.id == id)
                .map_or_else(Default::default, |lost| {
                    let days = if lost.first == lost.last {
                        lost.first.to_string()
                    } else {
                        format!("{} to {}", lost.first, lost.last)
                    };
                    let kind = match lost.kind {
                        LostKind::Off => "  day off",
                        LostKind::Rain => "  rain",
                    };
                    [kind.into(), days, String::new()]
                })
        }
        Entry::StintHead => [
            "Who comes and goes".into(),
            crate::report::words::plural(labour.stints.len() as u32, "pruner", "pruners"),
            "n enters one".into(),
        ],
        Entry::Stint(pruner) => labour
            .stints
            .get(&pruner)
            .map_or_else(Default::default, |stint| {
                let (joins, leaves) = (day(stint.joins, "the start"), day(stint.leaves, "the end"));
                let name = format!("  {}", season.pruner_shown(pruner));
                [name, format!("{joins} to {leaves}"), String::new()]
            }),
        Entry::Pay => [
            "Pay, everybody".into(),
            pay(season, labour.pay.all),
            "n: one pruner's own pay".into(),
        ],
        Entry::OwnPay(pruner) => [
            format!("  {}", season.pruner_shown(pruner)),
            pay(season, labour.pay.own.get(&pruner).copied()),
            String::new(),
        ],
        Entry::SpecialHead => [
            "Pay, by block or work".into(),
            crate::report::words::plural(labour.pay.special.len() as u32, "line", "lines"),
            "n enters one".into(),
        ],
        Entry::SpecialPay(spot) => [
            format!("  {}", of_spot(season, spot)),
            pay(season, labour.pay.special.get(&spot).copied()),
            String::new(),
        ],
    }
}

/// What a pay holds for: `River`, `hedging`, `River, hedging`.
fn of_spot(season: &Season, (block, kind): PaySpot) -> String {
    let block = block.map(|block| season.block_name(block));
    let parts = block.into_iter().chain(kind.map(WorkKind::word));
    parts.collect::<Vec<_>>().join(", ")
}

fn pay(season: &Season, pay: Option<Pay>) -> String {
    let currency = &season.labour.currency;
    let show = |rate| format!("{} {}", currency.show_rate(rate), currency.code());
    match pay {
        Some(Pay::Hour(rate)) => format!("{} an hour", show(rate)),
        Some(Pay::Tree(rate)) => format!("{} a tree", show(rate)),
        Some(Pay::AtLeast { tree, hour }) => {
            format!("{} a tree, at least {} an hour", show(tree), show(hour))
        }
        None => "(not entered)".to_owned(),
    }
}

/// The form that makes one more of the line's kind.
pub(super) fn new_job(entry: Option<Entry>) -> FormKind {
    match entry {
        Some(Entry::Weekdays) => FormKind::Weekdays,
        Some(Entry::StintHead | Entry::Stint(_)) => FormKind::Stint(None),
        Some(Entry::Pay | Entry::OwnPay(_)) => FormKind::OwnPay(None),
        Some(Entry::SpecialHead | Entry::SpecialPay(_)) => FormKind::SpecialPay(None),
        Some(Entry::LostHead | Entry::Lost(_)) | None => FormKind::LostDays(None),
    }
}

/// The form that changes the line; a heading has none, and makes one.
pub(super) fn edit_job(entry: Entry) -> FormKind {
    match entry {
        Entry::Weekdays => FormKind::Weekdays,
        Entry::LostHead => FormKind::LostDays(None),
        Entry::Lost(id) => FormKind::LostDays(Some(id)),
        Entry::StintHead => FormKind::Stint(None),
        Entry::Stint(pruner) => FormKind::Stint(Some(pruner)),
        Entry::Pay => FormKind::Pay,
        Entry::OwnPay(pruner) => FormKind::OwnPay(Some(pruner)),
        Entry::SpecialHead => FormKind::SpecialPay(None),
        Entry::SpecialPay(spot) => FormKind::SpecialPay(Some(spot)),
    }
}

/// What is asked before the line is removed, and what follows; or why it is not removed.
pub(super) fn removal(season: &Season, entry: Entry) -> Result<(String, Change), &'static str> {
    let winter = season.winter.id;
    let [kind, what, _] = texts(season, entry);
    let labour = &season.labour;
    let (words, gone) = match entry {
        Entry::LostHead | Entry::StintHead | Entry::SpecialHead => {
            return Err("choose a line below this heading");
        }
        Entry::Weekdays if labour.weekdays.is_none() => {
            return Err("nothing else is entered: e changes it");
        }
        Entry::Pay if labour.pay.all.is_none() => return Err("no pay is entered: e enters it"),
        Entry::Weekdays => (
            format!("Take the weekdays {what} away? Monday to Saturday are worked then."),
            ThingId::Weekdays(winter),
        ),
        Entry::Lost(id) => (
            format!(
                "Remove {}, {what}? Work is planned on it again.",
                kind.trim()
            ),
            ThingId::LostDays(id),
        ),
        Entry::Stint(pruner) => (
            format!(
                "Remove the days of {}, {what}? Where the crew list says so, the pruner is there all winter.",
                kind.trim()
            ),
            ThingId::Stint(winter, pruner),
        ),
        Entry::Pay => (
            format!("Take the pay of {what} for everybody away? What has no pay has no cost."),
            ThingId::Pay(winter, None),
        ),
        Entry::OwnPay(pruner) => (
            format!(
                "Take the own pay of {}, {what}, away? The pay of everybody holds then.",
                kind.trim()
            ),
            ThingId::Pay(winter, Some(pruner)),
        ),
        Entry::SpecialPay(spot) => (
            format!(
                "Take the pay of {}, {what}, away? The more general pay holds then.",
                kind.trim()
            ),
            ThingId::SpecialPay(winter, spot),
        ),
    };
    Ok((words, Change::Remove(gone)))
}
