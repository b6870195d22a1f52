//! A drawing of the reports on the cells of a terminal: shapes as braille dots, words as words.
//!
//! A drawing that was laid out for the area ([`crate::report::document::pictures::Room::cells`]) fills it, a letter a
//! cell; any other is made as large as the area allows, in its own shape.

use crate::report::document::letters::BASE;
use crate::report::document::{Drawing, Fill, Ink, Shape};
use crate::tui::Pen;
use crate::tui::text::{self, Align};
use ratatui::layout::Rect;
use ratatui::style::{Color, Modifier};
use ratatui::symbols::Marker;
use ratatui::widgets::Widget;
use ratatui::widgets::canvas::{Canvas, Points};

mod dots;

use dots::Dots;

/// Draws it in the middle of an area.
pub fn picture(pen: &mut Pen, area: Rect, drawing: &Drawing) {
    let area = pen.clip(area);
    let Some(place) = Place::of(area, drawing) else {
        return;
    };
    pen.clear(area);
    let theme = pen.theme;
    let ground = theme.text().bg.unwrap_or(Color::Reset);
    let (across, up) = (f64::from(area.width) * 2.0, f64::from(area.height) * 4.0);
    let canvas = Canvas::default()
        .marker(Marker::Braille)
        .background_color(ground)
        .x_bounds([0.0, across - 1.0])
        .y_bounds([0.0, up - 1.0])
        .paint(|canvas| {
            let mut dots = Dots::new((across as i32, up as i32));
            for shape in &drawing.shapes {
                let Some(ink) = place.shape(shape, &mut dots) else {
                    continue;
                };
                let coords: Vec<(f64, f64)> = (dots.take())
                    .map(|(x, y)| (f64::from(x), up - 1.0 - f64::from(y)))
                    .collect();
                let color = theme.ink(ink);
                canvas.draw(&Points {
                    coords: &coords,
                    color,
                });
            }
        });
    canvas.render(area, pen.buf);
    for shape in &drawing.shapes {
        place.words(pen, area, shape);
    }
}

/// Where the field stands, in dots of the area: 2 across and 4 down in each cell, taken as square.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Place {
    left: f64,
    top: f64,
    /// Dots in a point.
    scale: f64,
}

impl Place {
    fn of(area: Rect, drawing: &Drawing) -> Option<Self> {
        let (across, down) = (f64::from(area.width) * 2.0, f64::from(area.height) * 4.0);
        let scale = (across / drawing.width).min(down / drawing.height);
        (scale.is_finite() && scale > 0.0).then(|| Self {
            left: (across - drawing.width * scale) / 2.0,
            top: (down - drawing.height * scale) / 2.0,
            scale,
        })
    }

    fn dot(self, (x, y): (f64, f64)) -> (f64, f64) {
        (self.left + x * self.scale, self.top + y * self.scale)
    }

    /// Sets the dots of a shape that is not words; gives its ink.
    fn shape(self, shape: &Shape, dots: &mut Dots) -> Option<Ink> {
        match shape {
            Shape::Path {
                points,
                closed,
                stroke,
                dashed,
                ink,
                fill,
            } => {
                let points: Vec<(f64, f64)> = points.iter().map(|point| self.dot(*point)).collect();
                if *closed {
                    dots.fill(&points, *fill);
                }
                if *stroke > 0.0 {
                    dots.line(&points, *closed, *dashed);
                }
                Some(*ink)
            }
            Shape::Circle {
                at,
                radius,
                ink,
                fill,
            } => {
                dots.circle(self.dot(*at), radius * self.scale, *fill != Fill::Empty);
                Some(*ink)
            }
            Shape::Text { .. } => None,
        }
    }

    /// Writes the words of a text shape on the line that its letters' middle is in.
    fn words(self, pen: &mut Pen, area: Rect, shape: &Shape) {
        let Shape::Text {
            at,
            anchor,
            size,
            bold,
            ink,
            words,
        } = shape
        else {
            return;
        };
        let (x, y) = self.dot((at.0, at.1 - BASE + size * 0.6));
        let line = (y / 4.0).floor();
        if !(0.0..f64::from(area.height)).contains(&line) {
            return;
        }
        let wide = text::width(words) as f64;
        let first = x / 2.0 - anchor.before(wide);
        // a text that fits is not pushed off the edge by rounding
        let first = first.round().min(f64::from(area.width) - wide).max(0.0) as u16;
        let place = Rect::new(
            area.x + first,
            area.y + line as u16,
            area.width - first.min(area.width),
            1,
        );
        let mut style = if *ink == Ink::Faint {
            pen.theme.faint()
        } else {
            pen.theme.text()
        };
        if *bold {
            style = style.add_modifier(Modifier::BOLD);
        }
        pen.aligned(place, words, Align::Left, style);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::document::Anchor;
    use crate::tui::looks::plain;

    #[test]
    fn a_drawing_keeps_its_shape_in_any_area() {
        let drawing = Drawing::new(100.0, 50.0);
        for (columns, lines, scale) in [(50, 20, 1.0), (50, 5, 0.4), (200, 12, 0.96)] {
            let place = Place::of(Rect::new(0, 0, columns, lines), &drawing).unwrap();
            assert!((place.scale - scale).abs() < 1e-9, "{place:?}");
            assert!(place.left >= 0.0 && place.top >= 0.0);
            let corner = place.dot((100.0, 50.0));
            assert!(
                corner.0 <= f64::from(columns) * 2.0 + 1e-9
                    && corner.1 <= f64::from(lines) * 4.0 + 1e-9
            );
        }
        assert_eq!(Place::of(Rect::new(0, 0, 0, 4), &drawing), None);
        assert_eq!(
            Place::of(Rect::new(0, 0, 9, 4), &Drawing::new(0.0, 0.0)),
            None
        );
    }

    #[test]
    fn words_stand_where_they_belong_and_fills_differ() {
        let mut drawing = Drawing::new(54.0, 43.2);
        drawing.text((0.0, 8.4), Anchor::Start, 9.0, "left");
        drawing.text((54.0, 8.4), Anchor::End, 9.0, "end");
        drawing.text((27.0, 19.2), Anchor::Middle, 9.0, "mid");
        let fills = [
            Fill::Solid,
            Fill::Light,
            Fill::Rising,
            Fill::Falling,
            Fill::Dotted,
        ];
        for (n, fill) in (0u8..).zip(fills) {
            let at = (f64::from(n) * 10.8, 21.6);
            drawing.area(at, (10.8, 21.6), Ink::One, fill);
        }
        let shown = plain(10, 4, |pen, area| picture(pen, area, &drawing)).text();
        let lines: Vec<&str> = shown.lines().collect();
        assert_eq!(lines[0], "left   end");
        assert_eq!(lines[1].trim(), "mid");
        assert!(lines[2].starts_with("⣿⣿"), "{shown}");
        let cells: Vec<String> = lines[2]
            .chars()
            .collect::<Vec<_>>()
            .chunks(2)
            .map(|c| c.iter().collect())
            .collect();
        for (n, one) in cells.iter().enumerate() {
            assert!(!one.contains(' '), "{shown}");
            assert!(cells[n + 1..].iter().all(|other| other != one), "{shown}");
        }
    }
}
