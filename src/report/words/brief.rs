//! The sentences of a brief.

use super::Tongue;
use super::tongue::{sentence, whole};
use crate::orchard::Age;
use crate::outlook::{Brief, Caution, Factor, FactorKind, Source, Target};
use crate::report::{BriefSheet, BudsFrom, FactorLine, GrowthFrom, GrowthLine, Taken};

impl Tongue {
    /// An aim: `65 t/ha`, `195 fruit a tree`, `4.5 fruit per cm² of trunk (girth 31 cm)`.
    pub fn aim(&self, target: Target) -> String {
        let number = |value: f64| self.number(value).into();
        match target {
            Target::TonnesPerHa(tonnes) => self.say("aim-tonnes", [("n", number(tonnes))]),
            Target::FruitPerTree(fruit) => self.say("aim-fruit", [("n", number(fruit))]),
            Target::FruitPerTcsa {
                fruit_per_cm2,
                girth_cm,
            } => self.say(
                "aim-trunk",
                [("n", number(fruit_per_cm2)), ("girth", number(girth_cm))],
            ),
        }
    }

    /// What a brief goes for, with what it yields.
    pub fn to_leave(&self, target: Target, brief: &Brief) -> String {
        self.say(
            "brief-to-leave",
            [
                ("aim", self.aim(target).into()),
                ("tonnes", self.figure(brief.tonnes_per_ha).into()),
                ("kg", self.figure(brief.kg_per_tree).into()),
            ],
        )
    }

    /// What to leave, a line each: whether it is of the units before it, its name, and the figures a tree and a stem.
    pub fn to_leave_lines(
        &self,
        sheet: &BriefSheet,
        brief: &Brief,
    ) -> Vec<(bool, String, [String; 2])> {
        let (tree, stem) = (&brief.tree, &brief.stem);
        let figures = |tree: f64, stem: f64| [self.figure(tree), self.figure(stem)];
        let chain = [
            ("brief-fruit", tree.fruit, stem.fruit),
            ("brief-fruit-set", tree.fruit_set, stem.fruit_set),
            ("brief-clusters", tree.clusters, stem.clusters),
            ("brief-fruit-buds", tree.fruit_buds, stem.fruit_buds),
            ("brief-buds", tree.buds, stem.buds),
            ("brief-units", tree.units, stem.units),
        ];
        let mut lines: Vec<_> = (chain.into_iter())
            .map(|(key, tree, stem)| (false, self.label(key).to_owned(), figures(tree, stem)))
            .collect();
        for age in Age::ALL {
            let at = age.index();
            if sheet.rule_target[at] > 0.0 {
                let name = self.say("brief-pieces", [("age", self.age(age).into())]);
                lines.push((true, name, figures(tree.pieces[at], stem.pieces[at])));
            }
        }
        let extra = self.label("brief-extra").to_owned();
        let of_extra = figures(tree.extra_one_year, stem.extra_one_year);
        lines.push((true, extra, of_extra));
        lines
    }

    /// What other numbers of buds a unit would mean: buds, units a tree and a stem, pieces by age, t/ha.
    pub fn by_buds(&self, brief: &Brief) -> impl Iterator<Item = [String; 7]> {
        brief.by_buds.iter().map(|row| {
            [
                self.decimal(row.buds_per_unit, 0),
                self.figure(row.units_per_tree),
                self.figure(row.units_per_stem),
                self.figure(row.pieces[0]),
                self.figure(row.pieces[1]),
                self.figure(row.pieces[2]),
                self.figure(row.tonnes_with_same_units),
            ]
        })
    }

    /// Within which a factor is 4 times of 5.
    pub fn factor_range(&self, line: &FactorLine) -> String {
        self.range(&self.figure(line.lo), &self.figure(line.hi))
    }

    /// What is taken otherwise; empty where nothing is.
    pub fn what_if(&self, what_if: &Taken) -> String {
        let mut taken = Vec::new();
        taken.extend(what_if.aim.map(|aim| self.aim(aim)));
        let numbers = [
            (self.factor(FactorKind::FruitWeight), what_if.fruit_weight_g),
            (self.factor(FactorKind::Set), what_if.set),
            (self.label("taken-buds"), what_if.buds_per_unit),
        ];
        for (name, value) in numbers {
            taken.extend(value.map(|value| format!("{name} {}", self.figure(value))));
        }
        if taken.is_empty() {
            return String::new();
        }
        self.say("taken-here", [("taken", self.numbers(&taken).into())])
    }

    /// A factor's name: `fruit weight, g`.
    pub fn factor(&self, kind: FactorKind) -> &str {
        self.label(match kind {
            FactorKind::FruitWeight => "factor-fruit-weight",
            FactorKind::FruitPerCluster => "factor-fruit-per-cluster",
            FactorKind::Set => "factor-set",
            FactorKind::Loss => "factor-loss",
            FactorKind::FruitBuds => "factor-fruit-buds",
        })
    }

    /// Where a factor comes from.
    pub fn source(&self, factor: &Factor) -> String {
        self.source_of(factor.kind(), factor.source())
    }

    /// Where the factor of a line comes from.
    pub fn factor_source(&self, line: &FactorLine) -> String {
        match line.from {
            None => self.label("source-taken").to_owned(),
            Some(source) => self.source_of(line.kind, source),
        }
    }

    fn source_of(&self, kind: FactorKind, source: Source) -> String {
        match source {
            Source::Published(work) => {
                let key = match kind {
                    FactorKind::FruitWeight => "published-fruit-weight",
                    FactorKind::FruitPerCluster => "published-fruit-per-cluster",
                    FactorKind::FruitBuds => "published-fruit-buds",
                    FactorKind::Set | FactorKind::Loss => return work.to_owned(),
                };
                self.say(key, [("work", work.into())])
            }
            Source::Memory => self.label("source-memory").to_owned(),
            Source::CommonPractice => self.label("source-practice").to_owned(),
            Source::Entered => self.label("source-entered").to_owned(),
            Source::Own {
                n,
                seasons,
                own_weight,
            } => self.say(
                "source-own",
                [
                    ("n", seasons.into()),
                    ("count", n.into()),
                    ("share", self.percent(own_weight).into()),
                ],
            ),
        }
    }

    /// Where the buds on a unit come from.
    pub fn buds_from(&self, from: BudsFrom) -> &str {
        self.label(match from {
            BudsFrom::Taken => "buds-from-taken",
            BudsFrom::Counted => "buds-from-counted",
            BudsFrom::Thirds => "buds-from-thirds",
        })
    }

    /// Buds by the rule, and how many that makes on a unit here.
    pub fn buds_rule(&self, sheet: &BriefSheet) -> String {
        self.say(
            "buds-rule",
            [
                ("rule", self.bud_rule(&sheet.bud_limits).into()),
                ("n", self.figure(sheet.buds_per_unit).into()),
                ("from", self.buds_from(sheet.buds_from).into()),
            ],
        )
    }

    /// Where growth and losses come from.
    pub fn growth_from(&self, from: GrowthFrom) -> &str {
        self.label(match from {
            GrowthFrom::Entered => "source-entered",
            GrowthFrom::Counts => "growth-from-counts",
            GrowthFrom::Memory => "growth-from-memory",
            GrowthFrom::LossesOnly => "growth-losses",
        })
    }

    /// Growth and losses in a sentence.
    pub fn growth(&self, line: &GrowthLine) -> String {
        let kept: Vec<String> = line.survival.iter().map(|share| whole(*share)).collect();
        let kept = kept.join(", ").into();
        let source = self.growth_from(line.from).into();
        sentence(&match line.grown {
            None => self.say("growth-not-known", [("kept", kept), ("source", source)]),
            Some(grown) => self.say(
                "growth-known",
                [
                    ("n", self.figure(grown).into()),
                    ("kept", kept),
                    ("source", source),
                ],
            ),
        })
    }

    /// Trees and stems of the block, and the harvest that it is about.
    pub fn block_facts(&self, sheet: &BriefSheet) -> String {
        self.say(
            "brief-block",
            [
                ("density", self.decimal(sheet.trees_per_ha, 0).into()),
                ("n", sheet.stems.into()),
                ("season", sheet.season.to_string().into()),
            ],
        )
    }

    /// The yields of past seasons; none where there are none.
    pub fn yields(&self, sheet: &BriefSheet) -> Option<String> {
        let line = |line: &crate::outlook::SeasonYield| {
            format!("{} {}", line.season, self.figure(line.amount))
        };
        let yields: Vec<String> = sheet.yields.iter().map(line).collect();
        (!yields.is_empty()).then(|| self.say("yields", [("yields", self.numbers(&yields).into())]))
    }

    /// Alternate bearing of a block, in sentences.
    pub fn bearing(&self, sheet: &BriefSheet) -> Vec<String> {
        let mut said = vec![match sheet.bearing {
            None => self.label("bearing-not-known").to_owned(),
            Some(found) => self.say(
                "bearing-known",
                [
                    ("n", found.pairs.into()),
                    ("ratios", self.decimal(found.mean_of_ratios, 2).into()),
                    ("sums", self.decimal(found.ratio_of_sums, 2).into()),
                ],
            ),
        }];
        let caution = self.caution(sheet.caution);
        if !caution.is_empty() {
            said.push(self.say("bearing-caution", [("caution", caution.into())]));
        }
        said
    }

    /// What the last season means for the brief; empty where there is nothing to be cautious about.
    pub fn caution(&self, caution: Caution) -> String {
        let say = |key, ratio| self.say(key, [("ratio", self.percent(ratio).into())]);
        match caution {
            Caution::NotKnown | Caution::Usual { .. } => String::new(),
            Caution::Heavy { ratio } => say("season-heavy", ratio),
            Caution::Light { ratio } => say("season-light", ratio),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::orchard::Language;

    #[test]
    fn what_the_last_season_means() {
        let said = |caution| {
            [Language::En, Language::Es].map(|language| Tongue::of(language).caution(caution))
        };
        let [english, spanish] = said(Caution::Heavy { ratio: 1.46 });
        assert!(english.starts_with("Last season was heavy (146 % of the others):"));
        assert!(
            spanish.contains("mucha carga (146 % de las otras)"),
            "{spanish}"
        );
        let [english, spanish] = said(Caution::Light { ratio: 0.5 });
        assert!(english.contains("was light (50 %"), "{english}");
        assert!(spanish.contains("poca carga (50 %"), "{spanish}");
        assert_eq!(said(Caution::Usual { ratio: 1.0 }), ["", ""]);
    }

    #[test]
    fn own_counts_in_the_plural_of_the_language() {
        let said = |language, seasons| {
            let source = Source::Own {
                n: 100,
                seasons,
                own_weight: 0.46,
            };
            Tongue::of(language).source_of(FactorKind::Set, source)
        };
        assert_eq!(
            said(Language::En, 1),
            "own counts: 100 in 1 season, 46 % of the value"
        );
        assert_eq!(
            said(Language::En, 2),
            "own counts: 100 in 2 seasons, 46 % of the value"
        );
        assert_eq!(
            said(Language::Es, 1),
            "conteos propios: 100 en 1 temporada, 46 % del valor"
        );
        assert_eq!(
            said(Language::Es, 5),
            "conteos propios: 100 en 5 temporadas, 46 % del valor"
        );
    }
}
