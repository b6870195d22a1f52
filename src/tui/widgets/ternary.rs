//! The three ages of many trees in one picture: each tree a point in a triangle.

use crate::tui::Pen;
use crate::tui::pen::line_of;
use crate::tui::text::Align;
use crate::tui::theme::Stroke;
use ratatui::layout::Rect;
use ratatui::style::Color;
use ratatui::symbols::Marker;
use ratatui::text::{Line as Words, Span};
use ratatui::widgets::Widget;
use ratatui::widgets::canvas::{Canvas, Context, Line, Points};

/// Height of a triangle of sides 1.
const TALL: f64 = 0.866_025_403_784_438_6;

/// The trees to draw. Shares or pieces of one-, two- and three-year wood, in any unit: each triple
/// is divided by its sum.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ternary<'a> {
    /// One triple a tree. Trees without wood of these ages are left out.
    pub trees: &'a [[f64; 3]],
    /// What the rule asks for.
    pub target: [f64; 3],
    /// How far each share may be from its target.
    pub tolerance: [f64; 3],
    /// The mean of the trees, where there is one.
    pub mean: Option<[f64; 3]>,
}

/// The point of three shares in a triangle of sides 1: one-year wood at (0, 0), two-year at the top
/// (1/2, √3/2), three-year at (1, 0). The usual barycentric coordinates; none where the three are
/// not finite, are negative, or add up to nothing.
pub fn ternary_xy(ages: [f64; 3]) -> Option<(f64, f64)> {
    let sum: f64 = ages.iter().sum();
    if !(sum.is_finite() && sum > 0.0 && ages.iter().all(|a| *a >= 0.0)) {
        return None;
    }
    let [_, two, three] = ages.map(|a| a / sum);
    Some((three + two / 2.0, two * TALL))
}

/// The corners, in order, of the part of the triangle where every share is within its tolerance
/// of its target: up to six. Each limit cuts the triangle by a straight line (the clipping of
/// Sutherland and Hodgman, 1974). Empty where no mix is within all of them.
pub fn tolerance_corners(target: [f64; 3], tolerance: [f64; 3]) -> Vec<[f64; 3]> {
    let mut corners = vec![[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]];
    let sum: f64 = target.iter().sum();
    for age in 0..3 {
        let (aim, give) = (target[age] / sum, tolerance[age]);
        corners = clip(&corners, |c| c[age] - (aim - give));
        corners = clip(&corners, |c| (aim + give) - c[age]);
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

/// Draws the triangle with its trees (dots), the tolerance around the target (`+`), and their mean
/// (`◆`).
pub fn ternary(pen: &mut Pen, area: Rect, picture: &Ternary) {
    let area = pen.clip(area);
    if area.width < 24 || area.height < 9 {
        let style = pen.theme.faint();
        pen.text(line_of(area, 0), "(more room is needed)", style);
        return;
    }
    pen.clear(area);
    let plot = Rect::new(area.x, area.y + 1, area.width, area.height - 3);
    let (x, y) = bounds(plot);
    let theme = pen.theme;
    let ground = theme.text().bg.unwrap_or(Color::Reset);
    let canvas = Canvas::default()
        .marker(Marker::Braille)
        .background_color(ground)
        .x_bounds(x)
        .y_bounds(y)
        .paint(|canvas| {
            let dot = 1.0 / scale(plot);
            draw_points(canvas, picture, dot, theme.stroke(Stroke::Point));
            let corners = tolerance_corners(picture.target, picture.tolerance);
            outline(canvas, &corners, theme.stroke(Stroke::Band));
            let triangle = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]];
            outline(canvas, &triangle, theme.stroke(Stroke::Frame));
            canvas.layer();
            let mut mark = |ages, mark: &'static str, stroke| {
                if let Some((x, y)) = ternary_xy(ages) {
                    canvas.print(x, y, Words::from(Span::styled(mark, theme.line(stroke))));
                }
            };
            mark(picture.target, "+", Stroke::Target);
            if let Some(mean) = picture.mean {
                mark(mean, "◆", Stroke::Mean);
            }
        });
    canvas.render(plot, pen.buf);
    label(pen, area, plot);
}

/// Dots of a plot in each unit of length; a cell has 2 by 4 of them.
fn scale(plot: Rect) -> f64 {
    let (across, up) = (f64::from(plot.width) * 2.0, f64::from(plot.height) * 4.0);
    (across - 1.0).min((up - 1.0) / TALL).max(1.0)
}

/// The ends of both axes, so that the triangle keeps its shape and stands in the middle.
fn bounds(plot: Rect) -> ([f64; 2], [f64; 2]) {
    let scale = scale(plot);
    let half = |cells: u16, dots: f64| (f64::from(cells) * dots - 1.0) / scale / 2.0;
    let (x, y) = (half(plot.width, 2.0), half(plot.height, 4.0));
    ([0.5 - x, 0.5 + x], [TALL / 2.0 - y, TALL / 2.0 + y])
}

/// Each tree as a square of four dots, so that one can be seen.
fn draw_points(canvas: &mut Context, picture: &Ternary, dot: f64, color: Color) {
    let mut coords = Vec::with_capacity(picture.trees.len() * 4);
    for (x, y) in picture.trees.iter().filter_map(|t| ternary_xy(*t)) {
        coords.extend([(x, y), (x + dot, y), (x, y + dot), (x + dot, y + dot)]);
    }
    let coords = &coords;
    canvas.draw(&Points { coords, color });
}

fn outline(canvas: &mut Context, corners: &[[f64; 3]], color: Color) {
    let points: Vec<(f64, f64)> = corners.iter().filter_map(|c| ternary_xy(*c)).collect();
    for (i, from) in points.iter().enumerate() {
        let to = points[(i + 1) % points.len()];
        canvas.draw(&Line::new(from.0, from.1, to.0, to.1, color));
    }
}

fn label(pen: &mut Pen, area: Rect, plot: Rect) {
    let title = pen.theme.title();
    pen.aligned(line_of(area, 0), "all two-year", Align::Centre, title);
    let half = (scale(plot) / 4.0).round() as u16;
    let side = (plot.width / 2)
        .saturating_sub(half + 4)
        .min(plot.width / 4);
    let base = Rect::new(area.x + side, area.bottom() - 2, area.width - 2 * side, 1);
    if base.width >= 31 {
        pen.text(base, "all one-year", title);
        pen.aligned(base, "all three-year", Align::Right, title);
    } else {
        pen.text(base, "one-year", title);
        pen.aligned(base, "three-year", Align::Right, title);
    }
    let faint = pen.theme.faint();
    let caption = if area.width >= 51 {
        "shares among the first three ages; + target, ◆ mean"
    } else {
        "first three ages; + target, ◆ mean"
    };
    pen.aligned(
        line_of(area, area.height - 1),
        caption,
        Align::Centre,
        faint,
    );
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

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
        let corners = tolerance_corners([1.0 / 3.0; 3], [0.06; 3]);
        assert_eq!(corners.len(), 6, "{corners:?}");
        for corner in corners {
            assert!((corner.iter().sum::<f64>() - 1.0).abs() < 1e-12);
            let mut off = corner.map(|share| share - 1.0 / 3.0);
            off.sort_by(f64::total_cmp);
            // At each corner one share is at its least, one at its most, one on target.
            assert!(
                (off[0] + 0.06).abs() < 1e-9 && off[1].abs() < 1e-9 && (off[2] - 0.06).abs() < 1e-9
            );
        }
    }

    #[test]
    fn a_tolerance_ends_at_the_edge_of_the_triangle() {
        let corners = tolerance_corners([0.1, 0.45, 0.45], [0.2; 3]);
        assert!(corners.len() >= 3);
        assert!(corners.iter().flatten().all(|share| *share >= -1e-12));
        assert!(tolerance_corners([1.0 / 3.0; 3], [-0.1; 3]).is_empty());
        assert!(tolerance_corners([f64::NAN; 3], [0.1; 3]).is_empty());
    }

    #[test]
    fn the_triangle_keeps_its_shape() {
        for (width, height) in [(24, 9), (60, 24), (200, 20), (30, 90)] {
            let plot = Rect::new(0, 0, width, height);
            let (x, y) = bounds(plot);
            let dots_x = (f64::from(width) * 2.0 - 1.0) / (x[1] - x[0]);
            let dots_y = (f64::from(height) * 4.0 - 1.0) / (y[1] - y[0]);
            assert!((dots_x - dots_y).abs() < 1e-6, "{dots_x} {dots_y}");
            assert!(x[0] <= 1e-9 && x[1] >= 1.0 - 1e-9 && y[0] <= 1e-9 && y[1] >= TALL - 1e-9);
        }
    }
}
