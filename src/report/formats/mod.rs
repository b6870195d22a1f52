//! Each file type: text, HTML and PDF print a document, CSV and workbooks its tables, JSON the figures.

pub mod csv;
mod every;
mod format;
pub mod html;
pub mod json;
pub mod papers;
pub mod pdf;
pub mod schema;
pub mod text;
pub mod xlsx;

pub use every::{MakeError, Making, Report};
pub use format::Format;
