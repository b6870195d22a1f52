//! What the screens write to the file and read from it.

use chrono::NaiveDate;

use crate::orchard::{PrunerId, WinterId};
use crate::outlook::SetCount;
use crate::report::Season;
use crate::store::backup::{holding_name, renew_without_name};
use crate::store::{CountFilter, Setting, Store, StoreError};
use crate::tui::app::{Effect, House, Look, Thing, ThingId};
use crate::tui::{BudKeys, Theme};

/// Whether an effect is a change of the file and nothing else, so that it can be one with others.
pub(super) fn is_write(effect: &Effect) -> bool {
    matches!(
        effect,
        Effect::Save(_)
            | Effect::Remove(_)
            | Effect::RemoveCount(..)
            | Effect::SkipDrawn(..)
            | Effect::Set(..)
    )
}

/// Changes after which the file is read again: they are rare.
pub(super) fn write(store: &Store, effect: Effect) -> Result<(), StoreError> {
    match effect {
        Effect::Save(thing) => match *thing {
            Thing::Block(block) => store.save_block(&block),
            Thing::Pruner(pruner) => store.save_pruner(&pruner),
            Thing::Winter(winter) => store.save_winter(&winter),
            Thing::Rule(winter, block, rule) => store.save_rule(winter, block, &rule),
            Thing::Work(work) => {
                store.atomically(|store| work.iter().try_for_each(|one| store.save_work(one)))
            }
            Thing::GoBack(entry) => store.save_go_back(&entry),
            Thing::Draw(draw) => store.add_draw(&draw),
            Thing::Weekdays(winter, week) => store.save_weekdays(winter, Some(week)),
            Thing::LostDays(lost) => store.save_lost_days(&lost),
            Thing::Stint(stint) => store.save_stint(&stint),
            Thing::Pay(winter, pruner, pay) => store.save_pay(winter, pruner, Some(pay)),
            Thing::Aim(winter, block, aim) => store.save_aim(winter, block, Some(aim)),
            Thing::Factor(block, factor) => store.save_factor(block, &factor),
            Thing::Growth(block, growth) => store.save_growth(block, Some(&growth)),
            Thing::SetCount(block, set) => store.save_set_count(block, &set),
            Thing::Harvest(block, entry) => store.save_harvest(block, &entry),
        },
        Effect::Remove(thing) => match thing {
            ThingId::Block(block) => store.remove_block(block),
            ThingId::Pruner(pruner) => store.remove_pruner(pruner),
            ThingId::Winter(winter) => store.remove_winter(winter),
            ThingId::Rule(winter, block) => store.clear_rule(winter, block),
            ThingId::Work(work) => store.remove_work(work),
            ThingId::GoBack(entry) => store.remove_go_back(entry),
            ThingId::Weekdays(winter) => store.save_weekdays(winter, None),
            ThingId::LostDays(lost) => store.remove_lost_days(lost),
            ThingId::Stint(winter, pruner) => store.remove_stint(winter, pruner),
            ThingId::Pay(winter, pruner) => store.save_pay(winter, pruner, None),
            ThingId::Aim(winter, block) => store.save_aim(winter, block, None),
            ThingId::Factor(block, kind) => store.clear_factor(block, kind),
            ThingId::Growth(block) => store.save_growth(block, None),
            ThingId::SetCount(block, season) => {
                let units = Vec::new();
                store.save_set_count(block, &SetCount { season, units })
            }
            ThingId::Harvest(block, season) => store.remove_harvest(block, season),
        },
        Effect::RemoveCount(count, removed) => store.remove_count(count, removed),
        Effect::SkipDrawn(draw, place, reason) => store.skip_drawn(draw, place, reason.as_deref()),
        Effect::Settle(kind, key, set) => store.settle(&kind, &key, set),
        Effect::Join(kind, gone, kept) => store.join(kind, gone, kept),
        Effect::Part(kind, gone) => store.part(kind, gone),
        Effect::Set(setting, value) => store.set(setting, &value),
        _ => Ok(()),
    }
}

/// Takes a pruner's name away, and says what came of it.
pub(super) fn forget(
    store: &Store,
    pruner: PrunerId,
    backups: bool,
    day: NaiveDate,
) -> Result<String, StoreError> {
    let came = store.forget_name(pruner)?;
    let stay = if backups {
        renew_without_name(store, pruner, day).err()
    } else {
        None
    };
    let mut told = String::from("the name is gone from the file");
    if came.unsettled > 0 {
        told += ", but for notes in conflicts (`thirdwood conflicts`)";
    }
    if !came.swept {
        told += "; another program has the file open, or the disk is full: its last bytes go when this is done again";
    }
    if let Some(e) = stay {
        told = format!("{told}; the old backups stay: {e}");
    }
    Ok(match holding_name(store, pruner)?.len() {
        0 => told + "; no backup holds it",
        held => {
            let (holding, hold) = if held == 1 {
                ("one backup or copy".to_owned(), "holds")
            } else {
                (format!("{held} backups and copies"), "hold")
            };
            let how = "`thirdwood forget-name` removes them";
            format!("{told}; {holding} {hold} it still: {how}")
        }
    })
}

/// How the screens look and answer, by the settings.
pub(super) fn read_look(store: &Store) -> Result<Look, StoreError> {
    let word = |setting| Ok::<_, StoreError>(store.setting(setting)?.unwrap_or_default());
    Ok(Look {
        theme: Theme::from_word(&word(Setting::Theme)?).unwrap_or_default(),
        theme_fixed: false,
        bud_keys: BudKeys::from_word(&word(Setting::Keyboard)?).unwrap_or_default(),
        counter: word(Setting::Counter)?,
        extras: word(Setting::Extras)? == "yes",
    })
}

/// The house, and the winter chosen or else the one of the day.
pub(super) fn read(
    store: &Store,
    winter: Option<WinterId>,
    today: NaiveDate,
) -> Result<(House, Option<Season>), StoreError> {
    let winters = store.winters()?;
    let chosen = winter.and_then(|id| winters.iter().find(|known| known.id == id).cloned());
    let season = match chosen {
        Some(winter) => Some(winter),
        None => store.winter_on(today)?,
    };
    let removed = match &season {
        Some(winter) => store.counts(CountFilter::Removed(winter.id))?,
        None => Vec::new(),
    };
    let house = House {
        orchard: store.setting(Setting::Orchard)?.unwrap_or_default(),
        sheet_language: store.sheet_language()?,
        numbers_only: store.numbers_only()?,
        blocks: store.blocks()?,
        pruners: store.pruners()?,
        winters,
        look: read_look(store)?,
        currency: store.currency()?,
        removed,
    };
    Ok((
        house,
        season
            .map(|winter| Season::load(store, winter))
            .transpose()?,
    ))
}
