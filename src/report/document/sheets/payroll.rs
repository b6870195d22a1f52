//! Hours and pay on paper.

use super::parts::{Head, Put, paper, sheet, table};
use super::words;
use crate::orchard::Trees;
use crate::report::document::Document;
use crate::report::fit::Align::{Left, Right};
use crate::report::{Payroll, PayrollLine};

const TITLE: &str = "Payroll";
const SUMS: &str = "Pruners, by number";
const SUM_HEADS: [Head<'static>; 5] = [
    ("Pruner", Left),
    ("Days", Right),
    ("Hours", Right),
    ("Trees", Right),
    ("Amount", Right),
];
const LINE_HEADS: [Head<'static>; 7] = [
    ("Day", Left),
    ("Block", Left),
    ("Work", Left),
    ("Hours", Right),
    ("Trees", Right),
    ("Rate", Left),
    ("Amount", Right),
];
const NOBODY: &str = "Nobody worked on these days.";
const HOW: &str = "A tree is paid once, to who pruned it first; of shared trees each has the share. Each day is rounded once, and its lines add up to it.";

/// Hours and pay as a paper.
pub fn payroll(of: &Payroll) -> Document {
    let days = match of.since {
        Some(since) => format!("{since} to {}", of.until),
        None => format!("to {}", of.until),
    };
    let title = format!("{TITLE}, {}", of.currency.code());
    let mut page = sheet(&of.orchard, &of.winter, title, days.clone());
    if of.lines.is_empty() {
        page.para(NOBODY);
    } else {
        for caution in words::payroll_cautions(of) {
            page.caution(caution);
        }
        page.part(table(SUMS, &SUM_HEADS, sums(of)));
        for sum in &of.sums {
            let own = of.lines.iter().filter(|line| line.shown == sum.shown);
            let lines = own.map(|line| cells(of, line)).collect();
            page.part(table(sum.shown.clone(), &LINE_HEADS, lines));
        }
        page.note(HOW);
    }
    paper(format!("{TITLE}, {days}"), vec![page])
}

fn hours(minutes: u32) -> String {
    format!("{}:{:02}", minutes / 60, minutes % 60)
}

/// A line for each pruner, and one for all.
fn sums(of: &Payroll) -> Vec<Vec<String>> {
    let line = |who: &str, days: String, minutes, trees: Trees, amount| {
        let amount = of.currency.amount(amount);
        vec![
            who.to_owned(),
            days,
            hours(minutes),
            trees.to_string(),
            amount,
        ]
    };
    let each = of.sums.iter().map(|sum| {
        let days = sum.days.to_string();
        line(&sum.shown, days, sum.minutes, sum.trees, sum.amount)
    });
    let mut lines: Vec<Vec<String>> = each.collect();
    let minutes = of.sums.iter().map(|sum| sum.minutes).sum();
    let trees = of.sums.iter().map(|sum| sum.trees).sum();
    let amount = of.sums.iter().map(|sum| sum.amount).sum();
    lines.push(line("All", String::new(), minutes, trees, amount));
    lines
}

fn cells(of: &Payroll, line: &PayrollLine) -> Vec<String> {
    let amount = match (line.amount, line.guessed) {
        (None, _) => words::paid_for(None).to_owned(),
        (Some(amount), false) => of.currency.amount(amount),
        (Some(amount), true) => format!("about {}", of.currency.amount(amount)),
    };
    let rate = line.rate.as_ref().zip(words::paid_by(line.paid_for));
    vec![
        line.day.to_string(),
        line.block_name.clone(),
        line.kind.word().to_owned(),
        line.minutes.map_or_else(|| "-".to_owned(), hours),
        line.trees.to_string(),
        rate.map_or_else(String::new, |(rate, by)| format!("{rate} {by}")),
        amount,
    ]
}
