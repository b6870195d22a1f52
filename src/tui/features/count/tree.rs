//! The forms of the Count screen: another tree, what is recorded with it, leaving one out.

use chrono::NaiveDate;

use crate::orchard::{
    Block, BlockId, Chosen, CountHead, Doer, Fate, Faults, Invalid, Part, PieceRuns, PrunerId,
    Stage, Zone,
};
use crate::store::Change;
use crate::tui::app::{Model, Moment};
use crate::tui::features::forms::{
    FormSpec, NO_BLOCK, NO_WINTER, Reading, block_field, chosen_block, chosen_pruner, crew, whole,
    whole_within, winter,
};
use crate::tui::{Field, Form};

pub fn other_spec() -> FormSpec {
    FormSpec::new(other, read_other)
}

pub fn details_spec() -> FormSpec {
    FormSpec::new(details, |model, form, _| read_details(model, form))
}

pub fn skip_spec() -> FormSpec {
    FormSpec::new(skip, |model, form, _| read_skip(model, form))
        .says("the tree is left out (UNDO brings it back); the next one is in hand")
}

/// What a count is for.
const IN_FIGURES: &str = "in the figures";
const AGAIN: &str = "again, blind";

/// The part that was drawn, as it is typed.
const BY_LOT: &str = "L";

/// The entry of the pruner field that takes the pruner from the work log.
const BY_LOG: &str = "as the work log says";

/// Asks which tree to count that was not drawn.
fn other(model: &Model) -> Result<Form, String> {
    model.season.as_ref().ok_or(NO_WINTER)?;
    if model.house.blocks.is_empty() {
        return Err(NO_BLOCK.to_owned());
    }
    let near = model.count.place();
    let row = near.map_or_else(String::new, |place| place.row.to_string());
    let mut fields = vec![
        block_field(model, near.map(|place| place.block)),
        Field::whole("row", "Row")
            .with(row)
            .hint("the row's number"),
        Field::whole("tree", "Tree").hint("the tree's place in the row"),
    ];
    fields.extend(detail_fields(
        model,
        None,
        near.map_or(Part::Whole, |place| match place.part {
            Part::Runs(_) => Part::Whole,
            part => part,
        }),
    ));
    fields.push(
        Field::choice_of(
            "again",
            "This count",
            vec![IN_FIGURES.to_owned(), AGAIN.to_owned()],
        )
        .hint(
            "again: a second count of a counted tree, part of no verdict; stems as with the first",
        ),
    );
    fields.push(counter_field(model));
    Ok(Form::new("Count a tree chosen by eye", fields))
}

/// Who counts; the setting of this tablet where nothing else is typed.
pub(crate) fn counter_field(model: &Model) -> Field {
    Field::text("counter", "Counted by")
        .with(&model.look.counter)
        .hint("your name or initials: two counts are compared by who made them")
}

/// Fields that hold for any count; `pruner` chosen where it is known.
pub(crate) fn detail_fields(model: &Model, head: Option<&CountHead>, part: Part) -> Vec<Field> {
    let stage = head.map_or(Stage::After, |head| head.stage);
    let part = match part {
        Part::Whole => String::new(),
        Part::Stems(_) | Part::Zone(_) => part.text(),
        Part::Runs(_) => BY_LOT.to_owned(),
    };
    vec![
        pruner_field(model, head.and_then(|head| head.pruner)),
        Field::choice_of(
            "stage",
            "Counted",
            Stage::ALL
                .iter()
                .map(|stage| format!("{} pruning", stage.word()))
                .collect(),
        )
        .chosen(
            Stage::ALL
                .iter()
                .position(|known| *known == stage)
                .unwrap_or(0),
        )
        .hint("before pruning: what the tree offers; after: what was left"),
        Field::text("part", "Part counted")
            .with(part)
            .written_with("123456789ABGTL")
            .hint("empty: the whole tree; L: as drawn by lot; 2: two stems; A, B: a side; G: base; T: top"),
        Field::note("note", "Note").with(head.map_or("", |head| head.note.as_str())),
    ]
}

fn pruner_field(model: &Model, pruner: Option<PrunerId>) -> Field {
    let crew = crew(model, pruner);
    let mut names = vec![BY_LOG.to_owned()];
    names.extend(crew.iter().map(|pruner| pruner.shown()));
    let place = crew
        .iter()
        .position(|known| Some(known.id) == pruner)
        .map_or(0, |at| at + 1);
    Field::choice_of("pruner", "Pruned by", names)
        .chosen(place)
        .hint("left and right, or type the number or the name")
}

/// The pruner that the form names; by the work log up to a day where it does not. Against the log nobody can be named,
/// or the figures would not be of whom the form says.
fn pruner(
    model: &Model,
    form: &Form,
    place: (BlockId, u16, u16),
    until: NaiveDate,
) -> Result<Option<PrunerId>, Invalid> {
    let Some(season) = &model.season else {
        return Ok(None);
    };
    let zone = part(form, None).map_or(Zone::Whole, Part::zone);
    let by_log = season.doer_of(place, until, zone);
    if form.value("pruner") == BY_LOG {
        return Ok(by_log.map(Doer::person));
    }
    let named = chosen_pruner(model, form, "pruner")?;
    match by_log {
        Some(other) if other.person() != named && stage(form) == Stage::After => {
            let other = season.pruner_shown(other.subject());
            let words = format!(
                "the work log says {other}: mend it there (Set-up, Work), or choose by the log"
            );
            Err(Invalid::new("pruner", words))
        }
        _ => Ok(Some(named)),
    }
}

fn stage(form: &Form) -> Stage {
    Stage::ALL
        .get(form.choice("stage"))
        .copied()
        .unwrap_or(Stage::After)
}

/// What the form says; by lot, what was drawn for the tree.
fn part(form: &Form, drawn: Option<PieceRuns>) -> Result<Part, Invalid> {
    match form.value("part").trim() {
        "" => Ok(Part::Whole),
        lot if lot.eq_ignore_ascii_case(BY_LOT) => {
            let none = || Invalid::new("part", "nothing was drawn by lot for this tree");
            drawn.map(Part::Runs).ok_or_else(none)
        }
        typed => Part::parse(typed),
    }
}

/// Reads the form of [`other`].
fn read_other(model: &Model, form: &Form, moment: Moment) -> Result<Reading, Faults> {
    let block = chosen_block(model, form)?;
    let mut faults = Faults::default();
    let row = faults.take(whole(form, "row"));
    let tree = faults.take(whole(form, "tree"));
    if form.choice("again") == 1 {
        faults.or(())?;
        return again(model, form, block, (row, tree), moment);
    }
    let head = CountHead {
        winter: winter(model)?,
        block: block.id,
        row,
        tree,
        pruner: faults.take(pruner(model, form, (block.id, row, tree), model.now.day)),
        stage: stage(form),
        part: faults.take(part(form, None)),
        chosen: Chosen::ByEye,
        counter: form.value("counter").to_owned(),
        at: moment.now,
        note: form.value("note").to_owned(),
        again: false,
    };
    let head = head.check(block);
    let head = faults.made(head.map_err(|faults| no_log(faults, model, block, row)))?;
    Ok(Reading::Tree(Box::new(head), None))
}

/// A second count of a tree: all is as with the first count but who counts, and when.
fn again(
    model: &Model,
    form: &Form,
    block: &Block,
    (row, tree): (u16, u16),
    moment: Moment,
) -> Result<Reading, Faults> {
    block.check_tree(row, tree)?;
    let gone = || Invalid::new("again", "is gone");
    let season = model.season.as_ref().ok_or_else(gone)?;
    let first = season.first_count((block.id, row, tree), stage(form), moment.now.day)?;
    let head = season
        .head_again(first, form.value("counter"), moment.now)
        .ok_or_else(gone)?;
    Ok(Reading::Tree(Box::new(head.check(block)?), None))
}

/// Says what to do where the log does not name the pruner.
fn no_log(faults: Faults, model: &Model, block: &Block, row: u16) -> Faults {
    faults.told(|fault| {
        if fault.field != "pruner" || model.season.is_none() {
            return fault;
        }
        let name = &block.name;
        let problem =
            format!("no work is logged for this tree in row {row} of {name}: choose who pruned it");
        Invalid::new("pruner", problem).against(&["row", "tree"])
    })
}

/// Asks what is recorded with the tree on the Count screen.
fn details(model: &Model) -> Result<Form, String> {
    let place = model
        .count
        .place()
        .ok_or("no tree is chosen yet: Other (6) chooses one")?;
    let season = model.season.as_ref().ok_or(NO_WINTER)?;
    let title = format!(
        "{}, row {}, tree {}",
        season.block_name(place.block),
        place.row,
        place.tree
    );
    let mut fields = detail_fields(model, Some(place), place.part);
    if let Some(runs) = place.part.runs() {
        let leaders = Field::whole("leaders", "Leaders here");
        fields.push(
            leaders.with(runs.leaders().to_string()).hint(
                "of this tree: one less where one is dead or missing; before the first piece",
            ),
        );
    }
    Ok(Form::new(title, fields))
}

/// Reads the form of [`details`].
fn read_details(model: &Model, form: &Form) -> Result<Reading, Faults> {
    let place = model
        .count
        .place()
        .ok_or_else(|| Invalid::new("tree", "no tree is chosen"))?;
    let drawn = model.count.drawn_runs(model);
    let mut head = changed_head(model, form, place, drawn)?;
    if form.fields.iter().any(|field| field.key == "leaders") && head.part.runs().is_some() {
        let of = whole_within(form, "leaders", (1, 24))?;
        head.part = model.count.with_leaders(model, of as u8)?;
    }
    Ok(Reading::Details(Box::new(head)))
}

/// A head with what the form's detail fields say.
pub fn changed_head(
    model: &Model,
    form: &Form,
    head: &CountHead,
    drawn: Option<PieceRuns>,
) -> Result<CountHead, Faults> {
    let block = model
        .house
        .block(head.block)
        .ok_or_else(|| Invalid::new("block", "is gone"))?;
    let mut faults = Faults::default();
    let place = (block.id, head.row, head.tree);
    let changed = CountHead {
        pruner: faults.take(pruner(model, form, place, head.at.day)),
        stage: stage(form),
        part: faults.take(part(form, drawn)),
        note: form.value("note").to_owned(),
        again: false,
        ..head.clone()
    };
    let changed = changed.check(block);
    faults.made(changed.map_err(|faults| no_log(faults, model, block, head.row)))
}

/// Why a drawn tree is left out; the last one wants words.
const REASONS: [&str; 5] = [
    "dead tree",
    "no tree there",
    "not pruned yet",
    "cannot be reached",
    OTHER_REASON,
];
const OTHER_REASON: &str = "another reason";

/// The reason that the form gives: the one chosen, what was typed, or both.
fn reason(form: &Form) -> Result<Fate, Invalid> {
    let (why, typed) = (form.value("why"), form.value("reason").trim());
    match (why, typed) {
        (OTHER_REASON, typed) => Fate::skipped(typed),
        (why, "") => Fate::skipped(why),
        (why, typed) => Fate::skipped(&format!("{why}: {typed}")),
    }
}

/// Asks why the drawn tree on the Count screen is left out.
fn skip(model: &Model) -> Result<Form, String> {
    model
        .count
        .drawn()
        .ok_or("this tree was not drawn, so there is nothing to skip")?;
    let place = model.count.place().ok_or("no tree is chosen")?;
    let fields = vec![
        Field::choice_of("why", "Why", REASONS.map(str::to_owned).to_vec())
            .hint("left and right, or touch it"),
        Field::note("reason", "In words").hint("may stay empty, but for another reason"),
    ];
    Ok(Form::new(
        format!("Leave out row {}, tree {}", place.row, place.tree),
        fields,
    ))
}

/// Reads the form of [`skip`].
fn read_skip(model: &Model, form: &Form) -> Result<Reading, Faults> {
    let (draw, place) = model
        .count
        .drawn()
        .ok_or_else(|| Invalid::new("tree", "was not drawn"))?;
    let Fate::Skipped(reason) = reason(form)? else {
        return Err(Invalid::new("reason", "is empty").into());
    };
    let mut changes = vec![Change::SkipDrawn(draw, place, Some(reason))];
    // a count without a tap, left from an undo, would hold on to the tree
    changes.extend(
        model
            .count
            .begun()
            .map(|count| Change::RemoveCount(count, true)),
    );
    changes.reverse();
    Ok(Reading::Write(changes))
}
