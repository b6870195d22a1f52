//! One winter: what was left is lost, ages, grows, and is pruned; no piece appears or vanishes otherwise.

use super::Matrix;
use crate::orchard::limits::GROWN;
use crate::orchard::{Age, Invalid, Rule, within};
use schemars::JsonSchema;
use serde::Serialize;

/// Pieces a tree, or shares, by age: one-, two-, three-year, four-plus. See [`Age::index`].
pub type ByAge = [f64; 4];

/// What happens to a tree's wood between two prunings.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Growing {
    /// New one-year pieces a tree that can be kept, each winter, 0 to 10,000: from before-counts where there are any.
    pub grown: f64,
    /// Share of the pieces of each age that is still there at the next pruning, 0 to 1. Forms and briefs ask for
    /// [`Growing::LEAST_SURVIVAL`] at least.
    pub survival: ByAge,
}

impl Growing {
    /// Survival where a block has none of its own: a few in a hundred break or die. From memory, no source.
    pub const SURVIVAL: ByAge = [0.92, 0.95, 0.95, 0.90];
    /// The least share of an age that a brief can be made with: what is left for the units of the next winter is
    /// divided by it. Our own choice.
    pub const LEAST_SURVIVAL: f64 = 0.05;

    /// Checks the values.
    pub fn new(grown: f64, survival: ByAge) -> Result<Self, Invalid> {
        within("grown", grown, &GROWN)?;
        for share in survival {
            within("survival", share, &(0.0..=1.0))?;
        }
        Ok(Self { grown, survival })
    }

    /// Growth where a block has no before-counts: half as much again as the one-year wood that its target asks for
    /// (from memory, no source), with [`Growing::SURVIVAL`].
    pub fn unknown(targets: &Targets) -> Self {
        Self {
            grown: 1.5 * targets.pieces[0],
            survival: Self::SURVIVAL,
        }
    }

    /// K (A n + g) as one matrix on (n, 1), with `keep` the share of the offered pieces that is kept, by age. Its
    /// dominant eigenvalue is 1 (where old wood is not kept for ever), and the structure over its last entry is the
    /// wood that such habits lead to.
    pub fn matrix(&self, keep: ByAge) -> Matrix<5> {
        let [s1, s2, s3, s4] = self.survival;
        let [k1, k2, k3, k4] = keep;
        Matrix([
            [0.0, 0.0, 0.0, 0.0, k1 * self.grown],
            [k2 * s1, 0.0, 0.0, 0.0, 0.0],
            [0.0, k3 * s2, 0.0, 0.0, 0.0],
            [0.0, 0.0, k4 * s3, k4 * s4, 0.0],
            [0.0, 0.0, 0.0, 0.0, 1.0],
        ])
    }
}

/// Pieces a tree to be left, by age.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Targets {
    /// Pieces by age.
    pub pieces: ByAge,
    /// The oldest age that may be held to fill a shortage.
    pub oldest: Age,
}

impl Targets {
    /// The rule's shares, with as many two-year pieces as there are to be units.
    pub fn of(rule: &Rule, units: f64) -> Self {
        let shares = rule.target();
        let two = shares[Age::Two.index()];
        Self {
            pieces: shares.map(|share| units * share / two),
            oldest: rule.oldest,
        }
    }

    /// As [`Targets::of`], with as much one-year wood as must be left for the units of the winter after: two-year
    /// pieces / survival of one-year wood, where that is more.
    pub fn with_losses(rule: &Rule, units: f64, survival: ByAge) -> Self {
        let mut targets = Self::of(rule, units);
        if survival[0] > 0.0 {
            targets.pieces[0] = targets.pieces[0].max(targets.pieces[1] / survival[0]);
        }
        targets
    }
}

/// How the offered wood is pruned.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Habit {
    /// To numbers of each age. What an age falls short of is filled with older wood up to the targets' oldest, where
    /// more of that is offered than its own target asks for; younger shortages first, younger wood first.
    Toward(Targets),
    /// A fixed share of what is offered of each age, 0 to 1.
    Shares(ByAge),
}

/// The account of one winter, pieces a tree by age at the time of its pruning.
///
/// offered = aged + grown (one-year), start = lost + all aged, end = offered − cut.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Winter {
    /// Left after the last pruning, by the age at that time.
    pub start: ByAge,
    /// Lost since, by the age at the last pruning.
    pub lost: ByAge,
    /// What came of the survivors, by their new age.
    pub aged: ByAge,
    /// New one-year pieces.
    pub grown: f64,
    /// Offered to the pruner.
    pub offered: ByAge,
    /// Cut.
    pub cut: ByAge,
    /// Kept beyond its age's target to fill a shortage of younger wood; part of `end`.
    pub held: ByAge,
    /// Missing from the target of its age, before any holding.
    pub short: ByAge,
    /// Left after pruning.
    pub end: ByAge,
}

impl Winter {
    /// Whether older wood was held to fill a shortage.
    pub fn holds(&self) -> bool {
        self.held.iter().any(|pieces| *pieces > 1e-9)
    }
}

/// Carries wood over one winter.
pub fn winter(start: ByAge, growing: &Growing, habit: &Habit) -> Winter {
    let kept: ByAge = std::array::from_fn(|age| start[age] * growing.survival[age]);
    let aged = [0.0, kept[0], kept[1], kept[2] + kept[3]];
    let mut offered = aged;
    offered[0] += growing.grown;
    let pruned = prune(offered, habit);
    Winter {
        start,
        lost: std::array::from_fn(|age| start[age] - kept[age]),
        aged,
        grown: growing.grown,
        offered,
        cut: pruned.cut,
        held: pruned.held,
        short: pruned.short,
        end: pruned.left,
    }
}

/// What pruning makes of the wood offered.
#[derive(Debug, Clone, Copy)]
pub(super) struct Pruned {
    pub left: ByAge,
    pub cut: ByAge,
    pub held: ByAge,
    pub short: ByAge,
}

/// Prunes the wood offered.
pub(super) fn prune(offered: ByAge, habit: &Habit) -> Pruned {
    let (left, held, short) = match habit {
        Habit::Shares(keep) => (
            std::array::from_fn(|age| offered[age] * keep[age]),
            [0.0; 4],
            [0.0; 4],
        ),
        Habit::Toward(targets) => toward(offered, targets),
    };
    Pruned {
        left,
        cut: std::array::from_fn(|age| offered[age] - left[age]),
        held,
        short,
    }
}

/// (left, held, short).
fn toward(offered: ByAge, targets: &Targets) -> (ByAge, ByAge, ByAge) {
    let wanted = targets.pieces;
    let mut left: ByAge = std::array::from_fn(|age| offered[age].min(wanted[age]));
    let short: ByAge = std::array::from_fn(|age| wanted[age] - left[age]);
    let mut held = [0.0; 4];
    for (young, mut missing) in short.into_iter().enumerate() {
        for old in young + 1..=targets.oldest.index() {
            let spare = (offered[old] - left[old]).min(missing).max(0.0);
            left[old] += spare;
            held[old] += spare;
            missing -= spare;
        }
    }
    (left, held, short)
}

#[cfg(test)]
#[path = "year_tests.rs"]
mod tests;
