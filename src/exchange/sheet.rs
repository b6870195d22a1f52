//! From bytes to lines of cells under known headings.

use std::collections::HashMap;

use csv::{ReaderBuilder, StringRecord};

use super::Problem;
use super::days::Order;
use super::outcome::MAX_PROBLEMS;
use super::scan::{LineCounter, left_open};
use super::table::Column;

/// Longest cell of most columns, bytes; a note of 500 characters fits.
const MAX_CELL: usize = 2_200;
/// Longest cell of the columns that list rows or places, bytes.
const MAX_LIST: usize = 200_000;
/// Longest line of a file, bytes.
const MAX_LINE: usize = 1 << 20;
/// Most lines of a file.
const MAX_LINES: usize = 500_000;
/// What may part cells; the first of equals is taken.
const DELIMITERS: [u8; 4] = [b',', b';', b'\t', b'|'];
/// Columns that list rows or places.
const LISTS: [&str; 2] = ["rows", "missing"];

/// What is wrong with a line that ends within quotation marks.
const CUT_OFF: &str = "a quotation mark opens here and is never closed: the file may be cut off";

/// A table as it stands in a file, each line still text.
pub(super) struct Sheet {
    /// Where each heading's cells stand.
    places: HashMap<&'static str, usize>,
    /// For each place its heading, none where the first line has a blank.
    headed: Vec<Option<&'static str>>,
    /// Data lines, blank ones left out.
    pub(super) lines: Vec<SheetLine>,
    /// Lines that are not made like the headings.
    pub(super) problems: Vec<Problem>,
    /// Whether numbers may have a decimal comma.
    pub(super) decimal_comma: bool,
    /// How days are written.
    pub(super) days: Order,
}

/// A line of cells.
pub(super) struct SheetLine {
    /// Where it begins in the file, from 1.
    pub(super) number: u64,
    cells: StringRecord,
}

impl Sheet {
    /// Reads a table. Fails, with all reasons, where encoding or headings are wrong.
    pub(super) fn read(bytes: &[u8], columns: &'static [Column]) -> Result<Self, Vec<Problem>> {
        let text = decode(bytes)?;
        no_endless_line(text)?;
        let told = told_delimiter(text)?;
        let delimiter = told.unwrap_or_else(|| delimiter_of(text, columns));
        let mut reader = ReaderBuilder::new()
            .delimiter(delimiter)
            .has_headers(false)
            .flexible(true)
            .from_reader(text.as_bytes());
        let mut counter = LineCounter::new(text);
        let mut records = Vec::new();
        loop {
            let mut record = StringRecord::new();
            match reader.read_record(&mut record) {
                Ok(true) => {}
                Ok(false) => break,
                Err(e) => {
                    let line = counter.last();
                    return Err(vec![Problem::new(line, "", "", &e.to_string())]);
                }
            }
            if records.len() == MAX_LINES {
                let reason = format!(
                    "the table has more than {MAX_LINES} lines: part it into several files"
                );
                return Err(vec![Problem::new(counter.last(), "", "", &reason)]);
            }
            let start = record.position().map_or(0, csv::Position::byte);
            let number = counter.line_at(start as usize);
            let cells = record;
            records.push(SheetLine { number, cells });
        }
        // the line that a mark left open stands in is the last, whatever follows in the file
        let cut_off = left_open(text, delimiter).and_then(|at| Some((at, records.pop()?)));
        let cut_off = cut_off.map(|(at, line)| (LineCounter::new(text).line_at(at), line));
        // the line that tells the delimiter is none of the table
        let lines = records.into_iter().skip(usize::from(told.is_some()));
        let mut lines = lines.filter(|line| !line.is_blank());
        let Some(headings) = lines.next() else {
            if let Some((number, line)) = cut_off {
                let value = line.cells.iter().next_back().unwrap_or_default();
                return Err(vec![Problem::new(number, "", value, CUT_OFF)]);
            }
            let reason = format!(
                "the file is empty; its first line names: {}",
                names(columns)
            );
            return Err(vec![Problem::new(1, "", "", &reason)]);
        };
        let headed = headed(&headings, columns)?;
        let by_place = headed.iter().zip(0..);
        let mut sheet = Self {
            places: by_place
                .filter_map(|(name, place)| Some(((*name)?, place)))
                .collect(),
            headed,
            lines: Vec::new(),
            problems: Vec::new(),
            decimal_comma: delimiter != b',',
            days: Order::default(),
        };
        for line in lines {
            match sheet.misfit(&line) {
                // there are enough to refuse it
                Some(_) if sheet.problems.len() == MAX_PROBLEMS => {}
                Some(problem) => sheet.problems.push(problem),
                None => sheet.lines.push(line),
            }
        }
        if let Some((number, line)) = cut_off {
            sheet.cut_off(number, &line);
        }
        sheet.see_days(columns);
        Ok(sheet)
    }

    /// Looks at all days for the order in which day and month are written.
    fn see_days(&mut self, columns: &[Column]) {
        let mut days = Order::default();
        for column in columns.iter().filter(|column| column.of_day) {
            for line in &self.lines {
                days.see(line.number, self.cell(line, column.name));
            }
        }
        self.days = days;
    }

    /// Notes a line whose last cell opens a quotation mark, on line `number`, that is never closed.
    fn cut_off(&mut self, number: u64, line: &SheetLine) {
        if self.problems.len() == MAX_PROBLEMS {
            return;
        }
        let place = line.cells.len().checked_sub(1);
        let name = place.and_then(|place| *self.headed.get(place)?);
        let name = name.unwrap_or_default();
        let value = line.cells.iter().next_back().unwrap_or_default();
        self.problems
            .push(Problem::new(number, name, value, CUT_OFF));
    }

    /// Whether the file has this column.
    pub(super) fn has(&self, column: &str) -> bool {
        self.places.contains_key(column)
    }

    /// The cell under a heading, trimmed; empty where the column is not there.
    pub(super) fn cell<'l>(&self, line: &'l SheetLine, column: &str) -> &'l str {
        let place = self.places.get(column);
        place
            .and_then(|place| line.cells.get(*place))
            .map_or("", str::trim)
    }

    fn misfit(&self, line: &SheetLine) -> Option<Problem> {
        let tell = |field: &str, value: &str, reason: &str| {
            Some(Problem::new(line.number, field, value, reason))
        };
        for (cell, place) in line.cells.iter().zip(0..) {
            let Some(name) = self.headed.get(place).copied().flatten() else {
                if cell.trim().is_empty() {
                    continue;
                }
                let reason = format!(
                    "stands in cell {}, which has no heading: is there a delimiter too many, or a decimal comma?",
                    place + 1
                );
                return tell("", cell, &reason);
            };
            if cell.trim().contains(['\n', '\r']) {
                let reason =
                    "runs over several lines: a quotation mark that opens here may not be closed";
                return tell(name, cell, reason);
            }
            let listing = LISTS.contains(&name);
            let most = if listing { MAX_LIST } else { MAX_CELL };
            if cell.len() > most {
                let reason = format!("is {} bytes long, at most {most} are read", cell.len());
                return tell(name, cell, &reason);
            }
        }
        let (cells, headings) = (line.cells.len(), self.headed.len());
        if cells >= headings {
            return None;
        }
        let reason = format!("has {cells} cells where the headings are {headings}");
        tell("", "", &reason)
    }
}

impl SheetLine {
    fn is_blank(&self) -> bool {
        self.cells.iter().all(|cell| cell.trim().is_empty())
    }
}

/// The text without a byte order mark. Every line that is not UTF-8 is named.
fn decode(bytes: &[u8]) -> Result<&str, Vec<Problem>> {
    const HOW: &str = "save the table as CSV in UTF-8";
    if bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]) {
        let reason = format!("the file is in UTF-16: {HOW}");
        return Err(vec![Problem::new(1, "", "", &reason)]);
    }
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    if let Ok(text) = std::str::from_utf8(bytes) {
        return Ok(text);
    }
    let lines = bytes.split(|byte| *byte == b'\n').zip(1u64..);
    let wrong = lines.filter_map(|(line, number)| {
        let error = std::str::from_utf8(line).err()?;
        let near = line.get(..error.valid_up_to()).unwrap_or_default();
        let near = String::from_utf8_lossy(&near[near.len().saturating_sub(20)..]).into_owned();
        let reason = format!("is not UTF-8 after this: {HOW}");
        Some(Problem::new(number, "", &near, &reason))
    });
    Err(wrong.take(MAX_PROBLEMS).collect())
}

/// Refuses a line that is no line of a table, before anything is made of it.
fn no_endless_line(text: &str) -> Result<(), Vec<Problem>> {
    let mut begun = 0;
    for line in text.split(['\n', '\r']) {
        if line.len() > MAX_LINE {
            let number = text[..begun].matches('\n').count() as u64 + 1;
            let reason = format!("is {} bytes long, at most {MAX_LINE} are read", line.len());
            return Err(vec![Problem::new(number, "", line, &reason)]);
        }
        begun += line.len() + 1;
    }
    Ok(())
}

/// The delimiter that the first line tells, as in `sep=;`, which some spreadsheets write and ask for; none where it is a
/// line of the table.
fn told_delimiter(text: &str) -> Result<Option<u8>, Vec<Problem>> {
    let first = text.split(['\r', '\n']).next().unwrap_or_default();
    let bare = (first
        .strip_prefix('"')
        .and_then(|rest| rest.strip_suffix('"')))
    .unwrap_or(first);
    let is_told = |begin: &str| begin.eq_ignore_ascii_case("sep=");
    if !bare.get(..4).is_some_and(is_told) {
        return Ok(None);
    }
    match bare.as_bytes()[4..] {
        [told] if DELIMITERS.contains(&told) => Ok(Some(told)),
        _ => {
            let reason = "names no delimiter that is read: comma, semicolon, tab or |";
            Err(vec![Problem::new(1, "", first, reason)])
        }
    }
}

/// The delimiter under which the first line has the most known headings.
fn delimiter_of(text: &str, columns: &[Column]) -> u8 {
    let known = |delimiter: u8| {
        let mut reader = ReaderBuilder::new()
            .delimiter(delimiter)
            .has_headers(false)
            .flexible(true)
            .from_reader(text.as_bytes());
        let mut first = StringRecord::new();
        let _ = reader.read_record(&mut first);
        let known = first
            .iter()
            .filter(|raw| column(raw, columns).is_some())
            .count();
        (known, first.len())
    };
    let mut best = (b',', known(b','));
    for delimiter in DELIMITERS {
        let found = known(delimiter);
        if found > best.1 {
            best = (delimiter, found);
        }
    }
    best.0
}

/// A heading as people write it: `Row spacing m` is `row_spacing_m`.
fn column(raw: &str, columns: &[Column]) -> Option<&'static str> {
    let name = raw.trim().to_lowercase().replace([' ', '-'], "_");
    let found = columns.iter().find(|column| column.name == name);
    found.map(|column| column.name)
}

/// The headings by place. Fails, naming all of them, where any is unknown, twice or missing.
fn headed(
    headings: &SheetLine,
    columns: &'static [Column],
) -> Result<Vec<Option<&'static str>>, Vec<Problem>> {
    let mut headed = Vec::new();
    let mut problems = Vec::new();
    for raw in &headings.cells {
        let name = column(raw, columns);
        let reason = if name.is_none() && !raw.trim().is_empty() {
            let known = names(columns);
            format!("is no heading of this table; they are: {known}")
        } else if name.is_some() && headed.contains(&name) {
            "stands twice among the headings".to_owned()
        } else {
            headed.push(name);
            continue;
        };
        problems.push(Problem::new(headings.number, raw, "", &reason));
    }
    for column in columns.iter().filter(|column| column.needed) {
        if !headed.contains(&Some(column.name)) {
            let reason = "is missing among the headings";
            problems.push(Problem::new(headings.number, column.name, "", reason));
        }
    }
    if problems.is_empty() {
        Ok(headed)
    } else {
        Err(problems)
    }
}

fn names(columns: &[Column]) -> String {
    let names: Vec<_> = columns.iter().map(|column| column.name).collect();
    names.join(", ")
}

#[cfg(test)]
#[path = "sheet_tests.rs"]
mod tests;
