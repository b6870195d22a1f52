//! The crew.

use std::ops::Deref;

use super::limits::{MAX_LABEL, NUMBERS, within};
use super::{Faults, Invalid, Language, PrunerId, language_tag, optional_name};

/// A pruner, before the entry is checked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PrunerDraft {
    /// The number on the crew list, 1 to 9,999; unique.
    pub number: u16,
    /// Name; may be empty where the crew goes by number.
    pub name: String,
    /// Short label for maps and narrow columns, at most 4 characters; empty means the number.
    pub label: String,
    /// Works this winter.
    pub active: bool,
    /// Shown by number only, on every screen and sheet.
    pub number_only: bool,
    /// Language of the sheets as a tag (BCP 47), also one that this version does not write; empty means the orchard's.
    pub language: String,
}

/// What is known here of a pruner's name.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Naming {
    /// All that the file has.
    #[default]
    Kept,
    /// It is left out: only numbers are shown. What the file has stays.
    Withheld,
    /// It was taken away at the pruner's wish, for good.
    Removed,
}

/// A checked pruner. Reads like its [`PrunerDraft`].
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pruner {
    /// `UUIDv7`, made when it was entered; the same on every tablet.
    pub id: PrunerId,
    draft: PrunerDraft,
    naming: Naming,
    /// Of a team: how it is shown, and how where there is little room.
    team: Option<Box<(String, String)>>,
}

impl Deref for Pruner {
    type Target = PrunerDraft;
    fn deref(&self) -> &PrunerDraft {
        &self.draft
    }
}

impl Pruner {
    /// Checks a draft.
    pub fn new(id: PrunerId, mut draft: PrunerDraft) -> Result<Self, Faults> {
        let mut faults = Faults::default();
        faults.take(within("number", draft.number, &NUMBERS));
        draft.name = faults.take(optional_name("name", &draft.name));
        draft.label = faults.take(optional_name("label", &draft.label));
        draft.language = faults.take(language_tag("language", &draft.language));
        if draft.label.chars().count() > MAX_LABEL {
            let problem = format!("at most {MAX_LABEL} characters fit");
            faults.add(Invalid::new("label", problem));
        }
        faults.or(Self {
            id,
            draft,
            naming: Naming::Kept,
            team: None,
        })
    }

    /// Several who share trees and are judged as one, under the number of the first. In no file.
    pub(crate) fn team(id: PrunerId, members: &[&Self]) -> Option<Self> {
        let first = *members.first()?;
        let shown: Vec<String> = members.iter().map(|member| member.shown()).collect();
        let short: Vec<String> = members.iter().map(|member| member.short()).collect();
        Some(Self {
            id,
            draft: PrunerDraft {
                active: false,
                ..first.draft.clone()
            },
            naming: first.naming,
            team: Some(Box::new((shown.join(" + "), short.join("+")))),
        })
    }

    /// Whether several stand behind it, who share trees.
    pub fn is_team(&self) -> bool {
        self.team.is_some()
    }

    /// The pruner with another draft, checked. What is known of the name stays so.
    pub fn changed(&self, draft: PrunerDraft) -> Result<Self, Faults> {
        let new = Self::new(self.id, draft)?;
        let naming = self.naming;
        Ok(Self { naming, ..new })
    }

    /// The pruner without name and label, which are left out or gone for good.
    #[must_use]
    pub fn nameless(mut self, naming: Naming) -> Self {
        self.draft.name.clear();
        self.draft.label.clear();
        self.naming = naming;
        self
    }

    /// What is known here of the name.
    pub fn naming(&self) -> Naming {
        self.naming
    }

    /// The pruner's data, to be changed and checked again.
    pub fn draft(&self) -> &PrunerDraft {
        &self.draft
    }

    /// Language of the sheets; none where it is the orchard's. English stands in for one that sheets are not written in.
    pub fn language(&self) -> Option<Language> {
        let tag = Some(self.language.as_str()).filter(|tag| !tag.is_empty());
        tag.map(|tag| Language::of_tag(tag).unwrap_or_default())
    }

    /// How the pruner is shown: `Nr 7 Aroha`, or `Nr 7` where no name is known or wanted.
    pub fn shown(&self) -> String {
        if let Some(team) = &self.team {
            team.0.clone()
        } else if self.number_only || self.name.is_empty() {
            format!("Nr {}", self.number)
        } else {
            format!("Nr {} {}", self.number, self.name)
        }
    }

    /// How the pruner is shown where there is little room, at most 4 characters.
    pub fn short(&self) -> String {
        if let Some(team) = &self.team {
            team.1.clone()
        } else if self.number_only || self.label.is_empty() {
            self.number.to_string()
        } else {
            self.label.clone()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drafts::pruner_draft;

    fn draft() -> PrunerDraft {
        PrunerDraft {
            label: "Ar".into(),
            ..pruner_draft(7, "Aroha")
        }
    }

    #[test]
    fn a_pruner_can_go_by_number() {
        let id = PrunerId(uuid::Uuid::nil());
        let named = Pruner::new(id, draft()).unwrap();
        assert_eq!(
            (named.shown().as_str(), named.short().as_str()),
            ("Nr 7 Aroha", "Ar")
        );
        let hidden = Pruner::new(
            id,
            PrunerDraft {
                number_only: true,
                ..draft()
            },
        )
        .unwrap();
        assert_eq!(
            (hidden.shown().as_str(), hidden.short().as_str()),
            ("Nr 7", "7")
        );
    }

    #[test]
    fn wrong_entries_are_refused() {
        let id = PrunerId(uuid::Uuid::nil());
        assert_eq!(
            Pruner::new(
                id,
                PrunerDraft {
                    number: 0,
                    ..draft()
                }
            )
            .unwrap_err()[0]
                .field,
            "number"
        );
        assert_eq!(
            Pruner::new(
                id,
                PrunerDraft {
                    label: "Aroha".into(),
                    ..draft()
                }
            )
            .unwrap_err()[0]
                .field,
            "label"
        );
        assert_eq!(
            Pruner::new(
                id,
                PrunerDraft {
                    name: "\n\u{0}a".into(),
                    ..draft()
                }
            )
            .unwrap_err()[0]
                .field,
            "name"
        );
    }
}
