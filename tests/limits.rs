//! The limits of the file are those of the program: each `CHECK` of the schema is held against `orchard::limits`.

use std::fmt::Display;
use std::ops::RangeInclusive;

use rusqlite::types::Value;
use rusqlite::{Connection, params_from_iter};
use thirdwood::orchard::limits::*;
use thirdwood::outlook::Growing;
use thirdwood::store::Store;

/// Checks that hold no limit of the trade: codes, and numbers that another column limits.
const NO_LIMITS: [(&str, &str); 7] = [
    ("tap", "seq"),
    ("tap", "piece"),
    ("tap", "size"),
    ("change_set", "tablet"),
    ("tagged_unit", "fruit_buds"),
    ("tagged_unit", "clusters"),
    ("rule", "oldest"),
];

/// Columns of the same row that a check may name, with values that leave the most room.
const BESIDE: &str =
    "2 AS medium_from_mm, 0 AS thin_least, 0 AS medium_least, 0 AS thick_least, 1 AS first";

struct Limit {
    table: &'static str,
    column: String,
    /// Values that fit.
    fit: Vec<Value>,
    /// Values that do not.
    wrong: Vec<Value>,
}

fn of(table: &'static str, column: impl Display, fit: Vec<Value>, wrong: Vec<Value>) -> Limit {
    let column = column.to_string();
    Limit {
        table,
        column,
        fit,
        wrong,
    }
}

fn whole<N>(table: &'static str, column: impl Display, limits: &RangeInclusive<N>) -> Limit
where
    N: Copy + Into<i64>,
{
    let (least, most) = ((*limits.start()).into(), (*limits.end()).into());
    let numbers = |all: [i64; 2]| all.map(Value::from).to_vec();
    of(
        table,
        column,
        numbers([least, most]),
        numbers([least - 1, most + 1]),
    )
}

fn real(table: &'static str, column: impl Display, limits: &RangeInclusive<f64>) -> Limit {
    let (least, most) = (*limits.start(), *limits.end());
    let numbers = |all: [f64; 2]| all.map(Value::from).to_vec();
    of(
        table,
        column,
        numbers([least, most]),
        numbers([least - 1e-6, most + 1e-6]),
    )
}

fn text(table: &'static str, column: &str, most: usize) -> Limit {
    let long = |length| vec![Value::from("梨".repeat(length))];
    of(table, column, long(most), long(most + 1))
}

fn limits() -> Vec<Limit> {
    let mut all = vec![
        text("block", "name", MAX_NAME),
        text("block", "variety", MAX_NAME),
        text("block", "rootstock", MAX_NAME),
        whole("block", "planted", &YEARS),
        real("block", "row_spacing_m", &ROW_SPACING_M),
        real("block", "tree_spacing_m", &TREE_SPACING_M),
        whole("block", "stems", &STEMS),
        real("block", "lean_deg", &LEAN_DEG),
        whole("block_row", "number", &ROWS),
        whole("block_row", "places", &PLACES),
        whole("missing_tree", "place", &PLACES),
        whole("pruner", "number", &NUMBERS),
        text("pruner", "language", MAX_TAG),
        text("pruner_name", "name", MAX_NAME),
        text("pruner_name", "label", MAX_LABEL),
        text("winter", "label", MAX_NAME),
        real("rule", "medium_from_mm", &DIAMETERS_MM),
        // the least is any that is above the other diameter
        of(
            "rule",
            "thick_from_mm",
            vec![DIAMETERS_MM.end().to_owned().into()],
            vec![(DIAMETERS_MM.end() + 1e-6).into()],
        ),
        real("rule", "compliance", &COMPLIANCE),
        whole("work", "last", &PLACES),
        whole("work", "minutes", &MINUTES),
        whole("work", "share", &SHARES),
        text("tree_mark", "note", MAX_NOTE),
        whole("tree_mark", "tree", &PLACES),
        whole("tree_count", "tree", &PLACES),
        // of all stems the whole tree is counted
        whole("tree_count", "stems", &(*STEMS.start()..=STEMS.end() - 1)),
        text("tree_count", "counter", MAX_NAME),
        whole("tree_count", "offset_min", &OFFSET_MIN),
        text("tree_count", "note", MAX_NOTE),
        whole("tap", "buds", &(0..=MAX_BUDS)),
        whole("drawn_tree", "tree", &PLACES),
        text("drawn_tree", "skipped", MAX_NOTE),
        text("drawn_tree", "runs", MAX_RUNS_TEXT),
        text("tree_count", "runs", MAX_RUNS_TEXT),
        text("go_back", "reason", MAX_NOTE),
        whole("pay", "amount", &PAY),
        whole("pay", "floor", &PAY),
        whole("pay_special", "amount", &PAY),
        whole("pay_special", "floor", &PAY),
        real("aim", "girth_cm", &GIRTH_CM),
        real("growth", "grown", &GROWN),
        whole("tagged_unit", "season", &YEARS),
        whole("tagged_unit", "buds", &TAGGED_BUDS),
        whole("tagged_unit", "fruit", &TAGGED_FRUIT),
        whole("harvest", "season", &YEARS),
        real("harvest", "mean_g", &FRUIT_G),
        whole("harvest", "weighed", &WEIGHED),
    ];
    for age in ["one", "two", "three", "four"] {
        all.push(whole("rule", format!("part_{age}"), &PARTS));
        all.push(real("rule", format!("tolerance_{age}"), &TOLERANCE));
        all.push(real(
            "growth",
            format!("survival_{age}"),
            &(Growing::LEAST_SURVIVAL..=1.0),
        ));
    }
    for size in ["thin", "medium", "thick"] {
        all.push(whole("rule", format!("{size}_least"), &(0..=MAX_BUDS)));
        all.push(whole("rule", format!("{size}_most"), &(0..=MAX_BUDS)));
        let kinds = (0..=MAX_BUDS).map(|buds| format!("{size}{buds}"));
        all.extend(kinds.map(|kind| whole("tree_count", kind, &OF_A_KIND)));
    }
    let kinds = ["one", "two", "three", "four", "upright", "thick_top"];
    all.extend(kinds.map(|kind| whole("tree_count", kind, &OF_A_KIND)));
    all
}

/// The checks of a table's columns, by column.
fn checks(sql: &str) -> Vec<(String, String)> {
    let mut found = Vec::new();
    for (at, _) in sql.match_indices("CHECK (") {
        let mut depth = 0;
        let end = sql[at..].find(|c| {
            depth += match c {
                '(' => 1,
                ')' => -1,
                _ => return false,
            };
            depth == 0
        });
        let check = sql[at + "CHECK ".len()..=at + end.unwrap()].to_owned();
        // the definition begins after a comma, a bracket or a line's comment
        let before = sql[..at].trim_end();
        let start = before.rfind(['\n', ',']).map_or(0, |start| start + 1);
        let column = before[start..]
            .split_whitespace()
            .next()
            .unwrap_or_default();
        found.push((column.to_owned(), check));
    }
    found
}

#[test]
fn the_schema_has_the_limits_of_the_program() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("orchard.db");
    drop(Store::open(&path).unwrap());
    let conn = Connection::open(&path).unwrap();
    let mut limits = limits();
    let mut tables = conn
        .prepare("SELECT name, sql FROM sqlite_master WHERE type = 'table' AND sql IS NOT NULL")
        .unwrap();
    let tables: Vec<(String, String)> = tables
        .query_map([], |row| Ok((row.get(0)?, row.get(1)?)))
        .unwrap()
        .collect::<Result<_, _>>()
        .unwrap();
    for (table, sql) in tables {
        for (column, check) in checks(&sql) {
            let named = |limit: &Limit| limit.table == table && limit.column == column;
            let Some(at) = limits.iter().position(named) else {
                let limits = check.contains(" BETWEEN ") || check.contains("<= ");
                let known = NO_LIMITS.contains(&(&table, &column)) || !limits;
                assert!(known, "{table}.{column} {check} stands in no constant");
                continue;
            };
            let limit = limits.swap_remove(at);
            let sql = format!(
                "SELECT {check} FROM (SELECT ?1 AS {column}, {})",
                beside(&column)
            );
            let fits = |value: &Value| -> bool {
                let value = params_from_iter([value]);
                conn.query_row(&sql, value, |row| row.get(0)).unwrap()
            };
            for value in &limit.fit {
                assert!(fits(value), "{table}.{column} {check} refuses {value:?}");
            }
            for value in &limit.wrong {
                assert!(!fits(value), "{table}.{column} {check} takes {value:?}");
            }
        }
    }
    let left: Vec<_> = limits
        .iter()
        .map(|limit| (limit.table, &limit.column))
        .collect();
    assert!(left.is_empty(), "no check holds {left:?}");
}

/// [`BESIDE`] without the column itself.
fn beside(column: &str) -> String {
    let others = BESIDE
        .split(", ")
        .filter(|one| !one.ends_with(&format!(" {column}")));
    others.collect::<Vec<_>>().join(", ")
}
