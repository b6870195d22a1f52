//! The sentences of a day sheet. Nothing is said here that the verdicts do not carry.

use super::Tongue;
use super::tongue::sentence;
use crate::judge::{BandKind, Metric, Verdict};
use crate::report::{
    BudFigures, DaySheet, GoBackLine, MarkLine, NotThere, Offered, Standing, WeekChange,
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
            Verdict::NothingBadlyWrong => self.say("status-fine", [("more", more.into())]),
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

    /// The reference tree that the pruner and the supervisor look at together.
    pub fn together(&self, tree: &MarkLine) -> String {
        let words = [
            ("block", tree.block_name.clone().into()),
            ("row", u32::from(tree.row).into()),
            ("tree", u32::from(tree.tree).into()),
        ];
        self.say("together", words)
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
        let with_shares = standing.judgement.metric(Metric::One).n;
        if with_shares < standing.trees {
            let trees = self.trees(with_shares);
            said.push(self.say("basis-shares", [("trees", trees.into())]));
        }
        if standing.in_part > 0 {
            let trees = self.trees(standing.in_part);
            said.push(self.say("basis-in-part", [("trees", trees.into())]));
        }
        if let Some(first) = sheet.counting.first() {
            let parts: Vec<_> = (sheet.counting.iter())
                .map(|caution| {
                    let share = self.percent(caution.counter_share.value);
                    let of = self.metric(caution.metric);
                    let words = [("share", share.into()), ("of", of.into())];
                    self.say("basis-counting-part", words)
                })
                .collect();
            let words = [
                ("trees", self.trees(first.pairs).into()),
                ("parts", self.list(&parts).into()),
            ];
            said.push(self.say("basis-counting", words));
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
        let (upright, thick) = (standing.upright_a_tree?, standing.thick_top_a_tree?);
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

    /// The blocks that a standing is about.
    pub fn in_blocks(&self, standing: &Standing) -> String {
        let blocks = self.list(&standing.blocks);
        self.say("day-sheet-blocks", [("blocks", blocks.into())])
    }

    /// Pieces on the average tree; none where none were counted.
    pub fn pieces_a_tree(&self, standing: &Standing) -> Option<String> {
        let pieces = self.decimal(standing.pieces_a_tree?, 1);
        Some(self.say("day-sheet-pieces", [("n", pieces.into())]))
    }

    /// Mean buds left on the units of a size; `-` where there are none.
    pub(super) fn mean_buds(&self, size: &BudFigures) -> String {
        (size.mean_left).map_or_else(|| "-".to_owned(), |mean| self.decimal(mean, 1))
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
        let redone = line.redone_on.map_or_else(String::new, |day| {
            let by = self.list(&line.redone_by);
            let said = [("pruner", by.into()), ("day", day.to_string().into())];
            format!(", {}", self.say("go-back-redone", said))
        });
        format!("{}{reason} -> {outcome}{redone}", parts.join(", "))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::orchard::Language;

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
