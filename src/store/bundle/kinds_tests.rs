use std::collections::BTreeSet;

use rusqlite::Connection;

use super::super::super::Store;
use super::super::body::Type;
use super::super::layout::Layout;
use super::*;

/// Tables that are carried nowhere, and why.
const STAY: [(&str, &str); 8] = [
    ("tap", "its count carries it"),
    ("changed", "what was touched here and not gathered yet"),
    ("change_set", "the log itself"),
    ("change_parent", "the log itself"),
    ("version", "the log itself"),
    ("replaced", "the log itself"),
    ("shown", "it follows from the log"),
    ("orchard_id", "it goes in the first line"),
];

fn texts(conn: &Connection, sql: &str) -> BTreeSet<String> {
    let mut find = conn.prepare(sql).unwrap();
    let rows = find.query_map([], |row| row.get(0)).unwrap();
    rows.collect::<rusqlite::Result<_>>().unwrap()
}

/// The three triggers that note a kind's records, as a migration has to make them.
fn triggers(layout: &Layout) -> Vec<String> {
    let (word, table) = (layout.kind.word(), layout.kind.about().table);
    let times = [
        ("added", "INSERT", "NEW"),
        ("changed", "UPDATE", "NEW"),
        ("removed", "DELETE", "OLD"),
    ];
    times
        .into_iter()
        .map(|(when, on, row)| {
            let part = |column: &super::super::body::Column| {
                let at = format!("{row}.{}", column.name);
                match (column.kind, column.optional) {
                    (Type::Id, true) => format!("iif({at} IS NULL, '-', lower(hex({at})))"),
                    (Type::Id, false) => format!("lower(hex({at}))"),
                    _ => at,
                }
            };
            let key: Vec<String> = layout.key_columns().iter().map(part).collect();
            format!(
                "CREATE TRIGGER {table}_{when}_noted AFTER {on} ON {table} BEGIN\n    \
                 INSERT INTO changed VALUES ('{word}', {}) ON CONFLICT DO NOTHING;\nEND",
                key.join(" || '/' || ")
            )
        })
        .collect()
}

#[test]
fn each_kind_is_noted_by_its_triggers_and_nothing_else_is() {
    let store = Store::in_memory().unwrap();
    let made = texts(
        &store.conn,
        "SELECT sql FROM sqlite_schema WHERE type = 'trigger' AND sql LIKE '%INTO changed%'",
    );
    let layouts = Kind::ALL
        .iter()
        .map(|kind| Layout::read(&store.conn, *kind).unwrap());
    let wanted: BTreeSet<String> = layouts.flat_map(|layout| triggers(&layout)).collect();
    let lacking: Vec<&String> = wanted.difference(&made).collect();
    assert!(
        lacking.is_empty(),
        "for a new migration:\n\n{};\n",
        lacking.into_iter().cloned().collect::<Vec<_>>().join(";\n")
    );
    assert_eq!(made, wanted);
}

#[test]
fn each_table_is_carried_or_stays_for_a_reason() {
    let store = Store::in_memory().unwrap();
    let there = texts(
        &store.conn,
        "SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite_%'",
    );
    let carried = Kind::ALL.iter().map(|kind| kind.about().table);
    let known = carried.chain(STAY.map(|(table, _)| table));
    let mut names: Vec<String> = known.map(str::to_owned).collect();
    names.sort_unstable();
    assert_eq!(names, there.into_iter().collect::<Vec<_>>());
}

#[test]
fn each_column_is_carried_or_left_out_for_a_reason() {
    let store = Store::in_memory().unwrap();
    for kind in Kind::ALL {
        let about = kind.about();
        let sql = format!("SELECT name FROM pragma_table_info('{}')", about.table);
        let there = texts(&store.conn, &sql);
        let layout = Layout::read(&store.conn, *kind).unwrap();
        let mut known: Vec<&str> = about
            .left_out
            .iter()
            .flat_map(|(columns, why)| {
                assert!(!why.is_empty());
                columns.iter().copied()
            })
            .collect();
        known.extend(
            there
                .iter()
                .map(String::as_str)
                .filter(|name| layout.has(name)),
        );
        known.sort_unstable();
        assert_eq!(known, there.iter().collect::<Vec<_>>(), "{}", about.table);
        assert_eq!(
            layout.key_columns().len(),
            about.key.len(),
            "{}",
            about.table
        );
    }
}

#[test]
fn a_new_column_of_counts_is_carried_though_its_name_ends_in_a_digit() {
    let store = Store::in_memory().unwrap();
    let sql = "ALTER TABLE tree_count ADD COLUMN ladder2 INTEGER NOT NULL DEFAULT 0";
    store.conn.execute(sql, []).unwrap();
    let layout = Layout::read(&store.conn, Kind::Count).unwrap();
    assert!(layout.has("ladder2"));
    assert!(!layout.has("thin2") && !layout.has("key"));
}

#[test]
fn a_word_is_of_one_kind_and_the_file_knows_no_other() {
    let words: BTreeSet<&str> = Kind::ALL.iter().map(|kind| kind.word()).collect();
    assert_eq!(words.len(), Kind::ALL.len());
    assert!(
        Kind::ALL
            .iter()
            .all(|kind| Kind::parse(kind.word()) == Some(*kind))
    );
    let store = Store::in_memory().unwrap();
    let sql = "SELECT 'sheep'";
    let read = store.conn.query_row(sql, [], |row| row.get::<_, Kind>(0));
    assert!(read.is_err());
}
