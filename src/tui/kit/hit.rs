//! Where a touch lands: what was drawn, and what it asks for.

use super::Action;
use ratatui::layout::{Position, Rect};

/// The least height of a button, in lines: a gloved finger finds it.
pub const MIN_HEIGHT: u16 = 3;
/// The least width of a button, in columns.
pub const MIN_WIDTH: u16 = 8;

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Kind {
    Button,
    Row,
}

/// The touchable places of one drawn frame.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct HitMap(Vec<(Rect, Action, Kind)>);

impl HitMap {
    /// Nothing to touch.
    pub fn new() -> Self {
        Self::default()
    }

    /// Records a button. One without any area is not recorded.
    pub fn record(&mut self, area: Rect, action: Action) {
        self.push(area, action, Kind::Button);
    }

    /// Records a line of a list or form, which may be lower than a button: the keys and the
    /// buttons for up, down and open reach it too.
    pub fn row(&mut self, area: Rect, action: Action) {
        self.push(area, action, Kind::Row);
    }

    fn push(&mut self, area: Rect, action: Action, kind: Kind) {
        if !area.is_empty() {
            self.0.push((area, action, kind));
        }
    }

    /// What a touch at column `x` and line `y` asks for. What was drawn last lies on top.
    pub fn at(&self, x: u16, y: u16) -> Option<Action> {
        let touched = self.0.iter().rev();
        touched
            .map(|(area, action, _)| (area, *action))
            .find(|(area, _)| area.contains(Position::new(x, y)))
            .map(|(_, action)| action)
    }

    /// Takes in the places of what is seen in a room from one of its lines on.
    pub fn lay(&mut self, places: &Self, room: Rect, top: u16) {
        for (area, action, kind) in &places.0 {
            let (from, to) = (area.top().max(top), area.bottom().min(top + room.height));
            let (left, right) = (area.left().min(room.width), area.right().min(room.width));
            let seen = Rect::new(
                room.x + left,
                room.y + from.saturating_sub(top),
                right - left,
                to.saturating_sub(from),
            );
            self.push(seen, *action, *kind);
        }
    }

    /// Forgets everything, as when a window covers the screen.
    pub fn clear(&mut self) {
        self.0.clear();
    }

    /// All buttons, first drawn first.
    pub fn targets(&self) -> impl Iterator<Item = (Rect, Action)> + '_ {
        self.of(Kind::Button)
    }

    /// All list lines, first drawn first.
    pub fn rows(&self) -> impl Iterator<Item = (Rect, Action)> + '_ {
        self.of(Kind::Row)
    }

    fn of(&self, kind: Kind) -> impl Iterator<Item = (Rect, Action)> + '_ {
        let some = self.0.iter().filter(move |(_, _, k)| *k == kind);
        some.map(|(area, action, _)| (*area, *action))
    }

    /// The buttons that are too small for a gloved finger; a test keeps this empty on all screens.
    pub fn too_small(&self) -> Vec<(Rect, Action)> {
        self.targets()
            .filter(|(area, _)| area.height < MIN_HEIGHT || area.width < MIN_WIDTH)
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_last_drawn_is_on_top() {
        let mut hits = HitMap::new();
        hits.record(Rect::new(0, 0, 20, 5), Action::Help);
        hits.record(Rect::new(5, 1, 8, 3), Action::Quit);
        assert_eq!(hits.at(0, 0), Some(Action::Help));
        assert_eq!(hits.at(5, 1), Some(Action::Quit));
        assert_eq!(hits.at(12, 3), Some(Action::Quit));
        assert_eq!(hits.at(13, 3), Some(Action::Help));
        assert_eq!(hits.at(20, 0), None);
    }

    #[test]
    fn rows_may_be_low_and_buttons_may_not() {
        let mut hits = HitMap::new();
        hits.row(Rect::new(0, 0, 20, 1), Action::Select(0));
        hits.record(Rect::new(0, 1, 8, 3), Action::Open);
        hits.record(Rect::new(0, 1, 0, 3), Action::Quit);
        assert_eq!(hits.too_small(), []);
        assert_eq!(hits.rows().count(), 1);
        assert_eq!(hits.targets().count(), 1, "no area, no target");
        hits.record(Rect::new(0, 4, 7, 3), Action::Back);
        assert_eq!(hits.too_small().len(), 1);
    }
}
