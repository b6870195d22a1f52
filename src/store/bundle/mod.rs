//! Several tablets, one orchard: what was changed on each is carried to the others, in any order, any number of times,
//! and all end with the same.
//!
//! The data type is a multi-value register for each record over a causal graph without circles: change sets are its
//! nodes, each with those known when it was made as its parents. A write replaces the values that it knew; values that
//! did not know of each other stand side by side until a person settles them.
//!
//! Three layers. The tables are what the rest of the program works with; triggers note which records are touched.
//! *Gathering* ([`capture`]) makes a change set of the noted records: a new version of each, with all change sets that
//! were known here as its parents. *Projecting* ([`project`]) brings the tables to what the versions say. Change sets
//! and versions are only ever united ([`take`]): a version replaces those of its record that were known when it was
//! made, and stands beside those that were not. Since a union has no order, and the tables follow from the versions,
//! files that hold the same change sets are the same. No clock is looked at, and a change set is named by its content,
//! so a copied file that goes on by itself does no harm.

mod alias;
mod body;
mod capture;
mod fill;
mod fit;
mod forget;
mod history;
mod join;
mod kinds;
mod layout;
mod needs;
mod parcel;
mod project;
mod records;
mod says;
mod seal;
mod settle;
mod take;
mod taps;
mod uniting;
mod versions;
mod words;

use rusqlite::config::DbConfig;
use uuid::Uuid;

use super::{Store, StoreError};
use crate::orchard::{TreeCount, WinterId};
use alias::Alias;
use capture::{Edits, Gathering};
use history::History;
use project::Projection;
use records::Touched;

pub(super) use fill::fill_up;
pub(super) use forget::Forgetting;
pub use join::{Joined, Twin, Twins};
pub use kinds::Kind;
pub use parcel::{Carrier, Entry, MOST_ORCHARDS, Parcel, Replaced, Since};
pub use seal::Digest;
pub use settle::{Conflict, Saying, Unsettled};
pub use take::{Coming, Next, TakeIn, Taken};
pub use uniting::TakenKind;
pub use words::Joinable;

/// Changes that were gathered together on one tablet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ChangeSet {
    /// Its identity, which follows from its content.
    pub id: Uuid,
    /// The change sets that nothing else followed where it was made: with all before them, what was known.
    pub parents: Vec<Uuid>,
    /// One above the highest parent's; 1 without parents.
    pub height: u64,
    /// A label of the tablet, up to 8 characters.
    pub tablet: String,
    /// Whether names of pruners were changed, and nothing else: such sets follow none but each other.
    pub names: bool,
}

/// A record as one change set left it, on its way from one file to another.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Change {
    /// The kind of record.
    pub kind: Kind,
    /// Which of that kind.
    pub key: String,
    /// The change set, by its place in the parcel.
    pub set: usize,
    /// Whether the record was removed; its body is then the last one.
    pub removed: bool,
    /// Change sets whose versions of this record were known and not replaced.
    pub beside: Vec<Uuid>,
    /// The values by column, as JSON text.
    pub body: String,
}

/// How far a long work is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Progress {
    /// Records done.
    pub done: usize,
    /// Records in all; 0 where that is not known.
    pub of: usize,
}

/// Told how far a long work is; `false` ends it, and nothing of it is kept.
pub type Watch<'a> = dyn FnMut(Progress) -> bool + 'a;

/// Counts steps, and tells of them now and then.
pub(super) struct Ticker<'a> {
    watch: &'a mut Watch<'a>,
    done: usize,
    of: usize,
}

impl Ticker<'_> {
    /// Records between two tellings.
    const STEP: usize = 64;

    fn tick(&mut self) -> Result<(), StoreError> {
        self.done += 1;
        let progress = Progress {
            done: self.done.min(self.of),
            of: self.of,
        };
        if self.done.is_multiple_of(Self::STEP) && !(self.watch)(progress) {
            return Err(StoreError::Stopped);
        }
        Ok(())
    }
}

impl Store {
    /// Gathers what was changed, adds `edits`, and brings the tables to what the records say. Inside a change only.
    fn gather(
        &self,
        edits: impl FnOnce(&History) -> Result<Edits, StoreError>,
    ) -> Result<History, StoreError> {
        let layouts = self.layouts()?;
        let mut history = History::load(&self.conn)?;
        let alias = Alias::load(&self.conn, &history)?;
        let mut gathering = Gathering {
            store: self,
            layouts: &layouts,
            history: &mut history,
            alias: &alias,
        };
        let mut touched = gathering.run()?;
        let edits = edits(gathering.history)?;
        touched.extend(gathering.commit(edits)?);
        if !touched.is_empty() {
            self.project(&history, &touched, &mut |_| true)?;
        }
        Ok(history)
    }

    fn project<'a>(
        &self,
        history: &History,
        touched: &Touched,
        watch: &'a mut Watch<'a>,
    ) -> Result<(), StoreError> {
        self.drop_removed_names()?;
        let layouts = self.layouts()?;
        let alias = Alias::load(&self.conn, history)?;
        let projection = Projection {
            store: self,
            layouts: &layouts,
            history,
            alias: &alias,
        };
        let of = touched.iter().filter(|(kind, _)| kind.is_counted()).count();
        // what is written here is not somebody's change, and sums are written with their taps: without the triggers a
        // winter goes in several times as fast
        self.conn
            .set_db_config(DbConfig::SQLITE_DBCONFIG_ENABLE_TRIGGER, false)?;
        let done = projection.run(touched, &mut Ticker { watch, done: 0, of });
        self.conn
            .set_db_config(DbConfig::SQLITE_DBCONFIG_ENABLE_TRIGGER, true)?;
        done
    }

    /// Looks at all that was written before it is kept: references, and that the domain allows every value.
    fn verify(&self) -> Result<(), StoreError> {
        let broken: i64 =
            self.conn
                .query_row("SELECT count(*) FROM pragma_foreign_key_check", [], |row| {
                    row.get(0)
                })?;
        if broken > 0 {
            return Err(StoreError::bundle(&format!(
                "{broken} of its records name what is not there"
            )));
        }
        let refused = |error: StoreError| match error {
            StoreError::Damaged { what, source } => {
                StoreError::bundle(&format!("it holds a {what} that cannot be: {source}"))
            }
            other => other,
        };
        self.read_everything().map_err(refused)?;
        // where numbers only are shown, names are not looked at by that; nor is the crop, where there is no winter
        self.pruners_with_names().map_err(refused)?;
        self.crop_book(WinterId(Uuid::nil())).map_err(refused)?;
        self.currency().map_err(refused)?;
        for winter in self.winters()? {
            for filter in [
                super::CountFilter::Winter(winter.id),
                super::CountFilter::Removed(winter.id),
            ] {
                let look = |count: TreeCount| {
                    count.head.check_text().map_err(|source| {
                        StoreError::bundle(&format!("it holds a count that cannot be: {source}"))
                    })
                };
                self.each_count(filter, look).map_err(refused)?;
            }
        }
        Ok(())
    }
}
