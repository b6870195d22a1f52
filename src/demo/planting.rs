//! The invented orchard: blocks, crew and winter.

use std::collections::BTreeMap;

use chrono::{Datelike, Days, NaiveDate};

use super::Habit;
use super::maker::{Maker, made, moment};
use crate::orchard::{
    Block, BlockDraft, BlockId, LostDays, LostKind, Pruner, PrunerDraft, PrunerId, RowPlan, Rule,
    Sides, Winter, WinterDraft, WinterId,
};
use crate::outlook::pace::{Pay, WorkCalendar};
use crate::store::{Setting, Store, StoreError};

/// Days from the start of the winter to the first work: it rained.
const EARLY: u64 = 3;
/// Days from the first work to a day off that is still to come.
const AHEAD: u64 = 18;

/// A block and how it is worked.
pub(super) struct Planting {
    pub(super) block: Block,
    /// Pieces on the average pruned tree.
    pub(super) pieces: f64,
    /// Trees that the average pruner prunes in a day.
    pub(super) trees_a_day: f64,
}

/// A pruner and how the work is done.
pub(super) struct Member {
    pub(super) pruner: Pruner,
    pub(super) habit: Habit,
    /// Speed against the average pruner.
    pub(super) speed: f64,
}

/// The orchard before the first day.
pub(super) struct Orchard {
    pub(super) blocks: Vec<Planting>,
    pub(super) crew: Vec<Member>,
    pub(super) winter: Winter,
    pub(super) rule: Rule,
}

/// Makes and stores blocks, crew and winter. Work begins on `first`.
pub(super) fn plant(
    store: &Store,
    maker: &mut Maker,
    first: NaiveDate,
) -> Result<Orchard, StoreError> {
    store.set(Setting::Orchard, "Fernhollow (invented)")?;
    store.set(Setting::Counter, "Ines")?;
    let blocks = blocks(maker, first)?;
    for planting in &blocks {
        store.save_block(&planting.block)?;
    }
    let crew = crew(maker, first)?;
    for member in &crew {
        store.save_pruner(&member.pruner)?;
    }
    let early = blocks.last().map(|planting| planting.block.id);
    let winter = winter(maker, first, early)?;
    store.save_winter(&winter)?;
    labour(store, &winter, &crew)?;
    let rule = Rule::default();
    store.save_rule(winter.id, None, &rule)?;
    Ok(Orchard {
        blocks,
        crew,
        winter,
        rule,
    })
}

fn blocks(maker: &mut Maker, first: NaiveDate) -> Result<Vec<Planting>, StoreError> {
    let year = first.year();
    let two_sided = BlockDraft {
        sides: Sides::TwoSided,
        ..BlockDraft::default()
    };
    let old = BlockDraft {
        name: "Chapel Field".into(),
        variety: "Williams".into(),
        rootstock: "Pyrus seedling".into(),
        planted: Some(year - 58),
        row_spacing_m: 5.5,
        tree_spacing_m: 5.0,
        stems: 4,
        rows: made(RowPlan::parse(
            "1-12x36, 13-14x28",
            "2:9, 4:17-18, 7:1, 11:30",
        ))?,
        ..two_sided.clone()
    };
    let middle = BlockDraft {
        name: "Long Meadow".into(),
        variety: "Abate Fetel".into(),
        rootstock: "Quince A".into(),
        planted: Some(year - 17),
        row_spacing_m: 4.5,
        tree_spacing_m: 2.5,
        stems: 4,
        rows: made(RowPlan::parse("1-26x90", "3:41, 12:7-8, 19:66"))?,
        ..BlockDraft::default()
    };
    let young = BlockDraft {
        name: "New Ground".into(),
        variety: "Conference".into(),
        rootstock: "Quince C".into(),
        planted: Some(year - 6),
        row_spacing_m: 4.0,
        tree_spacing_m: 1.5,
        stems: 6,
        lean_deg: 15.0,
        rows: made(RowPlan::parse("1-24x130, 25-30x118", "5:12, 5:90, 21:3-4"))?,
        ..two_sided
    };
    // pieces a stem and trees a day: invented, of the order that such trees have
    [(old, 42.0, 16.0), (middle, 34.0, 38.0), (young, 28.0, 62.0)]
        .into_iter()
        .zip(0..)
        .map(|((draft, pieces, trees_a_day), at)| {
            let id = BlockId(maker.id(moment(first, 3_600 + at)));
            Ok(Planting {
                block: made(Block::new(id, draft))?,
                pieces,
                trees_a_day,
            })
        })
        .collect()
}

fn crew(maker: &mut Maker, first: NaiveDate) -> Result<Vec<Member>, StoreError> {
    let members = [
        ("Tamsin", "Ta", Habit::Good),
        ("Oren", "Or", Habit::LittleOneYear),
        ("Marit", "Ma", Habit::ManyBuds),
        ("Ilya", "Il", Habit::OldWood),
        ("Sefa", "Se", Habit::Erratic),
        ("Bo", "Bo", Habit::Improves),
        ("Wanda", "Wa", Habit::Good),
        ("Lio", "Li", Habit::Newcomer),
    ];
    let mut crew = Vec::new();
    for ((name, label, habit), number) in members.into_iter().zip(1u16..) {
        let draft = PrunerDraft {
            number,
            name: name.into(),
            label: label.into(),
            active: true,
            number_only: habit == Habit::Newcomer,
            language: String::new(),
        };
        let id = PrunerId(maker.id(moment(first, 7_200 + i64::from(number))));
        crew.push(Member {
            pruner: made(Pruner::new(id, draft))?,
            habit,
            speed: maker.between(0.88, 1.12),
        });
    }
    Ok(crew)
}

/// Two days of rain before the first day of work, a day off to come, and what is paid: all by the hour but one.
fn labour(store: &Store, winter: &Winter, crew: &[Member]) -> Result<(), StoreError> {
    let first = winter.start + Days::new(EARLY);
    let planned = |day: &NaiveDate| WorkCalendar::default().planned(*day);
    let wet = winter.start.iter_days().take_while(|day| *day < first);
    let off = (first + Days::new(AHEAD)).iter_days().find(planned);
    let days = wet.filter(planned).map(|day| (day, LostKind::Rain));
    for (number, (day, kind)) in days.chain(off.map(|day| (day, LostKind::Off))).enumerate() {
        let lost = LostDays {
            id: Maker::id_of(moment(day, 36_000), number),
            winter: winter.id,
            first: day,
            last: day,
            kind,
        };
        store.save_lost_days(&made(lost.check())?)?;
    }
    let currency = store.currency()?;
    let hour = made(currency.parse_rate("16.80"))?;
    store.save_pay(winter.id, None, Some(Pay::Hour(hour)))?;
    if let Some(fast) = crew.iter().find(|member| member.habit == Habit::OldWood) {
        let tree = made(currency.parse_rate("2.35"))?;
        store.save_pay(winter.id, Some(fast.pruner.id), Some(Pay::Tree(tree)))?;
    }
    Ok(())
}

fn winter(
    maker: &mut Maker,
    first: NaiveDate,
    early: Option<BlockId>,
) -> Result<Winter, StoreError> {
    let budburst = first + Days::new(66);
    let early = early.map(|block| (block, first + Days::new(59)));
    let draft = WinterDraft {
        label: years(first, budburst),
        start: first - Days::new(EARLY),
        budburst,
        block_budburst: BTreeMap::from_iter(early),
    };
    made(Winter::new(
        WinterId(maker.id(moment(first, 10_800))),
        draft,
    ))
}

/// `2026`, or `2026/27` where the winter goes over the turn of the year.
fn years(first: NaiveDate, last: NaiveDate) -> String {
    if first.year() == last.year() {
        first.year().to_string()
    } else {
        format!("{}/{:02}", first.year(), last.year() % 100)
    }
}
