//! Reports: each figure is made once, each document is set once, and each file type is a way of printing it.
//!
//! Four rooms, from the ground up; each uses only those before it. [`figures`]: one winter as it stands in the file
//! ([`Season`]) and all that is made of it, as plain data. [`words`]: figures in sentences, in the language of who reads
//! them. [`document`]: a report as headings, paragraphs, tables and pictures, and the tables of workbooks. [`formats`]: text,
//! HTML, PDF, workbooks, CSV and JSON. [`fit`], which keeps text in its place, serves them all.

pub mod document;
pub mod figures;
pub mod fit;
pub mod formats;
pub mod words;

pub use document::tables;
pub use figures::*;
pub use formats::{Format, MakeError, Making, Report, html, json, papers, pdf, schema, text, xlsx};
