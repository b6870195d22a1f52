//! Columns as they are defined: heading, kind and figure side by side.

use super::{Cell, DataColumn, DataTable, Kind};
use crate::judge::{More, Verdict};
use crate::report::words;

/// Names of the ages in headings, youngest first.
pub(super) const AGES: [&str; 4] = ["one", "two", "three", "four_plus"];

type Read<'a, T> = Box<dyn Fn(&T) -> Cell + 'a>;

/// The columns of a table over things of one type.
pub(in crate::report) struct Columns<'a, T> {
    columns: Vec<DataColumn>,
    reads: Vec<Read<'a, T>>,
}

impl<'a, T> Columns<'a, T> {
    pub fn new() -> Self {
        Self {
            columns: Vec::new(),
            reads: Vec::new(),
        }
    }

    pub fn add<C: Into<Cell>>(
        mut self,
        title: impl Into<String>,
        kind: Kind,
        read: impl Fn(&T) -> C + 'a,
    ) -> Self {
        self.columns.push(DataColumn {
            title: title.into(),
            kind,
        });
        self.reads.push(Box::new(move |of| read(of).into()));
        self
    }

    pub fn text<C: Into<Cell>>(
        self,
        title: impl Into<String>,
        read: impl Fn(&T) -> C + 'a,
    ) -> Self {
        self.add(title, Kind::Text, read)
    }

    pub fn whole<C: Into<Cell>>(
        self,
        title: impl Into<String>,
        read: impl Fn(&T) -> C + 'a,
    ) -> Self {
        self.add(title, Kind::Whole, read)
    }

    pub fn share<C: Into<Cell>>(
        self,
        title: impl Into<String>,
        read: impl Fn(&T) -> C + 'a,
    ) -> Self {
        self.add(title, Kind::Share, read)
    }

    /// A number that is shown with two decimals.
    pub fn number<C: Into<Cell>>(
        self,
        title: impl Into<String>,
        read: impl Fn(&T) -> C + 'a,
    ) -> Self {
        self.add(title, Kind::Decimal(2), read)
    }

    pub fn day<C: Into<Cell>>(self, title: impl Into<String>, read: impl Fn(&T) -> C + 'a) -> Self {
        self.add(title, Kind::Day, read)
    }

    /// A column for each age: `head` and the age's name, such as `offered_one`.
    pub fn ages<C: Into<Cell> + Copy>(
        mut self,
        head: &str,
        kind: Kind,
        read: impl Fn(&T) -> Option<[C; 4]> + Clone + 'a,
    ) -> Self {
        for (age, name) in AGES.into_iter().enumerate() {
            let read = read.clone();
            self = self.add(format!("{head}{name}"), kind, move |of: &T| {
                read(of).and_then(|ages| ages.get(age).copied())
            });
        }
        self
    }

    /// How many more trees until a verdict: as a number where a forecast names one, and in words.
    pub fn more(self, read: impl Fn(&T) -> More + Clone + 'a) -> Self {
        let about = read.clone();
        self.whole("more_trees", move |of| match about(of) {
            More::About(trees) => Some(trees),
            _ => None,
        })
        .text("forecast", move |of| words::more(read(of)))
    }

    /// The verdict on the whole, and the metric it rests on.
    pub fn verdict(
        self,
        head: &str,
        read: impl Fn(&T) -> (Verdict, Option<crate::judge::Metric>) + Clone + 'a,
    ) -> Self {
        let lead = read.clone();
        self.text(format!("{head}verdict"), move |of| {
            let (overall, lead) = read(of);
            lead.map_or(overall.word(), |lead| words::verdict(lead, overall))
        })
        .text(format!("{head}rests_on"), move |of| {
            lead(of).1.map(words::metric)
        })
    }

    /// The table of these columns.
    pub fn table<'t>(self, name: &str, things: impl IntoIterator<Item = &'t T>) -> DataTable
    where
        T: 't,
    {
        let row = |thing: &T| self.reads.iter().map(|read| read(thing)).collect();
        DataTable {
            name: name.to_owned(),
            rows: things.into_iter().map(row).collect(),
            columns: self.columns,
            charts: Vec::new(),
        }
    }
}
