//! Where a number stands on an axis of a few cells.

/// A place on an axis.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Spot {
    /// Before its first cell.
    Below,
    /// In this cell, from 0.
    At(u16),
    /// Behind its last cell.
    Above,
}

impl Spot {
    /// The nearest cell on the axis.
    pub(super) fn clamped(self, cells: u16) -> u16 {
        match self {
            Self::Below => 0,
            Self::At(cell) => cell,
            Self::Above => cells.saturating_sub(1),
        }
    }
}

/// The cell of a value on an axis; none where the value, the axis or the cells make no sense.
pub(super) fn spot(value: f64, axis: (f64, f64), cells: u16) -> Option<Spot> {
    let (lo, hi) = axis;
    let span = hi - lo;
    if cells == 0 || value.is_nan() || !span.is_finite() || span <= 0.0 {
        return None;
    }
    let share = (value - lo) / span;
    // Rounding must not put the end of the axis off it.
    if share < -1e-9 {
        Some(Spot::Below)
    } else if share > 1.0 + 1e-9 {
        Some(Spot::Above)
    } else {
        let last = f64::from(cells - 1);
        Some(Spot::At((share * last).round().clamp(0.0, last) as u16))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_have_their_cell() {
        let axis = (0.0, 1.0);
        assert_eq!(spot(0.0, axis, 11), Some(Spot::At(0)));
        assert_eq!(spot(0.5, axis, 11), Some(Spot::At(5)));
        assert_eq!(spot(1.0, axis, 11), Some(Spot::At(10)));
        assert_eq!(spot(1.1, axis, 11), Some(Spot::Above));
        assert_eq!(spot(f64::NEG_INFINITY, axis, 11), Some(Spot::Below));
        assert_eq!(spot(f64::NAN, axis, 11), None);
        assert_eq!(spot(0.5, (1.0, 1.0), 11), None);
        assert_eq!(spot(0.5, axis, 0), None);
        assert_eq!(Spot::Above.clamped(0), 0);
    }
}
