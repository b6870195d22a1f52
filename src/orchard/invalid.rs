//! Why a value was refused.

use std::fmt;
use std::ops::Deref;

use thiserror::Error;

/// A value that the orchard cannot have: which field, and what is wrong with it.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("{field}: {problem}")]
pub struct Invalid {
    /// The field, in the words that forms and file headings use (such as `row_spacing_m`).
    pub field: &'static str,
    /// What is wrong, and what would be accepted.
    pub problem: String,
    /// Fields that this one was measured against.
    against: &'static [&'static str],
}

impl Invalid {
    /// A refusal of `field` for the reason `problem`.
    pub fn new(field: &'static str, problem: impl Into<String>) -> Self {
        Self {
            field,
            problem: problem.into(),
            against: &[],
        }
    }

    /// The same of another field.
    #[must_use]
    pub fn of(self, field: &'static str) -> Self {
        Self { field, ..self }
    }

    /// The same, measured against other fields: while one of them is wrong itself, this refusal says nothing.
    #[must_use]
    pub fn against(self, others: &'static [&'static str]) -> Self {
        Self {
            against: others,
            ..self
        }
    }

    /// Whether this refusal says something beside what is known to be wrong already.
    pub fn is_news(&self, is_wrong: impl Fn(&str) -> bool) -> bool {
        !is_wrong(self.field) && !self.against.iter().any(|other| is_wrong(other))
    }
}

/// Everything that is wrong with a value, in the order it was found: the first fault of each field.
///
/// Whoever reads fields begins with [`Faults::default`], [takes](Faults::take) each of them, and ends with
/// [`Faults::made`]. As an error it holds one fault or more.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Faults(Vec<Invalid>);

impl Faults {
    /// Notes a fault, unless its field or the one that it is measured against has one already.
    pub fn add(&mut self, fault: Invalid) {
        if fault.is_news(|field| self.iter().any(|known| known.field == field)) {
            self.0.push(fault);
        }
    }

    /// The value read. Where it could not be, that is noted, and nothing comes of the whole: the default only lets the
    /// other fields be read and checked.
    pub fn take<T: Default>(&mut self, read: Result<T, impl Into<Self>>) -> T {
        read.unwrap_or_else(|faults| {
            faults
                .into()
                .0
                .into_iter()
                .for_each(|fault| self.add(fault));
            T::default()
        })
    }

    /// The same faults, each told in another way.
    #[must_use]
    pub fn told(self, how: impl FnMut(Invalid) -> Invalid) -> Self {
        Self(self.0.into_iter().map(how).collect())
    }

    /// What was made of all fields, if nothing was wrong with any of them.
    ///
    /// # Errors
    /// All that is wrong.
    pub fn made<T>(mut self, made: Result<T, impl Into<Self>>) -> Result<T, Self> {
        match self.take(made.map(Some)) {
            Some(made) if self.0.is_empty() => Ok(made),
            _ => Err(self),
        }
    }

    /// The value, if nothing is wrong with it.
    ///
    /// # Errors
    /// All that is wrong.
    pub fn or<T>(self, value: T) -> Result<T, Self> {
        self.made(Ok::<T, Self>(value))
    }
}

impl Deref for Faults {
    type Target = [Invalid];
    fn deref(&self) -> &[Invalid] {
        &self.0
    }
}

impl From<Invalid> for Faults {
    fn from(fault: Invalid) -> Self {
        Self(vec![fault])
    }
}

impl fmt::Display for Faults {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (place, fault) in self.iter().enumerate() {
            let parted = if place == 0 { "" } else { "; " };
            write!(f, "{parted}{fault}")?;
        }
        Ok(())
    }
}

impl std::error::Error for Faults {}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_field_has_its_first_fault() {
        let wrong = |field, problem| Err::<u16, _>(Invalid::new(field, problem));
        let mut faults = Faults::default();
        assert_eq!(faults.take(wrong("first", "is empty")), 0);
        assert_eq!(faults.take(Ok::<_, Invalid>(7)), 7);
        let mut made = Faults::from(Invalid::new("first", "0 is outside 1 to 9"));
        made.add(Invalid::new("last", "is before 0").against(&["first"]));
        made.add(Invalid::new("hours", "is no time"));
        let told = faults.made(Err::<u16, _>(made)).unwrap_err();
        assert_eq!(told.to_string(), "first: is empty; hours: is no time");
        // a wrong field spoils what was made of its default
        let mut faults = Faults::default();
        faults.take(wrong("day", "is no day"));
        assert!(faults.or(3).is_err());
        assert_eq!(Faults::default().or(3), Ok(3));
    }

    #[test]
    fn what_is_measured_against_a_good_field_is_told() {
        let mut faults = Faults::default();
        faults.add(Invalid::new("last", "is before 12").against(&["first"]));
        assert_eq!(faults.len(), 1);
    }
}
