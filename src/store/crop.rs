//! Aims, factors, growth, set counts and harvests in the file.

use rusqlite::{Row, params};

use super::rows::{all, damaged, id};
use super::{Store, StoreError};
use crate::orchard::{BlockId, Invalid, WinterId};
use crate::outlook::{
    BlockBook, CropBook, Factor, FactorKind, Growing, HarvestEntry, SetCount, Source, TaggedUnit,
    Target, Weighed, Yield,
};

impl Store {
    /// All that is kept of the crop: the aims of a winter, and the rest by block.
    pub fn crop_book(&self, winter: WinterId) -> Result<CropBook, StoreError> {
        let mut book = self.crop_of_blocks()?;
        let mut find = self
            .conn
            .prepare_cached("SELECT * FROM aim WHERE winter = ?1")?;
        for (block, aim) in all(find.query([winter.0.as_bytes()])?, aim)? {
            of(&mut book, block).aim = Some(aim);
        }
        Ok(book)
    }

    /// The same without aims, which are of one winter.
    pub fn crop_of_blocks(&self) -> Result<CropBook, StoreError> {
        let mut book = CropBook::default();
        let mut find = self.conn.prepare_cached("SELECT * FROM factor")?;
        for (block, factor) in all(find.query([])?, factor)? {
            of(&mut book, block).factors.push(factor);
        }
        let mut find = self.conn.prepare_cached("SELECT * FROM growth")?;
        for (block, growing) in all(find.query([])?, growing)? {
            of(&mut book, block).growth = Some(growing);
        }
        let mut find = self
            .conn
            .prepare_cached("SELECT * FROM tagged_unit ORDER BY block, season, number")?;
        for (block, season, unit) in all(find.query([])?, unit)? {
            let sets = &mut of(&mut book, block).sets;
            match sets.last_mut().filter(|known| known.season == season) {
                Some(known) => known.units.push(unit),
                None => sets.push(SetCount {
                    season,
                    units: vec![unit],
                }),
            }
        }
        for (block, entry) in self.harvests()? {
            of(&mut book, block).harvests.push(entry);
        }
        Ok(book)
    }

    /// All harvests, by block and year.
    pub fn harvests(&self) -> Result<Vec<(BlockId, HarvestEntry)>, StoreError> {
        let mut find = self
            .conn
            .prepare_cached("SELECT * FROM harvest ORDER BY block, season")?;
        all(find.query([])?, harvest)
    }

    /// Sets what a block is to bear after a winter, or takes the aim away.
    pub fn save_aim(
        &self,
        winter: WinterId,
        block: BlockId,
        aim: Option<Target>,
    ) -> Result<(), StoreError> {
        let Some(aim) = aim else {
            self.conn.execute(
                "DELETE FROM aim WHERE winter = ?1 AND block = ?2",
                params![winter.0.as_bytes(), block.0.as_bytes()],
            )?;
            return Ok(());
        };
        let (kind, amount, girth) = match aim {
            Target::TonnesPerHa(tonnes) => ("t_per_ha", tonnes, None),
            Target::FruitPerTree(fruit) => ("fruit_per_tree", fruit, None),
            Target::FruitPerTcsa {
                fruit_per_cm2,
                girth_cm,
            } => ("fruit_per_cm2", fruit_per_cm2, Some(girth_cm)),
        };
        self.conn.execute(
            "INSERT OR REPLACE INTO aim VALUES (?1, ?2, ?3, ?4, ?5)",
            params![winter.0.as_bytes(), block.0.as_bytes(), kind, amount, girth],
        )?;
        Ok(())
    }

    /// Sets a factor of a block.
    pub fn save_factor(&self, block: BlockId, factor: &Factor) -> Result<(), StoreError> {
        self.conn.execute(
            "INSERT OR REPLACE INTO factor VALUES (?1, ?2, ?3, ?4)",
            params![
                block.0.as_bytes(),
                factor.kind().field(),
                factor.value(),
                factor.sd()
            ],
        )?;
        Ok(())
    }

    /// Takes a block's own factor away, so that the default holds again.
    pub fn clear_factor(&self, block: BlockId, kind: FactorKind) -> Result<(), StoreError> {
        self.conn.execute(
            "DELETE FROM factor WHERE block = ?1 AND kind = ?2",
            params![block.0.as_bytes(), kind.field()],
        )?;
        Ok(())
    }

    /// Sets growth and losses of a block, or takes them away.
    pub fn save_growth(&self, block: BlockId, growth: Option<&Growing>) -> Result<(), StoreError> {
        let Some(growth) = growth else {
            self.conn
                .execute("DELETE FROM growth WHERE block = ?1", [block.0.as_bytes()])?;
            return Ok(());
        };
        let [one, two, three, four] = growth.survival;
        self.conn.execute(
            "INSERT OR REPLACE INTO growth VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
            params![block.0.as_bytes(), growth.grown, one, two, three, four],
        )?;
        Ok(())
    }

    /// Sets the set count of a block and season; without units it is taken away.
    pub fn save_set_count(&self, block: BlockId, set: &SetCount) -> Result<(), StoreError> {
        self.atomically(|store| {
            store.conn.execute(
                "DELETE FROM tagged_unit WHERE block = ?1 AND season = ?2",
                params![block.0.as_bytes(), set.season],
            )?;
            let mut add = store
                .conn
                .prepare_cached("INSERT INTO tagged_unit VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)")?;
            for (number, unit) in (1_i64..).zip(&set.units) {
                add.execute(params![
                    block.0.as_bytes(),
                    set.season,
                    number,
                    unit.buds,
                    unit.fruit_buds,
                    unit.clusters,
                    unit.fruit
                ])?;
            }
            Ok(())
        })
    }

    /// Adds a harvest, or changes the one of its season.
    pub fn save_harvest(&self, block: BlockId, entry: &HarvestEntry) -> Result<(), StoreError> {
        let (unit, amount) = match entry.amount {
            Yield::TonnesPerHa(tonnes) => ("t_per_ha", tonnes),
            Yield::KgPerTree(kg) => ("kg_per_tree", kg),
        };
        self.conn.execute(
            "INSERT OR REPLACE INTO harvest VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
            params![
                block.0.as_bytes(),
                entry.season,
                unit,
                amount,
                entry.weighed.map(|weighed| weighed.mean_g),
                entry.weighed.map(|weighed| weighed.fruit)
            ],
        )?;
        Ok(())
    }

    /// Takes a harvest away.
    pub fn remove_harvest(&self, block: BlockId, season: i32) -> Result<(), StoreError> {
        let sql = "DELETE FROM harvest WHERE block = ?1 AND season = ?2";
        self.change("harvest", sql, params![block.0.as_bytes(), season])
    }
}

fn of(book: &mut CropBook, block: BlockId) -> &mut BlockBook {
    book.0.entry(block).or_default()
}

fn block(row: &Row<'_>) -> Result<BlockId, StoreError> {
    Ok(BlockId(id(row, "block")?))
}

fn aim(row: &Row<'_>) -> Result<(BlockId, Target), StoreError> {
    let kind: String = row.get("kind")?;
    let amount: f64 = row.get("amount")?;
    let girth: Option<f64> = row.get("girth_cm")?;
    let target = match (kind.as_str(), girth) {
        ("t_per_ha", None) => Target::TonnesPerHa(amount),
        ("fruit_per_tree", None) => Target::FruitPerTree(amount),
        ("fruit_per_cm2", Some(girth_cm)) => Target::FruitPerTcsa {
            fruit_per_cm2: amount,
            girth_cm,
        },
        _ => {
            let wrong = Invalid::new("kind", format!("{kind} is no kind of aim"));
            return Err(damaged("aim")(wrong));
        }
    };
    Ok((block(row)?, target.checked().map_err(damaged("aim"))?))
}

fn factor(row: &Row<'_>) -> Result<(BlockId, Factor), StoreError> {
    let kind: String = row.get("kind")?;
    let made = FactorKind::parse(&kind).and_then(|kind| {
        let number = |column| row.get::<_, f64>(column).unwrap_or(f64::NAN);
        Factor::new(kind, number("value"), number("sd"), Source::Entered)
    });
    Ok((block(row)?, made.map_err(damaged("factor"))?))
}

fn growing(row: &Row<'_>) -> Result<(BlockId, Growing), StoreError> {
    let survival = [
        row.get("survival_one")?,
        row.get("survival_two")?,
        row.get("survival_three")?,
        row.get("survival_four")?,
    ];
    let made = Growing::new(row.get("grown")?, survival);
    Ok((block(row)?, made.map_err(damaged("growth"))?))
}

fn unit(row: &Row<'_>) -> Result<(BlockId, i32, TaggedUnit), StoreError> {
    let unit = TaggedUnit {
        buds: row.get("buds")?,
        fruit_buds: row.get("fruit_buds")?,
        clusters: row.get("clusters")?,
        fruit: row.get("fruit")?,
    };
    let unit = unit.checked().map_err(damaged("tagged unit"))?;
    Ok((block(row)?, row.get("season")?, unit))
}

fn harvest(row: &Row<'_>) -> Result<(BlockId, HarvestEntry), StoreError> {
    let unit: String = row.get("unit")?;
    let amount: f64 = row.get("amount")?;
    let mean_g: Option<f64> = row.get("mean_g")?;
    let fruit: Option<u32> = row.get("weighed")?;
    let entry = HarvestEntry {
        season: row.get("season")?,
        amount: if unit == "kg_per_tree" {
            Yield::KgPerTree(amount)
        } else {
            Yield::TonnesPerHa(amount)
        },
        weighed: mean_g
            .zip(fruit)
            .map(|(mean_g, fruit)| Weighed { mean_g, fruit }),
    };
    Ok((block(row)?, entry.checked().map_err(damaged("harvest"))?))
}
