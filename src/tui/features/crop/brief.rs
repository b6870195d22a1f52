//! The brief of a block on the screen, with the numbers that are changed in place.

use ratatui::layout::Rect;

use super::Opened;
use crate::outlook::{FactorKind, Target};
use crate::report::words::Tongue;
use crate::report::{BriefSheet, Taken, words};
use crate::tui::pen::{below, line_of, right_of};
use crate::tui::text::{self, Align};
use crate::tui::{Action, Pen};

/// Where trying begins in a block without an aim: a round number.
const FIRST_AIM: f64 = 40.0;
/// What to say in a block without an aim.
const NO_AIM: &str =
    "No aim is set for this block. + takes one to try, k keeps it; e types one and stores it.";
/// Columns of the numbers on the left.
const LEFT: u16 = 44;

/// The heads of what other numbers of buds would mean, in two lines.
const BY_BUDS: [[&str; 3]; 2] = [
    ["Buds to leave", "units", "t/ha, same"],
    ["on a unit", "a tree", "units"],
];

/// A number that is changed in place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Number {
    Aim,
    Weight,
    Set,
    Buds,
}

impl Number {
    pub const ALL: [Self; 4] = [Self::Aim, Self::Weight, Self::Set, Self::Buds];

    /// The number of the chosen line; none where that is only read.
    pub fn chosen(opened: &Opened, columns: u16) -> Option<Self> {
        let line = opened.line().at(usize::from(lines(opened, columns)));
        Self::ALL.get(line).copied()
    }

    fn title(self) -> &'static str {
        match self {
            Self::Aim => "Aim",
            Self::Weight => "Fruit weight, g",
            Self::Set => "Clusters kept per fruit bud",
            Self::Buds => "Buds to leave on a unit",
        }
    }

    fn is_taken(self, what_if: &Taken) -> bool {
        match self {
            Self::Aim => what_if.aim.is_some(),
            Self::Weight => what_if.fruit_weight_g.is_some(),
            Self::Set => what_if.set.is_some(),
            Self::Buds => what_if.buds_per_unit.is_some(),
        }
    }

    fn value(self, sheet: &BriefSheet) -> String {
        let factor = |kind: FactorKind| words::figure(factor(sheet, kind));
        match self {
            Self::Aim => sheet.aim.map_or_else(|| "none".to_owned(), words::aim),
            Self::Weight => factor(FactorKind::FruitWeight),
            Self::Set => factor(FactorKind::Set),
            Self::Buds => words::figure(sheet.buds_per_unit),
        }
    }

    /// What is taken after a step up (1) or down (-1).
    pub fn moved(self, opened: &Opened, step: f64) -> Taken {
        let mut taken = opened.what_if;
        let Ok(sheet) = &opened.brief else {
            return taken;
        };
        match self {
            Self::Aim => taken.aim = Some(aim(sheet.aim, step)),
            Self::Weight => {
                let now = factor(sheet, FactorKind::FruitWeight);
                taken.fruit_weight_g = Some(stepped(now, step, 5.0));
            }
            Self::Set => taken.set = Some(stepped(factor(sheet, FactorKind::Set), step, 0.05)),
            Self::Buds => taken.buds_per_unit = Some(stepped(sheet.buds_per_unit, step, 0.25)),
        }
        taken
    }
}

fn factor(sheet: &BriefSheet, kind: FactorKind) -> f64 {
    let mut lines = sheet.factors.iter();
    let found = lines.find(|line| line.kind == kind);
    found.map_or(0.0, |line| line.value)
}

/// The next round number in the direction of the step.
fn stepped(now: f64, step: f64, size: f64) -> f64 {
    let steps = now / size;
    let near = steps.round();
    let next = if (steps - near).abs() < 1e-6 {
        near + step
    } else if step > 0.0 {
        steps.ceil()
    } else {
        steps.floor()
    };
    // no more decimals than the steps have
    (next * size * 1e6).round() / 1e6
}

fn aim(now: Option<Target>, step: f64) -> Target {
    match now {
        None => Target::TonnesPerHa(FIRST_AIM),
        Some(Target::TonnesPerHa(tonnes)) => Target::TonnesPerHa(stepped(tonnes, step, 1.0)),
        Some(Target::FruitPerTree(fruit)) => Target::FruitPerTree(stepped(fruit, step, 5.0)),
        Some(Target::FruitPerTcsa {
            fruit_per_cm2,
            girth_cm,
        }) => Target::FruitPerTcsa {
            fruit_per_cm2: stepped(fruit_per_cm2, step, 0.1),
            girth_cm,
        },
    }
}

/// Columns from which on what follows stands in two columns.
const WIDE: u16 = 80;
/// Columns of the mark of the chosen line.
const MARK: u16 = 1;

/// Lines that can be chosen: the numbers, and in one column all that follows from them, to read.
pub(super) fn lines(opened: &Opened, columns: u16) -> u16 {
    let numbers = Number::ALL.len() as u16;
    match &opened.brief {
        Ok(sheet) if columns < WIDE => {
            let follows = follows(opened, sheet, columns);
            numbers + follows.iter().sum::<u16>()
        }
        _ => numbers,
    }
}

/// Lines of what follows from the numbers: what to leave, and what other numbers of buds would mean.
fn follows(opened: &Opened, sheet: &BriefSheet, columns: u16) -> [u16; 2] {
    if sheet.brief.is_none() {
        let lines = text::wrap(NO_AIM, usize::from(columns)).len();
        return [lines as u16, 0];
    }
    let said = said(opened, sheet);
    let said = said
        .iter()
        .map(|words| text::wrap(words, usize::from(columns - MARK)).len());
    let rows = sheet.brief.as_ref().map_or(0, |brief| brief.by_buds.len());
    let by_buds = BY_BUDS.len() + rows + said.sum::<usize>();
    [wanted_lines(sheet).len() as u16 + 2, by_buds as u16]
}

/// Draws the part.
pub(super) fn view(opened: &Opened, pen: &mut Pen, area: Rect) {
    let all = lines(opened, area.width);
    let top = opened
        .line()
        .first(usize::from(all), usize::from(area.height));
    pen.scrolled(area, all, top as u16, |pen, area| draw(opened, pen, area));
}

fn draw(opened: &Opened, pen: &mut Pen, area: Rect) {
    let sheet = match &opened.brief {
        Ok(sheet) => sheet,
        Err(why) => {
            pen.wrapped(area, &why.to_string(), pen.theme.error());
            return;
        }
    };
    let at = Number::chosen(opened, area.width);
    for (y, number) in (0..).zip(Number::ALL) {
        let line = line_of(area, y);
        let chosen = at == Some(number);
        let style = if chosen {
            pen.theme.selected()
        } else {
            pen.theme.text()
        };
        pen.fill(line, ' ', style);
        let mark = if chosen { "▸" } else { " " };
        let taken = if number.is_taken(&opened.what_if) {
            "  taken here, not stored"
        } else {
            ""
        };
        let words = format!("{mark}{:<28}{}{taken}", number.title(), number.value(sheet));
        pen.text(line, &words, style);
        pen.touch_row(line, Action::Select(usize::from(y)));
    }
    let wide = area.width >= WIDE;
    let rest = below(area, Number::ALL.len() as u16 + u16::from(wide));
    if sheet.brief.is_none() {
        pen.wrapped(rest, NO_AIM, pen.theme.text());
        return;
    }
    if !wide {
        return in_one_column(opened, sheet, pen, area);
    }
    let left = Rect {
        width: LEFT.min(rest.width),
        ..rest
    };
    wanted(sheet, pen, left);
    let right = right_of(rest, LEFT + 2);
    table_of_buds(sheet, pen, right);
    crop_and_caution(opened, sheet, pen, below(right, 6));
}

/// What follows from the numbers, line by line, of which the chosen one is marked.
fn in_one_column(opened: &Opened, sheet: &BriefSheet, pen: &mut Pen, area: Rect) {
    let numbers = Number::ALL.len() as u16;
    let rest = below(right_of(area, MARK), numbers);
    wanted(sheet, pen, rest);
    let [above, _] = follows(opened, sheet, area.width);
    let used = table_of_buds(sheet, pen, below(rest, above));
    crop_and_caution(opened, sheet, pen, below(rest, above + used));
    let all = lines(opened, area.width);
    let at = opened.line().at(usize::from(all)) as u16;
    for y in numbers..all {
        let line = line_of(area, y);
        if y == at {
            let style = pen.theme.selected();
            pen.style(line, style);
            pen.mark(line.x, line.y, '▸', style);
        }
        pen.touch_row(line, Action::Select(usize::from(y)));
    }
}

fn cells(pen: &mut Pen, line: Rect, name: &str, numbers: [&str; 2]) {
    let style = pen.theme.text();
    pen.text(line, name, style);
    for (number, x) in numbers.into_iter().zip([26, 35]) {
        let cell = Rect {
            width: 8,
            ..right_of(line, x)
        };
        pen.aligned(cell, number, Align::Right, style);
    }
}

/// What to leave, by name, a tree and a stem.
fn wanted_lines(sheet: &BriefSheet) -> Vec<(&'static str, f64, f64)> {
    let Some(brief) = &sheet.brief else {
        return Vec::new();
    };
    let (tree, stem) = (&brief.tree, &brief.stem);
    let mut lines = vec![
        ("Fruit", tree.fruit, stem.fruit),
        ("Clusters", tree.clusters, stem.clusters),
        ("Buds", tree.buds, stem.buds),
        ("Units (two-year pieces)", tree.units, stem.units),
    ];
    let names = [
        "One-year pieces",
        "",
        "Three-year pieces",
        "Four-plus pieces",
    ];
    for (age, name) in names.into_iter().enumerate() {
        if sheet.rule_target[age] > 0.0 && !name.is_empty() {
            lines.push((name, tree.pieces[age], stem.pieces[age]));
        }
    }
    lines.push((
        "  spare one-year pieces",
        tree.extra_one_year,
        stem.extra_one_year,
    ));
    lines
}

fn wanted(sheet: &BriefSheet, pen: &mut Pen, area: Rect) {
    let Some(brief) = &sheet.brief else { return };
    cells(pen, line_of(area, 0), "To leave", ["a tree", "a stem"]);
    let mut y = 1;
    for (name, tree, stem) in wanted_lines(sheet) {
        let numbers = [words::figure(tree), words::figure(stem)];
        cells(pen, line_of(area, y), name, [&numbers[0], &numbers[1]]);
        y += 1;
    }
    let words = format!(
        "{} t/ha, {} kg a tree",
        words::figure(brief.tonnes_per_ha),
        words::figure(brief.kg_per_tree)
    );
    pen.text(line_of(area, y), &words, pen.theme.text());
}

/// What other numbers of buds would mean; gives the lines that it took.
fn table_of_buds(sheet: &BriefSheet, pen: &mut Pen, area: Rect) -> u16 {
    let Some(brief) = &sheet.brief else { return 0 };
    let style = pen.theme.text();
    for (y, [buds, units, tonnes]) in (0..).zip(BY_BUDS) {
        let head = format!("{buds:<13}{units:>9}{tonnes:>12}");
        pen.text(line_of(area, y), &head, style);
    }
    for (y, row) in (BY_BUDS.len() as u16..).zip(&brief.by_buds) {
        let words = format!(
            "{:>9.0}    {:>9}{:>12}",
            row.buds_per_unit,
            words::figure(row.units_per_tree),
            words::figure(row.tonnes_with_same_units)
        );
        pen.text(line_of(area, y), &words, style);
    }
    (BY_BUDS.len() + brief.by_buds.len()) as u16
}

/// What the wood that was counted may bear, and what to be careful of.
fn said(opened: &Opened, sheet: &BriefSheet) -> [String; 2] {
    let crop = opened.outlook.as_ref().ok().and_then(|sheet| sheet.crop);
    let words = match crop {
        None => "No crop yet: no buds were counted here.".to_owned(),
        Some(crop) => {
            let range = crop.potential.tonnes_per_ha;
            format!(
                "The wood counted may bear {} t/ha (4 times of 5: {} to {})",
                words::figure(range.mean),
                words::figure(range.lo),
                words::figure(range.hi)
            )
        }
    };
    [words, Tongue::english().caution(sheet.caution)]
}

fn crop_and_caution(opened: &Opened, sheet: &BriefSheet, pen: &mut Pen, area: Rect) {
    let [words, caution] = said(opened, sheet);
    let used = pen.wrapped(area, &words, pen.theme.text());
    pen.wrapped(below(area, used), &caution, pen.theme.title());
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_go_to_round_numbers() {
        let near = |a: f64, b: f64| assert!((a - b).abs() < 1e-9, "{a} is not {b}");
        near(stepped(0.6, 1.0, 0.05), 0.65);
        near(stepped(0.617, 1.0, 0.05), 0.65);
        near(stepped(0.617, -1.0, 0.05), 0.6);
        near(stepped(65.0, -1.0, 1.0), 64.0);
        near(stepped(3.0, 1.0, 0.25), 3.25);
    }
}
