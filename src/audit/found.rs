//! What an audit found.

use super::kind::Kind;
use crate::quantity::Decibels;
use crate::session::Moment;

/// One thing out of line.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// What kind of thing.
    pub kind: Kind,
    /// The record, where there is one.
    pub id: Option<String>,
    /// Its bench, where that is known.
    pub bench: Option<String>,
    /// Its place in the chain, where that is known.
    pub sequence: Option<u64>,
    /// Its file, where there is one.
    pub path: Option<String>,
    /// Its job, where that is known; not made harmless.
    pub job: Option<String>,
    /// Its technician, where that is known; not made harmless.
    pub technician: Option<String>,
    /// When it was signed off, where that is known.
    pub at: Option<Moment>,
    /// What exactly, as a sentence; text from the record in it is not made harmless.
    pub detail: String,
}

/// The chain of a bench.
#[derive(Debug, Clone, PartialEq)]
pub struct Chain {
    /// The bench.
    pub bench: String,
    /// How many records of it there are.
    pub records: usize,
    /// The highest place.
    pub last: u64,
    /// The digest of the record there.
    pub digest: String,
    /// Whether every record is there, once, and names the one before.
    pub whole: bool,
}

/// A digest that was noted outside.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Noted {
    /// The digest, as records write it.
    pub digest: String,
    /// What it vouches for, where its record is here.
    pub reach: Option<Reach>,
}

/// What a noted digest vouches for: these are the records that were there when it was noted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Reach {
    /// The bench.
    pub bench: String,
    /// The first place that the chain leads back to.
    pub first: u64,
    /// The place of the record whose digest it is.
    pub last: u64,
    /// The id of that record.
    pub id: String,
}

/// Records that have something in common.
#[derive(Debug, Clone, PartialEq)]
pub struct Group {
    /// What they have in common: a technician, an amplifier, a meter.
    pub name: String,
    /// How many.
    pub records: usize,
    /// How many were accepted inside.
    pub inside: usize,
    /// The mean of (accepted reading against target): above zero where the meter showed more volts.
    pub bias: Option<Decibels>,
    /// The sample standard deviation of the same, of two records or more.
    pub spread: Option<Decibels>,
    /// The mean of (dial's mark against measured corner), in percent of the corner, of those that noted the mark.
    pub dial_percent: Option<f64>,
    /// The sample standard deviation of the same, of two records or more.
    pub dial_spread_percent: Option<f64>,
    /// How many noted the mark.
    pub dial_records: usize,
}

/// A whole audit.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Audit {
    /// Record files that were looked at, but practice records and copies.
    pub records: usize,
    /// Those that are as they were signed off.
    pub intact: usize,
    /// Those with a signature over them.
    pub signed: usize,
    /// Those of a simulated bench, which count nowhere.
    pub practice: usize,
    /// Those that a script typed, at least in part.
    pub scripted: usize,
    /// Ids of those that do not follow from their own readings, altered ones too.
    pub recomputed_differently: Vec<String>,
    /// Everything out of line, worst first.
    pub findings: Vec<Finding>,
    /// The chain of every bench.
    pub chains: Vec<Chain>,
    /// The digests that were noted outside, in the order in which they were given.
    pub noted: Vec<Noted>,
    /// By technician.
    pub technicians: Vec<Group>,
    /// By amplifier.
    pub amplifiers: Vec<Group>,
    /// By meter.
    pub meters: Vec<Group>,
    /// What a person should know of the audit itself.
    pub warnings: Vec<String>,
}
