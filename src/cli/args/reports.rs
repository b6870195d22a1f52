//! What reports, sheets and draws are asked for with.

use std::path::PathBuf;

use chrono::NaiveDate;
use clap::builder::PossibleValue;
use clap::{Args, ValueEnum};

use crate::orchard::{Language, parse_day};
use crate::report::Format;
use crate::report::pdf::PageSize;

impl ValueEnum for Format {
    fn value_variants<'a>() -> &'a [Self] {
        &Self::ALL
    }

    fn to_possible_value(&self) -> Option<PossibleValue> {
        Some(PossibleValue::new(self.word()).help(self.purpose()))
    }
}

impl ValueEnum for PageSize {
    fn value_variants<'a>() -> &'a [Self] {
        &Self::ALL
    }

    fn to_possible_value(&self) -> Option<PossibleValue> {
        Some(PossibleValue::new(self.word()))
    }
}

/// Where the answer goes, and how.
#[derive(Debug, Clone, Args)]
pub struct Out {
    /// How it is written; where it is not given, as the ending of --output says, else as text
    #[arg(short, long, value_enum)]
    pub format: Option<Format>,
    /// Write to this file instead of standard output (-)
    #[arg(short, long, value_name = "FILE", default_value = "-")]
    pub output: PathBuf,
    /// The size of the pages of a PDF
    #[arg(long, value_name = "SIZE", value_enum, default_value = "a4")]
    pub page_size: PageSize,
    /// End HTML and PDF with a sheet of every figure, to check or to go on reckoning
    #[arg(long)]
    pub figures: bool,
}

/// Which day.
#[derive(Debug, Args)]
pub struct DayArgs {
    /// The day, such as 2027-01-12; today where it is not given
    #[arg(short, long, value_parser = day)]
    pub day: Option<NaiveDate>,
    /// Where to, and how
    #[command(flatten)]
    pub out: Out,
}

/// Which blocks' briefs or outlooks.
#[derive(Debug, Args)]
pub struct BlockArgs {
    /// Only the block of this name
    #[arg(short, long, value_name = "NAME")]
    pub block: Option<String>,
    /// Begin a new page for each block of a text
    #[arg(long)]
    pub page_breaks: bool,
    /// Which day
    #[command(flatten)]
    pub day: DayArgs,
}

/// Which briefs.
#[derive(Debug, Args)]
pub struct BriefArgs {
    /// In this language instead of the orchard's: en or es
    #[arg(long, value_name = "LANG", value_parser = language)]
    pub lang: Option<Language>,
    /// Which blocks
    #[command(flatten)]
    pub blocks: BlockArgs,
}

/// Which papers.
#[derive(Debug, Args)]
pub struct PapersArgs {
    /// The day, such as 2027-01-12; today where it is not given
    #[arg(short, long, value_parser = day)]
    pub day: Option<NaiveDate>,
    /// The folder; it is made where it is not there
    #[arg(short, long, value_name = "FOLDER")]
    pub output: PathBuf,
    /// The size of the pages of PDF files
    #[arg(long, value_name = "SIZE", value_enum, default_value = "a4")]
    pub page_size: PageSize,
    /// End HTML and PDF files with a sheet of every figure
    #[arg(long)]
    pub figures: bool,
}

/// Which day sheets.
#[derive(Debug, Args)]
pub struct DaySheetArgs {
    /// Only the pruner of this number
    #[arg(short, long, value_name = "NUMBER")]
    pub pruner: Option<u16>,
    /// Begin a new page for each pruner of a text
    #[arg(long)]
    pub page_breaks: bool,
    /// All in this language instead of each pruner's own: en or es
    #[arg(long, value_name = "LANG", value_parser = language)]
    pub lang: Option<Language>,
    /// Which day
    #[command(flatten)]
    pub day: DayArgs,
}

/// Which days.
#[derive(Debug, Args)]
pub struct SpanArgs {
    /// Count from this day on; from the start of the winter where it is not given
    #[arg(short, long, value_parser = day)]
    pub since: Option<NaiveDate>,
    /// Count up to and with this day; today where it is not given
    #[arg(short, long, value_parser = day)]
    pub until: Option<NaiveDate>,
    /// Where to, and how
    #[command(flatten)]
    pub out: Out,
}

/// Which trees.
#[derive(Debug, Args)]
pub struct DrawArgs {
    /// How many trees
    #[arg(short = 'n', long, default_value_t = 20, value_parser = clap::value_parser!(u16).range(1..=500))]
    pub trees: u16,
    /// As many trees as fit into these minutes, of those who are to be known first; instead of a number of trees
    #[arg(short, long, value_parser = clap::value_parser!(u16).range(1..=600), conflicts_with = "trees")]
    pub minutes: Option<u16>,
    /// Out of the work from this day on; the last day with work where it is not given
    #[arg(short, long, value_parser = day)]
    pub since: Option<NaiveDate>,
    /// Out of the work up to and with this day; today where it is not given
    #[arg(short, long, value_parser = day)]
    pub until: Option<NaiveDate>,
    /// Repeat a draw by its seed
    #[arg(long)]
    pub seed: Option<u64>,
    /// Print the trees that wait; draw none
    #[arg(long, conflicts_with_all = ["trees", "minutes", "since", "until", "seed"])]
    pub show: bool,
    /// Where to, and how
    #[command(flatten)]
    pub out: Out,
}

fn day(raw: &str) -> Result<NaiveDate, String> {
    parse_day("day", raw).map_err(|e| e.problem)
}

fn language(raw: &str) -> Result<Language, String> {
    Language::parse("lang", raw).map_err(|e| e.problem)
}
