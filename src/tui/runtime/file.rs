//! What the screens read from the file, and the taking away of a name.

use std::fmt::Write as _;

use chrono::NaiveDate;

use crate::orchard::{PrunerId, WinterId};
use crate::report::Season;
use crate::store::backup::{Searched, holding_name, renew_without_name};
use crate::store::{CountFilter, Setting, Store, StoreError, WHOLE_TREES};
use crate::tui::app::{House, Look};
use crate::tui::{BudKeys, Theme};

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
    if let Some(fault) = &came.unswept {
        let _ = write!(told, "; {fault}: its last bytes go when this is done again");
    }
    if let Some(e) = stay {
        told = format!(
            "{told}; the old backups stay, for want of a fresh one: {}",
            e.in_short()
        );
    }
    // the name is gone by now: no error may say that nothing was kept
    let searched = holding_name(store, pruner).unwrap_or_else(|e| Searched {
        unread: vec![e.in_short()],
        ..Searched::default()
    });
    for unread in &searched.unread {
        let _ = write!(told, "; not looked through, and may hold it: {unread}");
    }
    Ok(match searched.holding.len() {
        0 if !searched.unread.is_empty() => told,
        0 => told + "; no backup, copy or left-over file beside it holds it",
        held => {
            let (holding, hold) = if held == 1 {
                ("one backup, copy or left-over file".to_owned(), "holds")
            } else {
                (
                    format!("{held} backups, copies and left-over files"),
                    "hold",
                )
            };
            let how = "`thirdwood forget-name` removes them";
            format!("{told}; {holding} {hold} it still, or may: {how}")
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
        stays_open: word(Setting::ClosesItself)? == "no",
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
        whole_trees: store.setting(Setting::DrawnTrees)?.as_deref() == Some(WHOLE_TREES),
        blocks: store.blocks()?,
        pruners: store.pruners()?,
        winters,
        look: read_look(store)?,
        currency: store.currency()?,
        removed,
        to_settle: store.number_to_settle()?,
    };
    Ok((
        house,
        season
            .map(|winter| Season::load(store, winter))
            .transpose()?,
    ))
}
