//! The figures of a count as columns.

use super::cells::{Cells, whole};
use crate::orchard::Tally;

/// The headings of the figures: pieces by age, the two extras, units by size and buds left.
pub const FIGURES: [&str; 30] = [
    "one",
    "two",
    "three",
    "four_plus",
    "upright",
    "thick_top",
    "thin_0",
    "thin_1",
    "thin_2",
    "thin_3",
    "thin_4",
    "thin_5",
    "thin_6",
    "thin_7plus",
    "medium_0",
    "medium_1",
    "medium_2",
    "medium_3",
    "medium_4",
    "medium_5",
    "medium_6",
    "medium_7plus",
    "thick_0",
    "thick_1",
    "thick_2",
    "thick_3",
    "thick_4",
    "thick_5",
    "thick_6",
    "thick_7plus",
];

/// The figures in the order of [`FIGURES`].
pub fn figures_of(tally: &Tally) -> impl Iterator<Item = u32> + '_ {
    let extras = [tally.upright, tally.thick_top];
    tally
        .ages
        .into_iter()
        .chain(extras)
        .chain(tally.units.iter().flatten().copied())
}

fn slots(tally: &mut Tally) -> impl Iterator<Item = &mut u32> {
    let extras = [&mut tally.upright, &mut tally.thick_top];
    tally
        .ages
        .iter_mut()
        .chain(extras)
        .chain(tally.units.iter_mut().flatten())
}

/// Reads the figures: an empty cell is none, a column that is left out leaves what is stored.
pub(super) fn read_figures(cells: &mut Cells<'_>, old: Option<&Tally>) -> Tally {
    let mut tally = old.copied().unwrap_or_default();
    for (slot, column) in slots(&mut tally).zip(FIGURES) {
        *slot = cells.get(column, *slot, 0, |raw| {
            let figure = whole(raw)?;
            let alone = Tally {
                upright: figure,
                ..Tally::default()
            };
            alone.check()?;
            Ok::<_, super::cells::Reason>(figure)
        });
    }
    tally
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::orchard::{Age, Buds, MAX_BUDS, Size, Tap};

    /// Each heading names the figure that it holds.
    #[test]
    fn every_tap_has_its_heading() -> Result<(), crate::orchard::Invalid> {
        let mut expected = vec![];
        let ages = ["one", "two", "three", "four_plus"];
        expected.extend(
            ages.into_iter()
                .map(str::to_owned)
                .zip(Age::ALL.map(Tap::Piece)),
        );
        expected.push(("upright".into(), Tap::Upright));
        expected.push(("thick_top".into(), Tap::ThickTop));
        for size in Size::ALL {
            for buds in Buds::all() {
                let plus = if buds.get() == MAX_BUDS { "plus" } else { "" };
                let name = format!("{}_{}{plus}", size.word(), buds.get());
                expected.push((name, Tap::Unit(size, buds)));
            }
        }
        assert_eq!(expected.len(), FIGURES.len());
        for (at, (name, tap)) in expected.into_iter().enumerate() {
            let mut tally = Tally::default();
            tally.add(tap)?;
            let found = figures_of(&tally).position(|figure| figure == 1);
            assert_eq!((found, FIGURES[at]), (Some(at), name.as_str()));
            assert_eq!(slots(&mut tally).position(|slot| *slot == 1), Some(at));
        }
        Ok(())
    }
}
