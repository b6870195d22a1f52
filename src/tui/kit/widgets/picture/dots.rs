//! From shapes to dots.

use crate::report::document::Fill;

/// The dots of one shape on a grid, x to the right and y downwards from the top left corner.
#[derive(Debug)]
pub struct Dots {
    size: (i32, i32),
    set: Vec<(i32, i32)>,
}

impl Dots {
    /// No dot of a grid of so many across and down.
    pub fn new(size: (i32, i32)) -> Self {
        Self {
            size,
            set: Vec::new(),
        }
    }

    /// All dots set since the last time.
    pub fn take(&mut self) -> impl Iterator<Item = (i32, i32)> + use<> {
        std::mem::take(&mut self.set).into_iter()
    }

    fn put(&mut self, x: i32, y: i32) {
        if (0..self.size.0).contains(&x) && (0..self.size.1).contains(&y) {
            self.set.push((x, y));
        }
    }

    /// The dot that a point falls in; the far edge belongs to the last dot.
    fn cell(&self, (x, y): (f64, f64)) -> (i32, i32) {
        let within = |v: f64, most: i32| (v.floor() as i32).clamp(0, (most - 1).max(0));
        (within(x, self.size.0), within(y, self.size.1))
    }

    /// A line through points.
    pub fn line(&mut self, points: &[(f64, f64)], closed: bool, dashed: bool) {
        let ends = points.windows(2).map(|pair| (pair[0], pair[1]));
        let last = (points.last().copied()).zip(points.first().copied());
        let back = last.filter(|_| closed);
        for (from, to) in ends.chain(back) {
            let (from, to) = (self.cell(from), self.cell(to));
            let (across, down) = (to.0 - from.0, to.1 - from.1);
            let steps = across.abs().max(down.abs());
            for step in 0..=steps {
                // three dots on, two off
                if dashed && step % 5 > 2 {
                    continue;
                }
                let along = |from: i32, by: i32| {
                    from + (f64::from(by) * f64::from(step) / f64::from(steps.max(1))).round()
                        as i32
                };
                self.put(along(from.0, across), along(from.1, down));
            }
        }
    }

    /// The dots within a closed line that the fill has.
    pub fn fill(&mut self, points: &[(f64, f64)], fill: Fill) {
        if fill == Fill::Empty {
            return;
        }
        let ys = || points.iter().map(|(_, y)| *y);
        let top = ys().fold(f64::INFINITY, f64::min).floor().max(0.0) as i32;
        let bottom = ys().fold(0.0, f64::max).ceil().min(f64::from(self.size.1)) as i32;
        for y in top..bottom {
            let mut cuts = crossings(points, f64::from(y) + 0.5);
            cuts.sort_by(f64::total_cmp);
            for pair in cuts.chunks_exact(2) {
                let from = (pair[0] - 0.5).ceil().max(0.0) as i32;
                let to = (pair[1] - 0.5).ceil().min(f64::from(self.size.0)) as i32;
                for x in from..to {
                    if has(fill, x, y) {
                        self.put(x, y);
                    }
                }
            }
        }
    }

    /// A disc, or a ring; at least four dots, so that it can be seen.
    pub fn circle(&mut self, at: (f64, f64), radius: f64, full: bool) {
        if !(at.0.is_finite() && at.1.is_finite() && radius.is_finite()) {
            return;
        }
        let radius = radius.clamp(0.9, f64::from(self.size.0 + self.size.1));
        let within = |v: f64, most: i32| (v as i32).clamp(0, most);
        let (left, top) = (
            within((at.0 - radius).floor(), self.size.0),
            within((at.1 - radius).floor(), self.size.1),
        );
        let (right, bottom) = (
            within((at.0 + radius).ceil(), self.size.0),
            within((at.1 + radius).ceil(), self.size.1),
        );
        for y in top..=bottom {
            for x in left..=right {
                let away = (f64::from(x) + 0.5 - at.0).hypot(f64::from(y) + 0.5 - at.1);
                if away <= radius && (full || radius < 2.0 || away > radius - 1.0) {
                    self.put(x, y);
                }
            }
        }
    }
}

/// Where a level line crosses a closed line.
fn crossings(points: &[(f64, f64)], y: f64) -> Vec<f64> {
    let next = points.iter().cycle().skip(1);
    let cut = |(from, to): (&(f64, f64), &(f64, f64))| {
        ((from.1 <= y) != (to.1 <= y))
            .then(|| from.0 + (y - from.1) / (to.1 - from.1) * (to.0 - from.0))
    };
    points.iter().zip(next).filter_map(cut).collect()
}

/// Whether a fill has a dot.
fn has(fill: Fill, x: i32, y: i32) -> bool {
    match fill {
        Fill::Empty => false,
        Fill::Solid => true,
        Fill::Light => (x + 2 * y) % 4 == 0,
        Fill::Rising => (x + y) % 3 == 0,
        Fill::Falling => (x - y).rem_euclid(3) == 0,
        Fill::Dotted => x % 2 == 0 && y % 2 == 0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sorted(dots: &mut Dots) -> Vec<(i32, i32)> {
        let mut all: Vec<_> = dots.take().collect();
        all.sort_unstable();
        all.dedup();
        all
    }

    #[test]
    fn a_square_has_its_dots_and_no_other() {
        let mut dots = Dots::new((10, 10));
        let square = [(2.0, 3.0), (5.0, 3.0), (5.0, 5.0), (2.0, 5.0)];
        dots.fill(&square, Fill::Solid);
        assert_eq!(
            sorted(&mut dots),
            [(2, 3), (2, 4), (3, 3), (3, 4), (4, 3), (4, 4)]
        );
        dots.fill(&square, Fill::Empty);
        assert!(sorted(&mut dots).is_empty());
    }

    #[test]
    fn nothing_is_set_beyond_the_grid() {
        let mut dots = Dots::new((4, 4));
        dots.line(&[(-50.0, -50.0), (900.0, 4.0)], false, false);
        dots.fill(
            &[(-9.0, -9.0), (99.0, -9.0), (99.0, 99.0), (-9.0, 99.0)],
            Fill::Solid,
        );
        dots.circle((0.0, 0.0), 30.0, true);
        assert!(
            dots.take()
                .all(|(x, y)| (0..4).contains(&x) && (0..4).contains(&y))
        );
    }

    #[test]
    fn a_small_circle_can_be_seen_and_dashes_have_gaps() {
        let mut dots = Dots::new((20, 20));
        dots.circle((8.0, 8.0), 0.1, false);
        assert_eq!(sorted(&mut dots).len(), 4);
        dots.line(&[(0.0, 0.0), (19.0, 0.0)], false, true);
        assert_eq!(sorted(&mut dots).len(), 12);
    }
}
