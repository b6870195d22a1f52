//! The mix of ages as one bar.

use crate::orchard::Age;
use crate::tui::Pen;
use crate::tui::pen::{below, line_of};
use crate::tui::text::{self, Align};
use crate::tui::theme::Stroke;
use ratatui::layout::Rect;

/// Patterns of the four ages, so that they can be told apart without colour.
const PATTERNS: [char; 4] = [' ', '/', '.', '#'];
const MARKS: [&str; 4] = ["1", "2", "3", "4+"];

/// The shares in words: `1: 33 %  2: 31 %  3: 30 %  4+: 6 %`.
pub fn mix_words(shares: [f64; 4]) -> String {
    let one = |(mark, share): (&str, f64)| format!("{mark}: {}", text::percent(share));
    MARKS
        .into_iter()
        .zip(shares)
        .map(one)
        .collect::<Vec<_>>()
        .join("  ")
}

/// Draws four shares (youngest first, adding up to 1) as a bar over the area's width. With two lines,
/// the shares in words stand below; with three and a target, marks between show where the
/// first, second and third age would end on the target.
pub fn mix_bar(pen: &mut Pen, area: Rect, shares: [f64; 4], target: Option<[f64; 3]>) {
    let area = pen.clip(area);
    if area.is_empty() {
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
    let mut words = below(area, 1);
    if let Some(target) = target.filter(|_| area.height >= 3) {
        draw_target(pen, line_of(words, 0), target);
        words = below(words, 1);
    }
    let style = pen.theme.text();
    pen.text(line_of(words, 0), &mix_words(shares), style);
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
    let long = format!(" {mark}: {} ", text::percent(share));
    let room = usize::from(place.width);
    let label = if text::width(&long) <= room {
        long.as_str()
    } else {
        mark
    };
    if text::width(label) <= room {
        let at = place.x + (place.width - text::width(label) as u16) / 2;
        for (x, c) in (at..).zip(label.chars()) {
            pen.mark(x, place.y, c, style);
        }
    }
}

fn draw_target(pen: &mut Pen, line: Rect, target: [f64; 3]) {
    let style = pen.theme.line(Stroke::Target);
    let mut sum = 0.0;
    for share in target {
        sum += share;
        if sum.is_finite() && !line.is_empty() {
            let x = edge(sum, line.width).min(line.width - 1);
            pen.mark(line.x + x, line.y, '▲', style);
        }
    }
    // The word goes where no mark can be: before the end of the first age.
    let first = edge(target[0], line.width);
    let word = Rect {
        width: first.saturating_sub(1).min(line.width),
        ..line
    };
    if word.width >= 6 {
        let faint = pen.theme.faint();
        pen.text(word, "target", faint);
    }
}
