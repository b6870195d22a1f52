//! The rows of a block, and the short way to write them down.

use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::ops::RangeInclusive;

use super::Invalid;
use super::limits::{PLACES, ROWS, within};

/// The most missing trees of a block that may be written down: a few letters can name thousands.
const MAX_MISSING: usize = 20_000;

/// One row: its number, its tree places, and the places without a tree.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    /// The row's number, 1 to 999.
    pub number: u16,
    /// Tree places in the row, 1 to 2,000; they are numbered from 1.
    pub places: u16,
    /// Places where no tree stands.
    pub missing: BTreeSet<u16>,
}

impl Row {
    /// Trees that stand in the row.
    pub fn trees(&self) -> u32 {
        u32::from(self.places) - self.missing.len() as u32
    }

    /// Whether a tree stands at this place.
    pub fn has_tree(&self, place: u16) -> bool {
        (1..=self.places).contains(&place) && !self.missing.contains(&place)
    }

    /// Trees that stand at the places `first..=last`.
    pub fn trees_between(&self, first: u16, last: u16) -> u32 {
        if first > last {
            return 0;
        }
        let places = u32::from(last - first) + 1;
        places - self.missing.range(first..=last).count() as u32
    }
}

/// All rows of a block, in order of number.
///
/// Written as `1-24x110, 25x96`: rows 1 to 24 have 110 places each, row 25 has 96. Missing trees
/// are written as `3:17-19, 8:4`: in row 3 places 17 to 19, in row 8 place 4.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct RowPlan(Vec<Row>);

impl RowPlan {
    /// Reads the rows and the missing trees.
    pub fn parse(rows: &str, missing: &str) -> Result<Self, Invalid> {
        Self::with_most(rows, missing, usize::MAX)
    }

    /// As [`RowPlan::parse`], for what people type and tables hold: at most 20,000 missing trees.
    pub fn typed(rows: &str, missing: &str) -> Result<Self, Invalid> {
        Self::with_most(rows, missing, MAX_MISSING)
    }

    fn with_most(rows: &str, missing: &str, most: usize) -> Result<Self, Invalid> {
        let mut plan = Self(Vec::new());
        for part in parts(rows) {
            plan.add_rows(part)?;
        }
        if plan.0.is_empty() {
            return Err(Invalid::new(
                "rows",
                "has no row; write them as 1-24x110, 25x96",
            ));
        }
        plan.0.sort_by_key(|row| row.number);
        for (number, places) in plan.runs("missing", missing, most)? {
            plan.add_missing(number, places)?;
        }
        Ok(plan)
    }

    fn add_rows(&mut self, part: &str) -> Result<(), Invalid> {
        let wrong = || Invalid::new("rows", format!("{part:?} is not like 1-24x110 or 25x96"));
        let (numbers, places) = part.split_once(['x', 'X', '×']).ok_or_else(wrong)?;
        let (first, last) = span(numbers).ok_or_else(wrong)?;
        let places: i64 = places.trim().parse().map_err(|_| wrong())?;
        within("rows", first, &wide(&ROWS))?;
        within("rows", last, &(first..=i64::from(*ROWS.end())))?;
        within("rows", places, &wide(&PLACES))?;
        for number in first..=last {
            let number = number as u16;
            if self.0.iter().any(|row| row.number == number) {
                return Err(Invalid::new("rows", format!("row {number} is named twice")));
            }
            self.0.push(Row {
                number,
                places: places as u16,
                missing: BTreeSet::new(),
            });
        }
        Ok(())
    }

    fn add_missing(&mut self, number: u16, places: RangeInclusive<u16>) -> Result<(), Invalid> {
        let mut rows = self.0.iter_mut();
        let Some(row) = rows.find(|row| row.number == number) else {
            return Ok(());
        };
        row.missing.extend(places);
        if row.trees() == 0 {
            return Err(Invalid::new(
                "missing",
                format!("row {number} would have no tree at all"),
            ));
        }
        Ok(())
    }

    /// Reads runs of places in these rows, such as `3:17-19, 8:4`, of `most` places together.
    fn runs(&self, field: &'static str, text: &str, most: usize) -> Result<Vec<Span>, Invalid> {
        let (mut runs, mut named) = (Vec::new(), 0);
        for part in parts(text) {
            let (number, places) = self.run(field, part)?;
            named += places.len();
            if named > most {
                let problem = format!("names more than {MAX_MISSING} trees");
                return Err(Invalid::new(field, problem));
            }
            runs.push((number, places));
        }
        Ok(runs)
    }

    fn run(&self, field: &'static str, part: &str) -> Result<Span, Invalid> {
        let wrong = || Invalid::new(field, format!("{part:?} is not like 3:17-19 or 8:4"));
        let (number, places) = part.split_once(':').ok_or_else(wrong)?;
        let number: u16 = number.trim().parse().map_err(|_| wrong())?;
        let (first, last) = span(places).ok_or_else(wrong)?;
        let row = self
            .row(number)
            .ok_or_else(|| Invalid::new(field, format!("there is no row {number}")))?;
        let end = i64::from(row.places);
        within(field, first, &(1..=end))?;
        within(field, last, &(first..=end))?;
        Ok((number, first as u16..=last as u16))
    }

    /// The trees that stand at places written as `3:17-19, 8:4`, each once: row and place, in order.
    pub fn trees_at(
        &self,
        field: &'static str,
        text: &str,
    ) -> Result<BTreeSet<(u16, u16)>, Invalid> {
        let mut trees = BTreeSet::new();
        for (number, places) in self.runs(field, text, MAX_MISSING)? {
            let standing = |place: &u16| self.row(number).is_some_and(|row| row.has_tree(*place));
            let before = trees.len();
            let mut named = places.clone().filter(standing).peekable();
            let none = named.peek().is_none();
            trees.extend(named.map(|place| (number, place)));
            if none && before == trees.len() {
                let (first, last) = places.into_inner();
                let problem = format!("no tree stands in row {number} at {first} to {last}");
                return Err(Invalid::new(field, problem));
            }
        }
        if trees.is_empty() {
            return Err(Invalid::new(field, "name the trees, such as 3:17-19, 8:4"));
        }
        Ok(trees)
    }

    /// The rows, in order of number.
    pub fn rows(&self) -> &[Row] {
        &self.0
    }

    /// The row of this number.
    pub fn row(&self, number: u16) -> Option<&Row> {
        let at = self
            .0
            .binary_search_by_key(&number, |row| row.number)
            .ok()?;
        self.0.get(at)
    }

    /// Trees that stand in all rows together.
    pub fn trees(&self) -> u32 {
        self.0.iter().map(Row::trees).sum()
    }

    /// The rows as [`RowPlan::parse`] reads them, such as `1-24x110, 25x96`.
    pub fn rows_text(&self) -> String {
        let mut text = String::new();
        let mut rest = self.0.as_slice();
        while let Some(first) = rest.first() {
            let same = rest
                .iter()
                .zip(first.number..)
                .take_while(|(row, number)| row.number == *number && row.places == first.places)
                .count();
            push_span(&mut text, "", first.number, first.number + same as u16 - 1);
            let _ = write!(text, "x{}", first.places);
            rest = &rest[same..];
        }
        text
    }

    /// The missing trees as [`RowPlan::parse`] reads them, such as `3:17-19, 8:4`.
    pub fn missing_text(&self) -> String {
        let places = self.0.iter().flat_map(|row| {
            let number = row.number;
            row.missing.iter().map(move |place| (number, *place))
        });
        runs_text(places)
    }
}

/// Places in order, as [`RowPlan::trees_at`] reads them: `3:17-19, 8:4`.
pub fn runs_text(places: impl Iterator<Item = (u16, u16)>) -> String {
    let mut text = String::new();
    let mut places = places.peekable();
    while let Some((row, first)) = places.next() {
        let mut last = first;
        while let Some((_, next)) = places.next_if_eq(&(row, last.saturating_add(1))) {
            last = next;
        }
        push_span(&mut text, &format!("{row}:"), first, last);
    }
    text
}

/// A row's number, and places in it.
type Span = (u16, RangeInclusive<u16>);

fn parts(text: &str) -> impl Iterator<Item = &str> {
    text.split([',', ';'])
        .map(str::trim)
        .filter(|part| !part.is_empty())
}

/// `7` or `7-9`.
fn span(text: &str) -> Option<(i64, i64)> {
    let (first, last) = text.split_once(['-', '–']).unwrap_or((text, text));
    Some((first.trim().parse().ok()?, last.trim().parse().ok()?))
}

/// Limits for a number of any size, as people may type it.
fn wide(limits: &RangeInclusive<u16>) -> RangeInclusive<i64> {
    i64::from(*limits.start())..=i64::from(*limits.end())
}

fn push_span(text: &mut String, before: &str, first: u16, last: u16) {
    if !text.is_empty() {
        text.push_str(", ");
    }
    text.push_str(before);
    let _ = if first == last {
        write!(text, "{first}")
    } else {
        write!(text, "{first}-{last}")
    };
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn rows_and_missing_trees_are_read() {
        let plan = RowPlan::parse("25x96, 1-24 x 110", "3:17-19, 3:40; 8:4").unwrap();
        assert_eq!(plan.rows().len(), 25);
        assert_eq!(plan.trees(), 24 * 110 + 96 - 5);
        let third = plan.row(3).unwrap();
        assert!(!third.has_tree(18) && third.has_tree(20) && !third.has_tree(111));
        assert_eq!(third.trees_between(10, 20), 8);
        assert_eq!(plan.rows_text(), "1-24x110, 25x96");
        assert_eq!(plan.missing_text(), "3:17-19, 3:40, 8:4");
    }

    #[test]
    fn trees_are_named_as_missing_ones_are() {
        let plan = RowPlan::parse("1-8x40", "3:17-19").unwrap();
        let trees = plan.trees_at("trees", "8:4; 3:15-20, 3:20").unwrap();
        assert_eq!(
            trees.iter().copied().collect::<Vec<_>>(),
            [(3, 15), (3, 16), (3, 20), (8, 4)]
        );
        assert_eq!(runs_text(trees.into_iter()), "3:15-16, 3:20, 8:4");
        for (text, word) in [
            ("", "name the trees"),
            ("3", "is not like"),
            ("9:1", "no row 9"),
            ("8:41", "outside 1 to 40"),
            ("3:17-19", "no tree stands in row 3 at 17 to 19"),
        ] {
            let refused = plan.trees_at("trees", text).unwrap_err();
            assert!(
                refused.field == "trees" && refused.problem.contains(word),
                "{text}: {refused}"
            );
        }
    }

    #[test]
    fn wrong_rows_are_named() {
        for (rows, missing, word) in [
            ("", "", "no row"),
            ("1-3", "", "is not like"),
            ("1x10, 1x12", "", "named twice"),
            ("0x10", "", "outside 1 to 999"),
            ("5-2x10", "", "outside 5 to 999"),
            ("1x99999", "", "outside 1 to 2000"),
            ("1x10", "2:1", "no row 2"),
            ("1x10", "1:11", "outside 1 to 10"),
            ("1x10", "1:1-10", "no tree at all"),
        ] {
            let problem = RowPlan::parse(rows, missing).unwrap_err().problem;
            assert!(problem.contains(word), "{rows} / {missing}: {problem}");
        }
    }

    #[test]
    fn few_letters_cannot_name_a_million_missing_trees() {
        let rows = "1-999x2000";
        let all: Vec<String> = (1..=999).map(|row| format!("{row}:1-1999")).collect();
        let ten = all[..10].join(",");
        let all = all.join(",");
        let refused = RowPlan::typed(rows, &all).unwrap_err();
        assert!(
            refused.field == "missing" && refused.problem.contains("20000"),
            "{refused:?}"
        );
        // a file that has them opens all the same
        assert_eq!(RowPlan::parse(rows, &all).unwrap().trees(), 999);
        assert_eq!(
            RowPlan::typed(rows, &ten).unwrap().trees(),
            1_998_000 - 19_990
        );
    }

    proptest! {
        #[test]
        fn the_written_form_reads_back(
            places in proptest::collection::btree_map(1u16..60, 2u16..40, 1..20),
            gaps in proptest::collection::vec((0usize..20, 0u16..39), 0..20),
        ) {
            let rows: Vec<String> = places.iter().map(|(n, p)| format!("{n}x{p}")).collect();
            let keys: Vec<_> = places.iter().collect();
            let missing: Vec<String> = gaps.iter().filter_map(|(i, g)| {
                let (n, p) = keys.get(*i)?;
                Some(format!("{n}:{}", 1 + g % (*p - 1)))
            }).collect();
            let plan = RowPlan::parse(&rows.join(","), &missing.join(",")).unwrap();
            prop_assert_eq!(RowPlan::parse(&plan.rows_text(), &plan.missing_text()).unwrap(), plan);
        }

        #[test]
        fn no_text_panics(rows in ".{0,40}", missing in ".{0,40}") {
            let _ = RowPlan::parse(&rows, &missing);
        }
    }
}
