//! One vocabulary for all that is written: changes that hang together are one transaction.
//!
//! No arm here catches "all others": a change that is forgotten does not compile.
#![deny(clippy::wildcard_enum_match_arm)]

use uuid::Uuid;

use super::bundle::{Joinable, Kind};
use super::{Setting, Store, StoreError};
use crate::orchard::{
    Block, BlockId, CountHead, CountId, Draw, DrawId, GoBack, GoBackId, LostDays, LostDaysId,
    Pruner, PrunerId, Rule, Stint, Tap, TreeMark, Winter, WinterId, WorkEntry, WorkId,
};
use crate::outlook::pace::{Pay, PaySpot};
use crate::outlook::{Factor, FactorKind, Growing, HarvestEntry, SetCount, Target};

/// One change of the file.
#[derive(Debug, Clone, PartialEq)]
pub enum Change {
    /// Begin a count that is not in the file yet.
    Begin(CountId, Box<CountHead>),
    /// Record a tap.
    Tap(CountId, Tap),
    /// Take the last tap back.
    TakeBack(CountId),
    /// Take the last tap of this kind off, wherever it stands among the taps.
    TakeOff(CountId, Tap),
    /// Put a tap that was taken off back, behind so many others.
    PutBack(CountId, usize, Tap),
    /// Say that a count is done, or open it again.
    Close(CountId, bool),
    /// Change what is recorded with a count.
    Head(CountId, Box<CountHead>),
    /// Take a count out of the figures, or bring it back.
    RemoveCount(CountId, bool),
    /// Note why a drawn tree is left out, or put it back on the list.
    SkipDrawn(DrawId, usize, Option<String>),
    /// Change a setting.
    Set(Setting, String),
    /// Add or change.
    Save(Box<Thing>),
    /// Remove.
    Remove(ThingId),
    /// A record that was changed on two tablets is what this change set left it.
    Settle(Kind, String, Uuid),
    /// Make two entries one: the first one goes.
    Join(Joinable, Uuid, Uuid),
    /// Undo that.
    Part(Joinable, Uuid),
}

/// Something to be saved.
#[derive(Debug, Clone, PartialEq)]
#[allow(missing_docs)] // most hold what their name says
pub enum Thing {
    Block(Block),
    Pruner(Pruner),
    Winter(Winter),
    /// The rule of a winter, or of one block in it.
    Rule(WinterId, Option<BlockId>, Rule),
    Work(WorkEntry),
    GoBack(GoBack),
    Mark(TreeMark),
    /// A draw that is new: one that stands is never changed.
    Draw(Draw),
    /// The weekdays worked in a winter, Monday first.
    Weekdays(WinterId, [bool; 7]),
    LostDays(LostDays),
    Stint(Stint),
    /// What everybody, or one pruner, is paid in a winter.
    Pay(WinterId, Option<PrunerId>, Pay),
    /// What is paid in a winter in a block, for a kind of work, or for both.
    SpecialPay(WinterId, PaySpot, Pay),
    /// What a block is to bear after a winter.
    Aim(WinterId, BlockId, Target),
    Factor(BlockId, Factor),
    Growth(BlockId, Growing),
    /// The tagged units of a block and season.
    SetCount(BlockId, SetCount),
    Harvest(BlockId, HarvestEntry),
}

/// Something to be removed; where it stood before something more general, that holds again.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[allow(missing_docs)] // most name what their name says
pub enum ThingId {
    Block(BlockId),
    Pruner(PrunerId),
    Winter(WinterId),
    /// The rule of a winter, or of one block in it.
    Rule(WinterId, Option<BlockId>),
    Work(WorkId),
    GoBack(GoBackId),
    /// The mark of a tree: block, row, place.
    Mark(BlockId, u16, u16),
    /// The weekdays of a winter: Monday to Saturday are worked again.
    Weekdays(WinterId),
    LostDays(LostDaysId),
    Stint(WinterId, PrunerId),
    Pay(WinterId, Option<PrunerId>),
    SpecialPay(WinterId, PaySpot),
    Aim(WinterId, BlockId),
    Factor(BlockId, FactorKind),
    Growth(BlockId),
    /// The tagged units of a block and season.
    SetCount(BlockId, i32),
    Harvest(BlockId, i32),
}

/// What a change reaches, and so what has to be read again.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    /// One count, which can be read by itself.
    Count(CountId, Counted),
    /// What figures are made of, beside the counts.
    Orchard,
    /// The same, and what waits to be settled with other tablets.
    Tablets,
}

/// What came of a change of one count.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Counted {
    /// It is in the file now, with nothing on it.
    Begun,
    /// This was counted.
    Tapped(Tap),
    /// The last tap went, if there was any.
    TakenBack(Option<Tap>),
    /// This tap went from behind so many others; none where there was none of its kind.
    TakenOff(Option<(usize, Tap)>),
    /// This tap is back where it stood.
    PutBack(Tap),
    /// It was closed, opened, brought back, or something is recorded with it.
    Changed,
    /// It is out of the figures.
    Removed,
}

impl Store {
    /// Writes changes as one: all of them are kept, or none where one fails. What came of each, in their order.
    ///
    /// # Errors
    /// The first that the file refuses.
    pub fn apply(&self, changes: &[Change]) -> Result<Vec<Outcome>, StoreError> {
        if let [only] = changes {
            // each method is one transaction by itself: a tap is one statement
            return Ok(vec![self.apply_one(only)?]);
        }
        self.atomically(|store| changes.iter().map(|one| store.apply_one(one)).collect())
    }

    fn apply_one(&self, change: &Change) -> Result<Outcome, StoreError> {
        let of_count = |count: &CountId, what| Ok(Outcome::Count(*count, what));
        match change {
            Change::Begin(count, head) => {
                self.begin_count(*count, head)?;
                of_count(count, Counted::Begun)
            }
            Change::Tap(count, tap) => {
                self.tap(*count, None, *tap)?;
                of_count(count, Counted::Tapped(*tap))
            }
            Change::TakeBack(count) => {
                let tap = self.undo_tap(*count)?;
                of_count(count, Counted::TakenBack(tap))
            }
            Change::TakeOff(count, tap) => {
                of_count(count, Counted::TakenOff(self.take_off(*count, *tap)?))
            }
            Change::PutBack(count, place, tap) => {
                self.put_back(*count, *place, *tap)?;
                of_count(count, Counted::PutBack(*tap))
            }
            Change::Close(count, closed) => {
                self.close_count(*count, *closed)?;
                of_count(count, Counted::Changed)
            }
            Change::Head(count, head) => {
                self.change_head(*count, head)?;
                of_count(count, Counted::Changed)
            }
            Change::RemoveCount(count, removed) => {
                self.remove_count(*count, *removed)?;
                let what = if *removed {
                    Counted::Removed
                } else {
                    Counted::Changed
                };
                of_count(count, what)
            }
            Change::SkipDrawn(draw, place, reason) => {
                self.skip_drawn(*draw, *place, reason.as_deref())?;
                Ok(Outcome::Orchard)
            }
            Change::Set(setting, value) => {
                self.set(*setting, value)?;
                Ok(Outcome::Orchard)
            }
            Change::Save(thing) => {
                self.save(thing)?;
                Ok(Outcome::Orchard)
            }
            Change::Remove(thing) => {
                self.remove(*thing)?;
                Ok(Outcome::Orchard)
            }
            Change::Settle(kind, key, set) => {
                self.settle(*kind, key, *set)?;
                Ok(Outcome::Tablets)
            }
            Change::Join(kind, gone, kept) => {
                self.join(*kind, *gone, *kept)?;
                Ok(Outcome::Tablets)
            }
            Change::Part(kind, gone) => {
                self.part(*kind, *gone)?;
                Ok(Outcome::Tablets)
            }
        }
    }

    fn save(&self, thing: &Thing) -> Result<(), StoreError> {
        match thing {
            Thing::Block(block) => self.save_block(block),
            Thing::Pruner(pruner) => self.save_pruner(pruner),
            Thing::Winter(winter) => self.save_winter(winter),
            Thing::Rule(winter, block, rule) => self.save_rule(*winter, *block, rule),
            Thing::Work(work) => self.save_work(work),
            Thing::GoBack(entry) => self.save_go_back(entry),
            Thing::Mark(mark) => self.save_mark(mark),
            Thing::Draw(draw) => self.add_draw(draw),
            Thing::Weekdays(winter, week) => self.save_weekdays(*winter, Some(*week)),
            Thing::LostDays(lost) => self.save_lost_days(lost),
            Thing::Stint(stint) => self.save_stint(stint),
            Thing::Pay(winter, pruner, pay) => self.save_pay(*winter, *pruner, Some(*pay)),
            Thing::SpecialPay(winter, spot, pay) => {
                self.save_special_pay(*winter, *spot, Some(*pay))
            }
            Thing::Aim(winter, block, aim) => self.save_aim(*winter, *block, Some(*aim)),
            Thing::Factor(block, factor) => self.save_factor(*block, factor),
            Thing::Growth(block, growth) => self.save_growth(*block, Some(growth)),
            Thing::SetCount(block, set) => self.save_set_count(*block, set),
            Thing::Harvest(block, entry) => self.save_harvest(*block, entry),
        }
    }

    fn remove(&self, thing: ThingId) -> Result<(), StoreError> {
        match thing {
            ThingId::Block(block) => self.remove_block(block),
            ThingId::Pruner(pruner) => self.remove_pruner(pruner),
            ThingId::Winter(winter) => self.remove_winter(winter),
            ThingId::Rule(winter, block) => self.clear_rule(winter, block),
            ThingId::Work(work) => self.remove_work(work),
            ThingId::GoBack(entry) => self.remove_go_back(entry),
            ThingId::Mark(block, row, tree) => self.remove_mark((block, row, tree)),
            ThingId::Weekdays(winter) => self.save_weekdays(winter, None),
            ThingId::LostDays(lost) => self.remove_lost_days(lost),
            ThingId::Stint(winter, pruner) => self.remove_stint(winter, pruner),
            ThingId::Pay(winter, pruner) => self.save_pay(winter, pruner, None),
            ThingId::SpecialPay(winter, spot) => self.save_special_pay(winter, spot, None),
            ThingId::Aim(winter, block) => self.save_aim(winter, block, None),
            ThingId::Factor(block, kind) => self.clear_factor(block, kind),
            ThingId::Growth(block) => self.save_growth(block, None),
            ThingId::SetCount(block, season) => {
                let units = Vec::new();
                self.save_set_count(block, &SetCount { season, units })
            }
            ThingId::Harvest(block, season) => self.remove_harvest(block, season),
        }
    }
}

impl Change {
    /// Adds or changes this.
    pub fn save(thing: Thing) -> Self {
        Self::Save(Box::new(thing))
    }
}
