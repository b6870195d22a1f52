//! The shares of the four ages with their intervals, against what the rule accepts.

use std::fmt::Write as _;

use super::axis::{Axis, marks};
use super::legend::{Swatch, legend, whisker};
use super::{Labels, Room, age_look, band_words, interval_words, nothing, titled};
use crate::report::document::letters::{self, ADVANCE, LINE};
use crate::report::document::{Anchor, Bar, Drawing, Fill, Ink, Picture};
use crate::report::fit::percent;
use crate::report::{MetricLine, Standing};

/// Columns of the figures at the right: `100 %  79-100 %`.
const FIGURES: f64 = 15.0 * ADVANCE;
/// The axis ends here where nothing is beyond it.
const SHORT_AXIS: f64 = 0.6;

/// Draws the four ages of a standing: a bar for the mean share, the interval below it, the band that the rule accepts
/// behind both, and the target as a line.
pub fn mix(standing: &Standing, labels: &Labels, room: Room) -> Picture {
    let about = (standing.subject.shown(), standing.trees);
    mix_of(about, &MetricLine::all(standing), labels, room)
}

/// As [`mix`], of the metrics of somebody or something with so many counted trees.
pub fn mix_of(
    (about, trees): (&str, u32),
    lines: &[MetricLine; 5],
    labels: &Labels,
    room: Room,
) -> Picture {
    let room = room.at_least(250.0, 6.0 * LINE);
    let title = titled(&labels.mix_title, about);
    if lines[..4].iter().any(|line| line.mean.is_none()) {
        return nothing(title, labels, room);
    }
    let mut drawing = room.field();
    let entries = [
        (Swatch::Box(Ink::Rule, Fill::Light), &*labels.accepted),
        (Swatch::Line(Ink::Rule, false), &*labels.wanted),
        (Swatch::Whisker(Ink::Text), &*labels.interval),
        (Swatch::Dot(Ink::Seen, Fill::Solid, 2.5), &*labels.mean),
    ];
    let top = legend(&mut drawing, (0.0, 0.0), room.width, &entries);
    let room = room.below(&mut drawing, top, 5.0);
    let names = labels.ages.iter().map(|age| letters::width(age));
    let gutter = names.fold(3.0 * ADVANCE, f64::max).min(18.0 * ADVANCE) + ADVANCE;
    let axis = Axis {
        from: gutter,
        to: room.width - FIGURES - ADVANCE,
        lo: 0.0,
        hi: end_of_axis(&lines[..4]),
    };
    let bottom = room.height - LINE;
    let each = (bottom - top) / 4.0;
    for (age, line) in lines[..4].iter().enumerate() {
        let place = (top + age as f64 * each, each);
        one(&mut drawing, labels, axis, place, (age, line));
    }
    scale(&mut drawing, axis, (top, bottom));
    Picture {
        title,
        text: text(trees, lines, labels),
        bars: shares(lines, labels),
        drawing,
    }
}

/// What was left and what the rule asks for, one below the other.
fn shares(lines: &[MetricLine; 5], labels: &Labels) -> Vec<Bar> {
    let bar = |name: &str, share: fn(&MetricLine) -> f64| Bar {
        name: name.to_owned(),
        shares: [0, 1, 2, 3].map(|age| share(&lines[age])),
    };
    vec![
        bar(&labels.left, |line| line.mean.unwrap_or(0.0)),
        bar(&labels.rule, |line| line.band.target),
    ]
}

/// 60 %, or 100 % where a mean or an interval lies beyond.
fn end_of_axis(lines: &[MetricLine]) -> f64 {
    let ends = lines.iter().map(|line| {
        let known = if line.is_known() {
            line.interval.hi
        } else {
            0.0
        };
        known.max(line.mean.unwrap_or(0.0)).max(line.band.hi)
    });
    if ends.fold(0.0, f64::max) <= SHORT_AXIS {
        SHORT_AXIS
    } else {
        1.0
    }
}

fn one(
    drawing: &mut Drawing,
    labels: &Labels,
    axis: Axis,
    (top, height): (f64, f64),
    (age, line): (usize, &MetricLine),
) {
    let band = (axis.at(line.band.lo), axis.at(line.band.hi));
    let size = (band.1 - band.0, height * 0.92);
    drawing.area((band.0, top + height * 0.04), size, Ink::Rule, Fill::Light);
    let target = axis.at(line.band.target);
    let ends = vec![(target, top + height * 0.04), (target, top + height * 0.96)];
    drawing.line(ends, 1.5, false, Ink::Rule);
    let (ink, fill) = age_look(age);
    if let Some(mean) = line.mean {
        let at = (axis.from, top + height * 0.12);
        drawing.rect(at, (axis.at(mean) - axis.from, height * 0.4), ink, fill);
        let y = top + height * 0.74;
        if line.is_known() {
            let ends = (axis.at(line.interval.lo), axis.at(line.interval.hi));
            whisker(drawing, ends, y, Ink::Text);
        }
        drawing.circle((axis.at(mean), y), 2.5, Ink::Seen, Fill::Solid);
    }
    let words_top = top + (height - LINE) / 2.0;
    let name = letters::cut(&labels.ages[age], axis.from - ADVANCE);
    letters::write(drawing, (0.0, words_top), Anchor::Start, Ink::Text, &name);
    let place = (axis.to + 2.0 * ADVANCE, words_top);
    letters::write(drawing, place, Anchor::Start, Ink::Text, &figures(line));
}

fn figures(line: &MetricLine) -> String {
    let mean = line.mean.map_or_else(|| "-".to_owned(), percent);
    if line.is_known() {
        format!(
            "{mean:>5} {}",
            interval_words(line.interval).replace(" %", "")
        )
    } else {
        format!("{mean:>5}")
    }
}

fn scale(drawing: &mut Drawing, axis: Axis, (top, bottom): (f64, f64)) {
    drawing.line(
        vec![(axis.from, top), (axis.from, bottom)],
        0.75,
        false,
        Ink::Text,
    );
    // each figure has room
    let pieces = ((axis.to - axis.from) / (6.0 * ADVANCE)).floor().max(1.0) as usize;
    for mark in marks(axis.hi * 100.0, pieces.min(5)) {
        let x = axis.at(mark / 100.0);
        drawing.line(vec![(x, bottom - 2.0), (x, bottom)], 0.75, false, Ink::Text);
        let words = percent(mark / 100.0);
        letters::write(drawing, (x, bottom), Anchor::Middle, Ink::Faint, &words);
    }
}

fn text(trees: u32, lines: &[MetricLine; 5], labels: &Labels) -> String {
    let mut said = format!("{}: {trees}.", labels.trees);
    for (line, name) in lines[..4].iter().zip(&labels.ages) {
        let mean = line.mean.map_or_else(|| "-".to_owned(), percent);
        let interval = if line.is_known() {
            format!(", {} {}", labels.interval, interval_words(line.interval))
        } else {
            String::new()
        };
        let _ = write!(
            said,
            " {name}: {mean}{interval}; {} {}, {} {}.",
            labels.wanted,
            percent(line.band.target),
            labels.accepted,
            band_words(line.band)
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

    #[test]
    fn a_third_of_the_wood_is_a_bar_of_a_third_of_the_axis() {
        let standing = standing(30, [0.333_333_333, 0.25, 0.25, 0.166_666_667]);
        let picture = mix(&standing, &Labels::english(), on_paper::MIX);
        check(&picture);
        let bars: Vec<_> = picture.drawing.shapes.iter().filter_map(bar).collect();
        assert_eq!(bars.len(), 4);
        let share = standing.mix.unwrap();
        let gutter = 10.0 * ADVANCE + ADVANCE;
        let axis = picture.drawing.width - FIGURES - ADVANCE - gutter;
        for ((left, width), share) in bars.iter().zip(share) {
            assert!((left - gutter).abs() < 1e-9);
            assert!((width - share / SHORT_AXIS * axis).abs() < 1e-9, "{share}");
        }
        assert!(picture.text.contains("one-year: 33 %"), "{}", picture.text);
    }

    /// Left end and width of a bar of an age.
    fn bar(shape: &Shape) -> Option<(f64, f64)> {
        match shape {
            Shape::Path {
                points,
                closed: true,
                stroke,
                ink,
                ..
            } if *stroke > 0.0 && *ink != Ink::Rule => {
                Some((points[0].0, points[1].0 - points[0].0))
            }
            _ => None,
        }
    }
}
