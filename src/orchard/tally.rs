//! What is tapped on a tree, and the sums of it.

use schemars::JsonSchema;
use serde::Serialize;

use super::Invalid;
use super::limits::{MAX_BUDS, OF_A_KIND};

/// Age class of fruiting wood. Wood of four years and older is one class.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Age {
    /// Grown last season.
    One,
    /// Two years old: carries the units.
    Two,
    /// Three years old.
    Three,
    /// Four years and older.
    FourPlus,
}

impl Age {
    /// All classes, youngest first.
    pub const ALL: [Self; 4] = [Self::One, Self::Two, Self::Three, Self::FourPlus];

    /// Place in arrays by age, 0 to 3.
    pub fn index(self) -> usize {
        self as usize
    }

    /// The class as the trade says it.
    pub fn word(self) -> &'static str {
        match self {
            Self::One => "one-year",
            Self::Two => "two-year",
            Self::Three => "three-year",
            Self::FourPlus => "four-plus",
        }
    }
}

/// Size of a unit of two-year wood, by its diameter.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Size {
    /// Below the first diameter of the rule.
    Thin,
    /// Between the two.
    Medium,
    /// From the second diameter up.
    Thick,
}

impl Size {
    /// All sizes, thinnest first.
    pub const ALL: [Self; 3] = [Self::Thin, Self::Medium, Self::Thick];

    /// Place in arrays by size, 0 to 2.
    pub fn index(self) -> usize {
        self as usize
    }

    /// The word in forms, sheets and files.
    pub fn word(self) -> &'static str {
        match self {
            Self::Thin => "thin",
            Self::Medium => "medium",
            Self::Thick => "thick",
        }
    }
}

/// Buds left on a unit: 0 to 6, or 7 for seven and more.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Buds(u8);

impl Buds {
    /// Checks that the number is within 0 to [`MAX_BUDS`].
    pub fn new(buds: u8) -> Result<Self, Invalid> {
        if buds <= MAX_BUDS {
            Ok(Self(buds))
        } else {
            Err(Invalid::new(
                "buds",
                format!("{buds} is above {MAX_BUDS}, which stands for seven or more"),
            ))
        }
    }

    /// All classes, fewest first.
    pub fn all() -> impl Iterator<Item = Self> {
        (0..=MAX_BUDS).map(Self)
    }

    /// The number with its noun: `1 bud`, `7 or more buds`.
    fn words(self) -> String {
        match self.0 {
            MAX_BUDS => format!("{MAX_BUDS} or more buds"),
            1 => "1 bud".to_owned(),
            buds => format!("{buds} buds"),
        }
    }

    /// The number; 7 stands for seven or more.
    pub fn get(self) -> u8 {
        self.0
    }
}

/// One tap: one thing seen on the tree.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Tap {
    /// A piece of fruiting wood of this age.
    Piece(Age),
    /// A piece of two-year wood with its size and the buds left on it, all in one.
    TwoYear(Size, Buds),
    /// The size and buds of a two-year piece that is tapped by itself: so versions before this one counted.
    Unit(Size, Buds),
    /// Upright one-year wood that was left standing.
    Upright,
    /// Thick wood left in the top third.
    ThickTop,
}

impl Tap {
    /// The tap in a few words, such as `thick unit, 4 buds`.
    pub fn words(self) -> String {
        match self {
            Self::Piece(age) => format!("{} piece", age.word()),
            Self::TwoYear(size, buds) => {
                format!("{} two-year piece, {}", size.word(), buds.words())
            }
            Self::Unit(size, buds) => format!("{} unit, {}", size.word(), buds.words()),
            Self::Upright => "upright one-year wood left".to_owned(),
            Self::ThickTop => "thick wood left in the top".to_owned(),
        }
    }
}

/// What was counted on one tree.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Tally {
    /// Pieces by age, youngest first.
    pub ages: [u32; 4],
    /// Units by size and buds left.
    pub units: [[u32; MAX_BUDS as usize + 1]; 3],
    /// Upright one-year wood left.
    pub upright: u32,
    /// Thick wood left in the top third.
    pub thick_top: u32,
}

impl Tally {
    /// What a tap counts in: a two-year piece with its buds in both of its places.
    fn slots(&mut self, tap: Tap) -> impl Iterator<Item = &mut u32> {
        let (age, unit, rest) = match tap {
            Tap::Piece(age) => (Some(age), None, None),
            Tap::TwoYear(size, buds) => (Some(Age::Two), Some((size, buds)), None),
            Tap::Unit(size, buds) => (None, Some((size, buds)), None),
            Tap::Upright => (None, None, Some(&mut self.upright)),
            Tap::ThickTop => (None, None, Some(&mut self.thick_top)),
        };
        let age = age.map(|age| &mut self.ages[age.index()]);
        let units = &mut self.units;
        let unit = unit.map(|(size, buds)| &mut units[size.index()][usize::from(buds.get())]);
        age.into_iter().chain(unit).chain(rest)
    }

    /// Counts one tap.
    pub fn add(&mut self, tap: Tap) -> Result<(), Invalid> {
        let most = *OF_A_KIND.end();
        if self.slots(tap).any(|slot| *slot >= most) {
            return Err(Invalid::new(
                "tally",
                format!("{most} of one kind is the most a tree can have"),
            ));
        }
        self.slots(tap).for_each(|slot| *slot += 1);
        Ok(())
    }

    /// Checks sums that came from a file.
    pub fn check(&self) -> Result<(), Invalid> {
        let all = self
            .ages
            .iter()
            .chain(self.units.iter().flatten())
            .chain([&self.upright, &self.thick_top]);
        match all.max() {
            Some(most) if !OF_A_KIND.contains(most) => Err(Invalid::new(
                "tally",
                format!("{most} of one kind is above {}", OF_A_KIND.end()),
            )),
            _ => Ok(()),
        }
    }

    /// All pieces.
    pub fn pieces(&self) -> u32 {
        self.ages.iter().sum()
    }

    /// All units.
    pub fn unit_count(&self) -> u32 {
        self.units.iter().flatten().sum()
    }

    /// Two-year pieces that are missing in a count of an earlier version, where the buds of a piece were tapped by
    /// themselves. None where no wood was counted by age: the buds alone may be what was looked at.
    pub fn missing_pieces(&self) -> u32 {
        if self.pieces() == 0 {
            return 0;
        }
        (self.unit_count()).saturating_sub(self.ages[Age::Two.index()])
    }

    /// Units of one size.
    pub fn units_of(&self, size: Size) -> u32 {
        self.units[size.index()].iter().sum()
    }

    /// Buds left on the units of one size; a unit of seven or more counts as seven.
    pub fn buds_of(&self, size: Size) -> u32 {
        self.units[size.index()]
            .iter()
            .zip(0..)
            .map(|(n, buds)| n * buds)
            .sum()
    }

    /// Whether nothing was counted yet.
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }

    /// Whether there is at least one of what a tap counts.
    pub fn has(&self, tap: Tap) -> bool {
        let counted = match tap {
            Tap::Piece(age) => self.ages[age.index()],
            Tap::TwoYear(size, buds) | Tap::Unit(size, buds) => {
                self.units[size.index()][usize::from(buds.get())]
            }
            Tap::Upright => self.upright,
            Tap::ThickTop => self.thick_top,
        };
        counted > 0
    }

    /// Taps that make it: ages youngest first, then two-year pieces with their buds, then the rest. Buds for which there
    /// is no piece, as earlier versions may have counted them, stand by themselves.
    pub fn taps(&self) -> Vec<Tap> {
        let mut taps = Vec::new();
        let mut push = |tap, n: u32| taps.extend(std::iter::repeat_n(tap, n as usize));
        let two = self.ages[Age::Two.index()];
        let mut pieces = two.min(self.unit_count());
        for age in Age::ALL {
            let with_buds = if age == Age::Two { pieces } else { 0 };
            push(Tap::Piece(age), self.ages[age.index()] - with_buds);
        }
        for size in Size::ALL {
            for buds in Buds::all() {
                let units = self.units[size.index()][usize::from(buds.get())];
                let whole = units.min(pieces);
                pieces -= whole;
                push(Tap::TwoYear(size, buds), whole);
                push(Tap::Unit(size, buds), units - whole);
            }
        }
        push(Tap::Upright, self.upright);
        push(Tap::ThickTop, self.thick_top);
        taps
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn any_tap() -> impl Strategy<Value = Tap> {
        prop_oneof![
            (0usize..4).prop_map(|i| Tap::Piece(Age::ALL[i])),
            ((0usize..3), (0u8..=MAX_BUDS)).prop_map(|(s, b)| Tap::Unit(Size::ALL[s], Buds(b))),
            ((0usize..3), (0u8..=MAX_BUDS)).prop_map(|(s, b)| Tap::TwoYear(Size::ALL[s], Buds(b))),
            Just(Tap::Upright),
            Just(Tap::ThickTop),
        ]
    }

    proptest! {
        #[test]
        fn the_taps_of_a_tally_make_it_again(taps in proptest::collection::vec(any_tap(), 0..80)) {
            let mut tally = Tally::default();
            for tap in &taps { tally.add(*tap).unwrap(); }
            let mut again = Tally::default();
            for tap in tally.taps() { again.add(tap).unwrap(); }
            prop_assert_eq!(tally, again);
            prop_assert!(tally.taps().len() <= taps.len());
            let by_itself = |tap: &Tap| matches!(tap, Tap::Unit(..));
            let missing = tally.taps().into_iter().filter(by_itself).count() as u32;
            prop_assert_eq!(missing, tally.unit_count().saturating_sub(tally.ages[1]));
        }
    }

    #[test]
    fn a_two_year_piece_with_its_buds_is_one_tap() {
        let mut tally = Tally::default();
        let tap = Tap::TwoYear(Size::Medium, Buds(3));
        tally.add(tap).unwrap();
        assert_eq!(
            (tally.ages, tally.unit_count(), tally.buds_of(Size::Medium)),
            ([0, 1, 0, 0], 1, 3)
        );
        assert_eq!((tally.taps(), tally.missing_pieces()), (vec![tap], 0));
        assert_eq!(tap.words(), "medium two-year piece, 3 buds");
    }

    #[test]
    fn units_beyond_the_two_year_pieces_are_missing_ones() {
        let mut tally = Tally::default();
        let unit = Tap::Unit(Size::Thin, Buds::new(2).unwrap());
        tally.add(unit).unwrap();
        tally.add(unit).unwrap();
        // buds alone: no mix is made of them
        assert_eq!(tally.missing_pieces(), 0);
        tally.add(Tap::Piece(Age::One)).unwrap();
        assert_eq!(tally.missing_pieces(), 2);
        for _ in 0..3 {
            tally.add(Tap::Piece(Age::Two)).unwrap();
        }
        assert_eq!(tally.missing_pieces(), 0);
    }

    #[test]
    fn sums_by_size() {
        let mut tally = Tally::default();
        for buds in [4, 7, 5] {
            tally
                .add(Tap::Unit(Size::Thick, Buds::new(buds).unwrap()))
                .unwrap();
        }
        assert_eq!(
            (tally.units_of(Size::Thick), tally.buds_of(Size::Thick)),
            (3, 16)
        );
        assert_eq!(tally.units_of(Size::Thin), 0);
        assert!(Buds::new(8).is_err());
    }
}
