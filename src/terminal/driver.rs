//! A driver and its box: from a driver file, or typed value by value.

use std::path::Path;

use super::driver_file::read_driver_file;
use super::keyboard::read_line;
use super::signals::Interrupts;
use super::voice::Voice;
use crate::displacement::{Enclosure, Fields};
use crate::quantity::Refusal;
use crate::quantity::show::list_or;
use crate::screens::{Emphasis, Line};
use crate::session::{Stop, UNKNOWN};

/// The word that asks for the values one by one.
pub(super) const VALUES: &str = "values";

/// What a script or a person gave for driver and box, as the one line that a session keeps: a line is left as it is, the
/// name of a file is read.
///
/// # Errors
/// Where the file cannot be read, or is no driver file.
pub(super) fn driver_line(given: &str) -> Result<String, String> {
    if given.contains('=') || given.eq_ignore_ascii_case(UNKNOWN) {
        return Ok(given.to_owned());
    }
    Ok(read_driver_file(Path::new(given))?.driver_and_box())
}

/// Whether what was typed, where a tuning is asked for, means a driver instead.
pub(super) fn is_of_driver(typed: &str) -> bool {
    typed.eq_ignore_ascii_case(VALUES) || typed.contains('=') || typed.to_lowercase().ends_with(".toml")
}

/// A value that is asked for.
struct Asked {
    key: &'static str,
    purpose: &'static str,
    /// Taken on Enter; the value may be left out where this is empty, and must be given where it is `None`.
    default: Option<&'static str>,
    /// Whether it comes up, given those before it.
    comes_up: fn(&Fields) -> bool,
}

const fn must(key: &'static str, purpose: &'static str, comes_up: fn(&Fields) -> bool) -> Asked {
    Asked { key, purpose, default: None, comes_up }
}

const fn may(key: &'static str, purpose: &'static str, comes_up: fn(&Fields) -> bool) -> Asked {
    Asked { key, purpose, default: Some(""), comes_up }
}

/// Always.
fn yes(_: &Fields) -> bool {
    true
}

fn lacks(fields: &Fields, keys: &[&str]) -> bool {
    keys.iter().all(|key| fields.text(key).is_none())
}

/// Every value, in order. The tuning is the session's own question.
const ASKED: [Asked; 16] = [
    Asked {
        key: "kind",
        purpose: "What is the driver mounted in: sealed, vented or free-air?",
        default: Some("vented"),
        comes_up: yes,
    },
    must("volume_l", "Net volume of the box in litres; also `1.7 ft3`.", |fields| {
        fields.text("kind") != Some("free-air")
    }),
    must("fs_hz", "The driver's resonance in free air, Fs, in Hz.", yes),
    may("qes", "Electrical Q, Qes; Enter where the sheet has none.", yes),
    may("qms", "Mechanical Q, Qms; Enter where the sheet has none.", |fields| fields.text("qes").is_some()),
    must("qms", "Mechanical Q, Qms.", |fields| lacks(fields, &["qes", "qms"])),
    must("qts", "Total Q, Qts.", |fields| lacks(fields, &["qes"]) || lacks(fields, &["qms"])),
    may("vas_l", "Equivalent volume, Vas, in litres; Enter where the sheet has none.", yes),
    may("cms_mm_per_n", "Compliance, Cms, in mm/N; Enter where the sheet has none.", |fields| {
        lacks(fields, &["vas_l"])
    }),
    must("mms_g", "Moving mass, Mms, in grams.", |fields| lacks(fields, &["vas_l", "cms_mm_per_n"])),
    may("sd_cm2", "Piston area, Sd, in cm2; Enter where the sheet has none.", yes),
    must("effective_diameter_mm", "Effective diameter of the cone, mid-surround to mid-surround, in mm.", |fields| {
        lacks(fields, &["sd_cm2"])
    }),
    must("re_ohm", "The voice coil's dc resistance, Re, in ohm; several drivers as they are wired.", yes),
    must("xmax_mm", "Linear travel one way, Xmax, in mm.", yes),
    may("xmech_mm", "Mechanical limit one way, Xmech, in mm; Enter where nobody says.", yes),
    Asked {
        key: "lowest_hz",
        purpose: "The lowest frequency that the programme reaches, in Hz.",
        default: Some("10"),
        comes_up: yes,
    },
];

/// The drive, which a driver file may leave to the command line.
const DRIVE: [Asked; 2] = [
    must("power_w", "The amplifier's power into this load, in W.", |fields| lacks(fields, &["power_w"])),
    must("load_ohm", "The load in ohm.", |fields| lacks(fields, &["load_ohm"])),
];

/// Driver and box as one line: from a file, or asked for value by value; `None` where the person leaves it.
///
/// # Errors
/// Where the person stops altogether.
pub(super) fn ask_driver(voice: &Voice, interrupts: &Interrupts, given: &str) -> Result<Option<String>, Stop> {
    let warn = |why: &dyn std::fmt::Display| {
        voice.show(&voice.screen().item("! ", Emphasis::Warn, &why.to_string()));
    };
    if given.contains('=') {
        return Ok(Some(given.to_owned()));
    }
    let mut fields = Fields::default();
    let mut asked: Vec<&Asked> = vec![];
    if given.eq_ignore_ascii_case(VALUES) {
        voice.show(&[Line::empty(), Line::plain("From the data sheet; `<` goes back by one, q leaves it.")]);
        asked.extend(&ASKED);
    } else {
        match read_driver_file(Path::new(given)) {
            Ok(read) => fields = read,
            Err(why) => {
                warn(&why);
                return Ok(None);
            }
        }
    }
    asked.extend(&DRIVE);
    let mut before: Vec<(usize, Fields)> = vec![];
    let mut index = 0;
    while let Some(ask) = asked.get(index) {
        if !(ask.comes_up)(&fields) {
            index += 1;
            continue;
        }
        voice.show(&[Line::plain(ask.purpose)]);
        let default = ask.default.filter(|default| !default.is_empty());
        let prompt = default.map_or_else(|| ask.key.to_owned(), |default| format!("{} [{default}]", ask.key));
        let typed = read_line(voice, interrupts, &prompt)?;
        match (typed.trim(), ask.default) {
            ("q" | "Q", _) => return Ok(None),
            ("<", _) => {
                if let Some((earlier, fields_then)) = before.pop() {
                    (index, fields) = (earlier, fields_then);
                }
            }
            ("", Some("")) => {
                before.push((index, fields.clone()));
                index += 1;
            }
            ("", None) => warn(&Refusal::new(ask.key, "", "was given", "a value from the data sheet; q leaves it")),
            (text, default) => {
                let text = if text.is_empty() { default.unwrap_or_default() } else { text };
                match with(&fields, ask.key, text) {
                    Ok(more) => {
                        before.push((index, std::mem::replace(&mut fields, more)));
                        index += 1;
                    }
                    Err(refusal) => warn(&refusal),
                }
            }
        }
    }
    Ok(Some(fields.driver_and_box()))
}

/// The fields with one more, checked by itself.
fn with(fields: &Fields, key: &str, text: &str) -> Result<Fields, Refusal> {
    let text = if key == "kind" { text.to_lowercase() } else { text.to_owned() };
    if key == "kind" && !Enclosure::KINDS.contains(&text.as_str()) {
        return Err(Refusal::new(key, text, "is no kind of box", list_or(&Enclosure::KINDS)));
    }
    let fields = fields.clone().with(key, text);
    fields.number(key)?;
    Ok(fields)
}
