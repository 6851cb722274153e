//! How far a record can be relied on: what shouts, what its signature says, and how anyone can check it.

use super::line::Emphasis;
use super::when::minute;
use crate::audit::{SignatureStanding, Standing};
use crate::quantity::text::shell_word;
use crate::record::Record;
use crate::session::EntryMode;
use crate::signature::{NAMESPACE, principal_of};

/// Something that must be known before anything in the record is believed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Alarm {
    /// In a word or a few.
    pub word: &'static str,
    /// In sentences.
    pub text: String,
}

/// What must be known before anything in the record is believed; empty where it can be.
pub fn alarms(record: &Record, standing: &Standing) -> Vec<Alarm> {
    let mut alarms = vec![];
    if !standing.is_intact() {
        let what = standing.altered.join(" ");
        let text = format!(
            "This is not what was signed off, so nothing in it can be relied on. {what} Take the record from a backup."
        );
        alarms.push(Alarm { word: "ALTERED", text });
    }
    // A signature that is not good is one of the ways in which a record is altered, and was said with those.
    let is_said = !standing.is_intact() && matches!(standing.signature, SignatureStanding::Bad { .. });
    if !standing.signature.is_sound() && !is_said {
        let is_unknown = matches!(standing.signature, SignatureStanding::Unsupported { .. });
        let word = if is_unknown { "NOT CHECKED" } else { "NOT TO BE TRUSTED" };
        alarms.push(Alarm { word, text: signature_says(record, standing).1 });
    }
    if record.practice {
        let text = "The readings come from a simulated bench. This record counts nowhere.".to_owned();
        alarms.push(Alarm { word: "PRACTICE", text });
    }
    alarms
}

impl Alarm {
    /// The word and the sentences.
    pub fn whole(&self) -> String {
        format!("{}: {}", self.word, self.text)
    }

    /// The words of several, to stand before whatever the record says; empty for none.
    pub fn words(alarms: &[Self]) -> String {
        let words: Vec<&str> = alarms.iter().map(|alarm| alarm.word).collect();
        if words.is_empty() { String::new() } else { format!("{}. ", words.join(", ")) }
    }
}

/// That a program typed it; empty where a person did.
pub fn scripted(record: &Record) -> Option<&'static str> {
    (record.entry == EntryMode::Script)
        .then_some("Typed by a script, at least in part: the readings are as good as the program that read the meter.")
}

/// What the signature says, as a sentence.
pub fn signature_says(record: &Record, standing: &Standing) -> (Emphasis, String) {
    let name = &record.sign_off.name;
    match &standing.signature {
        SignatureStanding::None if record.sign_off.signature.is_some() => {
            (Emphasis::Plain, "There is a signature, and it was not checked here.".to_owned())
        }
        SignatureStanding::None => (
            Emphasis::Plain,
            "No key signed it: whoever can write the file can make such a record, so it is worth as much as the place that \
             kept it."
                .to_owned(),
        ),
        SignatureStanding::Trusted { fingerprint } => (
            Emphasis::Good,
            format!("Signed with a key that the trust list has for {name}. Its fingerprint is {fingerprint}."),
        ),
        SignatureStanding::NoList { fingerprint } => (
            Emphasis::Plain,
            format!(
                "The signature is good: this record is what the key {fingerprint} signed. Whose key that is nobody has said \
                 here, because there is no trust list."
            ),
        ),
        SignatureStanding::Stranger { fingerprint } => (
            Emphasis::Warn,
            format!("It is signed by a key that the trust list does not have. The fingerprint of that key is {fingerprint}."),
        ),
        SignatureStanding::OtherName { fingerprint, principals } => (
            Emphasis::Warn,
            format!("{name} signed off, but the key is that of {principals}. Its fingerprint is {fingerprint}."),
        ),
        SignatureStanding::OtherNamespace { fingerprint } => (
            Emphasis::Warn,
            format!("The trust list does not allow the key to sign records. Its fingerprint is {fingerprint}."),
        ),
        SignatureStanding::NotYet { fingerprint, from } => (
            Emphasis::Warn,
            format!("The key was not valid before {}. Its fingerprint is {fingerprint}.", minute(*from)),
        ),
        SignatureStanding::NoLonger { fingerprint, until } => (
            Emphasis::Warn,
            format!("The key was valid until {} only. Its fingerprint is {fingerprint}.", minute(*until)),
        ),
        SignatureStanding::Bad { why } => {
            (Emphasis::Warn, format!("It is no good signature of this record: {why}."))
        }
        SignatureStanding::Unsupported { kind, .. } => {
            (Emphasis::Warn, format!("This program does not check keys of the kind {kind}. Check it as said below."))
        }
    }
}

/// A step of checking a record by hand.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Step {
    /// What to do.
    pub text: String,
    /// What to type for it.
    pub command: String,
    /// What to do where there is no such program, or what to look at.
    pub then: String,
}

/// How to check a record: the bytes, and where there is a signature, that one over them.
pub fn check_steps(record: &Record) -> Vec<Step> {
    let bytes = Step {
        text: "Get the bytes that were signed off.".to_owned(),
        command: format!("cornerset records canonical {} > record.bytes", shell_word(&record.id)),
        then: "Without Cornerset: any program for RFC 8785 (canonical JSON) makes the same bytes of the record's file, once \
               the keys sign_off.digest and sign_off.signature are taken out of it. No line end follows. Their SHA-256, as \
               `sha256sum record.bytes` shows it, is the digest."
            .to_owned(),
    };
    if record.sign_off.signature.is_none() {
        let same = "That tells whether the record is still the same, not who made it.";
        return vec![Step { then: format!("{} {same}", bytes.then), ..bytes }];
    }
    let principal = shell_word(&principal_of(&record.sign_off.name));
    vec![
        bytes,
        Step {
            text: "Put the signature into a file record.sig, from its first line to its last. In the record's file it is the \
                   value of sign_off.signature."
                .to_owned(),
            command: format!("jq -r .sign_off.signature {}.json > record.sig", shell_word(&record.id)),
            then: format!(
                "Put the signer's public key, asked for in person, into a file allowed_signers: {principal}, a blank, and the \
                 line of the .pub file."
            ),
        },
        Step {
            text: "Have OpenSSH hold the one against the other.".to_owned(),
            command: format!(
                "ssh-keygen -Y verify -f allowed_signers -I {principal} -n {NAMESPACE} -s record.sig < record.bytes"
            ),
            then: "It says `Good` and the key's fingerprint; anything else means that this is not what was signed."
                .to_owned(),
        },
    ]
}
