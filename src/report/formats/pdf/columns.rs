//! How wide the columns of a table are.

/// What a column asks for, in points.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Wish {
    /// Its widest cell on one line.
    pub full: f32,
    /// Its widest word, below which words are broken.
    pub least: f32,
}

/// Widths of the columns, together at most `room`: in full where there is room; else the widest give way first, none
/// below its widest word while words fit; else the widest words are broken first.
pub(super) fn widths(wishes: &[Wish], room: f32) -> Vec<f32> {
    let full: f32 = wishes.iter().map(|wish| wish.full).sum();
    let least: f32 = wishes.iter().map(|wish| wish.least).sum();
    if full <= room {
        wishes.iter().map(|wish| wish.full).collect()
    } else if least <= room {
        level(room, |most| {
            wishes
                .iter()
                .map(|wish| wish.full.min(most).max(wish.least))
                .collect()
        })
    } else {
        level(room, |most| {
            wishes.iter().map(|wish| wish.least.min(most)).collect()
        })
    }
}

/// The widths under the highest limit that keeps them together within `room`, to a thousandth of a point.
fn level(room: f32, widths: impl Fn(f32) -> Vec<f32>) -> Vec<f32> {
    let (mut low, mut high) = (0.0, room);
    while high - low > 1e-3 {
        let middle = f32::midpoint(low, high);
        if widths(middle).iter().sum::<f32>() <= room {
            low = middle;
        } else {
            high = middle;
        }
    }
    widths(low)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn wish(full: f32, least: f32) -> Wish {
        Wish { full, least }
    }

    #[test]
    fn columns_are_as_wide_as_their_content() {
        let wishes = [wish(80.0, 40.0), wish(30.0, 30.0)];
        assert_eq!(widths(&wishes, 200.0), [80.0, 30.0]);
    }

    fn near(widths: &[f32], wanted: &[f32]) -> bool {
        widths.len() == wanted.len()
            && widths
                .iter()
                .zip(wanted)
                .all(|(width, wanted)| (width - wanted).abs() < 0.01)
    }

    #[test]
    fn long_texts_give_way_before_names_and_figures() {
        let wishes = [wish(80.0, 40.0), wish(30.0, 30.0), wish(900.0, 60.0)];
        assert!(near(&widths(&wishes, 250.0), &[80.0, 30.0, 140.0]));
    }

    #[test]
    fn a_word_without_end_gives_way_before_figures() {
        let wishes = [wish(900.0, 900.0), wish(30.0, 30.0), wish(20.0, 20.0)];
        assert!(near(&widths(&wishes, 150.0), &[100.0, 30.0, 20.0]));
    }

    proptest! {
        #[test]
        fn columns_never_leave_the_page(
            pairs in prop::collection::vec((0.0f32..2000.0, 0.0f32..1.0), 1..15),
            room in 100.0f32..600.0,
        ) {
            let wishes: Vec<Wish> = pairs.iter().map(|(full, part)| wish(*full, full * part)).collect();
            let widths = widths(&wishes, room);
            prop_assert_eq!(widths.len(), wishes.len());
            prop_assert!(widths.iter().sum::<f32>() <= room + 0.1);
            for (width, wish) in widths.iter().zip(&wishes) {
                prop_assert!(*width >= 0.0 && *width <= wish.full + 0.1);
            }
        }
    }
}
