//! Work, counts, draws and rows sent back.

use super::super::taps;
use super::{Phrase, Told, many, phrase};
use crate::orchard::{Stamp, hours_text};
use crate::store::StoreError;

const PLACE: &[&str] = &["block", "row"];

fn place(of: &Told<'_>) -> Result<String, StoreError> {
    Ok(format!("{}, row {}", of.name("block")?, of.whole("row")))
}

const WINTER: Phrase = phrase(&["winter"], |of| {
    Ok(format!("winter {}", of.name("winter")?))
});
const PRUNER: Phrase = phrase(&["pruner"], |of| {
    Ok(if of.is_blank(&["pruner"]) {
        "no pruner".to_owned()
    } else {
        format!("pruner {}", of.name("pruner")?)
    })
});
const RUNS: Phrase = phrase(&["runs"], |of| {
    Ok(if of.is_blank(&["runs"]) {
        "no leaders drawn".to_owned()
    } else {
        of.text("runs")
    })
});
const REMOVED: Phrase = phrase(&["removed"], |of| {
    Ok(if of.is("removed") {
        "removed"
    } else {
        "not removed"
    }
    .to_owned())
});

pub(super) const WORK: &[Phrase] = &[
    WINTER,
    PRUNER,
    phrase(PLACE, place),
    phrase(&["first", "last"], |of| {
        Ok(format!(
            "trees {} to {}",
            of.whole("first"),
            of.whole("last")
        ))
    }),
    phrase(&["day"], |of| Ok(of.named("on", "day"))),
    phrase(&["minutes"], |of| {
        let minutes = of.whole("minutes") as u16;
        Ok(if of.is_blank(&["minutes"]) {
            "hours not noted".to_owned()
        } else {
            format!("{} h", hours_text(Some(minutes)))
        })
    }),
    phrase(&["kind"], |of| {
        Ok(match of.text("kind") {
            kind if kind.is_empty() => "pruning".to_owned(),
            kind => kind,
        })
    }),
    phrase(&["zone"], |of| {
        Ok(match of.text("zone").as_str() {
            "" | "whole" => "whole trees".to_owned(),
            zone => zone.to_owned(),
        })
    }),
    phrase(&["share"], |of| {
        Ok(if of.is_blank(&["share"]) {
            "an equal share of the trees".to_owned()
        } else {
            format!("{} % of each tree", of.whole("share"))
        })
    }),
    phrase(&["team"], |of| {
        Ok(if of.is_blank(&["team"]) {
            "alone"
        } else {
            "together with others"
        }
        .to_owned())
    }),
    REMOVED,
];

pub(super) const COUNT: &[Phrase] = &[
    phrase(&["closed", "taps"], tapped),
    WINTER,
    phrase(&["block", "row", "tree"], |of| {
        Ok(format!("{}, tree {}", place(of)?, of.whole("tree")))
    }),
    PRUNER,
    phrase(&["stage"], |of| Ok(format!("{} pruning", of.text("stage")))),
    phrase(&["stems"], |of| {
        Ok(if of.is_blank(&["stems"]) {
            "the whole tree".to_owned()
        } else {
            many(of.whole("stems"), "stem", "stems")
        })
    }),
    phrase(&["zone"], |of| {
        Ok(if of.is_blank(&["zone"]) {
            "no side or zone by itself".to_owned()
        } else {
            format!("{} alone", of.text("zone"))
        })
    }),
    RUNS,
    phrase(&["chosen"], |of| {
        Ok(match of.text("chosen").as_str() {
            "drawn" => "drawn".to_owned(),
            _ => "chosen by eye".to_owned(),
        })
    }),
    phrase(&["counter"], |of| {
        if of.is_blank(&["counter"]) {
            return Ok("counter not noted".to_owned());
        }
        of.typed("counted by", "counter")
    }),
    phrase(&["at_ms", "offset_min", "day"], |of| {
        let offset = of.whole("offset_min") as i32;
        let day = of.text("day");
        let moment = chrono::NaiveDate::parse_from_str(&day, "%Y-%m-%d")
            .ok()
            .and_then(|day| Stamp::new(of.whole("at_ms"), offset, day).ok());
        Ok(moment.map_or(format!("on {day}"), |moment| {
            let written = moment.rfc3339();
            format!("on {day} at {}", written.get(11..16).unwrap_or_default())
        }))
    }),
    phrase(&["note"], |of| of.typed("note", "note")),
    phrase(&["again"], |of| {
        Ok(if of.is("again") {
            "counted again"
        } else {
            "a first count"
        }
        .to_owned())
    }),
    REMOVED,
];

/// The taps in sum.
fn tapped(of: &Told<'_>) -> Result<String, StoreError> {
    let taps = taps::parse(&of.text("taps"))?;
    let made = |age: i64| taps.iter().filter(|(piece, ..)| *piece == age).count();
    Ok(format!(
        "{}: {}/{}/{}/{} pieces of one, two, three, four years, {}",
        if of.is("closed") { "closed" } else { "open" },
        made(1),
        made(2),
        made(3),
        made(4),
        many(made(0) as i64, "unit", "units")
    ))
}

pub(super) const DRAW: &[Phrase] = &[
    WINTER,
    phrase(&["day"], |of| Ok(of.named("drawn on", "day"))),
    phrase(&["since", "until"], |of| {
        Ok(format!(
            "out of the work of {} to {}",
            of.text("since"),
            of.text("until")
        ))
    }),
    // which number the chance began with tells nobody anything
    phrase(&["seed"], |_| Ok(String::new())),
];

pub(super) const DRAWN: &[Phrase] = &[
    phrase(&["block", "row", "tree"], |of| {
        Ok(format!("{}, tree {}", place(of)?, of.whole("tree")))
    }),
    PRUNER,
    phrase(&["skipped"], |of| {
        Ok(if of.is_blank(&["skipped"]) {
            "not left out".to_owned()
        } else {
            of.typed("left out:", "skipped")?
        })
    }),
    RUNS,
];

pub(super) const GO_BACK: &[Phrase] = &[
    WINTER,
    phrase(PLACE, place),
    PRUNER,
    phrase(&["day"], |of| Ok(of.named("sent back on", "day"))),
    phrase(&["reason"], |of| of.typed("reason", "reason")),
    phrase(&["outcome", "settled_day"], |of| {
        Ok(if of.is_blank(&["outcome"]) {
            "not settled yet".to_owned()
        } else {
            format!("{} on {}", of.text("outcome"), of.text("settled_day"))
        })
    }),
    REMOVED,
];

/// A mark on a tree.
pub(super) const MARK: &[Phrase] = &[
    phrase(&["mark"], |of| Ok(of.text("mark"))),
    phrase(&["note"], |of| {
        Ok(match of.text("note") {
            note if note.is_empty() => "no note".to_owned(),
            note => format!("note {note}"),
        })
    }),
    phrase(&["day"], |of| Ok(of.named("on", "day"))),
];
