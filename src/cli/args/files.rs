//! What tables, bundles, backups and the demo are asked for with.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

use crate::exchange::Table;

/// Which demo.
#[derive(Debug, Args)]
pub struct DemoArgs {
    /// Another seed makes another invented winter
    #[arg(short, long, default_value_t = 1)]
    pub seed: u64,
    /// Keep the demo in this file, which must not be there yet
    #[arg(short, long, value_name = "FILE")]
    pub keep: Option<PathBuf>,
}

/// A table, or all of them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tables {
    /// One.
    One(Table),
    /// All.
    All,
}

fn tables(raw: &str) -> Result<Tables, String> {
    match raw {
        "all" => Ok(Tables::All),
        word => Table::parse(word)
            .map(Tables::One)
            .map_err(|e| format!("{}, all", e.problem)),
    }
}

/// What to read.
#[derive(Debug, Args)]
pub struct ImportArgs {
    /// The table: settings, blocks, crew, winters, rules, weeks, days-off, stays, pay, aims, factors, growth, set-counts, work, counts, draws, go-backs, harvests, marks, or all
    #[arg(value_name = "TABLE", value_parser = tables)]
    pub table: Tables,
    /// The file, or - for standard input; for all, the folder
    #[arg(value_name = "FILE")]
    pub file: PathBuf,
    /// Do everything, say what came of it, keep nothing
    #[arg(short = 'n', long)]
    pub dry_run: bool,
}

/// Which backup.
#[derive(Debug, Args)]
pub struct RestoreArgs {
    /// The number of the backup, or its file name; without it the backups are listed
    #[arg(value_name = "BACKUP")]
    pub backup: Option<String>,
}

/// What to write.
#[derive(Debug, Args)]
pub struct ExportArgs {
    /// The table: settings, blocks, crew, winters, rules, weeks, days-off, stays, pay, aims, factors, growth, set-counts, work, counts, draws, go-backs, harvests, marks, or all
    #[arg(value_name = "TABLE", value_parser = tables)]
    pub table: Tables,
    /// The file, or - for standard output; for all, the folder
    #[arg(short, long, value_name = "FILE", default_value = "-")]
    pub output: PathBuf,
}

/// What to carry.
#[derive(Debug, Args)]
#[allow(clippy::struct_excessive_bools)] // flags of a command, each by itself
pub struct BundleArgs {
    /// The file, or a folder; with none, a name that tells day and tablet, in this folder
    #[arg(short, long, value_name = "FILE")]
    pub output: Option<PathBuf>,
    /// Only what the tablet that wrote this bundle does not know yet
    #[arg(long, value_name = "BUNDLE", conflicts_with_all = ["since_last", "all"])]
    pub since: Option<PathBuf>,
    /// Only what was not in the last bundle written here
    #[arg(long, conflicts_with = "all")]
    pub since_last: bool,
    /// Everything; this is also done where nothing is said
    #[arg(long)]
    pub all: bool,
    /// With the names of pruners, though the orchard shows numbers only: for tablets of the same house
    #[arg(long)]
    pub with_names: bool,
    /// Before that, put the number for each pruner's name in notes and reasons, for good
    #[arg(long)]
    pub numbers_in_notes: bool,
}

/// What to take in.
#[derive(Debug, Args)]
pub struct MergeArgs {
    /// The bundles, in any order
    #[arg(value_name = "FILE", required = true)]
    pub files: Vec<PathBuf>,
    /// Do everything, say what came of it, keep nothing
    #[arg(short = 'n', long)]
    pub dry_run: bool,
    /// The bundle is of this same orchard, though it was begun on another tablet by itself: make both one
    #[arg(long)]
    pub join_orchards: bool,
}

/// Which conflict to settle.
#[derive(Debug, Args)]
pub struct ConflictsArgs {
    /// Settle one: its number in the list and the letter of what is to hold, such as 2b
    #[arg(short, long, value_name = "CHOICE")]
    pub settle: Option<String>,
}

/// What is joined.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum JoinWord {
    /// A pruner, by number
    Pruner,
    /// A block, by name
    Block,
    /// A winter, by label
    Winter,
}

/// What to join.
#[derive(Debug, Args)]
pub struct JoinArgs {
    /// What they are; with nothing, twins and joined entries are listed
    #[arg(requires_all = ["gone", "kept"])]
    pub kind: Option<JoinWord>,
    /// The entry that goes: a pruner's number, a block's or winter's name
    pub gone: Option<String>,
    /// The entry that stays, and stands for both
    pub kept: Option<String>,
    /// Undo a join, by its number in the list
    #[arg(long, value_name = "NUMBER", conflicts_with = "kind")]
    pub undo: Option<usize>,
}

/// Whose name, and how sure.
#[derive(Debug, Args)]
pub struct ForgetNameArgs {
    /// The pruner's number
    #[arg(value_name = "NUMBER")]
    pub number: u16,
    /// Do it: the number once more. Without it, what would be done is told, and nothing is changed
    #[arg(long, value_name = "NUMBER")]
    pub sure: Option<u16>,
    /// Then make a fresh backup, and remove the backups and copies that hold the name still
    #[arg(long, requires = "sure")]
    pub and_backups: bool,
}
