//! Drawings printed as vector graphics.

use krilla::color::rgb;
use krilla::geom::{Path, PathBuilder, Point, Rect, Transform};
use krilla::num::NormalizedF32;
use krilla::paint::{Fill as Filling, FillRule, LineCap, Stroke, StrokeDash};
use krilla::surface::Surface;

use super::font::Faces;
use super::hatch::{self, Edges};
use super::ink;
use crate::report::document::{Drawing, Fill, OUTLINE, Shape};
use crate::report::fit::safe;

/// Strength of [`Fill::Light`].
const LIGHT: f32 = 0.25;
const HATCH: f32 = 0.8;
const DOT: f32 = 1.4;
/// How far a circle's handles are from its four points, for a radius of 1.
const HANDLE: f32 = 0.552_284_8;

/// Prints a drawing with its top left corner at a point. Nothing of it is printed outside its field.
pub(super) fn print(
    surface: &mut Surface<'_>,
    faces: &Faces,
    drawing: &Drawing,
    at: (f32, f32),
    scale: f32,
) {
    let field = (0.0, 0.0, drawing.width as f32, drawing.height as f32);
    let Some(edge) = rectangle(field) else {
        return;
    };
    surface.push_transform(&Transform::from_row(scale, 0.0, 0.0, scale, at.0, at.1));
    surface.push_clip_path(&edge, &FillRule::NonZero);
    for shape in &drawing.shapes {
        draw(surface, faces, shape, field);
    }
    surface.pop();
    surface.pop();
}

fn draw(surface: &mut Surface<'_>, faces: &Faces, shape: &Shape, field: Edges) {
    match shape {
        Shape::Path {
            points,
            closed,
            stroke,
            dashed,
            ink,
            fill,
        } => {
            let Some(path) = polygon(points, *closed) else {
                return;
            };
            let colour = ink::shape(*ink);
            if *closed {
                filled(surface, &path, within(points, field), *fill, colour);
            }
            if *stroke > 0.0 {
                outline(surface, &path, *stroke as f32, *dashed, colour);
            }
        }
        Shape::Circle {
            at,
            radius,
            ink,
            fill,
        } => {
            let Some(path) = circle(*at, *radius) else {
                return;
            };
            let colour = ink::shape(*ink);
            let corners = [
                (at.0 - radius, at.1 - radius),
                (at.0 + radius, at.1 + radius),
            ];
            filled(surface, &path, within(&corners, field), *fill, colour);
            outline(surface, &path, OUTLINE as f32, false, colour);
        }
        Shape::Text {
            at,
            anchor,
            size,
            bold,
            ink,
            words,
        } => {
            let face = faces.face(*bold);
            let (words, size) = (safe(words), *size as f32);
            if words.is_empty() || !finite(*at) || !(size > 0.0 && size.is_finite()) {
                return;
            }
            let width = face.width(&words, size);
            surface.set_stroke(None);
            surface.set_fill(Some(evenly(ink::letters(*ink), 1.0)));
            let before = anchor.before(f64::from(width)) as f32;
            let start = Point::from_xy(at.0 as f32 - before, at.1 as f32);
            surface.draw_glyphs(
                start,
                &face.glyphs(&words),
                face.font(),
                &words,
                size,
                false,
            );
        }
    }
}

fn finite((x, y): (f64, f64)) -> bool {
    x.is_finite() && y.is_finite()
}

fn rectangle((left, top, right, bottom): Edges) -> Option<Path> {
    let mut path = PathBuilder::new();
    path.push_rect(Rect::from_ltrb(left, top, right, bottom)?);
    path.finish()
}

fn polygon(points: &[(f64, f64)], closed: bool) -> Option<Path> {
    let mut path = PathBuilder::new();
    for (at, point) in points.iter().enumerate() {
        if !finite(*point) {
            return None;
        }
        let (x, y) = (point.0 as f32, point.1 as f32);
        if at == 0 {
            path.move_to(x, y);
        } else {
            path.line_to(x, y);
        }
    }
    if closed {
        path.close();
    }
    path.finish()
}

fn circle(at: (f64, f64), radius: f64) -> Option<Path> {
    if !(finite(at) && radius.is_finite() && radius > 0.0) {
        return None;
    }
    let (x, y, r) = (at.0 as f32, at.1 as f32, radius as f32);
    let h = r * HANDLE;
    let mut path = PathBuilder::new();
    path.move_to(x + r, y);
    path.cubic_to(x + r, y + h, x + h, y + r, x, y + r);
    path.cubic_to(x - h, y + r, x - r, y + h, x - r, y);
    path.cubic_to(x - r, y - h, x - h, y - r, x, y - r);
    path.cubic_to(x + h, y - r, x + r, y - h, x + r, y);
    path.close();
    path.finish()
}

/// The edges of points, no further than the field.
fn within(points: &[(f64, f64)], field: Edges) -> Edges {
    let mut edges = (
        f32::INFINITY,
        f32::INFINITY,
        f32::NEG_INFINITY,
        f32::NEG_INFINITY,
    );
    for (x, y) in points {
        let (x, y) = (*x as f32, *y as f32);
        edges = (
            edges.0.min(x),
            edges.1.min(y),
            edges.2.max(x),
            edges.3.max(y),
        );
    }
    (
        edges.0.max(field.0),
        edges.1.max(field.1),
        edges.2.min(field.2),
        edges.3.min(field.3),
    )
}

fn evenly(colour: rgb::Color, strength: f32) -> Filling {
    Filling {
        paint: colour.into(),
        opacity: NormalizedF32::new(strength).unwrap_or(NormalizedF32::ONE),
        rule: FillRule::default(),
    }
}

fn filled(surface: &mut Surface<'_>, path: &Path, edges: Edges, fill: Fill, colour: rgb::Color) {
    let strength = match fill {
        Fill::Empty => return,
        Fill::Solid => 1.0,
        Fill::Light => LIGHT,
        Fill::Rising => return hatched(surface, path, &hatch::slanted(edges, true), line(colour)),
        Fill::Falling => {
            return hatched(surface, path, &hatch::slanted(edges, false), line(colour));
        }
        Fill::Dotted => return hatched(surface, path, &hatch::level(edges), dots(colour)),
    };
    surface.set_stroke(None);
    surface.set_fill(Some(evenly(colour, strength)));
    surface.draw_path(path);
}

fn hatched(surface: &mut Surface<'_>, path: &Path, strokes: &[hatch::Stroke], stroke: Stroke) {
    let mut lines = PathBuilder::new();
    for (from, to) in strokes {
        lines.move_to(from.0, from.1);
        lines.line_to(to.0, to.1);
    }
    let Some(lines) = lines.finish() else {
        return;
    };
    surface.push_clip_path(path, &FillRule::NonZero);
    surface.set_fill(None);
    surface.set_stroke(Some(stroke));
    surface.draw_path(&lines);
    surface.pop();
}

fn line(colour: rgb::Color) -> Stroke {
    Stroke {
        paint: colour.into(),
        width: HATCH,
        ..Stroke::default()
    }
}

/// Round ends of dashes without length.
fn dots(colour: rgb::Color) -> Stroke {
    Stroke {
        paint: colour.into(),
        width: DOT,
        line_cap: LineCap::Round,
        dash: Some(StrokeDash {
            array: vec![0.0, hatch::step()],
            offset: 0.0,
        }),
        ..Stroke::default()
    }
}

fn outline(surface: &mut Surface<'_>, path: &Path, width: f32, dashed: bool, colour: rgb::Color) {
    surface.set_fill(None);
    surface.set_stroke(Some(Stroke {
        paint: colour.into(),
        width,
        dash: dashed.then(|| StrokeDash {
            array: vec![4.0, 2.5],
            offset: 0.0,
        }),
        ..Stroke::default()
    }));
    surface.draw_path(path);
}
