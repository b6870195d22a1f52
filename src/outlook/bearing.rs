//! Alternate bearing: how far yields swing from one season to the next.

use std::collections::BTreeMap;

use crate::orchard::{Invalid, within};
use schemars::JsonSchema;
use serde::Serialize;

/// From this share of the mean of the other seasons on, the last season was heavy. From memory: no source.
const HEAVY_FROM: f64 = 1.25;
/// Up to this share of the mean of the other seasons, the last season was light. From memory: no source.
const LIGHT_TO: f64 = 0.75;

/// Yield of one season, in any unit that is the same for all (t/ha, kg a tree).
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct SeasonYield {
    /// Year of the harvest.
    pub season: i32,
    /// The yield, 0 to 1,000,000.
    pub amount: f64,
}

/// Both forms of the index over the pairs of seasons that follow each other. 0: no swing; 1: a crop every other year.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct AlternateBearing {
    /// Mean of ratios: 1 / (n − 1) × Σ |a(i+1) − a(i)| / (a(i+1) + a(i)). Source of the form: University of Georgia,
    /// pecan breeding pages.
    pub mean_of_ratios: f64,
    /// Ratio of sums: Σ |a(i+1) − a(i)| / Σ (a(i+1) + a(i)). Source of the form, from memory: Hoblyn et al. 1936,
    /// Journal of Pomology 14:39-76. Heavy years weigh more in it.
    pub ratio_of_sums: f64,
    /// Pairs of seasons that the index rests on.
    pub pairs: u32,
    /// Pairs left out: a season between them is missing, or neither bore anything.
    pub left_out: u32,
}

/// Seasons in order. Refuses a yield that cannot be and a season that is entered twice.
fn in_order(yields: &[SeasonYield]) -> Result<BTreeMap<i32, f64>, Invalid> {
    let mut seasons = BTreeMap::new();
    for entry in yields {
        within("yield", entry.amount, &(0.0..=1_000_000.0))?;
        if seasons.insert(entry.season, entry.amount).is_some() {
            return Err(Invalid::new(
                "season",
                format!("{} is entered twice", entry.season),
            ));
        }
    }
    Ok(seasons)
}

/// The index over yields by season, in any order. Only seasons that follow each other make a pair; none where there is
/// no such pair.
pub fn alternate_bearing(yields: &[SeasonYield]) -> Result<Option<AlternateBearing>, Invalid> {
    let seasons: Vec<(i32, f64)> = in_order(yields)?.into_iter().collect();
    let (mut ratios, mut differences, mut sums) = (0.0, 0.0, 0.0);
    let (mut pairs, mut left_out) = (0_u32, 0);
    for pair in seasons.windows(2) {
        let [(year, before), (next, after)] = [pair[0], pair[1]];
        let sum = before + after;
        if next != year.saturating_add(1) || sum <= 0.0 {
            left_out += 1;
            continue;
        }
        let difference = (after - before).abs();
        ratios += difference / sum;
        differences += difference;
        sums += sum;
        pairs += 1;
    }
    Ok((pairs > 0).then(|| AlternateBearing {
        mean_of_ratios: ratios / f64::from(pairs),
        ratio_of_sums: differences / sums,
        pairs,
        left_out,
    }))
}

impl Caution {
    /// Last season over the mean of the others; none where it is not known.
    pub fn ratio(self) -> Option<f64> {
        match self {
            Self::NotKnown => None,
            Self::Usual { ratio } | Self::Heavy { ratio } | Self::Light { ratio } => Some(ratio),
        }
    }
}

/// What the last season means for the brief.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case", tag = "last_season")]
pub enum Caution {
    /// Fewer than two other seasons to compare the last one with, or the last season's yield is not entered.
    NotKnown,
    /// The last season was neither heavy nor light.
    Usual {
        /// Last season over the mean of the others.
        ratio: f64,
    },
    /// The last season was heavy: fruit buds may be few.
    Heavy {
        /// Last season over the mean of the others.
        ratio: f64,
    },
    /// The last season was light: fruit buds may be many.
    Light {
        /// Last season over the mean of the others.
        ratio: f64,
    },
}

/// Compares season `last` with the mean of the seasons before it, of which there must be two.
pub fn caution(yields: &[SeasonYield], last: i32) -> Result<Caution, Invalid> {
    let seasons = in_order(yields)?;
    let others: Vec<f64> = seasons.range(..last).map(|(_, amount)| *amount).collect();
    let mean = others.iter().sum::<f64>() / others.len().max(1) as f64;
    let Some(amount) = seasons
        .get(&last)
        .filter(|_| others.len() >= 2 && mean > 0.0)
    else {
        return Ok(Caution::NotKnown);
    };
    let ratio = amount / mean;
    Ok(if ratio >= HEAVY_FROM {
        Caution::Heavy { ratio }
    } else if ratio <= LIGHT_TO {
        Caution::Light { ratio }
    } else {
        Caution::Usual { ratio }
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn yields(list: &[(i32, f64)]) -> Vec<SeasonYield> {
        list.iter()
            .map(|&(season, amount)| SeasonYield { season, amount })
            .collect()
    }

    #[test]
    fn a_crop_every_other_year_is_one_and_an_even_crop_is_nought() {
        let swing = yields(&[(2001, 0.0), (2002, 60.0), (2003, 0.0), (2004, 60.0)]);
        let found = alternate_bearing(&swing).unwrap().unwrap();
        assert_eq!(
            (found.mean_of_ratios, found.ratio_of_sums, found.pairs),
            (1.0, 1.0, 3)
        );
        let even = alternate_bearing(&yields(&[(2001, 40.0), (2002, 40.0)]))
            .unwrap()
            .unwrap();
        assert_eq!((even.mean_of_ratios, even.ratio_of_sums), (0.0, 0.0));
    }

    #[test]
    fn seasons_on_both_sides_of_a_gap_make_no_pair() {
        let found = alternate_bearing(&yields(&[
            (2005, 30.0),
            (2001, 10.0),
            (2002, 30.0),
            (2004, 90.0),
        ]));
        let found = found.unwrap().unwrap();
        assert_eq!((found.pairs, found.left_out), (2, 1));
        assert!((found.mean_of_ratios - 0.5).abs() < 1e-12);
        assert!((found.ratio_of_sums - 80.0 / 160.0).abs() < 1e-12);
        assert_eq!(
            alternate_bearing(&yields(&[(2001, 10.0), (2003, 30.0)])).unwrap(),
            None
        );
    }

    #[test]
    fn slips_are_refused() {
        let twice = alternate_bearing(&yields(&[(2001, 10.0), (2001, 12.0)])).unwrap_err();
        assert_eq!(twice.field, "season");
        let negative = alternate_bearing(&yields(&[(2001, -1.0)])).unwrap_err();
        assert_eq!(negative.field, "yield");
    }

    #[test]
    fn the_brief_is_cautioned_after_a_heavy_and_a_light_season() {
        let list = yields(&[
            (2001, 40.0),
            (2002, 42.0),
            (2003, 60.0),
            (2004, 20.0),
            (2005, 41.0),
        ]);
        assert!(
            matches!(caution(&list, 2003).unwrap(), Caution::Heavy { ratio } if (ratio - 60.0 / 41.0).abs() < 1e-12)
        );
        assert!(matches!(
            caution(&list, 2004).unwrap(),
            Caution::Light { .. }
        ));
        assert!(matches!(
            caution(&list, 2005).unwrap(),
            Caution::Usual { .. }
        ));
        assert_eq!(caution(&list, 2002).unwrap(), Caution::NotKnown);
        assert_eq!(caution(&list, 2006).unwrap(), Caution::NotKnown);
    }

    proptest! {
        #[test]
        fn both_indices_stay_between_none_and_complete(amounts in proptest::collection::vec(0.0..500.0_f64, 2..12)) {
            let list: Vec<_> = amounts.iter().zip(1990..).map(|(&amount, season)| SeasonYield { season, amount }).collect();
            if let Some(found) = alternate_bearing(&list).unwrap() {
                prop_assert!((0.0..=1.0).contains(&found.mean_of_ratios));
                prop_assert!((0.0..=1.0).contains(&found.ratio_of_sums));
                prop_assert_eq!(found.pairs + found.left_out, amounts.len() as u32 - 1);
            }
        }
    }
}
