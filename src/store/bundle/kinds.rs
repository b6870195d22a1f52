//! Which records are carried from tablet to tablet, and where they stand in the tables. What is to be carried is one
//! entry of the list of [`kinds!`]; all else here and beside follows from it.

use rusqlite::types::{FromSql, FromSqlError, FromSqlResult, ToSql, ToSqlOutput, ValueRef};

use super::super::counts::SUMS;

/// What is to be known of a kind of record.
pub(super) struct About {
    /// Its word in exchange files.
    pub word: &'static str,
    /// One of them and many of them, for people.
    pub named: [&'static str; 2],
    /// Its table.
    pub table: &'static str,
    /// The columns that name a record of it, in the order of its key.
    pub key: &'static [&'static str],
    /// What it holds beside the columns of its table's row.
    pub holds: Holds,
    /// Whether work or counts stand in it: there are many of them, nobody deletes them, and what they name stays.
    pub counted: bool,
    /// Of these each goes with the record whose key its own begins with.
    pub part_of: Option<Kind>,
    /// The column that names the last tree of its row, so that the row reaches so far.
    pub reaches: Option<&'static str>,
    /// The column that must differ, where one thing can be entered twice.
    pub differs: Option<&'static str>,
    /// Columns that are not carried, and why.
    pub left_out: &'static [(&'static [&'static str], &'static str)],
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

/// What most kinds are like.
const PLAIN: About = About {
    word: "",
    named: [""; 2],
    table: "",
    key: &[],
    holds: Holds::Row,
    counted: false,
    part_of: None,
    reaches: None,
    differs: None,
    left_out: &[],
};

/// Work, counts and what goes with them.
const COUNTED: About = About {
    counted: true,
    ..PLAIN
};

/// Makes [`Kind`] and its methods of one list: of each kind its word, one and many for people, its table, its key, what
/// it is like, and in what it differs from that.
macro_rules! kinds {
    ($($kind:ident: $word:literal [$one:literal, $many:literal] in $table:literal by $key:tt, $like:ident $({ $($more:tt)* })?;)*) => {
        /// A kind of record; those that others name come first.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Kind { $(#[doc = $many] $kind,)* }

        impl Kind {
            /// All kinds, in their order.
            pub const ALL: &[Self] = &[$(Self::$kind,)*];

            /// What is to be known of it.
            pub(super) fn about(self) -> &'static About {
                match self {
                    $(Self::$kind => const {
                        &About { word: $word, named: [$one, $many], table: $table, key: &$key, $($($more)*,)? ..$like }
                    },)*
                }
            }
        }
    };
}

kinds! {
    Joined: "joined" ["joined", "joined entries"] in "joined" by ["kind", "gone"], PLAIN;
    Setting: "setting" ["setting", "settings"] in "setting" by ["key"], PLAIN;
    Block: "block" ["block", "blocks"] in "block" by ["id"], PLAIN { differs: Some("name") };
    Row: "row" ["row", "rows"] in "block_row" by ["block", "number"], PLAIN;
    Missing: "missing" ["missing tree", "missing trees"] in "missing_tree" by ["block", "row", "place"], PLAIN { part_of: Some(Kind::Row) };
    Pruner: "pruner" ["pruner", "pruners"] in "pruner" by ["id"], PLAIN { differs: Some("number") };
    Winter: "winter" ["winter", "winters"] in "winter" by ["id"], PLAIN { differs: Some("label") };
    Name: "name" ["name", "names of pruners"] in "pruner_name" by ["pruner"], PLAIN;
    NameRemoved: "name_removed" ["name taken away", "names taken away"] in "name_removed" by ["pruner"], PLAIN;
    Budburst: "budburst" ["budburst", "budbursts of blocks"] in "block_budburst" by ["winter", "block"], PLAIN;
    Rule: "rule" ["rule", "rules"] in "rule" by ["winter", "block"], PLAIN;
    LostDays: "lost_days" ["days without work", "days without work"] in "lost_days" by ["id"], PLAIN;
    Week: "week" ["working week", "working weeks"] in "worked_week" by ["winter"], PLAIN;
    Stint: "stint" ["stay", "stays of pruners"] in "stint" by ["winter", "pruner"], PLAIN;
    Pay: "pay" ["pay", "pay"] in "pay" by ["winter", "pruner"], PLAIN;
    SpecialPay: "pay_special" ["pay", "pay of blocks and kinds"] in "pay_special" by ["winter", "block", "kind"], PLAIN;
    Mark: "mark" ["mark on a tree", "marks on trees"] in "tree_mark" by ["block", "row", "tree"], PLAIN { part_of: Some(Kind::Row) };
    Aim: "aim" ["aim", "aims"] in "aim" by ["winter", "block"], PLAIN;
    Factor: "factor" ["factor", "factors"] in "factor" by ["block", "kind"], PLAIN;
    Growth: "growth" ["growth", "growth"] in "growth" by ["block"], PLAIN;
    Units: "units" ["set count", "set counts"] in "tagged_unit" by ["block", "season"], PLAIN { holds: Holds::Units };
    Harvest: "harvest" ["harvest", "harvests"] in "harvest" by ["block", "season"], PLAIN;
    Work: "work" ["work", "work entries"] in "work" by ["id"], COUNTED { reaches: Some("last") };
    Count: "count" ["count", "counts"] in "tree_count" by ["id"], COUNTED {
        holds: Holds::Taps,
        reaches: Some("tree"),
        left_out: &[(&["key"], "its number in this file alone"), (&SUMS, "they follow from the taps")]
    };
    Draw: "draw" ["draw", "draws"] in "draw" by ["id"], COUNTED;
    Drawn: "drawn" ["drawn tree", "drawn trees"] in "drawn_tree" by ["draw", "place"], COUNTED { part_of: Some(Kind::Draw) };
    GoBack: "go_back" ["row sent back", "rows sent back"] in "go_back" by ["id"], COUNTED;
}

impl Kind {
    /// Its word in exchange files and in the file.
    pub fn word(self) -> &'static str {
        self.about().word
    }

    /// Reads [`Kind::word`].
    pub fn parse(word: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|kind| kind.word() == word)
    }

    /// Whether work or counts stand in it.
    pub(super) fn is_counted(self) -> bool {
        self.about().counted
    }

    /// The kinds of things that can be entered twice, each with the column that must differ.
    pub(super) fn twins() -> impl Iterator<Item = (Self, &'static str)> {
        let differs = |kind: &Self| Some((*kind, kind.about().differs?));
        Self::ALL.iter().filter_map(differs)
    }

    /// The kind of which a column of this one's table names a record.
    pub(super) fn named_by(self, column: &str) -> Option<Self> {
        match (column, self) {
            ("block", _) | ("id", Self::Block) => Some(Self::Block),
            ("pruner", _) | ("id", Self::Pruner) => Some(Self::Pruner),
            ("winter", _) | ("id", Self::Winter) => Some(Self::Winter),
            _ => None,
        }
    }
}

impl ToSql for Kind {
    fn to_sql(&self) -> rusqlite::Result<ToSqlOutput<'_>> {
        self.word().to_sql()
    }
}

impl FromSql for Kind {
    fn column_result(value: ValueRef<'_>) -> FromSqlResult<Self> {
        Self::parse(value.as_str()?).ok_or(FromSqlError::InvalidType)
    }
}

#[cfg(test)]
#[path = "kinds_tests.rs"]
mod tests;
