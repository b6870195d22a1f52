//! What the pace rests on beside the work log: worked days, comings and goings, pay.

use std::collections::{BTreeMap, BTreeSet};

use rusqlite::{OptionalExtension, params};

use super::rows::{all, damaged, day, id, optional_day, optional_id};
use super::{Setting, Store, StoreError};
use crate::orchard::{
    BlockId, Invalid, LostDays, LostDaysId, LostKind, PrunerId, Stint, WinterId, WorkKind,
};
use crate::outlook::pace::{Currency, Pay, PayPlan, PaySpot, Rate, WorkCalendar};

/// Worked days, comings and goings, and pay of a winter.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Labour {
    /// The orchard's currency.
    pub currency: Currency,
    /// Which weekdays are worked, Monday first; `None`: none are entered, Monday to Saturday holds.
    pub weekdays: Option<[bool; 7]>,
    /// Days without work, by first day.
    pub lost: Vec<LostDays>,
    /// Who comes and goes.
    pub stints: BTreeMap<PrunerId, Stint>,
    /// The pay.
    pub pay: PayPlan,
}

impl Labour {
    /// Which weekdays are worked, Monday first.
    pub fn worked_weekdays(&self) -> [bool; 7] {
        self.weekdays
            .unwrap_or_else(|| WorkCalendar::default().weekdays())
    }

    /// The days that are worked. Refused where more days are entered than a calendar holds.
    pub fn calendar(&self) -> Result<WorkCalendar, Invalid> {
        let of = |kind| {
            let lost = self.lost.iter().filter(move |lost| lost.kind == kind);
            lost.flat_map(LostDays::days).collect::<BTreeSet<_>>()
        };
        WorkCalendar::new(
            self.worked_weekdays(),
            of(LostKind::Off),
            of(LostKind::Rain),
        )
    }
}

impl Store {
    /// What the pace of a winter rests on beside its work log.
    pub fn labour(&self, winter: WinterId) -> Result<Labour, StoreError> {
        let currency = self.currency()?;
        let labour = Labour {
            weekdays: self.weekdays(winter)?,
            lost: self.lost_days(winter)?,
            stints: self.stints(winter)?,
            pay: self.pay(winter, &currency)?,
            currency,
        };
        labour
            .calendar()
            .map_err(damaged("list of days without work"))?;
        Ok(labour)
    }

    /// The orchard's currency.
    pub fn currency(&self) -> Result<Currency, StoreError> {
        match self.setting(Setting::Currency)? {
            Some(text) => Currency::parse(&text).map_err(damaged("currency")),
            None => Ok(Currency::default()),
        }
    }

    fn weekdays(&self, winter: WinterId) -> Result<Option<[bool; 7]>, StoreError> {
        let sql = "SELECT weekdays FROM worked_week WHERE winter = ?1";
        let mut find = self.conn.prepare_cached(sql)?;
        let text: Option<String> = find
            .query_row([winter.0.as_bytes()], |row| row.get(0))
            .optional()?;
        let read = |text: String| {
            let mut week = [false; 7];
            for (day, mark) in week.iter_mut().zip(text.bytes()) {
                *day = mark == b'1';
            }
            week
        };
        Ok(text.map(read))
    }

    fn lost_days(&self, winter: WinterId) -> Result<Vec<LostDays>, StoreError> {
        let sql = "SELECT * FROM lost_days WHERE winter = ?1 ORDER BY first, last, id";
        let mut find = self.conn.prepare_cached(sql)?;
        all(find.query([winter.0.as_bytes()])?, |row| {
            let kind: String = row.get("kind")?;
            let lost = LostDays {
                id: LostDaysId(id(row, "id")?),
                winter,
                first: day(row, "first")?,
                last: day(row, "last")?,
                kind: LostKind::parse(&kind).map_err(damaged("day without work"))?,
            };
            lost.check()
                .map_err(damaged("stretch of days without work"))
        })
    }

    fn stints(&self, winter: WinterId) -> Result<BTreeMap<PrunerId, Stint>, StoreError> {
        let sql = "SELECT * FROM stint WHERE winter = ?1";
        let mut find = self.conn.prepare_cached(sql)?;
        let found = all(find.query([winter.0.as_bytes()])?, |row| {
            let stint = Stint {
                winter,
                pruner: PrunerId(id(row, "pruner")?),
                joins: optional_day(row, "joins")?,
                leaves: optional_day(row, "leaves")?,
            };
            stint.check().map_err(damaged("stay of a pruner"))
        })?;
        Ok(found
            .into_iter()
            .map(|stint| (stint.pruner, stint))
            .collect())
    }

    fn pay(&self, winter: WinterId, currency: &Currency) -> Result<PayPlan, StoreError> {
        let sql = "SELECT pruner, basis, amount, floor FROM pay WHERE winter = ?1";
        let mut find = self.conn.prepare_cached(sql)?;
        let found = all(find.query([winter.0.as_bytes()])?, |row| {
            let pay = read_pay(row, currency)?;
            Ok((optional_id(row, "pruner")?.map(PrunerId), pay))
        })?;
        let mut plan = PayPlan::default();
        for (pruner, pay) in found {
            match pruner {
                Some(pruner) => {
                    plan.own.insert(pruner, pay);
                }
                None => plan.all = Some(pay),
            }
        }
        plan.special = self.special_pay(winter, currency)?;
        Ok(plan)
    }

    fn special_pay(
        &self,
        winter: WinterId,
        currency: &Currency,
    ) -> Result<BTreeMap<PaySpot, Pay>, StoreError> {
        let sql = "SELECT block, kind, basis, amount, floor FROM pay_special WHERE winter = ?1";
        let mut find = self.conn.prepare_cached(sql)?;
        let found = all(find.query([winter.0.as_bytes()])?, |row| {
            let kind: String = row.get("kind")?;
            let kind = Some(kind).filter(|kind| kind != ANY);
            let kind = kind.map(|kind| WorkKind::parse(&kind)).transpose();
            let block = optional_id(row, "block")?.map(BlockId);
            let spot = (block, kind.map_err(damaged("pay"))?);
            Ok((spot, read_pay(row, currency)?))
        })?;
        Ok(found.into_iter().collect())
    }

    /// Sets which weekdays are worked in a winter, Monday first; `None`: Monday to Saturday, as where nothing is set.
    pub fn save_weekdays(
        &self,
        winter: WinterId,
        weekdays: Option<[bool; 7]>,
    ) -> Result<(), StoreError> {
        let key = winter.0.as_bytes();
        if let Some(week) = weekdays {
            let text: String = week.iter().map(|on| if *on { '1' } else { '0' }).collect();
            self.conn.execute(
                "INSERT INTO worked_week (winter, weekdays) VALUES (?1, ?2)
                 ON CONFLICT DO UPDATE SET weekdays = ?2",
                params![key, text],
            )?;
        } else {
            self.conn
                .execute("DELETE FROM worked_week WHERE winter = ?1", [key])?;
        }
        Ok(())
    }

    /// Adds days without work, or changes those with this id.
    pub fn save_lost_days(&self, lost: &LostDays) -> Result<(), StoreError> {
        self.conn.execute(
            "INSERT INTO lost_days (id, winter, first, last, kind) VALUES (?1, ?2, ?3, ?4, ?5)
             ON CONFLICT (id) DO UPDATE SET winter = ?2, first = ?3, last = ?4, kind = ?5",
            params![
                lost.id.0.as_bytes(),
                lost.winter.0.as_bytes(),
                lost.first.to_string(),
                lost.last.to_string(),
                lost.kind.word()
            ],
        )?;
        Ok(())
    }

    /// Removes days without work: they are worked again.
    pub fn remove_lost_days(&self, lost: LostDaysId) -> Result<(), StoreError> {
        let sql = "DELETE FROM lost_days WHERE id = ?1";
        self.change("stretch of days", sql, [lost.0.as_bytes()])
    }

    /// Sets when a pruner comes and goes.
    pub fn save_stint(&self, stint: &Stint) -> Result<(), StoreError> {
        let text = |day: Option<chrono::NaiveDate>| day.map(|day| day.to_string());
        self.conn.execute(
            "INSERT INTO stint (winter, pruner, joins, leaves) VALUES (?1, ?2, ?3, ?4)
             ON CONFLICT (winter, pruner) DO UPDATE SET joins = ?3, leaves = ?4",
            params![
                stint.winter.0.as_bytes(),
                stint.pruner.0.as_bytes(),
                text(stint.joins),
                text(stint.leaves)
            ],
        )?;
        Ok(())
    }

    /// Removes a pruner's days: there all winter again, if at work this winter.
    pub fn remove_stint(&self, winter: WinterId, pruner: PrunerId) -> Result<(), StoreError> {
        let sql = "DELETE FROM stint WHERE winter = ?1 AND pruner = ?2";
        let key = [winter.0.as_bytes(), pruner.0.as_bytes()];
        self.change("stay of a pruner", sql, key)
    }

    /// Sets what everybody, or one pruner, is paid; `None` takes it away.
    pub fn save_pay(
        &self,
        winter: WinterId,
        pruner: Option<PrunerId>,
        pay: Option<Pay>,
    ) -> Result<(), StoreError> {
        self.atomically(|store| {
            let who = pruner.map(|pruner| pruner.0.as_bytes().to_vec());
            store.conn.execute(
                "DELETE FROM pay WHERE winter = ?1 AND pruner IS ?2",
                params![winter.0.as_bytes(), who],
            )?;
            let Some(pay) = pay else { return Ok(()) };
            let (basis, amount, floor) = stored_pay(pay, &store.currency()?)?;
            store.conn.execute(
                "INSERT INTO pay (winter, pruner, basis, amount, floor) VALUES (?1, ?2, ?3, ?4, ?5)",
                params![winter.0.as_bytes(), who, basis, amount, floor],
            )?;
            Ok(())
        })
    }

    /// Sets what is paid in a block, for a kind of work, or for both; `None` takes it away.
    pub fn save_special_pay(
        &self,
        winter: WinterId,
        (block, kind): PaySpot,
        pay: Option<Pay>,
    ) -> Result<(), StoreError> {
        self.atomically(|store| {
            let block = block.map(|block| block.0.as_bytes().to_vec());
            let kind = kind.map_or(ANY, WorkKind::word);
            store.conn.execute(
                "DELETE FROM pay_special WHERE winter = ?1 AND block IS ?2 AND kind = ?3",
                params![winter.0.as_bytes(), block, kind],
            )?;
            let Some(pay) = pay else { return Ok(()) };
            let (basis, amount, floor) = stored_pay(pay, &store.currency()?)?;
            store.conn.execute(
                "INSERT INTO pay_special (winter, block, kind, basis, amount, floor) VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
                params![winter.0.as_bytes(), block, kind, basis, amount, floor],
            )?;
            Ok(())
        })
    }
}

/// A pay for all kinds of work.
const ANY: &str = "any";

/// Reads basis, amount and floor.
fn read_pay(row: &rusqlite::Row<'_>, currency: &Currency) -> Result<Pay, StoreError> {
    let rate = |stored| Rate::from_stored(currency, stored).map_err(damaged("pay"));
    let (basis, amount): (String, i64) = (row.get("basis")?, row.get("amount")?);
    let floor: Option<i64> = row.get("floor")?;
    Ok(match (basis == "tree", floor) {
        (true, Some(floor)) => Pay::AtLeast {
            tree: rate(amount)?,
            hour: rate(floor)?,
        },
        (true, None) => Pay::Tree(rate(amount)?),
        (false, _) => Pay::Hour(rate(amount)?),
    })
}

/// Basis, amount and floor as they are stored.
fn stored_pay(
    pay: Pay,
    currency: &Currency,
) -> Result<(&'static str, i64, Option<i64>), StoreError> {
    let stored = |rate: Rate| rate.stored(currency).map_err(damaged("pay"));
    Ok(match pay {
        Pay::Hour(rate) => ("hour", stored(rate)?, None),
        Pay::Tree(rate) => ("tree", stored(rate)?, None),
        Pay::AtLeast { tree, hour } => ("tree", stored(tree)?, Some(stored(hour)?)),
    })
}
