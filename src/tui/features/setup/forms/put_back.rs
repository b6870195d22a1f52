//! The form that puts a drawn tree which was left out back on the list.

use crate::orchard::{Draw, DrawId, Fate, Faults, Invalid};
use crate::report::{Season, words};
use crate::store::Change;
use crate::tui::app::Model;
use crate::tui::features::forms::{FormSpec, NO_WINTER, Reading};
use crate::tui::{Field, Form};

pub fn spec(draw: DrawId) -> FormSpec {
    FormSpec::new(
        move |model| form(model, draw),
        move |model, form, _| read(model, form, draw),
    )
    .says("the tree is back on the list")
}

/// Trees of a draw that were left out: place in the draw, and which tree it is and why in words.
fn left_out<'a>(season: &'a Season, draw: &'a Draw) -> impl Iterator<Item = (usize, String)> + 'a {
    let each = draw.trees.iter().enumerate();
    each.filter_map(move |(place, tree)| {
        let Fate::Skipped(reason) = &tree.fate else {
            return None;
        };
        let at = words::place(season.block_name(tree.block), tree.row, tree.tree);
        Some((place, format!("{at}: {reason}")))
    })
}

/// Asks which tree is to be counted after all.
fn form(model: &Model, draw: DrawId) -> Result<Form, String> {
    let season = model.season.as_ref().ok_or(NO_WINTER)?;
    let draw = season.draws.iter().find(|known| known.id == draw);
    let draw = draw.ok_or("this draw is gone")?;
    let trees: Vec<String> = left_out(season, draw).map(|(_, words)| words).collect();
    if trees.is_empty() {
        return Err("no tree of this draw was left out; a draw itself stays as it fell".to_owned());
    }
    let field = Field::choice_of("tree", "Tree", trees).hint("left and right; save puts it back");
    Ok(Form::new(
        format!("Put a tree of the draw of {} back on the list", draw.day),
        vec![field],
    ))
}

/// Reads the form.
fn read(model: &Model, form: &Form, draw: DrawId) -> Result<Reading, Faults> {
    let gone = || Invalid::new("tree", "is not left out any more");
    let season = model.season.as_ref().ok_or_else(gone)?;
    let mut draws = season.draws.iter();
    let known = draws.find(|known| known.id == draw).ok_or_else(gone)?;
    let chosen = form.value("tree");
    let (place, _) = left_out(season, known)
        .find(|(_, words)| words == chosen)
        .ok_or_else(gone)?;
    Ok(Reading::Write(vec![Change::SkipDrawn(draw, place, None)]))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tui::trial::orchard;

    #[test]
    fn a_tree_left_out_is_put_back() {
        let mut model = orchard();
        let draw = model.season.as_ref().unwrap().draws[0].id;
        assert!(form(&model, draw).unwrap_err().contains("left out"));
        let trees = &mut model.season.as_mut().unwrap().draws[0].trees;
        trees[1].fate = Fate::Skipped("dead".to_owned());
        let form = form(&model, draw).unwrap();
        assert!(form.value("tree").ends_with(": dead"));
        let Reading::Write(changes) = read(&model, &form, draw).unwrap() else {
            panic!("nothing to write");
        };
        assert_eq!(changes, [Change::SkipDrawn(draw, 1, None)]);
        // another one is left out meanwhile, and stands before it
        let trees = &mut model.season.as_mut().unwrap().draws[0].trees;
        trees[0].fate = Fate::Skipped("not pruned yet".to_owned());
        let Reading::Write(changes) = read(&model, &form, draw).unwrap() else {
            panic!("nothing to write");
        };
        assert_eq!(changes, [Change::SkipDrawn(draw, 1, None)]);
    }
}
