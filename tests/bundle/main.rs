//! Several tablets, one orchard: whatever they did and in whatever order bundles went round, all end with the same, and
//! nothing is lost.

mod altered;
mod conflicts;
mod device;
#[path = "../common/drafts.rs"]
mod drafts;
mod first;
mod forgotten;
mod hostile;
mod hours;
mod in_winter;
mod laws;
mod names;
mod ops;
mod orchards;
mod screens;
mod since;
mod twins;
mod ways;
mod winter;
