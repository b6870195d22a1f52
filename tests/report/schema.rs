//! The JSON Schema: in step with the types, true of every report, and strict enough to refuse a wrong one.

use jsonschema::Validator;
use serde_json::{Value, json};
use thirdwood::report::{Season, schema};

use crate::builder::Orchard;
use crate::formats::{as_json, plain, reports};

/// Where the schema is kept.
const FILE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/assets/report.schema.json");

fn validator(schema: &Value) -> Validator {
    jsonschema::options()
        .should_validate_formats(true)
        .build(schema)
        .unwrap()
}

#[test]
fn the_schema_in_the_file_is_that_of_the_types() {
    let derived = schema::derived();
    if std::env::var("THIRDWOOD_SCHEMA").is_ok_and(|word| word == "write") {
        let text = serde_json::to_string_pretty(&derived).unwrap() + "\n";
        std::fs::write(FILE, text).unwrap();
    }
    let kept = std::fs::read_to_string(FILE).unwrap();
    let kept: Value = serde_json::from_str(&kept).unwrap();
    assert!(
        kept == derived,
        "the types of a report have changed: look at what it means for readers, then run this test with \
         THIRDWOOD_SCHEMA=write"
    );
    assert!(jsonschema::meta::is_valid(&derived));
}

fn seasons() -> Vec<Season> {
    let store = thirdwood::store::Store::in_memory().unwrap();
    let today = crate::formats::on();
    thirdwood::demo::fill(&store, 1, today).unwrap();
    let winter = store.winter_on(today).unwrap().unwrap();
    let demo = Season::load(&store, winter).unwrap();
    vec![plain(), demo, Orchard::new("").season()]
}

#[test]
fn every_report_is_as_the_schema_says() {
    let validator = validator(&schema::derived());
    let mut validated = 0;
    for season in seasons() {
        for report in reports(&season) {
            let json = as_json(&report);
            let errors: Vec<String> = (validator.iter_errors(&json))
                .map(|error| format!("{}: {error}", error.instance_path()))
                .collect();
            assert_eq!(errors, Vec::<String>::new(), "{}", report.word());
            validated += 1;
        }
    }
    assert!(validated >= 26, "{validated}");
}

/// Lets no field through that is not named.
fn close(schema: &mut Value) {
    match schema {
        Value::Object(fields) => {
            fields.values_mut().for_each(close);
            if fields.get("type") == Some(&json!("object")) && fields.contains_key("properties") {
                fields.insert("additionalProperties".into(), json!(false));
            }
        }
        Value::Array(items) => items.iter_mut().for_each(close),
        _ => {}
    }
}

#[test]
fn every_field_that_is_written_is_in_the_schema() {
    let mut schema = schema::derived();
    close(&mut schema);
    let validator = validator(&schema);
    for report in reports(&plain()) {
        let mut json = as_json(&report);
        let errors: Vec<String> = validator
            .iter_errors(&json)
            .map(|e| e.to_string())
            .collect();
        assert_eq!(errors, Vec::<String>::new(), "{}", report.word());
        json["data2"] = json!(1);
        assert!(!validator.is_valid(&json), "a field too many is seen");
    }
}

/// Fields without a word on what they are.
fn unexplained(schema: &Value, path: &str, found: &mut Vec<String>) {
    if let Some(fields) = schema.get("properties").and_then(Value::as_object) {
        for (name, field) in fields {
            // what kind of thing it is, is said by the thing; one of several is said beside its only field
            let is_kind = field.get("const").is_some();
            let is_one_of = fields.len() == 1 && schema.get("description").is_some();
            if field.get("description").is_none() && !is_kind && !is_one_of {
                found.push(format!("{path}.{name}"));
            }
        }
    }
    match schema {
        Value::Object(fields) => {
            for (name, value) in fields {
                unexplained(value, &format!("{path}/{name}"), found);
            }
        }
        Value::Array(items) => items.iter().for_each(|item| unexplained(item, path, found)),
        _ => {}
    }
}

#[test]
fn every_field_is_explained() {
    let schema = schema::derived();
    let mut found = Vec::new();
    unexplained(&schema["$defs"], "", &mut found);
    assert_eq!(found, Vec::<String>::new());
    let defs = schema["$defs"].as_object().unwrap();
    assert!(defs.len() > 40, "{}", defs.len());
    unexplained(&json!({ "properties": { "a": {} } }), "", &mut found);
    assert_eq!(found.len(), 1, "one without is seen");
}

/// The report, or the first one of a list.
fn one(report: &mut Value) -> &mut serde_json::Map<String, Value> {
    let data = &mut report["data"];
    let data = if data.is_array() { &mut data[0] } else { data };
    data.as_object_mut().unwrap()
}

#[test]
fn a_field_missing_or_of_another_type_is_refused() {
    let validator = validator(&schema::derived());
    let mut tried = 0;
    for report in reports(&plain()) {
        let right = as_json(&report);
        let fields: Vec<String> = one(&mut right.clone()).keys().cloned().collect();
        for field in fields {
            let mut missing = right.clone();
            one(&mut missing).remove(&field);
            assert!(
                !validator.is_valid(&missing),
                "{} without {field}",
                report.word()
            );
            let mut wrong = right.clone();
            one(&mut wrong).insert(field.clone(), json!({ "of": ["another", "type"] }));
            assert!(
                !validator.is_valid(&wrong),
                "{}: {field} is no object",
                report.word()
            );
            tried += 2;
        }
        for field in ["thirdwood", "version", "made", "data"] {
            let mut missing = right.clone();
            missing.as_object_mut().unwrap().remove(field);
            assert!(!validator.is_valid(&missing), "without {field}");
        }
        let mut other = right.clone();
        other["thirdwood"] = json!("apples");
        assert!(!validator.is_valid(&other));
        other["thirdwood"] = right["thirdwood"].clone();
        other["made"] = json!("yesterday");
        assert!(!validator.is_valid(&other));
    }
    assert!(tried > 200, "{tried}");
}
