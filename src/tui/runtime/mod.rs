//! The loop: read an event, update, write, draw. The only place with file and terminal.

mod astray;
mod carry;
mod file;
mod others;
mod place;
pub mod stop;
mod tables;
mod tablets;
mod task;
pub mod terminal;
#[cfg(test)]
mod tests;

use std::io;
use std::time::{Duration, Instant};

use chrono::NaiveDate;
use crossterm::event::{self, Event as Input, MouseButton, MouseEventKind};
use thiserror::Error;

use crate::orchard::WinterId;
use crate::store::backup::{Keeper, Made, Report};
use crate::store::{Store, StoreError, why};
use crate::tui::app::{Event, Layer, Look, Message, Model, Tone, update, view};
use crate::tui::tour::Tour;
use crate::tui::{HitMap, Key, Screen, Theme};
use astray::now;
use file::{read, read_look};
use stop::Signalled;
use task::Task;
use terminal::Taken;

/// How long to wait for an event before looking at the clock and at what other programs wrote.
const IDLE: Duration = Duration::from_secs(1);

/// The same while a long work tells how far it is.
const BUSY: Duration = Duration::from_millis(50);

/// What to say where a work ended without a word.
const BROKE_OFF: &str =
    "a fault of the program broke this work off; what was whole before that is kept";

/// How long to wait for what still comes in when leaving.
const LAST: Duration = Duration::from_millis(60);

/// Why the screens ended badly.
#[derive(Debug, Error)]
pub enum RunError {
    /// The file.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// The terminal.
    #[error(
        "the terminal can no longer be used ({}): start the program again in another; all that was counted is kept", why(.0)
    )]
    Terminal(#[from] io::Error),
    /// The file was taken away meanwhile; with where it is kept.
    #[error("{0}")]
    Astray(String),
    /// A signal from outside.
    #[error("ended by signal {0}")]
    Signal(i32),
}

/// How this run looks, whatever the settings say.
#[derive(Debug, Clone, Copy, Default)]
pub struct Start {
    /// The theme, where it is not left to the settings.
    pub theme: Option<Theme>,
    /// Whether the terminal shows only 256 colours.
    pub few_colours: bool,
    /// The day taken for today (for tests); the clock's where not given.
    pub today: Option<NaiveDate>,
    /// Lead a newcomer round the house.
    pub round: bool,
}

/// Opens the screens on a file, until the person leaves. `keeper` makes its backups.
pub fn run(store: &Store, start: Start, keeper: Option<Keeper>) -> Result<(), RunError> {
    let signalled = Signalled::listen(terminal::give_back_at_once)?;
    let ended = until_left(store, start, keeper, &signalled);
    if matches!(ended, Err(RunError::Terminal(_))) {
        // a terminal that goes away is first met as an error, and told by a signal right after
        std::thread::sleep(LAST);
    }
    match signalled.to_end() {
        Some(signal) => Err(RunError::Signal(signal)),
        None => ended,
    }
}

fn until_left(
    store: &Store,
    start: Start,
    keeper: Option<Keeper>,
    signalled: &Signalled,
) -> Result<(), RunError> {
    let mut terminal = Taken::take()?;
    let size = terminal.size()?;
    let mut runtime = Runtime::opening(store, start, (size.width, size.height))?;
    draw(&mut terminal, &runtime)?;
    runtime.open()?;
    let mut hits = draw(&mut terminal, &runtime)?;
    runtime.keep(keeper);
    #[cfg(debug_assertions)]
    fail_if_asked();
    let mut looked = Instant::now();
    while signalled.to_end().is_none() {
        if signalled.to_stop() || std::mem::take(&mut runtime.stopping) {
            terminal.stop()?;
            hits = drawn_anew(&mut terminal, &mut runtime)?;
        } else if signalled.to_go_on() {
            terminal.again()?;
            hits = drawn_anew(&mut terminal, &mut runtime)?;
        }
        let mut changed = false;
        if event::poll(runtime.patience().saturating_sub(looked.elapsed()))?
            && let Some(event) = translate(&event::read()?, &mut hits)
        {
            if let Event::Resize(width, height) = event {
                terminal.resize(ratatui::layout::Rect::new(0, 0, width, height))?;
            }
            runtime.take(event);
            changed = true;
        }
        // also while the hands or the mouse give no rest
        if looked.elapsed() >= runtime.patience() {
            if !terminal::is_there() {
                // it tells nothing more, and would be asked without end
                return Err(io::Error::from(io::ErrorKind::NotConnected).into());
            }
            changed |= runtime.glance();
            looked = Instant::now();
        }
        if runtime.done {
            // the release of a touch on Quit would end up in the shell
            while event::poll(LAST)? {
                event::read()?;
            }
            break;
        }
        if changed {
            hits = draw(&mut terminal, &runtime)?;
        }
    }
    runtime.parting()
}

/// After a stop: the window may be another size, the file may have changed, and nothing of ours is on the screen.
fn drawn_anew(terminal: &mut Taken, runtime: &mut Runtime) -> Result<HitMap, RunError> {
    let size = terminal.size()?;
    runtime.take(Event::Resize(size.width, size.height));
    runtime.glance();
    Ok(draw(terminal, runtime)?)
}

/// A fault on purpose, in builds for testing alone: what happens to the terminal, and what the crash note says.
#[cfg(debug_assertions)]
fn fail_if_asked() {
    if let Some(words) = std::env::var_os("THIRDWOOD_FAIL") {
        panic!("{}", words.display());
    }
}

fn draw(terminal: &mut Taken, runtime: &Runtime) -> io::Result<HitMap> {
    let mut hits = HitMap::new();
    terminal.draw(|frame| {
        hits = view(&runtime.model, frame.buffer_mut());
        if runtime.few_colours {
            crate::tui::theme::reduce(frame.buffer_mut());
        }
    })?;
    Ok(hits)
}

/// What the terminal reports, as an event of ours. Touches act on the press alone; after a resize
/// the old places hold no more.
pub fn translate(input: &Input, hits: &mut HitMap) -> Option<Event> {
    match input {
        Input::Key(key) => Key::from_crossterm(*key).map(Event::Key),
        Input::Mouse(mouse) if mouse.kind == MouseEventKind::Down(MouseButton::Left) => {
            hits.at(mouse.column, mouse.row).map(Event::Act)
        }
        Input::Mouse(mouse) if mouse.kind == MouseEventKind::ScrollDown => {
            Some(Event::Key(Key::Down))
        }
        Input::Mouse(mouse) if mouse.kind == MouseEventKind::ScrollUp => Some(Event::Key(Key::Up)),
        Input::Paste(text) => Some(Event::Paste(text.clone())),
        Input::Resize(columns, lines) => {
            hits.clear();
            Some(Event::Resize(*columns, *lines))
        }
        _ => None,
    }
}

/// The model with the file under it: takes events in, and carries out what they ask for.
///
/// The benchmark and the tests drive it as the loop does, without a terminal.
#[derive(Debug)]
pub struct Runtime<'s> {
    /// What the screens know.
    pub model: Model,
    /// The person wants to leave.
    pub done: bool,
    /// The person wants to be back in the shell for a while.
    pub stopping: bool,
    few_colours: bool,
    store: &'s Store,
    start: Start,
    winter: Option<WinterId>,
    /// The day that the clock was last doubted and the file last backed up on.
    day: NaiveDate,
    seen: i64,
    keeper: Option<Keeper>,
    task: Option<Task>,
    /// The file is not in its place any more; where what was in it is kept.
    astray: Option<String>,
}

impl<'s> Runtime<'s> {
    /// Reads the file.
    pub fn new(store: &'s Store, start: Start, size: (u16, u16)) -> Result<Self, StoreError> {
        let mut runtime = Self::opening(store, start, size)?;
        runtime.open()?;
        Ok(runtime)
    }

    /// A runtime that has read nothing but how the screens look: it can be drawn at once, however long
    /// the winter. [`Runtime::open`] reads the rest.
    pub fn opening(store: &'s Store, start: Start, size: (u16, u16)) -> Result<Self, StoreError> {
        let look = Look {
            theme: start.theme.unwrap_or_default(),
            theme_fixed: start.theme.is_some(),
            ..Look::default()
        };
        let now = now(start.today)?;
        let mut runtime = Self {
            model: Model::new(now, size, look),
            day: now.day,
            done: false,
            stopping: false,
            few_colours: start.few_colours,
            store,
            start,
            winter: None,
            seen: store.changes_by_others()?,
            keeper: None,
            task: None,
            astray: None,
        };
        if start.theme.is_none() {
            runtime.model.look.theme = read_look(store)?.theme;
        }
        runtime.model.show(Layer::Reading);
        Ok(runtime)
    }

    /// Reads the winter.
    pub fn open(&mut self) -> Result<(), StoreError> {
        self.reload()?;
        if self.model.season.is_none() {
            self.model.screen = Screen::SetUp;
        }
        if self.start.round {
            self.model.tour = Some(Tour::begin(&self.model.seen()));
        }
        self.doubt_clock();
        if let Some(warning) = self.store.warning() {
            self.model.problem(warning);
        }
        Ok(())
    }

    /// Says where a clock seems to be wrong: counts go by it.
    fn doubt_clock(&mut self) {
        let season = self.model.season.as_ref();
        if let Some(words) = season.and_then(|season| season.clock_doubt(self.model.now.day)) {
            self.model.problem(words);
        }
    }

    /// Has backups made from now on: the first at once, on a thread of its own.
    pub fn keep(&mut self, keeper: Option<Keeper>) {
        self.keeper = keeper;
        self.back_up();
    }

    fn back_up(&self) {
        if let Some(keeper) = self.keeper.as_ref().filter(|_| self.astray.is_none()) {
            keeper.back_up(self.model.now.day);
        }
    }

    /// How long to wait for an event before looking around: less while a work tells how far it is.
    fn patience(&self) -> Duration {
        if self.task.is_some() { BUSY } else { IDLE }
    }

    /// Takes in how far a long work is; says whether there was anything.
    fn hear_task(&mut self) -> Result<bool, StoreError> {
        let (news, ended) = self.task.as_ref().map(Task::news).unwrap_or_default();
        let heard = !news.is_empty();
        for event in news {
            self.tell(event)?;
        }
        if ended {
            self.task = None;
            if matches!(self.model.layers.last(), Some(Layer::Working(_))) {
                // it told no end: its thread failed
                self.tell(Event::Failed(BROKE_OFF.to_owned()))?;
            }
            // the list of backups is read afresh
            self.back_up();
            // a bundle may have been written or taken in
            if let Err(e) = self.read_tablets() {
                self.model.problem(e.to_string());
            }
        }
        Ok(heard || ended)
    }

    /// Takes in what came of backups; says whether there was anything.
    fn hear(&mut self) -> Result<bool, StoreError> {
        let keeper = self.keeper.iter();
        let heard: Vec<Report> = keeper.flat_map(Keeper::reports).collect();
        for report in &heard {
            let message = backup_message(self.store, &report.outcome);
            self.tell(Event::BackedUp(report.shelf.clone(), message))?;
        }
        Ok(!heard.is_empty())
    }

    /// Takes one event in and carries out all that follows from it, before the next one is read.
    pub fn take(&mut self, event: Event) {
        if self.met_others(&event) {
            return;
        }
        if let Err(e) = self.tell(event) {
            let words = self.told(&e);
            let failed = self.tell(Event::Failed(words));
            failed.unwrap_or_else(|e| self.model.problem(e.to_string()));
        }
    }

    /// Takes one event in and carries out what follows from it, or says what the file refused of that.
    fn tell(&mut self, event: Event) -> Result<(), StoreError> {
        let moment = self.moment();
        let effects = update(&mut self.model, event, moment);
        self.carry_out_all(effects)
    }

    /// Looks around; what the file refuses is told at the foot, and tried again the next time.
    pub fn glance(&mut self) -> bool {
        self.look_around().unwrap_or_else(|e| {
            let words = self.told(&e);
            self.model.problem(words);
            true
        })
    }

    /// Looks at the clock, at what other programs wrote and at what came of backups; says whether anything may have changed.
    pub fn look_around(&mut self) -> Result<bool, StoreError> {
        now(self.start.today)?;
        self.tell(Event::Tick)?;
        let heard = self.hear()? | self.hear_task()?;
        // a key may have been the first to see the day
        let new_day = self.model.now.day != self.day;
        if new_day {
            self.day = self.model.now.day;
            self.back_up();
            self.doubt_clock();
        }
        self.look_for_file()?;
        Ok(self.read_others()? || heard || new_day)
    }

    fn reload(&mut self) -> Result<(), StoreError> {
        let (house, season) = read(self.store, self.winter, self.model.now.day)?;
        self.tell(Event::Loaded(Box::new(house), season.map(Box::new)))
    }
}

/// What to tell of a backup: nothing where all is as it should be.
fn backup_message(store: &Store, outcome: &Result<Made, StoreError>) -> Option<Message> {
    let (tone, words) = match outcome {
        Ok(Made::Kept(_) | Made::Unchanged(_) | Made::Busy) => return None,
        Ok(Made::Damaged(problems, _)) => {
            let problem = problems.first().map_or("", String::as_str);
            let damage = store.damage(problem);
            (Tone::Problem, damage.to_string())
        }
        Err(e) => (Tone::Note, format!("no backup was made: {}", e.in_short())),
    };
    Some(Message { tone, words })
}
