//! What the program costs, each figure as a ratio to a reference run in the same session.
//!
//!     cargo bench --bench ratios                     everything: a quarter of an hour, and 3 GB of disk for a while
//!     cargo bench --bench ratios -- taps verdicts    these parts alone
//!
//! Each part prints what it measured; at the end stands one table of all ratios, with what is aimed at, and one of the
//! memory held. The orchards are invented: 30 blocks and 40 pruners from the seeded generator; one winter has 12,000
//! counts, ten have 120,000 with 1.2 million units.

mod common;
mod papers;
mod screens;
mod table;
mod tablets;
mod taps;
mod verdicts;

use table::Table;

type Part = (&'static str, fn(&mut Table));

const PARTS: [Part; 5] = [
    ("taps", taps::run),
    ("screens", screens::run),
    ("verdicts", verdicts::run),
    ("papers", papers::run),
    ("tablets", tablets::run),
];

fn main() {
    // what begins with a dash is cargo's
    let wanted: Vec<String> = (std::env::args().skip(1))
        .filter(|word| !word.starts_with('-'))
        .collect();
    let known = PARTS.map(|(name, _)| name);
    if let Some(word) = wanted.iter().find(|word| !known.contains(&word.as_str())) {
        eprintln!("no part is called {word:?}; there are {}", known.join(", "));
        std::process::exit(2);
    }
    let mut table = Table::default();
    for (name, run) in PARTS {
        if wanted.is_empty() || wanted.iter().any(|word| word == name) {
            println!("\n== {name}");
            table.watch(name, run);
        }
    }
    println!("\n{table}");
}
