//! Those who share trees: where it cannot be told who of them left what, the work is judged as theirs together.

use std::collections::BTreeSet;

use uuid::Uuid;

use super::PrunerId;

/// Teams are named by their members: the same on every tablet, and kept in no file.
const NAMESPACE: Uuid = Uuid::from_u128(0x6f1d_0c52_93a4_5b7e_8d20_41e7_5a9c_b306);

/// Who did something to a tree: a pruner, or several together.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Doer {
    /// One pruner.
    One(PrunerId),
    /// Several, who are judged as one.
    Team {
        /// The team's identity, which no table holds.
        team: PrunerId,
        /// One of its members: named where one person is needed.
        first: PrunerId,
    },
}

impl Doer {
    /// Of one pruner or more.
    pub fn of(people: &BTreeSet<PrunerId>) -> Self {
        let first = people.first().copied().unwrap_or(PrunerId(Uuid::nil()));
        if people.len() < 2 {
            return Self::One(first);
        }
        let bytes: Vec<u8> = people.iter().flat_map(|id| *id.0.as_bytes()).collect();
        let team = PrunerId(Uuid::new_v5(&NAMESPACE, &bytes));
        Self::Team { team, first }
    }

    /// The same, with another of the members to be named where one person is needed.
    #[must_use]
    pub(super) fn naming(self, members: &BTreeSet<PrunerId>, named: Option<PrunerId>) -> Self {
        match (self, named) {
            (Self::Team { team, .. }, Some(first)) if members.contains(&first) => {
                Self::Team { team, first }
            }
            _ => self,
        }
    }

    /// Whose figures it is in: the pruner, or the team.
    pub fn subject(self) -> PrunerId {
        match self {
            Self::One(pruner) => pruner,
            Self::Team { team, .. } => team,
        }
    }

    /// One person who was there.
    pub fn person(self) -> PrunerId {
        match self {
            Self::One(pruner) => pruner,
            Self::Team { first, .. } => first,
        }
    }
}
