//! Days as spreadsheets write them. 2026-11-26 has one meaning; 05/11/2026 has two, and which one holds is certain only
//! where some line of the file has a number over 12 in one of both places.

use chrono::NaiveDate;

use crate::orchard::{Invalid, parse_day};

/// Which of day and month comes first in a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct Order {
    /// The first line on which the first number is over 12: the day.
    day_first: Option<u64>,
    /// The first line on which the second number is over 12.
    month_first: Option<u64>,
}

/// How to write a day that has one meaning.
const HOW: &str = "write days as 2026-11-26";

impl Order {
    /// Takes in what a cell on a line says of the order.
    pub(super) fn see(&mut self, line: u64, raw: &str) {
        let Some([first, second, _]) = parts(raw) else {
            return;
        };
        let told = match (first > 12, second > 12) {
            (true, false) => &mut self.day_first,
            (false, true) => &mut self.month_first,
            _ => return,
        };
        told.get_or_insert(line);
    }

    /// Whether a cell has a day in it that may yet be refused.
    pub(super) fn means_a_day(raw: &str) -> bool {
        parts(raw).is_some() || serial(raw)
    }

    /// Reads a day.
    pub(super) fn read(self, raw: &str) -> Result<NaiveDate, Invalid> {
        let Some([first, second, year]) = parts(raw) else {
            if serial(raw) {
                let reason = format!(
                    "is a day as spreadsheets number them: give its column the format YYYY-MM-DD there and save again, \
                     or {HOW}"
                );
                return Err(Invalid::new("day", reason));
            }
            return parse_day("day", raw);
        };
        let (day, month) = match (self.day_first, self.month_first) {
            // it means the same either way
            _ if first == second => (first, second),
            (Some(_), None) => (first, second),
            (None, Some(_)) => (second, first),
            (None, None) => {
                let reason = format!(
                    "may be day and month or month and day, and no line of the file makes it certain: {HOW}, or add \
                     a line whose day is over 12"
                );
                return Err(Invalid::new("day", reason));
            }
            (Some(one), Some(other)) => {
                let reason = format!(
                    "day comes first on line {one} and month on line {other}: {HOW} throughout"
                );
                return Err(Invalid::new("day", reason));
            }
        };
        parse_day("day", &format!("{year:04}-{month:02}-{day:02}"))
    }
}

/// The three numbers of a day such as 26/11/2026, 26.11.2026 or 26-11-2026.
fn parts(raw: &str) -> Option<[u32; 3]> {
    let sign = raw.chars().find(|sign| !sign.is_ascii_digit())?;
    let mut parts = raw.split(sign);
    let mut part = |lengths: std::ops::RangeInclusive<usize>| {
        let part = parts.next().filter(|part| lengths.contains(&part.len()))?;
        let digits = part.bytes().all(|byte| byte.is_ascii_digit());
        digits.then(|| part.parse().ok()).flatten()
    };
    let found = [part(1..=2)?, part(1..=2)?, part(4..=4)?];
    (matches!(sign, '/' | '.' | '-') && parts.next().is_none()).then_some(found)
}

/// Whether a cell is a spreadsheet's number of a day, with or without a time: five digits, for the years 1927 to 2173.
fn serial(raw: &str) -> bool {
    let (whole, part) = raw.split_once(['.', ',']).unwrap_or((raw, ""));
    let digits = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
    whole.len() == 5 && digits(whole) && digits(part)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn order(cells: &[&str]) -> Order {
        let mut order = Order::default();
        for (line, cell) in (2..).zip(cells) {
            order.see(line, cell);
        }
        order
    }

    fn read(cells: &[&str], raw: &str) -> Result<String, String> {
        let read = order(cells).read(raw);
        read.map(|day| day.to_string())
            .map_err(|wrong| wrong.problem)
    }

    #[test]
    fn any_line_with_a_number_over_twelve_settles_the_order_of_all() {
        for sign in ["/", ".", "-"] {
            let written = |text: &str| text.replace('/', sign);
            let (may, late, american) = (
                written("5/11/2026"),
                written("26/11/2026"),
                written("11/26/2026"),
            );
            assert_eq!(read(&[&may, &late], &may).unwrap(), "2026-11-05");
            assert_eq!(read(&[&may, &late], &late).unwrap(), "2026-11-26");
            assert_eq!(read(&[&american, &may], &may).unwrap(), "2026-05-11");
            let unsure = read(&[&may, &written("06/11/2026")], &may).unwrap_err();
            assert!(unsure.contains("write days as 2026-11-26"), "{unsure}");
            let both = read(&[&late, &american], &may).unwrap_err();
            assert!(both.contains("line 2") && both.contains("line 3"), "{both}");
        }
        assert_eq!(read(&[], "05/05/2026").unwrap(), "2026-05-05");
        assert_eq!(read(&["11/26/2026"], "2026-11-05").unwrap(), "2026-11-05");
    }

    #[test]
    fn what_is_no_day_is_refused() {
        for raw in ["46352", "46352.5", "46352,25"] {
            assert!(read(&[], raw).unwrap_err().contains("YYYY-MM-DD"), "{raw}");
        }
        let day_first = ["26/11/2026"];
        for raw in [
            "31/02/2026",
            "26/11/26",
            "26/11/2026 09:30",
            "26/11-2026",
            "1/2/3/2026",
            "26/13/2026",
            "x/y/2026",
        ] {
            assert!(read(&day_first, raw).is_err(), "{raw}");
        }
    }
}
