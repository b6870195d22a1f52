//! How wide the columns of a table are.

/// What a column asks for, in points.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Wish {
    /// Its widest cell on one line.
    pub full: f32,
    /// Its widest word, below which words are broken.
    pub least: f32,
}

/// Widths of the columns, together at most `room`: in full where there is room; else each has its widest word and
/// what is left goes to those that want most; else each has its part of what there is.
pub(super) fn widths(wishes: &[Wish], room: f32) -> Vec<f32> {
    let full: f32 = wishes.iter().map(|wish| wish.full).sum();
    let least: f32 = wishes.iter().map(|wish| wish.least).sum();
    if full <= room {
        wishes.iter().map(|wish| wish.full).collect()
    } else if least <= room {
        let share = (room - least) / (full - least);
        let width = |wish: &Wish| wish.least + share * (wish.full - wish.least);
        wishes.iter().map(width).collect()
    } else {
        squeezed(wishes, room)
    }
}

/// The widest columns give way first: all that are wider than some width are cut to it.
fn squeezed(wishes: &[Wish], room: f32) -> Vec<f32> {
    let mut ordered: Vec<f32> = wishes.iter().map(|wish| wish.least).collect();
    ordered.sort_by(f32::total_cmp);
    let mut left = room;
    let mut most = 0.0;
    for (at, width) in ordered.iter().enumerate() {
        most = left / (ordered.len() - at) as f32;
        if *width > most {
            break;
        }
        left -= width;
    }
    wishes.iter().map(|wish| wish.least.min(most)).collect()
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

    #[test]
    fn words_give_way_before_figures() {
        let wishes = [wish(200.0, 40.0), wish(30.0, 30.0)];
        assert_eq!(widths(&wishes, 150.0), [120.0, 30.0]);
    }

    #[test]
    fn a_word_without_end_gives_way_before_figures() {
        let wishes = [wish(900.0, 900.0), wish(30.0, 30.0), wish(20.0, 20.0)];
        assert_eq!(widths(&wishes, 150.0), [100.0, 30.0, 20.0]);
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
