//! Rows as people write them, and hours shared out over them.

use crate::orchard::{Block, Invalid};

/// The rows named, such as `7`, `1-3` or `1-3, 5`, each with its places.
pub(super) fn rows(text: &str, block: &Block) -> Result<Vec<(u16, u16)>, Invalid> {
    let wrong = |problem: String| Invalid::new("row", problem);
    let mut rows: Vec<(u16, u16)> = Vec::new();
    for part in text.split(',').map(str::trim) {
        let (first, last) = part.split_once('-').unwrap_or((part, part));
        let number = |text: &str| text.trim().parse::<u16>();
        let (Ok(first), Ok(last)) = (number(first), number(last)) else {
            let problem = if text.trim().is_empty() {
                "fill in a row, or several such as 1-3, 5".to_owned()
            } else {
                format!("{part:?} is no row; rows are named like 7 or 1-3, 5")
            };
            return Err(wrong(problem));
        };
        if last < first {
            return Err(wrong(format!("{part:?} ends before it begins")));
        }
        for row in first..=last {
            let known = block.rows.row(row).ok_or_else(|| {
                wrong(format!(
                    "block {} has rows {}",
                    block.name,
                    block.rows.rows_text()
                ))
            })?;
            if rows.iter().any(|(other, _)| *other == row) {
                return Err(wrong(format!("row {row} is named twice")));
            }
            rows.push((row, known.places));
        }
    }
    Ok(rows)
}

/// The minutes shared out by places; the sum stays what it is, and each row that gets any gets a minute at least.
pub(super) fn shared(minutes: Option<u16>, rows: &[(u16, u16)]) -> Vec<Option<u16>> {
    let all: u64 = rows.iter().map(|(_, places)| u64::from(*places)).sum();
    let Some(minutes) = minutes.map(u64::from) else {
        return vec![None; rows.len()];
    };
    let (mut before, mut seen) = (0, 0);
    let share = |(_, places): &(u16, u16)| {
        seen += u64::from(*places);
        let upto = (minutes * seen + all / 2) / all.max(1);
        let own = upto - before;
        before = upto;
        u16::try_from(own).ok().filter(|own| *own > 0)
    };
    rows.iter().map(share).collect()
}
