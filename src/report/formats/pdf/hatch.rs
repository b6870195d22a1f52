//! Hatches: strokes and dots that fill a shape, so that shapes are told apart without colour.

/// Distance between strokes or dots, in points.
const STEP: f32 = 4.0;
/// Strokes in one shape at most: far more than a page can show.
const AT_MOST: usize = 2000;

/// A line from one point to another.
pub(super) type Stroke = ((f32, f32), (f32, f32));

/// Edges of a rectangle: left, top, right, bottom.
pub(super) type Edges = (f32, f32, f32, f32);

/// Strokes across a rectangle, rising to the right or falling. They keep the same raster over a whole
/// picture, so that neighbours meet without a jog.
pub(super) fn slanted((left, top, right, bottom): Edges, rising: bool) -> Vec<Stroke> {
    let high = bottom - top;
    // where a stroke meets the upper edge; it meets the lower one `high` to the side
    let (from, to) = if rising {
        (left + top, right + bottom)
    } else {
        (left - bottom, right - top)
    };
    let stroke = |k: f32| {
        if rising {
            ((k - bottom, bottom), (k - top, top))
        } else {
            ((k + top, top), (k + bottom, bottom))
        }
    };
    if high <= 0.0 {
        return Vec::new();
    }
    raster(from, to).map(stroke).collect()
}

/// Lines along which dots stand.
pub(super) fn level((left, top, right, bottom): Edges) -> Vec<Stroke> {
    let start = (left / STEP).floor() * STEP;
    raster(top, bottom)
        .map(|y| ((start, y), (right, y)))
        .collect()
}

/// Distance between dots on a line.
pub(super) const fn step() -> f32 {
    STEP
}

fn raster(from: f32, to: f32) -> impl Iterator<Item = f32> {
    let first = (from / STEP).ceil();
    let count = ((to - first * STEP) / STEP).floor() + 1.0;
    let count = if count > 0.0 { count as usize } else { 0 };
    (0..count.min(AT_MOST)).map(move |at| (first + at as f32) * STEP)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn strokes_rise_and_fall_to_the_right() {
        let edges = (10.0, 20.0, 50.0, 40.0);
        for (a, b) in slanted(edges, true) {
            assert!(a.0 < b.0 && a.1 > b.1, "down the page is down: {a:?} {b:?}");
        }
        for (a, b) in slanted(edges, false) {
            assert!(a.0 < b.0 && a.1 < b.1);
        }
        assert_eq!(slanted(edges, true).len(), 15, "x + y is 32, 36, … 88");
        assert_eq!(level(edges).len(), 6);
    }

    #[test]
    fn a_shape_without_end_has_an_end() {
        let wide = (0.0, 0.0, 1e9, 1e9);
        assert!(slanted(wide, true).len() <= AT_MOST);
        assert!(slanted((5.0, 5.0, 5.0, 5.0), false).is_empty());
    }
}
