//! From verdicts to at most two things to change.

use schemars::JsonSchema;
use serde::Serialize;

use crate::judge::{Metric, Verdict, swaps};
use crate::orchard::Size;
use crate::report::figures::standing::{BudFigures, Standing};
use crate::report::figures::wood::Offered;

/// Things that a sheet asks to be changed, at most: more are not remembered in the row.
pub const MAX_CHANGES: usize = 2;

/// Pieces of one age to leave more or fewer on the average tree.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Swap {
    /// The age.
    pub age: Metric,
    /// Pieces to leave more (above 0) or fewer (below 0) a tree.
    pub pieces: i32,
    /// The verdict that it rests on. Of balancing wood: not a finding, only where the pieces come from or go to.
    pub verdict: Verdict,
}

/// Buds left on units of one size, beside their limit.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct BudChange {
    /// The size.
    pub size: Size,
    /// Mean buds left a unit.
    pub mean_left: f64,
    /// Fewest buds the rule allows.
    pub least: u8,
    /// Most buds the rule allows.
    pub most: u8,
    /// Units counted.
    pub units: u32,
    /// Units with more buds than the rule allows.
    pub over: u32,
    /// Units with fewer.
    pub under: u32,
}

/// One line of change.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case", tag = "kind")]
pub enum Change {
    /// Wood of one or two ages. All pieces of the line add to zero; below it, where less may be left than is to go, as
    /// of wood that is too old and for which the trees offered nothing in its place.
    Wood {
        /// What is asked: ages that are light, heavy or leaning, the surest first.
        asked: Vec<Swap>,
        /// Where the balancing pieces come from or go to.
        balance: Vec<Swap>,
    },
    /// Buds by size, the size with most units off its limit first.
    Buds {
        /// Estimated share of units whose buds keep the rule.
        within: f64,
        /// The share that the rule asks for.
        wanted: f64,
        /// Sizes of which more units are off the limit than the rule lets pass.
        sizes: Vec<BudChange>,
    },
}

impl Change {
    /// Pieces told by age, youngest first: adds to zero, or below it as [`Change::Wood`] says. All zero for buds.
    pub fn pieces(&self) -> [i32; 4] {
        let mut told = [0; 4];
        if let Self::Wood { asked, balance } = self {
            for swap in asked.iter().chain(balance) {
                if let Some(sum) = told.get_mut(swap.age.index()) {
                    *sum += swap.pieces;
                }
            }
        }
        told
    }
}

/// Wood that is light, and was not there to be left.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct NotThere {
    /// The age.
    pub age: Metric,
    /// Pieces that the average tree offered before pruning.
    pub offered: f64,
    /// Pieces left on the average tree.
    pub left: f64,
}

/// Ages that look light or are, of which the average tree offered not even half a piece more than was left.
pub fn not_there(standing: &Standing) -> Vec<NotThere> {
    let (Some(left), Some(offered)) = (standing.left, standing.offered) else {
        return Vec::new();
    };
    let line = |age: Metric| NotThere {
        age,
        offered: offered.pieces[age.index()],
        left: left[age.index()],
    };
    let spoken = standing.judgement.spoken(&standing.bands);
    (spoken.into_iter())
        .filter(|metric| *metric != Metric::Buds)
        .filter(|age| {
            let found = standing.judgement.metric(*age).verdict;
            matches!(found, Verdict::Light | Verdict::LeaningLight)
        })
        .map(line)
        .filter(|line| line.offered - line.left < 0.5)
        .collect()
}

/// The changes that a standing supports: at most [`MAX_CHANGES`] of the metrics that are light, heavy or leaning, the
/// surest first. None where the evidence supports none.
///
/// Nobody is told to leave what was not there: of wood that the trees did not offer (by the counts before
/// pruning), no more is asked than there was.
pub fn changes(standing: &Standing) -> Vec<Change> {
    let mut chosen = standing.judgement.spoken(&standing.bands);
    let lacking = not_there(standing);
    chosen.retain(|metric| lacking.iter().all(|line| line.age != *metric));
    chosen.truncate(MAX_CHANGES);
    let ages: Vec<Metric> = (chosen.iter().copied())
        .filter(|metric| *metric != Metric::Buds)
        .collect();
    let wood = wood(standing, &ages);
    let buds = chosen.contains(&Metric::Buds).then(|| buds(standing));
    if chosen.first() == Some(&Metric::Buds) {
        buds.into_iter().chain(wood).collect()
    } else {
        wood.into_iter().chain(buds).collect()
    }
}

/// The pieces are worked out for the ages that are told alone, so that what is told adds to zero before it is capped.
fn wood(standing: &Standing, ages: &[Metric]) -> Option<Change> {
    let mix = standing.mix.filter(|_| !ages.is_empty())?;
    let (a_tree, left) = (standing.pieces_a_tree?, standing.left?);
    let told = std::array::from_fn(|age| ages.iter().any(|metric| metric.index() == age));
    let exact = swaps(standing.target, mix, a_tree, told);
    let mut pieces = exact;
    if let Some(offered) = &standing.offered {
        cap(&mut pieces, left, standing.target, offered);
    }
    // of an age whose pieces all stay in place of what was not there, no change is asked
    let asked = |age: &Metric| exact[age.index()] == 0 || pieces[age.index()] != 0;
    let ages: Vec<Metric> = ages.iter().copied().filter(asked).collect();
    if ages.is_empty() {
        return None;
    }
    let swap = |age: Metric| Swap {
        age,
        pieces: pieces[age.index()],
        verdict: standing.judgement.metric(age).verdict,
    };
    let balancing = |age: &Metric| *age != Metric::Buds && !ages.contains(age);
    Some(Change::Wood {
        asked: ages.iter().copied().map(swap).collect(),
        balance: (Metric::ALL.into_iter().filter(balancing).map(swap))
            .filter(|swap| swap.pieces != 0)
            .collect(),
    })
}

/// Takes back what the trees did not offer. As many pieces fewer go the other way, first of the age of which most was
/// to go; wood that the rule lets stay is held in place of what is missing, wood too old for it is not. Where only such
/// wood is to go, the pieces add to less than zero: the tree keeps fewer.
fn cap(pieces: &mut [i32; 4], left: [f64; 4], target: [f64; 4], offered: &Offered) {
    let mut over = 0;
    for age in 0..4 {
        let most = (offered.pieces[age] - left[age]).round().max(0.0) as i32;
        if pieces[age] > most {
            over += pieces[age] - most;
            pieces[age] = most;
        }
    }
    while over > 0 {
        let may_stay = |age: &usize| target[*age] > 0.0 && pieces[*age] < 0;
        let Some(age) = (0..4).filter(may_stay).min_by_key(|age| pieces[*age]) else {
            return;
        };
        pieces[age] += 1;
        over -= 1;
    }
}

fn buds(standing: &Standing) -> Change {
    let judged = standing.judgement.metric(Metric::Buds);
    let wanted = standing.bands[Metric::Buds.index()].lo;
    let off = |figures: &&BudFigures| f64::from(figures.over + figures.under);
    let mut off_limit: Vec<&BudFigures> = (standing.buds.iter())
        .filter(|figures| off(figures) > (1.0 - wanted) * f64::from(figures.units))
        .collect();
    off_limit.sort_by(|a, b| off(b).total_cmp(&off(a)));
    Change::Buds {
        within: judged.mean.unwrap_or(0.0),
        wanted,
        sizes: off_limit.into_iter().filter_map(bud_change).collect(),
    }
}

fn bud_change(figures: &BudFigures) -> Option<BudChange> {
    Some(BudChange {
        size: figures.size,
        mean_left: figures.mean_left?,
        least: figures.least,
        most: figures.most,
        units: figures.units,
        over: figures.over,
        under: figures.under,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    const THIRDS: [f64; 4] = [1.0 / 3.0, 1.0 / 3.0, 1.0 / 3.0, 0.0];

    /// `pieces` once the trees offered so many more one-year pieces than were left, and enough of the rest.
    fn capped(mut pieces: [i32; 4], one_year: f64) -> [i32; 4] {
        let left = [10.0; 4];
        let offered = Offered {
            trees: 8,
            pieces: [10.0 + one_year, 40.0, 40.0, 40.0],
        };
        cap(&mut pieces, left, THIRDS, &offered);
        pieces
    }

    #[test]
    fn wood_that_may_stay_is_held_in_place_of_what_is_missing() {
        assert_eq!(capped([6, -2, -2, -2], 9.0), [6, -2, -2, -2]);
        assert_eq!(capped([6, -2, -2, -2], 3.0), [3, 0, -1, -2]);
    }

    #[test]
    fn wood_too_old_goes_though_nothing_is_there_in_its_place() {
        let pieces = capped([6, -2, -2, -2], 1.0);
        assert_eq!((pieces, pieces.iter().sum::<i32>()), ([1, 0, 0, -2], -1));
    }
}
