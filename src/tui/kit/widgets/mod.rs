//! The parts that screens are made of. Each takes plain numbers and words.

mod actions;
mod bud_bars;
mod button;
mod interval_bar;
mod mix_bar;
mod picture;
mod row_map;
mod scale;
mod table;
mod tabs;
mod verdict;

pub use actions::{actions, page_actions};
pub use bud_bars::{BudBars, bud_bars};
pub use button::{Button, button, button_bar};
pub use interval_bar::{IntervalBar, interval_bar};
pub use mix_bar::mix_bar;
pub use picture::picture;
pub use row_map::{Place, RowLine, RowMap, row_map, row_map_lines};
pub use table::{Cell, Column, Table, Width, table, table_lines};
pub use tabs::{fold_tabs, strip, tab_lines, tabs};
pub use verdict::{Tone, badge, badge_text};
