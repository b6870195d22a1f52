//! Chance and identities, both from one seed.

use chrono::{DateTime, FixedOffset, NaiveDate, NaiveTime, TimeDelta};
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha20Rng;
use uuid::Uuid;

use crate::orchard::{Faults, LostDaysId, Stamp};
use crate::store::StoreError;

/// Makes everything that is left to chance; the same seed makes the same.
pub(super) struct Maker {
    rng: ChaCha20Rng,
}

impl Maker {
    pub(super) fn new(seed: u64) -> Self {
        Self {
            rng: ChaCha20Rng::seed_from_u64(seed),
        }
    }

    /// An identity as one made at this moment would have (`UUIDv7`).
    pub(super) fn id(&mut self, at: Stamp) -> Uuid {
        let millis = u64::try_from(at.utc_ms).unwrap_or_default();
        let bytes: [u8; 10] = self.rng.random();
        uuid::Builder::from_unix_timestamp_millis(millis, &bytes).into_uuid()
    }

    /// As [`Maker::id`], without taking anything from chance: what is left to it stays as it was.
    pub(super) fn id_of(at: Stamp, number: usize) -> LostDaysId {
        let millis = u64::try_from(at.utc_ms).unwrap_or_default();
        let mut bytes = [0u8; 10];
        bytes[9] = number as u8;
        LostDaysId(uuid::Builder::from_unix_timestamp_millis(millis, &bytes).into_uuid())
    }

    /// A seed for a draw.
    pub(super) fn seed(&mut self) -> u64 {
        self.rng.random()
    }

    /// True in this share of cases.
    pub(super) fn chance(&mut self, share: f64) -> bool {
        self.rng.random::<f64>() < share
    }

    /// A whole number below `end`; 0 where `end` is 0.
    pub(super) fn below(&mut self, end: usize) -> usize {
        self.rng.random_range(0..end.max(1))
    }

    /// A number from `lo` up to `hi`.
    pub(super) fn between(&mut self, lo: f64, hi: f64) -> f64 {
        lo + (hi - lo) * self.rng.random::<f64>()
    }

    /// Nearly normal, mean 0 and standard deviation 1: twelve uniform numbers less six.
    pub(super) fn normal(&mut self) -> f64 {
        (0..12).map(|_| self.rng.random::<f64>()).sum::<f64>() - 6.0
    }

    /// A place in `weights`, each with the chance of its weight.
    pub(super) fn weighted<const N: usize>(&mut self, weights: [f64; N]) -> usize {
        let mut left = self.between(0.0, weights.iter().sum());
        for (place, weight) in weights.iter().enumerate() {
            left -= weight;
            if left < 0.0 {
                return place;
            }
        }
        N - 1
    }
}

/// A moment of a day, so many seconds after midnight; the invented orchard keeps UTC.
pub(super) fn moment(day: NaiveDate, seconds: i64) -> Stamp {
    let at = day.and_time(NaiveTime::MIN) + TimeDelta::seconds(seconds);
    let at: DateTime<FixedOffset> = at.and_utc().fixed_offset();
    Stamp::of(at)
}

/// What the generator makes, the domain accepts; were it not so, this says it.
pub(super) fn made<T>(outcome: Result<T, impl Into<Faults>>) -> Result<T, StoreError> {
    outcome.map_err(|faults| StoreError::Damaged {
        what: "invented entry",
        source: faults.into(),
    })
}
