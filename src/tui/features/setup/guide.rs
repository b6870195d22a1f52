//! The first steps: shown until the first tree is counted.

use super::Section;
use crate::tui::app::Model;
use crate::tui::{Action, Screen};

/// One step.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Step {
    /// What to do.
    pub words: &'static str,
    /// It is done.
    pub done: bool,
    /// Where a touch on it leads.
    pub leads: Action,
}

/// The steps from an empty file to the first counted tree.
pub(super) fn steps(model: &Model) -> [Step; 6] {
    let season = model.season.as_ref();
    let step = |words, leads, done| Step { words, done, leads };
    let section = |of: Section| Action::Section(of.place());
    [
        step(
            "a winter: Winters, New (n)",
            section(Section::Winters),
            !model.house.winters.is_empty(),
        ),
        step(
            "the blocks: Blocks, New (n)",
            section(Section::Blocks),
            !model.house.blocks.is_empty(),
        ),
        step(
            "the crew: Crew, New (n)",
            section(Section::Crew),
            !model.house.pruners.is_empty(),
        ),
        step(
            "log work: Today, Log work (w)",
            Action::Go(Screen::Today),
            season.is_some_and(|season| !season.work.is_empty()),
        ),
        step(
            "draw trees: Today, Draw (d)",
            Action::Go(Screen::Today),
            season.is_some_and(|season| !season.draws.is_empty()),
        ),
        step(
            "count them: Count (F3)",
            Action::Go(Screen::Count),
            season.is_some_and(|season| !season.counts().is_empty()),
        ),
    ]
}

/// The steps as a page, for Help.
pub fn page(model: &Model) -> Vec<String> {
    let steps = steps(model);
    let open = steps.iter().position(|step| !step.done);
    let mut lines: Vec<String> = (1..)
        .zip(&steps)
        .map(|(number, step)| {
            let mark = if step.done { "[x]" } else { "[ ]" };
            format!("{mark} {number} {}", step.words)
        })
        .collect();
    lines.push(String::new());
    lines.push(match open {
        Some(at) => format!(
            "Next is step {}. Winters, Blocks and Crew are on Set-up (F8).",
            at + 1
        ),
        None => "All are done. Crew (F4) and Blocks (F5) tell how it stands.".to_owned(),
    });
    lines
}

/// Whether the steps are shown: in the first winter, in the sections that they begin with.
pub(super) fn is_shown(model: &Model) -> bool {
    let first = matches!(
        model.setup.section(),
        Section::Winters | Section::Blocks | Section::Crew
    );
    first && model.house.winters.len() <= 1 && next(model).is_some()
}

/// The place of the first step that is not done.
pub(super) fn next(model: &Model) -> Option<usize> {
    steps(model).iter().position(|step| !step.done)
}

/// What comes after something was set up, to go on with; empty after the first days.
pub(in crate::tui) fn go_on(model: &Model) -> &'static str {
    if model.house.winters.len() > 1 {
        return "";
    }
    match next(model) {
        Some(0) => "; next a winter: Winters, New (n)",
        Some(1) => "; next the blocks: Blocks (→), New (n)",
        Some(2) => "; next the crew: Crew (→), New (n) for each",
        Some(3) => "; next, when all are in: Today (F2), Log work (w)",
        _ => "",
    }
}
