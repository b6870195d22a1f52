//! The key table: every key of the program, once. Dispatch, footer and help are made from it.

use super::Context::{
    self, Anywhere, Blocks, Confirm, Count, Crew, Detail, Form, Help, House, List, Menu, Outlook,
    Pictured, Pictures, SetUp, Small, Today, Winter,
};
use super::{Action, Key, Screen};
use crate::orchard::{Age, Tap};

/// One line of the table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Binding {
    /// Where the keys mean this.
    pub context: Context,
    /// The keys; the first is the one shown.
    pub keys: &'static [Key],
    /// What they ask for.
    pub action: Action,
    /// The word in the footer and on the button; empty where the footer leaves it out.
    pub label: &'static str,
    /// One line for the help.
    pub doc: &'static str,
}

const fn bind(
    context: Context,
    keys: &'static [Key],
    action: Action,
    label: &'static str,
    doc: &'static str,
) -> Binding {
    Binding {
        context,
        keys,
        action,
        label,
        doc,
    }
}

const fn go(keys: &'static [Key], screen: Screen, doc: &'static str) -> Binding {
    bind(House, keys, Action::Go(screen), "", doc)
}

const fn piece(keys: &'static [Key], age: Age, doc: &'static str) -> Binding {
    bind(Count, keys, Action::Tap(Tap::Piece(age)), "", doc)
}

/// All keys, in the order of the help. The letter rows of the bud field come from the keyboard
/// layout ([`super::BudKeys`]).
#[rustfmt::skip]
pub const TABLE: &[Binding] = &[
    piece(&[Key::Char('1')], Age::One, "count one piece of one-year wood"),
    piece(&[Key::Char('2')], Age::Two, "count one piece of two-year wood (its buds: letters)"),
    piece(&[Key::Char('3')], Age::Three, "count one piece of three-year wood"),
    piece(&[Key::Char('4')], Age::FourPlus, "count one piece of wood of four years and more"),
    bind(Count, &[Key::Char('8')], Action::Tap(Tap::Upright), "", "count upright one-year wood that was left"),
    bind(Count, &[Key::Char('9')], Action::Tap(Tap::ThickTop), "", "count thick wood left in the top third"),
    bind(Count, &[Key::Backspace], Action::Undo, "undo", "undo what was done last, as often as you like"),
    bind(Count, &[Key::Delete], Action::Less, "", "take one off: the next key or touch says of what"),
    bind(Count, &[Key::Enter], Action::CloseTree, "close", "this tree is done; on to the next drawn one"),
    bind(Count, &[Key::Char('=')], Action::EndLeader, "", "this leader has no more: on to what was drawn next"),
    bind(Count, &[Key::Char('-')], Action::Leaders(-1), "", "one leader less on this tree, as where one is dead"),
    bind(Count, &[Key::Char('+')], Action::Leaders(1), "", "one leader more on this tree"),
    bind(Count, &[Key::Char('5')], Action::TreeDetails, "tree", "part counted, before or after pruning, note"),
    bind(Count, &[Key::Char('6')], Action::OtherTree, "other", "count a tree that was not drawn"),
    bind(Count, &[Key::Char('7')], Action::SendBack, "rework", "ask for rework: send the pruner back to this row"),
    bind(Count, &[Key::Char('/')], Action::MarkTrees, "", "mark this tree: replant, pollinizer, canker and so on"),
    bind(Count, &[Key::Char('0')], Action::SkipTree, "skip", "pass over this drawn tree, with the reason"),
    bind(Count, &[Key::Esc], Action::LeaveCount, "leave", "leave; the count stays open with all its taps"),

    bind(Today, &[Key::Char(' ')], Action::Open, "", "count the selected tree"),
    bind(Today, &[Key::Char('w')], Action::LogWork, "log work", "log who pruned which rows, and how long it took"),
    bind(Today, &[Key::Char('e')], Action::LogEvening, "evening", "log the day of the whole crew, a line a pruner"),
    bind(Today, &[Key::Char('d')], Action::DrawTrees, "draw", "draw trees at random out of what was pruned"),
    bind(Today, &[Key::Char('a')], Action::CountAgain, "", "count trees again, blind, to learn how sure the counting is"),
    bind(Today, &[Key::Char('s')], Action::DaySheet, "day page", "show the supervisor's page of the day"),

    bind(Crew, &[Key::Char('p')], Action::TogglePeriod, "period", "change between the day, the last days and the winter"),
    bind(Crew, &[Key::Char('s')], Action::DaySheet, "day sheet", "show the day sheet"),
    bind(Crew, &[Key::Char('r')], Action::SendBack, "", "ask for rework: send the pruner back to a row"),
    bind(Blocks, &[Key::Char('p')], Action::TogglePeriod, "period", "change between the day, the last days and the winter"),
    bind(Blocks, &[Key::Char('g')], Action::Settle, "go-back", "say what came of a row that was sent back"),
    bind(Blocks, &[Key::Char('r')], Action::SendBack, "", "ask for rework: send a pruner back to a row"),
    bind(Blocks, &[Key::Char('m')], Action::MarkTrees, "", "mark trees of this block, in runs such as 3:17-19"),
    bind(Blocks, &[Key::Backspace], Action::Undo, "", "take back what was marked last"),
    bind(Winter, &[Key::Right], Action::NextSection, "part", "to the next part"),
    bind(Winter, &[Key::Left], Action::PrevSection, "", "to the part before"),
    bind(Winter, &[Key::Char('+'), Key::Char('=')], Action::Choose(1), "", "what if: more of the selected line"),
    bind(Winter, &[Key::Char('-')], Action::Choose(-1), "", "what if: less of the selected line"),
    bind(Winter, &[Key::Backspace], Action::Undo, "", "what if: back to what is entered"),
    bind(Winter, &[Key::Char('n')], Action::New, "", "days and pay: make an entry of the selected kind"),
    bind(Winter, &[Key::Char('e')], Action::Edit, "", "days and pay: change the selected entry"),
    bind(Winter, &[Key::Char('x')], Action::Remove, "", "days and pay: remove the selected entry, after asking"),
    bind(Winter, &[Key::Char('r')], Action::Review, "review", "read the winter review"),
    bind(Outlook, &[Key::Char('+'), Key::Char('=')], Action::Choose(1), "more", "what if: the chosen number higher; not stored"),
    bind(Outlook, &[Key::Char('-')], Action::Choose(-1), "less", "what if: the chosen number lower; not stored"),
    bind(Outlook, &[Key::Char('k')], Action::Keep, "", "keep: store the numbers that were taken"),
    bind(Outlook, &[Key::Backspace], Action::Undo, "", "back to the numbers that stand"),
    bind(Outlook, &[Key::Char('c')], Action::NextScenario, "way on", "the next way of going on: as pruned, mended, on the rule"),
    bind(Outlook, &[Key::Char('n')], Action::New, "", "new: a harvest, or on a set count another one"),
    bind(Outlook, &[Key::Char('e'), Key::Enter], Action::Edit, "edit", "type the chosen number or entry, and store it"),
    bind(Outlook, &[Key::Char('x')], Action::Remove, "", "remove the chosen entry, after asking"),
    bind(SetUp, &[Key::Right], Action::NextSection, "section", "to the next section"),
    bind(SetUp, &[Key::Left], Action::PrevSection, "", "to the section before"),
    bind(SetUp, &[Key::Char('n')], Action::New, "new", "make a new entry"),
    bind(SetUp, &[Key::Char('e')], Action::Edit, "edit", "change the selected entry"),
    bind(SetUp, &[Key::Char('x')], Action::Remove, "remove", "remove the selected entry, after asking"),
    bind(SetUp, &[Key::Backspace], Action::Undo, "", "bring back a count that was taken out"),
    bind(SetUp, &[Key::Char('t')], Action::ForgetName, "", "crew: forget the name, take it away for good; asks twice"),

    bind(Pictured, &[Key::Char('v')], Action::Pictures, "", "view the pictures of what is shown or chosen"),

    bind(List, &[Key::Enter], Action::Open, "open", "open the selected line"),
    bind(List, &[Key::Up], Action::Up, "", "one line up"),
    bind(List, &[Key::Down], Action::Down, "", "one line down"),
    bind(List, &[Key::PageUp], Action::PageUp, "", "one page up"),
    bind(List, &[Key::PageDown], Action::PageDown, "", "one page down"),
    bind(List, &[Key::Home], Action::First, "", "to the first line"),
    bind(List, &[Key::End], Action::Last, "", "to the last line"),
    bind(List, &[Key::Esc], Action::Back, "", "back to where this was opened from"),
    bind(List, &[Key::Tab], Action::NextScreen, "next", "to the next screen"),
    bind(List, &[Key::BackTab], Action::PrevScreen, "", "to the screen before"),
    bind(List, &[Key::Char('?')], Action::Help, "", "this help"),
    bind(List, &[Key::Char('q')], Action::Quit, "", "leave the program"),

    bind(Detail, &[Key::Esc], Action::Back, "back", "back to the list"),
    bind(Detail, &[Key::Up], Action::Up, "up", "scroll up"),
    bind(Detail, &[Key::Down], Action::Down, "down", "scroll down"),
    bind(Detail, &[Key::PageUp], Action::PageUp, "", "one page up"),
    bind(Detail, &[Key::PageDown], Action::PageDown, "", "one page down"),
    bind(Detail, &[Key::Home], Action::First, "", "to the top"),
    bind(Detail, &[Key::End], Action::Last, "", "to the bottom"),
    bind(Detail, &[Key::Right], Action::NextSection, "next part", "to the next part"),
    bind(Detail, &[Key::Left], Action::PrevSection, "", "to the part before"),
    bind(Detail, &[Key::Tab], Action::NextScreen, "", "to the next screen"),
    bind(Detail, &[Key::BackTab], Action::PrevScreen, "", "to the screen before"),
    bind(Detail, &[Key::Char('?')], Action::Help, "", "this help"),
    bind(Detail, &[Key::Char('q')], Action::Quit, "", "leave the program"),

    bind(Pictures, &[Key::Right, Key::PageDown], Action::NextSection, "next", "to the next picture"),
    bind(Pictures, &[Key::Left, Key::PageUp], Action::PrevSection, "", "to the picture before"),
    bind(Pictures, &[Key::Home], Action::First, "", "to the first picture"),
    bind(Pictures, &[Key::End], Action::Last, "", "to the last picture"),
    bind(Pictures, &[Key::Down], Action::Down, "words", "the words below, on"),
    bind(Pictures, &[Key::Up], Action::Up, "", "the words below, back"),
    bind(Pictures, &[Key::Esc, Key::Enter, Key::Char('v'), Key::Char('q')], Action::Back, "back", "close the pictures"),

    bind(Form, &[Key::Enter], Action::NextField, "next", "to the next field; on the last one, save"),
    bind(Form, &[Key::Down, Key::Tab], Action::Down, "down", "one field down"),
    bind(Form, &[Key::Up, Key::BackTab], Action::Up, "up", "one field up"),
    bind(Form, &[Key::Right], Action::Choose(1), "", "the next choice (or Space, or type its first letters)"),
    bind(Form, &[Key::Left], Action::Choose(-1), "", "the previous choice"),
    bind(Form, &[Key::Home], Action::First, "", "to the start of the field, or its first choice"),
    bind(Form, &[Key::End], Action::Last, "", "to the end of the field, or its last choice"),
    bind(Form, &[Key::Ctrl('a')], Action::Step(1), "", "a number or a day: one more"),
    bind(Form, &[Key::Ctrl('x')], Action::Step(-1), "", "a number or a day: one less"),
    bind(Form, &[Key::Ctrl('s')], Action::Save, "save", "save, from any field"),
    bind(Form, &[Key::Ctrl('n')], Action::SaveNext, "", "save, and go on with the next block, pruner or work"),
    bind(Form, &[Key::Esc], Action::Cancel, "cancel", "leave without saving"),

    bind(Confirm, &[Key::Enter, Key::Char('y')], Action::Confirm, "yes", "yes, do it"),
    bind(Confirm, &[Key::Esc, Key::Char('n')], Action::Cancel, "no", "no, leave it as it is"),

    bind(Help, &[Key::Esc, Key::Enter, Key::Char('q'), Key::Char('?')], Action::Back, "back", "close the help"),
    bind(Help, &[Key::Char('s')], Action::FirstSteps, "", "from the help: the first steps, and which are done"),
    bind(Help, &[Key::Ctrl('p')], Action::Papers, "", "papers: what is read here, or any other, as files"),
    bind(Help, &[Key::Up], Action::Up, "up", "scroll up"),
    bind(Help, &[Key::Down], Action::Down, "down", "scroll down"),
    bind(Help, &[Key::PageUp], Action::PageUp, "", "one page up"),
    bind(Help, &[Key::PageDown], Action::PageDown, "", "one page down"),
    bind(Help, &[Key::Home], Action::First, "", "to the top"),
    bind(Help, &[Key::End], Action::Last, "", "to the bottom"),

    bind(Menu, &[Key::Esc, Key::Enter, Key::F(10), Key::Char('q')], Action::Back, "back", "close the menu"),
    bind(Menu, &[Key::Up], Action::Up, "up", "scroll the words up"),
    bind(Menu, &[Key::Down], Action::Down, "down", "scroll the words down"),
    bind(Small, &[Key::F(10)], Action::Menu, "menu", "menu: what the small screen has no room for"),

    go(&[Key::F(2)], Screen::Today, "Today: which tree next, and who stands where"),
    go(&[Key::F(3)], Screen::Count, "Count: what is on this tree"),
    go(&[Key::F(4)], Screen::Crew, "Crew: how each pruner stands"),
    go(&[Key::F(5)], Screen::Blocks, "Blocks: how each block and row stands"),
    go(&[Key::F(6)], Screen::Winter, "Winter: done and left, when it is through, pay"),
    go(&[Key::F(7)], Screen::Outlook, "Outlook: what the wood carries, this year and after"),
    go(&[Key::F(8)], Screen::SetUp, "Set-up: blocks, crew, rules, work, settings"),
    bind(House, &[Key::Ctrl('p')], Action::Papers, "", "papers: reports as pages, PDF, workbook or data"),
    bind(Anywhere, &[Key::F(1)], Action::Help, "help", "this help"),
    bind(Anywhere, &[Key::F(9)], Action::EndRound, "", "end the first round through the demo"),
    bind(Anywhere, &[Key::Ctrl('q')], Action::Quit, "", "leave the program"),
    bind(Anywhere, &[Key::Ctrl('z')], Action::Stop, "", "to the shell; fg comes back"),
];
