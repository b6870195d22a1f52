//! One winter, read once and kept up to date count by count.

use std::collections::{BTreeMap, HashMap};

use chrono::NaiveDate;

use super::leaders::{BlockLeaders, note};
use super::learned::Learned;
use crate::orchard::{
    Block, BlockId, Chosen, CountId, Doer, Draw, GoBack, Language, Marks, Pruner, PrunerId, RowLog,
    Rule, Stage, Stands, TreeCount, Winter, WorkEntry, WorkId, Zone, attribute, attribute_all,
    doer_of, how_it_stands, last_counts,
};
use crate::outlook::CropBook;
use crate::outlook::pace::DayWork;
use crate::store::{CountFilter, Labour, Rules, Setting, Store, StoreError, WHOLE_TREES};

/// Counts by leaders and pieces that are learned from: the last ones.
const LEARNED_FROM: u32 = 240;

/// A tree's place: block, row, place in the row.
pub type Place = (BlockId, u16, u16);

/// The days that a figure is about, first and last included.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Period {
    /// First day; `None`: from the start of the winter.
    pub since: Option<NaiveDate>,
    /// Last day.
    pub until: NaiveDate,
}

impl Period {
    /// The winter up to a day.
    pub fn so_far(until: NaiveDate) -> Self {
        Self { since: None, until }
    }

    /// One day.
    pub fn day(day: NaiveDate) -> Self {
        Self {
            since: Some(day),
            until: day,
        }
    }

    /// Whether a day belongs to it.
    pub fn holds(self, day: NaiveDate) -> bool {
        self.since.is_none_or(|since| since <= day) && day <= self.until
    }
}

/// A winter as it stands in the file.
#[derive(Debug, Clone)]
pub struct Season {
    /// The orchard's name; may be empty.
    pub orchard: String,
    /// Language of sheets for whom none is noted.
    pub sheet_language: Language,
    /// The winter.
    pub winter: Winter,
    /// All blocks, by name.
    pub blocks: Vec<Block>,
    /// All pruners, by number.
    pub pruners: Vec<Pruner>,
    /// Those who share trees, each team as one pruner.
    teams: BTreeMap<PrunerId, Pruner>,
    /// How many pairs [`Season::disputes`] has: known without looking through the log again.
    pub(super) disputes: u32,
    /// The rules of the winter.
    pub rules: Rules,
    /// The work log, in order of day.
    pub work: Vec<WorkEntry>,
    /// Worked days, comings and goings, and pay.
    pub labour: Labour,
    /// All draws, oldest first.
    pub draws: Vec<Draw>,
    /// The go-back list, in order of day.
    pub go_backs: Vec<GoBack>,
    /// Marks on trees, as far as they hold for the winter.
    pub marks: Marks,
    /// The day that the next winter begins.
    pub(super) next_start: Option<NaiveDate>,
    /// Aims of the winter, and what is kept of each block's crop.
    pub crop: CropBook,
    counts: Vec<TreeCount>,
    /// What is counted of whole leaders, by block.
    pub(super) leaders: BlockLeaders,
    /// What was learned from counts by leaders and pieces when the winter was read.
    pub(super) learned: Learned,
    /// Drawn trees are counted whole in this orchard.
    pub(super) whole_trees: bool,
    at: HashMap<CountId, usize>,
}

impl Season {
    /// Reads a winter.
    pub fn load(store: &Store, winter: Winter) -> Result<Self, StoreError> {
        let mut counts = store.counts(CountFilter::Winter(winter.id))?;
        let work = store.work(winter.id)?;
        let pruners = store.pruners()?;
        let log = RowLog::of(work.iter());
        attribute_all(&log, &mut counts);
        let teams = teams(&log, &pruners);
        let at = counts
            .iter()
            .zip(0..)
            .map(|(count, at)| (count.id, at))
            .collect();
        let blocks = store.blocks()?;
        let mut leaders = BlockLeaders::default();
        for count in &counts {
            note(&mut leaders, &blocks, count, 1.0);
        }
        Ok(Self {
            orchard: store.setting(Setting::Orchard)?.unwrap_or_default(),
            sheet_language: store.sheet_language()?,
            blocks,
            leaders,
            learned: Learned::of(&store.timed_counts(winter.id, LEARNED_FROM)?),
            whole_trees: store.setting(Setting::DrawnTrees)?.as_deref() == Some(WHOLE_TREES),
            teams,
            disputes: disputes(&work).len() as u32,
            pruners,
            rules: store.rules(winter.id)?,
            work,
            labour: store.labour(winter.id)?,
            draws: store.draws(winter.id)?,
            go_backs: store.go_backs(winter.id)?,
            marks: store.marks_in(&winter)?,
            next_start: store.next_start(&winter)?,
            crop: store.crop_book(winter.id)?,
            winter,
            counts,
            at,
        })
    }

    /// Puts a count in, or in place of what was known of it. The cost does not grow with the winter.
    pub fn put(&mut self, mut count: TreeCount) {
        attribute(&self.work, &mut count);
        note(&mut self.leaders, &self.blocks, &count, 1.0);
        if let Some(known) = self
            .at
            .get(&count.id)
            .and_then(|at| self.counts.get_mut(*at))
        {
            note(&mut self.leaders, &self.blocks, known, -1.0);
            *known = count;
        } else {
            self.at.insert(count.id, self.counts.len());
            self.counts.push(count);
        }
    }

    /// Takes a count out.
    pub fn take(&mut self, count: CountId) {
        let Some(at) = self.at.remove(&count) else {
            return;
        };
        let taken = self.counts.swap_remove(at);
        note(&mut self.leaders, &self.blocks, &taken, -1.0);
        if let Some(moved) = self.counts.get(at) {
            self.at.insert(moved.id, at);
        }
    }

    /// All counts, open and closed, before and after pruning; in no order that matters.
    pub fn counts(&self) -> &[TreeCount] {
        &self.counts
    }

    /// One count.
    pub fn count(&self, count: CountId) -> Option<&TreeCount> {
        self.counts.get(*self.at.get(&count)?)
    }

    /// The block of this id.
    pub fn block(&self, block: BlockId) -> Option<&Block> {
        self.blocks.iter().find(|found| found.id == block)
    }

    /// A block's name, for words.
    pub fn block_name(&self, block: BlockId) -> &str {
        self.block(block).map_or("?", |found| found.name.as_str())
    }

    /// The pruner or the team of this id.
    pub fn pruner(&self, pruner: PrunerId) -> Option<&Pruner> {
        let own = self.pruners.iter().find(|found| found.id == pruner);
        own.or_else(|| self.teams.get(&pruner))
    }

    /// All whose work can be judged: the pruners, by number, then those who share trees.
    pub fn judged(&self) -> impl Iterator<Item = &Pruner> {
        let mut teams: Vec<&Pruner> = self.teams.values().collect();
        teams.sort_by_key(|team| (team.number, team.shown()));
        self.pruners.iter().chain(teams)
    }

    /// How a pruner is shown, for words.
    pub fn pruner_shown(&self, pruner: PrunerId) -> String {
        self.pruner(pruner)
            .map_or_else(|| "?".to_owned(), Pruner::shown)
    }

    /// The rule of a block.
    pub fn rule(&self, block: BlockId) -> &Rule {
        self.rules.of(block)
    }

    /// The work up to a day, each tree once for each kind of work: on the first day that it was done on, shared by those
    /// who did it on that day. Who prunes it again on a later day mends it, which adds hours and no new tree, so pay by
    /// the tree goes to who pruned it first. The hours of every entry count.
    pub fn day_work(&self, until: NaiveDate) -> Vec<DayWork> {
        let trees = self.new_trees(until);
        let entries = self.work.iter().filter(|entry| entry.day <= until);
        let of = |entry: &WorkEntry| DayWork {
            day: entry.day,
            pruner: entry.pruner,
            block: entry.block,
            kind: entry.how.kind,
            trees: trees.get(&entry.id).copied().unwrap_or_default(),
            minutes: entry.minutes.map(u32::from),
        };
        entries.map(of).collect()
    }

    /// Pairs of entries that claim the same part of the same trees on one day, where nobody said that this is meant. The
    /// hours of both count until it is settled. In order of day.
    pub fn disputes(&self) -> Vec<(&WorkEntry, &WorkEntry)> {
        disputes(&self.work)
    }

    /// One entry of the work log.
    pub fn work_entry(&self, entry: WorkId) -> Option<&WorkEntry> {
        self.work.iter().find(|known| known.id == entry)
    }

    /// Trees of an entry that stand today.
    pub(super) fn trees_of_entry(&self, entry: &WorkEntry) -> u32 {
        let block = self.block(entry.block);
        let row = block.and_then(|block| block.rows.row(entry.row));
        row.map_or(0, |row| {
            row.trees_between(entry.first, entry.last.min(row.places))
        })
    }

    /// Who pruned a tree, or this zone of it, by the log up to a day.
    pub fn doer_of(&self, place: Place, until: NaiveDate, zone: Zone) -> Option<Doer> {
        doer_of(&self.work, place, until, zone)
    }

    /// The counts that figures rest on: closed, of the stage and the period. One with nothing counted is of a bare tree: a
    /// tree that was looked at, with no share of any age and nothing to bear fruit.
    /// Where a tree was counted more than once (as after a row was sent back), its last count stands; counts made again
    /// to compare two counts ([`crate::orchard::CountHead::again`]) never do, nor those of trees that the rule is not meant
    /// for.
    pub fn standing_counts(&self, stage: Stage, period: Period) -> Vec<&TreeCount> {
        self.standing_counts_of(stage, period, |_| true)
    }

    /// The same of some trees alone.
    pub(super) fn standing_counts_of(
        &self,
        stage: Stage,
        period: Period,
        wanted: impl Fn(Place) -> bool,
    ) -> Vec<&TreeCount> {
        let of_period = |count: &&TreeCount| {
            let head = &count.head;
            head.stage == stage
                && period.holds(head.at.day)
                && wanted((head.block, head.row, head.tree))
                && !self.marks.is_outside((head.block, head.row, head.tree))
        };
        // sorted all but: they were read in this order
        let mut counts = last_counts(self.counts.iter().filter(of_period));
        counts.sort_by_key(|count| (count.head.at.utc_ms, count.id));
        counts
    }

    /// How a count of this winter stands to the figures over the winter so far.
    pub fn how_it_stands(&self, count: &TreeCount) -> Stands {
        how_it_stands(&self.work, &self.counts, &self.marks, count)
    }

    /// Counts that were begun and not closed, the latest first.
    pub fn open_counts(&self) -> Vec<&TreeCount> {
        let mut open: Vec<_> = self.counts.iter().filter(|count| !count.closed).collect();
        open.sort_by_key(|count| std::cmp::Reverse((count.head.at.utc_ms, count.id)));
        open
    }

    /// Whether a count's tree was chosen by the draw.
    pub fn is_drawn(count: &TreeCount) -> bool {
        count.head.chosen == Chosen::Drawn
    }
}

/// Those who share trees, each team as one pruner.
fn teams(log: &RowLog<'_>, pruners: &[Pruner]) -> BTreeMap<PrunerId, Pruner> {
    let by_id: HashMap<PrunerId, &Pruner> = pruners.iter().map(|one| (one.id, one)).collect();
    let of = |(id, members): (PrunerId, Vec<PrunerId>)| {
        let mut members: Vec<&Pruner> = members
            .iter()
            .filter_map(|id| by_id.get(id).copied())
            .collect();
        members.sort_by_key(|member| member.number);
        Some((id, Pruner::team(id, &members)?))
    };
    log.teams().into_iter().filter_map(of).collect()
}

/// All pairs of a log that [`WorkEntry::disputes`] names.
fn disputes(work: &[WorkEntry]) -> Vec<(&WorkEntry, &WorkEntry)> {
    let mut rows: BTreeMap<_, Vec<&WorkEntry>> = BTreeMap::new();
    for entry in work {
        let place = (entry.day, entry.block, entry.row);
        rows.entry(place).or_default().push(entry);
    }
    rows.values().flat_map(|row| disputed(row)).collect()
}

/// Pairs of one day and row that [`WorkEntry::disputes`] names.
fn disputed<'w>(entries: &[&'w WorkEntry]) -> Vec<(&'w WorkEntry, &'w WorkEntry)> {
    let mut found = Vec::new();
    for (at, one) in entries.iter().enumerate() {
        let others = entries[at + 1..].iter();
        let met = others.filter(|other| one.disputes(other));
        found.extend(met.map(|other| (*one, *other)));
    }
    found
}
