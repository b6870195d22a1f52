//! The counted trees between wood of one, two and three years: each a point in a triangle.

use std::fmt::Write as _;

use super::legend::{Swatch, legend};
use super::{Labels, Room, band_words, cross, nothing, titled};
use crate::report::Standing;
use crate::report::document::letters::{self, LINE};
use crate::report::document::{Anchor, Drawing, Fill, Ink, Picture};
use crate::report::fit::percent;

/// Height of a triangle of sides 1.
const TALL: f64 = 0.866_025_403_784_438_6;
/// Radius of the mean: in a terminal more than the four dots of a tree.
const MEAN: f64 = 4.6;
/// The most trees that are shown: more would cover one another.
const MOST_SHOWN: usize = 2_000;
/// From so many points a side on, lines of equal shares are drawn.
const LINES_FROM: f64 = 200.0;

/// The point of three shares in a triangle of sides 1, y upwards: one-year wood at (0, 0), two-year at the top
/// (1/2, √3/2), three-year at (1, 0). The usual barycentric coordinates; none where the three are
/// not finite, are negative, or add up to nothing.
fn ternary_xy(ages: [f64; 3]) -> Option<(f64, f64)> {
    let sum: f64 = ages.iter().sum();
    if !(sum.is_finite() && sum > 0.0 && ages.iter().all(|a| *a >= 0.0)) {
        return None;
    }
    let [_, two, three] = ages.map(|a| a / sum);
    Some((three + two / 2.0, two * TALL))
}

/// The corners, in order, of the part of the triangle where each share is within its `(least, most)`: up to six. Each
/// limit cuts the triangle by a straight line (the clipping of Sutherland and Hodgman, 1974). Empty where no mix is
/// within all of them.
fn tolerance_corners(limits: [(f64, f64); 3]) -> Vec<[f64; 3]> {
    let mut corners = vec![[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]];
    for (age, (least, most)) in limits.into_iter().enumerate() {
        corners = clip(&corners, |c| c[age] - least);
        corners = clip(&corners, |c| most - c[age]);
    }
    corners
}

/// The part of a convex shape where `inside` is not negative. `inside` is linear; what is not a
/// number counts as outside.
fn clip(corners: &[[f64; 3]], inside: impl Fn(&[f64; 3]) -> f64) -> Vec<[f64; 3]> {
    let mut kept = Vec::new();
    for (i, here) in corners.iter().enumerate() {
        let next = &corners[(i + 1) % corners.len()];
        let (a, b) = (inside(here), inside(next));
        if a >= 0.0 {
            kept.push(*here);
        }
        if (a > 0.0 && b < 0.0) || (a < 0.0 && b > 0.0) {
            let along = a / (a - b);
            kept.push([0, 1, 2].map(|k| here[k] + along * (next[k] - here[k])));
        }
    }
    kept
}

/// The limits of the rule on the scale of the triangle: the three targets add up to 1 there, also where the rule lets
/// some older wood stay.
fn limits(standing: &Standing) -> [(f64, f64); 3] {
    let whole: f64 = standing.target[..3].iter().sum();
    [0, 1, 2].map(|age| {
        let band = standing.bands[age];
        (band.lo / whole, band.hi / whole)
    })
}

/// Draws the trees of a standing, their mean, and the rule's target with what it accepts around it.
pub fn ternary(standing: &Standing, labels: &Labels, room: Room) -> Picture {
    let room = room.at_least(180.0, 10.0 * LINE);
    let title = titled(&labels.ternary_title, standing.subject.shown());
    if standing.tree_mixes.is_empty() {
        return nothing(title, labels, room);
    }
    let mut drawing = room.field();
    let trees = standing.tree_mixes.len();
    let ring = match shown(trees) {
        all if all == trees => labels.tree.clone(),
        some => format!("{some} {} {trees} {}", labels.of, labels.trees).into(),
    };
    let entries = [
        (Swatch::Dot(Ink::Faint, Fill::Empty, 2.0), &*ring),
        (Swatch::Dot(Ink::Seen, Fill::Solid, MEAN), &*labels.mean),
        (Swatch::Cross(Ink::Rule), &*labels.wanted),
        (Swatch::Box(Ink::Rule, Fill::Light), &*labels.accepted),
    ];
    let top = legend(&mut drawing, (0.0, 0.0), room.width, &entries);
    let room = room.below(&mut drawing, top, 8.0);
    let note = letters::cut(&labels.without_four_plus, room.width);
    let at = (room.width / 2.0, room.height - LINE);
    letters::write(&mut drawing, at, Anchor::Middle, Ink::Faint, &note);
    let place = Triangle::within(room.width, (top + LINE, room.height - 2.0 * LINE));
    frame(&mut drawing, &place, labels, room.width);
    accepted(&mut drawing, &place, standing);
    for tree in some_of(&standing.tree_mixes) {
        if let Some(at) = place.of(three(tree)) {
            drawing.circle(at, 2.0, Ink::Faint, Fill::Empty);
        }
    }
    if let Some(at) = place.of(three(&standing.target)) {
        cross(&mut drawing, at, 5.0, Ink::Rule);
    }
    if let Some(at) = standing.mix.and_then(|mix| place.of(three(&mix))) {
        drawing.circle(at, MEAN, Ink::Seen, Fill::Solid);
    }
    Picture {
        title,
        text: text(standing, labels),
        bars: Vec::new(),
        drawing,
    }
}

/// How many of so many trees are shown.
fn shown(trees: usize) -> usize {
    trees.min(MOST_SHOWN)
}

/// The trees that are shown, evenly chosen in the order of counting.
fn some_of(trees: &[[f64; 4]]) -> impl Iterator<Item = &[f64; 4]> {
    let shown = shown(trees.len());
    (0..shown).filter_map(move |at| trees.get(at * trees.len() / shown))
}

fn three([one, two, three, _]: &[f64; 4]) -> [f64; 3] {
    [*one, *two, *three]
}

/// Where the triangle stands.
struct Triangle {
    /// Its left corner.
    left: (f64, f64),
    side: f64,
}

impl Triangle {
    /// As large as it can be, with room for a dot at its corners.
    fn within(width: f64, (top, bottom): (f64, f64)) -> Self {
        let margin = 5.0;
        let tall = bottom - top - 2.0 * margin;
        let side = (tall / TALL).min(width - 2.0 * margin);
        let spare = (tall - side * TALL) / 2.0;
        Self {
            left: ((width - side) / 2.0, bottom - margin - spare),
            side,
        }
    }

    fn of(&self, ages: [f64; 3]) -> Option<(f64, f64)> {
        let (x, y) = ternary_xy(ages)?;
        Some((self.left.0 + x * self.side, self.left.1 - y * self.side))
    }

    fn path(&self, corners: &[[f64; 3]]) -> Vec<(f64, f64)> {
        corners.iter().filter_map(|c| self.of(*c)).collect()
    }
}

fn frame(drawing: &mut Drawing, place: &Triangle, labels: &Labels, width: f64) {
    if place.side >= LINES_FROM {
        for age in 0..3 {
            for share in [0.2, 0.4, 0.6, 0.8] {
                let mut ends = [[0.0; 3]; 2];
                for (end, other) in ends.iter_mut().zip([1, 2]) {
                    end[age] = share;
                    end[(age + other) % 3] = 1.0 - share;
                }
                drawing.line(place.path(&ends), 0.4, true, Ink::Faint);
            }
        }
    }
    let corners = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]];
    drawing.closed(place.path(&corners), 1.0, Ink::Text, Fill::Empty);
    let middle = width / 2.0;
    let apart = letters::ADVANCE;
    let top = place.left.1 - place.side * TALL - 5.0 - LINE;
    let above = letters::cut(&labels.all_of[1], width);
    letters::write(drawing, (middle, top), Anchor::Middle, Ink::Text, &above);
    let below = place.left.1 + 5.0;
    for (side, word) in [(-1.0, &labels.all_of[0]), (1.0, &labels.all_of[2])] {
        let word = letters::cut(word, middle - apart);
        let half = letters::width(&word) / 2.0;
        // below its corner, but neither beyond the field nor over the other word
        let off = (place.side / 2.0)
            .min(middle - half)
            .max(half + apart / 2.0);
        let at = (middle + side * off, below);
        letters::write(drawing, at, Anchor::Middle, Ink::Text, &word);
    }
}

fn accepted(drawing: &mut Drawing, place: &Triangle, standing: &Standing) {
    let corners = tolerance_corners(limits(standing));
    drawing.closed(place.path(&corners), 1.0, Ink::Rule, Fill::Light);
}

fn text(standing: &Standing, labels: &Labels) -> String {
    let whole = |mix: &[f64; 4]| mix[..3].iter().sum::<f64>();
    let trees = standing.tree_mixes.len();
    let mut said = format!("{}: {trees}", labels.trees);
    if shown(trees) < trees {
        let _ = write!(said, " ({}: {})", labels.shown, shown(trees));
    }
    let _ = write!(said, "; {}.", labels.without_four_plus);
    for (age, (least, most)) in limits(standing).into_iter().enumerate() {
        let share = |mix: &[f64; 4]| (whole(mix) > 0.0).then(|| mix[age] / whole(mix));
        let trees = || standing.tree_mixes.iter().filter_map(share);
        let (lo, hi) = (trees().fold(1.0, f64::min), trees().fold(0.0, f64::max));
        let mean = standing.mix.as_ref().and_then(share);
        let spread = crate::judge::Band {
            lo,
            hi,
            ..crate::judge::Band::kept(0.0, 0.0)
        };
        let limit = crate::judge::Band {
            lo: least,
            hi: most.min(1.0),
            ..standing.bands[age]
        };
        let _ = write!(
            said,
            " {}: {} {}, {} {}; {} {}, {} {}.",
            labels.ages[age],
            labels.mean,
            mean.map_or_else(|| "-".to_owned(), percent),
            labels.lowest_to_highest,
            if lo <= hi {
                band_words(spread)
            } else {
                "-".to_owned()
            },
            labels.wanted,
            share(&standing.target).map_or_else(|| "-".to_owned(), percent),
            labels.accepted,
            band_words(limit)
        );
    }
    said
}

#[cfg(test)]
mod tests {
    use super::super::inspect::{check, standing};
    use super::super::on_paper;
    use super::*;
    use crate::report::document::Shape;

    #[track_caller]
    fn at(ages: [f64; 3], x: f64, y: f64) {
        let (a, b) = ternary_xy(ages).unwrap();
        assert!((a - x).abs() < 1e-12 && (b - y).abs() < 1e-12, "{a}, {b}");
    }

    #[test]
    fn trees_of_one_age_are_the_corners() {
        at([1.0, 0.0, 0.0], 0.0, 0.0);
        at([0.0, 7.0, 0.0], 0.5, 3f64.sqrt() / 2.0);
        at([0.0, 0.0, 2.0], 1.0, 0.0);
    }

    #[test]
    fn thirds_are_the_middle_in_any_unit() {
        at([10.0, 10.0, 10.0], 0.5, 3f64.sqrt() / 6.0);
        at([1.0 / 3.0; 3], 0.5, 3f64.sqrt() / 6.0);
    }

    #[test]
    fn what_is_no_mix_is_no_point() {
        for odd in [
            [0.0; 3],
            [-1.0, 1.0, 1.0],
            [f64::NAN, 1.0, 1.0],
            [f64::INFINITY, 1.0, 1.0],
        ] {
            assert_eq!(ternary_xy(odd), None, "{odd:?}");
        }
    }

    #[test]
    fn an_even_tolerance_around_thirds_is_a_hexagon() {
        let third = 1.0 / 3.0;
        let corners = tolerance_corners([(third - 0.06, third + 0.06); 3]);
        assert_eq!(corners.len(), 6, "{corners:?}");
        for corner in corners {
            assert!((corner.iter().sum::<f64>() - 1.0).abs() < 1e-12);
            let mut off = corner.map(|share| share - third);
            off.sort_by(f64::total_cmp);
            // At each corner one share is at its least, one at its most, one on target.
            assert!(
                (off[0] + 0.06).abs() < 1e-9 && off[1].abs() < 1e-9 && (off[2] - 0.06).abs() < 1e-9
            );
        }
    }

    #[test]
    fn a_tolerance_ends_at_the_edge_of_the_triangle() {
        let corners = tolerance_corners([(-0.1, 0.3), (0.25, 0.65), (0.25, 0.65)]);
        // by hand: no one-year wood and 0.35 to 0.65 of two-year; or 0.3 one-year, and 0.25 to 0.45 of two-year;
        // or, with 0.25 of two-year or of three-year wood, 0.1 one-year and 0.65 of the other
        let by_hand = [
            [0.0, 0.35, 0.65],
            [0.0, 0.65, 0.35],
            [0.1, 0.65, 0.25],
            [0.1, 0.25, 0.65],
            [0.3, 0.45, 0.25],
            [0.3, 0.25, 0.45],
        ];
        assert_eq!(corners.len(), by_hand.len(), "{corners:?}");
        let is = |a: &[f64; 3], b: &[f64; 3]| a.iter().zip(b).all(|(a, b)| (a - b).abs() < 1e-9);
        for wanted in by_hand {
            assert!(
                corners.iter().any(|corner| is(corner, &wanted)),
                "{wanted:?}"
            );
        }
        assert!(tolerance_corners([(0.4, 0.3); 3]).is_empty());
        assert!(tolerance_corners([(f64::NAN, 1.0); 3]).is_empty());
    }

    #[test]
    fn of_many_trees_some_are_shown_and_the_words_say_how_many() {
        let mut many = standing(4, [0.3, 0.3, 0.3, 0.1]);
        let rings = |standing: &Standing| {
            let picture = ternary(standing, &Labels::english(), on_paper::TERNARY);
            check(&picture);
            let ring = |shape: &&Shape| matches!(shape, Shape::Circle { fill: Fill::Empty, radius, .. } if *radius < 2.5);
            let shapes = picture.drawing.shapes.iter();
            (shapes.filter(ring).count(), picture.text)
        };
        let (few, of_few) = rings(&many);
        many.tree_mixes = vec![[0.3, 0.4, 0.3, 0.0]; MOST_SHOWN];
        many.tree_mixes
            .extend(vec![[0.6, 0.2, 0.2, 0.0]; MOST_SHOWN / 2]);
        let (of_many, text) = rings(&many);
        // the ring of the legend is one of them
        assert_eq!((few, of_many), (4 + 1, MOST_SHOWN + 1));
        assert!(of_few.starts_with("trees: 4; "), "{of_few}");
        assert!(text.starts_with("trees: 3000 (shown: 2000); "), "{text}");
        // figures are of all trees
        assert!(text.contains("30-60 %"), "{text}");
        let late = some_of(&many.tree_mixes).filter(|mix| mix[0] > 0.5);
        assert_eq!(late.count(), MOST_SHOWN / 3, "evenly chosen");
    }

    #[test]
    fn the_mean_stands_in_the_middle_and_four_plus_is_left_out() {
        let standing = standing(40, [0.3, 0.3, 0.3, 0.1]);
        let picture = ternary(&standing, &Labels::english(), on_paper::TERNARY);
        check(&picture);
        let last = picture.drawing.shapes.last().unwrap();
        let crate::report::document::Shape::Circle { at, .. } = last else {
            panic!("the mean lies above all: {last:?}");
        };
        assert!((at.0 - picture.drawing.width / 2.0).abs() < 1.0, "{at:?}");
        assert!(picture.text.contains("four-plus wood left out"));
        assert!(
            picture.text.contains("one-year: mean 33 %"),
            "{}",
            picture.text
        );
    }
}
