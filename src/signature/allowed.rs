//! The trust list: OpenSSH's allowed_signers format.

use chrono::{DateTime, FixedOffset, NaiveDateTime};

use super::key::PublicKey;
use crate::session::Moment;

/// Whose key may sign, and when.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct AllowedSigners(());

/// What a trust list says of a key under a name at a time.
#[derive(Debug, Clone, PartialEq)]
pub enum Listing {
    /// It may sign.
    Listed,
    /// No line has this key.
    Stranger,
    /// Lines have it, for other names only: the principals as the list writes them.
    OtherName(String),
    /// Lines have it for this name, for other purposes only.
    OtherNamespace,
    /// It may sign from then on.
    NotYet(Moment),
    /// It might sign until then.
    NoLonger(Moment),
}

impl AllowedSigners {
    /// Reads a list; lines that cannot be used are told of and passed over.
    pub fn parse(_text: &str, _local: &dyn Fn(NaiveDateTime) -> Option<DateTime<FixedOffset>>) -> (Self, Vec<String>) {
        unimplemented!()
    }

    /// What the list says of this key, under this name, at this time.
    pub fn judge(&self, _key: &PublicKey, _name: &str, _at: Moment) -> Listing {
        unimplemented!()
    }
}
