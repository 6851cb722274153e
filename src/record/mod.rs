//! Sixth floor: the record of a session, its canonical form and its digest.

mod canonical;
mod document;
mod read;
mod readings;
mod signer;
mod sorted;
mod strict;

pub use canonical::{NotCanonical, canonical_bytes, digest, digest_of};
pub use document::{
    AmplifierPart, BoxPart, CautionPart, ChainLink, FORMAT, FamilyFrom, FilterPart, FitPart, MeterPart, OutcomePart,
    Record, STATEMENT, SignOffPart, VERSION,
};

pub use read::{Layout, RECORD_MAX, SEQUENCE_MAX, file_bytes, is_intact, parse_record, parse_with_layout};
pub use readings::Strikes;
pub use signer::Signer;

/// The JSON Schema of a record (draft 2020-12).
pub const SCHEMA: &str = include_str!("record.schema.json");
