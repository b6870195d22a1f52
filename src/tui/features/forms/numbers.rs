//! Numbers with decimals, as people type them into forms.

use crate::orchard::Invalid;
use crate::tui::Form;

/// A number with a decimal point or comma.
pub fn decimal(form: &Form, key: &'static str) -> Result<f64, Invalid> {
    number(key, form.value(key))
}

/// A number with a decimal point or comma, out of a text.
pub fn number(key: &'static str, text: &str) -> Result<f64, Invalid> {
    let text = text.trim();
    if text.is_empty() {
        return Err(Invalid::new(key, "fill in a number"));
    }
    text.replace(',', ".")
        .parse::<f64>()
        .ok()
        .filter(|value| value.is_finite())
        .ok_or_else(|| Invalid::new(key, format!("{text:?} is not a number")))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_read_with_point_and_comma() {
        assert_eq!(number("a", " 1,5 "), Ok(1.5));
        assert_eq!(number("a", "1.5"), Ok(1.5));
        for wrong in ["", "x", "1,5,2", "inf", "NaN", "-"] {
            assert!(number("a", wrong).is_err(), "{wrong}");
        }
    }
}
