//! Records that were written before their table had all of its columns.

use rusqlite::{Connection, params};

use super::super::StoreError;
use super::body;
use super::kinds::{Holds, Kind};
use super::layout::Layout;

/// Gives all versions of records what later columns usually hold, as a tablet has it that reads them today: so a file
/// that was brought up says the same as one that took its records in afterwards.
pub(in crate::store) fn fill_up(conn: &Connection) -> Result<(), StoreError> {
    for kind in Kind::ALL {
        let layout = Layout::read(conn, *kind)?;
        if kind.about().holds != Holds::Units {
            for table in ["version", "shown"] {
                fill(conn, &layout, table)?;
            }
        }
    }
    Ok(())
}

fn fill(conn: &Connection, layout: &Layout, table: &str) -> Result<(), StoreError> {
    let number = if table == "version" {
        "change_set"
    } else {
        "0"
    };
    let sql =
        format!("SELECT key, {number}, body FROM {table} WHERE kind = ?1 AND body IS NOT NULL");
    let mut found: Vec<(String, i64, String)> = Vec::new();
    let mut find = conn.prepare(&sql)?;
    let mut rows = find.query([layout.kind.word()])?;
    while let Some(row) = rows.next()? {
        let old: String = row.get(2)?;
        // what cannot be read stays as it is, and is told where the file is checked
        let full = body::parse(&old).and_then(|body| layout.normal(body));
        if let Ok(full) = full.map(|full| body::text(&full))
            && full != old
        {
            found.push((row.get(0)?, row.get(1)?, full));
        }
    }
    drop(rows);
    let sql =
        format!("UPDATE {table} SET body = ?4 WHERE kind = ?1 AND key = ?2 AND {number} = ?3");
    let mut put = conn.prepare(&sql)?;
    for (key, set, full) in found {
        put.execute(params![layout.kind.word(), key, set, full])?;
    }
    Ok(())
}
