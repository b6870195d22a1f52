//! The supervisor's page and a draw, as tables.

use super::columns::{AGES, Columns};
use super::standings::number;
use super::{Cell, ChartForm, DataTable, Kind, Title};
use crate::orchard::Outcome;
use crate::report::Quality;
use crate::report::{
    BlockProgress, CounterScore, DrawList, FateLine, GoBackLine, MarkLine, StandingLine, Subject,
    SupervisorPage, WalkTree,
};

/// The tables of the supervisor's page: blocks and pruners against both rules, trees done and left, rows sent back,
/// trees with canker, the next walk, and how good the counts are.
pub fn supervisor(page: &SupervisorPage) -> Vec<DataTable> {
    let mut tables = vec![
        lines(page),
        progress(&page.progress),
        go_backs(&page.go_backs),
        marks("canker", &page.canker),
        walk("next_walk", &page.next),
        quality(&page.quality),
        super::winter::about(&page.orchard, &page.winter, None, page.day),
    ];
    if !page.quality.calibration.is_empty() {
        tables.push(calibration(&page.quality.calibration));
    }
    tables
}

/// The tables of a draw: its trees in walking order, and what it was drawn from.
pub fn draw(list: &DrawList) -> Vec<DataTable> {
    let of = Columns::<DrawList>::new()
        .day("day", |list| list.day)
        .day("work_since", |list| list.since)
        .day("work_until", |list| list.until)
        // beyond the whole numbers of a spreadsheet
        .text("seed", |list| list.seed.to_string())
        .text("id", |list| list.id.to_string())
        .table("draw", [list]);
    let about = super::winter::about(&list.orchard, &list.winter, Some(list.since), list.until);
    vec![walk("drawn_trees", &list.trees), of, about]
}

fn lines(page: &SupervisorPage) -> DataTable {
    let kind = |line: &StandingLine| match line.subject {
        Subject::Block { .. } => "block",
        Subject::Pruner { .. } => "pruner",
    };
    let table = Columns::<StandingLine>::new()
        .text("kind", kind)
        .text("name", |line| line.subject.shown().to_owned())
        .whole("number", |line| number(&line.subject))
        .text("blocks", |line| line.blocks.join("; "))
        .whole("pruned", |line| line.pruned)
        .whole("trees", |line| line.trees)
        .whole("drawn", |line| line.drawn)
        .ages("", Kind::Share, |line| line.mix)
        .ages("target_", Kind::Share, |line| Some(line.target))
        .share("buds_within", |line| line.buds_within)
        .verdict("wood_", |line| (line.wood.verdict, line.wood.lead))
        .verdict("buds_", |line| (line.buds.verdict, line.buds.lead))
        .verdict("", |line| (line.overall, line.lead))
        .more(|line| line.more)
        .text("not_looked_at", |line| line.not_looked_at.join("; "))
        .share("unsampled", |line| line.unsampled)
        .table("standing", page.blocks.iter().chain(&page.pruners));
    let (blocks, all) = (page.blocks.len(), table.rows.len());
    let measure = "share of the pieces";
    let form = ChartForm::MixBars;
    let (of_blocks, of_crew) = ("Wood left by block", "Wood left by pruner");
    table
        .with_chart(
            form,
            (Title::Words(of_blocks), measure),
            0..blocks,
            "name",
            &AGES,
        )
        .with_chart(
            form,
            (Title::Words(of_crew), measure),
            blocks..all,
            "name",
            &AGES,
        )
}

pub(super) fn progress(blocks: &[BlockProgress]) -> DataTable {
    Columns::<BlockProgress>::new()
        .text("block", |block| block.name.clone())
        .whole("pruned", |block| block.pruned)
        .whole("left", |block| block.left)
        .whole("total", |block| block.total)
        .table("progress", blocks)
}

pub(super) fn go_backs(lines: &[GoBackLine]) -> DataTable {
    Columns::<GoBackLine>::new()
        .day("sent_back_on", |line| line.day)
        .text("block", |line| line.block_name.clone())
        .whole("row", |line| line.row)
        .text("pruner", |line| line.pruner_shown.clone())
        .text("reason", |line| line.reason.clone())
        .text("outcome", |line| line.outcome.map_or("open", Outcome::word))
        .day("settled_on", |line| line.settled_on)
        .text("redone_by", |line| line.redone_by.join("; "))
        .day("redone_on", |line| line.redone_on)
        .text("id", |line| line.id.to_string())
        .table("go_backs", lines)
}

pub(super) fn marks(name: &str, trees: &[MarkLine]) -> DataTable {
    Columns::<MarkLine>::new()
        .text("block", |tree| tree.block_name.clone())
        .whole("row", |tree| tree.row)
        .whole("tree", |tree| tree.tree)
        .text("mark", |tree| tree.mark.word())
        .text("note", |tree| tree.note.clone())
        .day("marked_on", |tree| tree.day)
        .table(name, trees)
}

pub(super) fn walk(name: &str, trees: &[WalkTree]) -> DataTable {
    Columns::<WalkTree>::new()
        .text("block", |tree| tree.block_name.clone())
        .whole("row", |tree| tree.row)
        .whole("tree", |tree| tree.tree)
        .text("pruner", |tree| tree.pruner_shown.clone())
        .day("drawn_on", |tree| tree.drawn_on)
        .whole("place_in_draw", |tree| tree.place_in_draw)
        .text("fate", |tree| match tree.fate {
            FateLine::Waiting => "waiting",
            FateLine::Counted => "counted",
            FateLine::Skipped { .. } => "skipped",
        })
        .text("reason", |tree| match &tree.fate {
            FateLine::Skipped { reason } => Cell::from(reason.as_str()),
            _ => Cell::Empty,
        })
        .text("draw", |tree| tree.draw.to_string())
        .text("part", |tree| tree.part.text())
        .table(name, trees)
}

fn calibration(scores: &[CounterScore]) -> DataTable {
    Columns::<CounterScore>::new()
        .text("counter", |score| score.counter.clone())
        .whole("trees", |score| score.trees)
        .ages("difference_", Kind::Share, |score| Some(score.shares))
        .number("difference_buds", |score| score.buds)
        .share("spread_one_year", |score| score.spread)
        .text("passed", |score| if score.passed { "yes" } else { "no" })
        .table("calibration", scores)
}

pub(super) fn quality(quality: &Quality) -> DataTable {
    Columns::<Quality>::new()
        .whole("trees", |of| of.trees)
        .whole("by_eye", |of| of.by_eye)
        .whole("in_part", |of| of.in_part)
        .whole("hasty", |of| of.hasty)
        .whole("top_one_year", |of| of.in_top[0])
        .whole("top_two_year", |of| of.in_top[1])
        .whole("top_three_year", |of| of.in_top[2])
        .whole("top_four_plus", |of| of.in_top[3])
        .whole("before", |of| of.before)
        .whole("open", |of| of.open)
        .whole("skipped", |of| of.skipped)
        .whole("without_work", |of| of.without_work)
        .text("mostly_by_eye", |of| of.mostly_by_eye.join("; "))
        .text("not_looked_at", |of| of.not_looked_at.join("; "))
        .text("not_calibrated", |of| of.not_calibrated.join("; "))
        .text("blocks_without_counts", |of| {
            of.blocks_without_counts.join("; ")
        })
        .table("quality", [quality])
}
