//! One line for each thing: a metric, a pruner or block against both rules, a row sent back.

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::Serialize;

use super::Season;
use super::standing::{Standing, Subject};
use crate::judge::{Band, Hint, Interval, Metric, MetricVerdict, More, Verdict};
use crate::orchard::{BlockId, GoBack, GoBackId, Outcome, PrunerId};

/// One metric beside its rule.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct MetricLine {
    /// Which metric.
    pub metric: Metric,
    /// What the rule accepts.
    pub band: Band,
    /// Mean share over trees; none without trees that give a value.
    pub mean: Option<f64>,
    /// Trees that give a value.
    pub trees: u32,
    /// The interval that the verdict rests on: the one for in balance where that is the verdict, else the wider one.
    pub interval: Interval,
    /// The verdict.
    pub verdict: Verdict,
    /// How many more trees until there is one.
    pub more: More,
}

impl MetricLine {
    /// The line of one judged metric.
    pub fn new(judged: &MetricVerdict, band: Band) -> Self {
        Self {
            metric: judged.metric,
            band,
            mean: judged.mean,
            trees: judged.n,
            interval: match judged.verdict {
                Verdict::InBalance => judged.balance,
                _ => judged.flag,
            },
            verdict: judged.verdict,
            more: judged.more,
        }
    }

    /// All five of a standing.
    pub fn all(standing: &Standing) -> [Self; 5] {
        Metric::ALL.map(|m| Self::new(standing.judgement.metric(m), standing.bands[m.index()]))
    }

    /// Whether the interval says anything at all.
    pub fn is_known(&self) -> bool {
        self.interval.width() < 1.0
    }
}

/// How a pruner or block stands against one of the two rules.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
pub struct AgainstRule {
    /// The verdict.
    pub verdict: Verdict,
    /// The metric that it rests on, when it is light, heavy or leaning.
    pub lead: Option<Metric>,
}

impl AgainstRule {
    fn of(
        standing: &Standing,
        mut metrics: impl Iterator<Item = Metric>,
        spoken: &[Metric],
    ) -> Self {
        let found = |m: Metric| standing.judgement.metric(m).verdict;
        if let Some(lead) = spoken.first() {
            return Self {
                verdict: found(*lead),
                lead: Some(*lead),
            };
        }
        let verdict = if metrics.all(|m| found(m) == Verdict::InBalance) {
            Verdict::InBalance
        } else {
            Verdict::KeepCounting
        };
        Self {
            verdict,
            lead: None,
        }
    }
}

/// A pruner or a block in one line.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct StandingLine {
    /// Whom or what it is about.
    pub subject: Subject,
    /// The blocks counted in, by name.
    pub blocks: Vec<String>,
    /// Trees pruned, by the work log.
    pub pruned: u32,
    /// Trees counted after pruning.
    pub trees: u32,
    /// Of these, drawn.
    pub drawn: u32,
    /// Estimated share by age, youngest first; none without pieces.
    pub mix: Option<[f64; 4]>,
    /// Wanted share by age.
    pub target: [f64; 4],
    /// Estimated share of units whose buds keep the rule; none without units.
    pub buds_within: Option<f64>,
    /// Against the rule of ages.
    pub wood: AgainstRule,
    /// Against the rule of buds.
    pub buds: AgainstRule,
    /// Against both.
    pub overall: Verdict,
    /// What the whole rests on, when it is light, heavy or leaning.
    pub lead: Option<Metric>,
    /// How many more trees until there is a verdict on the whole.
    pub more: More,
    /// What may be told the supervisor before a verdict; in no data.
    #[serde(skip)]
    pub hint: Option<Hint>,
    /// Pruners of a block who were not looked at, as shown.
    pub not_looked_at: Vec<String>,
    /// Share of a block's pruned trees that are theirs, 0 to 1.
    pub unsampled: f64,
}

impl StandingLine {
    /// The line of a standing.
    pub fn new(standing: &Standing) -> Self {
        let judgement = &standing.judgement;
        let spoken = judgement.spoken(&standing.bands);
        let (buds, wood): (Vec<_>, Vec<_>) = spoken.into_iter().partition(|m| *m == Metric::Buds);
        let ages = Metric::ALL.into_iter().filter(|m| *m != Metric::Buds);
        Self {
            subject: standing.subject.clone(),
            blocks: standing.blocks.clone(),
            pruned: standing.pruned,
            trees: standing.trees,
            drawn: standing.drawn,
            mix: standing.mix,
            target: standing.target,
            buds_within: judgement.metric(Metric::Buds).mean,
            wood: AgainstRule::of(standing, ages, &wood),
            buds: AgainstRule::of(standing, std::iter::once(Metric::Buds), &buds),
            hint: judgement.hint,
            overall: judgement.overall,
            lead: judgement.lead,
            more: judgement.more,
            not_looked_at: standing.not_looked_at.clone(),
            unsampled: standing.unsampled,
        }
    }
}

/// A row on the go-back list.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct GoBackLine {
    /// Identity.
    pub id: GoBackId,
    /// The block.
    pub block: BlockId,
    /// The block's name.
    pub block_name: String,
    /// The row.
    pub row: u16,
    /// Who is to go back.
    pub pruner: PrunerId,
    /// The pruner as shown.
    pub pruner_shown: String,
    /// The day the row was sent back.
    pub day: NaiveDate,
    /// What is to be mended; may be empty.
    pub reason: String,
    /// What came of it; none while open.
    pub outcome: Option<Outcome>,
    /// The day that was seen; none while open.
    pub settled_on: Option<NaiveDate>,
    /// Who did it over by the work log, as shown; none where nobody did yet.
    pub redone_by: Vec<String>,
    /// The last day of that.
    pub redone_on: Option<NaiveDate>,
}

impl Season {
    /// The go-back list as it stood on a day, in order of day: rows sent back until then, with what was known of them.
    pub fn go_back_lines(&self, until: NaiveDate) -> Vec<GoBackLine> {
        (self.go_backs.iter().filter(|entry| entry.day <= until))
            .map(|entry| self.go_back_line(entry, until))
            .collect()
    }

    fn go_back_line(&self, entry: &GoBack, until: NaiveDate) -> GoBackLine {
        let settled = entry.settled.filter(|settled| settled.day <= until);
        let redone = self.redone(entry, until);
        let by = redone.iter().flat_map(|redone| &redone.by);
        GoBackLine {
            redone_by: by.map(|by| self.pruner_shown(*by)).collect(),
            redone_on: redone.as_ref().map(|redone| redone.day),
            id: entry.id,
            block: entry.block,
            block_name: self.block_name(entry.block).to_owned(),
            row: entry.row,
            pruner: entry.pruner,
            pruner_shown: self.pruner_shown(entry.pruner),
            day: entry.day,
            reason: entry.reason.clone(),
            outcome: settled.map(|settled| settled.outcome),
            settled_on: settled.map(|settled| settled.day),
        }
    }
}
