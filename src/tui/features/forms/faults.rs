//! Reading every field of a form, so that the first wrong one is found, wherever it stands.

use crate::orchard::Invalid;
use crate::tui::Form;

/// What is wrong with the fields read so far.
///
/// A field that cannot be read stands in with a value that is known to be good, so that the checks
/// of the whole still find what is wrong with the others.
#[derive(Debug, Default)]
pub struct Faults(Vec<Invalid>);

impl Faults {
    /// The value read, or the stand-in where it could not be.
    pub fn take<T>(&mut self, read: Result<T, Invalid>, stand_in: T) -> T {
        read.unwrap_or_else(|fault| {
            self.0.push(fault);
            stand_in
        })
    }

    /// What was made of all fields, or the fault that stands highest in the form.
    pub fn first<T>(mut self, form: &Form, made: Result<T, Invalid>) -> Result<T, Invalid> {
        let made = match made {
            Ok(made) if self.0.is_empty() => return Ok(made),
            Ok(_) => None,
            Err(fault) => Some(fault),
        };
        self.0.extend(made);
        let place = |fault: &Invalid| form.fields.iter().position(|f| f.key == fault.field);
        // a fault of no field comes last
        self.0
            .sort_by_key(|fault| place(fault).unwrap_or(usize::MAX));
        Err(self.0.swap_remove(0))
    }
}

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
    use crate::tui::Field;

    #[test]
    fn the_highest_fault_is_told() {
        let form = Form::new("", vec![Field::text("a", "A"), Field::text("b", "B")]);
        let fault = |field| Invalid::new(field, "wrong");
        let mut faults = Faults::default();
        assert_eq!(faults.take(Err(fault("b")), 7), 7);
        assert_eq!(faults.take(Ok(1), 7), 1);
        let told = faults.first::<()>(&form, Err(fault("a")));
        assert_eq!(told.unwrap_err().field, "a");

        let mut faults = Faults::default();
        faults.take(Err(fault("b")), ());
        let told = faults.first::<()>(&form, Err(fault("elsewhere")));
        assert_eq!(told.unwrap_err().field, "b");
        assert_eq!(Faults::default().first(&form, Ok(3)), Ok(3));
    }

    #[test]
    fn numbers_are_read_with_point_and_comma() {
        assert_eq!(number("a", " 1,5 "), Ok(1.5));
        assert_eq!(number("a", "1.5"), Ok(1.5));
        for wrong in ["", "x", "1,5,2", "inf", "NaN", "-"] {
            assert!(number("a", wrong).is_err(), "{wrong}");
        }
    }
}
