//! The audit: what was changed, what is missing, what stands out. Records are made in memory by the session itself.

mod common;

#[path = "audit/chains.rs"]
mod chains;
#[path = "audit/changes.rs"]
mod changes;
#[path = "audit/hostile.rs"]
mod hostile;
#[path = "audit/maker.rs"]
mod maker;
#[path = "audit/noted.rs"]
mod noted;
#[path = "audit/numbers.rs"]
mod numbers;
#[path = "audit/outstanding.rs"]
mod outstanding;
#[path = "audit/sql.rs"]
mod sql;
#[path = "audit/sql_by_chance.rs"]
mod sql_by_chance;
#[path = "audit/sql_by_hand.rs"]
mod sql_by_hand;
#[path = "audit/trust.rs"]
mod trust;
