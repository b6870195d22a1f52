//! Tables in and out.

mod by_hand;
mod roundtrip;
mod tables;
mod world;
mod wrong;
