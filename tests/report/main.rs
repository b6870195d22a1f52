//! Reports made from small invented winters: what they say, what they do not say, and that every format agrees.

mod ahead;
mod book;
mod builder;
mod figures;
mod formats;
#[path = "../common/json_figures.rs"]
mod json_figures;
mod languages;
mod plan;
mod attribute;
mod repeat;
mod rows;
mod rules;
mod schema;
mod sheet;
mod tables;
mod winter;
