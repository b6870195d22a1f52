//! The mix of ages as one bar.

use crate::orchard::Age;
use crate::tui::Pen;
use crate::tui::pen::line_of;
use crate::tui::text::{self, Align};
use ratatui::layout::Rect;

/// Patterns of the four ages, so that they can be told apart without colour.
const PATTERNS: [char; 4] = [' ', '/', '.', '#'];
const MARKS: [&str; 4] = ["1", "2", "3", "4+"];
const NAMES: [&str; 4] = ["1-year", "2-year", "3-year", "4-plus"];

/// Draws four shares (youngest first, adding up to 1) as a bar over the width of an area's first line.
pub fn mix_bar(pen: &mut Pen, area: Rect, shares: [f64; 4]) {
    let area = pen.clip(area);
    if area.is_empty() {
        let all = NAMES.iter().zip(shares);
        let told: Vec<String> = all
            .map(|(name, share)| format!("{name} {}", text::percent(share)))
            .collect();
        pen.left_out(&told.join(", "));
        return;
    }
    let line = line_of(area, 0);
    let total: f64 = shares.iter().sum();
    if !(total.is_finite() && total > 0.0 && shares.iter().all(|s| *s >= 0.0)) {
        let faint = pen.theme.faint();
        pen.fill(line, '·', faint);
        pen.aligned(line, " nothing counted yet ", Align::Centre, faint);
        return;
    }
    let shares = shares.map(|s| s / total);
    let mut from = 0;
    let mut sum = 0.0;
    for (age, share) in Age::ALL.into_iter().zip(shares) {
        sum += share;
        let to = edge(sum, area.width);
        segment(
            pen,
            Rect::new(line.x + from, line.y, to - from, 1),
            age,
            share,
        );
        from = to;
    }
}

/// The column where a share of the width ends.
fn edge(share: f64, width: u16) -> u16 {
    (share * f64::from(width))
        .round()
        .clamp(0.0, f64::from(width)) as u16
}

fn segment(pen: &mut Pen, place: Rect, age: Age, share: f64) {
    let style = pen.theme.age(age);
    let mark = MARKS[age.index()];
    pen.fill(place, PATTERNS[age.index()], style);
    let share = text::percent(share);
    let room = usize::from(place.width);
    let labels = [
        format!(" {} {share} ", NAMES[age.index()]),
        format!(" {mark}: {share} "),
        mark.to_owned(),
    ];
    // the longest that there is room for
    if let Some(label) = labels.iter().find(|label| text::width(label) <= room) {
        let at = place.x + (place.width - text::width(label) as u16) / 2;
        for (x, c) in (at..).zip(label.chars()) {
            pen.mark(x, place.y, c, style);
        }
    }
}
