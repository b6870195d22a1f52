//! Brief and outlook in words.

use super::{list, metric_short, sentence, trees};
use crate::judge::Metric;
use crate::orchard::Age;
use crate::outlook::{Brief, ByAge, Mend, Target, Year};
use crate::report::{BriefSheet, Left, OutlookSheet, Taken};

/// A number with as many decimals as it deserves: `195`, `32.5`, `0.60`.
pub fn figure(value: f64) -> String {
    match value.abs() {
        small if small < 10.0 => format!("{value:.2}"),
        middle if middle < 100.0 => format!("{value:.1}"),
        _ => format!("{value:.0}"),
    }
}

/// An aim: `65 t/ha`, `195 fruit a tree`, `4.5 fruit per cm² of trunk (girth 31 cm)`.
pub fn aim(target: Target) -> String {
    match target {
        Target::TonnesPerHa(tonnes) => format!("{tonnes} t/ha"),
        Target::FruitPerTree(fruit) => format!("{fruit} fruit a tree"),
        Target::FruitPerTcsa {
            fruit_per_cm2,
            girth_cm,
        } => format!("{fruit_per_cm2} fruit per cm² of trunk (girth {girth_cm} cm)"),
    }
}

/// Said where there is no brief.
pub const NO_BRIEF: &str = "No brief: no block is entered yet.";
/// Said where there is no outlook.
pub const NO_OUTLOOK: &str = "No outlook: no block is entered yet.";
/// Said where a block has no aim.
pub const NO_AIM: &str =
    "No aim is set for this block: set one on the Outlook screen (F7), under Entries.";

/// The trees that a brief is for, and the harvest.
pub fn brief_for(sheet: &BriefSheet) -> String {
    format!(
        "{:.0} trees/ha, {} a tree. For the harvest of {}.",
        sheet.trees_per_ha,
        super::plural(u32::from(sheet.stems), "stem", "stems"),
        sheet.season
    )
}

/// An aim and what it yields: `65 t/ha: 65.0 t/ha, 39.0 kg a tree`.
pub fn aim_yields(target: Target, brief: &Brief) -> String {
    format!(
        "{}: {} t/ha, {} kg a tree",
        aim(target),
        figure(brief.tonnes_per_ha),
        figure(brief.kg_per_tree)
    )
}

/// What to leave, line by line: its name, the figure a tree and the figure a stem.
pub fn to_leave(sheet: &BriefSheet, brief: &Brief) -> Vec<[String; 3]> {
    let (tree, stem) = (&brief.tree, &brief.stem);
    let line = |name: &str, tree: f64, stem: f64| [name.to_owned(), figure(tree), figure(stem)];
    let mut lines = vec![
        line("Fruit harvested", tree.fruit, stem.fruit),
        line("Fruit after thinning", tree.fruit_set, stem.fruit_set),
        line("Clusters kept", tree.clusters, stem.clusters),
        line("Fruit buds", tree.fruit_buds, stem.fruit_buds),
        line("Buds, as they are counted", tree.buds, stem.buds),
        line("Units (two-year pieces)", tree.units, stem.units),
    ];
    for age in Age::ALL {
        let at = age.index();
        if sheet.rule_target[at] > 0.0 {
            let name = format!("  pieces of {} wood", age.word());
            lines.push(line(&name, tree.pieces[at], stem.pieces[at]));
        }
    }
    lines.push(line(
        "  and one-year for next winter's losses",
        tree.extra_one_year,
        stem.extra_one_year,
    ));
    lines
}

/// The bud rule, and the buds a unit that the brief goes by.
pub fn buds_by_rule(sheet: &BriefSheet) -> String {
    format!(
        "Buds by the rule: {}. Here {} a unit: {}. Mean figures: half of the seasons give less.",
        sheet.bud_rule,
        figure(sheet.buds_per_unit),
        sheet.buds_from
    )
}

/// Yields by season; empty where none is entered.
pub fn yields(sheet: &BriefSheet) -> String {
    if sheet.yields.is_empty() {
        return String::new();
    }
    let yields: Vec<String> = (sheet.yields.iter())
        .map(|line| format!("{} {}", line.season, figure(line.amount)))
        .collect();
    format!("Yields, t/ha: {}.", yields.join(", "))
}

/// A range: `12.0 to 15.5`.
pub fn range(lo: f64, hi: f64) -> String {
    format!("{} to {}", figure(lo), figure(hi))
}

/// What is taken otherwise; empty where nothing is.
pub fn what_if(what_if: &Taken) -> String {
    let mut taken = Vec::new();
    taken.extend(what_if.aim.map(aim));
    let numbers = [
        ("fruit weight, g", what_if.fruit_weight_g),
        ("clusters kept per fruit bud", what_if.set),
        ("buds a unit", what_if.buds_per_unit),
    ];
    for (name, value) in numbers {
        taken.extend(value.map(|value| format!("{name} {}", figure(value))));
    }
    if taken.is_empty() {
        return String::new();
    }
    format!("Taken here, not stored: {}.", taken.join(", "))
}

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

/// Alternate bearing of a block, in sentences.
pub fn bearing(sheet: &BriefSheet) -> Vec<String> {
    let mut said = Vec::new();
    match sheet.bearing {
        None => said.push(
            "Alternate bearing: not known; it takes the yields of two seasons that follow each other."
                .to_owned(),
        ),
        Some(found) => said.push(format!(
            "Alternate bearing: {:.2} as the mean of ratios (form: University of Georgia, pecan breeding pages), {:.2} \
             as the ratio of sums (form from memory: Hoblyn et al. 1936), over {}. 0 is no swing, 1 a crop every other \
             year.",
            found.mean_of_ratios,
            found.ratio_of_sums,
            super::plural(found.pairs, "pair of seasons", "pairs of seasons")
        )),
    }
    if !sheet.caution.is_empty() {
        said.push(format!("CAUTION: {}", sheet.caution));
    }
    said
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
        "{}: {} t/ha (10-90 %: {})",
        crop_of(sheet),
        figure(tonnes.mean),
        range(tonnes.lo, tonnes.hi)
    )
}

/// What the counts of a block rest on.
pub fn counted(left: Option<&Left>) -> String {
    let Some(left) = left else {
        return "No tree was counted after pruning: there is no crop to work out yet.".to_owned();
    };
    let part = match left.in_part {
        0 => String::new(),
        some => format!(" ({some} on some stems only, scaled up by stems)"),
    };
    let before = match left.offered {
        None => "Fewer than four trees were counted before pruning, so nothing more than what was left is taken to \
                 have been there."
            .to_owned(),
        Some(offered) => format!("{} counted before pruning.", trees(offered.trees)),
    };
    format!(
        "{} counted after pruning{part}. {before}",
        trees(left.trees)
    )
}

/// What the crop's range rests on.
pub fn crop_rests_on(sheet: &OutlookSheet) -> Vec<String> {
    let Some(crop) = &sheet.crop else {
        return vec!["No buds were counted on units, so no crop can be worked out.".to_owned()];
    };
    let potential = &crop.potential;
    let share = |cv: f64| format!("{:.0} %", cv * 100.0);
    let counts = match potential.counts_cv {
        Some(cv) => format!("the counts bring in {}", share(cv)),
        None => "fewer than four trees were counted: the range holds the factors' spread alone and is too narrow"
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
            "Of the spread (standard deviation over mean) {counts}; the factors: {}.",
            parts.join(", ")
        ),
        "The range is the 10 to 90 % points of a gamma distribution with the product's mean and variance, the factors \
         taken as independent. Fruit are smaller on trees that bear many, which makes the real range narrower at the top."
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
            "Not there to be left: {} short of what the rule asks for.",
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
        format!("The rule goes for {units} units a tree, as the block's aim asks for.")
    } else {
        format!(
            "The rule goes for {units} units a tree, those that were counted: no aim is set for this block."
        )
    }
}

/// Growth and losses in a sentence.
pub fn growth(line: &crate::report::GrowthLine) -> String {
    let kept: Vec<String> = line
        .survival
        .iter()
        .map(|share| format!("{:.0}", share * 100.0))
        .collect();
    let grown = line.grown.map_or_else(
        || "new one-year wood not known".to_owned(),
        |grown| format!("{} new one-year pieces a tree each winter", figure(grown)),
    );
    sentence(&format!(
        "{grown}; of 100 pieces of each age, youngest first, {} are there a winter later. Source: {}.",
        kept.join(", "),
        line.source
    ))
}
