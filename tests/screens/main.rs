//! The whole program as it is drawn: every screen, form and sheet, with the invented orchard, with
//! nothing in the file, and with names that do not fit.

mod asked;
mod before;
#[path = "../common/drafts.rs"]
mod drafts;
mod forms;
mod hands;
mod looks;
mod menus;
#[path = "../common/names.rs"]
mod names;
mod narrow;
mod odd;
mod others;
mod papers;
mod places;
mod private;
mod scrolls;
mod small;
mod touch;
mod two_forms;
mod typing;
mod walk;

use chrono::NaiveDate;
use ratatui::buffer::{Buffer, Cell};
use ratatui::layout::Rect;
use thirdwood::store::Store;
use thirdwood::tui::app::view;
use thirdwood::tui::runtime::{Runtime, Start};
use thirdwood::tui::{Form, HitMap, Theme, text};

/// The day of all tests here, a Tuesday.
pub fn today() -> NaiveDate {
    NaiveDate::from_ymd_opt(2027, 1, 12).unwrap()
}

/// Nothing is in the file.
pub fn empty() -> Store {
    Store::in_memory().unwrap()
}

/// The invented orchard.
pub fn demo() -> Store {
    let store = Store::in_memory().unwrap();
    thirdwood::demo::fill(&store, 1, today()).unwrap();
    store
}

/// The program on a file.
pub fn desk(store: &Store, size: (u16, u16)) -> Runtime<'_> {
    let start = Start {
        theme: Some(Theme::Plain),
        few_colours: false,
        round: false,
        today: Some(today()),
    };
    Runtime::new(store, start, size).unwrap()
}

/// Fills in a field by its name.
pub fn fill(form: &mut Form, key: &str, value: &str) {
    let field = form.fields.iter_mut().find(|field| field.key == key);
    field.unwrap().set_value(value);
}

/// What the program draws now, in a window of this size.
pub fn drawn(desk: &Runtime, (width, height): (u16, u16)) -> (Buffer, HitMap) {
    let mut buf = Buffer::empty(Rect::new(0, 0, width, height));
    let hits = view(&desk.model, &mut buf);
    (buf, hits)
}

/// The letters of a frame, line by line. The second cell of a wide letter shows nothing.
pub fn letters(buf: &Buffer) -> String {
    let line = |cells: &[Cell]| {
        let mut shown = String::new();
        let mut hidden = 0;
        for cell in cells {
            if hidden == 0 {
                shown.push_str(cell.symbol());
                hidden = text::width(cell.symbol());
            }
            hidden = hidden.saturating_sub(1);
        }
        shown.trim_end().to_owned()
    };
    let lines = buf.content.chunks(usize::from(buf.area.width).max(1));
    lines.map(line).collect::<Vec<_>>().join("\n")
}
