//! Hands on the screens: events in, effects carried out on a file in memory, a frame drawn after each.

use crossterm::event::Event as Input;
use ratatui::Terminal;
use ratatui::backend::TestBackend;
use thirdwood::store::{Store, StoreError};
use thirdwood::tui::app::{Effect, Event, Message, Moment, Tone, update, view};
use thirdwood::tui::runtime::{Runtime, Start, translate};
use thirdwood::tui::{Action, HitMap, Key, Screen, Theme};

use super::checks::{cells, next_id};
use super::orchard::{now, today};

pub struct Hands<'s> {
    pub desk: Runtime<'s>,
    pub written: usize,
    hits: HitMap,
    terminal: Terminal<TestBackend>,
}

impl<'s> Hands<'s> {
    pub fn on(store: &'s Store) -> Result<Self, StoreError> {
        let start = Start {
            theme: Some(Theme::Plain),
            few_colours: false,
            today: Some(today()),
            round: false,
        };
        let mut hands = Self {
            desk: Runtime::new(store, start, (80, 24))?,
            written: 0,
            hits: HitMap::new(),
            terminal: Terminal::new(TestBackend::new(80, 24)).unwrap(),
        };
        hands.draw();
        Ok(hands)
    }

    /// What the terminal reports.
    pub fn input(&mut self, input: &Input) {
        let Some(event) = translate(input, &mut self.hits) else {
            return;
        };
        if let Event::Resize(width, height) = event {
            self.terminal.backend_mut().resize(width, height);
        }
        self.take(event);
        self.draw();
    }

    pub fn key(&mut self, key: Key) {
        self.take(Event::Key(key));
    }

    pub fn go(&mut self, screen: Screen) {
        self.take(Event::Act(Action::Go(screen)));
    }

    /// As the loop does it, but for what would leave the file in memory: papers and backups go to folders.
    pub fn take(&mut self, event: Event) {
        let moment = || Moment {
            now: now(),
            id: next_id(),
        };
        for effect in update(&mut self.desk.model, event, moment()) {
            let follows = match effect {
                Effect::Quit | Effect::StopWork => None,
                Effect::Papers(..) | Effect::WriteTables(..) => {
                    let words = "not here".to_owned();
                    Some(Event::WorkEnded(Message {
                        tone: Tone::Note,
                        words,
                    }))
                }
                // writes the file afresh, which nothing that is taken back can
                Effect::Restore(_) | Effect::ForgetName(..) => {
                    Some(Event::Failed("not here".to_owned()))
                }
                effect => self.carried_out(effect),
            };
            if let Some(event) = follows {
                update(&mut self.desk.model, event, moment());
            }
        }
    }

    fn carried_out(&mut self, effect: Effect) -> Option<Event> {
        let told = format!("{effect:?}");
        match self.desk.carry_out(effect) {
            Ok(()) => {
                self.written += 1;
                None
            }
            // what forms and screens let through, the file must not find unsound
            Err(
                e @ (StoreError::Sqlite(_) | StoreError::Damaged { .. } | StoreError::Corrupt(_)),
            ) => {
                panic!("{e}: {told}")
            }
            Err(e) => Some(Event::Failed(e.to_string())),
        }
    }

    pub fn draw(&mut self) {
        let mut hits = HitMap::new();
        let model = &self.desk.model;
        self.terminal
            .draw(|frame| hits = view(model, frame.buffer_mut()))
            .unwrap();
        let buffer = self.terminal.backend().buffer();
        cells(buffer);
        for (place, action) in hits.targets().chain(hits.rows()) {
            assert_eq!(
                buffer.area.intersection(place),
                place,
                "{action:?} lies outside"
            );
        }
        self.hits = hits;
    }
}
