//! The kinds of things that an audit finds: what each means, and what to do.

use serde::{Serialize, Serializer};

/// How much a finding weighs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Weight {
    /// A record is not what it was, or not there: nothing it says can be relied on until that is explained.
    Broken,
    /// A record is whole, and what it says should be looked at.
    Outstanding,
    /// To know; no finding.
    Note,
}

macro_rules! kinds {
    ($($(#[$doc:meta])* $kind:ident = $weight:ident, $word:literal, $title:literal, $meaning:literal, $advice:literal;)*) => {
        /// A kind of finding, the worst first.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Kind {
            $($(#[$doc])* $kind,)*
        }

        impl Kind {
            /// Every kind, the worst first.
            pub const ALL: &[Self] = &[$(Self::$kind),*];

            /// How much it weighs.
            pub const fn weight(self) -> Weight {
                match self { $(Self::$kind => Weight::$weight),* }
            }

            /// Its word in JSON.
            pub const fn word(self) -> &'static str {
                match self { $(Self::$kind => $word),* }
            }

            /// Its heading.
            pub const fn title(self) -> &'static str {
                match self { $(Self::$kind => $title),* }
            }

            /// What it means.
            pub const fn meaning(self) -> &'static str {
                match self { $(Self::$kind => $meaning),* }
            }

            /// What to do.
            pub const fn advice(self) -> &'static str {
                match self { $(Self::$kind => $advice),* }
            }
        }
    };
}

impl Serialize for Kind {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.word())
    }
}

kinds! {
    /// Not as it was signed off.
    Altered = Broken, "altered", "Altered",
        "The record is not what was signed off: its digest, its signature or the record after it says so.",
        "Take the record from a backup and compare the two; until then nothing in it counts.";
    /// A place in a chain is empty.
    Missing = Broken, "missing", "Missing in the chain",
        "The bench gave these numbers to records, and no such record is here.",
        "Look for them in other stores and backups, and audit those together with this one.";
    /// A record whose digest was noted outside is not here.
    NotedMissing = Broken, "noted-missing", "A noted record is not here",
        "Somebody noted this digest outside, so the record was there then. It is not here as it was.",
        "Look for a copy or a backup that has it, and audit that together with this one; find out who put back what.";
    /// A place in a chain is taken twice.
    Repeated = Broken, "repeated", "Two records in one place",
        "Two different records have the same id, or the same number of the same bench: a store was copied or put back \
         from a backup, and both went on.",
        "Where one of them is altered, the other one counts. Where both are whole, keep both, and give one of the stores \
         another bench name in bench.toml, so that the chains part.";
    /// Not a record that can be read.
    Unreadable = Broken, "unreadable", "Unreadable",
        "The file cannot be read as a record: it is damaged, cut off, of another version, or no record at all.",
        "Take it from a backup; if it is no record, take it out of the folder.";
    /// Signed, and not by a key that is trusted for the name.
    UnknownSigner = Broken, "unknown-signer", "Signed by a key that is not trusted",
        "The signature is good, and the trust list does not have its key for the name that signed off.",
        "Ask the technician for the key's fingerprint, in person; add the key to allowed_signers only if it is theirs.";
    /// Signed by a key that was not valid at the time.
    KeyNotValid = Broken, "key-not-valid", "Signed by a key that was not valid then",
        "The trust list has the key, for another time than that of the sign-off.",
        "If the time of the sign-off is right, the record was not signed by someone who was allowed to; ask.";
    /// Signed in a way that cannot be checked.
    Unchecked = Broken, "unchecked-signature", "A signature that cannot be checked here",
        "The signature is by a kind of key that this program does not check.",
        "Check it with `ssh-keygen -Y verify` over the bytes that `cornerset records canonical` prints.";
    /// Does not follow from its own inputs.
    RecomputedDifferently = Broken, "recomputed-differently", "Does not follow from its own readings",
        "Worked out again from what was typed, a target, a verdict or an outcome is another one than the record says.",
        "Treat the record as if it had been made by hand; measure again if the setting matters.";
    /// Signed, and nobody said whose keys are trusted.
    NoTrustList = Outstanding, "no-trust-list", "Signed, and there is no trust list",
        "The signatures are good, and nothing says whose keys made them.",
        "List the technicians' keys in an allowed_signers file: `cornerset key trust` adds one to the store's own.";
    /// Its file was written again, what it says is the same.
    Rewritten = Outstanding, "rewritten", "File written again",
        "The file is not byte for byte as it was written, though what it says is unchanged.",
        "Find out which program wrote it again: records are copied, never edited.";
    /// In a file that is named after another record.
    Misfiled = Outstanding, "misfiled", "In a file of another name",
        "The file is named after another record than the one that it holds: files were renamed, or exchanged.",
        "Give each file the id of its record as its name again.";
    /// Times that run backwards.
    TimesBackwards = Outstanding, "times-backwards", "Times that run backwards",
        "Something is dated before what came before it: a clock was set back, or times were typed in.",
        "Check the computer's clock; read the times of this record with care.";
    /// The cone passes Xmax with the corner that was set.
    PastXmax = Outstanding, "past-xmax", "Cone past Xmax",
        "By the driver's data the cone passes its linear limit even with this corner.",
        "Call the job back, or make sure that the drive is kept lower than the record assumes.";
    /// The sweep says that the filter is another.
    FilterIsAnother = Outstanding, "filter-is-another", "The filter is not what it was taken for",
        "Readings at other tones fit another filter than the one that the target was worked out for.",
        "Set it again for the filter that fits; the corner stands elsewhere than the record's target says.";
    /// Accepted though the reading is not in the window.
    AcceptedOutside = Outstanding, "accepted-outside", "Accepted outside the window",
        "The technician accepted a reading that misses the tolerance window.",
        "Read the reason; if it does not hold, have it set again.";
    /// Accepted though the meter cannot be sure.
    AcceptedBorderline = Outstanding, "accepted-borderline", "Accepted borderline",
        "The reading stands in the window, but by less than what the meter may be off.",
        "Fine where the tolerance is generous; else measure again with a higher reference or a better meter.";
    /// The family was a guess.
    FamilyGuessed = Outstanding, "family-guessed", "The filter's family was a guess",
        "Nobody knew the family, and no readings were taken to find it out: the corner may be far off.",
        "Have two or three tones read, `explore` in the session.";
    /// The reference was above the hazard line.
    HighReference = Outstanding, "high-reference", "Reference above the hazard line",
        "The work was done at a voltage that is hazardous to touch.",
        "Ask why; a lower reference does the same job.";
    /// A caution was not acknowledged.
    CautionMissing = Outstanding, "caution-missing", "Cautions not acknowledged",
        "The record does not show that the cautions were acknowledged before the tones were played.",
        "Talk to the technician; a record of this program always has them, so look at where this one comes from.";
    /// More digits than the meter shows.
    MoreDigits = Outstanding, "more-digits", "More digits than the meter shows",
        "A reading was typed finer than the display step of the meter.",
        "Either the meter's display step was answered wrongly, or the number was not read off this meter.";
    /// Readings one after the other faster than a knob is turned.
    TooFast = Outstanding, "too-fast", "Readings faster than a hand can turn",
        "Two readings were typed within a second of each other.",
        "Ask how they were taken: nobody turns a knob, lets the meter settle and types in that time.";
    /// Signed off under another name than the technician's.
    OtherName = Outstanding, "other-name", "Signed off under another name",
        "The name that signed off is not the technician's.",
        "Fine where someone signs for a colleague and both know.";
    /// Typed by a script, among records that were not.
    Scripted = Outstanding, "scripted", "Entered by a script",
        "The readings were typed by a program, where others on this bench were typed by hand.",
        "Make sure that the program reads a meter.";
    /// A simulated bench among real ones.
    Practice = Outstanding, "practice", "Practice among real records",
        "The readings come from a simulated bench; the record counts nowhere.",
        "Move it out of the store, so that nobody takes it for a job.";
    /// The same record in several places.
    Copied = Note, "copied", "The same record twice",
        "The same record, byte for byte the same content, is here more than once; it is counted once.",
        "Nothing, where stores are copied or gathered on purpose.";
    /// Signed off by name alone.
    Unsigned = Note, "unsigned", "Signed off without a key",
        "A name was typed and no key signed: whoever can write the file can make such a record.",
        "Make a key with `cornerset key new` for each technician.";
}
