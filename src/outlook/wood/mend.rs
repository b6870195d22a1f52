//! What to leave this winter to be back in balance soonest.

use super::{ByAge, Habit, Outset, WINTERS_AHEAD, Year, winter, wrong_age_share};
use crate::orchard::{Age, Invalid, Rule};
use schemars::JsonSchema;
use serde::Serialize;

/// Steps between leaving what the target asks for and leaving all that is offered, by age.
const STEPS: u32 = 6;
/// In balance the units are at least this share of those wanted: a tree is not mended by cutting it down.
const ENOUGH_UNITS: f64 = 0.90;
/// Results nearer than this are the same, so that rounding does not decide.
const SAME: f64 = 1e-9;

/// What to leave now.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Mend {
    /// Pieces a tree to leave this winter, by age.
    pub leave: ByAge,
    /// Pieces a tree to cut of what is at hand.
    pub cut: ByAge,
    /// Missing from the target of each age: not there to be left.
    pub not_there: ByAge,
    /// Winters until all shares are within the rule's tolerances and the units are enough (0: this winter); none
    /// where it is not within [`WINTERS_AHEAD`].
    pub balanced_in: Option<usize>,
    /// This winter and those after it, pruned on the rule from the next one on.
    pub years: Vec<Year>,
}

/// Whether pieces are in balance: every share within its tolerance of the rule's target, and units enough.
fn balanced(pieces: ByAge, rule: &Rule, units: f64) -> bool {
    let shares = super::mix(pieces);
    let target = rule.target();
    let within = (0..4).all(|age| (shares[age] - target[age]).abs() <= rule.tolerance[age] + SAME);
    within && pieces[Age::Two.index()] + SAME >= ENOUGH_UNITS * units
}

/// How good a way to leave the wood is; less is better, from the first entry on.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Score {
    /// First winter in balance; one more than looked at, where none is.
    balanced_in: usize,
    /// Sum of wrong-age shares over the winters.
    off: f64,
    /// Pieces left this winter.
    pieces: f64,
}

impl Score {
    fn better_than(&self, other: &Self) -> bool {
        if self.balanced_in != other.balanced_in {
            return self.balanced_in < other.balanced_in;
        }
        if (self.off - other.off).abs() > SAME {
            return self.off < other.off;
        }
        self.pieces + SAME < other.pieces
    }
}

fn score(outset: &Outset<'_>, leave: ByAge, habit: &Habit) -> Score {
    let target = outset.rule.target();
    let mut pieces = leave;
    let mut found = Score {
        balanced_in: WINTERS_AHEAD + 1,
        off: 0.0,
        pieces: leave.iter().sum(),
    };
    for ahead in 0..=WINTERS_AHEAD {
        if ahead > 0 {
            pieces = winter(pieces, &outset.growing, habit).end;
        }
        found.off += wrong_age_share(pieces, target);
        if found.balanced_in > ahead && balanced(pieces, outset.rule, outset.units) {
            found.balanced_in = ahead;
        }
    }
    found
}

/// Pieces of one age that may be left: from the target (as far as it is offered) to all that is offered, in steps.
fn choices(offered: f64, wanted: f64, may_stay: bool) -> Vec<f64> {
    let least = offered.min(wanted);
    if !may_stay || offered - least < SAME {
        return vec![least];
    }
    (0..=STEPS)
        .map(|step| least + (offered - least) * f64::from(step) / f64::from(STEPS))
        .collect()
}

/// Looks for what to leave this winter so that the block is back in balance soonest, with pruning on the rule in the
/// winters after. Among ways that are equally soon, the one with the smallest wrong-age shares on the way, then the
/// one that leaves fewest pieces.
///
/// Method: all combinations of leaving, of each age that may stay, the rule's number or up to all that is offered in
/// six steps (at most 7⁴), each carried ahead by [`winter()`].
pub fn mend(outset: &Outset<'_>) -> Result<Mend, Invalid> {
    outset.check()?;
    let at_hand = outset.at_hand();
    let targets = outset.targets();
    let habit = Habit::Toward(targets);
    let [ones, twos, threes, fours] = Age::ALL.map(|age| {
        choices(
            at_hand[age.index()],
            targets.pieces[age.index()],
            age <= targets.oldest,
        )
    });
    let mut best: Option<(Score, ByAge)> = None;
    for &one in &ones {
        for &two in &twos {
            for &three in &threes {
                for &four in &fours {
                    let leave = [one, two, three, four];
                    let found = score(outset, leave, &habit);
                    if best.is_none_or(|(so_far, _)| found.better_than(&so_far)) {
                        best = Some((found, leave));
                    }
                }
            }
        }
    }
    let Some((found, leave)) = best else {
        return Err(Invalid::new("pieces", "nothing is at hand to be left"));
    };
    Ok(Mend {
        leave,
        cut: std::array::from_fn(|age| at_hand[age] - leave[age]),
        not_there: std::array::from_fn(|age| (targets.pieces[age] - at_hand[age]).max(0.0)),
        balanced_in: (found.balanced_in <= WINTERS_AHEAD).then_some(found.balanced_in),
        years: outset.carry(leave, &habit)?,
    })
}

#[cfg(test)]
#[path = "mend_tests.rs"]
mod tests;
