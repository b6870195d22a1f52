//! The crop over the coming winters with its range, in the three ways of going on.

use std::fmt::Write as _;

use super::ages_ahead::scenario;
use super::axis::{Axis, marks};
use super::legend::{Swatch, legend, upright_whisker};
use super::{Labels, Room, nothing, titled};
use crate::outlook::Scenario;
use crate::report::OutlookSheet;
use crate::report::document::letters::{self, ADVANCE, LINE};
use crate::report::document::{Anchor, Drawing, Fill, Ink, Picture};

/// How a way of going on is drawn: apart in black and white too.
fn look(scenario: Scenario) -> (Ink, Fill) {
    match scenario {
        Scenario::AsPruned => (Ink::Out, Fill::Solid),
        Scenario::MendedNow => (Ink::Two, Fill::Light),
        Scenario::OnTheRule => (Ink::Rule, Fill::Empty),
    }
}

/// Draws the tonnes a hectare of each winter: a dot for the mean and a line for the range, one beside the other for
/// each way of going on.
pub fn crop_ahead(sheet: &OutlookSheet, labels: &Labels, room: Room) -> Picture {
    let title = titled(&labels.crop_title, &sheet.block_name);
    let room = room.at_least(240.0, 8.0 * LINE);
    if sheet.ahead.is_empty() {
        return nothing(title, labels, room);
    }
    let mut drawing = room.field();
    let mut entries: Vec<(Swatch, &str)> = (sheet.ahead.iter())
        .map(|ahead| {
            let (ink, fill) = look(ahead.scenario);
            (
                Swatch::Dot(ink, fill, 3.0),
                scenario(labels, ahead.scenario),
            )
        })
        .collect();
    entries.push((Swatch::Whisker(Ink::Text), &labels.range));
    let used = legend(&mut drawing, (0.0, 0.0), room.width, &entries);
    let room = room.below(&mut drawing, used, 6.0);
    letters::write(
        &mut drawing,
        (0.0, used),
        Anchor::Start,
        Ink::Faint,
        &labels.tonnes_per_ha,
    );
    let crops = sheet.ahead.iter().flat_map(|ahead| &ahead.years);
    let most = crops.map(|year| year.crop.tonnes_per_ha.hi.max(year.crop.tonnes_per_ha.mean));
    let most = most.filter(|crop| crop.is_finite()).fold(1.0, f64::max);
    let up = Axis {
        from: room.height - LINE,
        to: used + 1.5 * LINE,
        lo: 0.0,
        hi: most * 1.02,
    };
    let left = scale(&mut drawing, labels, (up, room.width), most);
    years(&mut drawing, sheet, labels, (up, left, room.width));
    Picture {
        title,
        text: text(sheet, labels),
        bars: Vec::new(),
        drawing,
    }
}

/// Draws the upright scale; gives where the plot begins.
fn scale(drawing: &mut Drawing, labels: &Labels, (up, width): (Axis, f64), most: f64) -> f64 {
    let ticks = marks(most, 4);
    let words = tick_words(&ticks, labels);
    let gutter = words
        .iter()
        .map(|words| letters::width(words))
        .fold(0.0, f64::max)
        + ADVANCE;
    let mut taken = f64::INFINITY;
    for (tick, words) in ticks.iter().zip(&words) {
        let y = up.at(*tick);
        let top = (y - LINE / 2.0).min(up.from - LINE);
        if top + LINE > taken + 1e-9 {
            continue;
        }
        letters::write(
            drawing,
            (gutter - ADVANCE, top),
            Anchor::End,
            Ink::Faint,
            words,
        );
        drawing.line(vec![(gutter, y), (width, y)], 0.4, true, Ink::Faint);
        taken = top;
    }
    drawing.line(
        vec![(gutter, up.to), (gutter, up.from)],
        0.75,
        false,
        Ink::Text,
    );
    drawing.line(
        vec![(gutter, up.from), (width, up.from)],
        0.75,
        false,
        Ink::Text,
    );
    gutter
}

/// The marks in words: with a decimal where the step between them, a round one, is below 1.
fn tick_words(ticks: &[f64], labels: &Labels) -> Vec<String> {
    let small = ticks.get(1).is_some_and(|step| *step < 1.0);
    let word = |tick: &f64| labels.number(*tick, usize::from(small));
    ticks.iter().map(word).collect()
}

fn years(
    drawing: &mut Drawing,
    sheet: &OutlookSheet,
    labels: &Labels,
    (up, left, width): (Axis, f64, f64),
) {
    let many = sheet.ahead.iter().map(|ahead| ahead.years.len()).max();
    let pitch = (width - left) / many.unwrap_or(1).max(1) as f64;
    let apart = pitch / (sheet.ahead.len() + 1) as f64;
    for (way, ahead) in sheet.ahead.iter().enumerate() {
        let (ink, fill) = look(ahead.scenario);
        for (n, year) in ahead.years.iter().enumerate() {
            let crop = year.crop.tonnes_per_ha;
            let x = left + n as f64 * pitch + (way + 1) as f64 * apart;
            upright_whisker(drawing, x, (up.at(crop.hi), up.at(crop.lo)), ink);
            drawing.circle((x, up.at(crop.mean)), 3.0, ink, fill);
            if way == 0 {
                let name = letters::cut(&labels.ahead(year.ahead), pitch);
                let at = (left + (n as f64 + 0.5) * pitch, up.from);
                letters::write(drawing, at, Anchor::Middle, Ink::Text, &name);
            }
        }
    }
}

fn text(sheet: &OutlookSheet, labels: &Labels) -> String {
    let mut said = format!("{}; {}. ", labels.tonnes_per_ha, labels.range);
    for ahead in &sheet.ahead {
        let years: Vec<String> = (ahead.years.iter())
            .map(|year| {
                let crop = year.crop.tonnes_per_ha;
                format!(
                    "{} {} {} ({}-{})",
                    labels.winter,
                    labels.ahead(year.ahead),
                    labels.figure(crop.mean),
                    labels.figure(crop.lo),
                    labels.figure(crop.hi)
                )
            })
            .collect();
        let _ = write!(
            said,
            "{}: {}. ",
            scenario(labels, ahead.scenario),
            years.join(", ")
        );
    }
    said.trim_end().to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_marks_of_a_small_crop_differ() {
        let words = |most| tick_words(&marks(most, 4), &Labels::english());
        assert_eq!(words(1.6), ["0.0", "0.5", "1.0", "1.5"]);
        assert_eq!(words(45.0), ["0", "20", "40"]);
    }
}
