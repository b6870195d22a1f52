//! From a key to what it asks for: one table, and pure functions over it.

mod layout;
mod table;

pub use layout::BudKeys;
pub use table::{Binding, TABLE};

use super::{Action, Key, Screen, text};
use crate::orchard::{Buds, Size, Tap};

/// Where a key is pressed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Context {
    /// Everywhere in the program.
    Anywhere,
    /// Every screen that no form, question or help covers.
    House,
    /// Screens that are a list.
    List,
    /// The Count screen.
    Count,
    /// A form.
    Form,
    /// The Today screen.
    Today,
    /// The Crew screen.
    Crew,
    /// The Blocks screen.
    Blocks,
    /// The Winter screen.
    Winter,
    /// One block opened on the Outlook screen.
    Outlook,
    /// The Set-up screen.
    SetUp,
    /// One thing opened from a list: a pruner, a block, a sheet.
    Detail,
    /// Screens with pictures of what they show.
    Pictured,
    /// The pictures.
    Pictures,
    /// A question with yes and no.
    Confirm,
    /// The help.
    Help,
    /// What a small screen has no room for.
    Menu,
    /// Everywhere on a small screen.
    Small,
}

/// What lies on top of a screen.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Mode {
    /// The screen itself.
    Base,
    /// One thing opened from its list.
    Detail,
    /// The pictures.
    Pictures,
    /// A form.
    Form,
    /// A question.
    Confirm,
    /// The help.
    Help,
    /// What a small screen has no room for.
    Menu,
}

impl Mode {
    /// All of them.
    pub const ALL: [Self; 7] = [
        Self::Base,
        Self::Detail,
        Self::Pictures,
        Self::Form,
        Self::Confirm,
        Self::Help,
        Self::Menu,
    ];
}

/// The contexts of a place, the nearest first.
pub fn stack(screen: Screen, mode: Mode) -> &'static [Context] {
    use Context as C;
    match (mode, screen) {
        (Mode::Pictures, _) => &[C::Pictures, C::Anywhere],
        (Mode::Form, _) => &[C::Form, C::Anywhere],
        (Mode::Confirm, _) => &[C::Confirm, C::Anywhere],
        (Mode::Help, _) => &[C::Help, C::Anywhere],
        (Mode::Menu, _) => &[C::Menu, C::Anywhere],
        (Mode::Detail, Screen::Crew) => &[C::Crew, C::Pictured, C::Detail, C::House, C::Anywhere],
        (Mode::Detail, Screen::Blocks) => {
            &[C::Blocks, C::Pictured, C::Detail, C::House, C::Anywhere]
        }
        (Mode::Detail, Screen::Outlook) => {
            &[C::Outlook, C::Pictured, C::Detail, C::House, C::Anywhere]
        }
        (Mode::Detail, _) => &[C::Detail, C::House, C::Anywhere],
        (Mode::Base, Screen::Today) => &[C::Today, C::List, C::House, C::Anywhere],
        (Mode::Base, Screen::Count) => &[C::Count, C::House, C::Anywhere],
        (Mode::Base, Screen::Crew) => &[C::Crew, C::Pictured, C::List, C::House, C::Anywhere],
        (Mode::Base, Screen::Blocks) => &[C::Blocks, C::Pictured, C::List, C::House, C::Anywhere],
        (Mode::Base, Screen::Winter) => &[C::Winter, C::Pictured, C::List, C::House, C::Anywhere],
        (Mode::Base, Screen::Outlook) => &[C::Pictured, C::List, C::House, C::Anywhere],
        (Mode::Base, Screen::SetUp) => &[C::SetUp, C::List, C::House, C::Anywhere],
    }
}

/// The table's lines for one context.
pub fn bindings(context: Context) -> impl Iterator<Item = &'static Binding> {
    TABLE.iter().filter(move |b| b.context == context)
}

/// What a key asks for in a stack of contexts, the nearest first. A letter counts in either case.
pub fn resolve(stack: &[Context], key: Key, keys: &BudKeys) -> Option<Action> {
    stack.iter().find_map(|context| match context {
        Context::Count => count(key, keys),
        other => in_table(*other, lower(key)),
    })
}

fn in_table(context: Context, key: Key) -> Option<Action> {
    bindings(context)
        .find(|b| b.keys.contains(&key))
        .map(|b| b.action)
}

/// On the Count screen the digit row and three letter rows count, wherever the layout has them.
fn count(key: Key, keys: &BudKeys) -> Option<Action> {
    let Key::Char(typed) = key else {
        return in_table(Context::Count, key);
    };
    if let Some((size, buds)) = keys.cell(typed) {
        let buds = Buds::new(buds as u8).ok()?;
        return Some(Action::Tap(Tap::TwoYear(Size::ALL[size], buds)));
    }
    let typed = keys.digit(typed).unwrap_or(typed);
    in_table(Context::Count, Key::Char(typed))
}

fn lower(key: Key) -> Key {
    match key {
        Key::Char(c) => Key::Char(c.to_ascii_lowercase()),
        other => other,
    }
}

/// The key to show beside an action's button in a stack, such as `Enter`.
pub fn key_name(stack: &[Context], action: Action, keys: &BudKeys) -> Option<String> {
    if let Action::Tap(Tap::TwoYear(size, buds)) = action {
        let key = keys.key(size.index(), usize::from(buds.get()));
        return stack.contains(&Context::Count).then(|| key.to_string());
    }
    let mut lines = stack.iter().flat_map(|context| bindings(*context));
    let line = lines.find(|b| b.action == action)?;
    line.keys.first().map(|key| short(*key))
}

/// The footer of a stack, cut to `columns`: keys with their words, the nearest context first.
pub fn footer(stack: &[Context], columns: usize) -> String {
    text::cut(&whole_footer(stack), columns)
}

fn whole_footer(stack: &[Context]) -> String {
    let lines = stack.iter().flat_map(|context| bindings(*context));
    // a form is saved or left before there is help
    let form = stack.contains(&Context::Form);
    let shown = lines.filter(|b| !b.label.is_empty() && (!form || b.action != Action::Help));
    let words = shown.filter_map(|b| Some(format!("{} {}", short(*b.keys.first()?), b.label)));
    words.collect::<Vec<_>>().join("  ")
}

/// Arrows and the backspace are shorter on a button than their names.
fn short(key: Key) -> String {
    match key {
        Key::Up => "↑".to_owned(),
        Key::Down => "↓".to_owned(),
        Key::Left => "←".to_owned(),
        Key::Right => "→".to_owned(),
        Key::Backspace => "Bksp".to_owned(),
        Key::Delete => "Del".to_owned(),
        other => other.name(),
    }
}

/// One line of the help.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HelpLine {
    /// The keys, such as `Down or Tab`.
    pub keys: String,
    /// What they do.
    pub doc: String,
}

/// The help of a stack, the nearest context first.
pub fn help(stack: &[Context], keys: &BudKeys) -> Vec<HelpLine> {
    let mut lines = Vec::new();
    for context in stack {
        for binding in bindings(*context) {
            let names: Vec<String> = binding.keys.iter().map(|key| key.name()).collect();
            lines.push(HelpLine {
                keys: names.join(" or "),
                doc: binding.doc.to_owned(),
            });
        }
        if *context == Context::Count {
            lines.extend(Size::ALL.map(|size| bud_line(size, keys)));
        }
    }
    lines
}

fn bud_line(size: Size, keys: &BudKeys) -> HelpLine {
    let row: Vec<String> = (0..8)
        .map(|buds| keys.key(size.index(), buds).to_string())
        .collect();
    HelpLine {
        keys: row.join(" "),
        doc: format!(
            "{} two-year piece with 0 to 6, 7 or more buds left",
            size.word()
        ),
    }
}

#[cfg(test)]
mod tests;
