//! Which lines each section has.

use std::cmp::Reverse;

use uuid::Uuid;

use super::Section;
use super::forms::tablets::{self, TabletLine};
use crate::orchard::{
    BlockId, CountId, DrawId, GoBackId, PrunerId, TreeCount, WinterId, WorkEntry, WorkId,
};
use crate::report::Season;
use crate::store::Setting;
use crate::tui::app::Model;

/// What a line stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Line {
    /// A winter.
    Winter(WinterId),
    /// Budburst of a block in the winter looked at.
    Budburst(BlockId),
    /// A block.
    Block(BlockId),
    /// A pruner.
    Pruner(PrunerId),
    /// The rule for all blocks, or for one.
    Rule(Option<BlockId>),
    /// An entry of the work log.
    Work(WorkId),
    /// A count.
    Count(CountId),
    /// A row that was sent back.
    GoBack(GoBackId),
    /// A draw.
    Draw(DrawId),
    /// A setting.
    Setting(Setting),
    /// The backups of the file.
    Backups,
    /// Writing tables for a spreadsheet.
    TablesOut,
    /// Reading them.
    TablesIn,
    /// What has to do with other tablets.
    Tablets(TabletLine),
}

impl Line {
    /// The identity of what it stands for, which is in order of making.
    pub fn made(self) -> Option<Uuid> {
        match self {
            Self::Winter(id) => Some(id.0),
            Self::Block(id) => Some(id.0),
            Self::Pruner(id) => Some(id.0),
            Self::Work(id) => Some(id.0),
            Self::GoBack(id) => Some(id.0),
            Self::Draw(id) => Some(id.0),
            Self::Budburst(_)
            | Self::Rule(_)
            | Self::Count(_)
            | Self::Setting(_)
            | Self::Backups
            | Self::TablesOut
            | Self::TablesIn
            | Self::Tablets(_) => None,
        }
    }
}

/// The lines of the section shown. What has a day stands newest first.
pub(super) fn lines(model: &Model) -> Vec<Line> {
    let house = &model.house;
    let season = model.season.as_ref();
    let of_season = |lines: fn(&Season) -> Vec<Line>| season.map_or_else(Vec::new, lines);
    match model.setup.section() {
        Section::Winters => winters(model),
        Section::Blocks => house.blocks.iter().map(|b| Line::Block(b.id)).collect(),
        Section::Crew => house.pruners.iter().map(|p| Line::Pruner(p.id)).collect(),
        Section::Rules => of_season(|season| {
            let blocks = season.blocks.iter().map(|b| Line::Rule(Some(b.id)));
            std::iter::once(Line::Rule(None)).chain(blocks).collect()
        }),
        Section::Work => of_season(work),
        Section::Counts => counts(model),
        Section::GoBacks => {
            of_season(|season| reversed(season.go_backs.iter().map(|g| Line::GoBack(g.id))))
        }
        Section::Draws => {
            of_season(|season| reversed(season.draws.iter().map(|d| Line::Draw(d.id))))
        }
        Section::Settings => {
            let settings = Setting::ALL.into_iter().map(Line::Setting);
            // what waits for a decision is seen first
            let (waiting, tablets): (Vec<_>, Vec<_>) =
                (tablets::lines(model).into_iter()).partition(|line| line.waits());
            let waiting = waiting.into_iter().map(Line::Tablets);
            let tablets = tablets.into_iter().map(Line::Tablets);
            let all = waiting.chain(settings).chain([Line::Backups]);
            let tables = [Line::TablesOut, Line::TablesIn];
            all.chain(tablets).chain(tables).collect()
        }
    }
}

/// The line that is selected.
pub(super) fn selected(model: &Model) -> Option<Line> {
    let lines = lines(model);
    lines.get(model.setup.selected(lines.len())).copied()
}

fn reversed(lines: impl DoubleEndedIterator<Item = Line>) -> Vec<Line> {
    lines.rev().collect()
}

/// The winters, then each block's budburst in the one looked at.
fn winters(model: &Model) -> Vec<Line> {
    let winters = model.house.winters.iter().rev();
    let mut lines: Vec<_> = winters.map(|winter| Line::Winter(winter.id)).collect();
    if model.season.is_some() {
        let blocks = model.house.blocks.iter();
        lines.extend(blocks.map(|block| Line::Budburst(block.id)));
    }
    lines
}

fn work(season: &Season) -> Vec<Line> {
    let mut entries: Vec<&WorkEntry> = season.work.iter().collect();
    entries.sort_by_key(|entry| Reverse((entry.day, entry.id)));
    entries.iter().map(|entry| Line::Work(entry.id)).collect()
}

/// The counts, those taken out of the figures among them.
fn counts(model: &Model) -> Vec<Line> {
    let Some(season) = &model.season else {
        return Vec::new();
    };
    let mut counts: Vec<&TreeCount> = season.counts().iter().collect();
    counts.extend(&model.house.removed);
    counts.sort_unstable_by_key(|count| Reverse((count.head.at.utc_ms, count.id)));
    counts.iter().map(|count| Line::Count(count.id)).collect()
}

/// A count of the list, and whether it is out of the figures.
pub(super) fn count(model: &Model, id: CountId) -> Option<(&TreeCount, bool)> {
    let stands = model.season.as_ref().and_then(|season| season.count(id));
    let removed = || model.house.removed.iter().find(|count| count.id == id);
    stands
        .map(|count| (count, false))
        .or_else(|| removed().map(|count| (count, true)))
}
