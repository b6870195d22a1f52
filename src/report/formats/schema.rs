//! The JSON Schema of the reports, made from the types that are written.
//!
//! `assets/report.schema.json` is kept in step with the types by a test, which writes it anew where `THIRDWOOD_SCHEMA` is
//! set to `write`.

use schemars::generate::{SchemaGenerator, SchemaSettings};
use schemars::{JsonSchema, Schema};
use serde_json::{Value, json};

use super::json::VERSION;
use crate::report::{
    BriefSheet, DaySheet, DrawList, OutlookSheet, Payroll, Standings, SupervisorPage,
    WinterProgress, WinterReview,
};

/// The schema as it is handed out (JSON Schema, draft 2020-12).
pub const TEXT: &str = include_str!("../../../assets/report.schema.json");

/// A kind of report: the word that stands in its envelope, and what it holds.
type Kind = (&'static str, fn(&mut SchemaGenerator) -> Schema);

const KINDS: [Kind; 10] = [
    ("day_sheets", data::<Vec<DaySheet>>),
    ("supervisor", data::<SupervisorPage>),
    ("crew", data::<Standings>),
    ("blocks", data::<Standings>),
    ("draw", data::<DrawList>),
    ("winter", data::<WinterProgress>),
    ("payroll", data::<Payroll>),
    ("review", data::<WinterReview>),
    ("brief", data::<Vec<BriefSheet>>),
    ("outlook", data::<Vec<OutlookSheet>>),
];

fn data<T: JsonSchema>(generator: &mut SchemaGenerator) -> Schema {
    generator.subschema_for::<T>()
}

/// The schema as it follows from the types.
pub fn derived() -> Value {
    let mut generator = SchemaSettings::draft2020_12()
        .for_serialize()
        .into_generator();
    let of_kind = |(kind, data): Kind| {
        json!({
            "if": { "properties": { "thirdwood": { "const": kind } } },
            "then": { "properties": { "data": data(&mut generator) } },
        })
    };
    let kinds: Vec<Value> = KINDS.into_iter().map(of_kind).collect();
    let mut whole = json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "A report of Thirdwood",
        "description": "Shares are numbers from 0 to 1. Lists over ages run one-year, two-year, three-year, four-plus. Days \
                        are the orchard's local days. What is not known is null. Fields may come that are not named here.",
        "type": "object",
        "required": ["thirdwood", "version", "made", "data"],
        "properties": {
            "thirdwood": {
                "description": "The kind of report.",
                "enum": KINDS.map(|(kind, _)| kind),
            },
            "version": {
                "description": "Grows when a field changes its meaning or goes.",
                "const": VERSION,
            },
            "made": { "description": "When it was made.", "type": "string", "format": "date-time" },
            "data": { "description": "The report." },
        },
        "allOf": kinds,
        "$defs": generator.take_definitions(true),
    });
    tidy(&mut whole);
    whole.sort_all_objects();
    whole
}

/// Descriptions without the marks that only the documentation of the code can follow.
fn tidy(value: &mut Value) {
    match value {
        Value::Object(fields) => {
            for (name, value) in fields {
                match value {
                    Value::String(words) if name == "description" => *words = plain(words),
                    value => tidy(value),
                }
            }
        }
        Value::Array(values) => values.iter_mut().for_each(tidy),
        _ => {}
    }
}

/// How a path within this crate begins.
const OWN: &str = concat!("`", "crate", "::");

fn plain(words: &str) -> String {
    let words = words
        .replace("[`", "`")
        .replace("`]", "`")
        .replace(OWN, "`");
    words.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn descriptions_are_plain() {
        let mut value = json!({ "a": [{ "description": "See [`Rule`],\n\nor not." }] });
        tidy(&mut value);
        assert_eq!(value["a"][0]["description"], "See `Rule`, or not.");
    }
}
