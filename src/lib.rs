//! Counting fruiting wood.
