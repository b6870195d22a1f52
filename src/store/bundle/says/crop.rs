//! Aims, factors, growth, set counts and harvests.

use serde_json::Value;

use super::{Phrase, many, percent, phrase};
use crate::outlook::FactorKind;

pub(super) const AIM: &[Phrase] = &[phrase(&["kind", "amount", "girth_cm"], |of| {
    let amount = of.real("amount");
    Ok(match of.text("kind").as_str() {
        "t_per_ha" => format!("{amount} t/ha"),
        "fruit_per_tree" => format!("{amount} fruit a tree"),
        _ => format!(
            "{amount} fruit per cm² of trunk, girth {} cm",
            of.real("girth_cm")
        ),
    })
})];

/// What a factor is.
pub(in super::super) fn factor_word(kind: &str) -> &str {
    match FactorKind::parse(kind) {
        Ok(FactorKind::FruitWeight) => "weight of a fruit",
        Ok(FactorKind::FruitPerCluster) => "fruit per cluster",
        Ok(FactorKind::Set) => "set",
        Ok(FactorKind::Loss) => "losses",
        Ok(FactorKind::FruitBuds) => "fruit buds",
        Err(_) => kind,
    }
}

/// A factor's number with its unit.
fn factor(kind: &str, value: f64) -> String {
    match FactorKind::parse(kind) {
        Ok(FactorKind::FruitWeight) => format!("{value} g"),
        Ok(FactorKind::FruitPerCluster) | Err(_) => value.to_string(),
        Ok(FactorKind::Set | FactorKind::Loss | FactorKind::FruitBuds) => percent(value),
    }
}

pub(super) const FACTOR: &[Phrase] = &[phrase(&["value", "sd"], |of| {
    let number = |column| factor(of.part(1), of.real(column));
    Ok(format!(
        "{}, give or take {}",
        number("value"),
        number("sd")
    ))
})];

const SURVIVAL: [&str; 4] = [
    "survival_one",
    "survival_two",
    "survival_three",
    "survival_four",
];

pub(super) const GROWTH: &[Phrase] = &[
    phrase(&["grown"], |of| {
        Ok(format!("{} new one-year pieces a tree", of.real("grown")))
    }),
    phrase(&SURVIVAL, |of| {
        let stays = SURVIVAL.map(|column| of.percent(column));
        Ok(format!(
            "of one-, two-, three-year and four-plus wood {} are still there a winter later",
            stays.join(", ")
        ))
    }),
];

/// Tagged units that are told one by one.
const LISTED: usize = 12;

/// Tagged units are lists of the columns of their table: buds, fruit buds (may be none), clusters, fruit.
pub(super) const UNITS: &[Phrase] = &[phrase(&["units"], |of| {
    let units = of.body.get("units").and_then(Value::as_array);
    let units = units.map_or(&[][..], Vec::as_slice);
    let sum = |place: usize| -> i64 {
        let of = |unit: &Value| unit.get(place).and_then(Value::as_i64);
        units.iter().filter_map(of).sum()
    };
    // two tablets may have the same sums of other units
    let list = units.iter().take(LISTED).map(|unit| {
        let numbers = [1, 3, 4].map(|place| unit.get(place).and_then(Value::as_i64).unwrap_or(0));
        numbers.map(|number| number.to_string()).join(" ")
    });
    let list: Vec<String> = list.collect();
    Ok(format!(
        "{} with {}, {}, {} fruit ({}{})",
        many(units.len() as i64, "tagged unit", "tagged units"),
        many(sum(1), "bud", "buds"),
        many(sum(3), "cluster", "clusters"),
        sum(4),
        list.join(", "),
        if units.len() > LISTED { ", …" } else { "" }
    ))
})];

pub(super) const HARVEST: &[Phrase] = &[
    phrase(&["unit", "amount"], |of| {
        let unit = if of.text("unit") == "kg_per_tree" {
            "kg a tree"
        } else {
            "t/ha"
        };
        Ok(format!("{} {unit}", of.real("amount")))
    }),
    phrase(&["mean_g", "weighed"], |of| {
        Ok(if of.is_blank(&["mean_g"]) {
            "no fruit weighed".to_owned()
        } else {
            format!(
                "{} fruit of {} g weighed",
                of.whole("weighed"),
                of.real("mean_g")
            )
        })
    }),
];
