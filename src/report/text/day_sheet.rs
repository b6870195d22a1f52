//! The day sheet as text, in the language of its pruner.

use super::page::{Page, head_in};
use super::{TextOptions, bar};
use crate::orchard::Age;
use crate::report::DaySheet;
use crate::report::fit::Align::{Left, Right};
use crate::report::fit::{self, width};
use crate::report::words::{self, Tongue};

/// Digits in a bar of the mix.
const BAR: usize = 48;

/// Day sheets one below the other.
pub fn day_sheets(sheets: &[DaySheet], options: TextOptions) -> String {
    if sheets.is_empty() {
        return format!("{}\n", words::NO_DAY_SHEET);
    }
    let between = if options.page_breaks { "\u{c}" } else { "\n\n" };
    let texts: Vec<String> = sheets.iter().map(day_sheet).collect();
    texts.join(between)
}

fn day_sheet(sheet: &DaySheet) -> String {
    let mut made = Maker {
        page: Page::default(),
        words: Tongue::of(sheet.language),
        sheet,
    };
    made.head();
    made.told();
    if sheet.standing.trees > 0 {
        made.figures();
    }
    made.go_backs();
    made.page.blank();
    for caution in made.words.cautions() {
        made.page.para(caution, 0);
    }
    made.page.finish()
}

/// A sheet in the making.
struct Maker<'a> {
    page: Page,
    words: &'static Tongue,
    sheet: &'a DaySheet,
}

impl Maker<'_> {
    fn head(&mut self) {
        let title = self
            .words
            .say("day-sheet-title", [("who", self.sheet.shown().into())]);
        let day = self.words.day(self.sheet.day);
        head_in(
            self.words,
            &mut self.page,
            [&self.sheet.orchard, &self.sheet.winter, &title, &day],
        );
    }

    /// What is said: the status, what is right, what to change.
    fn told(&mut self) {
        let (words, sheet) = (self.words, self.sheet);
        let page = &mut self.page;
        if !sheet.standing.blocks.is_empty() {
            page.para(&words.in_blocks(&sheet.standing), 0);
        }
        if sheet.standing.trees == 0 {
            page.blank();
            page.para(&words.status(sheet), 0);
            return;
        }
        for line in words.basis(sheet) {
            page.para(&line, 0);
        }
        page.blank();
        page.para(&words.status(sheet), 0);
        page.heading(words.label("day-sheet-right"));
        for line in words.right(sheet) {
            page.para(&line, 2);
        }
        for line in &sheet.not_there {
            page.blank();
            page.para(&words.not_there(line), 0);
        }
        self.changes();
        let open = words.open(sheet);
        if !open.is_empty() {
            self.page.blank();
            self.page.para(&open, 0);
        }
    }

    fn changes(&mut self) {
        let (words, sheet) = (self.words, self.sheet);
        if sheet.changes.is_empty() {
            return;
        }
        self.page.heading(words.label("day-sheet-change"));
        let said = (sheet.changes.iter()).flat_map(|change| words.change(change, &sheet.standing));
        for (number, line) in (1..).zip(said) {
            self.page.item(&format!("  {number}. "), &line);
        }
        if sheet.asks_for_more() {
            let offered = sheet.standing.offered.as_ref();
            self.page.para(&words.only_where_offered(offered), 5);
        }
    }

    fn figures(&mut self) {
        self.wood();
        self.mix();
        self.buds();
        if let Some(extras) = self.words.for_information(&self.sheet.standing) {
            self.page.blank();
            self.page.para(&extras, 0);
        }
        self.trend();
    }

    /// Words of the language, as cells of a table.
    fn labels<const N: usize>(&self, keys: [&'static str; N]) -> Vec<String> {
        keys.map(|key| self.words.label(key).to_owned()).to_vec()
    }

    fn wood(&mut self) {
        let (words, sheet) = (self.words, self.sheet);
        let mut head = self.labels([
            "day-sheet-wood",
            "day-sheet-rule",
            "day-sheet-left",
            "day-sheet-interval",
            "day-sheet-this-day",
            "day-sheet-trees",
            "day-sheet-verdict",
        ]);
        // the verdict stands apart from the numbers
        head.insert(6, String::new());
        let line = |line| {
            let mut cells = words.wood_cells(sheet, line).to_vec();
            cells.insert(6, String::new());
            cells
        };
        let rows = std::iter::once(head).chain(sheet.table.iter().map(line));
        let columns = [
            (11, Left),
            (10, Right),
            (7, Right),
            (10, Right),
            (9, Right),
            (6, Right),
            (1, Left),
            (16, Left),
        ];
        self.page.blank();
        self.page.table(&columns, &rows.collect::<Vec<_>>());
    }

    /// The mix as two bars below each other.
    fn mix(&mut self) {
        let standing = &self.sheet.standing;
        let Some(mix) = standing.mix else { return };
        let names = ["day-sheet-bar-left", "day-sheet-bar-rule"].map(|key| self.words.label(key));
        let room = names.map(width).into_iter().max().unwrap_or_default();
        for (name, mix) in names.into_iter().zip([mix, standing.target]) {
            let name = fit::fit(name, room);
            self.page.line(&format!("{name}  {}", bar(mix, BAR)));
        }
        if let Some(pieces) = self.words.pieces_a_tree(standing) {
            self.page.line(&pieces);
        }
    }

    fn buds(&mut self) {
        let (words, buds) = (self.words, &self.sheet.standing.buds);
        if buds.iter().all(|size| size.units == 0) {
            return;
        }
        let mut rows = vec![self.labels([
            "day-sheet-buds",
            "day-sheet-rule",
            "day-sheet-left",
            "day-sheet-units",
            "day-sheet-over",
            "day-sheet-under",
        ])];
        rows.extend(buds.iter().map(|size| words.bud_cells(size).to_vec()));
        let columns = [
            (11, Left),
            (10, Right),
            (7, Right),
            (10, Right),
            (9, Right),
            (6, Right),
        ];
        self.page.blank();
        self.page.table(&columns, &rows);
    }

    fn trend(&mut self) {
        let sheet = self.sheet;
        let mut head = self.labels(["day-sheet-by-day", "day-sheet-trees"]);
        head.extend(Age::ALL.map(|age| self.words.age_column(age).to_owned()));
        head.extend(self.labels(["day-sheet-buds-in-rule"]));
        let mut rows = vec![head];
        rows.extend(sheet.last_days().iter().map(words::day_cells));
        let columns = [
            (11, Left),
            (6, Right),
            (7, Right),
            (7, Right),
            (7, Right),
            (7, Right),
            (13, Right),
        ];
        self.page.blank();
        self.page.table(&columns, &rows);
        for week in &sheet.weeks {
            self.page.para(&self.words.week(week), 0);
        }
    }

    fn go_backs(&mut self) {
        if self.sheet.go_backs.is_empty() {
            return;
        }
        self.page.heading(self.words.label("day-sheet-go-back"));
        for line in &self.sheet.go_backs {
            self.page.item("  ", &self.words.go_back(line, false));
        }
    }
}
