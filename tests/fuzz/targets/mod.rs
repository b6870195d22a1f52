//! What is done with hostile bytes, and what must hold whatever they are. One plain function a target, used by the
//! ordinary test (`cargo test --test fuzz`) and by the coverage-guided fuzzer (`fuzz/`).
#![allow(dead_code, unused_imports)] // the ordinary test uses more than the fuzzer

mod arguments;
mod bundles;
mod checks;
#[path = "../../common/drafts.rs"]
mod drafts;
mod forms;
mod hands;
mod orchard;
mod screens;
mod tables;

pub use bundles::text_of as bundle_text;
pub use checks::kept;
pub use tables::exported;

/// A target by its name; the corpus of each stands in a folder of that name.
pub struct Target {
    pub name: &'static str,
    pub run: fn(&[u8]),
}

pub const TARGETS: [Target; 5] = [
    Target {
        name: "tables",
        run: tables::run,
    },
    Target {
        name: "bundles",
        run: bundles::run,
    },
    Target {
        name: "arguments",
        run: arguments::run,
    },
    Target {
        name: "forms",
        run: forms::run,
    },
    Target {
        name: "screens",
        run: screens::run,
    },
];

/// Runs the target of this name.
pub fn run(name: &str, bytes: &[u8]) {
    let target = TARGETS.iter().find(|target| target.name == name).unwrap();
    (target.run)(bytes);
}
