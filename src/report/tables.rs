//! Reports as tables (CSV, RFC 4180), to go on working with. What is not known is an empty cell.

use std::io;

use super::{Found, WinterProgress, words};
use crate::outlook::pace::{Finish, MeanRate, Speed};

/// The headings of [`winter`].
pub const WINTER: [&str; 17] = [
    "kind",
    "name",
    "done",
    "left",
    "deadline",
    "finish_10",
    "finish_50",
    "finish_90",
    "in_time",
    "crew_needed",
    "extra_needed",
    "trees_per_hour",
    "trees_per_day",
    "person_days",
    "hours_known",
    "minutes",
    "verdict",
];

/// The winter's work: a line for the orchard, for each block and for each pruner.
pub fn winter(progress: &WinterProgress) -> io::Result<String> {
    let mut lines = vec![WINTER.map(str::to_owned).to_vec()];
    let orchard = [progress.done, progress.left].map(|trees| trees.to_string());
    let mut add = |head: [String; 5], finish: Option<&Finish>, speed: Option<&Speed>, found| {
        let mut line = head.to_vec();
        line.extend(finish.map_or_else(Default::default, finish_cells));
        line.extend(speed.map_or_else(Default::default, speed_cells));
        line.push(found);
        lines.push(line);
    };
    let [done, left] = orchard;
    let head = [
        "orchard".into(),
        progress.orchard.clone(),
        done,
        left,
        progress.budburst.to_string(),
    ];
    add(
        head,
        Some(&progress.finish),
        progress.speed.as_ref(),
        String::new(),
    );
    for block in &progress.blocks {
        let head = [
            "block".into(),
            block.name.clone(),
            block.done.to_string(),
            block.left.to_string(),
            block.deadline.to_string(),
        ];
        let found = verdicts(&block.found);
        add(head, Some(&block.finish), block.speed.as_ref(), found);
    }
    for pruner in &progress.pruners {
        let done = pruner.speed.trees.to_string();
        let head = [
            "pruner".into(),
            pruner.shown.clone(),
            done,
            String::new(),
            String::new(),
        ];
        add(head, None, Some(&pruner.speed), verdicts(&pruner.found));
    }
    written(&lines)
}

fn verdicts(found: &[Found]) -> String {
    words::found(found)
}

fn finish_cells(finish: &Finish) -> [String; 6] {
    match finish {
        Finish::Expected {
            day,
            in_time,
            needed,
        } => [
            text(day.low),
            text(day.mid),
            text(day.high),
            format!("{in_time:.3}"),
            text(needed.crew),
            text(needed.extra),
        ],
        _ => Default::default(),
    }
}

fn speed_cells(speed: &Speed) -> [String; 5] {
    let rate = |rate: Option<MeanRate>| text(rate.map(|rate| format!("{:.2}", rate.mean)));
    [
        rate(speed.per_hour),
        rate(speed.per_day),
        speed.person_days.to_string(),
        format!("{:.3}", speed.hours_known),
        speed.minutes.to_string(),
    ]
}

fn text(value: Option<impl ToString>) -> String {
    value.map_or_else(String::new, |value| value.to_string())
}

fn written(lines: &[Vec<String>]) -> io::Result<String> {
    let mut csv = csv::WriterBuilder::new()
        .terminator(csv::Terminator::CRLF)
        .from_writer(Vec::new());
    for line in lines {
        csv.write_record(line).map_err(io::Error::other)?;
    }
    let bytes = csv
        .into_inner()
        .map_err(|e| io::Error::other(e.to_string()))?;
    String::from_utf8(bytes).map_err(io::Error::other)
}
