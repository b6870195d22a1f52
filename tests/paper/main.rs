//! Every report as a page: whole, safe, and looked over in a real browser.
#![allow(clippy::unwrap_used, missing_docs)]

mod browser;
mod read;
mod sheets;
mod world;
