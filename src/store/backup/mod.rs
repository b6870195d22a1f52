//! Backups beside the file: made when it is opened and at each new day, verified, thinned out, put back.
//!
//! They lie in the folder `backups` beside the file, as `orchard-0042-2027-01-12.db`: the number gives their
//! order, so that a clock that was set back mixes nothing up; the day is for people. Kept are the newest three,
//! the newest of each of the last seven days that have one, and of each of the last four weeks; and the file as it was
//! before each of the last three times that a backup was put back.

mod contents;
mod holders;
mod keeper;
mod left_over;
mod make;
mod restore;

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use chrono::{Datelike, Local, NaiveDate, NaiveTime};

use super::StoreError;
use super::clock::believed;
pub use super::connection::Stop;
pub use super::paths::backups_of as folder;
use super::paths::{BACKUPS, make_private_folder, with_end};

pub(super) use contents::contents_of;
pub use contents::{Contents, change, fewer};
pub use holders::{Renewed, Searched, holding_name, renew_without_name};
pub use keeper::{Keeper, Report, Shelved, shelf};
pub use make::{Keep, Made, before_much, make};
pub use restore::{Restored, newest_good, restore};

/// Newest backups that are kept, however many were made on their day.
const KEPT_NEWEST: usize = 3;
/// Days of which the newest backup is kept.
const KEPT_DAYS: usize = 7;
/// Weeks of which the newest backup is kept.
const KEPT_WEEKS: usize = 4;
/// Copies of damaged files that are kept.
const KEPT_DAMAGED: usize = 2;
/// Of the file as it was before a backup was put back: how many are kept, whatever is made after them.
const KEPT_REPLACED: usize = 3;

/// Marks in the names of backups.
const DAMAGED: &str = "-damaged";
const REPLACED: &str = "-replaced";

/// A backup in the folder.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Backup {
    /// Its number: later ones have higher numbers.
    pub number: u32,
    /// The day of making, by the clock then.
    pub day: NaiveDate,
    /// The time of day, as the file itself has it; none where that is of another day, as of a copy.
    pub time: Option<NaiveTime>,
    /// A copy of a file that was found damaged, kept for whoever can read it: it is not put back.
    pub damaged: bool,
    /// The file as it was before a backup was put back.
    pub replaced: bool,
    /// Where it is.
    pub path: PathBuf,
    /// Its size.
    pub bytes: u64,
}

impl Backup {
    /// When it was made, such as `2027-01-12 09:30`.
    pub fn when(&self) -> String {
        match self.time {
            Some(time) => format!("{} {}", self.day, time.format("%H:%M")),
            None => self.day.to_string(),
        }
    }

    /// Its file name.
    pub fn name(&self) -> String {
        let name = self.path.file_name().unwrap_or_default();
        name.to_string_lossy().into_owned()
    }
}

/// When on this day a file was last written, by the clock here.
fn time_of(about: &std::fs::Metadata, day: NaiveDate) -> Option<NaiveTime> {
    let written = believed(about.modified().ok()?).ok()?;
    let written = written.with_timezone(&Local).naive_local();
    (written.date() == day).then(|| written.time())
}

/// All backups of a file, oldest first; none where the folder is not there.
pub fn backups(file: &Path) -> Result<Vec<Backup>, StoreError> {
    // a store in memory has none
    if file.file_name().is_none() {
        return Ok(Vec::new());
    }
    let folder = folder(file);
    let fail = |source| StoreError::Open {
        path: folder.clone(),
        source,
    };
    let entries = match std::fs::read_dir(&folder) {
        Ok(entries) => entries,
        Err(e) if e.kind() == std::io::ErrorKind::NotFound => return Ok(Vec::new()),
        Err(e) => return Err(fail(e)),
    };
    let mut found = Vec::new();
    for entry in entries {
        let entry = entry.map_err(fail)?;
        let name = entry.file_name();
        let Some((number, day, mark)) = name.to_str().and_then(|name| parse(file, name)) else {
            continue;
        };
        // one that another program has just thinned out
        let Ok(about) = entry.metadata() else {
            continue;
        };
        found.push(Backup {
            number,
            day,
            time: time_of(&about, day),
            damaged: mark == DAMAGED,
            replaced: mark == REPLACED,
            path: entry.path(),
            bytes: about.len(),
        });
    }
    found.sort_by_key(|backup| backup.number);
    Ok(found)
}

/// The file of which this one is a backup by its place and name, and its number.
pub(super) fn of_which(path: &Path) -> Option<(PathBuf, u32)> {
    let folder = path.parent().filter(|folder| folder.ends_with(BACKUPS))?;
    let name = path.file_name()?.to_str()?;
    let (_, ending) = affixes(path);
    // `orchard` of `orchard-0042-2027-01-12`, whatever stands behind it: what a name may be is read by one function
    let mut ends = name.match_indices('-').map(|(at, _)| at);
    ends.find_map(|at| {
        let own = format!("{}{ending}", &name[..at]);
        let file = folder.with_file_name(own);
        let (number, ..) = parse(&file, name)?;
        Some((file, number))
    })
}

/// Backups that earlier versions put beside a link, and under its name, go to those of the file that it leads to; where
/// that has some already, or they cannot be moved, they stay. Gives the folder in which any stay.
pub(super) fn adopt(link: &Path, file: &Path) -> Option<PathBuf> {
    let old = backups(link)
        .ok()
        .filter(|old| link != file && !old.is_empty())?;
    let alone = backups(file).is_ok_and(|own| own.is_empty());
    let moved = alone && make_private_folder(&folder(file)).is_ok();
    let mark = |backup: &Backup| match backup {
        Backup { damaged: true, .. } => DAMAGED,
        Backup { replaced: true, .. } => REPLACED,
        _ => "",
    };
    let stays = |backup: &Backup| {
        let name = file_name(file, backup.number, backup.day, mark(backup));
        let to = folder(file).join(name);
        // most have no log
        let _ = std::fs::rename(with_end(&backup.path, "-wal"), with_end(&to, "-wal"));
        std::fs::rename(&backup.path, &to).is_err()
    };
    (!moved || old.iter().filter(|backup| stays(backup)).count() > 0).then(|| folder(link))
}

/// What a file's backups begin and end with.
fn affixes(file: &Path) -> (String, String) {
    let part =
        |part: Option<&std::ffi::OsStr>| part.unwrap_or_default().to_string_lossy().into_owned();
    let ending = part(file.extension());
    let dot = if ending.is_empty() { "" } else { "." };
    (part(file.file_stem()) + "-", format!("{dot}{ending}"))
}

fn file_name(file: &Path, number: u32, day: NaiveDate, mark: &str) -> String {
    let (before, after) = affixes(file);
    format!("{before}{number:04}-{day}{mark}{after}")
}

fn parse(file: &Path, name: &str) -> Option<(u32, NaiveDate, &'static str)> {
    let (before, after) = affixes(file);
    let middle = name.strip_prefix(&before)?.strip_suffix(&after)?;
    let marked = |mark: &'static str| Some((middle.strip_suffix(mark)?, mark));
    let (middle, mark) = marked(DAMAGED)
        .or_else(|| marked(REPLACED))
        .unwrap_or((middle, ""));
    let (number, day) = middle.split_once('-')?;
    Some((number.parse().ok()?, day.parse().ok()?, mark))
}

/// Those that are to go. `all` is oldest first; days and weeks are told apart, not put in order, so that a
/// wrong clock throws nothing out.
fn surplus(all: &[Backup]) -> Vec<&Backup> {
    let (mut days, mut weeks) = (BTreeSet::new(), BTreeSet::new());
    let (mut newest, mut damaged, mut replaced) = (0, 0, 0);
    let first_of = |seen: &mut BTreeSet<(i32, u32)>, at, most| seen.len() < most && seen.insert(at);
    let mut go = Vec::new();
    for backup in all.iter().rev() {
        if backup.damaged {
            damaged += 1;
            if damaged > KEPT_DAMAGED {
                go.push(backup);
            }
            continue;
        }
        newest += 1;
        let (day, week) = (backup.day, backup.day.iso_week());
        let of_day = first_of(&mut days, (day.year(), day.ordinal()), KEPT_DAYS);
        let of_week = first_of(&mut weeks, (week.year(), week.week()), KEPT_WEEKS);
        replaced += usize::from(backup.replaced);
        let way_back = backup.replaced && replaced <= KEPT_REPLACED;
        if newest > KEPT_NEWEST && !of_day && !of_week && !way_back {
            go.push(backup);
        }
    }
    go
}

#[cfg(test)]
mod tests {
    use super::*;
    use chrono::Days;

    fn day(raw: &str) -> NaiveDate {
        raw.parse().unwrap()
    }

    fn backup(number: u32, day: NaiveDate, mark: &str) -> Backup {
        let file = Path::new("/orchards/orchard.db");
        Backup {
            number,
            day,
            time: None,
            damaged: mark == DAMAGED,
            replaced: mark == REPLACED,
            path: folder(file).join(file_name(file, number, day, mark)),
            bytes: 4096,
        }
    }

    #[test]
    fn the_time_of_day_is_told_where_the_file_is_of_its_day() {
        let room = tempfile::tempdir().unwrap();
        let file = room.path().join("orchard.db");
        let made = folder(&file);
        std::fs::create_dir(&made).unwrap();
        for (number, written) in [(1, "2027-01-12"), (2, "2027-01-15")] {
            let path = made.join(file_name(&file, number, day("2027-01-12"), ""));
            let noon = day(written).and_hms_opt(12, 30, 0).unwrap();
            let noon = noon.and_local_timezone(Local).unwrap();
            let backup = std::fs::File::create(&path).unwrap();
            backup.set_modified(noon.into()).unwrap();
        }
        let when = backups(&file).unwrap();
        let when: Vec<String> = when.iter().map(Backup::when).collect();
        assert_eq!(when, ["2027-01-12 12:30", "2027-01-12"]);
    }

    #[test]
    fn a_name_says_number_and_day() {
        for file in ["/orchards/orchard.db", "winter", "old-0001-2020-01-01.db"] {
            let file = Path::new(file);
            for (number, mark) in [(1, ""), (42, DAMAGED), (43, REPLACED), (123_456, "")] {
                let name = file_name(file, number, day("2027-01-12"), mark);
                let read = parse(file, &name).unwrap();
                assert_eq!(read, (number, day("2027-01-12"), mark), "{name}");
            }
        }
        let file = Path::new("orchard.db");
        assert_eq!(
            file_name(file, 42, day("2027-01-12"), ""),
            "orchard-0042-2027-01-12.db"
        );
        for foreign in [
            "orchard.db",
            "orchard-x-2027-01-12.db",
            "other-0042-2027-01-12.db",
            "orchard-0042-2027-01-12.db.part",
        ] {
            assert_eq!(parse(file, foreign), None, "{foreign}");
        }
    }

    #[test]
    fn a_backup_is_known_by_its_place_and_name() {
        let of = |path: &str| of_which(Path::new(path));
        let known = |file: &str, number| Some((PathBuf::from(file), number));
        let name = "/o/backups/orchard-0042-2027-01-12.db";
        assert_eq!(of(name), known("/o/orchard.db", 42));
        let name = "/o/backups/river-side-0043-2027-01-12-damaged";
        assert_eq!(of(name), known("/o/river-side", 43));
        for other in ["/o/orchard-0042-2027-01-12.db", "/o/backups/orchard.db"] {
            assert_eq!(of(other), None, "{other}");
        }
    }

    #[test]
    fn seven_days_four_weeks_and_the_newest_three_are_kept() {
        let mut kept: Vec<Backup> = Vec::new();
        let start = day("2026-11-02");
        let mut number = 0;
        for later in 0..80 {
            // four a day
            for _ in 0..4 {
                number += 1;
                kept.push(backup(number, start + Days::new(later), ""));
                let go: Vec<u32> = surplus(&kept).iter().map(|gone| gone.number).collect();
                kept.retain(|backup| !go.contains(&backup.number));
            }
        }
        // Wednesday, 20 January 2027: three of it, six days before, and three Sundays before those
        let days: Vec<String> = kept.iter().map(|backup| backup.day.to_string()).collect();
        assert_eq!(
            days,
            [
                "2027-01-03",
                "2027-01-10",
                "2027-01-14",
                "2027-01-15",
                "2027-01-16",
                "2027-01-17",
                "2027-01-18",
                "2027-01-19",
                "2027-01-20",
                "2027-01-20",
                "2027-01-20"
            ]
        );
    }

    #[test]
    fn a_clock_far_ahead_and_set_right_again_throws_nothing_out() {
        let mut kept: Vec<Backup> = (1..=6)
            .map(|n| backup(n, day("2027-01-01") + Days::new(n.into()), ""))
            .collect();
        kept.push(backup(7, day("2099-05-05"), ""));
        kept.push(backup(8, day("2027-01-08"), ""));
        assert_eq!(surplus(&kept).len(), 1, "the eighth day");
        kept.extend((9..12).map(|n| backup(n, day("2027-01-08"), DAMAGED)));
        let go: Vec<u32> = surplus(&kept).iter().map(|gone| gone.number).collect();
        assert_eq!(go, [9, 1], "of damaged copies two are kept");
    }

    #[test]
    fn the_way_back_from_a_restore_outlives_what_follows() {
        let today = day("2027-01-12");
        let mut kept = vec![backup(1, today, ""), backup(2, today, REPLACED)];
        for number in 3..40 {
            kept.push(backup(number, today, ""));
            let go: Vec<u32> = surplus(&kept).iter().map(|gone| gone.number).collect();
            kept.retain(|backup| !go.contains(&backup.number));
        }
        let numbers = |kept: &[Backup]| kept.iter().map(|one| one.number).collect::<Vec<_>>();
        assert_eq!(numbers(&kept), [2, 37, 38, 39]);
        kept.extend((40..43).map(|number| backup(number, today, REPLACED)));
        kept.extend((43..46).map(|number| backup(number, today, "")));
        let go: Vec<u32> = surplus(&kept).iter().map(|gone| gone.number).collect();
        assert_eq!(go, [39, 38, 37, 2], "of three the way back is kept");
    }
}
