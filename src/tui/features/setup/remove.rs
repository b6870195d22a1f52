//! Removing: what is asked first, and what follows on yes.

use super::forms::tablets::TabletLine;
use super::forms::{rule, winter};
use super::lines::{Line, count};
use crate::orchard::{BlockId, CountId, GoBackId, Rule, WinterId, WorkEntry, WorkId};
use crate::report::Season;
use crate::report::words;
use crate::store::{Change, Thing, ThingId};
use crate::tui::app::{Effect, Layer, Model, Question};

/// Asks whether the line is to be removed, or says why it is not.
pub(super) fn ask(model: &mut Model, line: Line) {
    match question(model, line) {
        Ok((words, yes)) => {
            let yes = vec![Effect::Write(vec![yes])];
            model.show(Layer::Question(Question { words, yes }));
        }
        Err(why) => model.note(why),
    }
}

fn question(model: &Model, line: Line) -> Result<(String, Change), String> {
    const GONE: &str = "this is gone already";
    let season = model.season.as_ref();
    match line {
        Line::Winter(id) => winter(model, id).ok_or(GONE.to_owned()),
        Line::Budburst(block) => budburst(model, block),
        Line::Block(id) => {
            let found = model.house.block(id);
            let words = format!(
                "Remove block {}? Its rows, own rules, own budburst days, aims, factors, growth, set counts and \
                 harvests go with it. Where work, counts, draws or rows sent back name it, removed ones too, this is \
                 refused and nothing changes.",
                found.ok_or(GONE)?.name
            );
            Ok((words, Change::Remove(ThingId::Block(id))))
        }
        Line::Pruner(id) => {
            let found = model.house.pruners.iter().find(|known| known.id == id);
            let words = format!(
                "Remove {}? Days of coming and going and own pay go with the pruner. Where work, counts, draws or rows \
                 sent back name the pruner, removed ones too, this is refused and nothing changes: set works this \
                 winter to no (e) instead.",
                found.ok_or(GONE)?.shown()
            );
            Ok((words, Change::Remove(ThingId::Pruner(id))))
        }
        Line::Rule(block) => rule(model, block),
        Line::Work(id) => work(model, id).ok_or(GONE.to_owned()),
        Line::Count(id) => tree_count(model, id),
        Line::GoBack(id) => go_back(model, id).ok_or(GONE.to_owned()),
        Line::Draw(_) => {
            season.ok_or(GONE)?;
            Err("a draw stays on record: what fell, and what was left out and why".to_owned())
        }
        Line::Setting(_) => Err("a setting is changed, not removed: Edit (e)".to_owned()),
        Line::Tablets(line) => tablets(model, line),
        Line::TablesOut | Line::TablesIn => {
            Err("nothing to remove here; Edit (e) opens it".to_owned())
        }
        Line::Backups => Err("old backups go by themselves; Edit (e) puts one back".to_owned()),
    }
}

fn tablets(model: &Model, line: TabletLine) -> Result<(String, Change), String> {
    let TabletLine::Joined(at) = line else {
        return Err("nothing to remove here; Edit (e) opens it".to_owned());
    };
    let joined = (model.tablets.joined.get(at)).ok_or("these are parted already")?;
    let words = format!(
        "Part them again ({})? What was entered under each stands under it again, here and, by the next \
         bundle, on the other tablets.",
        joined.words()
    );
    Ok((words, Change::Part(joined.kind, joined.gone)))
}

fn winter(model: &Model, id: WinterId) -> Option<(String, Change)> {
    let winter = model.house.winters.iter().find(|known| known.id == id)?;
    let words = format!(
        "Remove winter {}? Its rules, the blocks' own budburst days and aims, days off, comings and goings, and pay \
         go with it. Where it has work, counts, draws or rows sent back, removed ones too, this is refused and nothing \
         changes.",
        winter.label
    );
    Some((words, Change::Remove(ThingId::Winter(id))))
}

fn budburst(model: &Model, block: BlockId) -> Result<(String, Change), String> {
    let season = model.season.as_ref().ok_or("no winter is looked at")?;
    let name = season.block_name(block);
    if !season.winter.block_budburst.contains_key(&block) {
        return Err(format!(
            "{name} has no day of its own; e gives it one, for this winter"
        ));
    }
    let changed = winter::with_budburst(model, block, None).map_err(|e| e.to_string())?;
    let words = format!(
        "Take the own budburst of {name} away? The day of winter {}, {}, holds there again.",
        season.winter.label, season.winter.budburst
    );
    Ok((words, Change::save(Thing::Winter(changed))))
}

fn rule(model: &Model, block: Option<BlockId>) -> Result<(String, Change), String> {
    let season = model.season.as_ref().ok_or("no winter is looked at")?;
    let label = &season.winter.label;
    let words = match block {
        None => format!(
            "Take the rule for all blocks of winter {label} away? The one that the program starts \
             with holds again: the verdicts of all blocks without a rule of their own are worked out by it, those \
             shown before too. It is: {}",
            rule::summary(&Rule::default())
        ),
        Some(id) if !season.rules.by_block.contains_key(&id) => {
            return Err(format!(
                "{} has no rule of its own; e gives it one",
                season.block_name(id)
            ));
        }
        Some(id) => format!(
            "Take the own rule of {} away? The rule for all blocks holds there again, and all its \
             verdicts of winter {label} are worked out by that.",
            season.block_name(id)
        ),
    };
    let rule = ThingId::Rule(season.winter.id, block);
    Ok((words, Change::Remove(rule)))
}

fn work(model: &Model, id: WorkId) -> Option<(String, Change)> {
    let season = model.season.as_ref()?;
    let entry = season.work_entry(id)?;
    let words = format!(
        "Remove the work of {} in {}, row {}, trees {} to {}, on {}, with its hours and their pay? {}",
        season.pruner_shown(entry.pruner),
        season.block_name(entry.block),
        entry.row,
        entry.first,
        entry.last,
        entry.day,
        left_unpruned(season, entry)
    );
    Some((words, Change::Remove(ThingId::Work(id))))
}

/// What becomes of the trees of an entry that goes: others may have pruned them too.
fn left_unpruned(season: &Season, entry: &WorkEntry) -> String {
    let same_row = |other: &&WorkEntry| {
        (other.block, other.row) == (entry.block, entry.row)
            && other.id != entry.id
            && other.how.kind.leaves_pruned()
    };
    let others: Vec<&WorkEntry> = season.work.iter().filter(same_row).collect();
    let block = season.blocks.iter().find(|block| block.id == entry.block);
    let row = block.and_then(|block| block.rows.row(entry.row));
    let stands = |place: &u16| row.is_some_and(|row| row.has_tree(*place));
    let by_others = |place: &u16| {
        let mut others = others.iter();
        others.any(|other| (other.first..=other.last).contains(place))
    };
    let trees: Vec<u16> = (entry.first..=entry.last).filter(stands).collect();
    let alone = trees.iter().filter(|place| !by_others(place)).count();
    let counts =
        "Counts on them go by the work that is left, or else stay with the pruner they name.";
    if alone == 0 {
        return format!("Other entries have its trees too: they stay pruned. {counts}");
    }
    let which = if alone == trees.len() {
        "Its trees".to_owned()
    } else {
        format!("Of its trees, those of no other entry ({alone})")
    };
    format!(
        "{which} count as not pruned then, and no more are drawn from them. Those drawn already stay to walk to; Skip \
         (0) on Count leaves them out. {counts}"
    )
}

fn tree_count(model: &Model, id: CountId) -> Result<(String, Change), String> {
    let season = model.season.as_ref().ok_or("no winter is looked at")?;
    let (found, removed) = count(model, id).ok_or("this count is gone already")?;
    if removed {
        return Err(
            "this count is out of the figures already; Restore (Backspace) brings it back"
                .to_owned(),
        );
    }
    let head = &found.head;
    let place = words::place(season.block_name(head.block), head.row, head.tree);
    let words = format!(
        "Take the count of {place}, with its {} and {}, out of all figures? All its taps stay in \
         the file: it stays in this list as removed, and Backspace brings it back.",
        words::plural(found.tally.pieces(), "piece", "pieces"),
        words::plural(found.tally.unit_count(), "unit", "units"),
    );
    Ok((words, Change::RemoveCount(id, true)))
}

fn go_back(model: &Model, id: GoBackId) -> Option<(String, Change)> {
    let season = model.season.as_ref()?;
    let entry = season.go_backs.iter().find(|known| known.id == id)?;
    let words = format!(
        "Remove row {} of {} from the go-back list, as if {} had not been sent back to it? To say \
         what came of it, change it (e) instead.",
        entry.row,
        season.block_name(entry.block),
        season.pruner_shown(entry.pruner)
    );
    Some((words, Change::Remove(ThingId::GoBack(id))))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::orchard::{PrunerId, WorkDraft};
    use crate::tui::trial::orchard;
    use uuid::Uuid;

    /// What is asked before the first entry goes, where another pruner did these of its trees.
    fn asked(other: Option<(u16, u16)>) -> String {
        let mut model = orchard();
        let season = model.season.as_mut().unwrap();
        let first = season.work[0].clone();
        let block = season.blocks.iter().find(|block| block.id == first.block);
        if let Some((from, to)) = other {
            let draft = WorkDraft {
                pruner: PrunerId(Uuid::from_u128(6)),
                first: from,
                last: to,
                ..first.draft().clone()
            };
            let id = WorkId(Uuid::from_u128(0xf00));
            season.work = vec![
                first.clone(),
                WorkEntry::new(id, draft, block.unwrap()).unwrap(),
            ];
        } else {
            season.work = vec![first.clone()];
        }
        work(&model, first.id).unwrap().0
    }

    #[test]
    fn trees_that_another_pruned_too_stay_pruned() {
        let model = orchard();
        let entry = &model.season.as_ref().unwrap().work[0];
        let (first, last) = (entry.first, entry.last);
        assert!(last > first, "some trees");
        assert!(asked(None).contains("Its trees count as not pruned then"));
        let all = asked(Some((first, last)));
        assert!(
            all.contains("they stay pruned") && !all.contains("not pruned"),
            "{all}"
        );
        let some = asked(Some((first, last - 1)));
        assert!(
            some.contains("those of no other entry (1) count as not pruned then"),
            "{some}"
        );
    }
}
