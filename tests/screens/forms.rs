//! Every form of the program, opened on the invented orchard.

use std::collections::BTreeSet;

use thirdwood::orchard::{DrawnTree, Fate};
use thirdwood::outlook::FactorKind;
use thirdwood::report::Season;
use thirdwood::store::Store;
use thirdwood::tui::app::{Event, FormKind, Layer};
use thirdwood::tui::runtime::Runtime;
use thirdwood::tui::{Action, Form, Screen, forms};

use crate::{desk, fill};

/// What needs a second tablet, or a backup: nothing is typed there, one only chooses.
const ELSEWHERE: [&str; 3] = ["Restore", "SettleTwo", "Join"];

/// The form that is open.
pub fn form<'d>(desk: &'d Runtime<'_>) -> &'d Form {
    match desk.model.layers.last() {
        Some(Layer::Form(form, _)) => form,
        other => panic!("no form but {other:?}: {:?}", desk.model.message),
    }
}

/// Opens a form afresh.
pub fn open(desk: &mut Runtime<'_>, kind: FormKind) {
    desk.model.layers.clear();
    forms::open(&mut desk.model, kind);
    assert!(
        !desk.model.layers.is_empty(),
        "{kind:?}: {:?}",
        desk.model.message
    );
}

/// The program with a drawn tree in hand, and what can be opened in it, to change what there is wherever that can be.
pub fn all(store: &Store, size: (u16, u16)) -> (Runtime<'_>, Vec<FormKind>) {
    let mut desk = desk(store, size);
    let waits = desk.model.figures.walk.as_ref().unwrap().resume.len();
    for action in [
        Action::Go(Screen::Today),
        Action::Select(waits),
        Action::Open,
        Action::SkipTree,
    ] {
        desk.take(Event::Act(action));
    }
    // one is left out, so that it can be put back; the next is in hand
    if let Some(Layer::Form(form, _)) = desk.model.layers.last_mut() {
        fill(form, "reason", "dead");
    }
    desk.take(Event::Act(Action::Save));
    let kinds = kinds(desk.model.season.as_ref().unwrap());
    assert_eq!(names(&kinds), listed(), "a form is missing here");
    (desk, kinds)
}

fn kinds(season: &Season) -> Vec<FormKind> {
    let (block, pruner) = (season.blocks[0].id, season.pruners[0].id);
    let go_back = season.go_backs[0].id;
    let left_out = |tree: &DrawnTree| matches!(tree.fate, Fate::Skipped(_));
    let mut draws = season.draws.iter();
    let draw = draws.find(|draw| draw.trees.iter().any(left_out)).unwrap();
    vec![
        FormKind::OtherTree,
        FormKind::TreeDetails,
        FormKind::SkipTree,
        FormKind::LeaderInFull,
        FormKind::MarkTree,
        FormKind::MarkTrees(block),
        FormKind::SendBack,
        FormKind::Rework(Some(block), Some(1), Some(pruner)),
        FormKind::Settle(go_back),
        FormKind::GoBack(None),
        FormKind::GoBack(Some(go_back)),
        FormKind::Work(None),
        FormKind::Work(Some(season.work[0].id)),
        FormKind::Draw,
        FormKind::CountAgain,
        FormKind::PutBack(draw.id),
        FormKind::Block(None),
        FormKind::Block(Some(block)),
        FormKind::Pruner(None),
        FormKind::Pruner(Some(pruner)),
        FormKind::Winter(None),
        FormKind::Winter(Some(season.winter.id)),
        FormKind::Budburst(block),
        FormKind::Rule(None),
        FormKind::Rule(Some(block)),
        FormKind::Count(season.counts()[0].id),
        FormKind::Aim(block),
        FormKind::Factor(block, FactorKind::ALL[0]),
        FormKind::Growth(block),
        FormKind::SetCount(block, None),
        FormKind::Harvest(block, None),
        FormKind::Settings,
        FormKind::BundleOut,
        FormKind::BundlesIn,
        FormKind::TablesOut,
        FormKind::TablesIn,
        FormKind::ForgetName(pruner),
        FormKind::Papers,
        FormKind::Weekdays,
        FormKind::LostDays(None),
        FormKind::Stint(Some(pruner)),
        FormKind::Pay,
        FormKind::OwnPay(Some(pruner)),
        FormKind::SpecialPay(None),
        FormKind::Evening,
    ]
}

fn names(kinds: &[FormKind]) -> BTreeSet<String> {
    let name = |kind: &FormKind| {
        let said = format!("{kind:?}");
        said.split('(').next().unwrap_or_default().to_owned()
    };
    kinds.iter().map(name).collect()
}

/// The forms that the program has, as its source names them.
fn listed() -> BTreeSet<String> {
    let source = include_str!("../../src/tui/app/form_kind.rs");
    let body = source.split("pub enum FormKind {").nth(1).unwrap();
    let body = body.split("\n}").next().unwrap();
    let lines = body.lines().map(str::trim);
    let named = lines.filter(|line| line.starts_with(char::is_uppercase));
    let names = named.map(|line| line.split(['(', ',']).next().unwrap().to_owned());
    names
        .filter(|name| !ELSEWHERE.contains(&name.as_str()))
        .collect()
}
