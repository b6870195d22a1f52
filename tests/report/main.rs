//! Reports made from small invented winters: what they say, what they do not say, and that every format agrees.

mod ahead;
mod attribute;
mod book;
mod builder;
mod calibration;
#[path = "../common/drafts.rs"]
mod drafts;
mod figures;
mod formats;
#[path = "../common/json_figures.rs"]
mod json_figures;
mod languages;
mod marks;
mod plan;
mod repeat;
mod rows;
mod rules;
mod schema;
mod shared;
mod sheet;
mod tables;
mod touched;
mod winter;
