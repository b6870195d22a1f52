//! Buds left on thin, medium and thick units, against the limits of the rule.

use std::fmt::Write as _;

use super::legend::{Swatch, legend};
use super::{Labels, Room, nothing, titled};
use crate::report::document::letters::{self, ADVANCE, LINE};
use crate::report::document::{Anchor, Drawing, Fill, Ink, Picture};
use crate::report::{BudFigures, Standing};

const CLASSES: [&str; 8] = ["0", "1", "2", "3", "4", "5", "6", "7+"];
/// A bar and the gap to the next are at least so wide: a number of three letters.
const PITCH: f64 = 3.0 * ADVANCE;
/// Between panels.
const GAP: f64 = 2.0 * ADVANCE;
const WITHIN: (Ink, Fill) = (Ink::Two, Fill::Solid);
const OUTSIDE: (Ink, Fill) = (Ink::Out, Fill::Falling);

/// Draws three panels, below each other or, where the room is low, beside each other: of 100 units of a size, how many
/// have 0 to 6, and 7 or more buds. What the rule allows is shaded, and its bars have another fill.
pub fn buds(standing: &Standing, labels: &Labels, room: Room) -> Picture {
    let room = room.at_least(8.0 * PITCH + 10.0, 12.0 * LINE);
    let title = titled(&labels.buds_title, standing.subject.shown());
    if standing.buds.iter().all(|size| size.units == 0) {
        return nothing(title, labels, room);
    }
    let mut drawing = room.field();
    let entries = [
        (Swatch::Box(WITHIN.0, WITHIN.1), &*labels.within),
        (Swatch::Box(OUTSIDE.0, OUTSIDE.1), &*labels.outside),
        (Swatch::Box(Ink::Rule, Fill::Light), &*labels.accepted),
    ];
    let top = legend(&mut drawing, (0.0, 0.0), room.width, &entries);
    let room = room.below(&mut drawing, top, 12.0);
    let wide = (room.width - 2.0 * GAP) / 3.0;
    let beside = wide >= 8.0 * PITCH && room.height < 240.0;
    let each = (room.height - top) / 3.0;
    for (n, (figures, name)) in standing.buds.iter().zip(&labels.sizes).enumerate() {
        let n = n as f64;
        let panel = if beside {
            Panel {
                at: (n * (wide + GAP), top),
                size: (wide, room.height - top),
            }
        } else {
            Panel {
                at: (0.0, top + n * each),
                size: (room.width, each),
            }
        };
        one(&mut drawing, &panel, labels, name, figures);
    }
    Picture {
        title,
        text: text(standing, labels),
        bars: Vec::new(),
        drawing,
    }
}

struct Panel {
    at: (f64, f64),
    size: (f64, f64),
}

fn one(drawing: &mut Drawing, panel: &Panel, labels: &Labels, name: &str, figures: &BudFigures) {
    let ((left, top), (width, height)) = (panel.at, panel.size);
    let head = format!(
        "{name}, {} {}: {} {}",
        labels.rule,
        figures.limit_text(),
        labels.units,
        figures.units
    );
    letters::head(drawing, (left, top), &letters::cut(&head, width));
    let pitch = width / 8.0;
    let (ceiling, floor) = (top + 2.0 * LINE, top + height - LINE);
    limits(drawing, figures, (left, pitch), (top + LINE, floor));
    let most = figures
        .units_by_buds
        .iter()
        .copied()
        .max()
        .unwrap_or(0)
        .max(1);
    for (buds, units) in (0u8..).zip(figures.units_by_buds) {
        let x = left + f64::from(buds) * pitch;
        let middle = x + pitch / 2.0;
        let label = CLASSES[usize::from(buds)];
        letters::write(drawing, (middle, floor), Anchor::Middle, Ink::Text, label);
        if units == 0 {
            continue;
        }
        let tall = ((floor - ceiling) * f64::from(units) / f64::from(most)).max(1.0);
        let inside = (figures.least..=figures.most).contains(&buds);
        let (ink, fill) = if inside { WITHIN } else { OUTSIDE };
        let at = (x + pitch * 0.14, floor - tall);
        drawing.rect(at, (pitch * 0.72, tall), ink, fill);
        let share = of_100(units, figures.units);
        let above = (middle, floor - tall - LINE);
        letters::write(drawing, above, Anchor::Middle, Ink::Text, &share);
    }
    drawing.line(
        vec![(left, floor), (left + width, floor)],
        0.75,
        false,
        Ink::Text,
    );
}

/// Of 100 units; `<1` for what would round to none.
fn of_100(units: u32, all: u32) -> String {
    let share = f64::from(units) / f64::from(all.max(1)) * 100.0;
    if units > 0 && share < 0.5 {
        "<1".to_owned()
    } else {
        format!("{share:.0}")
    }
}

/// What the rule allows, with a line at either end.
fn limits(
    drawing: &mut Drawing,
    figures: &BudFigures,
    (left, pitch): (f64, f64),
    (top, bottom): (f64, f64),
) {
    if figures.least > figures.most {
        return;
    }
    let from = left + f64::from(figures.least.min(7)) * pitch;
    let to = left + f64::from(figures.most.min(7) + 1) * pitch;
    let size = (to - from, bottom - top);
    drawing.area((from, top), size, Ink::Rule, Fill::Light);
    for x in [from, to] {
        drawing.line(vec![(x, top), (x, bottom)], 1.0, true, Ink::Rule);
    }
}

fn text(standing: &Standing, labels: &Labels) -> String {
    let mut said = String::new();
    for (figures, name) in standing.buds.iter().zip(&labels.sizes) {
        let classes: Vec<String> = (CLASSES.iter().zip(figures.units_by_buds))
            .map(|(class, units)| format!("{class}: {units}"))
            .collect();
        let left = figures.mean_left;
        let _ = write!(
            said,
            "{name}: {} {}, {} {}, {} {}, {} {}, {} {}; {}. ",
            labels.rule,
            figures.limit_text(),
            labels.units,
            figures.units,
            labels.left_on_mean,
            left.map_or_else(|| "-".to_owned(), |left| labels.number(left, 1)),
            labels.over,
            figures.over,
            labels.under,
            figures.under,
            classes.join(", ")
        );
    }
    said.trim_end().to_owned()
}

#[cfg(test)]
mod tests {
    use super::super::inspect::{check, standing};
    use super::super::on_paper;
    use super::*;
    use crate::report::document::Shape;

    #[test]
    fn bars_are_as_tall_as_their_units_are_many() {
        let mut standing = standing(20, [0.3, 0.3, 0.3, 0.1]);
        standing.buds[0].units_by_buds = [0, 0, 40, 20, 0, 0, 0, 1];
        standing.buds[0].units = 61;
        for size in [1, 2] {
            standing.buds[size].units_by_buds = [0; 8];
            standing.buds[size].units = 0;
        }
        for room in [on_paper::BUDS, Room::cells(80, 17)] {
            let picture = buds(&standing, &Labels::english(), room);
            check(&picture);
            let tall = |wanted: (Ink, Fill)| -> Vec<f64> {
                let bar = |shape: &Shape| match shape {
                    Shape::Path {
                        points, ink, fill, ..
                    } if (*ink, *fill) == wanted => Some(points[2].1 - points[0].1),
                    _ => None,
                };
                // the first is the legend's
                picture
                    .drawing
                    .shapes
                    .iter()
                    .filter_map(bar)
                    .skip(1)
                    .collect()
            };
            let (within, outside) = (tall(WITHIN), tall(OUTSIDE));
            assert_eq!((within.len(), outside.len()), (1, 2));
            assert!((within[0] - 2.0 * outside[0]).abs() < 1e-9);
            assert!(
                picture.text.starts_with("thin: rule 2, units 61"),
                "{}",
                picture.text
            );
        }
    }

    #[test]
    fn what_was_counted_is_never_nothing() {
        assert_eq!(of_100(1, 5000), "<1");
        assert_eq!(of_100(0, 5000), "0");
        assert_eq!(of_100(5, 5), "100");
    }
}
