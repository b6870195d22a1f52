//! When a pruner is there.

use chrono::NaiveDate;

use super::{Invalid, PrunerId, WinterId};

/// When a pruner comes and goes in a winter. Without one, a pruner who works this winter is there all of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stint {
    /// The winter that it is about.
    pub winter: WinterId,
    /// Who.
    pub pruner: PrunerId,
    /// The first day; `None`: from the start.
    pub joins: Option<NaiveDate>,
    /// The last day; `None`: to the end.
    pub leaves: Option<NaiveDate>,
}

impl Stint {
    /// Checks it: at least one of the days is named, and the pruner does not leave before joining.
    pub fn check(self) -> Result<Self, Invalid> {
        match (self.joins, self.leaves) {
            (None, None) => {
                Err(Invalid::new("joins", "name the first or the last day").against(&["leaves"]))
            }
            (Some(joins), Some(leaves)) if leaves < joins => Err(Invalid::new(
                "leaves",
                format!("{leaves} is before the first day, {joins}"),
            )
            .against(&["joins"])),
            _ => Ok(self),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use uuid::Uuid;

    #[test]
    fn nobody_leaves_before_coming() {
        let day = |d| NaiveDate::from_ymd_opt(2027, 1, d);
        let stint = |joins, leaves| {
            let (winter, pruner) = (WinterId(Uuid::nil()), PrunerId(Uuid::nil()));
            let stint = Stint {
                winter,
                pruner,
                joins,
                leaves,
            };
            stint.check().map_err(|wrong| wrong.field)
        };
        assert!(stint(day(12), None).is_ok() && stint(None, day(12)).is_ok());
        assert!(stint(day(12), day(12)).is_ok());
        assert_eq!(stint(None, None).err(), Some("joins"));
        assert_eq!(stint(day(12), day(11)).err(), Some("leaves"));
    }
}
