//! Whose work a tree is: the log says, also where it is mended or filled in after the tree was counted. Whom a count
//! names holds where nothing is logged for the tree.
//!
//! A tree is four quarters: two sides, each with a base and a top ([`Zone`]). Of each quarter the last day of work holds;
//! those who did it on that day share it. Nothing here rests on which entry was made first.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;
use rustc_hash::FxHashMap;

use super::{BlockId, Doer, PrunerId, Stage, TREE, TreeCount, Trees, WorkEntry, WorkKind, Zone};

/// A tree's place: block, row, place in the row.
type Place = (BlockId, u16, u16);

/// A log by its rows: quick where many trees are asked for.
pub struct RowLog<'w>(FxHashMap<(BlockId, u16), RowWork<'w>>);

/// The entries of one row, the last day first, and on one day rework first.
#[derive(Default)]
pub struct RowWork<'w>(Vec<&'w WorkEntry>);

/// Neighbouring places of a row that the same people pruned on the same last day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Run {
    /// The first place.
    pub first: u16,
    /// The last place.
    pub last: u16,
    /// Who did them.
    pub done: Done,
}

/// How a tree's pruning stands in the log.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Done {
    /// Who did it, or what is done of it.
    pub by: Doer,
    /// The last day of work on it.
    pub day: NaiveDate,
    /// Whether all of the tree is done, or a side or zone of it is left to do.
    pub whole: bool,
}

impl<'w> RowLog<'w> {
    /// Of a log in any order.
    pub fn of(work: impl Iterator<Item = &'w WorkEntry>) -> Self {
        let mut rows: FxHashMap<_, RowWork<'w>> = FxHashMap::default();
        for entry in work {
            let row = rows.entry((entry.block, entry.row)).or_default();
            row.0.push(entry);
        }
        for row in rows.values_mut() {
            row.sort();
        }
        Self(rows)
    }

    /// The entries of each row with work.
    pub fn rows(&self) -> impl Iterator<Item = ((BlockId, u16), &RowWork<'w>)> {
        self.0.iter().map(|(place, row)| (*place, row))
    }

    /// The entries of a row, the last day first.
    pub(super) fn row(&self, place: (BlockId, u16)) -> impl Iterator<Item = &'w WorkEntry> {
        let row = self.0.get(&place).into_iter();
        row.flat_map(|row| row.0.iter().copied())
    }

    /// Who pruned a tree, or this zone of it, up to a day.
    pub fn doer_of(&self, (block, row, tree): Place, until: NaiveDate, zone: Zone) -> Option<Doer> {
        let row = self.0.get(&(block, row))?;
        Some(row.done(tree, (None, until), zone)?.by)
    }

    /// All that ever shared trees, by the team's identity: at any day and of any zone.
    pub fn teams(&self) -> BTreeMap<PrunerId, Vec<PrunerId>> {
        let mut teams = BTreeMap::new();
        for row in self.0.values().filter(|row| row.is_shared()) {
            row.add_teams(&mut teams);
        }
        teams
    }
}

impl<'w> RowWork<'w> {
    /// The entries of one row in a log.
    pub fn of(work: &'w [WorkEntry], place: (BlockId, u16)) -> Self {
        let of_row = work.iter();
        let of_row = of_row.filter(|entry| (entry.block, entry.row) == place);
        let mut row = Self(of_row.collect());
        row.sort();
        row
    }

    fn sort(&mut self) {
        self.0.sort_by_key(|entry| std::cmp::Reverse(turn(entry)));
    }

    /// Whether two pruners are logged for one of its trees.
    fn is_shared(&self) -> bool {
        self.0.iter().enumerate().any(|(at, one)| {
            let mut others = self.0[at + 1..].iter();
            others.any(|other| one.pruner != other.pruner && one.overlaps(other))
        })
    }

    fn add_teams(&self, teams: &mut BTreeMap<PrunerId, Vec<PrunerId>>) {
        let days: BTreeSet<NaiveDate> = self.0.iter().map(|entry| entry.day).collect();
        for until in &days {
            for since in days.range(..=*until) {
                for (first, _) in self.segments() {
                    for zone in Zone::ALL {
                        let who = self.people(first, (Some(*since), *until), zone).0;
                        if let Doer::Team { team, .. } = Doer::of(&who) {
                            teams.insert(team, who.into_iter().collect());
                        }
                    }
                }
            }
        }
    }

    /// How one tree, or this zone of it, stands by the entries of some days.
    pub fn done(&self, tree: u16, days: Days, zone: Zone) -> Option<Done> {
        let (people, day, left) = self.people(tree, days, zone);
        Some(Done {
            by: (!people.is_empty()).then(|| Doer::of(&people))?,
            day: day?,
            whole: left == 0,
        })
    }

    /// Who did the quarters of a zone, the last day, and the quarters that nobody did.
    fn people(
        &self,
        tree: u16,
        (since, until): Days,
        zone: Zone,
    ) -> (BTreeSet<PrunerId>, Option<NaiveDate>, u8) {
        let mut people = BTreeSet::new();
        let (mut left, mut taken) = (zone.quarters(), 0);
        let (mut last, mut now) = (None, None);
        for entry in &self.0 {
            let holds = entry.day <= until
                && since.is_none_or(|since| since <= entry.day)
                && entry.how.kind.leaves_pruned()
                && (entry.first..=entry.last).contains(&tree);
            if !holds {
                continue;
            }
            // those of one day share a quarter; an earlier day has only what is left
            if now != Some(turn(entry)) {
                left &= !taken;
                (now, taken) = (Some(turn(entry)), 0);
            }
            let mine = entry.how.zone.quarters() & left;
            if mine != 0 {
                taken |= mine;
                last = last.max(Some(entry.day));
                people.insert(entry.pruner);
            }
        }
        (people, last, left & !taken)
    }

    /// First and last places between which the log says the same of every tree.
    fn segments(&self) -> Vec<(u16, u16)> {
        let mut cuts: BTreeSet<u16> = BTreeSet::new();
        for entry in &self.0 {
            cuts.extend([entry.first, entry.last.saturating_add(1)]);
        }
        let cuts: Vec<u16> = cuts.into_iter().collect();
        cuts.windows(2).map(|pair| (pair[0], pair[1] - 1)).collect()
    }

    /// Its places by who pruned them on some days, in order.
    pub fn runs(&self, days: Days) -> Vec<Run> {
        let run = |(first, last): (u16, u16)| {
            let done = self.done(first, days, Zone::Whole)?;
            Some(Run { first, last, done })
        };
        self.segments().into_iter().filter_map(run).collect()
    }

    /// The trees of each entry that count as its own, up to a day.
    ///
    /// A tree, or a quarter of one, counts once for each kind of work ([`WorkKind::counted_as`]), on the first day that
    /// it was done on, and is shared equally by those who did it on that day, or as their entries say.
    pub fn shares(
        &self,
        until: NaiveDate,
        trees: impl Fn(u16, u16) -> u32,
        mut add: impl FnMut(&'w WorkEntry, Trees),
    ) {
        for (first, last) in self.segments() {
            let standing = u64::from(trees(first, last));
            let here = self.0.iter().rev().copied();
            let here: Vec<_> = here
                .filter(|entry| entry.day <= until && (entry.first..=entry.last).contains(&first))
                .collect();
            let kinds: BTreeSet<WorkKind> = here
                .iter()
                .filter_map(|entry| entry.how.kind.counted_as())
                .collect();
            for kind in kinds {
                let of_kind = |entry: &&&WorkEntry| entry.how.kind.counted_as() == Some(kind);
                let of_kind: Vec<_> = here.iter().filter(of_kind).copied().collect();
                let mut open = Zone::Whole.quarters();
                for day in of_kind.chunk_by(|a, b| a.day == b.day) {
                    for (entry, parts) in day.iter().zip(shared(day, open)) {
                        add(entry, Trees::of_parts(parts * standing));
                    }
                    for entry in day {
                        open &= !entry.how.zone.quarters();
                    }
                }
            }
        }
    }
}

/// From a day, if any, to a day.
type Days = (Option<NaiveDate>, NaiveDate);

/// What comes after what: by day, and on one day rework after pruning.
fn turn(entry: &WorkEntry) -> (NaiveDate, bool) {
    (entry.day, entry.how.kind == WorkKind::Rework)
}

/// The parts of one tree that the entries of one day have, of the quarters that are still open.
fn shared(day: &[&WorkEntry], open: u8) -> Vec<u64> {
    let mine = |entry: &WorkEntry| entry.how.zone.quarters() & open;
    let new = day.iter().fold(0, |all, entry| all | mine(entry));
    let all = TREE / 4 * u64::from(new.count_ones());
    let weights: Vec<u64> = if day.iter().any(|entry| entry.how.share.is_some()) {
        given(day, open)
    } else {
        let of = |entry: &&WorkEntry| {
            let quarters = (0..4).map(|q| 1 << q).filter(|q| mine(entry) & q != 0);
            let beside = |q: u8| day.iter().filter(|other| mine(other) & q != 0).count();
            quarters.map(|q| TREE / 4 / beside(q) as u64).sum()
        };
        day.iter().map(of).collect()
    };
    apportion(all, &weights)
}

/// Shares as the entries give them, per cent; those that give none share what is left.
fn given(day: &[&WorkEntry], open: u8) -> Vec<u64> {
    let there = |entry: &&&WorkEntry| entry.how.zone.quarters() & open != 0;
    let said: u64 = (day.iter().filter(there))
        .filter_map(|entry| entry.how.share)
        .map(u64::from)
        .sum();
    let silent = day
        .iter()
        .filter(there)
        .filter(|entry| entry.how.share.is_none());
    let silent = silent.count().max(1) as u64;
    let of = |entry: &&WorkEntry| match entry.how.share {
        _ if !there(&entry) => 0,
        Some(share) => u64::from(share) * silent,
        None => 100_u64.saturating_sub(said),
    };
    day.iter().map(of).collect()
}

/// Whole parts by weight that add up to all; what does not divide goes to the first.
fn apportion(all: u64, weights: &[u64]) -> Vec<u64> {
    let sum: u64 = weights.iter().sum();
    let (mut before, mut seen) = (0, 0);
    let of = |weight: &u64| {
        seen += weight;
        let upto = (all * seen).div_ceil(sum.max(1));
        let own = upto - before;
        before = upto;
        own
    };
    weights.iter().map(of).collect()
}

/// Who pruned one tree, or this zone of it, by a log up to a day.
pub fn doer_of(
    work: &[WorkEntry],
    (block, row, tree): Place,
    until: NaiveDate,
    zone: Zone,
) -> Option<Doer> {
    let row = RowWork::of(work, (block, row));
    Some(row.done(tree, (None, until), zone)?.by)
}

/// Attributes a count after pruning to who pruned the tree, or the zone that was counted.
pub fn attribute(work: &[WorkEntry], count: &mut TreeCount) {
    let row = RowWork::of(work, (count.head.block, count.head.row));
    attribute_to(count, &row);
}

/// The same of many counts, quicker.
pub fn attribute_all(log: &RowLog<'_>, counts: &mut [TreeCount]) {
    let nothing = RowWork::default();
    for count in counts {
        let row = log.0.get(&(count.head.block, count.head.row));
        attribute_to(count, row.unwrap_or(&nothing));
    }
}

fn attribute_to(count: &mut TreeCount, row: &RowWork<'_>) {
    let head = &count.head;
    (count.by_log, count.pruned_on) = match head.stage {
        Stage::After => {
            let (people, day, _) = row.people(head.tree, (None, head.at.day), head.part.zone());
            let doer = (!people.is_empty()).then(|| Doer::of(&people).naming(&people, head.pruner));
            (doer, day)
        }
        Stage::Before => (None, None),
    };
}

#[cfg(test)]
#[path = "pruned_by_tests.rs"]
mod tests;
