//! What can be asked on the command line.

use std::path::PathBuf;

use chrono::NaiveDate;
use clap::{Args, Parser, Subcommand, ValueEnum};
use clap_complete::Shell;

use super::names::ForgetNameArgs;
use super::out::Out;
use super::tablets::{BundleArgs, ConflictsArgs, JoinArgs, MergeArgs};
use crate::exchange::Table;
use crate::orchard::{Language, parse_day};
use crate::report::pdf::PageSize;

const EXAMPLES: &str = "\
Examples:
  thirdwood                                open the screens
  thirdwood demo                           look around in an invented orchard
  thirdwood day-sheet                      today's day sheets
  thirdwood day-sheet -d 2027-01-12 -p 7   one pruner's, on one day
  thirdwood crew -f json > crew.json       how each pruner stands, as data
  thirdwood winter                         done and left, when the crew is through, what it costs
  thirdwood draw -n 20                     draw 20 trees out of the last day's work

The orchard file is thirdwood/orchard.db in the XDG data folder, unless --data or THIRDWOOD_DATA names another.
Exit codes: 0 all is well, 1 it failed, 2 the command was not understood.";

/// Count the fruiting wood that pear pruners left, and learn how far each pruner and block is from balance.
///
/// Without a command, the screens are opened.
#[derive(Debug, Parser)]
#[command(name = "thirdwood", version, after_help = EXAMPLES, propagate_version = true, max_term_width = 100)]
pub struct Cli {
    /// The orchard file
    #[arg(
        short = 'D',
        long,
        value_name = "FILE",
        env = "THIRDWOOD_DATA",
        global = true
    )]
    pub data: Option<PathBuf>,
    /// How the screens look; the settings decide where this is not given
    #[arg(short, long, value_name = "THEME", global = true)]
    pub theme: Option<ThemeWord>,
    /// Show pruners by number only, whatever the settings say: on screens, sheets, in tables and bundles
    #[arg(long, global = true)]
    pub numbers_only: bool,
    /// What to do
    #[command(subcommand)]
    pub command: Option<Command>,
}

/// A theme of the screens.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum ThemeWord {
    /// Light on black, for the shed and the evening
    Dark,
    /// Black on white, for the sun
    Bright,
    /// No colour
    Plain,
}

/// What to do.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Look around in an invented orchard, kept in a scratch file
    #[command(
        after_help = "Examples:\n  thirdwood demo\n  thirdwood demo | less      the day sheets, where there are no screens"
    )]
    Demo(DemoArgs),
    /// Print the day sheets: for each pruner what is right, and the one or two things to change
    #[command(
        after_help = "Examples:\n  thirdwood day-sheet\n  thirdwood day-sheet -d 2027-01-12 -p 7\n  thirdwood day-sheet --lang es\n  thirdwood day-sheet -o sheets.html     one page, to read or to print"
    )]
    DaySheet(DaySheetArgs),
    /// Print the supervisor's page: blocks and pruners against both rules, rows sent back, drawn trees
    #[command(after_help = "Example:\n  thirdwood supervisor -d 2027-01-12")]
    Supervisor(DayArgs),
    /// Print how each pruner stands
    #[command(
        after_help = "Examples:\n  thirdwood crew\n  thirdwood crew --since 2027-01-05 -f json"
    )]
    Crew(SpanArgs),
    /// Print how each block stands
    #[command(
        after_help = "Examples:\n  thirdwood blocks\n  thirdwood blocks --until 2027-01-12 -f json"
    )]
    Blocks(SpanArgs),
    /// Print the winter's work: trees done and left, pace, finish with its range, crew needed, cost
    #[command(
        after_help = "Examples:\n  thirdwood winter\n  thirdwood winter -d 2027-01-12 -f json\n  thirdwood winter -f csv -o winter.csv"
    )]
    Winter(DayArgs),
    /// Print the winter review: what was asked, what was left, what changed, what it cost, how much is known
    #[command(
        after_help = "Examples:\n  thirdwood review\n  thirdwood review -d 2027-03-20 -f json -o review.json"
    )]
    Review(DayArgs),
    /// Print the brief of each block: its aim as fruit, buds, units and pieces to leave
    #[command(
        after_help = "Examples:\n  thirdwood brief\n  thirdwood brief -b River --page-breaks | lp\n  thirdwood brief -f json -o brief.json"
    )]
    Brief(BriefArgs),
    /// Print the outlook of each block: the crop of the counted wood, and the wood in the winters ahead
    #[command(
        after_help = "Examples:\n  thirdwood outlook\n  thirdwood outlook -b River\n  thirdwood outlook -f csv -o outlook.csv"
    )]
    Outlook(BlockArgs),
    /// Draw trees at random out of what was pruned, keep the draw, and print it in walking order
    #[command(
        after_help = "Examples:\n  thirdwood draw\n  thirdwood draw -n 30 --since 2027-01-11 --until 2027-01-12\n  thirdwood draw --show       the trees that wait, without a new draw"
    )]
    Draw(DrawArgs),
    /// Read a table (CSV) into the orchard file: all of it, or nothing where anything is wrong
    #[command(
        after_help = "Examples:\n  thirdwood import blocks blocks.csv --dry-run    say what would be read, keep nothing\n  thirdwood import work work.csv\n  thirdwood import counts -                       from standard input\n  thirdwood import all tables/                    all tables of a folder, as `export all` writes them"
    )]
    Import(ImportArgs),
    /// Write a table (CSV) that imports again unchanged
    #[command(
        after_help = "Examples:\n  thirdwood export blocks                  to standard output\n  thirdwood export counts -o counts.csv\n  thirdwood export all -o tables           all tables, a file each, into a folder"
    )]
    Export(ExportArgs),
    /// Write a bundle: one file that carries the orchard, or what is new, to its other tablets
    #[command(
        after_help = "Examples:\n  thirdwood bundle -o all.bundle\n  thirdwood bundle --since theirs.bundle -o for-them.bundle"
    )]
    Bundle(BundleArgs),
    /// Take bundles of other tablets in, all or nothing; in any order, any number of times
    #[command(
        after_help = "Examples:\n  thirdwood merge all.bundle --dry-run     say what would come in, keep nothing\n  thirdwood merge *.bundle"
    )]
    Merge(MergeArgs),
    /// List what was changed on two tablets without knowing of each other, and settle it
    #[command(after_help = "Examples:\n  thirdwood conflicts\n  thirdwood conflicts --settle 1b")]
    Conflicts(ConflictsArgs),
    /// Join a pruner, block or winter that was entered twice; without one, list those
    #[command(
        after_help = "Examples:\n  thirdwood join\n  thirdwood join pruner 12 3              number 12 is number 3 from now on\n  thirdwood join block \"River (2)\" River"
    )]
    Join(JoinArgs),
    /// Take a pruner's name away for good: the counts stay under the number
    #[command(
        after_help = "Examples:\n  thirdwood forget-name 7                          say what would go, and what holds the name still\n  thirdwood forget-name 7 --sure 7 --and-backups   do it, with a fresh backup in place of the old ones"
    )]
    ForgetName(ForgetNameArgs),
    /// List the backups of the orchard file, or put one back
    #[command(
        after_help = "Examples:\n  thirdwood restore        list the backups, with what is in each\n  thirdwood restore 42     put number 42 back; the file as it was becomes a backup first"
    )]
    Restore(RestoreArgs),
    /// Look the orchard file over, and compare it with its newest backup
    #[command(
        after_help = "Examples:\n  thirdwood check\n  thirdwood --data copy.db check       another file than the usual one"
    )]
    Check,
    /// Write every report in every format into a folder, and a workbook of the whole winter
    #[command(
        after_help = "Examples:\n  thirdwood papers -o papers\n  thirdwood papers -o papers -d 2027-01-12"
    )]
    Papers(PapersArgs),
    /// Print the JSON Schema of the reports
    #[command(after_help = "Example:\n  thirdwood schema > report.schema.json")]
    Schema,
    /// Print the completions of a shell
    #[command(
        after_help = "Example:\n  thirdwood completions bash > ~/.local/share/bash-completion/completions/thirdwood"
    )]
    Completions {
        /// Which shell
        shell: Shell,
    },
    /// Print the manual page
    #[command(after_help = "Example:\n  thirdwood manual > thirdwood.1 && man ./thirdwood.1")]
    Manual,
}

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
    #[arg(long, conflicts_with_all = ["trees", "since", "until", "seed"])]
    pub show: bool,
    /// Where to, and how
    #[command(flatten)]
    pub out: Out,
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
    /// The table: blocks, crew, winters, rules, work, counts, draws, go-backs, harvests, or all
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
    /// The table: blocks, crew, winters, rules, work, counts, draws, go-backs, harvests, or all
    #[arg(value_name = "TABLE", value_parser = tables)]
    pub table: Tables,
    /// The file, or - for standard output; for all, the folder
    #[arg(short, long, value_name = "FILE", default_value = "-")]
    pub output: PathBuf,
}

fn day(raw: &str) -> Result<NaiveDate, String> {
    parse_day("day", raw).map_err(|e| e.problem)
}

fn language(raw: &str) -> Result<Language, String> {
    Language::parse("lang", raw).map_err(|e| e.problem)
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::CommandFactory;

    #[test]
    fn the_command_line_is_sound() {
        Cli::command().debug_assert();
    }
}
