//! Names of what is counted, of what a rule accepts, and of verdicts.

use super::Tongue;
use super::tongue::whole;
use crate::judge::{Band, BandKind, Interval, Judgement, Metric, More, Verdict};
use crate::orchard::{Age, BudLimit, Outcome, Size};

impl Tongue {
    /// A metric's name within a sentence: `one-year wood`, `buds`.
    pub fn metric(&self, metric: Metric) -> &str {
        self.label(match metric {
            Metric::One => "metric-one",
            Metric::Two => "metric-two",
            Metric::Three => "metric-three",
            Metric::FourPlus => "metric-four-plus",
            Metric::Buds => "metric-buds",
        })
    }

    /// A metric's name as the subject of a sentence: with its article, in languages that want one.
    pub fn metric_the(&self, metric: Metric) -> &str {
        self.label(match metric {
            Metric::One => "metric-the-one",
            Metric::Two => "metric-the-two",
            Metric::Three => "metric-the-three",
            Metric::FourPlus => "metric-the-four-plus",
            Metric::Buds => "metric-the-buds",
        })
    }

    /// A metric's name where a column is narrow: `one-year`, `buds`.
    pub fn metric_short(&self, metric: Metric) -> &str {
        self.label(match metric {
            Metric::One => "metric-short-one",
            Metric::Two => "metric-short-two",
            Metric::Three => "metric-short-three",
            Metric::FourPlus => "metric-short-four-plus",
            Metric::Buds => "metric-short-buds",
        })
    }

    /// An age as it stands beside pieces or wood: `one-year`.
    pub fn age(&self, age: Age) -> &str {
        self.label(match age {
            Age::One => "age-one",
            Age::Two => "age-two",
            Age::Three => "age-three",
            Age::FourPlus => "age-four-plus",
        })
    }

    /// The head of an age's column: `1-year`.
    pub fn age_column(&self, age: Age) -> &str {
        self.label(match age {
            Age::One => "age-column-one",
            Age::Two => "age-column-two",
            Age::Three => "age-column-three",
            Age::FourPlus => "age-column-four-plus",
        })
    }

    /// A size of unit: `thin`.
    pub fn size(&self, size: Size) -> &str {
        self.label(match size {
            Size::Thin => "size-thin",
            Size::Medium => "size-medium",
            Size::Thick => "size-thick",
        })
    }

    /// Buds that may stay, by size: `thin 2, medium 3, thick 4`.
    pub fn bud_rule(&self, limits: &[BudLimit; 3]) -> String {
        let size = |size: Size| format!("{} {}", self.size(size), limits[size.index()].text());
        Size::ALL.map(size).join(", ")
    }

    /// What came of a row that was sent back: `mended`.
    pub fn outcome(&self, outcome: Outcome) -> &str {
        self.label(match outcome {
            Outcome::Mended => "outcome-mended",
            Outcome::StillWrong => "outcome-still-wrong",
            Outcome::LeftAsIs => "outcome-left-as-is",
        })
    }

    /// The verdict on one metric. Of buds, too low a compliance is `off the rule`: `light` would be read as too few.
    pub fn verdict(&self, metric: Metric, verdict: Verdict) -> &str {
        let buds = metric == Metric::Buds;
        self.label(match (buds, verdict) {
            (false, Verdict::InBalance) => "verdict-wood-in-balance",
            (false, Verdict::Light) => "verdict-wood-light",
            (false, Verdict::Heavy) => "verdict-wood-heavy",
            (false, Verdict::LeaningLight) => "verdict-wood-leaning-light",
            (false, Verdict::LeaningHeavy) => "verdict-wood-leaning-heavy",
            (_, Verdict::NothingBadlyWrong) => "verdict-nothing-badly-wrong",
            (false, Verdict::KeepCounting) => "verdict-wood-keep-counting",
            (true, Verdict::InBalance) => "verdict-buds-in-balance",
            (true, Verdict::Light) => "verdict-buds-light",
            (true, Verdict::Heavy) => "verdict-buds-heavy",
            (true, Verdict::LeaningLight) => "verdict-buds-leaning-light",
            (true, Verdict::LeaningHeavy) => "verdict-buds-leaning-heavy",
            (true, Verdict::KeepCounting) => "verdict-buds-keep-counting",
        })
    }

    /// A whole verdict with what it rests on: `light (one-year wood)`, `off the rule (buds)`, `in balance`.
    pub fn whole(&self, overall: Verdict, lead: Option<Metric>) -> String {
        let Some(lead) = lead else {
            return self.verdict(Metric::One, overall).to_owned();
        };
        let buds = lead == Metric::Buds;
        let key = match (buds, overall) {
            (false, Verdict::InBalance) => "whole-wood-in-balance",
            (false, Verdict::Light) => "whole-wood-light",
            (false, Verdict::Heavy) => "whole-wood-heavy",
            (false, Verdict::LeaningLight) => "whole-wood-leaning-light",
            (false, Verdict::LeaningHeavy) => "whole-wood-leaning-heavy",
            (_, Verdict::NothingBadlyWrong) => "verdict-nothing-badly-wrong",
            (false, Verdict::KeepCounting) => "whole-wood-keep-counting",
            (true, Verdict::InBalance) => "whole-buds-in-balance",
            (true, Verdict::Light) => "whole-buds-light",
            (true, Verdict::Heavy) => "whole-buds-heavy",
            (true, Verdict::LeaningLight) => "whole-buds-leaning-light",
            (true, Verdict::LeaningHeavy) => "whole-buds-leaning-heavy",
            (true, Verdict::KeepCounting) => "whole-buds-keep-counting",
        };
        self.say(key, [("metric", self.metric(lead).into())])
    }

    /// The whole verdict of a judgement, as [`Tongue::whole`].
    pub fn overall(&self, judgement: &Judgement) -> String {
        self.whole(judgement.overall, judgement.lead)
    }

    /// What a rule accepts: `23-43 %`, `to 5 %`, `from 80 %`.
    pub fn band(&self, band: Band) -> String {
        let (lo, hi) = (whole(band.lo), whole(band.hi));
        match band.kind {
            BandKind::Kept => self.say("band-kept", [("lo", lo.into()), ("hi", hi.into())]),
            BandKind::TooOld => self.say("band-too-old", [("hi", hi.into())]),
            BandKind::Compliance => self.say("band-compliance", [("lo", lo.into())]),
        }
    }

    /// An interval of shares: `10-22 %`; `not yet` where nothing is known.
    pub fn interval(&self, interval: Interval) -> String {
        if interval.width() >= 1.0 {
            return self.label("interval-open").to_owned();
        }
        let (lo, hi) = (whole(interval.lo), whole(interval.hi));
        self.say("interval-known", [("lo", lo.into()), ("hi", hi.into())])
    }

    /// How many more trees: `about 10 more trees`, `too close to call yet`; empty where there is a verdict.
    pub fn more(&self, more: More) -> String {
        match more {
            More::Settled => String::new(),
            More::About(trees) => self.say("more-about", [("n", trees.into())]),
            More::TooClose => self.label("more-too-close").to_owned(),
            More::Unknown => self.label("more-unknown").to_owned(),
            More::NotLookedAt => self.label("more-not-looked-at").to_owned(),
        }
    }

    /// `1 tree`, `5 trees`.
    pub fn trees(&self, n: u32) -> String {
        self.say("trees", [("n", n.into())])
    }

    /// Metric names in a row.
    pub fn metrics(&self, metrics: &[Metric]) -> String {
        self.list(&metrics.iter().map(|m| self.metric(*m)).collect::<Vec<_>>())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::orchard::Language;

    #[test]
    fn verdicts_in_words() {
        let words = Tongue::english();
        assert_eq!(
            words.whole(Verdict::Light, Some(Metric::One)),
            "light (one-year wood)"
        );
        assert_eq!(
            words.whole(Verdict::Light, Some(Metric::Buds)),
            "off the rule (buds)"
        );
        assert_eq!(words.whole(Verdict::InBalance, None), "in balance");
        assert_eq!(words.more(More::About(10)), "about 10 more trees");
        assert_eq!(words.more(More::TooClose), "too close to call yet");
        assert_eq!(words.more(More::NotLookedAt), "look at the others first");
        assert_eq!(words.more(More::Settled), "");
        let spanish = Tongue::of(Language::Es);
        assert_eq!(
            spanish.whole(Verdict::Light, Some(Metric::Two)),
            "falta madera de dos años"
        );
    }

    /// The words that files and data hold are the words of English sheets.
    #[test]
    fn english_says_what_files_say() {
        let words = Tongue::english();
        for verdict in [
            Verdict::InBalance,
            Verdict::Light,
            Verdict::Heavy,
            Verdict::LeaningLight,
            Verdict::LeaningHeavy,
            Verdict::KeepCounting,
        ] {
            assert_eq!(words.verdict(Metric::One, verdict), verdict.word());
        }
        for age in Age::ALL {
            assert_eq!(words.age(age), age.word());
        }
        for size in Size::ALL {
            assert_eq!(words.size(size), size.word());
        }
        for outcome in Outcome::ALL {
            assert_eq!(words.outcome(outcome), outcome.word());
        }
    }

    #[test]
    fn trees_in_the_plural_of_the_language() {
        let said = |language, n: u16| {
            let words = Tongue::of(language);
            (words.trees(u32::from(n)), words.more(More::About(n)))
        };
        for (n, trees, more) in [
            (0, "0 trees", "about 0 more trees"),
            (1, "1 tree", "about 1 more tree"),
            (2, "2 trees", "about 2 more trees"),
            (5, "5 trees", "about 5 more trees"),
        ] {
            assert_eq!(said(Language::En, n), (trees.into(), more.into()));
        }
        for (n, trees, more) in [
            (0, "0 árboles", "hay que contar unos 0 árboles más"),
            (1, "1 árbol", "hay que contar cerca de 1 árbol más"),
            (2, "2 árboles", "hay que contar unos 2 árboles más"),
            (5, "5 árboles", "hay que contar unos 5 árboles más"),
        ] {
            assert_eq!(said(Language::Es, n), (trees.into(), more.into()));
        }
    }
}
