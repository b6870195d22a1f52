//! What a rule of the house means for the metrics.

use super::{Band, TreeFigures};
use crate::orchard::{Age, Buds, Rule, Size, Tally};

/// The bands that a rule sets, in the order of [`super::Metric::ALL`].
///
/// Ages that may stay have a target with a tolerance to either side; older ages only a most that may slip through.
pub fn bands(rule: &Rule) -> [Band; 5] {
    let target = rule.target();
    let age = |age: Age| {
        let tolerance = rule.tolerance[age.index()];
        if age > rule.oldest {
            Band::too_old(tolerance)
        } else {
            Band::kept(target[age.index()], tolerance)
        }
    };
    let [one, two, three, four_plus] = Age::ALL.map(age);
    [
        one,
        two,
        three,
        four_plus,
        Band::compliance(rule.compliance),
    ]
}

impl TreeFigures {
    /// A counted tree as judged under `rule`: its pieces by age, and its units by whether their buds keep the limit of
    /// their size.
    pub fn of(tally: &Tally, rule: &Rule) -> Self {
        let mut figures = Self {
            ages: tally.ages,
            ..Self::default()
        };
        for size in Size::ALL {
            let limit = rule.bud_limit(size);
            for (buds, units) in Buds::all().zip(tally.units[size.index()]) {
                figures.units += units;
                if limit.holds(buds) {
                    figures.units_within += units;
                }
            }
        }
        figures
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::judge::BandKind;
    use crate::orchard::{RuleDraft, Tap};

    #[test]
    fn the_default_rule_in_bands() {
        let found = bands(&Rule::default());
        for band in &found[..3] {
            assert_eq!(band.kind, BandKind::Kept);
            assert!((band.lo - (1.0 / 3.0 - 0.1)).abs() < 1e-12);
            assert!((band.hi - (1.0 / 3.0 + 0.1)).abs() < 1e-12);
        }
        assert_eq!(found[3], Band::too_old(0.05));
        assert_eq!(found[4], Band::compliance(0.80));
    }

    #[test]
    fn four_plus_is_kept_where_the_rule_lets_it_stay() {
        let rule = Rule::new(RuleDraft {
            parts: [3, 3, 3, 1],
            oldest: Age::FourPlus,
            ..RuleDraft::default()
        })
        .unwrap();
        let band = bands(&rule)[3];
        assert_eq!(band.kind, BandKind::Kept);
        assert!((band.target - 0.1).abs() < 1e-12 && (band.lo - 0.05).abs() < 1e-12);
    }

    #[test]
    fn three_year_wood_is_too_old_where_two_is_the_oldest() {
        let rule = Rule::new(RuleDraft {
            parts: [1, 1, 0, 0],
            oldest: Age::Two,
            ..RuleDraft::default()
        })
        .unwrap();
        assert_eq!(bands(&rule)[2], Band::too_old(0.10));
    }

    #[test]
    fn units_are_judged_by_the_limit_of_their_size() {
        let mut tally = Tally::default();
        let units = [
            (Size::Thin, 2),
            (Size::Thin, 3),
            (Size::Medium, 2),
            (Size::Thick, 4),
            (Size::Thick, 7),
        ];
        for (size, buds) in units {
            tally
                .add(Tap::Unit(size, Buds::new(buds).unwrap()))
                .unwrap();
        }
        tally.add(Tap::Piece(Age::Two)).unwrap();
        let found = TreeFigures::of(&tally, &Rule::default());
        assert_eq!(found.ages, [0, 1, 0, 0]);
        assert_eq!((found.units, found.units_within), (5, 2));
    }
}
