//! Marked trees in words, for the supervisor.

use crate::orchard::{Mark, runs_text};
use crate::report::MarkLine;

/// Trees to walk to: a line for each block, such as `River: 3:17-19, 8:4`, then those with a note.
pub fn canker(trees: &[MarkLine]) -> Vec<String> {
    let by_block = trees.chunk_by(|one, other| one.block == other.block);
    let of_block = |trees: &[MarkLine]| {
        let name = trees.first().map_or("", |tree| tree.block_name.as_str());
        let runs = runs_text(trees.iter().map(|tree| (tree.row, tree.tree)));
        format!("{name}: {runs}")
    };
    let noted = trees.iter().filter(|tree| !tree.note.is_empty());
    let note = |tree: &MarkLine| {
        let (block, row, place) = (&tree.block_name, tree.row, tree.tree);
        format!("{block}, row {row}, tree {place}: {}", tree.note)
    };
    by_block.map(of_block).chain(noted.map(note)).collect()
}

/// The marks of a row, such as `replant 4; canker 17-19`.
pub fn marks_of_row(marks: &[(u16, Mark)]) -> String {
    let of = |mark: &Mark| {
        let places = marks.iter().filter(|(_, other)| other == mark);
        // the row is known: only its places are told
        let runs = runs_text(places.map(|(place, _)| (0, *place))).replace("0:", "");
        (!runs.is_empty()).then(|| format!("{} {runs}", mark.word()))
    };
    let words: Vec<String> = Mark::ALL.iter().filter_map(of).collect();
    words.join("; ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::orchard::BlockId;

    #[test]
    fn canker_is_a_walk_in_runs_and_notes() {
        let tree = |id: u128, tree, note: &str| MarkLine {
            block: BlockId(uuid::Uuid::from_u128(id)),
            block_name: format!("Block {id}"),
            row: 3,
            tree,
            mark: Mark::Canker,
            note: note.to_owned(),
            day: chrono::NaiveDate::default(),
        };
        let trees = [
            tree(1, 17, ""),
            tree(1, 18, "at the graft"),
            tree(2, 19, ""),
        ];
        let said = [
            "Block 1: 3:17-18",
            "Block 2: 3:19",
            "Block 1, row 3, tree 18: at the graft",
        ];
        assert_eq!(canker(&trees), said);
    }

    #[test]
    fn a_row_tells_its_marks_in_runs() {
        let marks = [
            (10, Mark::Canker),
            (11, Mark::Canker),
            (20, Mark::Replant),
            (30, Mark::Canker),
        ];
        assert_eq!(marks_of_row(&marks), "replant 20; canker 10-11, 30");
        assert_eq!(marks_of_row(&[]), "");
    }
}
