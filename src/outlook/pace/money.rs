//! Money, exactly: whole numbers of the currency's smallest unit, never floating point.

use std::iter::Sum;

use schemars::JsonSchema;
use serde::Serialize;

use crate::orchard::limits::PAY;
use crate::orchard::{Invalid, TREE, Trees};

/// The highest rate, in the currency's smallest unit.
const MAX_RATE: i64 = 1_000_000_000;
/// Parts that a rate splits the smallest unit into: four more decimals, for pay by the tree.
const RATE_PARTS: i64 = 10_000;
const RATE_DIGITS: usize = 4;

/// The orchard's own currency.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Currency {
    /// One to four capital letters.
    code: String,
    /// Decimals, 0 to 3.
    digits: u8,
}

impl Default for Currency {
    /// Euro and cent.
    fn default() -> Self {
        Self {
            code: "EUR".to_owned(),
            digits: 2,
        }
    }
}

impl Currency {
    /// Reads a code and, if not 2, its decimals: `EUR`, `JPY 0`.
    pub fn parse(raw: &str) -> Result<Self, Invalid> {
        let mut words = raw.split_whitespace();
        let (code, digits) = (words.next().unwrap_or_default(), words.next());
        let digits = digits.map_or(Ok(2), str::parse);
        match (digits, words.next()) {
            (Ok(digits), None) => Self::new(&code.to_ascii_uppercase(), digits),
            _ => Err(Invalid::new(
                "currency",
                format!(
                    "{:?} is not a code and its decimals, such as EUR 2",
                    raw.trim()
                ),
            )),
        }
    }

    /// What [`Currency::parse`] reads: `EUR 2`.
    pub fn text(&self) -> String {
        format!("{} {}", self.code, self.digits)
    }

    /// A currency: its code, one to four capital letters such as `EUR`, and how many decimals it has, 0 to 3.
    pub fn new(code: &str, digits: u8) -> Result<Self, Invalid> {
        let code = code.trim();
        if !(1..=4).contains(&code.len()) || !code.bytes().all(|b| b.is_ascii_uppercase()) {
            let problem = format!("{code:?} is not one to four capital letters, such as EUR");
            return Err(Invalid::new("currency", problem));
        }
        if digits > 3 {
            let problem = format!("{digits} decimals; 0 to 3 are accepted");
            return Err(Invalid::new("currency", problem));
        }
        Ok(Self {
            code: code.to_owned(),
            digits,
        })
    }

    /// The code.
    pub fn code(&self) -> &str {
        &self.code
    }

    /// Decimals, 0 to 3.
    pub fn digits(&self) -> u8 {
        self.digits
    }

    /// An amount with its code, such as `1234.50 EUR`.
    pub fn show(&self, money: Money) -> String {
        format!("{} {}", self.amount(money), self.code)
    }

    /// An amount without its code, such as `1234.50`.
    pub fn amount(&self, money: Money) -> String {
        let digits = usize::from(self.digits);
        decimal(i128::from(money.0), digits, digits)
    }

    /// A rate without its code, such as `25.50` or `0.4125`: at least the currency's decimals.
    pub fn show_rate(&self, rate: Rate) -> String {
        let digits = usize::from(self.digits);
        decimal(i128::from(rate.0), digits + RATE_DIGITS, digits)
    }

    /// Reads a rate such as `25.50` or `0,4125`: not negative, at most four decimals more than the currency has.
    pub fn parse_rate(&self, raw: &str) -> Result<Rate, Invalid> {
        let text = raw.trim();
        let most = usize::from(self.digits) + RATE_DIGITS;
        let wrong = || {
            let problem =
                format!("{text:?} is not an amount such as 25.50 with at most {most} decimals");
            Invalid::new("rate", problem)
        };
        let (whole, part) = text.split_once(['.', ',']).unwrap_or((text, "0"));
        let is_number = |s: &str| !s.is_empty() && s.bytes().all(|b| b.is_ascii_digit());
        if !is_number(whole) || !is_number(part) || part.len() > most {
            return Err(wrong());
        }
        let value: i64 = format!("{whole}{part:0<most$}")
            .parse()
            .map_err(|_| wrong())?;
        Rate::new(value)
    }
}

/// A whole number written with `digits` decimals, of which zeros are dropped beyond the first `keep`.
fn decimal(value: i128, digits: usize, keep: usize) -> String {
    let sign = if value < 0 { "-" } else { "" };
    let mut text = format!("{:0>width$}", value.unsigned_abs(), width = digits + 1);
    let point = text.len() - digits;
    while text.len() - point > keep && text.ends_with('0') {
        text.pop();
    }
    if text.len() > point {
        text.insert(point, '.');
    }
    format!("{sign}{text}")
}

/// An amount in the currency's smallest unit (cents). Sums stop at the ends of `i64` instead of wrapping.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, JsonSchema,
)]
#[serde(transparent)]
pub struct Money(pub i64);

impl Money {
    /// Nothing.
    pub const ZERO: Self = Self(0);

    /// The sum of two amounts.
    #[must_use]
    pub fn plus(self, other: Self) -> Self {
        Self(self.0.saturating_add(other.0))
    }

    /// `self` × `part` / `whole`, rounded half up; all of it where `whole` is 0.
    #[must_use]
    pub fn portion(self, part: u64, whole: u64) -> Self {
        if whole == 0 {
            return self;
        }
        Self(half_up(
            i128::from(self.0) * i128::from(part),
            i128::from(whole),
        ))
    }
}

impl Sum for Money {
    fn sum<I: Iterator<Item = Self>>(amounts: I) -> Self {
        amounts.fold(Self::ZERO, Self::plus)
    }
}

/// `over` / `under` (above 0), rounded half up, held within `i64`.
pub(super) fn half_up(over: i128, under: i128) -> i64 {
    let rounded = (2 * over + under).div_euclid(2 * under);
    i64::try_from(rounded).unwrap_or(if rounded < 0 { i64::MIN } else { i64::MAX })
}

/// What an hour or a tree is paid: ten-thousandths of the currency's smallest unit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(transparent)]
pub struct Rate(i64);

impl Rate {
    /// A rate in ten-thousandths of the smallest unit; not negative, at most 10⁹ smallest units.
    pub fn new(ten_thousandths: i64) -> Result<Self, Invalid> {
        if (0..=MAX_RATE * RATE_PARTS).contains(&ten_thousandths) {
            Ok(Self(ten_thousandths))
        } else {
            Err(Invalid::new(
                "rate",
                format!("is outside 0 to {MAX_RATE} of the smallest unit"),
            ))
        }
    }

    /// As [`Rate::new`], where the limits are known to hold.
    pub(super) fn of_ten_thousandths(value: i64) -> Option<Self> {
        Self::new(value).ok()
    }

    /// Ten-thousandths of the smallest unit.
    pub fn ten_thousandths(self) -> i64 {
        self.0
    }

    /// A rate in ten-millionths of the currency's main unit, as it is stored: so it does not depend on the decimals.
    /// What the currency cannot hold is rounded half up. At most 10⁶ main units.
    pub fn from_stored(currency: &Currency, ten_millionths: i64) -> Result<Self, Invalid> {
        let parts = 10i128.pow(3 - u32::from(currency.digits));
        Self::new(half_up(i128::from(ten_millionths), parts))
    }

    /// What [`Rate::from_stored`] reads; refused beyond 10⁶ main units.
    pub fn stored(self, currency: &Currency) -> Result<i64, Invalid> {
        let value = self
            .0
            .saturating_mul(10i64.pow(3 - u32::from(currency.digits)));
        if !PAY.contains(&value) {
            return Err(Invalid::new("rate", "is over 1000000 of the currency"));
        }
        Ok(value)
    }

    /// The pay for some minutes, this being the pay for an hour; rounded half up to the smallest unit.
    pub fn for_minutes(self, minutes: u32) -> Money {
        let over = i128::from(self.0) * i128::from(minutes);
        Money(half_up(over, i128::from(60 * RATE_PARTS)))
    }

    /// The pay for some trees, this being the pay for one; rounded half up to the smallest unit.
    pub fn for_trees(self, trees: Trees) -> Money {
        let over = i128::from(self.0) * i128::from(trees.parts());
        Money(half_up(over, i128::from(RATE_PARTS) * i128::from(TREE)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn amounts_are_written_with_their_decimals() {
        let euro = Currency::new("EUR", 2).unwrap();
        assert_eq!(euro.show(Money(123_450)), "1234.50 EUR");
        assert_eq!(euro.show(Money(-5)), "-0.05 EUR");
        assert_eq!(Currency::new("JPY", 0).unwrap().show(Money(7)), "7 JPY");
        for (code, digits) in [("eur", 2), ("", 2), ("EUROS", 2), ("EUR", 4)] {
            assert!(Currency::new(code, digits).is_err());
        }
    }

    #[test]
    fn pay_is_rounded_half_up_to_the_smallest_unit() {
        let euro = Currency::new("EUR", 2).unwrap();
        let rate = |raw| euro.parse_rate(raw).unwrap();
        assert_eq!(rate("25.50").for_minutes(450), Money(19_125));
        assert_eq!(rate("0.10").for_minutes(3), Money(1)); // 0.5 cents
        assert_eq!(rate("0.10").for_minutes(2), Money(0)); // 0.33 cents
        assert_eq!(rate("0.4125").for_trees(Trees::whole(3)), Money(124)); // 123.75 cents
        assert_eq!(rate("0.1").for_trees(Trees::whole(3)), Money(30)); // in binary fractions 0.1 * 3 is not 0.3
        assert_eq!(Money(5).portion(1, 2), Money(3));
        for wrong in [
            "",
            "-1",
            "1.2.3",
            "0.1234567",
            "1e3",
            "12.",
            "99999999999999",
        ] {
            assert!(euro.parse_rate(wrong).is_err(), "{wrong}");
        }
    }

    #[test]
    fn a_stored_rate_outlives_another_currency() {
        let [yen, euro, dinar] = ["JPY 0", "eur", "KWD 3"].map(|raw| Currency::parse(raw).unwrap());
        assert_eq!((yen.text(), euro.text()), ("JPY 0".into(), "EUR 2".into()));
        let rate = euro.parse_rate("25.5").unwrap();
        let stored = rate.stored(&euro).unwrap();
        for currency in [&yen, &euro, &dinar] {
            let again = Rate::from_stored(currency, stored).unwrap();
            assert_eq!(again.stored(currency), Ok(stored));
            assert!(currency.show_rate(again).starts_with("25.5"));
        }
        assert!(yen.parse_rate("1000001").unwrap().stored(&yen).is_err());
        for wrong in ["", "EUR two", "EUR 2 3", "EUR 9", "E1"] {
            assert!(Currency::parse(wrong).is_err(), "{wrong}");
        }
    }

    proptest! {
        #[test]
        fn a_rate_reads_back(value in 0i64..=MAX_RATE * RATE_PARTS, digits in 0u8..=3) {
            let currency = Currency::new("XTS", digits).unwrap();
            let rate = Rate::new(value).unwrap();
            prop_assert_eq!(currency.parse_rate(&currency.show_rate(rate)).unwrap(), rate);
        }

        #[test]
        fn rounding_is_within_half_a_unit(value in 0i64..1_000_000_000, minutes in 0u32..100_000) {
            let exact = i128::from(value) * i128::from(minutes);
            let paid = i128::from(Rate::new(value).unwrap().for_minutes(minutes).0) * 600_000;
            prop_assert!((paid - exact).abs() * 2 <= 600_000);
        }
    }
}
