//! The wood by age over the coming winters, in the three ways of going on.

use std::fmt::Write as _;

use super::legend::{Swatch, legend};
use super::{Labels, Room, age_look, nothing, titled};
use crate::outlook::{Scenario, Year};
use crate::report::OutlookSheet;
use crate::report::document::letters::{self, ADVANCE, LINE};
use crate::report::document::{Anchor, Bar, Drawing, Ink, Picture};
use crate::report::fit::percent;

/// Between the ways of going on.
const GAP: f64 = 2.0 * ADVANCE;

/// The word for a way of going on.
pub(super) fn scenario(labels: &Labels, scenario: Scenario) -> &str {
    let place = Scenario::ALL.iter().position(|known| *known == scenario);
    &labels.scenarios[place.unwrap_or(0)]
}

/// Draws a stacked bar a winter, youngest wood at the foot, in a panel for each way of going on; all panels have one
/// scale, and above each bar stands the sum of its pieces a tree.
pub fn ages_ahead(sheet: &OutlookSheet, labels: &Labels, room: Room) -> Picture {
    let title = titled(&labels.ahead_title, &sheet.block_name);
    let room = room.at_least(300.0, 8.0 * LINE);
    if sheet.ahead.is_empty() {
        return nothing(title, labels, room);
    }
    let mut drawing = room.field();
    let entries: Vec<(Swatch, &str)> = (labels.ages.iter().enumerate())
        .map(|(age, name)| {
            let (ink, fill) = age_look(age);
            (Swatch::Box(ink, fill), &**name)
        })
        .collect();
    let used = legend(&mut drawing, (0.0, 0.0), room.width, &entries);
    let room = room.below(&mut drawing, used, 7.0);
    letters::write(
        &mut drawing,
        (0.0, used),
        Anchor::Start,
        Ink::Faint,
        &letters::cut(&labels.pieces_a_tree, room.width),
    );
    let top = used + LINE;
    let many = sheet.ahead.len() as f64;
    let width = (room.width + GAP) / many - GAP;
    let sums = sheet.ahead.iter().flat_map(|ahead| &ahead.years).map(sum);
    let most = sums.filter(|sum| sum.is_finite()).fold(1.0, f64::max);
    for (n, ahead) in sheet.ahead.iter().enumerate() {
        let left = n as f64 * (width + GAP);
        let head = letters::cut(scenario(labels, ahead.scenario), width);
        letters::head(&mut drawing, (left, top), &head);
        let place = ((left, top + LINE), (width, room.height - LINE));
        bars(&mut drawing, labels, place, (most, &ahead.years));
    }
    Picture {
        title,
        text: text(sheet, labels),
        bars: mixes(sheet, labels),
        drawing,
    }
}

/// The mix of each winter in which there is wood.
fn mixes(sheet: &OutlookSheet, labels: &Labels) -> Vec<Bar> {
    let years = sheet.ahead.iter().flat_map(|ahead| {
        let name = scenario(labels, ahead.scenario);
        ahead.years.iter().map(move |year| (name, year))
    });
    let bars = years
        .filter(|(_, year)| sum(year) > 0.0)
        .map(|(name, year)| Bar {
            name: format!("{name}, {}", labels.ahead(year.ahead)),
            shares: year.mix,
        });
    bars.collect()
}

fn sum(year: &Year) -> f64 {
    year.pieces.iter().sum()
}

fn bars(
    drawing: &mut Drawing,
    labels: &Labels,
    ((left, top), (width, floor)): ((f64, f64), (f64, f64)),
    (most, years): (f64, &[Year]),
) {
    let pitch = width / years.len().max(1) as f64;
    let ceiling = top + LINE;
    for (n, year) in years.iter().enumerate() {
        let x = left + n as f64 * pitch;
        let middle = x + pitch / 2.0;
        let mut y = floor;
        for (age, pieces) in year.pieces.into_iter().enumerate() {
            let tall = (floor - ceiling) * (pieces / most).clamp(0.0, 1.0);
            if !tall.is_finite() || tall < 0.01 {
                continue;
            }
            let (ink, fill) = age_look(age);
            y -= tall;
            drawing.rect((x + pitch * 0.14, y), (pitch * 0.72, tall), ink, fill);
        }
        let all = labels.number(sum(year), 0);
        if letters::width(&all) <= pitch {
            letters::write(drawing, (middle, y - LINE), Anchor::Middle, Ink::Text, &all);
        }
        let name = letters::cut(&labels.ahead(year.ahead), pitch);
        letters::write(drawing, (middle, floor), Anchor::Middle, Ink::Text, &name);
    }
    drawing.line(
        vec![(left, floor), (left + width, floor)],
        0.75,
        false,
        Ink::Text,
    );
}

fn text(sheet: &OutlookSheet, labels: &Labels) -> String {
    let mut said = String::new();
    for ahead in &sheet.ahead {
        let _ = write!(said, "{}: ", scenario(labels, ahead.scenario));
        let years: Vec<String> = ahead
            .years
            .iter()
            .map(|year| of_year(year, labels))
            .collect();
        said += &years.join("; ");
        said += ". ";
    }
    said.trim_end().to_owned()
}

fn of_year(year: &Year, labels: &Labels) -> String {
    let ages: Vec<String> = (labels.ages.iter().zip(year.pieces).zip(year.mix))
        .map(|((name, pieces), share)| {
            format!("{name} {} ({})", labels.figure(pieces), percent(share))
        })
        .collect();
    let when = labels.ahead(year.ahead);
    format!(
        "{} {when} {} {}",
        labels.winter,
        labels.pieces_a_tree,
        ages.join(", ")
    )
}
