//! A key that was pressed, free of the library that reads the terminal.

use crossterm::event::{KeyCode, KeyEvent, KeyEventKind, KeyModifiers};

/// One press of a key.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Key {
    /// A character as typed, upper case where shift was held.
    Char(char),
    /// The Enter key.
    Enter,
    /// The Escape key.
    Esc,
    /// Rubs out the character before the cursor.
    Backspace,
    /// Rubs out the character under the cursor.
    Delete,
    /// The tabulator.
    Tab,
    /// The tabulator with shift.
    BackTab,
    /// Arrow up.
    Up,
    /// Arrow down.
    Down,
    /// Arrow left.
    Left,
    /// Arrow right.
    Right,
    /// To the start.
    Home,
    /// To the end.
    End,
    /// A page up.
    PageUp,
    /// A page down.
    PageDown,
    /// A function key by its number.
    F(u8),
    /// A letter, in lower case, with control held.
    Ctrl(char),
}

impl Key {
    /// The key of a terminal's event. Only presses count: releases, repeats that the terminal
    /// reports as such, and keys the program has no use for are `None`.
    pub fn from_crossterm(event: KeyEvent) -> Option<Self> {
        if event.kind != KeyEventKind::Press {
            return None;
        }
        let held = |m| event.modifiers.contains(m);
        Some(match event.code {
            KeyCode::Char(c) => {
                return Self::from_char(c, held(KeyModifiers::CONTROL), held(KeyModifiers::ALT));
            }
            KeyCode::Enter => Self::Enter,
            KeyCode::Esc => Self::Esc,
            KeyCode::Backspace => Self::Backspace,
            KeyCode::Delete => Self::Delete,
            KeyCode::BackTab => Self::BackTab,
            KeyCode::Tab if held(KeyModifiers::SHIFT) => Self::BackTab,
            KeyCode::Tab => Self::Tab,
            KeyCode::Up => Self::Up,
            KeyCode::Down => Self::Down,
            KeyCode::Left => Self::Left,
            KeyCode::Right => Self::Right,
            KeyCode::Home => Self::Home,
            KeyCode::End => Self::End,
            KeyCode::PageUp => Self::PageUp,
            KeyCode::PageDown => Self::PageDown,
            KeyCode::F(n) => Self::F(n),
            _ => return None,
        })
    }

    /// Control with Alt is how Windows reports `AltGr`, which types a character of its own. Some
    /// terminals send control-H for the backspace key.
    fn from_char(c: char, control: bool, alt: bool) -> Option<Self> {
        match (control, alt) {
            (false, false) | (true, true) => Some(Self::Char(c)),
            (true, false) if c.eq_ignore_ascii_case(&'h') => Some(Self::Backspace),
            (true, false) => Some(Self::Ctrl(c.to_ascii_lowercase())),
            (false, true) => None,
        }
    }

    /// The key as it is named on the screen, such as `Enter`, `F2` or `Ctrl-Q`.
    pub fn name(self) -> String {
        let word = match self {
            Self::Char(' ') => "Space",
            Self::Char(c) => return c.to_string(),
            Self::F(n) => return format!("F{n}"),
            Self::Ctrl(c) => return format!("Ctrl-{}", c.to_ascii_uppercase()),
            Self::Enter => "Enter",
            Self::Esc => "Esc",
            Self::Backspace => "Backspace",
            Self::Delete => "Delete",
            Self::Tab => "Tab",
            Self::BackTab => "Shift-Tab",
            Self::Up => "Up",
            Self::Down => "Down",
            Self::Left => "Left",
            Self::Right => "Right",
            Self::Home => "Home",
            Self::End => "End",
            Self::PageUp => "PageUp",
            Self::PageDown => "PageDown",
        };
        word.to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn press(code: KeyCode, modifiers: KeyModifiers) -> Option<Key> {
        Key::from_crossterm(KeyEvent::new(code, modifiers))
    }

    #[test]
    fn presses_become_keys() {
        let none = KeyModifiers::NONE;
        assert_eq!(press(KeyCode::Char('a'), none), Some(Key::Char('a')));
        assert_eq!(press(KeyCode::F(8), none), Some(Key::F(8)));
        assert_eq!(
            press(KeyCode::Char('Q'), KeyModifiers::CONTROL),
            Some(Key::Ctrl('q'))
        );
        assert_eq!(
            press(KeyCode::Char('h'), KeyModifiers::CONTROL),
            Some(Key::Backspace)
        );
        assert_eq!(press(KeyCode::Tab, KeyModifiers::SHIFT), Some(Key::BackTab));
        assert_eq!(press(KeyCode::Char('x'), KeyModifiers::ALT), None);
        assert_eq!(
            press(
                KeyCode::Char('@'),
                KeyModifiers::ALT | KeyModifiers::CONTROL
            ),
            Some(Key::Char('@'))
        );
        assert_eq!(press(KeyCode::CapsLock, none), None);
    }

    #[test]
    fn releases_and_reported_repeats_do_not_count() {
        for kind in [KeyEventKind::Release, KeyEventKind::Repeat] {
            let event = KeyEvent::new_with_kind(KeyCode::Char('1'), KeyModifiers::NONE, kind);
            assert_eq!(Key::from_crossterm(event), None);
        }
    }

    #[test]
    fn names_are_those_on_the_keyboard() {
        let names = [Key::Ctrl('q'), Key::F(2), Key::Backspace, Key::Char(' ')].map(Key::name);
        assert_eq!(names, ["Ctrl-Q", "F2", "Backspace", "Space"]);
    }
}
