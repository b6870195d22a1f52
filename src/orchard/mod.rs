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
pub mod limits;
mod lost;
mod mark;
mod naming;
mod piece_runs;
mod pruned_by;
mod rows;
mod rule;
mod stands;
mod stint;
mod tally;
mod team;
mod text;
mod trees;
mod when;
mod winter;
mod words;
mod work;

pub use block::{Block, BlockDraft, Sides};
pub use count::{Chosen, CountHead, Part, Stage, TreeCount};
pub use crew::{Naming, Pruner, PrunerDraft};
pub use draw::{Draw, DrawnTree, Fate};
pub use goback::{GoBack, Outcome, Settled};
pub use ids::{BlockId, CountId, DrawId, GoBackId, LostDaysId, PrunerId, WinterId, WorkId};
pub use invalid::{Faults, Invalid};
pub use language::{Language, language_tag};
pub(crate) use limits::within;
pub use limits::{MAX_BUDS, MAX_NAME, MAX_NOTE};
pub use lost::{LostDays, LostKind};
pub use mark::{Mark, Marks, TreeMark};
pub use naming::Names;
pub use piece_runs::{InFull, MAX_RUNS, Next, PieceRun, PieceRuns, Portion, Third};
pub use pruned_by::{Done, RowLog, RowWork, Run, attribute, attribute_all, doer_of};
pub use rows::{Row, RowPlan, runs_text};
pub use rule::{BudLimit, Rule, RuleDraft};
pub use stands::{Stands, how_all_stand, how_it_stands, last_counts};
pub use stint::Stint;
pub use tally::{Age, Buds, Size, Tally, Tap};
pub use team::Doer;
pub use text::{name, note, optional_name, readable, steers, unsafe_in_text, visible};
pub use trees::{TREE, Trees};
pub use when::{Stamp, parse_day};
pub use winter::{Winter, WinterDraft};
pub use work::{How, WorkDraft, WorkEntry, WorkKind, Zone, hours_text, parse_hours};
