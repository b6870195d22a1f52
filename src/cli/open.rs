//! Opening the orchard file, and the screens on it or on the demo.

use std::io::{self, Write};
use std::path::{Path, PathBuf};

use chrono::{Local, NaiveDate};

use super::args::{Cli, DemoArgs, ThemeWord};
use super::{CliError, named, say};
use crate::demo;
use crate::report::fit::safe;
use crate::report::{Report, Season};
use crate::store::backup::{self, Keeper};
use crate::store::kept::Kept;
use crate::store::paths::{COMPANIONS, real, with_end};
use crate::store::{self, Store, default_path};
use crate::tui::Theme;
use crate::tui::runtime::terminal;
use crate::tui::runtime::{Start, run};

/// The orchard file that the command line names, or the usual one; where it is a link, the file that it leads to.
pub fn path(cli: &Cli) -> Result<PathBuf, CliError> {
    match &cli.data {
        Some(path) => Ok(real(path)),
        None => Ok(real(&default_path()?)),
    }
}

/// What no output may land on.
pub fn kept(cli: &Cli) -> Result<Kept, CliError> {
    Ok(Kept::of(&path(cli)?))
}

/// Opens the orchard file for `take`, which takes much in at once, after a backup. `take` gives whether all went well.
///
/// Where there is no file yet, one is begun, and that is told: the name may be mistyped. What fails and what is only
/// tried leaves no file behind.
pub fn taking_in<T>(
    cli: &Cli,
    dry_run: bool,
    take: impl FnOnce(&Store) -> Result<(T, bool), CliError>,
) -> Result<T, CliError> {
    let path = path(cli)?;
    if store::is_there(&path)? {
        let store = opened(cli, &path)?;
        if !dry_run {
            before_much(&store)?;
        }
        return Ok(take(&store)?.0);
    }
    if dry_run {
        let store = Store::in_memory()?.with_numbers_only(cli.numbers_only);
        return Ok(take(&store)?.0);
    }
    let store = opened(cli, &path)?;
    let taken = take(&store);
    if matches!(taken, Ok((_, true))) || !store.is_empty().unwrap_or(false) {
        // nobody may be listening
        let _ = writeln!(io::stderr(), "a new orchard was begun at {}", named(&path));
    } else {
        // closing takes its log along
        drop(store);
        std::fs::remove_file(&path).map_err(|source| CliError::of_file(&path, source))?;
    }
    Ok(taken?.0)
}

/// A backup before much is read in at once; that none could be made is told.
fn before_much(store: &Store) -> Result<(), CliError> {
    if let Some(e) = backup::before_much(store, say::today())? {
        let _ = writeln!(
            io::stderr(),
            "thirdwood: no backup was made before: {}",
            e.in_short()
        );
    }
    Ok(())
}

/// Opens the file by the name that was given: a link may have backups of its own. What is to be known of it is told.
fn opened(cli: &Cli, path: &Path) -> Result<Store, CliError> {
    let store = Store::open(cli.data.as_deref().unwrap_or(path))?;
    if let Some(warning) = store.warning() {
        // nobody may be listening
        let _ = writeln!(io::stderr(), "thirdwood: {}", safe(warning));
    }
    Ok(store.with_numbers_only(cli.numbers_only))
}

/// Opens the orchard file, which must be there and sound: a damaged one gives no wrong figures.
pub fn store(cli: &Cli) -> Result<Store, CliError> {
    let store = unchecked(cli)?;
    store.vouch()?;
    Ok(store)
}

/// As [`store`]; where there is no file yet, an orchard in memory with nothing in it, for the columns of the tables.
pub fn or_columns(cli: &Cli) -> Result<Store, CliError> {
    let path = path(cli)?;
    if store::is_there(&path)? {
        return self::store(cli);
    }
    let path = named(&path);
    writeln!(
        io::stderr(),
        "there is no orchard file at {path} yet: these are the columns alone"
    )?;
    Ok(Store::in_memory()?.with_numbers_only(cli.numbers_only))
}

/// Opens the orchard file, which must be there: a mistyped name makes no empty orchard.
pub fn unchecked(cli: &Cli) -> Result<Store, CliError> {
    let path = path(cli)?;
    if !store::is_there(&path)? {
        return Err(CliError::Refused(format!(
            "there is no orchard file {}: open the screens (`thirdwood`) to begin one, or name another with --data",
            path.display()
        )));
    }
    opened(cli, &path)
}

/// The winter of a day.
pub fn season(store: &Store, day: NaiveDate) -> Result<Season, CliError> {
    let winter = store.winter_on(day)?.ok_or_else(|| {
        CliError::Refused("the file has no winter yet: open the screens (`thirdwood`) and set one up, or import it".to_owned())
    })?;
    Ok(Season::load(store, winter)?)
}

/// Opens the screens.
pub fn screens(cli: &Cli) -> Result<(), CliError> {
    if !terminal::is_there() {
        return Err(CliError::Usage(
            "the screens need a terminal. Without one, run `thirdwood day-sheet`, `thirdwood supervisor` or another \
             command; `thirdwood --help` lists them"
                .to_owned(),
        ));
    }
    // the screens tell what is to be known of it
    let path = path(cli)?;
    let store = Store::open(cli.data.as_deref().unwrap_or(&path))?;
    let store = store.with_numbers_only(cli.numbers_only);
    let keeper = (!store.is_read_only()).then(|| Keeper::start(store.path()));
    Ok(run(&store, start(cli), keeper.transpose()?)?)
}

/// How the screens look on this terminal.
fn start(cli: &Cli) -> Start {
    let set = |name: &str| std::env::var_os(name).is_some_and(|value| !value.is_empty());
    let theme = match cli.theme {
        Some(ThemeWord::Dark) => Some(Theme::Dark),
        Some(ThemeWord::Bright) => Some(Theme::Bright),
        Some(ThemeWord::Plain) => Some(Theme::Plain),
        None => set("NO_COLOR").then_some(Theme::Plain),
    };
    let full =
        std::env::var("COLORTERM").is_ok_and(|word| matches!(word.as_str(), "truecolor" | "24bit"));
    Start {
        theme,
        few_colours: !full,
        today: None,
        round: false,
    }
}

/// Opens the screens on the demo; where there is no terminal, prints its day sheets.
pub fn demo(cli: &Cli, wanted: &DemoArgs) -> Result<(), CliError> {
    if cli.data.is_some() {
        return Err(CliError::Usage(
            "demo makes a scratch file of its own: leave --data out, or --keep the demo".to_owned(),
        ));
    }
    let scratch = match &wanted.keep {
        Some(path) => {
            place_for_demo(cli, path)?;
            Scratch {
                file: path.clone(),
                folder: None,
            }
        }
        None => Scratch::new(),
    };
    let today = Local::now().date_naive();
    let filled = filled(&scratch.file, wanted.seed, today);
    if filled.is_err() {
        remove_begun(&scratch.file);
    }
    let store = filled?.with_numbers_only(cli.numbers_only);
    if terminal::is_there() {
        let start = Start {
            round: true,
            ..start(cli)
        };
        return Ok(run(&store, start, None)?);
    }
    let season = season(&store, today)?;
    let day = season.work.last().map_or(today, |work| work.day);
    let sheets = Report::DaySheets(season.day_sheets(day));
    say::say(&crate::report::text::render(&sheets.paper()))
}

fn filled(file: &Path, seed: u64, today: NaiveDate) -> Result<Store, CliError> {
    let store = Store::open(file)?;
    demo::fill(&store, seed, today)?;
    Ok(store)
}

/// Nothing was there before: what a demo that failed began goes again.
fn remove_begun(file: &Path) {
    for end in [""].into_iter().chain(COMPANIONS) {
        // the reason why it failed is told, and may be why this fails too
        let _ = std::fs::remove_file(with_end(file, end));
    }
}

/// Refuses to keep the demo where anything is, or would be taken for a part of the new file.
fn place_for_demo(cli: &Cli, path: &Path) -> Result<(), CliError> {
    let beside = COMPANIONS.map(|end| with_end(path, end));
    if let Some(there) = [path.to_owned()]
        .iter()
        .chain(&beside)
        .find(|path| path.exists())
    {
        return Err(CliError::Usage(format!(
            "{} is there already; the demo overwrites nothing",
            there.display()
        )));
    }
    let refused = kept(cli)?.refuse(path);
    refused.map_err(|source| CliError::of_file(path, source))
}

/// A file for a while; its folder is removed when this is dropped.
struct Scratch {
    file: PathBuf,
    folder: Option<PathBuf>,
}

impl Scratch {
    fn new() -> Self {
        let folder = std::env::temp_dir().join(format!("thirdwood-demo-{}", uuid::Uuid::now_v7()));
        Self {
            file: folder.join("orchard.db"),
            folder: Some(folder),
        }
    }
}

impl Drop for Scratch {
    fn drop(&mut self) {
        if let Some(folder) = &self.folder {
            // a scratch folder that cannot be removed harms nobody
            let _ = std::fs::remove_dir_all(folder);
        }
    }
}
