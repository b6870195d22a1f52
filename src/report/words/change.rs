//! What a day sheet asks to be changed, in sentences.

use super::Tongue;
use super::tongue::sentence;
use crate::judge::{BandKind, Metric, Verdict};
use crate::orchard::{Age, BudLimit};
use crate::report::{BudChange, Change, Standing, Swap};

impl Tongue {
    /// One sentence for each thing that a change asks for.
    pub fn change(&self, change: &Change, standing: &Standing) -> Vec<String> {
        match change {
            Change::Wood { asked, balance } => {
                let mut said: Vec<String> = asked
                    .iter()
                    .map(|asked| self.swap(*asked, standing.bands[asked.age.index()].kind))
                    .collect();
                let fewer = change.pieces().iter().sum::<i32>().unsigned_abs();
                let sure = asked.iter().any(|swap| swap.verdict.is_out());
                let balancing = self.balancing(balance, sure, fewer);
                if let (Some(last), Some(words)) = (said.last_mut(), balancing) {
                    last.push(' ');
                    last.push_str(&words);
                }
                said
            }
            Change::Buds {
                within,
                wanted,
                sizes,
            } => {
                let mut said = self.say(
                    "buds-within",
                    [
                        ("within", self.percent(*within).into()),
                        ("wanted", self.percent(*wanted).into()),
                    ],
                );
                for size in sizes {
                    said.push(' ');
                    said.push_str(&sentence(&self.buds_of(size)));
                }
                vec![said]
            }
        }
    }

    /// What is asked for one age, in pieces a tree. A leaning is told as one.
    pub fn swap(&self, swap: Swap, kind: BandKind) -> String {
        let n = swap.pieces.unsigned_abs();
        let key = match swap.verdict {
            Verdict::Light => "swap-light",
            Verdict::Heavy if kind == BandKind::TooOld => "swap-too-old",
            Verdict::Heavy => "swap-heavy",
            Verdict::LeaningLight => "swap-leaning-light",
            Verdict::LeaningHeavy => "swap-leaning-heavy",
            Verdict::InBalance | Verdict::NothingBadlyWrong | Verdict::KeepCounting => "swap-none",
        };
        sentence(&self.say(
            key,
            [
                ("n", n.into()),
                ("age", self.age_of(swap.age).into()),
                ("wood", self.metric(swap.age).into()),
                ("verdict", self.verdict(swap.age, swap.verdict).into()),
            ],
        ))
    }

    /// An age that is judged, as it stands beside pieces.
    fn age_of(&self, metric: Metric) -> &str {
        match metric {
            Metric::One => self.age(Age::One),
            Metric::Two => self.age(Age::Two),
            Metric::Three => self.age(Age::Three),
            Metric::FourPlus => self.age(Age::FourPlus),
            Metric::Buds => self.metric_short(metric),
        }
    }

    /// Where balancing pieces come from or go to; none where there are none. The tree keeps so many pieces fewer where
    /// not all that is to go has wood in its place.
    fn balancing(&self, balance: &[Swap], sure: bool, fewer: u32) -> Option<String> {
        if balance.is_empty() {
            return None;
        }
        let piece = |swap: &Swap| {
            let way = if swap.pieces < 0 {
                "balance-fewer"
            } else {
                "balance-more"
            };
            let n = swap.pieces.unsigned_abs();
            self.say(
                way,
                [("n", n.into()), ("age", self.age_of(swap.age).into())],
            )
        };
        let pieces = self.list(&balance.iter().map(piece).collect::<Vec<_>>());
        let pieces = ("pieces", pieces.into());
        Some(match (sure, fewer) {
            (true, 0) => self.say("balance-sure", [pieces]),
            (true, _) => self.say("balance-short", [pieces, ("n", fewer.into())]),
            (false, _) => self.say("balance-unsure", [pieces]),
        })
    }

    /// Buds by size: `thick units: left 5.6 on average, rule 4; leave fewer.`
    pub fn buds_of(&self, size: &BudChange) -> String {
        let limit = BudLimit {
            least: size.least,
            most: size.most,
        };
        let advice = if size.over >= 2 * size.under {
            "buds-leave-fewer"
        } else if size.under >= 2 * size.over {
            "buds-leave-more"
        } else {
            "buds-mixed"
        };
        self.say(
            "buds-of-size",
            [
                ("size", self.size(size.size).into()),
                ("left", self.decimal(size.mean_left, 1).into()),
                ("limit", limit.text().into()),
                ("advice", self.label(advice).into()),
            ],
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::orchard::Language;

    fn told(language: Language, age: Metric, verdict: Verdict, pieces: i32) -> String {
        let asked = Swap {
            age,
            pieces,
            verdict,
        };
        let kind = match age {
            Metric::FourPlus => BandKind::TooOld,
            _ => BandKind::Kept,
        };
        Tongue::of(language).swap(asked, kind)
    }

    #[test]
    fn amounts_below_one_piece_are_not_told_as_none() {
        let told = |verdict, pieces| told(Language::En, Metric::One, verdict, pieces);
        assert_eq!(
            told(Verdict::LeaningLight, 0),
            "One-year wood looks light: it seems less than a piece a tree too few."
        );
        assert_eq!(
            told(Verdict::LeaningHeavy, -1),
            "One-year wood looks heavy: it seems about 1 piece a tree too many."
        );
        assert_eq!(
            told(Verdict::Light, 0),
            "Leave a little more one-year wood, less than a piece a tree."
        );
    }

    #[test]
    fn amounts_in_spanish() {
        let told = |age, verdict, pieces| told(Language::Es, age, verdict, pieces);
        for (pieces, said) in [
            (
                0,
                "Deje un poco más de madera de un año: menos de una rama por árbol.",
            ),
            (1, "Deje más ramas de un año: cerca de 1 más por árbol."),
            (2, "Deje más ramas de un año: unas 2 más por árbol."),
            (5, "Deje más ramas de un año: unas 5 más por árbol."),
        ] {
            assert_eq!(told(Metric::One, Verdict::Light, pieces), said);
        }
        for (pieces, said) in [
            (
                -1,
                "Quite cerca de 1 rama de cuatro años o más por árbol: es más vieja de lo que puede quedar.",
            ),
            (
                -5,
                "Quite unas 5 ramas de cuatro años o más por árbol: son más viejas de lo que puede quedar.",
            ),
        ] {
            assert_eq!(told(Metric::FourPlus, Verdict::Heavy, pieces), said);
        }
        assert_eq!(
            told(Metric::Two, Verdict::LeaningHeavy, -1),
            "Parece sobrar madera de dos años: cerca de 1 rama por árbol."
        );
    }
}
