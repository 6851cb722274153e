//! One record looked over by itself: what it is, how it stands, what in it stands out.

use super::kind::Kind;
use super::outstanding::outstanding;
use super::recompute::recompute;
use super::standing::{SignatureStanding, Standing};
use crate::meter::Verdict;
use crate::quantity::{Decibels, Percent};
use crate::record::{Layout, Record, canonical_bytes, digest_of, parse_with_layout};
use crate::session::{EntryMode, LogEntry, Moment};
use crate::signature::{AllowedSigners, Checked, Listing, PublicKey, check};

/// What an audit keeps of one record.
#[derive(Debug, Clone, PartialEq)]
pub struct Facts {
    /// Its id.
    pub id: String,
    /// Its bench.
    pub bench: String,
    /// Its place in the chain.
    pub sequence: u64,
    /// The digest of the record before, as it says.
    pub previous: Option<String>,
    /// The digest of what it says.
    pub digest: String,
    /// The digest that it says it has.
    pub stated_digest: String,
    /// Its signature, as it is written.
    pub signature: Option<String>,
    /// When it was signed off.
    pub closed_at: Moment,
    /// When the last entry of its log was made.
    pub last_at: Moment,
    /// Its job.
    pub job: String,
    /// Its technician.
    pub technician: String,
    /// Its amplifier.
    pub amplifier: String,
    /// Its meter.
    pub meter: String,
    /// Whether a script typed, at least in part.
    pub scripted: bool,
    /// Whether it is of a simulated bench.
    pub practice: bool,
    /// Whether it was accepted inside.
    pub inside: bool,
    /// The accepted reading against the target: above zero where the meter showed more volts.
    pub miss: Option<Decibels>,
    /// The mark at the dial against the measured corner, where it was noted.
    pub dial: Option<Percent>,
    /// Whether it is whole, and who signed it.
    pub standing: Standing,
    /// Whether there is no signature although the trust list has a key of the name that signed off.
    pub could_have_signed: bool,
    /// What in it does not follow from its own inputs, as sentences.
    pub recomputed: Vec<String>,
    /// What in it stands out, with what exactly.
    pub outstanding: Vec<(Kind, String)>,
}

impl Facts {
    /// The SHA-256 of its signature's text, written as digests are.
    pub(super) fn signature_digest(&self) -> Option<String> {
        self.signature.as_ref().map(|text| digest_of(text.as_bytes()))
    }

    /// The record is in a file that is named after this id.
    pub fn is_in_file_of(&mut self, id: &str) {
        if self.id != id {
            self.outstanding.push((Kind::Misfiled, format!("The file is named after {id}.")));
        }
    }
}

/// How a record's bytes came.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// As a file of its own, which is never written again.
    File,
    /// As a line among others, laid out in whatever way.
    Line,
}

/// Looks over the bytes of a record.
///
/// # Errors
/// Why it cannot be read as a record, as the end of a sentence.
pub fn examine(bytes: &[u8], form: Form, trusted: Option<&AllowedSigners>) -> Result<Facts, String> {
    let (record, layout) = parse_with_layout(bytes)?;
    let signed = canonical_bytes(&record).map_err(|error| error.to_string())?;
    let digest = digest_of(&signed);
    let standing = stands(&record, &signed, &digest, trusted);
    let mut outstanding = if standing.is_intact() { outstanding(&record) } else { vec![] };
    if form == Form::File && layout != Layout::File && standing.is_intact() {
        let text = "The layout of the file is another one than this program writes.";
        outstanding.insert(0, (Kind::Rewritten, text.to_owned()));
    }
    let down = record.accepted_reading().map(|reading| reading.down_db.db());
    Ok(Facts {
        digest,
        scripted: record.entry == EntryMode::Script,
        inside: record.outcome.verdict == Verdict::Inside,
        miss: down.map(|down| Decibels::new(record.plan.setting.down_db.db() - down)),
        dial: record.filter.dial_mark_hz.zip(record.outcome.corner_hz).map(|(mark, corner)| mark.error_against(corner)),
        could_have_signed: record.sign_off.signature.is_none()
            && trusted.is_some_and(|list| list.has_key_of(&record.sign_off.name)),
        recomputed: recompute(&record),
        outstanding,
        standing,
        id: record.id,
        bench: record.bench,
        sequence: record.sequence,
        previous: record.previous,
        stated_digest: record.sign_off.digest,
        signature: record.sign_off.signature,
        closed_at: record.closed_at,
        last_at: record.log.last().map_or(record.closed_at, LogEntry::at),
        job: record.job,
        technician: record.technician,
        amplifier: record.amplifier.name,
        meter: record.meter.name,
        practice: record.practice,
    })
}

/// How a record stands: see [`Standing`].
pub fn standing(record: &Record, trusted: Option<&AllowedSigners>) -> Standing {
    match canonical_bytes(record) {
        Ok(signed) => stands(record, &signed, &digest_of(&signed), trusted),
        Err(error) => Standing { altered: vec![error.to_string()], signature: SignatureStanding::None },
    }
}

fn stands(record: &Record, signed: &[u8], digest: &str, trusted: Option<&AllowedSigners>) -> Standing {
    let signature = signature_of(record, signed, trusted);
    let mut altered = vec![];
    if *digest != record.sign_off.digest {
        altered.push("Its digest is not that of what it says.".to_owned());
    }
    if let SignatureStanding::Bad { why } = &signature {
        altered.push(format!("Its signature is not good: {why}."));
    }
    match (record.key_stated(), signature.key()) {
        (Some(stated), None) if signature == SignatureStanding::None => {
            altered.push(format!("It says that the key {stated} signed it, and its signature is gone."));
        }
        (Some(stated), Some(fingerprint)) if stated != fingerprint => {
            altered.push(format!("It says that the key {stated} signed it, and the signature is by {fingerprint}."));
        }
        _ => {}
    }
    Standing { altered, signature }
}

fn signature_of(record: &Record, signed: &[u8], trusted: Option<&AllowedSigners>) -> SignatureStanding {
    let Some(armoured) = &record.sign_off.signature else {
        return SignatureStanding::None;
    };
    match check(armoured, signed) {
        Checked::Good(key) => trust(&key, record, trusted),
        Checked::Bad(why) => SignatureStanding::Bad { why },
        Checked::Unsupported { kind, fingerprint } => SignatureStanding::Unsupported { kind, fingerprint },
    }
}

fn trust(key: &PublicKey, record: &Record, trusted: Option<&AllowedSigners>) -> SignatureStanding {
    let fingerprint = key.fingerprint();
    let Some(list) = trusted else {
        return SignatureStanding::NoList { fingerprint };
    };
    match list.judge(key, &record.sign_off.name, record.sign_off.at) {
        Listing::Listed => SignatureStanding::Trusted { fingerprint },
        Listing::Stranger => SignatureStanding::Stranger { fingerprint },
        Listing::OtherName(principals) => SignatureStanding::OtherName { fingerprint, principals },
        Listing::OtherNamespace => SignatureStanding::OtherNamespace { fingerprint },
        Listing::NotYet(from) => SignatureStanding::NotYet { fingerprint, from },
        Listing::NoLonger(until) => SignatureStanding::NoLonger { fingerprint, until },
    }
}
