//! Keys, touches, pasted text and changes of the window's size, in any order.

use crossterm::event::{
    Event as Input, KeyCode, KeyEvent, KeyModifiers, MouseButton, MouseEvent, MouseEventKind,
};
use thirdwood::tui::app::Event;

use super::checks::{note_kept, sheets};
use super::hands::Hands;
use super::orchard::scratch;

/// Events of one run: enough to open a form, fill it in and save it.
const MOST: usize = 48;

/// Keys with a byte each; the rest of the bytes are letters.
const KEYS: [KeyCode; 16] = [
    KeyCode::Enter,
    KeyCode::Esc,
    KeyCode::Backspace,
    KeyCode::Delete,
    KeyCode::Tab,
    KeyCode::BackTab,
    KeyCode::Up,
    KeyCode::Down,
    KeyCode::Left,
    KeyCode::Right,
    KeyCode::Home,
    KeyCode::End,
    KeyCode::PageUp,
    KeyCode::PageDown,
    KeyCode::F(3),
    KeyCode::F(8),
];

/// A byte below 0x80 is a key as typed; above, what its upper half says, with the bytes that follow.
pub fn run(bytes: &[u8]) {
    scratch(|store| {
        let mut hands = Hands::on(store).unwrap();
        let mut rest = bytes;
        for _ in 0..MOST {
            let Some((first, more)) = rest.split_first() else {
                break;
            };
            rest = more;
            if let Some(input) = event(*first, &mut rest) {
                hands.input(&input);
            } else {
                hands.take(Event::Tick);
                hands.draw();
            }
        }
        if hands.written > 0 {
            note_kept();
            sheets(store);
            assert_eq!(store.check().unwrap().problems, Vec::<String>::new());
        }
    });
}

fn event(first: u8, rest: &mut &[u8]) -> Option<Input> {
    let low = first & 15;
    let press = |code, held| Some(Input::Key(KeyEvent::new(code, held)));
    match first >> 4 {
        0..=7 if first >= b' ' => press(KeyCode::Char(char::from(first)), KeyModifiers::NONE),
        0 => press(KEYS[usize::from(low)], KeyModifiers::NONE),
        1 => press(KeyCode::F(low), KeyModifiers::NONE),
        8 | 9 => press(
            KeyCode::Char(char::from(b'a' + first % 26)),
            KeyModifiers::CONTROL,
        ),
        10 => {
            let text = take(rest, usize::from(low) + 1);
            Some(Input::Paste(
                String::from_utf8_lossy(text).repeat(1 + usize::from(low == 15) * 200),
            ))
        }
        11 => {
            let letter = take(rest, 4)
                .iter()
                .fold(0, |n: u32, byte| (n << 8) | u32::from(*byte));
            press(
                KeyCode::Char(char::from_u32(letter % 0x11_0000)?),
                KeyModifiers::NONE,
            )
        }
        12 | 13 => {
            let &[x, y] = take(rest, 2) else { return None };
            let kind = match low {
                0 => MouseEventKind::ScrollUp,
                1 => MouseEventKind::ScrollDown,
                2 => MouseEventKind::Up(MouseButton::Left),
                3 => MouseEventKind::Moved,
                _ => MouseEventKind::Down(MouseButton::Left),
            };
            let (column, row) = (u16::from(x) % 200, u16::from(y) % 60);
            Some(Input::Mouse(MouseEvent {
                kind,
                column,
                row,
                modifiers: KeyModifiers::NONE,
            }))
        }
        14 => {
            let &[width, height] = take(rest, 2) else {
                return None;
            };
            // sizes that are usual, and sizes that are not
            let (width, height) = match low {
                0..=3 => (80, 24),
                4 => (1, 1),
                _ => (u16::from(width), u16::from(height) % 70),
            };
            Some(Input::Resize(width, height))
        }
        _ => None,
    }
}

fn take<'b>(rest: &mut &'b [u8], most: usize) -> &'b [u8] {
    let (taken, left) = rest.split_at(most.min(rest.len()));
    *rest = left;
    taken
}
