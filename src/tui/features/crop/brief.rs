//! The brief of a block on the screen, with the numbers that are changed in place.

use ratatui::layout::Rect;

use super::Opened;
use crate::outlook::{FactorKind, Target};
use crate::report::words::Tongue;
use crate::report::{BriefSheet, Taken, words};
use crate::tui::pen::{below, line_of, right_of};
use crate::tui::text::Align;
use crate::tui::{Action, Cursor, Pen};

/// Where trying begins in a block without an aim: a round number.
const FIRST_AIM: f64 = 40.0;
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

    /// The number of a line.
    pub fn at(line: Cursor) -> Self {
        Self::ALL[line.at(Self::ALL.len())]
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

/// Draws the part.
pub(super) fn view(opened: &Opened, pen: &mut Pen, area: Rect) {
    let sheet = match &opened.brief {
        Ok(sheet) => sheet,
        Err(why) => {
            pen.wrapped(area, &why.to_string(), pen.theme.error());
            return;
        }
    };
    for (y, number) in (0..).zip(Number::ALL) {
        let line = line_of(area, y);
        let chosen = number == Number::at(opened.line());
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
    let rest = below(area, Number::ALL.len() as u16 + 1);
    if sheet.brief.is_none() {
        let words = "No aim is set for this block. + takes one to try, k keeps it; e types one and stores it.";
        pen.wrapped(rest, words, pen.theme.text());
        return;
    }
    let left = Rect {
        width: LEFT.min(rest.width),
        ..rest
    };
    wanted(sheet, pen, left);
    by_buds(opened, sheet, pen, right_of(rest, LEFT + 2));
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

fn wanted(sheet: &BriefSheet, pen: &mut Pen, area: Rect) {
    let Some(brief) = &sheet.brief else { return };
    let (tree, stem) = (&brief.tree, &brief.stem);
    cells(pen, line_of(area, 0), "To leave", ["a tree", "a stem"]);
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
    let mut y = 1;
    for (name, tree, stem) in lines {
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

fn by_buds(opened: &Opened, sheet: &BriefSheet, pen: &mut Pen, area: Rect) {
    let Some(brief) = &sheet.brief else { return };
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
    let below_table = below(area, 6);
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
    let used = pen.wrapped(below_table, &words, style);
    let caution = Tongue::english().caution(sheet.caution);
    pen.wrapped(below(below_table, used), &caution, pen.theme.title());
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
