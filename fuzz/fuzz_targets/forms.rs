#![no_main]

#[path = "../../tests/fuzz/targets/mod.rs"]
mod targets;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| targets::run("forms", bytes));
