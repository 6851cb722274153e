//! The guided way to a driver and its box, as a pure machine: which value is asked next, what an answer means, the way back.

use super::enclosure::Enclosure;
use super::fields::Fields;
use crate::quantity::Refusal;
use crate::quantity::text::visible;

/// A value that is asked for, and what Enter alone means.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Enter {
    /// Nothing: it must be typed.
    Nothing,
    /// That the data sheet does not have it.
    Without,
    /// This value.
    Usual(&'static str),
}

struct Asked {
    key: &'static str,
    enter: Enter,
    /// Whether it comes up, given those before it.
    comes_up: fn(&Fields) -> bool,
}

const fn must(key: &'static str, comes_up: fn(&Fields) -> bool) -> Asked {
    Asked { key, enter: Enter::Nothing, comes_up }
}

const fn may(key: &'static str, comes_up: fn(&Fields) -> bool) -> Asked {
    Asked { key, enter: Enter::Without, comes_up }
}

const fn usual(key: &'static str, value: &'static str, comes_up: fn(&Fields) -> bool) -> Asked {
    Asked { key, enter: Enter::Usual(value), comes_up }
}

/// Every value, in order. Where a data sheet lacks one, another that it follows from is asked for. The tuning is asked for
/// elsewhere.
const ASKED: [Asked; 18] = [
    usual("kind", "vented", yes),
    must("volume_l", |fields| fields.text("kind") != Some("free-air")),
    must("fs_hz", yes),
    may("qes", yes),
    may("qms", |fields| has(fields, "qes")),
    must("qms", |fields| !has(fields, "qes")),
    must("qts", |fields| !(has(fields, "qes") && has(fields, "qms"))),
    may("sd_cm2", yes),
    must("effective_diameter_mm", |fields| !has(fields, "sd_cm2")),
    may("vas_l", yes),
    may("cms_mm_per_n", |fields| !has(fields, "vas_l")),
    must("mms_g", |fields| !has(fields, "vas_l") && !has(fields, "cms_mm_per_n")),
    must("re_ohm", yes),
    must("xmax_mm", yes),
    may("xmech_mm", yes),
    usual("lowest_hz", "10 Hz", yes),
    must("power_w", yes),
    must("load_ohm", yes),
];

/// The kind of box that was typed, or begun, in any case; as typed where it is none.
fn kind_begun(text: String) -> String {
    let lower = text.to_lowercase();
    Enclosure::KINDS.iter().find(|kind| kind.starts_with(&lower)).map_or(text, |kind| (*kind).to_owned())
}

fn has(fields: &Fields, key: &str) -> bool {
    fields.text(key).is_some()
}

/// Always.
fn yes(_: &Fields) -> bool {
    true
}

/// What a driver file may leave to the one who drives.
const DRIVE: [&str; 2] = ["power_w", "load_ohm"];

/// The answer that says that a data sheet does not have a value; Enter says the same.
const UNKNOWN: &str = "unknown";

/// An answer that was taken.
#[derive(Debug, Clone)]
struct Answered {
    index: usize,
    before: Fields,
}

/// A dialogue at some value.
#[derive(Debug, Clone)]
pub struct Dialogue {
    fields: Fields,
    /// Whether driver and box stand in a file, so that only the drive is asked for.
    by_file: bool,
    index: usize,
    path: Vec<Answered>,
    /// What was typed for each key last, so that going back loses nothing.
    typed: Vec<(&'static str, String)>,
}

/// Driver, box and drive, as one line of a driver file's keys.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Told(pub String);

impl Dialogue {
    /// Everything is asked for.
    pub fn of_values() -> Self {
        Self::from(Fields::default(), false)
    }

    /// Everything is asked for again, with what was told before on Enter.
    pub fn of_values_again(before: &Fields) -> Self {
        let mut dialogue = Self::of_values();
        let told = ASKED.iter().filter_map(|asked| Some((asked.key, before.text(asked.key)?.to_owned())));
        dialogue.typed.extend(told);
        dialogue
    }

    /// What a driver file leaves open is asked for: the drive, which it may leave to others.
    pub fn of_file(fields: Fields) -> Self {
        Self::from(fields, true)
    }

    fn from(fields: Fields, by_file: bool) -> Self {
        let mut dialogue = Self { fields, by_file, index: 0, path: vec![], typed: vec![] };
        dialogue.skip();
        dialogue
    }

    /// What was told, once nothing is left to ask.
    pub fn told(&self) -> Option<Told> {
        self.key().is_none().then(|| Told(self.fields.driver_and_box()))
    }

    /// The key that is asked for; `None` at the end.
    pub fn key(&self) -> Option<&'static str> {
        ASKED.get(self.index).map(|asked| asked.key)
    }

    /// What Enter alone means: what was typed here before, or the usual value; empty where the value may be left out.
    pub fn on_enter(&self) -> Option<&str> {
        let asked = ASKED.get(self.index)?;
        let typed = self.typed.iter().rev().find(|(key, _)| *key == asked.key).map(|(_, typed)| typed.as_str());
        // What may be left out at one question must be told at another of the same key.
        typed.filter(|typed| !typed.is_empty() || asked.enter != Enter::Nothing).or(match asked.enter {
            Enter::Nothing => None,
            Enter::Without => Some(""),
            Enter::Usual(value) => Some(value),
        })
    }

    /// Takes an answer, and says what was taken.
    ///
    /// # Errors
    /// Where it is refused by itself or beside what was told before; nothing has changed then.
    pub fn answer(&mut self, typed: &str) -> Result<String, Refusal> {
        let Some(asked) = ASKED.get(self.index) else {
            return Err(Refusal::new("driver", typed, "comes after the last value", "nothing more"));
        };
        let text = match (typed.trim(), self.on_enter()) {
            ("", None) => return Err(Refusal::new(asked.key, "", "was given", "the value from the data sheet")),
            ("", Some(default)) => default.to_owned(),
            (text, _) if asked.enter == Enter::Without && text.eq_ignore_ascii_case(UNKNOWN) => String::new(),
            (text, _) => text.to_owned(),
        };
        let text = if asked.key == "kind" { kind_begun(text) } else { text };
        let mut after = self.fields.clone();
        if !text.is_empty() {
            after = after.with(asked.key, text.clone());
            after.check_so_far(asked.key)?;
        }
        self.typed.retain(|(key, _)| *key != asked.key);
        self.typed.push((asked.key, text.clone()));
        let before = std::mem::replace(&mut self.fields, after);
        self.path.push(Answered { index: self.index, before });
        self.index += 1;
        self.skip();
        Ok(if text.is_empty() { UNKNOWN.to_owned() } else { visible(&text) })
    }

    /// Goes back to the answer before: its key; `None` where there is none.
    pub fn back(&mut self) -> Option<&'static str> {
        let answered = self.path.pop()?;
        (self.fields, self.index) = (answered.before, answered.index);
        self.key()
    }

    /// Passes over what does not come up, or is told already.
    fn skip(&mut self) {
        while let Some(asked) = ASKED.get(self.index)
            && (has(&self.fields, asked.key)
                || !(asked.comes_up)(&self.fields)
                || (self.by_file && !DRIVE.contains(&asked.key)))
        {
            self.index += 1;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::displacement::Drive;

    fn told(answers: &[&str]) -> Result<Dialogue, Refusal> {
        let mut dialogue = Dialogue::of_values();
        for answer in answers {
            dialogue.answer(answer)?;
        }
        Ok(dialogue)
    }

    const WHOLE: [&str; 14] =
        ["", "2.75 ft3", "27", "0.46", "5.5", "510", "96 l", "3.5", "12 mm", "25", "", "380", "4", ""];

    #[test]
    fn a_whole_data_sheet() {
        let dialogue = told(&WHOLE[..13]).unwrap();
        let line = dialogue.told().unwrap().0;
        let setup = Fields::from_line(&format!("{line}; tuning_hz = 34")).unwrap().setup().unwrap();
        assert!((setup.driver.qts() - 0.46 * 5.5 / 5.96).abs() < 1e-12);
        assert_eq!(setup.drive.lowest, Drive::USUAL_LOWEST);
        assert_eq!(setup.driver.xmech.unwrap().mm(), 25.0);
    }

    #[test]
    fn what_a_sheet_lacks_is_asked_for_another_way() {
        let mut dialogue = told(&["sealed", "30", "31"]).unwrap();
        let asked: Vec<&str> = ["", "6", "0.4", "", "215", "", "", "88"]
            .into_iter()
            .map(|answer| {
                let key = dialogue.key().unwrap();
                dialogue.answer(answer).unwrap();
                key
            })
            .collect();
        let keys = "qes qms qts sd_cm2 effective_diameter_mm vas_l cms_mm_per_n mms_g";
        assert_eq!(asked.join(" "), keys);
        assert_eq!(dialogue.key(), Some("re_ohm"));
    }

    #[test]
    fn what_contradicts_is_refused_where_it_is_typed_and_nothing_is_lost() {
        let mut dialogue = told(&WHOLE[..9]).unwrap();
        assert_eq!(dialogue.key(), Some("xmech_mm"));
        assert!(dialogue.answer("10").unwrap_err().to_string().contains("is below xmax_mm"));
        assert_eq!(dialogue.key(), Some("xmech_mm"));
        dialogue.answer("25").unwrap();
        let mut dialogue = told(&["", "60", "28", "", "0.4"]).unwrap();
        assert_eq!(dialogue.key(), Some("qts"));
        assert!(dialogue.answer("0.5").unwrap_err().to_string().contains("qms"));
        assert!(told(&["open"]).is_err() && told(&["", "0"]).is_err() && told(&["", ""]).is_err());
    }

    #[test]
    fn going_back_keeps_what_was_typed() {
        let mut dialogue = told(&WHOLE[..9]).unwrap();
        for key in ["xmax_mm", "re_ohm", "vas_l", "sd_cm2"] {
            assert_eq!(dialogue.back(), Some(key));
        }
        assert_eq!(dialogue.on_enter(), Some("510"));
        for _ in 0..4 {
            dialogue.answer("").unwrap();
        }
        assert_eq!(dialogue.key(), Some("xmech_mm"));
        let mut first = Dialogue::of_values();
        assert_eq!(first.back(), None);
    }

    #[test]
    fn a_file_is_asked_for_what_it_leaves_open_only() {
        let file = "[driver]\nfs_hz = 27\n[box]\nkind = \"sealed\"\n[drive]\npower_w = 300\n";
        let mut dialogue = Dialogue::of_file(Fields::from_toml(file).unwrap());
        assert_eq!((dialogue.key(), dialogue.told()), (Some("load_ohm"), None));
        dialogue.answer("4").unwrap();
        assert!(dialogue.told().unwrap().0.ends_with("load_ohm = 4"));
    }
}
