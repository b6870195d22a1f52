//! The words in pictures.

use std::borrow::Cow;

use chrono::{Datelike, NaiveDate};

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
    /// A counted tree.
    pub tree: Word,
    /// Trees, as in `trees: 12`.
    pub trees: Word,
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
    /// In English.
    pub fn english() -> Self {
        let word = Word::Borrowed;
        Self {
            decimal: '.',
            months: [
                "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
            ]
            .map(word),
            mix_title: word("Wood left, by age"),
            ternary_title: word("The counted trees between the ages"),
            buds_title: word("Buds left, by size of unit"),
            trend_title: word("From day to day"),
            rows_title: word("The rows from above"),
            progress_title: word("Trees pruned, and the finish"),
            ahead_title: word("Wood by age, winters ahead"),
            crop_title: word("The crop, winters ahead"),
            ages: ["one-year", "two-year", "three-year", "four-plus"].map(word),
            sizes: ["thin", "medium", "thick"].map(word),
            buds_within: word("buds in the rule"),
            all_of: ["all one-year", "all two-year", "all three-year"].map(word),
            accepted: word("accepted"),
            wanted: word("wanted"),
            interval: word("interval"),
            mean: word("mean"),
            tree: word("a tree"),
            trees: word("trees"),
            lowest_to_highest: word("lowest to highest tree"),
            day_mean: word("mean of a day"),
            without_four_plus: word("four-plus wood left out; the three add up to 100 %"),
            units: word("units"),
            within: word("within"),
            outside: word("outside"),
            rule: word("rule"),
            left_on_mean: word("mean left"),
            over: word("over"),
            under: word("under"),
            to_prune: word("to prune"),
            pruned: word("pruned"),
            counted: word("counted"),
            partly: word("partly"),
            sent_back: word("go back"),
            row: word("row"),
            done: word("pruned"),
            to_come: word("to come, 10-90 %"),
            middle: word("middle"),
            budburst: word("budburst"),
            finish: word("finish"),
            in_time: word("in time"),
            beyond_a_year: word("beyond a year"),
            no_forecast: word("no forecast yet"),
            this_winter: word("now"),
            winter: word("winter"),
            scenarios: ["as pruned", "mended now", "on the rule"].map(word),
            pieces_a_tree: word("pieces a tree"),
            tonnes_per_ha: word("t/ha"),
            range: word("four times of five"),
            nothing: word("nothing counted"),
        }
    }

    /// A day without its year, such as `5 Jan`.
    pub fn day(&self, day: NaiveDate) -> String {
        format!("{} {}", day.day(), self.months[day.month0() as usize])
    }

    /// A number with as many decimals as asked for.
    pub fn number(&self, value: f64, decimals: usize) -> String {
        if !value.is_finite() {
            return "-".to_owned();
        }
        let plain = format!("{value:.decimals$}");
        if self.decimal == '.' {
            plain
        } else {
            plain.replace('.', &self.decimal.to_string())
        }
    }

    /// A number with as many decimals as it deserves: `195`, `32.5`, `0.60`.
    pub fn figure(&self, value: f64) -> String {
        let decimals = match value.abs() {
            small if small < 10.0 => 2,
            middle if middle < 100.0 => 1,
            _ => 0,
        };
        self.number(value, decimals)
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
#[allow(clippy::unwrap_used)]
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
