//! The buttons of a place: all of them, or on a small screen those that are needed most.

use super::button::{Button, Need, button_bar};
use crate::tui::hit::MIN_WIDTH;
use crate::tui::keymap::{BudKeys, key_name};
use crate::tui::{Action, Context, Pen, text};
use ratatui::layout::Rect;

/// The word on the button that leads to what found no room.
const MENU: &str = "Menu";

/// Draws the buttons of what is read: with a menu only where not all of them find room.
pub fn page_actions(pen: &mut Pen, area: Rect, buttons: &[Button]) {
    let each = usize::from(area.width) / buttons.len().max(1);
    if buttons
        .iter()
        .all(|one| text::width(one.label()) + 2 <= each)
    {
        button_bar(pen, area, buttons);
    } else {
        actions(pen, area, buttons);
    }
}

/// Draws the buttons of a place. On a small screen those that are needed most, and one that leads to the others.
pub fn actions(pen: &mut Pen, area: Rect, buttons: &[Button]) {
    if !pen.small {
        let usual = buttons.iter().filter(|one| one.need() != Need::Spare);
        let usual: Vec<Button> = usual.cloned().collect();
        return button_bar(pen, area, &usual);
    }
    let shown = shown(buttons, area.width);
    if let Some(folded) = pen.folded() {
        let left_out = |one: &&Button| !shown.iter().any(|kept| kept.action() == one.action());
        for one in buttons
            .iter()
            .filter(left_out)
            .filter(|one| !moves(one.action()))
        {
            folded.fold(one.fold());
        }
    }
    let mut bar: Vec<Button> = shown.into_iter().cloned().collect();
    bar.push(menu());
    button_bar(pen, area, &bar);
}

fn menu() -> Button<'static> {
    let menu = Button::new(MENU, Action::Menu);
    match key_name(&[Context::Small], Action::Menu, &BudKeys::QWERTY) {
        Some(key) => menu.key(key),
        None => menu,
    }
}

/// Whether it moves through a list, which is done where the list is in sight.
fn moves(action: Action) -> bool {
    matches!(
        action,
        Action::Up | Action::Down | Action::PageUp | Action::PageDown
    )
}

/// As many as can be read beside the menu, and touched.
fn shown<'b, 'a>(buttons: &'b [Button<'a>], columns: u16) -> Vec<&'b Button<'a>> {
    let most = usize::from(columns / MIN_WIDTH).max(2) - 1;
    let readable = |shown: &Vec<&Button>| {
        let room = usize::from(columns) / (shown.len() + 1);
        shown.iter().all(|one| text::width(one.label()) + 2 <= room)
    };
    let mut fewer = (1..=most).rev().map(|many| needed(buttons, many));
    fewer.find(readable).unwrap_or_default()
}

/// So many buttons in their order, without those that are needed least.
fn needed<'b, 'a>(buttons: &'b [Button<'a>], many: usize) -> Vec<&'b Button<'a>> {
    let usual = buttons.iter().filter(|one| one.need() != Need::Spare);
    let mut kept: Vec<&Button> = usual.collect();
    while kept.len() > many {
        let least = (0..kept.len()).max_by_key(|at| (kept[*at].need(), *at));
        least.map(|at| kept.remove(at));
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tui::hit::HitMap;
    use crate::tui::room::Folded;
    use crate::tui::{Screen, Theme};
    use ratatui::buffer::Buffer;

    /// What is on the bar, and what is folded.
    fn drawn(columns: u16, buttons: &[Button]) -> (Vec<Action>, Folded) {
        let mut buf = Buffer::empty(Rect::new(0, 0, columns, 30));
        let mut hits = HitMap::new();
        let mut pen = Pen::new(&mut buf, Theme::Plain, &mut hits).gathering();
        actions(&mut pen, Rect::new(0, 27, columns, 3), buttons);
        let folded = pen.gathered();
        assert_eq!(hits.too_small(), []);
        (hits.targets().map(|(_, action)| action).collect(), folded)
    }

    #[test]
    fn what_is_needed_least_is_folded_and_nothing_is_lost() {
        let buttons = [
            Button::new("Open", Action::Open),
            Button::new("Seldom", Action::Review).rare(),
            Button::new("Up", Action::Up),
            Button::new("Down", Action::Down),
            Button::new("Edit", Action::Edit),
            Button::new("New", Action::New),
            Button::new("Remove", Action::Remove),
            Button::new("Papers", Action::Papers).spare(),
            Button::new("Today", Action::Go(Screen::Today))
                .off(true)
                .spare(),
        ];
        let (wide, folded) = drawn(80, &buttons);
        assert_eq!(
            (wide.len(), folded),
            (7, Folded::default()),
            "spare ones are not there"
        );
        let (small, folded) = drawn(60, &buttons);
        let kept = [
            Action::Open,
            Action::Up,
            Action::Down,
            Action::Edit,
            Action::New,
            Action::Remove,
            Action::Menu,
        ];
        assert_eq!(small, kept);
        let folded: Vec<(Action, bool)> = folded
            .buttons
            .iter()
            .map(|one| (one.action, one.off))
            .collect();
        let today = Action::Go(Screen::Today);
        assert_eq!(
            folded,
            [
                (Action::Review, false),
                (Action::Papers, false),
                (today, true)
            ]
        );
        let (smaller, folded) = drawn(40, &buttons);
        assert_eq!(smaller.last(), Some(&Action::Menu));
        assert_eq!(smaller.len() + folded.buttons.len(), 9 + 1);
    }

    #[test]
    fn a_label_is_read_in_full() {
        let buttons = [
            Button::new("Log the work", Action::LogWork),
            Button::new("Draw some trees", Action::DrawTrees),
            Button::new("Count", Action::Open),
            Button::new("Again", Action::CountAgain),
        ];
        let (shown, folded) = drawn(60, &buttons);
        assert_eq!(shown, [Action::LogWork, Action::DrawTrees, Action::Menu]);
        assert_eq!(folded.buttons.len(), 2);
    }
}
