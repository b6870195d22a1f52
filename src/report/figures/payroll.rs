//! Hours and pay, line by line, for whoever pays the crew.

use std::collections::{BTreeMap, HashSet};

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::Serialize;

use super::Period;
use super::season::Season;
use crate::judge::Verdict;
use crate::orchard::{BlockId, PrunerId, Trees, WorkKind};
use crate::outlook::pace::{Currency, Money, PaidFor, Pay, PayLine, pay_lines};

/// Hours and pay of some days.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Payroll {
    /// The orchard's name; may be empty.
    pub orchard: String,
    /// The winter's label.
    pub winter: String,
    /// From this day on; from the first day of work where it is null.
    pub since: Option<NaiveDate>,
    /// Up to and with this day.
    pub until: NaiveDate,
    /// The orchard's currency.
    pub currency: Currency,
    /// By day, number, block and kind of work.
    pub lines: Vec<PayrollLine>,
    /// By number.
    pub sums: Vec<PayrollSum>,
}

/// What one pruner did on one day in one block, and what is paid for it.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct PayrollLine {
    /// The day.
    pub day: NaiveDate,
    /// The pruner.
    pub pruner: PrunerId,
    /// Number on the crew list.
    pub number: u16,
    /// As shown.
    pub shown: String,
    /// The block.
    pub block: BlockId,
    /// Its name.
    pub block_name: String,
    /// What was done.
    pub kind: WorkKind,
    /// Minutes; null where some were not noted.
    pub minutes: Option<u32>,
    /// Trees that are paid by the tree, with decimals where they are shared.
    pub trees: Trees,
    /// What an hour or a tree is paid, in the currency: text, for it may have more decimals than the currency. Null
    /// where no pay is entered.
    pub rate: Option<String>,
    /// What the amount is paid for; null where it cannot be priced.
    pub paid_for: Option<PaidFor>,
    /// The amount in the currency's smallest unit; null where it cannot be priced.
    pub amount: Option<Money>,
    /// Whether some of the amount rests on hours that nobody noted.
    pub guessed: bool,
}

/// One pruner's lines together.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct PayrollSum {
    /// Number on the crew list.
    pub number: u16,
    /// As shown.
    pub shown: String,
    /// Days with work.
    pub days: u32,
    /// Minutes that were noted.
    pub minutes: u32,
    /// Trees that are paid by the tree.
    pub trees: Trees,
    /// The amounts of all lines that can be priced, in the currency's smallest unit.
    pub amount: Money,
    /// Lines that rest on hours that nobody noted.
    pub guessed: u32,
    /// Lines that cannot be priced.
    pub unpriced: u32,
    /// Whether no fault is surely found in the trees counted up to the last day; true where none was counted. A bonus may rest on
    /// this alone: that too little was found, or too few trees counted, is nobody's fault.
    pub no_fault_found: bool,
}

impl Season {
    /// Hours and pay of a period. The lines of the whole winter add up to its cost.
    pub fn payroll(&self, period: Period) -> Payroll {
        let all = pay_lines(&self.day_work(period.until), &self.labour.pay);
        let mut lines: Vec<(PayrollLine, u32)> = all
            .iter()
            .filter(|line| period.holds(line.day))
            .map(|line| (self.payroll_line(line), line.noted))
            .collect();
        lines.sort_by(|(a, _), (b, _)| place(a).cmp(&place(b)));
        let sums = sums(&lines, &self.with_faults(period.until));
        Payroll {
            orchard: self.orchard.clone(),
            winter: self.winter.label.clone(),
            since: period.since,
            until: period.until,
            currency: self.labour.currency.clone(),
            lines: lines.into_iter().map(|(line, _)| line).collect(),
            sums,
        }
    }

    /// Those in whose trees a fault is surely found up to a day.
    fn with_faults(&self, until: NaiveDate) -> HashSet<PrunerId> {
        let sure = [Verdict::Light, Verdict::Heavy];
        let standings = self.crew_standings(Period::so_far(until)).into_iter();
        let faulty = standings.filter(|standing| sure.contains(&standing.judgement.overall));
        faulty
            .filter_map(|standing| standing.subject.pruner_id())
            .collect()
    }

    fn payroll_line(&self, line: &PayLine) -> PayrollLine {
        let pruner = self.pruner(line.pruner);
        let rate = line.pay.map(|pay| match (pay, line.paid_for) {
            (Pay::AtLeast { hour, .. }, Some(PaidFor::LeastForHours)) => hour,
            (Pay::Hour(rate) | Pay::Tree(rate) | Pay::AtLeast { tree: rate, .. }, _) => rate,
        });
        PayrollLine {
            day: line.day,
            pruner: line.pruner,
            number: pruner.map_or(0, |pruner| pruner.number),
            shown: self.pruner_shown(line.pruner),
            block: line.block,
            block_name: self.block_name(line.block).to_owned(),
            kind: line.kind,
            minutes: line.minutes(),
            trees: line.trees,
            rate: rate.map(|rate| self.labour.currency.show_rate(rate)),
            paid_for: line.paid_for,
            amount: line.amount(),
            guessed: line.is_guessed(),
        }
    }
}

fn place(line: &PayrollLine) -> (NaiveDate, u16, PrunerId, &str, WorkKind) {
    let (day, number) = (line.day, line.number);
    (day, number, line.pruner, &line.block_name, line.kind)
}

/// The lines of each pruner together; beside each line the minutes that were noted.
fn sums(lines: &[(PayrollLine, u32)], faulty: &HashSet<PrunerId>) -> Vec<PayrollSum> {
    let mut sums: BTreeMap<(u16, PrunerId), PayrollSum> = BTreeMap::new();
    let mut last = BTreeMap::new();
    for (line, noted) in lines {
        let who = (line.number, line.pruner);
        let sum = sums.entry(who).or_insert_with(|| PayrollSum {
            number: line.number,
            shown: line.shown.clone(),
            days: 0,
            minutes: 0,
            trees: Trees::NONE,
            amount: Money::ZERO,
            guessed: 0,
            unpriced: 0,
            no_fault_found: !faulty.contains(&line.pruner),
        });
        let new_day = last.insert(who, line.day) != Some(line.day);
        sum.days += u32::from(new_day);
        sum.minutes = sum.minutes.saturating_add(*noted);
        sum.trees += line.trees;
        sum.amount = sum.amount.plus(line.amount.unwrap_or_default());
        sum.guessed += u32::from(line.guessed);
        sum.unpriced += u32::from(line.amount.is_none());
    }
    sums.into_values().collect()
}
