//! Reports as plain text: at most 80 columns, no control characters, readable when printed.

mod bar;
mod brief;
mod day_sheet;
mod draw;
mod outlook;
mod page;
mod repeat;
mod review;
mod standings;
mod supervisor;
mod winter;

pub use bar::bar;
pub use brief::briefs;
pub use day_sheet::day_sheets;
pub use draw::draw_list;
pub use outlook::outlooks;
pub use page::{Page, WIDTH};
pub use repeat::two_counts;
pub use review::review;
pub use standings::standings;
pub use supervisor::supervisor;
pub use winter::winter;

/// How the text is to be.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct TextOptions {
    /// A form feed between pruners or blocks, so that a printer starts a new page.
    pub page_breaks: bool,
}
