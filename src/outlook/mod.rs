//! What the winter's work comes to: pure models, without files, clocks or random devices.

pub mod pace;
