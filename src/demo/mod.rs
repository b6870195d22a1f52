//! An invented orchard.
