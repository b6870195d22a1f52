//! Units of one size by the buds left on them, against the rule's limits.

use crate::orchard::{MAX_BUDS, Size};
use crate::report::words;
use crate::tui::Pen;
use crate::tui::pen::line_of;
use crate::tui::text::Align;
use crate::tui::theme::Stroke;
use ratatui::layout::Rect;

/// The units of one size.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct BudBars {
    /// Which size.
    pub size: Size,
    /// How many units have 0 to 6, and 7 or more buds.
    pub counts: [u32; MAX_BUDS as usize + 1],
    /// The least and most buds that the rule allows.
    pub limit: (u8, u8),
}

const EIGHTHS: [char; 8] = ['▁', '▂', '▃', '▄', '▅', '▆', '▇', '█'];
const LABELS: [&str; 8] = ["0", "1", "2", "3", "4", "5", "6", "7+"];

/// Draws a bar a bud class: full inside the limits, dotted outside them, with the limits below. In less
/// than six lines or 24 columns the counts stand in words on one line, with the limits in brackets.
pub fn bud_bars(pen: &mut Pen, area: Rect, bars: &BudBars) {
    let area = pen.clip(area);
    if area.is_empty() {
        return;
    }
    if area.height < 6 || area.width < 24 {
        let style = pen.theme.text();
        pen.text(line_of(area, 0), &in_words(bars), style);
        return;
    }
    let name = format!(" {} ", bars.size.word());
    let style = pen.theme.size(bars.size);
    pen.text(line_of(area, 0), name.trim(), style);
    let total: u64 = bars.counts.iter().map(|n| u64::from(*n)).sum();
    let faint = pen.theme.faint();
    pen.aligned(
        line_of(area, 0),
        &words::plural(total as u32, "unit", "units"),
        Align::Right,
        faint,
    );
    let width = (area.width / 8).min(9);
    let most = bars.counts.iter().copied().max().unwrap_or(0).max(1);
    for (i, (count, label)) in (0u8..).zip(bars.counts.iter().zip(LABELS)) {
        let x = area.x + u16::from(i) * width;
        let column = Rect::new(x, area.y + 1, width - 1, area.height - 3);
        bar(pen, column, (*count, most), allowed(bars, i));
        let label_line = Rect::new(x, area.bottom() - 2, width - 1, 1);
        let style = pen.theme.text();
        pen.aligned(label_line, label, Align::Centre, style);
    }
    limits(
        pen,
        Rect::new(area.x, area.bottom() - 1, width * 8, 1),
        width,
        bars,
    );
}

fn allowed(bars: &BudBars, buds: u8) -> bool {
    (bars.limit.0..=bars.limit.1).contains(&buds)
}

/// One bar with its count above it.
fn bar(pen: &mut Pen, column: Rect, (count, most): (u32, u32), allowed: bool) {
    let room = column.height - 1;
    let eighths = u64::from(count) * u64::from(room) * 8 / u64::from(most);
    // What was counted is never drawn as nothing.
    let eighths = eighths.max(u64::from(count > 0)) as u16;
    let (full, rest) = (eighths / 8, eighths % 8);
    let stroke = if allowed { Stroke::Band } else { Stroke::Mean };
    let style = pen.theme.line(stroke);
    let block = if allowed { '█' } else { '▒' };
    let line = |up: u16| Rect::new(column.x, column.bottom() - 1 - up, column.width, 1);
    for up in 0..full {
        pen.fill(line(up), block, style);
    }
    if rest > 0 {
        pen.fill(line(full), EIGHTHS[usize::from(rest) - 1], style);
    }
    let top = full + u16::from(rest > 0);
    let style = pen.theme.text();
    let words = count.to_string();
    let mut label = line(top.min(room));
    // a long number may use the gap before the next bar
    label.width += u16::from(words.len() > usize::from(label.width));
    pen.aligned(label, &words, Align::Centre, style);
}

/// The bracket under what the rule allows.
fn limits(pen: &mut Pen, line: Rect, width: u16, bars: &BudBars) {
    let least = u16::from(bars.limit.0.min(MAX_BUDS));
    let most = u16::from(bars.limit.1.min(MAX_BUDS));
    if least > most {
        return;
    }
    let place = Rect::new(
        line.x + least * width,
        line.y,
        (most - least + 1) * width - 1,
        1,
    );
    let style = pen.theme.line(Stroke::Target);
    pen.fill(place, '═', style);
    pen.mark(place.x, place.y, '╘', style);
    pen.mark(place.right() - 1, place.y, '╛', style);
    if place.width >= 8 {
        pen.aligned(place, " rule ", Align::Centre, style);
    }
}

/// The counts on one line: `thin 0:1 1:0 [2:5 3:9] 4:2 5:0 6:0 7+:0`.
fn in_words(bars: &BudBars) -> String {
    let one = |(buds, (count, label)): (u8, (&u32, &str))| {
        let within = allowed(bars, buds);
        let open = if within && buds == bars.limit.0 {
            "["
        } else {
            ""
        };
        let last = within && buds == bars.limit.1.min(MAX_BUDS);
        let close = if last { "]" } else { "" };
        format!(" {open}{label}:{count}{close}")
    };
    let classes = (0u8..).zip(bars.counts.iter().zip(LABELS));
    let words: String = classes.map(one).collect();
    format!("{}{words}", bars.size.word())
}
