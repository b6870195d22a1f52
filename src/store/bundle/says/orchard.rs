//! What is set up once: blocks, the crew, winters, rules and settings.

use super::{Phrase, Told, many, percent, phrase};
use crate::orchard::{Age, BudLimit, Language, Size};
use crate::outlook::pace::Currency;
use crate::store::Setting;
use crate::store::bundle::words::{Joinable, NOT_HERE};

pub(super) const JOINED: &[Phrase] = &[phrase(&["kept"], |of| {
    let id = of.text("kept");
    for kind in Joinable::ALL {
        let name = of.store.name_of(kind.word(), &id)?;
        if name != NOT_HERE {
            return Ok(format!("is {name}"));
        }
    }
    Ok(format!("is {NOT_HERE}"))
})];

pub(super) const SETTING: &[Phrase] = &[phrase(&["value"], |of| {
    let value = of.text("value");
    Ok(match Setting::parse(of.key) {
        Some(Setting::Extras) if value == "yes" => "counted too".to_owned(),
        Some(Setting::Extras) => "not counted".to_owned(),
        Some(Setting::Currency) => currency(&value),
        Some(Setting::SheetLanguage) => language(&value),
        Some(Setting::DrawnTrees) => format!("counted {value}"),
        Some(Setting::Names) if value == "shown" => "shown by name too".to_owned(),
        _ if value.is_empty() => "not filled in".to_owned(),
        _ => value,
    })
})];

/// What a setting is about.
pub(in super::super) fn setting_word(key: &str) -> &str {
    match Setting::parse(key) {
        Some(Setting::Orchard) => "name of the orchard",
        Some(Setting::Counter) => "who counts",
        Some(Setting::Keyboard) => "keyboard",
        Some(Setting::Theme) => "colours",
        Some(Setting::Extras) => "upright wood, and thick wood in the top",
        Some(Setting::Currency) => "currency",
        Some(Setting::SheetLanguage) => "language of the sheets",
        Some(Setting::Names) => "pruners",
        Some(Setting::DrawnTrees) => "drawn trees",
        Some(Setting::ClosesItself) => "the last piece closes the tree",
        None => key,
    }
}

fn currency(value: &str) -> String {
    Currency::parse(value).map_or_else(
        |_| value.to_owned(),
        |known| {
            let digits = i64::from(known.digits());
            format!(
                "{}, {} decimals",
                known.code(),
                if digits == 0 {
                    "no".to_owned()
                } else {
                    digits.to_string()
                }
            )
        },
    )
}

fn language(tag: &str) -> String {
    Language::of_tag(tag).map_or_else(
        || {
            if tag.is_empty() {
                "no language of their own".to_owned()
            } else {
                format!("another language ({tag})")
            }
        },
        |known| known.word().to_owned(),
    )
}

pub(super) const BLOCK: &[Phrase] = &[
    phrase(&["name"], |of| Ok(of.named("name", "name"))),
    phrase(&["variety"], |of| Ok(of.named("variety", "variety"))),
    phrase(&["rootstock"], |of| Ok(of.named("rootstock", "rootstock"))),
    phrase(&["planted"], |of| {
        Ok(if of.is_blank(&["planted"]) {
            "year of planting not known".to_owned()
        } else {
            of.named("planted", "planted")
        })
    }),
    phrase(&["row_spacing_m", "tree_spacing_m"], |of| {
        let (rows, trees) = (of.real("row_spacing_m"), of.real("tree_spacing_m"));
        Ok(format!("rows {rows} m apart, trees {trees} m"))
    }),
    phrase(&["stems"], |of| {
        Ok(format!(
            "{} a tree",
            many(of.whole("stems"), "stem", "stems")
        ))
    }),
    phrase(&["sides"], |of| Ok(format!("{} canopy", of.text("sides")))),
    phrase(&["lean_deg"], |of| {
        Ok(format!("leaning by {}°", of.real("lean_deg")))
    }),
];

pub(super) const ROW: &[Phrase] = &[phrase(&["places"], |of| {
    Ok(many(of.whole("places"), "place", "places"))
})];

pub(super) const PRUNER: &[Phrase] = &[
    phrase(&["number"], |of| Ok(of.named("number", "number"))),
    phrase(&["active"], |of| {
        Ok(if of.is("active") {
            "works this winter"
        } else {
            "does not work this winter"
        }
        .to_owned())
    }),
    phrase(&["number_only"], |of| {
        Ok(if of.is("number_only") {
            "shown by number only"
        } else {
            "shown by name too"
        }
        .to_owned())
    }),
    phrase(&["language"], |of| {
        Ok(format!("sheets in {}", language(&of.text("language"))))
    }),
];

pub(super) const NAME: &[Phrase] = &[
    phrase(&["name"], |of| Ok(of.named("name", "name"))),
    phrase(&["label"], |of| Ok(of.named("label", "label"))),
];

pub(super) const WINTER: &[Phrase] = &[
    phrase(&["label"], |of| Ok(of.named("called", "label"))),
    phrase(&["start"], |of| Ok(of.named("first day", "start"))),
    phrase(&["budburst"], |of| Ok(of.named("budburst", "budburst"))),
];

pub(super) const BUDBURST: &[Phrase] = &[phrase(&["day"], |of| Ok(of.named("on", "day")))];

pub(super) const RULE: &[Phrase] = &[
    phrase(&PARTS, |of| {
        let parts = PARTS.map(|column| of.whole(column).to_string());
        Ok(format!("parts of the wood {}", parts.join(" : ")))
    }),
    phrase(&TOLERANCE, |of| {
        let off = TOLERANCE.map(|column| {
            let off = of.percent(column);
            off.trim_end_matches(" %").to_owned()
        });
        Ok(format!("may be off by {} %", off.join(", ")))
    }),
    phrase(&["oldest"], |of| {
        let place = usize::try_from(of.whole("oldest") - 1).unwrap_or_default();
        let age = Age::ALL.get(place).map_or("", |age| age.word());
        Ok(format!("oldest wood to stay {age}"))
    }),
    phrase(&["thin_least", "thin_most"], |of| Ok(buds(of, Size::Thin))),
    phrase(&["medium_least", "medium_most"], |of| {
        Ok(buds(of, Size::Medium))
    }),
    phrase(&["thick_least", "thick_most"], |of| {
        Ok(buds(of, Size::Thick))
    }),
    phrase(&["medium_from_mm", "thick_from_mm"], |of| {
        let (medium, thick) = (of.real("medium_from_mm"), of.real("thick_from_mm"));
        Ok(format!("medium from {medium} mm, thick from {thick} mm"))
    }),
    phrase(&["compliance"], |of| {
        Ok(format!(
            "{} of the units to be right",
            percent(of.real("compliance"))
        ))
    }),
];

const PARTS: [&str; 4] = ["part_one", "part_two", "part_three", "part_four"];
const TOLERANCE: [&str; 4] = [
    "tolerance_one",
    "tolerance_two",
    "tolerance_three",
    "tolerance_four",
];

/// The buds to leave on a unit of a size.
fn buds(of: &Told<'_>, size: Size) -> String {
    let end = |end: &str| of.whole(&format!("{}_{end}", size.word())) as u8;
    let (least, most) = (end("least"), end("most"));
    let limit = BudLimit { least, most }.text();
    format!("{} unit {limit} buds", size.word())
}
