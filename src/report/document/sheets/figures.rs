//! A last sheet with every figure that the others rest on, for who wants to check or to go on reckoning.

use super::parts::{Head, Put, sheet, table};
use crate::report::document::Sheet;
use crate::report::document::tables::{Cell, DataTable, Kind, heading};
use crate::report::fit::Align::{Left, Right};
use crate::report::fit::decimals;

/// Columns of figures that fit beside the row's name on a page in small letters.
const ACROSS: usize = 6;
/// The most rows of a table that are set on paper.
const MOST_ROWS: usize = 5_000;

/// The figures of tables: four decimals at most, shares in per cent with two. What is not known is an empty cell;
/// a column in which nothing is known is left out.
pub fn figures(tables: &[DataTable]) -> Sheet {
    let mut page = sheet("", "", "Every figure".to_owned(), String::new());
    page.note("What the sheets before rest on, rounded to four decimals (shares: to 0.01 %).");
    for of in tables {
        if of.rows.len() > MOST_ROWS {
            page.heading(&heading(&of.name));
            let rows = of.rows.len();
            page.note(format!(
                "Left out: {rows} rows are more than the {MOST_ROWS} that fit on paper. The workbook has them."
            ));
            continue;
        }
        let known: Vec<usize> = (0..of.columns.len())
            .filter(|column| of.rows.iter().any(|row| figure(of, row, *column).is_some()))
            .collect();
        if !known.is_empty() {
            page.heading(&heading(&of.name));
        }
        for columns in known.chunks(ACROSS) {
            part(&mut page, of, columns);
        }
    }
    page
}

fn part(page: &mut Sheet, of: &DataTable, columns: &[usize]) {
    let titles: Vec<String> = (columns.iter())
        .map(|column| &of.columns[*column])
        .map(|column| match column.kind {
            Kind::Share => format!("{}, %", heading(&column.title)),
            _ => heading(&column.title),
        })
        .collect();
    let mut heads: Vec<Head<'_>> = vec![("Of", Left)];
    heads.extend(titles.iter().map(|title| (title.as_str(), Right)));
    let rows = of.rows.iter().enumerate().map(|(at, row)| {
        let cells = columns.iter();
        let cells = cells.map(|column| figure(of, row, *column).unwrap_or_default());
        std::iter::once(name(of, row, at)).chain(cells).collect()
    });
    // the heading above tells it already; a caption is for who cannot see where a table stands
    let caption = format!("{}: {}", heading(&of.name), titles.join(", "));
    page.part(table(caption, &heads, rows.collect()));
}

/// What a row is about: the words and days in the columns that it begins with, else its number.
fn name(of: &DataTable, row: &[Cell], at: usize) -> String {
    let words: Vec<String> = (of.columns.iter())
        .zip(row)
        .take_while(|(column, _)| matches!(column.kind, Kind::Text | Kind::Day))
        .filter_map(|(_, cell)| match cell {
            Cell::Text(words) => Some(words.clone()),
            Cell::Day(day) => Some(day.to_string()),
            _ => None,
        })
        .take(3)
        .collect();
    if words.is_empty() {
        (at + 1).to_string()
    } else {
        words.join(" · ")
    }
}

/// A figure as it is printed; nothing for words, days and what is not known.
fn figure(of: &DataTable, row: &[Cell], column: usize) -> Option<String> {
    let share = of.columns[column].kind == Kind::Share;
    match row.get(column)? {
        Cell::Whole(number) => Some(number.to_string()),
        Cell::Number(number) if share => Some(format!("{:.2}", number * 100.0)),
        Cell::Number(number) => Some(decimals(*number, 4)),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::document::Part;
    use crate::report::document::tables::DataColumn;

    #[test]
    fn a_table_wider_than_a_page_is_set_in_parts_and_nothing_is_left_out() {
        let column = |title: &str, kind| DataColumn {
            title: title.to_owned(),
            kind,
        };
        let mut columns = vec![column("name", Kind::Text), column("none", Kind::Whole)];
        columns.extend((0..8).map(|n| column(&format!("x_{n}"), Kind::Decimal(2))));
        columns.push(column("mix", Kind::Share));
        let mut row = vec![Cell::Text("Nr 4".to_owned()), Cell::Empty];
        row.extend((0..8).map(|n| Cell::Number(f64::from(n) + 0.123_44)));
        row.push(Cell::Number(0.333_33));
        let of = DataTable {
            name: "standing".to_owned(),
            columns,
            rows: vec![row],
            charts: Vec::new(),
        };
        let page = figures(&[of]);
        let tables: Vec<_> = (page.parts.iter())
            .filter_map(|part| match part {
                Part::Table(table) => Some(&table.rows[0]),
                _ => None,
            })
            .collect();
        assert_eq!(tables.len(), 2);
        assert_eq!(
            tables[0].join(" "),
            "Nr 4 0.1234 1.1234 2.1234 3.1234 4.1234 5.1234"
        );
        assert_eq!(tables[1].join(" "), "Nr 4 6.1234 7.1234 33.33");
        assert_eq!(decimals(-0.000_01, 4), "0");
        assert_eq!(decimals(120.0, 4), "120");
    }

    #[test]
    fn a_table_too_long_for_paper_is_left_out_and_it_is_said() {
        let of = |rows: usize| {
            let table = DataTable {
                name: "crew_trees".to_owned(),
                columns: vec![DataColumn {
                    title: "one".to_owned(),
                    kind: Kind::Share,
                }],
                rows: vec![vec![Cell::Number(0.5)]; rows],
                charts: Vec::new(),
            };
            figures(&[table]).parts.pop()
        };
        assert!(matches!(of(MOST_ROWS), Some(Part::Table(table)) if table.rows.len() == MOST_ROWS));
        let Some(Part::Note(said)) = of(MOST_ROWS + 1) else {
            panic!("not said");
        };
        assert!(said.contains("5001 rows are more than the 5000"), "{said}");
    }
}
