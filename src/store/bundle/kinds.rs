//! Which records are carried from tablet to tablet, and where they stand in the tables.

/// A kind of record.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Kind {
    /// Its word in bundles.
    pub word: &'static str,
    /// One of them and many of them, for people.
    pub named: [&'static str; 2],
    /// Its table.
    pub table: &'static str,
    /// The columns that name a record of it, in the order of its key.
    pub key: &'static [&'static str],
    /// What it holds beside the columns of its table.
    pub holds: Holds,
    /// Whether work or counts stand in it: there are many of them, nobody deletes them, and what they name stays.
    pub counted: bool,
}

/// What a record holds beside the columns of its table's row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Holds {
    /// Nothing.
    Row,
    /// The taps of a count.
    Taps,
    /// Several rows of the table: the tagged units of a season.
    Units,
}

const fn kind(
    word: &'static str,
    named: [&'static str; 2],
    table: &'static str,
    key: &'static [&'static str],
) -> Kind {
    Kind {
        word,
        named,
        table,
        key,
        holds: Holds::Row,
        counted: false,
    }
}

const fn counted(
    word: &'static str,
    named: [&'static str; 2],
    table: &'static str,
    key: &'static [&'static str],
) -> Kind {
    Kind {
        counted: true,
        ..kind(word, named, table, key)
    }
}

/// The word of names of pruners, which travel in change sets of their own.
pub(super) const NAME: &str = "name";
/// The word of names that were taken away at the pruner's wish.
pub const NAME_REMOVED: &str = "name_removed";

/// All kinds; those that others name come first.
#[rustfmt::skip] // a line each
pub(super) const KINDS: [Kind; 25] = [
    kind("joined", ["joined", "joined entries"], "joined", &["kind", "gone"]),
    kind("setting", ["setting", "settings"], "setting", &["key"]),
    kind("block", ["block", "blocks"], "block", &["id"]),
    kind("row", ["row", "rows"], "block_row", &["block", "number"]),
    kind("missing", ["missing tree", "missing trees"], "missing_tree", &["block", "row", "place"]),
    kind("pruner", ["pruner", "pruners"], "pruner", &["id"]),
    kind("winter", ["winter", "winters"], "winter", &["id"]),
    kind(NAME, ["name", "names of pruners"], "pruner_name", &["pruner"]),
    kind(NAME_REMOVED, ["name taken away", "names taken away"], "name_removed", &["pruner"]),
    kind("budburst", ["budburst", "budbursts of blocks"], "block_budburst", &["winter", "block"]),
    kind("rule", ["rule", "rules"], "rule", &["winter", "block"]),
    kind("lost_days", ["days without work", "days without work"], "lost_days", &["id"]),
    kind("week", ["working week", "working weeks"], "worked_week", &["winter"]),
    kind("stint", ["stay", "stays of pruners"], "stint", &["winter", "pruner"]),
    kind("pay", ["pay", "pay"], "pay", &["winter", "pruner"]),
    kind("aim", ["aim", "aims"], "aim", &["winter", "block"]),
    kind("factor", ["factor", "factors"], "factor", &["block", "kind"]),
    kind("growth", ["growth", "growth"], "growth", &["block"]),
    Kind { holds: Holds::Units, ..kind("units", ["set count", "set counts"], "tagged_unit", &["block", "season"]) },
    kind("harvest", ["harvest", "harvests"], "harvest", &["block", "season"]),
    counted("work", ["work", "work entries"], "work", &["id"]),
    Kind { holds: Holds::Taps, ..counted("count", ["count", "counts"], "tree_count", &["id"]) },
    counted("draw", ["draw", "draws"], "draw", &["id"]),
    counted("drawn", ["drawn tree", "drawn trees"], "drawn_tree", &["draw", "place"]),
    counted("go_back", ["row sent back", "rows sent back"], "go_back", &["id"]),
];

/// Things that can be entered twice, with the column that must differ: the place in [`KINDS`] and that column.
pub(super) const TWINS: [(usize, &str); 3] = [(2, "name"), (5, "number"), (6, "label")];

/// The place of a kind in [`KINDS`].
pub(super) fn place(word: &str) -> Option<usize> {
    KINDS.iter().position(|kind| kind.word == word)
}

/// The kind that a column names a record of, in any table.
pub(super) fn named_by(kind: &Kind, column: &str) -> Option<&'static str> {
    match (column, kind.word) {
        ("block", _) | ("id", "block") => Some("block"),
        ("pruner", _) | ("id", "pruner") => Some("pruner"),
        ("winter", _) | ("id", "winter") => Some("winter"),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn twins_name_their_kinds() {
        let words = TWINS.map(|(kind, _)| KINDS[kind].word);
        assert_eq!(words, ["block", "pruner", "winter"]);
        assert_eq!(place("count"), Some(21));
    }
}
