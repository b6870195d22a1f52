//! One winter, read once and kept up to date count by count.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use chrono::NaiveDate;

use crate::orchard::{
    Block, BlockId, Chosen, CountId, Draw, GoBack, Language, Pruner, PrunerId, Rule, Stage, Stands,
    TreeCount, Winter, WorkEntry, WorkId, attribute, attribute_all, how_it_stands, last_counts,
};
use crate::outlook::CropBook;
use crate::outlook::pace::DayWork;
use crate::store::{CountFilter, Labour, Rules, Setting, Store, StoreError};

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
    /// Aims of the winter, and what is kept of each block's crop.
    pub crop: CropBook,
    counts: Vec<TreeCount>,
    at: HashMap<CountId, usize>,
}

impl Season {
    /// Reads a winter.
    pub fn load(store: &Store, winter: Winter) -> Result<Self, StoreError> {
        let mut counts = store.counts(CountFilter::Winter(winter.id))?;
        let work = store.work(winter.id)?;
        attribute_all(&work, &mut counts);
        let at = counts
            .iter()
            .zip(0..)
            .map(|(count, at)| (count.id, at))
            .collect();
        Ok(Self {
            orchard: store.setting(Setting::Orchard)?.unwrap_or_default(),
            sheet_language: store.sheet_language()?,
            blocks: store.blocks()?,
            pruners: store.pruners()?,
            rules: store.rules(winter.id)?,
            work,
            labour: store.labour(winter.id)?,
            draws: store.draws(winter.id)?,
            go_backs: store.go_backs(winter.id)?,
            crop: store.crop_book(winter.id)?,
            winter,
            counts,
            at,
        })
    }

    /// The same winter by another log, without counts: enough for who pruned what.
    pub(super) fn with_log(&self, work: Vec<WorkEntry>) -> Self {
        Self {
            orchard: self.orchard.clone(),
            sheet_language: self.sheet_language,
            winter: self.winter.clone(),
            blocks: self.blocks.clone(),
            pruners: self.pruners.clone(),
            rules: self.rules.clone(),
            work,
            labour: self.labour.clone(),
            draws: Vec::new(),
            go_backs: Vec::new(),
            crop: CropBook::default(),
            counts: Vec::new(),
            at: HashMap::new(),
        }
    }

    /// Puts a count in, or in place of what was known of it. The cost does not grow with the winter.
    pub fn put(&mut self, mut count: TreeCount) {
        attribute(&self.work, &mut count);
        if let Some(known) = self
            .at
            .get(&count.id)
            .and_then(|at| self.counts.get_mut(*at))
        {
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
        self.counts.swap_remove(at);
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

    /// The pruner of this id.
    pub fn pruner(&self, pruner: PrunerId) -> Option<&Pruner> {
        self.pruners.iter().find(|found| found.id == pruner)
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

    /// Who pruned each tree up to a day: where a tree stands in the log twice, the later entry holds.
    pub fn pruned(&self, period: Period) -> BTreeMap<Place, &WorkEntry> {
        let rows = self.pruned_by_row(period).into_iter();
        rows.flat_map(|((block, row), places)| {
            let known = (1..).zip(places);
            known.filter_map(move |(place, entry)| Some(((block, row, place), entry?)))
        })
        .collect()
    }

    /// Trees pruned, by pruner and block. Quick, since it is asked for after each closed count.
    pub fn trees_pruned(&self, period: Period) -> BTreeMap<(PrunerId, BlockId), u32> {
        let mut trees = BTreeMap::new();
        for ((block, _), places) in self.pruned_by_row(period) {
            let mut rest = places.as_slice();
            while let Some(first) = rest.first() {
                let id = |entry: Option<&WorkEntry>| entry.map(|work| work.id);
                let run = rest
                    .iter()
                    .take_while(|entry| id(**entry) == id(*first))
                    .count();
                if let Some(entry) = first {
                    *trees.entry((entry.pruner, block)).or_default() += run as u32;
                }
                rest = &rest[run..];
            }
        }
        trees
    }

    /// The entry that holds for each place of each row with work; none where no tree stands or none
    /// was pruned.
    fn pruned_by_row(&self, period: Period) -> BTreeMap<(BlockId, u16), Vec<Option<&WorkEntry>>> {
        let mut rows: BTreeMap<_, Vec<Option<&WorkEntry>>> = BTreeMap::new();
        for entry in self.work.iter().filter(|entry| period.holds(entry.day)) {
            let row = self
                .block(entry.block)
                .and_then(|block| block.rows.row(entry.row));
            let Some(row) = row else { continue };
            let places = rows
                .entry((entry.block, entry.row))
                .or_insert_with(|| vec![None; usize::from(row.places)]);
            let from = usize::from(entry.first) - 1;
            let to = usize::from(entry.last).min(places.len());
            places[from.min(to)..to].fill(Some(entry));
            for gap in row.missing.range(entry.first..=entry.last) {
                places[usize::from(*gap) - 1] = None;
            }
        }
        rows
    }

    /// The work up to a day, each tree once: on the first day that it was pruned on. Who prunes it again on a later day
    /// mends it, which adds hours and no new tree, so pay by the tree goes to who pruned it first.
    ///
    /// On one day, the later entry is a correction: it has the trees that both name, and an entry that has lost all of
    /// its trees so is left out with its hours. Else the hours of an entry are kept whole.
    pub fn day_work(&self, until: NaiveDate) -> Vec<DayWork> {
        let trees = self.new_trees(until);
        let of = |entry: &WorkEntry| {
            let new = trees.get(&entry.id).copied();
            let corrected = new.is_none() && self.trees_of_entry(entry) > 0;
            (entry.day <= until && !corrected).then(|| DayWork {
                day: entry.day,
                pruner: entry.pruner,
                block: entry.block,
                trees: new.unwrap_or(0),
                minutes: entry.minutes.map(u32::from),
            })
        };
        self.work.iter().filter_map(of).collect()
    }

    /// Whether later entries of the same day name all trees of this one, which corrects it: its hours count no more.
    pub fn is_corrected(&self, entry: &WorkEntry) -> bool {
        let later = self.work.iter().skip_while(|other| other.id != entry.id);
        let later: Vec<_> = later
            .skip(1)
            .filter(|other| other.day == entry.day && other.overlaps(entry))
            .collect();
        let named = |place: u16| {
            let mut later = later.iter();
            later.any(|other| (other.first..=other.last).contains(&place))
        };
        let row = self
            .block(entry.block)
            .and_then(|block| block.rows.row(entry.row));
        row.is_some_and(|row| {
            let places = entry.first..=entry.last.min(row.places);
            let mut standing = places.filter(|place| row.has_tree(*place)).peekable();
            standing.peek().is_some() && standing.all(named)
        })
    }

    /// Trees that each entry pruned for the first time; entries whose trees all have another entry of the same day are
    /// not in it.
    pub(super) fn new_trees(&self, until: NaiveDate) -> HashMap<WorkId, u32> {
        let days: BTreeSet<NaiveDate> = self.work.iter().map(|entry| entry.day).collect();
        let mut trees: HashMap<WorkId, u32> = HashMap::new();
        let mut pruned: BTreeMap<(BlockId, u16), Vec<bool>> = BTreeMap::new();
        for day in days.range(..=until) {
            for (row, places) in self.pruned_by_row(Period::day(*day)) {
                let known = pruned
                    .entry(row)
                    .or_insert_with(|| vec![false; places.len()]);
                for (entry, known) in places.into_iter().zip(known) {
                    let Some(entry) = entry else { continue };
                    let first = !std::mem::replace(known, true);
                    *trees.entry(entry.id).or_default() += u32::from(first);
                }
            }
        }
        trees
    }

    /// Trees of an entry that stand today.
    pub(super) fn trees_of_entry(&self, entry: &WorkEntry) -> u32 {
        let block = self.block(entry.block);
        let row = block.and_then(|block| block.rows.row(entry.row));
        row.map_or(0, |row| {
            row.trees_between(entry.first, entry.last.min(row.places))
        })
    }

    /// Who pruned a tree, by the log up to a day.
    pub fn pruner_of(&self, place: Place, until: NaiveDate) -> Option<PrunerId> {
        crate::orchard::pruner_of(&self.work, place, until)
    }

    /// The counts that figures rest on: closed, of the stage and the period. One with nothing counted is of a bare tree: a
    /// tree that was looked at, with no share of any age and nothing to bear fruit.
    /// Where a tree was counted more than once (as after a row was sent back), its last count stands; counts made again
    /// to compare two counts ([`crate::orchard::CountHead::again`]) never do.
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
        };
        // sorted all but: they were read in this order
        let mut counts = last_counts(self.counts.iter().filter(of_period));
        counts.sort_by_key(|count| (count.head.at.utc_ms, count.id));
        counts
    }

    /// How a count of this winter stands to the figures over the winter so far.
    pub fn how_it_stands(&self, count: &TreeCount) -> Stands {
        how_it_stands(&self.work, &self.counts, count)
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
