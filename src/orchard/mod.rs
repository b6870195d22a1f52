//! The trade: blocks, crew, winters, rules, work and counts.
//!
//! Every type here is checked when it is made, so that a value that exists is a valid one. A
//! rejected value says which field is wrong, why, and what is accepted ([`Invalid`]).
//! Nothing in this part reads a file, a clock or a database.

mod block;
mod count;
mod crew;
mod draw;
mod goback;
mod ids;
mod invalid;
mod language;
mod lost;
mod naming;
mod pruned_by;
mod rows;
mod rule;
mod stands;
mod stint;
mod tally;
mod text;
mod when;
mod winter;
mod work;

pub use block::{Block, BlockDraft, Sides};
pub use count::{Chosen, CountHead, Part, Stage, TreeCount};
pub use crew::{Naming, Pruner, PrunerDraft};
pub use draw::{Draw, DrawnTree, Fate};
pub use goback::{GoBack, Outcome, Settled};
pub use ids::{BlockId, CountId, DrawId, GoBackId, LostDaysId, PrunerId, WinterId, WorkId};
pub use invalid::Invalid;
pub(crate) use invalid::within;
pub use language::{Language, language_tag};
pub use lost::{LostDays, LostKind, MAX_LOST};
pub use naming::Names;
pub use pruned_by::{pruner_of, put_down, put_down_all};
pub use rows::{Row, RowPlan};
pub use rule::{BudLimit, Rule, RuleDraft};
pub use stands::{Stands, how_all_stand, how_it_stands, last_counts};
pub use stint::Stint;
pub use tally::{Age, Buds, MAX_BUDS, Size, Tally, Tap};
pub use text::{MAX_NAME, MAX_NOTE, name, note, optional_name, steers, visible};
pub use when::{Stamp, parse_day};
pub use winter::{Winter, WinterDraft};
pub use work::{WorkDraft, WorkEntry, hours_text, parse_hours};
