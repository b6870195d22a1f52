//! Days, comings and goings, and pay.

use serde_json::Value;

use super::{Phrase, Told, phrase};
use crate::orchard::LostKind;
use crate::outlook::pace::Rate;
use crate::store::StoreError;

pub(super) const LOST_DAYS: &[Phrase] = &[
    phrase(&["winter"], |of| {
        Ok(format!("winter {}", of.name("winter")?))
    }),
    phrase(&["first", "last"], |of| {
        Ok(format!("{} to {}", of.text("first"), of.text("last")))
    }),
    phrase(&["kind"], |of| {
        Ok(match LostKind::parse(&of.text("kind")) {
            Ok(LostKind::Off) => "a day off".to_owned(),
            Ok(LostKind::Rain) => "rain".to_owned(),
            Err(_) => of.text("kind"),
        })
    }),
];

const DAYS: [&str; 7] = [
    "Monday",
    "Tuesday",
    "Wednesday",
    "Thursday",
    "Friday",
    "Saturday",
    "Sunday",
];

pub(super) const WEEK: &[Phrase] = &[phrase(&["weekdays"], |of| {
    let marks = of.text("weekdays");
    let worked = DAYS.into_iter().zip(marks.bytes());
    let worked: Vec<&str> = worked
        .filter_map(|(day, mark)| (mark == b'1').then_some(day))
        .collect();
    Ok(if worked.is_empty() {
        "no day is worked".to_owned()
    } else {
        format!("worked on {}", worked.join(", "))
    })
})];

pub(super) const STINT: &[Phrase] = &[
    phrase(&["joins"], |of| {
        Ok(match of.text("joins") {
            day if day.is_empty() => "here from the start".to_owned(),
            day => format!("first day {day}"),
        })
    }),
    phrase(&["leaves"], |of| {
        Ok(match of.text("leaves") {
            day if day.is_empty() => "stays to the end".to_owned(),
            day => format!("last day {day}"),
        })
    }),
];

pub(super) const PAY: &[Phrase] = &[
    phrase(&["basis", "amount"], |of| {
        let each = if of.text("basis") == "tree" {
            "a tree"
        } else {
            "an hour"
        };
        Ok(format!("{} {each}", amount(of, "amount")?))
    }),
    phrase(&["floor"], |of| {
        if matches!(of.body.get("floor"), None | Some(Value::Null)) {
            return Ok("no least pay an hour".to_owned());
        }
        Ok(format!("at least {} an hour", amount(of, "floor")?))
    }),
];

/// A stored rate as people write it.
fn amount(of: &Told<'_>, column: &str) -> Result<String, StoreError> {
    let currency = of.store.currency()?;
    let rate = Rate::from_stored(&currency, of.whole(column));
    let shown = rate.map_or_else(
        |_| "an amount out of bounds".to_owned(),
        |rate| currency.show_rate(rate),
    );
    Ok(format!("{shown} {}", currency.code()))
}
