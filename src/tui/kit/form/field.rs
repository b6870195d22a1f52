//! One field of a form.

use tui_input::{Input, InputRequest};

use crate::orchard::{parse_day, unsafe_in_text};

/// The most characters that a field takes; what the field means may allow fewer.
pub const MAX_TYPED: usize = 600;

/// What a field is filled with.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Kind {
    /// A line of text.
    Text,
    /// A number: digits, signs and separators only.
    Number,
    /// A calendar day.
    Day,
    /// A longer text, on one line.
    Note,
    /// One of some entries.
    Choice(Vec<String>),
    /// Yes or no.
    Toggle,
}

/// One field: what it is called, what is in it, and what is wrong with it.
#[derive(Debug, Clone)]
pub struct Field {
    /// The name that [`crate::orchard::Invalid`] uses for it.
    pub key: &'static str,
    /// The name on the screen.
    pub label: String,
    /// What to fill in, shown while the field is in focus.
    pub hint: String,
    /// What it is filled with.
    pub kind: Kind,
    /// What is wrong with its value.
    pub error: Option<String>,
    /// What a typed text is written with, where that is few letters: a touch finds them on buttons.
    pub marks: &'static str,
    /// What was changed elsewhere while it was filled in here; told until somebody types in it.
    pub(super) elsewhere: Option<String>,
    pub(super) input: Input,
    choice: usize,
    /// What it was filled with when the form was made.
    pub(super) began: String,
}

impl Field {
    fn new(key: &'static str, label: impl Into<String>, kind: Kind) -> Self {
        Self {
            key,
            label: label.into(),
            hint: String::new(),
            kind,
            error: None,
            marks: "",
            elsewhere: None,
            input: Input::default(),
            choice: 0,
            began: String::new(),
        }
    }

    /// A line of text.
    pub fn text(key: &'static str, label: impl Into<String>) -> Self {
        Self::new(key, label, Kind::Text)
    }

    /// A number.
    pub fn number(key: &'static str, label: impl Into<String>) -> Self {
        Self::new(key, label, Kind::Number)
    }

    /// A whole number.
    pub fn whole(key: &'static str, label: impl Into<String>) -> Self {
        Self::number(key, label).written_with("0123456789")
    }

    /// A calendar day.
    pub fn day(key: &'static str, label: impl Into<String>) -> Self {
        Self::new(key, label, Kind::Day)
    }

    /// A note.
    pub fn note(key: &'static str, label: impl Into<String>) -> Self {
        Self::new(key, label, Kind::Note)
    }

    /// One of some entries; the first is chosen.
    pub fn choice_of(key: &'static str, label: impl Into<String>, entries: Vec<String>) -> Self {
        Self::new(key, label, Kind::Choice(entries))
    }

    /// Yes or no.
    pub fn toggle(key: &'static str, label: impl Into<String>, on: bool) -> Self {
        let mut field = Self::new(key, label, Kind::Toggle);
        field.choice = usize::from(on);
        field
    }

    /// With a hint.
    #[must_use]
    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = hint.into();
        self
    }

    /// Written with these letters only.
    #[must_use]
    pub fn written_with(mut self, marks: &'static str) -> Self {
        self.marks = marks;
        self
    }

    /// With a value, as by [`set_value`](Self::set_value).
    #[must_use]
    pub fn with(mut self, value: impl AsRef<str>) -> Self {
        self.set_value(value.as_ref());
        self.began = String::from(self.value());
        self
    }

    /// With the entry at this place chosen.
    #[must_use]
    pub fn chosen(mut self, place: usize) -> Self {
        self.set_choice(place);
        self
    }

    /// Whether it is typed into.
    pub fn is_typed(&self) -> bool {
        !matches!(self.kind, Kind::Choice(_) | Kind::Toggle)
    }

    /// How many entries there are to choose from; 0 where it is typed into.
    pub fn entries(&self) -> usize {
        match &self.kind {
            Kind::Choice(entries) => entries.len(),
            Kind::Toggle => 2,
            _ => 0,
        }
    }

    /// What stands in it.
    pub fn value(&self) -> &str {
        match &self.kind {
            Kind::Choice(entries) => entries.get(self.choice).map_or("", String::as_str),
            Kind::Toggle if self.is_on() => "yes",
            Kind::Toggle => "no",
            _ => self.input.value(),
        }
    }

    /// The place of the chosen entry.
    pub fn choice(&self) -> usize {
        self.choice
    }

    /// Whether a yes-or-no field says yes.
    pub fn is_on(&self) -> bool {
        self.kind == Kind::Toggle && self.choice == 1
    }

    /// Puts a text in; for a choice, chooses the entry of that text if there is one.
    pub fn set_value(&mut self, value: &str) {
        match &self.kind {
            Kind::Choice(entries) => {
                let place = entries.iter().position(|e| e == value);
                self.choice = place.unwrap_or(self.choice);
            }
            Kind::Toggle => self.choice = usize::from(value == "yes"),
            _ => self.input = Input::new(value.chars().take(MAX_TYPED).collect()),
        }
    }

    /// Chooses an entry; past the last is the last.
    pub fn set_choice(&mut self, place: usize) {
        self.choice = place.min(self.entries().saturating_sub(1));
    }

    /// Chooses the entry `step` further, round from the last to the first.
    pub(super) fn turn(&mut self, step: i8) -> bool {
        let entries = self.entries();
        if entries < 2 {
            return false;
        }
        let to = self.choice as i64 + i64::from(step);
        self.choice = to.rem_euclid(entries as i64) as usize;
        true
    }

    /// Whether it is a number or a day, which has one before and one after.
    pub(super) fn has_steps(&self) -> bool {
        matches!(self.kind, Kind::Number | Kind::Day)
    }

    /// One more or one less; says whether it changed. A number is not brought below 0; from what is no day, it is the day
    /// that the form began with.
    pub(super) fn step(&mut self, by: i8) -> bool {
        let next = match self.kind {
            Kind::Number => number_beside(self.value().trim(), by),
            Kind::Day if parse_day("day", self.value()).is_err() => parse_day("day", &self.began)
                .ok()
                .map(|day| day.to_string()),
            Kind::Day => day_beside(self.value(), by),
            _ => None,
        };
        if let Some(next) = &next {
            self.set_value(next);
        }
        next.is_some()
    }

    /// Chooses the entry that best begins as typed; says whether there is one.
    pub(super) fn jump(&mut self, typed: &str) -> bool {
        let Kind::Choice(entries) = &self.kind else {
            return false;
        };
        let typed = typed.to_lowercase();
        let best = (0..).zip(entries).filter_map(|(place, entry)| {
            let rank = rank(&entry.to_lowercase(), &typed)?;
            Some((rank, place))
        });
        match best.min() {
            Some((_, place)) => self.choice = place,
            None => return false,
        }
        true
    }

    /// Whether it is written with such letters.
    pub(super) fn takes(&self, c: char) -> bool {
        match self.kind {
            Kind::Number => c.is_ascii_digit() || matches!(c, '.' | ',' | '-' | '+'),
            Kind::Text | Kind::Note | Kind::Day => !unsafe_in_text(c),
            Kind::Choice(_) | Kind::Toggle => false,
        }
    }

    /// Types one character; says whether there was room for it.
    pub(super) fn type_char(&mut self, c: char) -> bool {
        let full = self.input.value().chars().count() >= MAX_TYPED;
        self.takes(c) && !full && self.edit(InputRequest::InsertChar(c))
    }

    /// Edits the text; says whether it changed.
    pub(super) fn edit(&mut self, request: InputRequest) -> bool {
        self.is_typed()
            && self
                .input
                .handle(request)
                .is_some_and(|change| change.value)
    }

    /// The text and its cursor, for drawing.
    pub(super) fn input(&self) -> &Input {
        &self.input
    }
}

/// The number beside one, in steps of its last digit; from nothing on it is 1.
fn number_beside(typed: &str, by: i8) -> Option<String> {
    if typed.is_empty() {
        return (by > 0).then(|| "1".to_owned());
    }
    let typed = typed.replace(',', ".");
    let places = typed
        .split_once('.')
        .map_or(0, |(_, after)| after.len().min(6));
    let step = f64::from(by) * 10f64.powi(-(places as i32));
    let next = typed.parse::<f64>().ok()? + step;
    (next.is_finite() && next > -1e-9 && next < 1e9).then(|| format!("{:.places$}", next.max(0.0)))
}

fn day_beside(typed: &str, by: i8) -> Option<String> {
    let day = parse_day("day", typed).ok()?;
    let next = day.checked_add_signed(chrono::TimeDelta::days(by.into()))?;
    parse_day("day", &next.to_string())
        .ok()
        .map(|day| day.to_string())
}

/// How well an entry answers what was typed, 0 the best: its first word whole, its beginning, the
/// beginning of a later word, anywhere within.
fn rank(entry: &str, typed: &str) -> Option<u8> {
    let mut words = entry.split_whitespace();
    if words.next() == Some(typed) {
        Some(0)
    } else if entry.starts_with(typed) {
        Some(1)
    } else if words.any(|word| word.starts_with(typed)) {
        Some(2)
    } else if entry.contains(typed) {
        Some(3)
    } else {
        None
    }
}
