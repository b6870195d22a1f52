//! How invented pruners prune, and the trees that come of it.

use super::maker::Maker;
use crate::orchard::{Age, Buds, Size, Tally, Tap};

/// A pruner's way of pruning.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Habit {
    /// On the rule.
    Good,
    /// Takes too much one-year wood, so that two- and three-year wood outweighs it.
    LittleOneYear,
    /// Leaves too many buds on thick units.
    ManyBuds,
    /// Lets wood of four years and older slip through.
    OldWood,
    /// On the rule on average, and on hardly any tree.
    Erratic,
    /// As [`Habit::LittleOneYear`] in the first week, on the rule after it.
    Improves,
    /// On the rule, and new on the crew: counted on few trees.
    Newcomer,
}

impl Habit {
    /// Mean shares by age.
    fn mix(self, later: bool) -> [f64; 4] {
        match self {
            Self::LittleOneYear => [0.14, 0.43, 0.42, 0.01],
            Self::Improves if !later => [0.16, 0.42, 0.41, 0.01],
            Self::OldWood => [0.30, 0.30, 0.26, 0.14],
            Self::Newcomer => [0.33, 0.33, 0.315, 0.025],
            _ => [0.335, 0.335, 0.324, 0.006],
        }
    }

    /// How much the shares differ between trees: standard deviation of their logarithms.
    fn spread(self) -> f64 {
        if self == Self::Erratic { 0.70 } else { 0.15 }
    }

    /// Chance that a unit of a size keeps the limit.
    fn keeps(self, size: Size) -> f64 {
        match (self, size) {
            (Self::ManyBuds, Size::Thick) => 0.12,
            (Self::ManyBuds, Size::Medium) => 0.75,
            (Self::Erratic, _) => 0.93,
            (Self::Newcomer, _) => 0.88,
            _ => 0.95,
        }
    }
}

/// Buds that the invented rule leaves on thin, medium and thick units.
const LIMITS: [u8; 3] = [2, 3, 4];
/// Shares of thin, medium and thick units.
const SIZES: [f64; 3] = [0.28, 0.38, 0.34];
/// Units whose buds are looked at, at most: enough of a tree.
const MAX_UNITS: u32 = 12;

/// What a pruner of this habit left on a tree, of about `pieces` pieces. `later`: after the first week.
pub(super) fn pruned_tree(maker: &mut Maker, habit: Habit, later: bool, pieces: f64) -> Tally {
    let mut tally = wood(maker, habit.mix(later), habit.spread(), pieces);
    let units = (f64::from(tally.ages[1]) * maker.between(0.85, 1.0)).round() as u32;
    for _ in 0..units.min(MAX_UNITS) {
        let size = Size::ALL[maker.weighted(SIZES)];
        let limit = LIMITS[size.index()];
        let off = if maker.chance(habit.keeps(size)) {
            0
        } else if habit == Habit::ManyBuds || maker.chance(0.6) {
            1 + i16::from(maker.chance(0.4))
        } else {
            -1
        };
        put_unit(&mut tally, size, i16::from(limit) + off);
    }
    tally.upright = u32::from(maker.chance(0.15));
    tally.thick_top = u32::from(maker.chance(0.06));
    tally
}

/// What a tree offers before it is pruned: more of everything, and old wood among it.
pub(super) fn unpruned_tree(maker: &mut Maker, pieces: f64) -> Tally {
    let mut tally = wood(maker, [0.44, 0.26, 0.20, 0.10], 0.15, pieces * 1.8);
    for _ in 0..MAX_UNITS {
        let size = Size::ALL[maker.weighted(SIZES)];
        let buds = maker.below(4) as i16 + 4;
        put_unit(&mut tally, size, buds);
    }
    tally.upright = 2 + maker.below(5) as u32;
    tally.thick_top = maker.below(3) as u32;
    tally
}

/// Pieces by age: the tree's own shares scatter about the mean, then each piece falls by chance.
fn wood(maker: &mut Maker, mix: [f64; 4], spread: f64, pieces: f64) -> Tally {
    let own = mix.map(|share| share * (spread * maker.normal()).exp());
    let number = (pieces * (1.0 + 0.12 * maker.normal())).round().max(6.0);
    let mut tally = Tally::default();
    for _ in 0..number as u32 {
        tally.ages[maker.weighted(own)] += 1;
    }
    tally
}

fn put_unit(tally: &mut Tally, size: Size, buds: i16) {
    let top = tally.units[size.index()].len() - 1;
    let buds = usize::try_from(buds).unwrap_or(0).min(top);
    tally.units[size.index()][buds] += 1;
}

/// The first few taps on a tree: a count that was begun.
pub(super) fn begun_tree() -> Tally {
    let mut tally = Tally::default();
    let pieces = [Age::One, Age::One, Age::Two, Age::Three, Age::Two];
    let unit = Buds::new(2).map(|buds| Tap::Unit(Size::Thin, buds));
    for tap in pieces.into_iter().map(Tap::Piece).chain(unit) {
        // six taps are far below what a tree can have
        let _ = tally.add(tap);
    }
    tally
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mean_share(habit: Habit, age: Age) -> f64 {
        let mut maker = Maker::new(1);
        let share = |tally: Tally| {
            f64::from(tally.ages[age.index()]) / f64::from(tally.ages.iter().sum::<u32>())
        };
        let trees = 2_000;
        let sum: f64 = (0..trees)
            .map(|_| share(pruned_tree(&mut maker, habit, false, 32.0)))
            .sum();
        sum / f64::from(trees)
    }

    #[test]
    fn habits_are_what_they_are_called() {
        for (habit, age, lo, hi) in [
            (Habit::Good, Age::One, 0.32, 0.35),
            (Habit::Good, Age::FourPlus, 0.0, 0.015),
            (Habit::Erratic, Age::One, 0.30, 0.37),
            (Habit::LittleOneYear, Age::One, 0.12, 0.17),
            (Habit::OldWood, Age::FourPlus, 0.12, 0.16),
        ] {
            let share = mean_share(habit, age);
            assert!((lo..hi).contains(&share), "{habit:?} {share}");
        }
    }

    #[test]
    fn units_are_pieces_of_two_year_wood() {
        let mut maker = Maker::new(2);
        for _ in 0..500 {
            let tally = pruned_tree(&mut maker, Habit::ManyBuds, true, 30.0);
            let units: u32 = tally.units.iter().flatten().sum();
            assert!(units <= tally.ages[1] && units <= MAX_UNITS);
        }
    }
}
