//! The rule of the house for a winter, or for one block in it.

use std::ops::Deref;

use schemars::JsonSchema;
use serde::Serialize;

use super::limits::{COMPLIANCE, DIAMETERS_MM, MAX_BUDS, PARTS, TOLERANCE, within};
use super::{Age, Buds, Faults, Invalid, Size};

/// Buds that may stay on a unit of one size.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, JsonSchema)]
pub struct BudLimit {
    /// Fewest, 0 to 7.
    pub least: u8,
    /// Most, 0 to 7; not below `least`.
    pub most: u8,
}

impl BudLimit {
    /// Exactly this many.
    pub const fn exactly(buds: u8) -> Self {
        Self {
            least: buds,
            most: buds,
        }
    }

    /// Whether a unit with these buds keeps the limit.
    pub fn holds(self, buds: Buds) -> bool {
        (self.least..=self.most).contains(&buds.get())
    }

    /// `4`, or `3-4` where a range is allowed.
    pub fn text(self) -> String {
        if self.least == self.most {
            self.most.to_string()
        } else {
            format!("{}-{}", self.least, self.most)
        }
    }

    /// Reads [`BudLimit::text`].
    pub fn parse(field: &'static str, raw: &str) -> Result<Self, Invalid> {
        let wrong = || {
            Invalid::new(
                field,
                format!("{raw:?} is not like 4 or 3-4 (0 to {MAX_BUDS} buds)"),
            )
        };
        let (least, most) = raw.split_once('-').unwrap_or((raw, raw));
        let read = |text: &str| {
            text.trim()
                .parse::<u8>()
                .ok()
                .filter(|n| *n <= MAX_BUDS)
                .ok_or_else(wrong)
        };
        let limit = Self {
            least: read(least)?,
            most: read(most)?,
        };
        if limit.least > limit.most {
            Err(wrong())
        } else {
            Ok(limit)
        }
    }
}

/// The rule, before it is checked.
#[derive(Debug, Clone, PartialEq)]
pub struct RuleDraft {
    /// Wanted pieces by age, as parts of a whole: `1 1 1 0` asks for a third each of the first three.
    pub parts: [u16; 4],
    /// How far a share may be from its target, by age, 0.01 to 0.5. For ages older than `oldest`,
    /// whose target is 0, it is the most that may slip through.
    pub tolerance: [f64; 4],
    /// The oldest age that may stay.
    pub oldest: Age,
    /// Buds that may stay, by size of unit.
    pub buds: [BudLimit; 3],
    /// Diameters that part thin from medium and medium from thick, mm, 2 to 60, rising.
    pub diameters_mm: [f64; 2],
    /// Share of units that must keep the bud limit, 0.1 to 0.99.
    pub compliance: f64,
}

impl Default for RuleDraft {
    /// A third each of one-, two- and three-year wood; 2, 3 and 4 buds on thin, medium and thick
    /// units. Common practice, no source; the diameters are from memory and to be set by the house.
    fn default() -> Self {
        Self {
            parts: [1, 1, 1, 0],
            tolerance: [0.10, 0.10, 0.10, 0.05],
            oldest: Age::Three,
            buds: [
                BudLimit::exactly(2),
                BudLimit::exactly(3),
                BudLimit::exactly(4),
            ],
            diameters_mm: [8.0, 12.0],
            compliance: 0.80,
        }
    }
}

/// A checked rule. Reads like its [`RuleDraft`].
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Rule(RuleDraft);

impl Deref for Rule {
    type Target = RuleDraft;
    fn deref(&self) -> &RuleDraft {
        &self.0
    }
}

impl Rule {
    /// Checks a draft.
    pub fn new(draft: RuleDraft) -> Result<Self, Faults> {
        let mut faults = Faults::default();
        if draft.oldest == Age::One {
            faults.add(Invalid::new(
                "oldest",
                "two-year wood bears the crop, so the oldest age is 2, 3 or 4",
            ));
        }
        for (age, part) in Age::ALL.into_iter().zip(draft.parts) {
            faults.take(within("parts", part, &PARTS));
            let problem = match (age > draft.oldest, part == 0) {
                (true, false) => format!(
                    "asks for {} wood, which is older than the oldest that may stay",
                    age.word()
                ),
                (false, true) => format!("asks for no {} wood", age.word()),
                _ => continue,
            };
            let fault = Invalid::new("parts", problem);
            // of the first two ages there is some whatever the oldest is
            faults.add(if age > Age::Two {
                fault.against(&["oldest"])
            } else {
                fault
            });
        }
        for tolerance in draft.tolerance {
            faults.take(within("tolerance", tolerance, &TOLERANCE));
        }
        for limit in draft.buds {
            faults.take(within("buds", limit.most, &(limit.least..=MAX_BUDS)));
        }
        let [medium_from, thick_from] = draft.diameters_mm;
        faults.take(within("diameters_mm", medium_from, &DIAMETERS_MM));
        faults.take(within("diameters_mm", thick_from, &DIAMETERS_MM));
        if medium_from >= thick_from {
            let problem = format!("{thick_from} is not above {medium_from}");
            faults.add(Invalid::new("diameters_mm", problem));
        }
        faults.take(within("compliance", draft.compliance, &COMPLIANCE));
        faults.or(Self(draft))
    }

    /// The rule's data, to be changed and checked again.
    pub fn draft(&self) -> &RuleDraft {
        &self.0
    }

    /// Wanted share by age; adds to 1.
    pub fn target(&self) -> [f64; 4] {
        let whole: u32 = self.parts.iter().copied().map(u32::from).sum();
        self.parts.map(|part| f64::from(part) / f64::from(whole))
    }

    /// The bud limit of a size.
    pub fn bud_limit(&self, size: Size) -> BudLimit {
        self.buds[size.index()]
    }

    /// Which diameters a size has: `under 8 mm`, `8 to 12 mm`, `from 12 mm`.
    pub fn size_band(&self, size: Size) -> String {
        let [medium_from, thick_from] = self.diameters_mm;
        match size {
            Size::Thin => format!("under {medium_from} mm"),
            Size::Medium => format!("{medium_from} to {thick_from} mm"),
            Size::Thick => format!("from {thick_from} mm"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_default_is_a_third_each() {
        let rule = Rule::new(RuleDraft::default()).unwrap();
        let target = rule.target();
        assert!(
            target[..3]
                .iter()
                .all(|share| (share - 1.0 / 3.0).abs() < 1e-15)
        );
        assert!(target[3].abs() < 1e-15);
        assert!(rule.bud_limit(Size::Thick).holds(Buds::new(4).unwrap()));
        assert!(!rule.bud_limit(Size::Thick).holds(Buds::new(5).unwrap()));
    }

    #[test]
    fn wrong_rules_name_the_field() {
        let good = RuleDraft::default;
        for (field, wrong) in [
            (
                "parts",
                RuleDraft {
                    parts: [1, 1, 1, 1],
                    ..good()
                },
            ),
            (
                "parts",
                RuleDraft {
                    parts: [1, 0, 1, 0],
                    ..good()
                },
            ),
            (
                "oldest",
                RuleDraft {
                    oldest: Age::One,
                    ..good()
                },
            ),
            (
                "tolerance",
                RuleDraft {
                    tolerance: [0.0, 0.1, 0.1, 0.1],
                    ..good()
                },
            ),
            (
                "buds",
                RuleDraft {
                    buds: [BudLimit { least: 3, most: 2 }; 3],
                    ..good()
                },
            ),
            (
                "diameters_mm",
                RuleDraft {
                    diameters_mm: [12.0, 8.0],
                    ..good()
                },
            ),
            (
                "compliance",
                RuleDraft {
                    compliance: 1.0,
                    ..good()
                },
            ),
        ] {
            assert_eq!(Rule::new(wrong).unwrap_err()[0].field, field);
        }
    }

    #[test]
    fn bud_limits_are_read_and_written() {
        for text in ["4", "3-4", "0-7"] {
            assert_eq!(BudLimit::parse("buds", text).unwrap().text(), text);
        }
        for wrong in ["", "4-3", "8", "a-b", "1-2-3"] {
            assert!(BudLimit::parse("buds", wrong).is_err(), "{wrong}");
        }
    }
}
