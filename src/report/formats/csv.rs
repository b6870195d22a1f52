//! A table as CSV (RFC 4180).

use std::io;

use ::csv::{Terminator, WriterBuilder};

use crate::exchange::defused;
use crate::report::document::tables::{Cell, DataTable};

/// The table with its headings. Numbers are written in full, with a decimal point; days as `2027-01-12`. A text that a
/// spreadsheet would run as a formula is written as the tables that go out are (see [`crate::exchange::defused`]).
pub fn render(table: &DataTable) -> io::Result<String> {
    let mut csv = WriterBuilder::new()
        .terminator(Terminator::CRLF)
        .from_writer(Vec::new());
    let titles = table.columns.iter().map(|column| column.title.as_str());
    csv.write_record(titles).map_err(io::Error::other)?;
    for row in &table.rows {
        csv.write_record(row.iter().map(written))
            .map_err(io::Error::other)?;
    }
    let bytes = csv
        .into_inner()
        .map_err(|e| io::Error::other(e.to_string()))?;
    String::from_utf8(bytes).map_err(io::Error::other)
}

fn written(cell: &Cell) -> String {
    match cell {
        Cell::Empty => String::new(),
        Cell::Text(words) => defused(words),
        Cell::Whole(number) => number.to_string(),
        Cell::Number(number) => number.to_string(),
        Cell::Day(day) => day.to_string(),
        Cell::Moment(moment) => moment.format("%Y-%m-%dT%H:%M:%S").to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::document::tables::columns::Columns;

    #[test]
    fn formulas_are_text_and_numbers_are_whole() {
        let things = ["=cmd()", "a,\"b\"", "-3", "'t Veld", "\u{ff1d}1"];
        let table = Columns::new()
            .text("name", |name: &&str| *name)
            .number("third", |_| 1.0 / 3.0)
            .number("none", |_| f64::NAN)
            .whole("debt", |_| -3)
            .table("names", &things);
        let third = 1.0_f64 / 3.0;
        let lines = [
            "name,third,none,debt".to_owned(),
            format!("'=cmd(),{third},,-3"),
            format!("\"a,\"\"b\"\"\",{third},,-3"),
            format!("'-3,{third},,-3"),
            format!("''t Veld,{third},,-3"),
            format!("'\u{ff1d}1,{third},,-3"),
            String::new(),
        ];
        assert_eq!(render(&table).unwrap(), lines.join("\r\n"));
        let back: f64 = third.to_string().parse().unwrap();
        assert_eq!(back.to_bits(), third.to_bits());
    }
}
