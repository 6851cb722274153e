//! A driver and its box as people write them down: keys with their values, in a file or in a line.

use std::collections::BTreeMap;

use super::analysis::{Analysis, Setup};
use super::cone::Drive;
use super::driver::{DataSheet, Driver};
use super::enclosure::{Enclosure, USUAL_LEAKAGE_Q};
use crate::filter::{Alignment, Family, Slope};
use crate::quantity::ranges::{self, Range};
use crate::quantity::text::{NAME_MAX, accept_line, visible};
use crate::quantity::{
    Grams, Hertz, Litres, Millihenries, Millimetres, MillimetresPerNewton, Ohms, Refusal, SquareCentimetres, Watts,
    entry, show,
};

/// What a key's value is.
#[derive(Debug, Clone, Copy)]
enum Kind {
    Number(Range),
    Word,
}

/// Every key, with its section and what it takes.
const KEYS: [(&str, &str, Kind); 25] = [
    ("driver", "name", Kind::Word),
    ("driver", "fs_hz", Kind::Number(ranges::FS)),
    ("driver", "qes", Kind::Number(ranges::QES)),
    ("driver", "qms", Kind::Number(ranges::QMS)),
    ("driver", "qts", Kind::Number(ranges::QTS)),
    ("driver", "vas_l", Kind::Number(ranges::VAS)),
    ("driver", "cms_mm_per_n", Kind::Number(ranges::CMS)),
    ("driver", "mms_g", Kind::Number(ranges::MMS)),
    ("driver", "sd_cm2", Kind::Number(ranges::SD)),
    ("driver", "effective_diameter_mm", Kind::Number(ranges::EFFECTIVE_DIAMETER)),
    ("driver", "re_ohm", Kind::Number(ranges::RE)),
    ("driver", "le_mh", Kind::Number(ranges::LE)),
    ("driver", "xmax_mm", Kind::Number(ranges::XMAX)),
    ("driver", "xmech_mm", Kind::Number(ranges::XMECH)),
    ("box", "kind", Kind::Word),
    ("box", "volume_l", Kind::Number(ranges::BOX_VOLUME)),
    ("box", "tuning_hz", Kind::Number(ranges::TUNING.named("tuning_hz"))),
    ("box", "leakage_q", Kind::Number(ranges::LEAKAGE_Q)),
    ("drive", "power_w", Kind::Number(ranges::RATED_POWER.named("power_w"))),
    ("drive", "load_ohm", Kind::Number(ranges::LOAD.named("load_ohm"))),
    ("drive", "lowest_hz", Kind::Number(ranges::LOWEST)),
    ("filter", "family", Kind::Word),
    ("filter", "slope_db_per_octave", Kind::Word),
    ("filter", "q", Kind::Number(ranges::Q)),
    ("filter", "corner_hz", Kind::Number(ranges::CORNER.named("corner_hz"))),
];

/// The sections of a file.
pub(super) const SECTIONS: [&str; 4] = ["driver", "box", "drive", "filter"];

/// What separates keys in a line.
const SEPARATOR: char = ';';

/// Keys with their values as written.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Fields(BTreeMap<&'static str, String>);

impl Fields {
    /// Takes a key of a section. A key in a line stands in no section.
    ///
    /// # Errors
    /// Where the key is unknown, stands in another section, or was given already.
    pub(super) fn insert(&mut self, section: Option<&str>, key: &str, value: String) -> Result<(), Refusal> {
        let Some((home, known, _)) = KEYS.iter().find(|(_, known, _)| *known == key) else {
            return Err(unknown(key, section));
        };
        if let Some(section) = section
            && section != *home
        {
            let problem = format!("stands in [{section}]");
            return Err(Refusal::new(*known, value, problem, format!("{known} in [{home}]")));
        }
        if self.0.contains_key(known) {
            return Err(Refusal::new(*known, value, "is given a second time", "each key once"));
        }
        *self = std::mem::take(self).with(known, value);
        Ok(())
    }

    /// Reads `key = value` items, separated by semicolons.
    ///
    /// # Errors
    /// Where an item is no such thing, or its key is refused.
    pub fn from_line(line: &str) -> Result<Self, Refusal> {
        let mut fields = Self::default();
        for item in line.split(SEPARATOR).map(str::trim).filter(|item| !item.is_empty()) {
            let refuse = |problem: &str| {
                let accepted = "`fs_hz = 27; qes = 0.46; ...`, the keys of a driver file";
                Err(Refusal::new("driver", item, problem, accepted))
            };
            let Some((key, value)) = item.split_once('=') else {
                return refuse("has no `=` between key and value");
            };
            if key.trim().is_empty() {
                return refuse("has no key before the `=`");
            }
            fields.insert(None, key.trim(), value.trim().to_owned())?;
        }
        Ok(fields)
    }

    /// The same as one line, without the filter, in the order of the table.
    pub fn driver_and_box(&self) -> String {
        let items = KEYS.iter().filter(|(section, ..)| *section != "filter");
        let items: Vec<String> = items
            .filter_map(|(_, key, kind)| self.0.get(key).map(|value| format!("{key} = {}", one_item(value, *kind))))
            .collect();
        items.join("; ")
    }

    /// With this value for a key, in place of what was written or where nothing was.
    #[must_use]
    pub fn with(mut self, key: &str, value: String) -> Self {
        if let Some((_, known, _)) = KEYS.iter().find(|(_, known, _)| *known == key) {
            let value = if *known == "kind" { value.trim().to_lowercase() } else { value };
            self.0.insert(known, value);
        }
        self
    }

    /// What was written for a key.
    pub fn text(&self, key: &str) -> Option<&str> {
        self.0.get(key).map(String::as_str)
    }

    /// A number, in the unit of its key.
    ///
    /// # Errors
    /// Where it is no number of that quantity, or out of range.
    pub fn number(&self, key: &str) -> Result<Option<f64>, Refusal> {
        let range = KEYS.iter().find_map(|(_, known, kind)| match kind {
            Kind::Number(range) if *known == key => Some(range),
            _ => None,
        });
        match (self.text(key), range) {
            (Some(text), Some(range)) => entry::parse(text, range).map(Some),
            _ => Ok(None),
        }
    }

    /// Checks every number by itself, so that a slip is named before what is missing.
    fn check(&self) -> Result<(), Refusal> {
        KEYS.iter().try_for_each(|(_, key, _)| self.number(key).map(|_| ()))
    }

    /// Checks a key that was just told, by itself and beside those before it; what is missing still is no fault.
    ///
    /// # Errors
    /// Where the value is refused, or disagrees with another.
    pub(super) fn check_so_far(&self, key: &str) -> Result<(), Refusal> {
        self.number(key)?;
        if key == "kind" && !Enclosure::KINDS.contains(&self.text(key).unwrap_or_default()) {
            let kind = self.text(key).unwrap_or_default();
            return Err(no_word("kind", kind, "is no kind of box", &Enclosure::KINDS));
        }
        // Stand-ins for what no check of agreement looks at before it is told.
        let told = |key: &str, range: Range| Ok::<f64, Refusal>(self.number(key)?.unwrap_or(range.low));
        let sheet = DataSheet {
            fs: Hertz::new(told("fs_hz", ranges::FS)?),
            re: Ohms::new(told("re_ohm", ranges::RE)?),
            xmax: Millimetres::new(told("xmax_mm", ranges::XMAX)?),
            ..self.sheet_without_musts()?
        };
        match Driver::from_sheet(&sheet) {
            Err(refusal) if !refusal.given.is_empty() => Err(refusal),
            _ => Ok(()),
        }
    }

    /// The key of the filter that stands first, if any does: in a session the filter is asked for by itself.
    pub fn key_of_filter(&self) -> Option<&'static str> {
        KEYS.iter().find(|(home, key, _)| *home == "filter" && self.0.contains_key(key)).map(|(_, key, _)| *key)
    }

    fn needed(&self, key: &str, why: &str) -> Result<f64, Refusal> {
        self.number(key)?.ok_or_else(|| Refusal::new(key, "", "was given", why))
    }

    /// The driver's name, where it has one.
    ///
    /// # Errors
    /// Where it holds what cannot be seen, or is too long.
    pub fn name(&self) -> Result<Option<String>, Refusal> {
        self.text("name").map(|name| accept_line("name", name, NAME_MAX)).transpose()
    }

    /// The driver.
    ///
    /// # Errors
    /// Where a value is refused or missing, or two disagree.
    pub fn driver(&self) -> Result<Driver, Refusal> {
        Driver::from_sheet(&DataSheet {
            fs: Hertz::new(self.needed("fs_hz", "the driver's resonance, fs_hz")?),
            re: Ohms::new(self.needed("re_ohm", "the voice coil's resistance, re_ohm")?),
            xmax: Millimetres::new(self.needed("xmax_mm", "the linear limit of travel one way, xmax_mm")?),
            ..self.sheet_without_musts()?
        })
    }

    /// The data sheet but for the values that every driver must have, which are left at nought.
    fn sheet_without_musts(&self) -> Result<DataSheet, Refusal> {
        Ok(DataSheet {
            fs: Hertz::new(0.0),
            qes: self.number("qes")?,
            qms: self.number("qms")?,
            qts: self.number("qts")?,
            vas: self.number("vas_l")?.map(Litres::new),
            cms: self.number("cms_mm_per_n")?.map(MillimetresPerNewton::new),
            mms: self.number("mms_g")?.map(Grams::new),
            sd: self.number("sd_cm2")?.map(SquareCentimetres::new),
            effective_diameter: self.number("effective_diameter_mm")?.map(Millimetres::new),
            re: Ohms::new(0.0),
            le: Millihenries::new(self.number("le_mh")?.unwrap_or(0.0)),
            xmax: Millimetres::new(0.0),
            xmech: self.number("xmech_mm")?.map(Millimetres::new),
        })
    }

    /// What the driver is mounted in.
    ///
    /// # Errors
    /// Where a value is refused or missing.
    pub fn enclosure(&self) -> Result<Enclosure, Refusal> {
        let volume = || self.needed("volume_l", "the net volume of the box, volume_l").map(Litres::new);
        match self.text("kind").unwrap_or_default() {
            "sealed" => Ok(Enclosure::Sealed { volume: volume()?, leakage_q: self.number("leakage_q")? }),
            "vented" => Ok(Enclosure::Vented {
                volume: volume()?,
                tuning: Hertz::new(self.needed("tuning_hz", "the tuning of the vented box, tuning_hz")?),
                leakage_q: self.number("leakage_q")?.unwrap_or(USUAL_LEAKAGE_Q),
            }),
            "free-air" => Ok(Enclosure::FreeAir),
            kind => Err(no_word("kind", kind, "is no kind of box", &Enclosure::KINDS)),
        }
    }

    /// How hard it is driven, and how low.
    ///
    /// # Errors
    /// Where a value is refused or missing.
    pub fn drive(&self) -> Result<Drive, Refusal> {
        Ok(Drive {
            power: Watts::new(self.needed("power_w", "the amplifier's power, power_w")?),
            load: Ohms::new(self.needed("load_ohm", "the load, load_ohm")?),
            lowest: self.number("lowest_hz")?.map_or(Drive::USUAL_LOWEST, Hertz::new),
        })
    }

    /// The filter; Butterworth 24 dB/octave where nothing is said of it.
    ///
    /// # Errors
    /// Where a value is refused or missing, or family, slope and Q do not belong together.
    pub fn alignment(&self) -> Result<Alignment, Refusal> {
        let family = match self.text("family") {
            None => Family::Butterworth,
            Some(word) => Family::from_word(word).ok_or_else(|| {
                no_word("family", word, "is no family that is known here", &Family::ALL.map(Family::word))
            })?,
        };
        let slope = match self.text("slope_db_per_octave") {
            Some(text) => Slope::new(entry::parse_slope_number(text, "slope_db_per_octave")?),
            None if family == Family::SecondOrder => Some(Slope::SECOND_ORDER),
            None => Some(Slope::USUAL),
        };
        let slope = slope.ok_or_else(|| Refusal::new("slope_db_per_octave", "", "was given", "24"))?;
        match (family, self.number("q")?) {
            (Family::SecondOrder, Some(q)) if slope == Slope::SECOND_ORDER => Ok(Alignment::second_order(q)),
            (Family::SecondOrder, _) | (_, None) => Alignment::new(family, slope).map_err(|refusal| {
                let is_slope = refusal.field == "slope";
                Refusal { field: if is_slope { "slope_db_per_octave".to_owned() } else { refusal.field }, ..refusal }
            }),
            (_, Some(q)) => {
                Err(Refusal::new("q", q.to_string(), "belongs to a second-order filter", "family = \"second-order\""))
            }
        }
    }

    /// Whether anything is said of the filter's shape.
    pub fn has_filter(&self) -> bool {
        self.0.contains_key("slope_db_per_octave") || self.0.contains_key("family")
    }

    /// Everything together.
    ///
    /// # Errors
    /// Where a value is refused or missing, or two disagree.
    pub fn setup(&self) -> Result<Setup, Refusal> {
        self.check()?;
        Ok(Setup {
            driver: self.driver()?,
            enclosure: self.enclosure()?,
            drive: self.drive()?,
            alignment: self.alignment()?,
            corner: self.number("corner_hz")?.map(Hertz::new),
        })
    }

    /// What was taken for granted, and what was given to no purpose, a sentence each.
    pub fn remarks(&self, analysis: &Analysis) -> Vec<String> {
        let mut remarks = vec![];
        let counts = analysis.is_needed() || analysis.filtered.is_some();
        if counts && !self.has_filter() {
            remarks.push(format!("Nothing is said of the filter: {} is taken for it.", Alignment::usual(None)));
        }
        let unused =
            |key: &str, why: &str| self.text(key).map(|text| format!("{key} {} is not used: {why}.", text.trim()));
        match self.text("kind") {
            Some("sealed") => remarks.extend(unused("tuning_hz", "a sealed box has no tuning")),
            Some("free-air") => {
                for key in ["volume_l", "tuning_hz", "leakage_q"] {
                    remarks.extend(unused(key, "there is no box in free air"));
                }
            }
            _ => {}
        }
        remarks
    }
}

/// Refuses a word that is none of these.
fn no_word(key: &str, word: &str, problem: &str, words: &[&str]) -> Refusal {
    let problem = if word.trim().is_empty() { "was given" } else { problem };
    Refusal::new(key, word, problem, show::list_or(words))
}

/// A value as an item of a line: without what separates items, ends lines or cannot be seen. Between a number and its unit
/// any blanks are as good as one.
fn one_item(value: &str, kind: Kind) -> String {
    let value = match kind {
        Kind::Number(_) => value.split_whitespace().collect::<Vec<_>>().join(" "),
        Kind::Word => value.trim().to_owned(),
    };
    visible(&value).replace(SEPARATOR, ",")
}

/// The section of a known key.
pub(super) fn home_of(key: &str) -> Option<&'static str> {
    KEYS.iter().find(|(_, known, _)| *known == key).map(|(home, ..)| *home)
}

/// An unknown key, with the known one that is nearest.
fn unknown(key: &str, section: Option<&str>) -> Refusal {
    let here = KEYS.iter().filter(|(home, ..)| section.is_none_or(|section| section == *home)).map(|(_, key, _)| *key);
    let known: Vec<&str> = here.collect();
    let problem = match nearest(key, &KEYS.map(|(_, key, _)| key)) {
        Some(near) => format!("is no key that is known here; the nearest is {near}"),
        None => "is no key that is known here".to_owned(),
    };
    Refusal::new(section.unwrap_or("driver"), key, problem, known.join(", "))
}

/// The known word that is likest to one that is not known.
pub(super) fn nearest<'a>(word: &str, known: &[&'a str]) -> Option<&'a str> {
    let word = word.to_lowercase();
    let likest = known.iter().map(|other| (strsim::jaro_winkler(&word, other), *other));
    likest.filter(|(likeness, _)| *likeness > 0.75).max_by(|one, other| one.0.total_cmp(&other.0)).map(|(_, word)| word)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_takes_what_the_file_takes() {
        let text =
            "[drive]\npower_w = \"0.2 \\t\\n kW\"\nload_ohm = \"\\t4\\u00a0ohm\"\n[driver]\nname = \"a;b\\tc\"\n";
        let fields = Fields::from_toml(text).unwrap();
        let line = fields.driver_and_box();
        assert_eq!(line, "name = a,b<U+0009>c; power_w = 0.2 kW; load_ohm = 4 ohm");
        assert_eq!(Fields::from_line(&line).unwrap().drive(), fields.drive());
        assert!(fields.drive().is_ok());
    }
}
