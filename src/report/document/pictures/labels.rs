//! The words in pictures.

use std::borrow::Cow;

use chrono::{Datelike, NaiveDate};

use crate::orchard::{Age, Size};
use crate::report::fit;
use crate::report::words::Tongue;

const MONTHS: [&str; 12] = [
    "month-short-1",
    "month-short-2",
    "month-short-3",
    "month-short-4",
    "month-short-5",
    "month-short-6",
    "month-short-7",
    "month-short-8",
    "month-short-9",
    "month-short-10",
    "month-short-11",
    "month-short-12",
];

/// A word of a picture: fixed, or read from a file of words.
pub type Word = Cow<'static, str>;

/// The words in pictures, in one language. Those that stand in a drawing are short: a longer one is cut where it has no
/// room. Text equivalents are made of the same words and figures, as `word: figure`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Labels {
    /// What parts whole numbers from decimals.
    pub decimal: char,
    /// Short names of the months, January first; at most 5 letters.
    pub months: [Word; 12],

    /// Title: shares of the ages against the rule.
    pub mix_title: Word,
    /// Title: the counted trees in a triangle.
    pub ternary_title: Word,
    /// Title: buds left by size of unit.
    pub buds_title: Word,
    /// Title: shares from day to day.
    pub trend_title: Word,
    /// Title: the block from above.
    pub rows_title: Word,
    /// Title: trees pruned by day, and the finish.
    pub progress_title: Word,
    /// Title: pieces by age over the coming winters.
    pub ahead_title: Word,
    /// Title: the crop over the coming winters.
    pub crop_title: Word,

    /// The four ages, youngest first.
    pub ages: [Word; 4],
    /// Thin, medium and thick units.
    pub sizes: [Word; 3],
    /// Units whose buds keep the rule.
    pub buds_within: Word,
    /// The corners of the triangle: wood of one age only, youngest first.
    pub all_of: [Word; 3],
    /// What the rule accepts.
    pub accepted: Word,
    /// What the rule asks for.
    pub wanted: Word,
    /// The interval of the true share.
    pub interval: Word,
    /// The mean of the counted trees.
    pub mean: Word,
    /// What was left, beside [`Self::rule`].
    pub left: Word,
    /// A counted tree.
    pub tree: Word,
    /// Trees, as in `trees: 12`.
    pub trees: Word,
    /// As in `2000 of 3000 trees`.
    pub of: Word,
    /// How many are shown, as in `trees: 3000 (shown: 2000)`.
    pub shown: Word,
    /// From the lowest tree to the highest.
    pub lowest_to_highest: Word,
    /// The mean of a day.
    pub day_mean: Word,
    /// That four-plus wood is left out of the triangle, whose three shares add up to all.
    pub without_four_plus: Word,
    /// Units, as in `units: 178`.
    pub units: Word,
    /// Within the limits of buds.
    pub within: Word,
    /// Outside the limits of buds.
    pub outside: Word,
    /// The limits of buds, as in `rule: 3-4`.
    pub rule: Word,
    /// Buds left on the mean unit.
    pub left_on_mean: Word,
    /// More buds than the rule allows.
    pub over: Word,
    /// Fewer buds than the rule allows.
    pub under: Word,

    /// Trees to prune.
    pub to_prune: Word,
    /// Trees pruned.
    pub pruned: Word,
    /// Trees counted.
    pub counted: Word,
    /// Of several trees in one place, some pruned.
    pub partly: Word,
    /// Rows sent back and open.
    pub sent_back: Word,
    /// Trees that are marked.
    pub marked: Word,
    /// A row or rows.
    pub row: Word,

    /// Trees pruned up to a day.
    pub done: Word,
    /// Where it will go on, with 10 and 90 % chance.
    pub to_come: Word,
    /// The middle of what is to come.
    pub middle: Word,
    /// Budburst.
    pub budburst: Word,
    /// The finish.
    pub finish: Word,
    /// The chance to be through by budburst.
    pub in_time: Word,
    /// No finish within a year.
    pub beyond_a_year: Word,
    /// No finish can be forecast yet.
    pub no_forecast: Word,

    /// This winter.
    pub this_winter: Word,
    /// A winter, as in `winter +1`.
    pub winter: Word,
    /// The three ways of going on: as pruned, mended now, on the rule.
    pub scenarios: [Word; 3],
    /// Pieces a tree.
    pub pieces_a_tree: Word,
    /// The unit of the crop.
    pub tonnes_per_ha: Word,
    /// The range of the crop: four times of five.
    pub range: Word,
    /// Where nothing was counted.
    pub nothing: Word,
}

impl Labels {
    /// In English, for the screens.
    pub fn english() -> Self {
        Self::of(Tongue::english())
    }

    /// In the language of a sheet.
    pub fn of(words: &'static Tongue) -> Self {
        let word = |key| Word::Borrowed(words.label(key));
        Self {
            decimal: words.decimal_sign(),
            months: MONTHS.map(word),
            mix_title: word("picture-mix-title"),
            ternary_title: word("picture-ternary-title"),
            buds_title: word("picture-buds-title"),
            trend_title: word("picture-trend-title"),
            rows_title: word("picture-rows-title"),
            progress_title: word("picture-progress-title"),
            ahead_title: word("picture-ahead-title"),
            crop_title: word("picture-crop-title"),
            ages: Age::ALL.map(|age| Word::Borrowed(words.age(age))),
            sizes: Size::ALL.map(|size| Word::Borrowed(words.size(size))),
            buds_within: word("picture-buds-within"),
            all_of: [
                "picture-all-of-one",
                "picture-all-of-two",
                "picture-all-of-three",
            ]
            .map(word),
            accepted: word("picture-accepted"),
            wanted: word("picture-wanted"),
            interval: word("picture-interval"),
            mean: word("picture-mean"),
            left: word("day-sheet-bar-left"),
            tree: word("picture-tree"),
            trees: word("picture-trees"),
            of: word("picture-of"),
            shown: word("picture-shown"),
            lowest_to_highest: word("picture-lowest-to-highest"),
            day_mean: word("picture-day-mean"),
            without_four_plus: word("picture-without-four-plus"),
            units: word("picture-units"),
            within: word("picture-within"),
            outside: word("picture-outside"),
            rule: word("picture-rule"),
            left_on_mean: word("picture-left-on-mean"),
            over: word("picture-over"),
            under: word("picture-under"),
            to_prune: word("picture-to-prune"),
            pruned: word("picture-pruned"),
            counted: word("picture-counted"),
            partly: word("picture-partly"),
            sent_back: word("picture-sent-back"),
            marked: word("picture-marked"),
            row: word("picture-row"),
            done: word("picture-done"),
            to_come: word("picture-to-come"),
            middle: word("picture-middle"),
            budburst: word("picture-budburst"),
            finish: word("picture-finish"),
            in_time: word("picture-in-time"),
            beyond_a_year: word("picture-beyond-a-year"),
            no_forecast: word("picture-no-forecast"),
            this_winter: word("picture-this-winter"),
            winter: word("picture-winter"),
            scenarios: [
                "picture-scenarios-as-pruned",
                "picture-scenarios-mended",
                "picture-scenarios-on-rule",
            ]
            .map(word),
            pieces_a_tree: word("picture-pieces-a-tree"),
            tonnes_per_ha: word("picture-tonnes-per-ha"),
            range: word("picture-range"),
            nothing: word("picture-nothing"),
        }
    }

    /// A day without its year, such as `5 Jan`.
    pub fn day(&self, day: NaiveDate) -> String {
        format!("{} {}", day.day(), self.months[day.month0() as usize])
    }

    /// A number with as many decimals as asked for.
    pub fn number(&self, value: f64, decimals: usize) -> String {
        fit::decimal(value, decimals, self.decimal)
    }

    /// A number with as many decimals as it deserves: `195`, `32.5`, `0.60`.
    pub fn figure(&self, value: f64) -> String {
        self.number(value, fit::places(value))
    }

    /// A winter ahead: `now`, `+1`.
    pub fn ahead(&self, winters: usize) -> String {
        match winters {
            0 => self.this_winter.clone().into_owned(),
            n => format!("+{n}"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_and_numbers_are_written_as_the_language_does() {
        let mut labels = Labels::english();
        let day = NaiveDate::from_ymd_opt(2027, 1, 5).unwrap();
        assert_eq!(labels.day(day), "5 Jan");
        assert_eq!(labels.figure(2.345), "2.35");
        labels.decimal = ',';
        labels.months[0] = "ene".into();
        assert_eq!(labels.day(day), "5 ene");
        assert_eq!(labels.figure(32.54), "32,5");
        assert_eq!(labels.figure(f64::NAN), "-");
    }
}
