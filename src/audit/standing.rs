//! How one record stands: whether it is as it was signed off, and by whom.

use crate::session::Moment;

/// Whether a record is whole, and who signed it.
#[derive(Debug, Clone, PartialEq)]
pub struct Standing {
    /// What was changed, as sentences; empty where the record is as it was signed off.
    pub altered: Vec<String>,
    /// The signature.
    pub signature: SignatureStanding,
}

/// What is known of the signature of a record.
#[derive(Debug, Clone, PartialEq)]
pub enum SignatureStanding {
    /// Signed off by name alone.
    None,
    /// By a key that the trust list knows for this name at that time.
    Trusted {
        /// The key.
        fingerprint: String,
    },
    /// By a key over these very bytes, and there is no trust list to say whose it is.
    NoList {
        /// The key.
        fingerprint: String,
    },
    /// By a key that the trust list does not have.
    Stranger {
        /// The key.
        fingerprint: String,
    },
    /// By a key that the trust list has for other names only.
    OtherName {
        /// The key.
        fingerprint: String,
        /// Whose it is, as the list writes it.
        principals: String,
    },
    /// By a key that the trust list has for other purposes only.
    OtherNamespace {
        /// The key.
        fingerprint: String,
    },
    /// By a key that was not valid yet.
    NotYet {
        /// The key.
        fingerprint: String,
        /// From when it is.
        from: Moment,
    },
    /// By a key that was not valid any more.
    NoLonger {
        /// The key.
        fingerprint: String,
        /// Until when it was.
        until: Moment,
    },
    /// Not a signature over this record.
    Bad {
        /// Why, as a sentence.
        why: String,
    },
    /// By a kind of key that cannot be checked here.
    Unsupported {
        /// The kind of key.
        kind: String,
        /// The key that it names.
        fingerprint: String,
    },
}

impl Standing {
    /// Whether it is whole and signed by a key that is trusted for the name.
    pub fn is_trusted(&self) -> bool {
        self.is_intact() && matches!(self.signature, SignatureStanding::Trusted { .. })
    }

    /// Whether it is whole, and nothing speaks against its signature; none at all speaks neither for nor against it.
    pub fn is_sound(&self) -> bool {
        self.is_intact() && self.signature.is_sound()
    }

    /// Whether the record is as it was signed off.
    pub fn is_intact(&self) -> bool {
        self.altered.is_empty()
    }
}

impl SignatureStanding {
    /// Whether nothing speaks against it; none at all speaks neither for nor against the record.
    pub const fn is_sound(&self) -> bool {
        matches!(self, Self::None | Self::Trusted { .. } | Self::NoList { .. })
    }

    /// The key that signed, where the signature is good.
    pub fn fingerprint(&self) -> Option<&str> {
        self.key().filter(|_| !matches!(self, Self::Unsupported { .. }))
    }

    /// The key that signed, or that a signature names which cannot be checked here.
    pub fn key(&self) -> Option<&str> {
        match self {
            Self::None | Self::Bad { .. } => None,
            Self::Unsupported { fingerprint, .. }
            | Self::Trusted { fingerprint }
            | Self::NoList { fingerprint }
            | Self::Stranger { fingerprint }
            | Self::OtherName { fingerprint, .. }
            | Self::OtherNamespace { fingerprint }
            | Self::NotYet { fingerprint, .. }
            | Self::NoLonger { fingerprint, .. } => Some(fingerprint),
        }
    }
}
