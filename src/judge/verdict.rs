//! What may be said of one metric, given its interval and its band.

use super::Interval;
use schemars::JsonSchema;
use serde::Serialize;

/// Fewest trees before anything is called in balance.
pub const MIN_BALANCE_TREES: u32 = 10;

/// Which sides of a band count.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum BandKind {
    /// An age that is kept, with a target share: too little and too much both count, and leaning is possible.
    Kept,
    /// Wood older than may stay: only too much counts.
    TooOld,
    /// Bud compliance: only too little counts.
    Compliance,
}

/// What the rule asks of one metric: values within [lo, hi] are accepted. All in [0, 1].
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Band {
    /// The share aimed at.
    pub target: f64,
    /// Lowest share accepted.
    pub lo: f64,
    /// Highest share accepted.
    pub hi: f64,
    /// Which sides count.
    pub kind: BandKind,
}

impl Band {
    /// A two-sided band, `tolerance` to either side of `target`, cut to [0, 1].
    pub fn kept(target: f64, tolerance: f64) -> Self {
        Self {
            target,
            lo: (target - tolerance).max(0.0),
            hi: (target + tolerance).min(1.0),
            kind: BandKind::Kept,
        }
    }

    /// Wood older than may stay: none is aimed at, up to `most` is accepted.
    pub fn too_old(most: f64) -> Self {
        Self {
            target: 0.0,
            lo: 0.0,
            hi: most.min(1.0),
            kind: BandKind::TooOld,
        }
    }

    /// Bud compliance of at least `least`.
    pub fn compliance(least: f64) -> Self {
        Self {
            target: least,
            lo: least.max(0.0),
            hi: 1.0,
            kind: BandKind::Compliance,
        }
    }

    /// The interval shows too little.
    pub(super) fn is_light(&self, interval: &Interval) -> bool {
        self.kind != BandKind::TooOld && interval.hi < self.lo
    }

    /// The interval shows too much.
    pub(super) fn is_heavy(&self, interval: &Interval) -> bool {
        self.kind != BandKind::Compliance && interval.lo > self.hi
    }

    /// The interval lies on the accepted side of every edge that counts.
    pub(super) fn holds(&self, interval: &Interval) -> bool {
        let lo = if self.kind == BandKind::TooOld {
            0.0
        } else {
            self.lo
        };
        let hi = if self.kind == BandKind::Compliance {
            1.0
        } else {
            self.hi
        };
        interval.inside(lo, hi)
    }
}

/// What may be said of a metric, or of a pruner or block as a whole.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// Within the band, with evidence.
    InBalance,
    /// Below the band, with evidence.
    Light,
    /// Above the band, with evidence.
    Heavy,
    /// Below the target, with evidence; whether below the band is not known.
    LeaningLight,
    /// Above the target, with evidence; whether above the band is not known.
    LeaningHeavy,
    /// Of the whole alone: not known yet, but no metric is far off.
    NothingBadlyWrong,
    /// Not known yet.
    KeepCounting,
}

impl Verdict {
    /// The verdict in words.
    pub const fn word(self) -> &'static str {
        match self {
            Verdict::InBalance => "in balance",
            Verdict::Light => "light",
            Verdict::Heavy => "heavy",
            Verdict::LeaningLight => "leaning light",
            Verdict::LeaningHeavy => "leaning heavy",
            Verdict::NothingBadlyWrong => "nothing badly wrong",
            Verdict::KeepCounting => "keep counting",
        }
    }

    /// Light or heavy: outside the band, with evidence.
    pub const fn is_out(self) -> bool {
        matches!(self, Verdict::Light | Verdict::Heavy)
    }

    /// Leaning light or leaning heavy.
    pub const fn is_leaning(self) -> bool {
        matches!(self, Verdict::LeaningLight | Verdict::LeaningHeavy)
    }

    /// Whether the day sheet may speak of the metric: light, heavy or leaning.
    pub const fn is_spoken(self) -> bool {
        self.is_out() || self.is_leaning()
    }

    /// Whether more trees would not be asked for: in balance, light or heavy.
    pub const fn is_settled(self) -> bool {
        matches!(self, Verdict::InBalance) || self.is_out()
    }
}

/// The verdict on one metric from its two intervals and the number of trees with a value.
///
/// Light and heavy first. Then in balance, also where the mean is surely off the target but surely within the
/// tolerance: a tolerance is there to be used. Then leaning, then keep counting.
pub(super) fn decide(band: &Band, flag: &Interval, balance: &Interval, n: u32) -> Verdict {
    if band.is_light(flag) {
        Verdict::Light
    } else if band.is_heavy(flag) {
        Verdict::Heavy
    } else if n >= MIN_BALANCE_TREES && band.holds(balance) {
        Verdict::InBalance
    } else if band.kind == BandKind::Kept && flag.hi < band.target {
        Verdict::LeaningLight
    } else if band.kind == BandKind::Kept && flag.lo > band.target {
        Verdict::LeaningHeavy
    } else {
        Verdict::KeepCounting
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const KEPT: Band = Band {
        target: 0.33,
        lo: 0.23,
        hi: 0.43,
        kind: BandKind::Kept,
    };

    fn verdict(band: &Band, lo: f64, hi: f64, n: u32) -> Verdict {
        let interval = Interval { lo, hi };
        decide(band, &interval, &interval, n)
    }

    #[test]
    fn a_kept_age_has_two_sides_and_leans() {
        assert_eq!(verdict(&KEPT, 0.10, 0.22, 8), Verdict::Light);
        assert_eq!(verdict(&KEPT, 0.44, 0.60, 8), Verdict::Heavy);
        assert_eq!(verdict(&KEPT, 0.10, 0.30, 8), Verdict::LeaningLight);
        assert_eq!(verdict(&KEPT, 0.34, 0.60, 8), Verdict::LeaningHeavy);
        assert_eq!(verdict(&KEPT, 0.20, 0.40, 30), Verdict::KeepCounting);
        assert_eq!(verdict(&KEPT, 0.25, 0.40, 30), Verdict::InBalance);
    }

    #[test]
    fn balance_waits_for_ten_trees_and_comes_before_leaning() {
        assert_eq!(verdict(&KEPT, 0.35, 0.40, 9), Verdict::LeaningHeavy);
        assert_eq!(verdict(&KEPT, 0.35, 0.40, 10), Verdict::InBalance);
    }

    #[test]
    fn one_sided_metrics_are_flagged_on_their_side_only() {
        let old = Band::too_old(0.05);
        assert_eq!(verdict(&old, 0.06, 0.2, 20), Verdict::Heavy);
        assert_eq!(verdict(&old, 0.0, 0.04, 20), Verdict::InBalance);
        assert_eq!(verdict(&old, 0.01, 0.2, 20), Verdict::KeepCounting);
        let buds = Band::compliance(0.8);
        assert_eq!(verdict(&buds, 0.2, 0.79, 20), Verdict::Light);
        assert_eq!(verdict(&buds, 0.85, 1.0, 20), Verdict::InBalance);
        assert_eq!(verdict(&buds, 0.7, 1.0, 20), Verdict::KeepCounting);
    }

    #[test]
    fn nothing_is_known_from_the_whole_range() {
        for band in [KEPT, Band::too_old(0.05), Band::compliance(0.8)] {
            assert_eq!(verdict(&band, 0.0, 1.0, 50), Verdict::KeepCounting);
        }
    }
}
