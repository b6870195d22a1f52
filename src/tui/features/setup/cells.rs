//! What stands in each line.

use super::forms::{restore, rule, settings, tablets};
use super::lines::{Line, count};
use crate::orchard::{
    Age, Block, CountId, Draw, GoBack, Pruner, Sides, Size, Stage, Stands, Winter, WorkEntry,
    WorkKind, Zone, hours_text,
};
use crate::report::{FateLine, Season};
use crate::tui::app::Model;
use crate::tui::widgets::Cell;

/// The cells of a line; none where what it stood for is gone.
pub(super) fn cells(model: &Model, line: Line) -> Vec<Cell> {
    texts(model, line)
        .unwrap_or_default()
        .into_iter()
        .map(Cell::new)
        .collect()
}

/// The same as texts.
pub(super) fn texts(model: &Model, line: Line) -> Option<Vec<String>> {
    let house = &model.house;
    let season = model.season.as_ref();
    Some(match line {
        Line::Winter(id) => winter(model, house.winters.iter().find(|w| w.id == id)?),
        Line::Budburst(id) => budburst(season?, house.blocks.iter().find(|b| b.id == id)?),
        Line::Block(id) => block(house.blocks.iter().find(|b| b.id == id)?),
        Line::Pruner(id) => pruner(house.pruners.iter().find(|p| p.id == id)?),
        Line::Rule(id) => rule(season?, id),
        Line::Work(id) => work(season?, season?.work_entry(id)?),
        Line::Count(id) => tree_count(model, season?, id)?,
        Line::GoBack(id) => go_back(season?, season?.go_backs.iter().find(|g| g.id == id)?),
        Line::Draw(id) => draw(season?, season?.draws.iter().find(|d| d.id == id)?),
        Line::Setting(setting) => {
            let value = settings::value(model, setting);
            let value = if value.is_empty() {
                "(not set)".to_owned()
            } else {
                value
            };
            vec![settings::label(setting).to_owned(), value]
        }
        Line::Tablets(line) => tablets::cells(model, line)?,
        Line::TablesOut => vec![
            "Tables out".to_owned(),
            "write CSV files for a spreadsheet".to_owned(),
        ],
        Line::TablesIn => vec![
            "Tables in".to_owned(),
            "read CSV files; what would come of it is told first".to_owned(),
        ],
        Line::Backups => vec!["Backups".to_owned(), restore::value(model)],
    })
}

fn winter(model: &Model, winter: &Winter) -> Vec<String> {
    let looked_at = model
        .season
        .as_ref()
        .is_some_and(|season| season.winter.id == winter.id);
    vec![
        winter.label.clone(),
        winter.start.to_string(),
        winter.budburst.to_string(),
        if looked_at { "* looked at now" } else { "" }.to_owned(),
    ]
}

fn budburst(season: &Season, block: &Block) -> Vec<String> {
    let winter = &season.winter;
    let own = winter.block_budburst.contains_key(&block.id);
    vec![
        format!("  in {}", block.name),
        String::new(),
        winter.deadline(block.id).to_string(),
        if own {
            "its own day".to_owned()
        } else {
            format!("as winter {}", winter.label)
        },
    ]
}

fn block(block: &Block) -> Vec<String> {
    let two = match block.sides {
        Sides::Flat => "",
        Sides::TwoSided => " V",
    };
    vec![
        block.name.clone(),
        block.variety.clone(),
        block
            .planted
            .map_or_else(String::new, |year| year.to_string()),
        format!("{} x {}", block.row_spacing_m, block.tree_spacing_m),
        format!("{}{two}", block.stems),
        block.rows.rows().len().to_string(),
        block.rows.trees().to_string(),
        format!("{:.2}", block.area_ha()),
    ]
}

fn pruner(pruner: &Pruner) -> Vec<String> {
    // by number only means on this list too
    let name = if pruner.number_only {
        String::new()
    } else {
        pruner.name.clone()
    };
    let label = if pruner.number_only {
        String::new()
    } else {
        pruner.label.clone()
    };
    vec![
        pruner.number.to_string(),
        name,
        label,
        if pruner.active { "yes" } else { "no" }.to_owned(),
        if pruner.number_only || pruner.name.is_empty() {
            "number only"
        } else {
            "name"
        }
        .to_owned(),
    ]
}

fn rule(season: &Season, block: Option<crate::orchard::BlockId>) -> Vec<String> {
    let (name, whose, rule) = match block {
        None => ("all blocks", "", &season.rules.general),
        Some(id) => {
            let own = season.rules.by_block.contains_key(&id);
            let whose = if own { "own" } else { "as all" };
            (season.block_name(id), whose, season.rules.of(id))
        }
    };
    let oldest = match rule.oldest {
        Age::One => "1 year",
        Age::Two => "2 year",
        Age::Three => "3 year",
        Age::FourPlus => "4 plus",
    };
    let [medium, thick] = rule.diameters_mm;
    vec![
        name.to_owned(),
        whose.to_owned(),
        rule::parts_text(rule),
        rule::tolerance_text(rule),
        oldest.to_owned(),
        Size::ALL.map(|size| rule.bud_limit(size).text()).join(" "),
        format!("{medium} {thick}"),
        format!("{} %", rule::percent(rule.compliance)),
    ]
}

fn work(season: &Season, entry: &WorkEntry) -> Vec<String> {
    let how = &entry.how;
    let disputed = season.work.iter().any(|other| other.disputes(entry));
    let what = match (how.kind, how.zone) {
        _ if disputed => "TWICE".to_owned(),
        (WorkKind::Pruning, Zone::Whole) if how.team.is_some() => "shared".to_owned(),
        (WorkKind::Pruning, Zone::Whole) => String::new(),
        (WorkKind::Pruning, zone) => zone.word().to_owned(),
        (kind, Zone::Whole) => kind.word().to_owned(),
        (kind, zone) => format!("{}, {}", kind.word(), zone.word()),
    };
    vec![
        entry.day.to_string(),
        season.pruner_shown(entry.pruner),
        season.block_name(entry.block).to_owned(),
        entry.row.to_string(),
        format!("{}-{}", entry.first, entry.last),
        hours_text(entry.minutes),
        what,
    ]
}

fn tree_count(model: &Model, season: &Season, id: CountId) -> Option<Vec<String>> {
    let (count, removed) = count(model, id)?;
    let head = &count.head;
    let state = match season.how_it_stands(count) {
        _ if removed => "removed",
        Stands::Open => "OPEN",
        how => how.word(),
    };
    Some(vec![
        head.at.day.format("%d %b").to_string(),
        season.block_name(head.block).to_owned(),
        head.row.to_string(),
        head.tree.to_string(),
        count
            .pruner()
            .map_or_else(String::new, |pruner| season.pruner_shown(pruner)),
        match head.stage {
            Stage::After => "after",
            Stage::Before => "BEFORE",
        }
        .to_owned(),
        count.tally.pieces().to_string(),
        count.tally.unit_count().to_string(),
        state.to_owned(),
        if head.again {
            "again"
        } else {
            head.chosen.word()
        }
        .to_owned(),
    ])
}

fn go_back(season: &Season, entry: &GoBack) -> Vec<String> {
    vec![
        entry.day.to_string(),
        season.block_name(entry.block).to_owned(),
        entry.row.to_string(),
        season.pruner_shown(entry.pruner),
        entry.reason.clone(),
        entry
            .settled
            .map_or("open", |settled| settled.outcome.word())
            .to_owned(),
    ]
}

fn draw(season: &Season, draw: &Draw) -> Vec<String> {
    let trees = season.draw_lines(draw);
    let of = |is: fn(&FateLine) -> bool| trees.iter().filter(|t| is(&t.fate)).count().to_string();
    vec![
        draw.day.to_string(),
        if draw.since == draw.until {
            draw.since.to_string()
        } else {
            format!("{} to {}", draw.since, draw.until)
        },
        trees.len().to_string(),
        of(|fate| *fate == FateLine::Counted),
        of(|fate| matches!(fate, FateLine::Skipped { .. })),
        of(|fate| *fate == FateLine::Waiting),
    ]
}
