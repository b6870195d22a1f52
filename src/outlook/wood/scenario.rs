//! Four winters ahead under three ways of pruning.

use super::year::prune;
use super::{ByAge, Growing, Habit, Targets, Winter, winter};
use crate::judge::off_target;
use crate::orchard::{Age, Invalid, Rule, within};
use crate::outlook::factor::Factors;
use crate::outlook::potential::{Counted, Mean, Potential, potential};
use schemars::JsonSchema;
use serde::Serialize;

/// How many winters the outlook goes ahead of this one.
pub const WINTERS_AHEAD: usize = 4;

/// Trees that a planned or projected number is taken to rest on: as many as make its error exact.
const KNOWN: u32 = u32::MAX;

/// What the pieces of a block bear.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Carries {
    /// Buds left on a piece of each age, 0 to 50. Usually two-year wood alone has units: common practice, no source.
    pub buds_per_piece: ByAge,
    /// Trees a hectare, 10 to 20,000.
    pub trees_per_ha: f64,
    /// Relative standard error of this winter's counted buds, 0 to 2, carried ahead; none where it is not known.
    pub counts_cv: Option<f64>,
}

/// Where the outlook sets out from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outset<'a> {
    /// Pieces a tree left this winter, from after-counts.
    pub left: ByAge,
    /// Pieces a tree offered this winter, from before-counts. Without them nothing more than what was left is taken
    /// to have been there.
    pub offered: Option<ByAge>,
    /// Growth and losses.
    pub growing: Growing,
    /// The block's rule.
    pub rule: &'a Rule,
    /// Units a tree that the brief asks for, above 0.
    pub units: f64,
    /// What the wood bears.
    pub carries: Carries,
    /// The block's factors.
    pub factors: &'a Factors,
}

/// A way to go on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Scenario {
    /// This winter's counted wood, and the same habits in the winters after: the same share of what is offered where
    /// before-counts tell it, otherwise the same numbers as far as they are offered.
    AsPruned,
    /// Corrected this winter as far as the offered wood allows, and on the rule from then on.
    MendedNow,
    /// The rule's numbers from the start: what the block would be if nothing had gone wrong.
    OnTheRule,
}

impl Scenario {
    /// All three, in the order that screens show them.
    pub const ALL: [Self; 3] = [Self::AsPruned, Self::MendedNow, Self::OnTheRule];

    /// The name on screens and sheets.
    pub const fn words(self) -> &'static str {
        match self {
            Self::AsPruned => "as pruned",
            Self::MendedNow => "mended now",
            Self::OnTheRule => "on the rule",
        }
    }
}

/// One winter of an outlook, after its pruning.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Year {
    /// 0 for this winter, then 1, 2, ...
    pub ahead: usize,
    /// Pieces a tree.
    pub pieces: ByAge,
    /// Their shares; all 0 where there are none.
    pub mix: ByAge,
    /// Wrong-age share, 0 to 1.
    pub wrong_age: f64,
    /// Units a tree: two-year pieces.
    pub units: f64,
    /// Buds a tree.
    pub buds: f64,
    /// The crop they can bear at the harvest that follows.
    pub crop: Potential,
    /// How the wood came about; none for this winter.
    pub account: Option<Winter>,
}

/// Shares of pieces; all 0 where there are none.
pub fn mix(pieces: ByAge) -> ByAge {
    let total: f64 = pieces.iter().sum();
    if total > 0.0 {
        pieces.map(|n| n / total)
    } else {
        [0.0; 4]
    }
}

/// [`off_target`] of the shares of pieces; 1 without pieces.
pub fn wrong_age_share(pieces: ByAge, target: ByAge) -> f64 {
    if pieces.iter().sum::<f64>() <= 0.0 {
        return 1.0;
    }
    off_target(mix(pieces), target)
}

impl Outset<'_> {
    /// Checks the numbers.
    pub fn check(&self) -> Result<(), Invalid> {
        for pieces in self.left.iter().chain(self.offered.iter().flatten()) {
            within("pieces", *pieces, &(0.0..=10_000.0))?;
        }
        within("units", self.units, &(0.1..=10_000.0))?;
        for buds in self.carries.buds_per_piece {
            within("buds_per_piece", buds, &(0.0..=50.0))?;
        }
        if let Some(cv) = self.carries.counts_cv {
            within("counts_cv", cv, &(0.0..=2.0))?;
        }
        Growing::new(self.growing.grown, self.growing.survival).map(drop)
    }

    /// What could be left this winter: the wood offered, and never less than what was seen left.
    pub(super) fn at_hand(&self) -> ByAge {
        let offered = self.offered.unwrap_or(self.left);
        std::array::from_fn(|age| offered[age].max(self.left[age]))
    }

    /// The numbers that pruning on the rule goes for.
    pub fn targets(&self) -> Targets {
        Targets::with_losses(self.rule, self.units, self.growing.survival)
    }

    /// Share of the offered pieces that was kept, by age; none without before-counts. 0 for an age not offered.
    pub fn kept(&self) -> Option<ByAge> {
        self.offered.map(|_| {
            let at_hand = self.at_hand();
            std::array::from_fn(|age| {
                if at_hand[age] > 0.0 {
                    self.left[age] / at_hand[age]
                } else {
                    0.0
                }
            })
        })
    }

    fn start(&self, scenario: Scenario) -> ByAge {
        match scenario {
            Scenario::AsPruned => self.left,
            Scenario::MendedNow => prune(self.at_hand(), &Habit::Toward(self.targets())).left,
            Scenario::OnTheRule => self.targets().pieces,
        }
    }

    fn habit(&self, scenario: Scenario) -> Habit {
        match (scenario, self.kept()) {
            (Scenario::AsPruned, Some(keep)) => Habit::Shares(keep),
            (Scenario::AsPruned, None) => Habit::Toward(Targets {
                pieces: self.left,
                oldest: self.rule.oldest,
            }),
            _ => Habit::Toward(self.targets()),
        }
    }

    /// One winter's figures.
    pub(super) fn year(
        &self,
        ahead: usize,
        pieces: ByAge,
        account: Option<&Winter>,
    ) -> Result<Year, Invalid> {
        let carries = &self.carries;
        let buds: f64 = pieces
            .iter()
            .zip(carries.buds_per_piece)
            .map(|(n, buds)| n * buds)
            .sum();
        let counted = Counted::Buds(Mean {
            mean: buds,
            se: carries.counts_cv.map(|cv| cv * buds),
            n: KNOWN,
        });
        Ok(Year {
            ahead,
            pieces,
            mix: mix(pieces),
            wrong_age: wrong_age_share(pieces, self.rule.target()),
            units: pieces[Age::Two.index()],
            buds,
            crop: potential(&counted, self.factors, carries.trees_per_ha)?,
            account: account.copied(),
        })
    }

    /// This winter's wood carried ahead.
    pub(super) fn carry(&self, start: ByAge, habit: &Habit) -> Result<Vec<Year>, Invalid> {
        let mut years = vec![self.year(0, start, None)?];
        let mut pieces = start;
        for ahead in 1..=WINTERS_AHEAD {
            let account = winter(pieces, &self.growing, habit);
            pieces = account.end;
            years.push(self.year(ahead, pieces, Some(&account))?);
        }
        Ok(years)
    }
}

/// This winter and the [`WINTERS_AHEAD`] after it. The rows are in order of time.
pub fn outlook(outset: &Outset<'_>, scenario: Scenario) -> Result<Vec<Year>, Invalid> {
    outset.check()?;
    outset.carry(outset.start(scenario), &outset.habit(scenario))
}

#[cfg(test)]
#[path = "scenario_tests.rs"]
mod tests;
