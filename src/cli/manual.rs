//! What is told of the program itself: the guide, the manual page, and the completions of shells.

use clap::CommandFactory;
use clap_complete::Shell;
use clap_mangen::Man;

use super::CliError;
use super::args::Cli;
use super::say::say_bytes;

/// The guide, as it is stored.
pub const GUIDE: &str = include_str!("../../assets/guide.md");

/// Prints the completions of a shell. They are made whole first: the library that makes them
/// panics where they cannot be written.
pub fn completions(shell: Shell) -> Result<(), CliError> {
    let mut words = Vec::new();
    clap_complete::generate(shell, &mut Cli::command(), "thirdwood", &mut words);
    say_bytes(&words)
}

/// Prints the manual page: the program, then each command with its options.
pub fn manual() -> Result<(), CliError> {
    let command = Cli::command();
    let mut words = Vec::new();
    Man::new(command.clone()).render(&mut words)?;
    words.extend(b".SH \"EACH COMMAND\"\n");
    for one in command.get_subcommands() {
        words.extend(of_command(&command, one)?);
    }
    say_bytes(&words)
}

/// A command's part of the manual page: headings of a page of its own become one of a part.
fn of_command(whole: &clap::Command, one: &clap::Command) -> Result<Vec<u8>, CliError> {
    let name = format!("{} {}", whole.get_name(), one.get_name());
    let man = Man::new(one.clone().bin_name(&name));
    let mut page = Vec::new();
    man.render_synopsis_section(&mut page)?;
    man.render_description_section(&mut page)?;
    man.render_options_section(&mut page)?;
    let page = String::from_utf8_lossy(&page);
    let lines = page.lines().map(|line| match line {
        ".SH SYNOPSIS" => format!(".SS \"{name}\"\n"),
        ".SH DESCRIPTION" | ".SH OPTIONS" => ".PP\n".to_owned(),
        other => format!("{other}\n"),
    });
    Ok(lines.collect::<String>().into_bytes())
}
