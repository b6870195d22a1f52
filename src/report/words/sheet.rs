//! The sentences of a day sheet. Nothing is said here that the verdicts do not carry.

use super::Tongue;
use super::tongue::sentence;
use crate::judge::{BandKind, Metric, Verdict};
use crate::orchard::{Age, BudLimit};
use crate::report::{
    BudChange, Change, DaySheet, GoBackLine, NotThere, Offered, Standing, Swap, WeekChange,
};

impl Tongue {
    /// How the pruner stands, in a sentence or two.
    pub fn status(&self, sheet: &DaySheet) -> String {
        let judgement = &sheet.standing.judgement;
        let whole = sentence(&self.overall(judgement));
        let more = self.more(judgement.more);
        match judgement.overall {
            Verdict::KeepCounting if sheet.standing.trees == 0 => {
                self.label("status-none").to_owned()
            }
            Verdict::KeepCounting => self.say("status-counting", [("more", more.into())]),
            Verdict::LeaningLight | Verdict::LeaningHeavy => self.say(
                "status-leaning",
                [("whole", whole.into()), ("more", more.into())],
            ),
            Verdict::InBalance | Verdict::Light | Verdict::Heavy => {
                self.say("status-found", [("whole", whole.into())])
            }
        }
    }

    /// What is right: only what is in balance with evidence, and neutral words where nothing is.
    pub fn right(&self, sheet: &DaySheet) -> Vec<String> {
        let standing = &sheet.standing;
        if standing.judgement.overall == Verdict::InBalance {
            return vec![self.label("right-all").to_owned()];
        }
        let of_kind = |kind: BandKind| -> Vec<Metric> {
            (sheet.right.iter().copied())
                .filter(|m| standing.bands[m.index()].kind == kind)
                .collect()
        };
        let mut within = of_kind(BandKind::TooOld);
        within.extend(of_kind(BandKind::Compliance));
        let said: Vec<String> = [
            ("right-balance", of_kind(BandKind::Kept)),
            ("right-within", within),
        ]
        .into_iter()
        .filter(|(_, metrics)| !metrics.is_empty())
        .map(|(key, metrics)| self.said_of(key, &metrics))
        .collect();
        match (said.is_empty(), standing.trees) {
            (false, _) => said,
            (true, 0) => vec![self.label("right-not-known").to_owned()],
            (true, n) => vec![self.say("right-not-settled", [("n", n.into())])],
        }
    }

    fn said_of(&self, key: &'static str, metrics: &[Metric]) -> String {
        // buds are many even where they are the only thing
        let n = metrics.len() + usize::from(metrics.contains(&Metric::Buds));
        let metrics: Vec<_> = metrics.iter().map(|m| self.metric_the(*m)).collect();
        let metrics = self.list(&metrics);
        sentence(&self.say(key, [("n", n.into()), ("metrics", metrics.into())]))
    }

    /// One sentence for each thing that a change asks for.
    pub fn change(&self, change: &Change, standing: &Standing) -> Vec<String> {
        match change {
            Change::Wood { asked, balance } => {
                let mut said: Vec<String> = asked
                    .iter()
                    .map(|asked| self.swap(*asked, standing.bands[asked.age.index()].kind))
                    .collect();
                let sure = asked.iter().any(|swap| swap.verdict.is_out());
                if let (Some(last), Some(words)) = (said.last_mut(), self.balancing(balance, sure))
                {
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
            Verdict::InBalance | Verdict::KeepCounting => "swap-none",
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

    /// Light wood that was not there to be left.
    pub fn not_there(&self, line: &NotThere) -> String {
        sentence(&self.say(
            "not-there",
            [
                ("wood", self.metric(line.age).into()),
                ("offered", self.decimal(line.offered, 1).into()),
                ("left", self.decimal(line.left, 1).into()),
            ],
        ))
    }

    /// What stands below the changes where more is asked for.
    pub fn only_where_offered(&self, offered: Option<&Offered>) -> String {
        match offered {
            None => self.label("where-offered").to_owned(),
            Some(offered) => self.say("where-counted", [("n", offered.trees.into())]),
        }
    }

    /// Where balancing pieces come from or go to; none where there are none.
    fn balancing(&self, balance: &[Swap], sure: bool) -> Option<String> {
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
        let key = if sure {
            "balance-sure"
        } else {
            "balance-unsure"
        };
        Some(self.say(key, [("pieces", pieces.into())]))
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

    /// What is not settled yet; empty where all is.
    pub fn open(&self, sheet: &DaySheet) -> String {
        if sheet.open.is_empty() || sheet.standing.trees == 0 {
            return String::new();
        }
        let metrics = self.metrics(&sheet.open);
        self.say("open-metrics", [("metrics", metrics.into())])
    }

    /// What the sheet rests on, and what to keep in mind about it.
    pub fn basis(&self, sheet: &DaySheet) -> Vec<String> {
        let standing = &sheet.standing;
        let by_eye = standing.trees - standing.drawn;
        let today = sheet.today.as_ref().map_or(0, |today| today.trees);
        let mut said = vec![self.say(
            "basis-judged",
            [
                ("trees", self.trees(standing.trees).into()),
                ("drawn", standing.drawn.into()),
                ("eye", by_eye.into()),
                ("today", self.trees(today).into()),
            ],
        )];
        if sheet.mostly_by_eye {
            said.push(self.label("basis-by-eye").to_owned());
        }
        if standing.in_part > 0 {
            let trees = self.trees(standing.in_part);
            said.push(self.say("basis-in-part", [("trees", trees.into())]));
        }
        said
    }

    /// A change from last week that the evidence carries.
    pub fn week(&self, week: &WeekChange) -> String {
        let key = if week.better {
            "week-nearer"
        } else {
            "week-farther"
        };
        self.say(
            key,
            [
                ("metric", sentence(self.metric(week.metric)).into()),
                ("now", self.percent(week.now).into()),
                ("trees-now", self.trees(week.trees_now).into()),
                ("before", self.percent(week.before).into()),
                ("trees-before", self.trees(week.trees_before).into()),
            ],
        )
    }

    /// What is counted beside the rule, and part of no verdict; none where nothing is.
    pub fn for_information(&self, standing: &Standing) -> Option<String> {
        let (upright, thick) = (standing.upright_a_tree, standing.thick_top_a_tree);
        (upright + thick > 0.0).then(|| {
            self.say(
                "day-sheet-information",
                [
                    ("upright", self.decimal(upright, 1).into()),
                    ("thick", self.decimal(thick, 1).into()),
                ],
            )
        })
    }

    /// A row that was sent back, with what came of it; with its pruner where that is not clear from around it.
    pub fn go_back(&self, line: &GoBackLine, with_pruner: bool) -> String {
        let mut parts = vec![self.say(
            "go-back-row",
            [
                ("block", line.block_name.as_str().into()),
                ("row", line.row.into()),
            ],
        )];
        if with_pruner {
            parts.push(line.pruner_shown.clone());
        }
        parts.push(self.say("go-back-sent", [("day", line.day.to_string().into())]));
        let reason = match line.reason.as_str() {
            "" => String::new(),
            reason => format!(": {reason}"),
        };
        let outcome = match (line.outcome, line.settled_on) {
            (Some(outcome), Some(day)) => format!("{} {day}", self.outcome(outcome)),
            _ => self.label("go-back-open").to_owned(),
        };
        format!("{}{reason} -> {outcome}", parts.join(", "))
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
            (0, "Deje un poco más de madera de un año: menos de una rama por árbol."),
            (1, "Deje más ramas de un año: cerca de 1 más por árbol."),
            (2, "Deje más ramas de un año: unas 2 más por árbol."),
            (5, "Deje más ramas de un año: unas 5 más por árbol."),
        ] {
            assert_eq!(told(Metric::One, Verdict::Light, pieces), said);
        }
        for (pieces, said) in [
            (-1, "Quite cerca de 1 rama de cuatro años o más por árbol: es más vieja de lo que puede quedar."),
            (-5, "Quite unas 5 ramas de cuatro años o más por árbol: son más viejas de lo que puede quedar."),
        ] {
            assert_eq!(told(Metric::FourPlus, Verdict::Heavy, pieces), said);
        }
        assert_eq!(
            told(Metric::Two, Verdict::LeaningHeavy, -1),
            "Parece sobrar madera de dos años: cerca de 1 rama por árbol."
        );
    }

    #[test]
    fn subjects_agree_with_their_verbs() {
        let said = |metrics: &[Metric]| {
            [Language::En, Language::Es].map(|of| Tongue::of(of).said_of("right-within", metrics))
        };
        assert_eq!(
            said(&[Metric::FourPlus]),
            [
                "Four-plus wood is within the rule.",
                "La madera de cuatro años o más cumple la regla."
            ]
        );
        assert_eq!(
            said(&[Metric::Buds]),
            ["Buds are within the rule.", "Las yemas cumplen la regla."]
        );
        assert_eq!(
            said(&[Metric::FourPlus, Metric::Buds]),
            [
                "Four-plus wood and buds are within the rule.",
                "La madera de cuatro años o más y las yemas cumplen la regla."
            ]
        );
    }
}
