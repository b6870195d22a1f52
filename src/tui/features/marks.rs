//! The forms that mark trees: the tree in hand on Count, and runs of trees of a block.

use chrono::NaiveDate;

use crate::orchard::{Block, BlockId, Faults, Invalid, Mark, TreeMark};
use crate::report::Season;
use crate::store::{Change, Thing, ThingId};
use crate::tui::app::{Model, Moment};
use crate::tui::features::forms::{FormSpec, NO_WINTER, NOT_THERE, Reading};
use crate::tui::features::{count, crew_blocks};
use crate::tui::{Field, Form};

/// The entry that takes a mark away.
const NO_MARK: &str = "no mark";

/// The form of the tree in hand.
pub fn tree_spec() -> FormSpec {
    FormSpec::new(of_tree, read_tree)
        .says_by(|_, form| said(form, "the tree is marked", "(UNDO takes it back)"))
        .then(count::marked)
}

/// The form of a block's trees.
pub fn trees_spec(block: BlockId) -> FormSpec {
    FormSpec::new(
        move |model| of_block(model, block),
        move |model, form, moment| read_block(model, form, block, moment),
    )
    .says_by(|_, form| said(form, "the trees are marked", "(Backspace takes it back)"))
    .then(crew_blocks::marked)
}

fn said(form: &Form, marked: &str, back: &str) -> String {
    match chosen(form) {
        Some(mark) if mark.is_outside() => {
            format!("{marked} {}: never drawn, in no figure {back}", mark.word())
        }
        Some(mark) => format!("{marked}: {} {back}", mark.word()),
        None => format!("the mark is taken away {back}"),
    }
}

/// The mark that the form asks for; none to take marks away.
fn chosen(form: &Form) -> Option<Mark> {
    Mark::parse(form.value("mark")).ok()
}

fn mark_fields(known: Option<&TreeMark>) -> [Field; 2] {
    let mut words: Vec<String> = Mark::ALL.map(|mark| mark.word().to_owned()).to_vec();
    words.push(NO_MARK.to_owned());
    let word = known.map_or(Mark::InFormation.word(), |known| known.mark.word());
    [
        Field::choice_of("mark", "Mark", words)
            .with(word)
            .hint("the first three are never drawn nor judged; canker gives a list to walk by"),
        Field::note("note", "Note")
            .with(known.map_or("", |known| known.note.as_str()))
            .hint("may stay empty, but for other"),
    ]
}

fn of_tree(model: &Model) -> Result<Form, String> {
    let season = model.season.as_ref().ok_or(NO_WINTER)?;
    let place = model
        .count
        .place()
        .ok_or("no tree is chosen yet: Other (6) chooses one")?;
    let known = season.marks.get((place.block, place.row, place.tree));
    let title = format!("Mark row {}, tree {}", place.row, place.tree);
    Ok(Form::new(title, mark_fields(known).to_vec()))
}

fn read_tree(model: &Model, form: &Form, moment: Moment) -> Result<Reading, Faults> {
    let place = model
        .count
        .place()
        .ok_or_else(|| Invalid::new("mark", "no tree is chosen"))?;
    let (season, block) = known(model, place.block)?;
    let day = season.mark_day(moment.now.day);
    changes(season, (block, day), form, [(place.row, place.tree)]).map(Reading::Write)
}

fn of_block(model: &Model, block: BlockId) -> Result<Form, String> {
    let season = model.season.as_ref().ok_or(NO_WINTER)?;
    let trees = Field::text("trees", "Trees")
        .written_with("0123456789:-,")
        .hint("row, then places: 3:17-19, or several such as 3:17-19, 4:2");
    let mut fields = vec![trees];
    fields.extend(mark_fields(None));
    let title = format!("Mark trees of {}", season.block_name(block));
    Ok(Form::new(title, fields))
}

fn read_block(
    model: &Model,
    form: &Form,
    block: BlockId,
    moment: Moment,
) -> Result<Reading, Faults> {
    let (season, block) = known(model, block)?;
    let trees = block.rows.trees_at("trees", form.value("trees"))?;
    let day = season.mark_day(moment.now.day);
    changes(season, (block, day), form, trees).map(Reading::Write)
}

fn known(model: &Model, block: BlockId) -> Result<(&Season, &Block), Invalid> {
    let season = model.season.as_ref();
    let season = season.ok_or_else(|| Invalid::new("mark", NO_WINTER))?;
    let block = season.block(block);
    Ok((
        season,
        block.ok_or_else(|| Invalid::new("trees", NOT_THERE))?,
    ))
}

/// What is to be written so that these trees have the mark of the form; what they have already is not written again.
fn changes(
    season: &Season,
    (block, day): (&Block, NaiveDate),
    form: &Form,
    trees: impl IntoIterator<Item = (u16, u16)>,
) -> Result<Vec<Change>, Faults> {
    let mut changes = Vec::new();
    for (row, tree) in trees {
        let known = season.marks.get((block.id, row, tree));
        let Some(mark) = chosen(form) else {
            let gone = ThingId::Mark(block.id, row, tree);
            changes.extend(known.map(|_| Change::Remove(gone)));
            continue;
        };
        let wanted = TreeMark {
            block: block.id,
            row,
            tree,
            mark,
            note: form.value("note").to_owned(),
            day,
        };
        let wanted = wanted.check(block)?;
        let same = known.is_some_and(|known| (known.mark, &known.note) == (mark, &wanted.note));
        changes.extend((!same).then(|| Change::save(Thing::Mark(wanted))));
    }
    Ok(changes)
}

/// What puts the marks back as they were before the file was read last.
pub fn taken_back(model: &Model) -> Vec<Change> {
    let Some(season) = &model.season else {
        return Vec::new();
    };
    let (before, now) = (&model.marks_before, &season.marks);
    let gone = before
        .iter()
        .filter(|mark| now.get(mark.place()) != Some(mark));
    let gone = gone.map(|mark| Change::save(Thing::Mark(mark.clone())));
    let new = now.iter().map(TreeMark::place);
    let new = new.filter(|place| before.get(*place).is_none());
    let new = new.map(|(block, row, tree)| Change::Remove(ThingId::Mark(block, row, tree)));
    gone.chain(new).collect()
}

#[cfg(test)]
#[path = "marks_tests.rs"]
mod tests;
