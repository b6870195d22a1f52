//! What was entered: counts, work, days without work, who comes and goes.

use chrono::{DateTime, NaiveDate, NaiveDateTime};

use super::columns::Columns;
use super::{DataTable, Kind};
use crate::exchange::{FIGURES, figures_of};
use crate::orchard::{LostDays, Stamp, Stint, TreeCount, WorkEntry, how_all_stand};
use crate::report::Season;

/// How many counts were entered up to a day.
pub fn entered(season: &Season, until: NaiveDate) -> usize {
    let counts = season.counts().iter();
    counts.filter(|count| count.head.at.day <= until).count()
}

/// The counts up to a day, a line for each, in order of counting. Who counted is left out.
pub(super) fn counts(season: &Season, until: NaiveDate) -> DataTable {
    let mut counts: Vec<&TreeCount> = (season.counts().iter())
        .filter(|count| count.head.at.day <= until)
        .collect();
    counts.sort_by_key(|count| (count.head.at.utc_ms, count.id));
    let work = season.work.iter().filter(|entry| entry.day <= until);
    let stands = how_all_stand(work, counts.iter().copied(), &season.marks);
    let mut columns = Columns::<TreeCount>::new()
        .add("at", Kind::Moment, |count| local(count.head.at))
        .day("day", |count| count.head.at.day)
        .text("block", |count| {
            season.block_name(count.head.block).to_owned()
        })
        .whole("row", |count| count.head.row)
        .whole("tree", |count| count.head.tree)
        .text("pruner", |count| {
            count.pruner().map(|pruner| season.pruner_shown(pruner))
        })
        .text("stage", |count| count.head.stage.word())
        .text("part", |count| count.head.part.text())
        .text("chosen", |count| count.head.chosen.word())
        .text("closed", |count| count.closed)
        .text("again", |count| count.head.again)
        .text("stands", |count| {
            stands.get(&count.id).map(|how| how.word())
        });
    for (at, figure) in FIGURES.into_iter().enumerate() {
        columns = columns.whole(figure, move |count: &TreeCount| {
            figures_of(&count.tally).nth(at)
        });
    }
    columns
        .text("note", |count| count.head.note.clone())
        .table("counts", counts)
}

/// The moment as a clock on the wall of the orchard had it.
fn local(at: Stamp) -> Option<NaiveDateTime> {
    let offset_ms = i64::from(at.offset_min) * 60_000;
    DateTime::from_timestamp_millis(at.utc_ms + offset_ms).map(|moment| moment.naive_utc())
}

/// The work log up to a day.
pub(super) fn work(season: &Season, until: NaiveDate) -> DataTable {
    let work = season.work.iter().filter(|entry| entry.day <= until);
    Columns::<WorkEntry>::new()
        .day("day", |entry| entry.day)
        .text("pruner", |entry| season.pruner_shown(entry.pruner))
        .text("block", |entry| season.block_name(entry.block).to_owned())
        .whole("row", |entry| entry.row)
        .whole("first", |entry| entry.first)
        .whole("last", |entry| entry.last)
        .whole("minutes", |entry| entry.minutes)
        .text("kind", |entry| entry.how.kind.word())
        .text("zone", |entry| entry.how.zone.word())
        .table("work", work)
}

/// Days off and days of rain.
pub(super) fn days_without_work(season: &Season) -> DataTable {
    Columns::<LostDays>::new()
        .day("first", |lost| lost.first)
        .day("last", |lost| lost.last)
        .text("kind", |lost| lost.kind.word())
        .table("days_without_work", &season.labour.lost)
}

/// Who comes and goes.
pub(super) fn comings(season: &Season) -> DataTable {
    Columns::<Stint>::new()
        .text("pruner", |stint| season.pruner_shown(stint.pruner))
        .day("joins", |stint| stint.joins)
        .day("leaves", |stint| stint.leaves)
        .table("comings_and_goings", season.labour.stints.values())
}
