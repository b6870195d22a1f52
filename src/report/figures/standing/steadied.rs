//! What is said while a verdict is open, steadied: forecasts and hints by the last tree alone would come and go.

use crate::judge::{Judgement, More};

/// Forecasts of which the middle one is told.
const FORECASTS: usize = 3;
/// Trees that are looked back over for a hint that was given.
const HINTS: usize = 12;

/// The judgement with the middle one of its last three forecasts, and with a hint that was given before and is still likely.
/// `before`: the judgement without the last so many counts.
pub(super) fn steadied(now: &Judgement, before: impl Fn(usize) -> Judgement) -> Judgement {
    let mut steadied = *now;
    if is_open(steadied.more) {
        let mut last: Vec<More> = (1..FORECASTS).map(|back| before(back).more).collect();
        last.push(steadied.more);
        last.retain(|more| is_open(*more));
        last.sort_by_key(|more| distance(*more));
        if last.len() == FORECASTS {
            steadied.more = last[FORECASTS / 2];
        }
    }
    if let (None, Some(stays)) = (steadied.hint, steadied.stays) {
        let given = (1..=HINTS)
            .map(before)
            .take_while(|judgement| judgement.stays.is_some())
            .any(|judgement| {
                judgement
                    .hint
                    .is_some_and(|hint| hint.metric == stays.metric)
            });
        steadied.hint = given.then_some(stays);
    }
    steadied
}

/// A forecast, near or far.
fn is_open(more: More) -> bool {
    matches!(more, More::About(_) | More::TooClose)
}

fn distance(more: More) -> u16 {
    match more {
        More::About(trees) => trees,
        More::Settled => 0,
        More::TooClose | More::Unknown | More::NotLookedAt => u16::MAX,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::judge::{Band, Hint, Metric, Sample, judge};

    fn with(more: More, hint: Option<f64>, stays: Option<f64>) -> Judgement {
        let bands = [
            Band::kept(1.0 / 3.0, 0.1),
            Band::kept(1.0 / 3.0, 0.1),
            Band::kept(1.0 / 3.0, 0.1),
            Band::too_old(0.05),
            Band::compliance(0.8),
        ];
        let of = |chance: f64| Hint {
            metric: Metric::One,
            chance,
        };
        Judgement {
            more,
            hint: hint.map(of),
            stays: stays.map(of),
            ..judge(&Sample::new([0.25; 4]), &bands)
        }
    }

    #[test]
    fn a_forecast_that_jumps_once_is_not_told() {
        let history = [More::About(40), More::TooClose, More::About(40)];
        let at = |back: usize| with(history[back], None, None);
        assert_eq!(steadied(&at(0), at).more, More::About(40));
        let jumped = [More::TooClose, More::About(40), More::About(40)];
        let at = |back: usize| with(jumped[back], None, None);
        assert_eq!(steadied(&at(0), at).more, More::About(40));
        // a verdict is told at once, and the first forecast too
        let settled = |_: usize| with(More::About(5), None, None);
        assert_eq!(
            steadied(&with(More::Settled, None, None), settled).more,
            More::Settled
        );
        let unknown = |_: usize| with(More::Unknown, None, None);
        assert_eq!(
            steadied(&with(More::About(20), None, None), unknown).more,
            More::About(20)
        );
    }

    #[test]
    fn a_hint_stays_until_it_is_hardly_likelier_than_not() {
        let unknown = More::Unknown;
        let chances = [Some(0.6), Some(0.65), Some(0.72)];
        let at = |back: usize| match chances.get(back).copied().flatten() {
            Some(chance) => with(unknown, (chance >= 0.7).then_some(chance), Some(chance)),
            None => with(unknown, None, None),
        };
        assert_eq!(steadied(&at(0), at).hint.map(|hint| hint.chance), Some(0.6));
        // once gone, it is gone until it is given anew
        let gone = |back: usize| match back {
            0 => with(unknown, None, Some(0.6)),
            1 => with(unknown, None, None),
            _ => with(unknown, Some(0.8), Some(0.8)),
        };
        assert_eq!(steadied(&gone(0), gone).hint, None);
    }
}
