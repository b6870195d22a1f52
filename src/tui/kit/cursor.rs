//! Where one stands in a list or a text that may be longer than its room.

use super::Action;

/// The chosen line of a list, and the first line in sight. What is in sight stays where it is until the chosen line
/// leaves it, so that a list moves by the line, and a touched line stays where it was touched. In a text, which has no
/// chosen line, it is the line that the text is scrolled to.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Cursor {
    at: usize,
    first: usize,
}

impl Cursor {
    /// The chosen line, as far as there are so many.
    pub fn at(self, lines: usize) -> usize {
        self.at.min(lines.saturating_sub(1))
    }

    /// Chooses a line.
    pub fn put(&mut self, line: usize) {
        self.at = line;
    }

    /// The first line in sight in a room of so many lines: the chosen one is in it, and no line of it is empty while
    /// there are lines above.
    pub fn first(self, lines: usize, room: usize) -> usize {
        let (at, room) = (self.at(lines), room.max(1));
        let first = self.first.min(lines.saturating_sub(room));
        first.clamp((at + 1).saturating_sub(room), at)
    }

    /// Moves through a list; other actions leave it where it is. By a page, the list moves as far as the chosen line.
    pub fn act(&mut self, lines: usize, room: usize, action: Action) {
        // the room may have changed since
        let first = self.first(lines, room);
        let at = self.at(lines);
        self.at = moved(at, lines, room, action);
        self.first = match action {
            Action::PageUp | Action::PageDown => (first + self.at).saturating_sub(at),
            _ => first,
        };
        self.first = self.first(lines, room);
    }

    /// The first line in sight of a text.
    pub fn top(self, lines: usize, room: usize) -> usize {
        self.at.min(lines.saturating_sub(room))
    }

    /// Scrolls a text.
    pub fn scroll(&mut self, lines: usize, room: usize, action: Action) {
        let stops = lines.saturating_sub(room) + 1;
        if !matches!(action, Action::Select(_)) {
            self.at = moved(self.top(lines, room), stops, room, action);
        }
    }
}

/// Where the chosen line of a list goes.
fn moved(at: usize, lines: usize, page: usize, action: Action) -> usize {
    let last = lines.saturating_sub(1);
    let page = page.max(1);
    match action {
        Action::Up => at.saturating_sub(1),
        Action::Down => at + 1,
        Action::PageUp => at.saturating_sub(page),
        Action::PageDown => at + page,
        Action::First => 0,
        Action::Last => last,
        Action::Select(line) => line,
        _ => at,
    }
    .min(last)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_list_moves_by_the_line_and_only_when_the_cursor_leaves_it() {
        let mut cursor = Cursor::default();
        let mut seen = Vec::new();
        for _ in 0..60 {
            seen.push((cursor.at(60), cursor.first(60, 10)));
            cursor.act(60, 10, Action::Down);
        }
        for (at, first) in (0..60usize).map(|at| (at, at.saturating_sub(9))) {
            assert_eq!(seen[at], (at, first));
        }
        // up again, it stays until its first line is passed
        for up in 1..60 {
            cursor.act(60, 10, Action::Up);
            assert_eq!(cursor.at(60), 59 - up);
            assert_eq!(cursor.first(60, 10), 50.min(59 - up));
        }
    }

    #[test]
    fn a_touched_line_stays_where_it_is_and_pages_move_the_list() {
        let mut cursor = Cursor::default();
        cursor.act(60, 10, Action::PageDown);
        assert_eq!((cursor.at(60), cursor.first(60, 10)), (10, 10));
        cursor.act(60, 10, Action::Select(17));
        assert_eq!((cursor.at(60), cursor.first(60, 10)), (17, 10));
        cursor.act(60, 10, Action::Last);
        assert_eq!((cursor.at(60), cursor.first(60, 10)), (59, 50));
        cursor.act(60, 10, Action::PageUp);
        assert_eq!((cursor.at(60), cursor.first(60, 10)), (49, 40));
        cursor.act(60, 10, Action::First);
        assert_eq!((cursor.at(60), cursor.first(60, 10)), (0, 0));
    }

    #[test]
    fn the_chosen_line_is_in_sight_in_any_room_of_any_list() {
        for lines in 0..12 {
            for room in 0..14 {
                let mut cursor = Cursor::default();
                for action in [
                    Action::Last,
                    Action::PageUp,
                    Action::PageUp,
                    Action::PageDown,
                    Action::Select(7),
                    Action::Up,
                    Action::Down,
                    Action::Select(99),
                ] {
                    cursor.act(lines, room, action);
                    for shown in [room, room + 3, room.saturating_sub(4)] {
                        let (at, first) = (cursor.at(lines), cursor.first(lines, shown));
                        assert!((first..first + shown.max(1)).contains(&at), "{cursor:?}");
                        assert!(first == 0 || first + shown.max(1) <= lines, "{cursor:?}");
                    }
                }
            }
        }
    }

    #[test]
    fn a_text_ends_with_its_last_line() {
        let mut cursor = Cursor::default();
        for _ in 0..3 {
            cursor.scroll(25, 10, Action::PageDown);
        }
        assert_eq!(cursor.top(25, 10), 15);
        cursor.scroll(25, 10, Action::Select(3));
        assert_eq!(cursor.top(25, 10), 15, "no line of it is chosen");
        cursor.scroll(25, 20, Action::Up);
        assert_eq!(cursor.top(25, 20), 4, "the room has grown since");
    }
}
