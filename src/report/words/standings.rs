//! Pruners and blocks side by side, and the counts they rest on, in words.

use super::{list, more, place, plural, share, trees, verdict, whole};
use crate::judge::Metric;
use crate::orchard::Age;
use crate::report::{
    CounterScore, DrawList, FateLine, OpenCount, Quality, StandingLine, Subject, WalkTree,
};

impl StandingLine {
    /// The whole in words, with how many more trees where that is open:
    /// `light (one-year wood)`, `keep counting, about 10 more trees`.
    pub fn words(&self) -> String {
        let verdict = whole(self.overall, self.lead);
        match more(self.more) {
            more if more.is_empty() || self.trees == 0 => verdict,
            more => format!("{verdict}, {more}"),
        }
    }
}

impl WalkTree {
    /// Where it stands: `River, row 3, tree 12`.
    pub fn place_words(&self) -> String {
        place(&self.block_name, self.row, self.tree)
    }
}

impl OpenCount {
    /// Where the tree stands, as of [`WalkTree::place_words`].
    pub fn place_words(&self) -> String {
        place(&self.block_name, self.row, self.tree)
    }
}

/// How a pruner or block stands against both rules, in a line.
pub fn against_rules(line: &StandingLine) -> String {
    if line.trees == 0 {
        return "no tree counted".to_owned();
    }
    // that the buds rest on the buds need not be said
    let buds = verdict(Metric::Buds, line.buds.verdict);
    let mut said = format!(
        "wood: {}; buds: {buds}",
        whole(line.wood.verdict, line.wood.lead)
    );
    let more = more(line.more);
    if !more.is_empty() {
        said.push_str("; ");
        said.push_str(&more);
    }
    said
}

/// The blocks that a line is about, where a pruner who worked under two rules has two lines; empty where not.
pub fn only_in<'a>(
    line: &StandingLine,
    among: impl IntoIterator<Item = &'a StandingLine>,
) -> String {
    blocks_of(&line.subject, &line.blocks, among)
}

/// Whom or what a line is about; of a pruner with two lines, and in which blocks: `Nr 4 in River and Hill`.
pub fn named<'a>(line: &StandingLine, among: impl IntoIterator<Item = &'a StandingLine>) -> String {
    named_in(&line.subject, &line.blocks, among)
}

/// As [`named`], of somebody in some blocks.
pub(super) fn named_in<'a>(
    subject: &Subject,
    blocks: &[String],
    among: impl IntoIterator<Item = &'a StandingLine>,
) -> String {
    let only = blocks_of(subject, blocks, among);
    format!("{} {only}", subject.shown()).trim_end().to_owned()
}

fn blocks_of<'a>(
    subject: &Subject,
    blocks: &[String],
    among: impl IntoIterator<Item = &'a StandingLine>,
) -> String {
    let same = among.into_iter().filter(|other| other.subject == *subject);
    if same.count() > 1 {
        format!("in {}", list(blocks))
    } else {
        String::new()
    }
}

/// Pruners of a block whose trees were not looked at; empty where there are none.
pub fn not_looked_at(line: &StandingLine) -> String {
    if line.not_looked_at.is_empty() {
        return String::new();
    }
    format!(
        "not looked at: {} ({} of the pruned trees)",
        list(&line.not_looked_at),
        share(Some(line.unsampled))
    )
}

/// What a draw was drawn from.
pub fn drawn_from(list: &DrawList) -> String {
    format!(
        "Drawn at random from what was pruned {} to {}; seed {} repeats it.",
        list.since, list.until, list.seed
    )
}

/// A box to tick, as a drawn tree has it.
pub fn tick(fate: &FateLine) -> &'static str {
    match fate {
        FateLine::Waiting => "[ ]",
        FateLine::Counted => "[x]",
        FateLine::Skipped { .. } => "[-]",
    }
}

/// Why a drawn tree was left out; empty where it was not.
pub fn left_out(fate: &FateLine) -> String {
    match fate {
        FateLine::Skipped { reason } => format!("left out: {reason}"),
        FateLine::Waiting | FateLine::Counted => String::new(),
    }
}

/// How many drawn trees wait.
pub fn next_walk(waiting: usize) -> String {
    format!("{} drawn and not counted", trees(waiting as u32))
}

/// A counter beside the reference tree, such as `Sina beside the reference tree (2 trees): one-year +3, two-year -2,
/// three-year -1, four-plus 0 points; buds +0.2 a piece: passed.`
fn calibrated(score: &CounterScore) -> String {
    let ages = Age::ALL.map(|age| {
        let points = (score.shares[age.index()] * 100.0).round() + 0.0;
        let sign = if points > 0.0 { "+" } else { "" };
        format!("{} {sign}{points:.0}", age.word())
    });
    let buds = score.buds.map_or_else(String::new, |buds| {
        let sign = if buds > 0.0 { "+" } else { "" };
        format!("; buds {sign}{buds:.1} a piece")
    });
    let spread = score.spread.map_or_else(String::new, |spread| {
        format!(
            "; one-year differs by {:.0} points from tree to tree",
            spread * 100.0
        )
    });
    let passed = if score.passed { "passed" } else { "not passed" };
    format!(
        "{} beside the reference tree ({}): {} points{buds}{spread}: {passed}.",
        score.counter,
        trees(score.trees),
        ages.join(", ")
    )
}

/// What to keep in mind about the counts, a sentence each.
pub fn quality(quality: &Quality) -> Vec<String> {
    let mut said = vec![match quality.by_eye_share() {
        None => "No tree has been counted after pruning.".to_owned(),
        Some(by_eye) => format!(
            "{} counted after pruning, {} of them by eye ({}), {} in part. {} counted before pruning.",
            trees(quality.trees),
            quality.by_eye,
            share(Some(by_eye)),
            quality.in_part,
            trees(quality.before)
        ),
    }];
    let mut names = |what: &str, names: &[String]| {
        if !names.is_empty() {
            said.push(format!("{what}: {}.", list(names)));
        }
    };
    names("Mostly counted by eye", &quality.mostly_by_eye);
    names("Pruned, but not looked at", &quality.not_looked_at);
    names("Work without any count", &quality.blocks_without_counts);
    let mut number = |n: u32, one: &str, many: &str| {
        if n > 0 {
            said.push(format!("{}.", plural(n, one, many)));
        }
    };
    number(
        quality.open,
        "count is not closed and is not in the figures",
        "counts are not closed and are not in the figures",
    );
    number(
        quality.skipped,
        "drawn tree was left out",
        "drawn trees were left out",
    );
    number(
        quality.without_work,
        "counted tree is not in the work log",
        "counted trees are not in the work log",
    );
    number(
        quality.hasty,
        "tree was tapped too fast for its pieces to be looked at",
        "trees were tapped too fast for their pieces to be looked at",
    );
    let top: u32 = quality.in_top.iter().sum();
    if top > 0 {
        let old = quality.in_top[3];
        said.push(format!(
            "Top third of leaders: {}, {old} of them four-plus ({}).",
            plural(top, "piece", "pieces"),
            share(Some(f64::from(old) / f64::from(top)))
        ));
    }
    for score in &quality.calibration {
        said.push(calibrated(score));
    }
    if !quality.not_calibrated.is_empty() {
        said.push(format!(
            "Not calibrated: {}.",
            list(&quality.not_calibrated)
        ));
    }
    said.extend(Some(super::counting(&quality.counting)).filter(|words| !words.is_empty()));
    said
}
