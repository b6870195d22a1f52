//! Every report as a page: whole, safe, and looked over in a real browser.

mod browser;
mod read;
mod sheets;
mod world;
