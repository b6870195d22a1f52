//! What can be asked on the command line.

mod files;
mod reports;

use std::path::PathBuf;

use clap::{Parser, Subcommand, ValueEnum};
use clap_complete::Shell;

pub use files::{
    BundleArgs, ConflictsArgs, DemoArgs, ExportArgs, ForgetNameArgs, ImportArgs, JoinArgs,
    JoinWord, MergeArgs, RestoreArgs, Tables,
};
pub use reports::{
    BlockArgs, BriefArgs, DayArgs, DaySheetArgs, DrawArgs, Out, PapersArgs, SpanArgs,
};

const EXAMPLES: &str = "\
Examples:
  thirdwood                                open the screens
  thirdwood demo                           look around in an invented orchard
  thirdwood day-sheet                      today's day sheets
  thirdwood day-sheet -d 2027-01-12 -p 7   one pruner's, on one day
  thirdwood crew -f json > crew.json       how each pruner stands, as data
  thirdwood winter                         done and left, when the crew is through, what it costs
  thirdwood draw -n 20                     draw 20 trees out of the last day's work
  thirdwood guide | less                   all there is to read

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
    /// Print hours and pay, for whoever pays the crew: each day, pruner, block and kind of work
    #[command(
        after_help = "Examples:\n  thirdwood payroll --since 2027-01-01 --until 2027-01-31\n  thirdwood payroll -f csv -o january.csv"
    )]
    Payroll(SpanArgs),
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
        after_help = "Examples:\n  thirdwood draw\n  thirdwood draw --minutes 60\n  thirdwood draw -n 30 --since 2027-01-11 --until 2027-01-12\n  thirdwood draw --show       the trees that wait, without a new draw"
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
    /// Print the guide: the first day, the screens, what verdicts mean, every command, several tablets
    #[command(after_help = "Example:\n  thirdwood guide | less")]
    Guide,
    /// Print the manual page
    #[command(after_help = "Example:\n  thirdwood manual > thirdwood.1 && man ./thirdwood.1")]
    Manual,
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
