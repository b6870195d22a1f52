//! The loop: read an event, update, write, draw.

mod file;

use std::io;
use std::time::Duration;

use chrono::{Local, NaiveDate};
use crossterm::event::{self, Event as Input, MouseButton, MouseEventKind};
use thiserror::Error;
use uuid::Uuid;

use super::app::{Effect, Event, Look, Message, Model, Moment, Tone, update, view};
use super::terminal::Taken;
use super::work::Work;
use super::{HitMap, Key, Screen, Theme};
use crate::orchard::{CountId, Stamp, TreeCount, WinterId};
use crate::report::Making;
use crate::store::backup::{Keeper, Made, Report};
use crate::store::{Store, StoreError};
use file::{read, read_look, write};

/// How long to wait for an event before looking at the clock and at what other programs wrote.
const IDLE: Duration = Duration::from_secs(1);

/// The same while a long work tells how far it is.
const BUSY: Duration = Duration::from_millis(50);

/// How long to wait for what still comes in when leaving.
const LAST: Duration = Duration::from_millis(60);

/// Why the screens ended badly.
#[derive(Debug, Error)]
pub enum RunError {
    /// The file.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// The terminal.
    #[error("the terminal: {0}")]
    Terminal(#[from] io::Error),
}

/// How this run looks, whatever the settings say.
#[derive(Debug, Clone, Copy, Default)]
pub struct Start {
    /// The theme, where it is not left to the settings.
    pub theme: Option<Theme>,
    /// Whether the terminal shows only 256 colours.
    pub few_colours: bool,
    /// The day taken for today (for the demo); the clock's where not given.
    pub today: Option<NaiveDate>,
}

/// Opens the screens on a file, until the person leaves. `keeper` makes its backups.
pub fn run(store: &Store, start: Start, keeper: Option<Keeper>) -> Result<(), RunError> {
    let mut terminal = Taken::take()?;
    let size = terminal.size()?;
    let mut desk = Desk::opening(store, start, (size.width, size.height))?;
    draw(&mut terminal, &desk)?;
    desk.open()?;
    let mut hits = draw(&mut terminal, &desk)?;
    desk.keep(keeper);
    #[cfg(debug_assertions)]
    fail_if_asked();
    loop {
        if event::poll(desk.patience())? {
            let Some(event) = translate(&event::read()?, &mut hits) else {
                continue;
            };
            if let Event::Resize(width, height) = event {
                terminal.resize(ratatui::layout::Rect::new(0, 0, width, height))?;
            }
            desk.take(event);
        } else if !desk.look_around()? {
            continue;
        }
        if desk.done {
            // the release of a touch on Quit would end up in the shell
            while event::poll(LAST)? {
                event::read()?;
            }
            return Ok(());
        }
        hits = draw(&mut terminal, &desk)?;
    }
}

/// A fault on purpose, in builds for testing alone: what happens to the terminal, and what the crash note says.
#[cfg(debug_assertions)]
fn fail_if_asked() {
    if let Some(words) = std::env::var_os("THIRDWOOD_FAIL") {
        panic!("{}", words.display());
    }
}

fn draw(terminal: &mut Taken, desk: &Desk) -> io::Result<HitMap> {
    let mut hits = HitMap::new();
    terminal.draw(|frame| {
        hits = view(&desk.model, frame.buffer_mut());
        if desk.few_colours {
            super::theme::reduce(frame.buffer_mut());
        }
    })?;
    Ok(hits)
}

/// What the terminal reports, as an event of ours. Touches act on the press alone; after a resize
/// the old places hold no more.
fn translate(input: &Input, hits: &mut HitMap) -> Option<Event> {
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
pub struct Desk<'s> {
    /// What the screens know.
    pub model: Model,
    /// The person wants to leave.
    pub done: bool,
    few_colours: bool,
    store: &'s Store,
    start: Start,
    winter: Option<WinterId>,
    seen: i64,
    keeper: Option<Keeper>,
    work: Option<Work>,
}

impl<'s> Desk<'s> {
    /// Reads the file.
    pub fn new(store: &'s Store, start: Start, size: (u16, u16)) -> Result<Self, StoreError> {
        let mut desk = Self::opening(store, start, size)?;
        desk.open()?;
        Ok(desk)
    }

    /// A desk that has read nothing but how the screens look: it can be drawn at once, however long
    /// the winter. [`Desk::open`] reads the rest.
    pub fn opening(store: &'s Store, start: Start, size: (u16, u16)) -> Result<Self, StoreError> {
        let look = Look {
            theme: start.theme.unwrap_or_default(),
            theme_fixed: start.theme.is_some(),
            ..Look::default()
        };
        let mut desk = Self {
            model: Model::new(now(start.today), size, look),
            done: false,
            few_colours: start.few_colours,
            store,
            start,
            winter: None,
            seen: store.changes_by_others()?,
            keeper: None,
            work: None,
        };
        if start.theme.is_none() {
            desk.model.look.theme = read_look(store)?.theme;
        }
        desk.model.reading = true;
        Ok(desk)
    }

    /// Reads the winter.
    pub fn open(&mut self) -> Result<(), StoreError> {
        self.reload()?;
        if self.model.season.is_none() {
            self.model.screen = Screen::SetUp;
        }
        if let Some(warning) = self.store.warning() {
            self.model.problem(warning);
        }
        Ok(())
    }

    /// Has backups made from now on: the first at once, on a thread of its own.
    pub fn keep(&mut self, keeper: Option<Keeper>) {
        self.keeper = keeper;
        self.back_up();
    }

    fn back_up(&self) {
        if let Some(keeper) = &self.keeper {
            keeper.back_up(self.model.now.day);
        }
    }

    /// How long to wait for an event before looking around: less while a work tells how far it is.
    fn patience(&self) -> Duration {
        if self.work.is_some() { BUSY } else { IDLE }
    }

    /// Takes in how far a long work is; says whether there was anything.
    fn hear_work(&mut self) -> bool {
        let news = self.work.as_ref().map(Work::news).unwrap_or_default();
        if news
            .iter()
            .any(|event| matches!(event, Event::WorkEnded(_)))
        {
            self.work = None;
        }
        let heard = !news.is_empty();
        for event in news {
            self.tell(event);
        }
        heard
    }

    /// Takes in what came of backups; says whether there was anything.
    fn hear(&mut self) -> bool {
        let keeper = self.keeper.iter();
        let heard: Vec<Report> = keeper.flat_map(Keeper::reports).collect();
        for report in &heard {
            let message = backup_message(self.store, &report.outcome);
            self.tell(Event::BackedUp(report.shelf.clone(), message));
        }
        !heard.is_empty()
    }

    /// Takes one event in and carries out all that follows from it, before the next one is read.
    pub fn take(&mut self, event: Event) {
        let moment = Moment {
            now: now(self.start.today),
            id: Uuid::now_v7(),
        };
        for effect in update(&mut self.model, event, moment) {
            if let Err(e) = self.carry_out(effect) {
                update(&mut self.model, Event::Failed(e.to_string()), moment);
            }
        }
    }

    fn tell(&mut self, event: Event) {
        let moment = Moment {
            now: now(self.start.today),
            id: Uuid::now_v7(),
        };
        update(&mut self.model, event, moment);
    }

    /// Looks at the clock, at what other programs wrote and at what came of backups; says whether anything may have changed.
    pub fn look_around(&mut self) -> Result<bool, StoreError> {
        let day = self.model.now.day;
        self.tell(Event::Tick);
        let heard = self.hear() | self.hear_work();
        let new_day = self.model.now.day != day;
        if new_day {
            self.back_up();
        }
        let seen = self.store.changes_by_others()?;
        if seen == self.seen {
            return Ok(heard || new_day);
        }
        self.seen = seen;
        self.reload()?;
        Ok(true)
    }

    fn reload(&mut self) -> Result<(), StoreError> {
        let (house, season) = read(self.store, self.winter, self.model.now.day)?;
        self.tell(Event::Loaded(Box::new(house), season.map(Box::new)));
        Ok(())
    }

    fn carry_out(&mut self, effect: Effect) -> Result<(), StoreError> {
        let store = self.store;
        match effect {
            Effect::Quit => self.done = true,
            Effect::Tap(count, begin, tap) => {
                store.tap(count, begin.as_deref(), tap)?;
                let count = self.count(count)?;
                self.tell(Event::Tapped(count, tap));
            }
            Effect::TakeBack(count) => {
                let tap = store.undo_tap(count)?;
                let count = self.count(count)?;
                self.tell(Event::TakenBack(count, tap));
            }
            Effect::Close(count, closed) => {
                store.close_count(count, closed)?;
                let count = self.count(count)?;
                self.tell(Event::CountChanged(count));
            }
            Effect::Head(count, head) => {
                store.change_head(count, &head)?;
                let count = self.count(count)?;
                self.tell(Event::CountChanged(count));
            }
            Effect::RemoveCount(count, true) => {
                store.remove_count(count, true)?;
                self.tell(Event::CountRemoved(count));
            }
            Effect::RemoveCount(count, false) => {
                store.remove_count(count, false)?;
                let count = self.count(count)?;
                self.tell(Event::CountChanged(count));
            }
            Effect::UseWinter(winter) => {
                self.winter = Some(winter);
                self.reload()?;
            }
            Effect::Restore(number) => self.restore(number)?,
            Effect::Papers(wanted, folder) => {
                let making = Making {
                    made: Local::now().to_rfc3339_opts(chrono::SecondsFormat::Secs, false),
                    ..Making::default()
                };
                let season = self.model.season.clone();
                self.work = season.map(|season| Work::papers(season, *wanted, folder, making));
            }
            Effect::StopWork => {
                if let Some(work) = &self.work {
                    work.stop();
                }
            }
            other => {
                write(store, other)?;
                self.reload()?;
            }
        }
        Ok(())
    }

    fn restore(&mut self, number: u32) -> Result<(), StoreError> {
        let restored = self.store.restore(number, self.model.now.day)?;
        self.seen = self.store.changes_by_others()?;
        self.winter = None;
        self.reload()?;
        let undo = match restored.before {
            Some(before) => format!("; number {} is the file as it was before", before.number),
            None => String::new(),
        };
        self.model
            .note(format!("backup {number} is put back{undo}"));
        // the list of backups is read afresh
        self.back_up();
        Ok(())
    }

    fn count(&self, count: CountId) -> Result<Box<TreeCount>, StoreError> {
        self.store
            .count(count)?
            .map(Box::new)
            .ok_or(StoreError::Gone("count"))
    }
}

/// What to tell of a backup: nothing where all is as it should be.
fn backup_message(store: &Store, outcome: &Result<Made, StoreError>) -> Option<Message> {
    let (tone, words) = match outcome {
        Ok(Made::Kept(_) | Made::Unchanged(_) | Made::Busy) => return None,
        Ok(Made::Damaged(problems, _)) => {
            let problem = problems.first().map_or("", String::as_str);
            let damage = store.damage(problem);
            (Tone::Problem, damage.to_string().replace('\n', " "))
        }
        Err(e) => (Tone::Note, format!("no backup was made: {e}")),
    };
    Some(Message { tone, words })
}

/// The moment, on the day taken for today.
fn now(today: Option<NaiveDate>) -> Stamp {
    let moment = Local::now().fixed_offset();
    let stamp = Stamp::of(moment);
    let Some(today) = today else { return stamp };
    // the demo's clock: the time of day is the real one
    let shift = today.signed_duration_since(stamp.day).num_milliseconds();
    Stamp {
        utc_ms: stamp.utc_ms + shift,
        day: today,
        ..stamp
    }
}
