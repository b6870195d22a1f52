//! The outlook in words.

use super::{Tongue, figure, list, metric_short, trees};
use crate::judge::Metric;
use crate::outlook::{ByAge, Mend, Year};
use crate::report::{Left, OutlookSheet};

/// Pieces by age: `one-year 70, two-year 65 and three-year 65`; ages of which there are none are left out.
pub fn pieces(pieces: ByAge) -> String {
    let parts: Vec<String> = [Metric::One, Metric::Two, Metric::Three, Metric::FourPlus]
        .into_iter()
        .filter(|age| pieces[age.index()] >= 0.05)
        .map(|age| format!("{} {}", metric_short(age), figure(pieces[age.index()])))
        .collect();
    if parts.is_empty() {
        return "none".to_owned();
    }
    list(&parts)
}

/// Said where there is no outlook.
pub const NO_OUTLOOK: &str = "No outlook: no block is entered yet.";

/// A range: `12.0 to 15.5`.
pub fn range(lo: f64, hi: f64) -> String {
    Tongue::english().range(&figure(lo), &figure(hi))
}

/// What the crop of an outlook is.
pub fn crop_of(sheet: &OutlookSheet) -> String {
    format!("Crop of {} from the counted wood", sheet.season)
}

/// The crop in a line; empty where it cannot be worked out.
pub fn crop_short(sheet: &OutlookSheet) -> String {
    let Some(crop) = &sheet.crop else {
        return String::new();
    };
    let tonnes = crop.potential.tonnes_per_ha;
    format!(
        "{}: {} t/ha (likely {})",
        crop_of(sheet),
        figure(tonnes.mean),
        range(tonnes.lo, tonnes.hi)
    )
}

/// What the counts of a block rest on.
pub fn counted(left: Option<&Left>) -> String {
    let Some(left) = left else {
        return "No wood was counted after pruning: there is none to carry ahead yet.".to_owned();
    };
    let part = match left.in_part {
        0 => String::new(),
        some => format!(" ({some} in part, scaled up to the whole tree)"),
    };
    let before = match left.offered {
        None => "Fewer than four trees were counted before pruning: what was there is not known, and is taken to be \
                 what was left."
            .to_owned(),
        Some(offered) => format!("{} counted before pruning.", trees(offered.trees)),
    };
    format!(
        "{} counted after pruning{part}. {before}",
        trees(left.trees)
    )
}

/// Why the wood that was counted is not carried ahead; empty where it is, and where [`counted`] says that there is none.
pub fn not_ahead(sheet: &OutlookSheet) -> &'static str {
    if sheet.ahead.is_empty() && sheet.left.is_some() {
        "How many units (two-year pieces) a tree is to have is not known: no buds were counted and no aim is set. Without \
         it the winters ahead cannot be worked out."
    } else {
        ""
    }
}

/// What the crop's range rests on.
pub fn crop_rests_on(sheet: &OutlookSheet) -> Vec<String> {
    let Some(crop) = &sheet.crop else {
        return vec!["No buds were counted on units, so no crop can be worked out.".to_owned()];
    };
    let potential = &crop.potential;
    let share = |cv: f64| format!("{:.0} %", cv * 100.0);
    let counts = match potential.counts_cv {
        Some(cv) => format!("the counts {}", share(cv)),
        None => "buds were counted on fewer than four trees: the range holds the factors' spread alone and is too narrow"
            .to_owned(),
    };
    let names = ["fruit buds", "set", "fruit per cluster", "losses", "weight"];
    let parts: Vec<String> = (names.iter().zip(potential.factor_cv))
        .map(|(name, cv)| format!("{name} {}", share(cv)))
        .collect();
    vec![
        format!(
            "{} units a tree with {} buds each make {} buds a tree.",
            figure(crop.units.mean),
            figure(crop.buds_per_unit.mean),
            figure(potential.buds_per_tree)
        ),
        format!(
            "Why the range is so wide: {counts}; what is not known of this season: {} (each a spread around the mean).",
            parts.join(", ")
        ),
        "In four seasons of five the crop lies in the range (the 10 to 90 % points of a gamma distribution with the \
         product's mean and variance, the factors taken as independent). Fruit are smaller on trees that bear many, so the \
         real range is narrower at the top."
            .to_owned(),
    ]
}

/// What to leave to be back in balance soonest.
pub fn mend(mend: &Mend) -> Vec<String> {
    let when = match mend.balanced_in {
        Some(0) => "in balance this winter".to_owned(),
        Some(1) => "in balance next winter".to_owned(),
        Some(n) => format!("in balance in {n} winters"),
        None => "not in balance within four winters".to_owned(),
    };
    let mut said = vec![format!("Leave {} a tree: {when}.", pieces(mend.leave))];
    if mend.cut.iter().any(|n| *n >= 0.05) {
        said.push(format!("Of what is at hand, cut {}.", pieces(mend.cut)));
    }
    if mend.not_there.iter().any(|n| *n >= 0.05) {
        said.push(format!(
            "Short of what the rule asks for, as it is not there to be left: {}.",
            pieces(mend.not_there)
        ));
    }
    said
}

/// The winters in which older wood is held to fill a shortage; empty where there are none.
pub fn held(years: &[Year]) -> String {
    let held: Vec<String> = (years.iter())
        .filter_map(|year| {
            let account = year.account.filter(crate::outlook::Winter::holds)?;
            Some(format!(
                "{} ({})",
                winter_name(year.ahead),
                pieces(account.held)
            ))
        })
        .collect();
    if held.is_empty() {
        return String::new();
    }
    format!(
        "Older wood is held to fill a shortage of younger: {}.",
        list(&held)
    )
}

/// `this winter`, `next winter`, `in 2 winters`.
pub fn winter_name(ahead: usize) -> String {
    match ahead {
        0 => "this winter".to_owned(),
        1 => "next winter".to_owned(),
        n => format!("in {n} winters"),
    }
}

/// Where the number of units that the winters ahead go for comes from.
pub fn units_wanted(sheet: &OutlookSheet) -> String {
    let units = figure(sheet.units_wanted.unwrap_or(0.0));
    if sheet.units_from_aim {
        format!(
            "Aimed at are {units} units (two-year pieces) a tree: the block's aim asks for them."
        )
    } else {
        format!(
            "Aimed at are {units} units (two-year pieces) a tree, as were counted: no aim is set for this block."
        )
    }
}
