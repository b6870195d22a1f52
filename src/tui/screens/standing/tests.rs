use super::Part;
use crate::tui::screens::testing::{Orchard, shown, press};
use crate::tui::{Key, Theme};

#[test]
fn print() {
    let orchard = Orchard::usual();
    for size in [(80, 24), (120, 40)] {
        let mut desk = orchard.desk(Theme::Dark, size);
        press(&mut desk, &[Key::F(4)]);
        println!("{}", shown(&desk));
        press(&mut desk, &[Key::Down, Key::Enter]);
        for _ in Part::OF_PRUNER {
            println!("{}", shown(&desk));
            press(&mut desk, &[Key::Right]);
        }
        press(&mut desk, &[Key::F(5)]);
        println!("{}", shown(&desk));
        press(&mut desk, &[ Key::Enter, Key::Left]);
        println!("{}", shown(&desk));
        press(&mut desk, &[ Key::Left]);
        println!("{}", shown(&desk));
    }
}
