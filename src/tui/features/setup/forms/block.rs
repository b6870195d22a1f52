//! The form of a block.

use crate::orchard::{Block, BlockDraft, BlockId, Faults, Invalid, RowPlan, Sides, name};
use crate::store::Thing;
use crate::tui::app::{Model, Moment};
use crate::tui::features::forms::numbers::decimal;
use crate::tui::features::forms::{FormSpec, Reading, whole};
use crate::tui::{Field, Form};

pub fn spec(block: Option<BlockId>) -> FormSpec {
    let spec = FormSpec::new(
        move |model| form(model, block),
        move |model, form, moment| read(model, form, block, moment),
    )
    .summary(|_, reading| match reading.thing() {
        Some(Thing::Block(block)) => summary(block),
        _ => String::new(),
    })
    .says("the block is saved")
    .guided();
    if block.is_some() {
        return spec;
    }
    spec.new_entry().repeated()
}

/// The form: a tree of one stem, or filled with a block.
fn form(model: &Model, block: Option<BlockId>) -> Result<Form, String> {
    let known = match block {
        Some(id) => Some(model.house.block(id).ok_or("this block is gone")?),
        None => None,
    };
    let title = known.map_or_else(
        || "New block".to_owned(),
        |block| format!("Change block {}", block.name),
    );
    Ok(Form::new(title, fields(known)).with_summary())
}

fn fields(known: Option<&Block>) -> Vec<Field> {
    let text = |of: fn(&Block) -> String, new: &str| known.map_or_else(|| new.to_owned(), of);
    let sides = known.map_or(Sides::Flat, |block| block.sides);
    vec![
        Field::text("name", "Name")
            .with(text(|b| b.name.clone(), ""))
            .hint("as the crew calls it"),
        Field::text("variety", "Variety")
            .with(text(|b| b.variety.clone(), ""))
            .hint("may stay empty"),
        Field::text("rootstock", "Rootstock")
            .with(text(|b| b.rootstock.clone(), ""))
            .hint("may stay empty"),
        Field::whole("planted", "Planted")
            .with(text(
                |b| b.planted.map_or_else(String::new, |year| year.to_string()),
                "",
            ))
            .hint("the year, such as 2012; may stay empty"),
        Field::number("row_spacing_m", "Between rows, m")
            .with(text(|b| b.row_spacing_m.to_string(), ""))
            .hint("such as 4.0"),
        Field::number("tree_spacing_m", "Between trees, m")
            .with(text(|b| b.tree_spacing_m.to_string(), ""))
            .hint("along the row, such as 1.5"),
        Field::whole("stems", "Stems a tree")
            .with(text(|b| b.stems.to_string(), "1"))
            .hint("leaders that each tree has"),
        Field::choice_of(
            "sides",
            "Stems stand",
            Sides::ALL.map(|side| side.word().to_owned()).to_vec(),
        )
        .chosen(
            Sides::ALL
                .iter()
                .position(|side| *side == sides)
                .unwrap_or(0),
        )
        .hint("flat: all in one line; two-sided: half lean to each side of the row"),
        Field::number("lean_deg", "Lean, degrees")
            .with(text(|b| b.lean_deg.to_string(), "0"))
            .hint("of the stems from upright"),
        Field::text("rows", "Rows")
            .written_with("0123456789-x,")
            .with(text(|b| b.rows.rows_text(), ""))
            .hint("such as 1-24x110, 25x96: rows 1 to 24 of 110 tree places, row 25 of 96"),
        Field::text("missing", "Missing trees")
            .written_with("0123456789:-,")
            .with(text(|b| b.rows.missing_text(), ""))
            .hint(
                "such as 3:17-19, 8:4: in row 3 places 17 to 19, in row 8 place 4; may stay empty",
            ),
    ]
}

/// Reads the form.
fn read(
    model: &Model,
    form: &Form,
    block: Option<BlockId>,
    moment: Moment,
) -> Result<Reading, Faults> {
    let id = block.unwrap_or(BlockId(moment.id));
    let mut faults = Faults::default();
    let draft = BlockDraft {
        name: faults.take(free_name(model, form, id)),
        variety: form.value("variety").to_owned(),
        rootstock: form.value("rootstock").to_owned(),
        planted: faults.take(planted(form)),
        row_spacing_m: faults.take(decimal(form, "row_spacing_m")),
        tree_spacing_m: faults.take(decimal(form, "tree_spacing_m")),
        stems: faults.take(stems(form)),
        sides: Sides::ALL
            .get(form.choice("sides"))
            .copied()
            .unwrap_or(Sides::Flat),
        lean_deg: faults.take(decimal(form, "lean_deg")),
        rows: faults.take(RowPlan::typed(form.value("rows"), form.value("missing"))),
    };
    let block = faults.made(Block::new(id, draft))?;
    Ok(Reading::save(Thing::Block(block)))
}

/// The name, if no other block has it.
fn free_name(model: &Model, form: &Form, id: BlockId) -> Result<String, Invalid> {
    let name = name("name", form.value("name"))?;
    let taken = |block: &Block| block.id != id && block.name == name;
    if model.house.blocks.iter().any(taken) {
        return Err(Invalid::new(
            "name",
            format!("there is another block called {name}"),
        ));
    }
    Ok(name)
}

fn planted(form: &Form) -> Result<Option<i32>, Invalid> {
    if form.value("planted").trim().is_empty() {
        return Ok(None);
    }
    whole(form, "planted").map(|year| Some(i32::from(year)))
}

fn stems(form: &Form) -> Result<u8, Invalid> {
    let stems = whole(form, "stems")?;
    u8::try_from(stems).map_err(|_| Invalid::new("stems", format!("{stems} is outside 1 to 24")))
}

/// What follows from the spacing and the rows.
fn summary(block: &Block) -> String {
    let rows = block.rows.rows().len();
    format!(
        "{:.0} trees/ha, {:.0} stems/ha, {:.2} m between stems. {}: {}, {:.2} ha.",
        block.trees_per_ha(),
        block.stems_per_ha(),
        block.stem_gap_m(),
        plural(rows as u32, "row"),
        plural(block.rows.trees(), "tree"),
        block.area_ha()
    )
}

fn plural(n: u32, one: &str) -> String {
    crate::report::words::plural(n, one, &format!("{one}s"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tui::app::FormKind;
    use crate::tui::trial::{fill, model, moment, refusal, saved};

    fn good() -> Form {
        let mut form = form(&model(), None).unwrap();
        fill(
            &mut form,
            &[
                ("name", " River 梨 "),
                ("variety", "Conference"),
                ("planted", "2012"),
                ("row_spacing_m", "4,0"),
                ("tree_spacing_m", "1.5"),
                ("stems", "6"),
                ("sides", "two-sided"),
                ("lean_deg", "15"),
                ("rows", "1-4x50"),
                ("missing", "2:7"),
            ],
        );
        form
    }

    #[test]
    fn a_block_is_read_and_its_geometry_told() {
        let Thing::Block(block) = saved(&model(), &good(), FormKind::Block(None)) else {
            panic!("not a block");
        };
        assert_eq!((block.name.as_str(), block.stems), ("River 梨", 6));
        assert_eq!(block.sides, Sides::TwoSided);
        // 4.0 m x 1.5 m, six stems on two sides: common practice, no source
        assert_eq!(
            summary(&block),
            "1667 trees/ha, 10000 stems/ha, 0.50 m between stems. 4 rows: 199 trees, 0.12 ha."
        );
    }

    #[test]
    fn what_is_filled_in_reads_back_unchanged() {
        let mut model = model();
        let Thing::Block(block) = saved(&model, &good(), FormKind::Block(None)) else {
            panic!("not a block");
        };
        model.house.blocks = vec![block.clone()];
        let again = form(&model, Some(block.id)).unwrap();
        assert_eq!(
            saved(&model, &again, FormKind::Block(Some(block.id))),
            Thing::Block(block)
        );
    }

    #[test]
    fn each_wrong_field_is_named_whatever_else_is_missing() {
        for (key, wrong) in [
            ("name", ""),
            ("variety", "a\u{202e}b"),
            ("rootstock", "a\u{202e}b"),
            ("planted", "12"),
            ("planted", "2,5"),
            ("row_spacing_m", ""),
            ("row_spacing_m", "40"),
            ("tree_spacing_m", "1,5,2"),
            ("tree_spacing_m", "0"),
            ("stems", "0"),
            ("stems", "300"),
            ("lean_deg", "-"),
            ("lean_deg", "89"),
            ("rows", ""),
            ("rows", "1-3"),
            ("missing", "9:1"),
        ] {
            let mut form = good();
            fill(&mut form, &[(key, wrong)]);
            let job = FormKind::Block(None);
            assert_eq!(refusal(&model(), &form, job).field, key, "{wrong}");
            if key != "missing" {
                fill(&mut form, &[("rows", ""), ("missing", "")]);
                assert_eq!(refusal(&model(), &form, job).field, key, "{wrong}");
            }
        }
    }

    #[test]
    fn all_wrong_fields_are_told_at_once() {
        let mut form = good();
        let wrong = [
            ("name", " "),
            ("variety", "a\u{202e}b"),
            ("planted", "12"),
            ("row_spacing_m", "wide"),
            ("tree_spacing_m", "0"),
            ("stems", "300"),
            ("lean_deg", ""),
            ("missing", "9:1"),
        ];
        fill(&mut form, &wrong);
        let faults = super::read(&model(), &form, None, moment()).unwrap_err();
        let mut told: Vec<_> = faults.iter().map(|fault| fault.field).collect();
        let mut fields = wrong.map(|(field, _)| field);
        told.sort_unstable();
        fields.sort_unstable();
        assert_eq!(told, fields);
        form.set_faults(&faults);
        let marked = form.fields.iter().filter(|field| field.error.is_some());
        assert_eq!((marked.count(), form.focus()), (wrong.len(), 0));
    }

    #[test]
    fn a_name_is_given_once() {
        let mut model = model();
        let Thing::Block(block) = saved(&model, &good(), FormKind::Block(None)) else {
            panic!("not a block");
        };
        let other = Block::new(BlockId(uuid::Uuid::from_u128(77)), block.draft().clone());
        model.house.blocks = vec![other.unwrap()];
        let refused = super::read(&model, &good(), None, moment()).unwrap_err();
        assert_eq!(refused[0].field, "name");
        assert!(refused[0].problem.contains("another block"), "{refused}");
    }
}
