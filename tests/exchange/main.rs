//! Tables in and out.
#![allow(clippy::unwrap_used, missing_docs)]

mod by_hand;
mod roundtrip;
mod tables;
mod world;
mod wrong;
