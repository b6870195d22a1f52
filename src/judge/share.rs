//! Whom to look at in the minutes there are: trees go to where the next word about somebody is worth most for its time.
//!
//! Worths, the cap and the first look are our own, set by simulating whole winters of a supervisor. How many trees somebody
//! gets may depend on all that is known of the work, never on the trees that would be drawn: which trees, given how many, is
//! a random systematic sample ([`super::systematic_in`]), so that verdicts stay valid.

/// The most trees of one pruner in one draw.
const CAP: usize = 10;
/// Trees that a first look goes up to.
const FIRST_LOOK: u32 = 12;
/// Days after which somebody who is settled is looked at again.
const WATCH_DAYS: u32 = 5;
/// Trees of such a look.
const WATCH_TREES: usize = 2;
/// Who has trees already counts so much less from then on.
const AGAIN: f64 = 4.0;

/// What is known of somebody.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Known {
    /// Light, heavy or in balance.
    Settled,
    /// Leaning.
    Leaning,
    /// A hint.
    Hint,
    /// Nothing is badly wrong.
    Fine,
    /// Nothing yet.
    Open,
}

/// Trees to each word, by forecast; 60 at most.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Until {
    /// Light or heavy.
    pub out: u32,
    /// Leaning.
    pub leaning: u32,
    /// Nothing badly wrong.
    pub fine: u32,
    /// In balance.
    pub balance: u32,
}

impl Until {
    /// Beyond this it is not to be counted on.
    pub const MOST: u32 = 60;
    /// No word is in sight.
    pub const FAR: Self = Self {
        out: Self::MOST,
        leaning: Self::MOST,
        fine: Self::MOST,
        balance: Self::MOST,
    };
}

/// One whose trees may be drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Candidate {
    /// Trees counted.
    pub n: u32,
    /// What is known.
    pub known: Known,
    /// Trees to each word.
    pub until: Until,
    /// Trees that can be drawn.
    pub available: usize,
    /// Seconds that a tree takes, the walk apart.
    pub seconds: f64,
    /// Days since a tree of theirs was counted.
    pub days_since: u32,
}

impl Candidate {
    /// Trees to the next word, and what it is worth; none where there is nothing left to learn.
    fn next_word(&self) -> Option<(u32, f64)> {
        let Until {
            out,
            leaning,
            fine,
            balance,
        } = self.until;
        let first = |then: u32| {
            if self.n < 5 {
                FIRST_LOOK.saturating_sub(self.n)
            } else {
                then
            }
        };
        Some(match self.known {
            _ if self.n < 4 => (4 - self.n, 2.0),
            Known::Settled => return None,
            Known::Leaning => (out.min(balance).min(fine), 4.0),
            Known::Hint => (first(leaning).max(2), 8.0),
            Known::Fine => (balance.min(leaning), 0.5),
            Known::Open => (first(fine.min(leaning)), 1.0),
        })
    }
}

/// Shares `seconds` out: trees for each candidate. `reach` says how many seconds of walk going to one adds when some others,
/// by their places, are gone to already; it knows where the rows lie and no drawn tree.
pub fn share_out(
    seconds: f64,
    people: &[Candidate],
    reach: impl Fn(usize, &[usize]) -> f64,
) -> Vec<usize> {
    let mut share = Share {
        left: seconds,
        given: vec![0; people.len()],
        chosen: Vec::new(),
        people,
        reach,
    };
    for (i, one) in people.iter().enumerate() {
        let due = one.known == Known::Settled && one.days_since >= WATCH_DAYS;
        let look = WATCH_TREES.min(one.available);
        if due && look > 0 && share.left >= 2.0 * one.seconds + share.way(i) {
            share.give(i, look);
        }
    }
    let (mut again, mut shut) = (vec![false; people.len()], vec![false; people.len()]);
    while let Some((i, trees, way)) = share.best(&again, &shut) {
        let fit = ((share.left - way) / people[i].seconds).floor().max(0.0) as usize;
        let trees = trees.min(fit);
        if trees == 0 {
            shut[i] = true;
        } else {
            share.give(i, trees);
            again[i] = true;
        }
    }
    share.given
}

/// The sharing out under way.
struct Share<'p, R> {
    left: f64,
    given: Vec<usize>,
    chosen: Vec<usize>,
    people: &'p [Candidate],
    reach: R,
}

impl<R: Fn(usize, &[usize]) -> f64> Share<'_, R> {
    /// Seconds that going to one adds.
    fn way(&self, i: usize) -> f64 {
        if self.chosen.contains(&i) {
            0.0
        } else {
            (self.reach)(i, &self.chosen)
        }
    }

    fn give(&mut self, i: usize, trees: usize) {
        self.left -= trees as f64 * self.people[i].seconds + self.way(i);
        self.given[i] += trees;
        if !self.chosen.contains(&i) {
            self.chosen.push(i);
        }
    }

    /// Whose next word is worth most for its time, with how many trees and what way; none where nobody has any left.
    fn best(&self, again: &[bool], shut: &[bool]) -> Option<(usize, usize, f64)> {
        let mut best: Option<(f64, usize, usize, f64)> = None;
        for (i, one) in self.people.iter().enumerate() {
            let room = one.available.min(CAP).saturating_sub(self.given[i]);
            let Some((mut trees, mut worth)) = one.next_word().filter(|_| !shut[i] && room > 0)
            else {
                continue;
            };
            if again[i] {
                worth /= AGAIN;
                let have = one.n + self.given[i] as u32;
                if have < FIRST_LOOK {
                    trees = FIRST_LOOK - have;
                }
            }
            // a word that needs no more trees is a word at the next one
            let trees = trees.max(1);
            let take = room.min(trees as usize);
            let way = self.way(i);
            let time = f64::from(trees) * one.seconds + way * f64::from(trees) / take as f64;
            if best.is_none_or(|(most, ..)| worth / time > most) {
                best = Some((worth / time, i, take, way));
            }
        }
        best.map(|(_, i, take, way)| (i, take, way))
    }
}

/// How a block lies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lie {
    /// Between rows, m.
    pub row_m: f64,
    /// Between trees, m.
    pub tree_m: f64,
    /// Trees a row.
    pub trees: u16,
    /// Whether one can walk between the trees from one alley to the next.
    pub crossed: bool,
}

/// To a block and back, m.
const ENTRY_M: f64 = 200.0;

/// Metres that some stretches (row, first and last tree) of a block add to a walk that goes to these of its rows already. Our
/// own, by the lie of the rows alone.
pub fn reach_m(lie: Lie, stretches: &[(u16, u16, u16)], rows: &[u16]) -> f64 {
    let entry = if rows.is_empty() { ENTRY_M } else { 0.0 };
    let of = |(row, first, last): &(u16, u16, u16)| {
        let along = f64::from(last - first) * lie.tree_m;
        if rows.iter().any(|other| row.abs_diff(*other) <= 1) {
            // across an alley that is walked anyway
            0.3 * along
        } else if lie.crossed {
            0.8 * along + 2.0 * lie.row_m
        } else if rows.is_empty() {
            // from the corner to its far end
            f64::from(*last) * lie.tree_m + f64::from(*row) * lie.row_m
        } else {
            // one alley more
            f64::from(lie.trees) * lie.tree_m + 2.0 * lie.row_m
        }
    };
    entry + stretches.iter().map(of).sum::<f64>()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn candidate(
        n: u32,
        known: Known,
        until: [u32; 4],
        available: usize,
        days_since: u32,
    ) -> Candidate {
        let [out, leaning, fine, balance] = until;
        Candidate {
            n,
            known,
            until: Until {
                out,
                leaning,
                fine,
                balance,
            },
            available,
            seconds: 220.0,
            days_since,
        }
    }

    /// Worked out with another program.
    #[test]
    fn minutes_are_shared_out_as_worked_out_elsewhere() {
        let people = |day: u32| {
            [
                candidate(0, Known::Open, [60; 4], 60, day),
                candidate(5, Known::Hint, [22, 6, 60, 60], 60, day - 1),
                candidate(30, Known::Settled, [60, 60, 1, 1], 40, day - 1),
                candidate(12, Known::Open, [60, 60, 4, 22], 60, day - 2),
            ]
        };
        let walk = |_: usize, chosen: &[usize]| if chosen.is_empty() { 150.0 } else { 60.0 };
        assert_eq!(share_out(3_600.0, &people(7), walk), [4, 9, 2, 0]);
        assert_eq!(share_out(5_400.0, &people(4), walk), [9, 10, 0, 4]);
    }

    #[test]
    fn no_more_is_given_than_fits_or_is_there() {
        let people = [
            candidate(0, Known::Open, [60; 4], 3, 1),
            candidate(0, Known::Open, [60; 4], 99, 1),
        ];
        let none = |_: usize, _: &[usize]| 0.0;
        assert_eq!(share_out(100.0, &people, none), [0, 0]);
        assert_eq!(share_out(1e9, &people, none), [3, CAP]);
    }

    #[test]
    fn the_way_is_by_the_lie_of_the_rows() {
        let six = Lie {
            row_m: 4.0,
            tree_m: 1.5,
            trees: 120,
            crossed: false,
        };
        let to = |rows: &[u16]| reach_m(six, &[(7, 20, 60)], rows);
        let near = |found: f64, wanted: f64| (found - wanted).abs() < 1e-9;
        assert!(near(to(&[]), 318.0) && near(to(&[2]), 188.0) && near(to(&[8]), 18.0));
        let old = Lie {
            row_m: 5.5,
            tree_m: 5.0,
            trees: 36,
            crossed: true,
        };
        assert!(near(reach_m(old, &[(3, 4, 20)], &[9]), 75.0));
    }
}
