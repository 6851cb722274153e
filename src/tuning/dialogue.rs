//! The guided way to a tuning, as a pure machine: what is asked next, what an answer means, and the way back.

use super::guide::{Next, Why, next};
use super::hookup::{Hookup, ToneReading};
use super::impedance::{ImpedanceTuning, NoTuning, check_below_source};
use super::port::{Opening, PortTuning, VentedBox};
use crate::corner::Reading;
use crate::meter::MeterSpec;
use crate::quantity::ranges::{self, Range};
use crate::quantity::show::list_or;
use crate::quantity::{Centimetres, Hertz, Litres, Ohms, Refusal, Volts, entry};

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub enum Step {
    /// By dimensions or by impedance.
    Method,
    /// The box's net volume.
    Volume,
    /// Round, or a slot.
    Port,
    /// The diameter of a round port.
    PortDiameter,
    /// The sides of a slot.
    Slot,
    /// The length of a port.
    PortLength,
    /// How many ports.
    Ports,
    /// How many of a port's ends lie flush.
    FlangedEnds,
    /// The cautions, to be acknowledged.
    Caution,
    /// The series resistor.
    SeriesResistor,
    /// The source's volts.
    Source,
    /// The meter's display step.
    MeterResolution,
    /// The volts at a tone.
    Reading {
        /// The tone to play.
        tone: Hertz,
        /// What it is for.
        why: Why,
    },
    /// The readings say nothing: start them again, or go by dimensions?
    Again(NoTuning),
    /// The tuning is found: take it?
    Take(Found),
}

/// A tuning that was found, with all that it was found from.
#[derive(Debug, Clone, PartialEq)]
pub enum Found {
    /// From dimensions.
    Dimensions(VentedBox, PortTuning),
    /// From readings.
    Impedance(Hookup, ImpedanceTuning),
}

impl Found {
    /// The tuning.
    pub const fn tuning(&self) -> Hertz {
        match self {
            Self::Dimensions(_, said) => said.tuning,
            Self::Impedance(_, said) => said.tuning,
        }
    }

    /// The tuning to a tenth of a hertz, as it is shown and passed on.
    pub fn as_told(&self) -> Hertz {
        Hertz::new((self.tuning().hz() * 10.0).round() / 10.0)
    }

    /// Its expanded uncertainty, k = 2.
    pub const fn uncertainty(&self) -> Hertz {
        match self {
            Self::Dimensions(_, said) => said.uncertainty,
            Self::Impedance(_, said) => said.uncertainty,
        }
    }
}

/// The answer that acknowledges the cautions.
pub const UNDERSTOOD: &str = "understood";

const YES: &str = "yes";
const METHODS: [&str; 2] = ["dimensions", "impedance"];
const OPENINGS: [&str; 2] = ["round", "slot"];

impl Step {
    /// Its word, as the prompt shows it and a log names it.
    pub const fn word(&self) -> &'static str {
        match self {
            Self::Method => "method",
            Self::Volume => "volume",
            Self::Port => "port",
            Self::PortDiameter => "port-diameter",
            Self::Slot => "slot",
            Self::PortLength => "port-length",
            Self::Ports => "ports",
            Self::FlangedEnds => "flanged-ends",
            Self::Caution => "caution",
            Self::SeriesResistor => "series-ohm",
            Self::Source => "source-v",
            Self::MeterResolution => "meter-resolution",
            Self::Reading { .. } => "reading",
            Self::Again(_) => "again",
            Self::Take(_) => "take",
        }
    }

    /// What Enter alone means the first time; `None` where something must be typed.
    const fn usual(&self) -> Option<&'static str> {
        match self {
            Self::Method => Some(METHODS[0]),
            Self::Port => Some(OPENINGS[0]),
            Self::Ports | Self::FlangedEnds => Some("1"),
            Self::MeterResolution => Some("0.001 V"),
            Self::Again(_) | Self::Take(_) => Some(YES),
            _ => None,
        }
    }

    /// Whether an answer to the other serves this one: the same question, and the same tone.
    fn is_same(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Reading { tone: one, .. }, Self::Reading { tone: other, .. }) => one == other,
            _ => self.word() == other.word(),
        }
    }
}

/// Everything answered so far.
#[derive(Debug, Clone, Default)]
struct Given {
    by_impedance: Option<bool>,
    volume: Option<Litres>,
    is_slot: Option<bool>,
    opening: Option<Opening>,
    length: Option<Centimetres>,
    ports: Option<u32>,
    flanged_ends: Option<u32>,
    understood: bool,
    series: Option<Ohms>,
    source: Option<Volts>,
    resolution: Option<Volts>,
    readings: Vec<ToneReading>,
}

/// An answer that was taken, and what was given before it.
#[derive(Debug, Clone)]
struct Answered {
    step: Step,
    before: Given,
}

/// An answer as it was taken.
#[derive(Debug, Clone, PartialEq)]
pub struct Taken {
    /// What was typed, or the default that Enter took.
    pub typed: String,
    /// The tuning, once it is to be taken.
    pub found: Option<Found>,
}

/// A dialogue at some step.
#[derive(Debug, Clone, Default)]
pub struct Dialogue {
    given: Given,
    path: Vec<Answered>,
    /// What was typed for each step last, so that going back loses nothing.
    typed: Vec<(Step, String)>,
}

impl Dialogue {
    /// What is asked now.
    pub fn step(&self) -> Step {
        self.given.step()
    }

    /// What Enter alone means: what was typed here before, or the usual answer.
    pub fn on_enter(&self) -> Option<&str> {
        let step = self.step();
        if step == Step::Caution {
            return None;
        }
        let typed = self.typed.iter().rev().find(|(other, _)| other.is_same(&step)).map(|(_, typed)| typed.as_str());
        typed.or(step.usual())
    }

    /// Takes an answer.
    ///
    /// # Errors
    /// Where it is refused; nothing has changed then.
    pub fn answer(&mut self, typed: &str) -> Result<Taken, Refusal> {
        let step = self.step();
        let text = match (typed.trim(), self.on_enter()) {
            ("", Some(default)) => default.to_owned(),
            (text, _) => text.to_owned(),
        };
        let after = self.given.after(&step, &text)?;
        if let Step::Take(found) = step {
            return Ok(Taken { typed: text, found: Some(found) });
        }
        self.typed.retain(|(other, _)| !other.is_same(&step));
        if matches!(step, Step::Again(_)) {
            self.typed.retain(|(other, _)| !matches!(other, Step::Reading { .. }));
        } else {
            self.typed.push((step.clone(), text.clone()));
        }
        let before = std::mem::replace(&mut self.given, after);
        // Asked again because the answer was for another tone: Enter must not take it once more.
        let next = self.step();
        self.typed.retain(|(other, _)| !(next.is_same(&step) && other.is_same(&step)));
        self.path.push(Answered { step, before });
        Ok(Taken { typed: text, found: None })
    }

    /// Goes back to the answer before: its step; `None` where there is none.
    pub fn back(&mut self) -> Option<Step> {
        let answered = self.path.pop()?;
        self.given = answered.before;
        Some(answered.step)
    }

    /// How the box is connected, once that is known, and the readings so far.
    pub fn readings(&self) -> Option<(Hookup, &[ToneReading])> {
        Some((self.given.hookup()?, &self.given.readings))
    }
}

impl Given {
    fn step(&self) -> Step {
        match self.by_impedance {
            None => Step::Method,
            Some(false) => self.dimension(),
            Some(true) => self.measurement(),
        }
    }

    fn dimension(&self) -> Step {
        if self.volume.is_none() {
            return Step::Volume;
        }
        let Some(is_slot) = self.is_slot else { return Step::Port };
        if self.opening.is_none() {
            return if is_slot { Step::Slot } else { Step::PortDiameter };
        }
        if self.length.is_none() {
            return Step::PortLength;
        }
        if self.ports.is_none() {
            return Step::Ports;
        }
        let Some(vented) = self.vented() else { return Step::FlangedEnds };
        // What makes no tuning was refused at its last answer.
        vented.tuning().map_or(Step::FlangedEnds, |said| Step::Take(Found::Dimensions(vented, said)))
    }

    fn vented(&self) -> Option<VentedBox> {
        Some(VentedBox {
            volume: self.volume?,
            opening: self.opening?,
            length: self.length?,
            ports: self.ports?,
            flanged_ends: self.flanged_ends?,
        })
    }

    fn measurement(&self) -> Step {
        if !self.understood {
            return Step::Caution;
        }
        if self.series.is_none() {
            return Step::SeriesResistor;
        }
        if self.source.is_none() {
            return Step::Source;
        }
        let Some(hookup) = self.hookup() else { return Step::MeterResolution };
        match next(&hookup, &self.readings) {
            Next::Play { tone, why } => Step::Reading { tone, why },
            Next::Found(said) => Step::Take(Found::Impedance(hookup, said)),
            Next::Refused(why) => Step::Again(why),
        }
    }

    fn hookup(&self) -> Option<Hookup> {
        let meter = MeterSpec { resolution: self.resolution?, ..MeterSpec::USUAL };
        Some(Hookup { source: self.source?, series: self.series?, meter })
    }

    /// What is given once this step is answered so.
    fn after(&self, step: &Step, text: &str) -> Result<Self, Refusal> {
        let mut after = self.clone();
        let word = step.word();
        let number = |range: Range| entry::parse(text, &range.named(word));
        match step {
            Step::Method => after.by_impedance = Some(one_of(word, text, METHODS)? == METHODS[1]),
            Step::Volume => after.volume = Some(Litres::new(number(ranges::BOX_VOLUME)?)),
            Step::Port => after.is_slot = Some(one_of(word, text, OPENINGS)? == OPENINGS[1]),
            Step::PortDiameter => {
                after.opening = Some(Opening::Round(Centimetres::new(number(ranges::PORT_DIAMETER)?)));
            }
            Step::Slot => after.opening = Some(Opening::parse_slot(text)?),
            Step::PortLength => after.length = Some(Centimetres::new(number(ranges::PORT_LENGTH)?)),
            Step::Ports => after.ports = Some(number(ranges::PORTS)? as u32),
            Step::FlangedEnds => {
                after.flanged_ends = Some(number(ranges::FLANGED_ENDS)? as u32);
                if let Some(vented) = after.vented() {
                    vented.tuning()?;
                }
            }
            Step::Caution => after.understood = text.eq_ignore_ascii_case(UNDERSTOOD),
            Step::SeriesResistor => after.series = Some(Ohms::new(number(ranges::SERIES_RESISTOR)?)),
            Step::Source => after.source = Some(Volts::new(number(ranges::SOURCE)?)),
            Step::MeterResolution => after.resolution = Some(Volts::new(number(ranges::METER_RESOLUTION)?)),
            Step::Reading { tone, .. } => after.readings.push(self.reading(*tone, text)?),
            Step::Again(why) => {
                after.by_impedance = Some(one_of(word, text, [YES, METHODS[0]])? == YES);
                after.readings.clear();
                if why.is_of_the_hookup() {
                    (after.series, after.source, after.resolution) = (None, None, None);
                }
            }
            Step::Take(_) => {
                one_of(word, text, [YES])?;
            }
        }
        if *step == Step::Caution && !after.understood {
            let accepted = format!("the whole word `{UNDERSTOOD}`");
            let problem = if text.is_empty() { "was given" } else { "does not acknowledge the cautions" };
            return Err(Refusal::new(word, text, problem, accepted));
        }
        Ok(after)
    }

    /// A reading at the tone that was asked for, or at another: `27=0.412`.
    fn reading(&self, asked: Hertz, text: &str) -> Result<ToneReading, Refusal> {
        let (tone, volts) = match text.split_once('=') {
            Some((tone, volts)) => (Hertz::new(entry::parse(tone, &ranges::TONE)?), volts),
            None => (asked, text),
        };
        let reading = Reading::from(&entry::parse_repeats_or_span(volts, &ranges::READING)?);
        if let Some(source) = self.source {
            check_below_source(source, reading, text)?;
        }
        Ok(ToneReading { tone, reading })
    }
}

/// The word that was typed, or begun.
fn one_of<const N: usize>(field: &str, text: &str, words: [&'static str; N]) -> Result<&'static str, Refusal> {
    let lower = text.to_lowercase();
    let found = words.into_iter().find(|word| !lower.is_empty() && word.starts_with(&lower));
    found.ok_or_else(|| {
        let accepted: Vec<String> = words.iter().map(|word| format!("`{word}`")).collect();
        Refusal::new(field, text, "is none of the answers", list_or(&accepted))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn answered(answers: &[&str]) -> Dialogue {
        let mut dialogue = Dialogue::default();
        for answer in answers {
            assert_eq!(dialogue.answer(answer).unwrap().found, None, "{answer}");
        }
        dialogue
    }

    #[test]
    fn going_back_keeps_what_was_typed() {
        let mut dialogue = answered(&["", "48", "round", "4 in", "22"]);
        for (word, enter) in [
            ("port-length", "22"),
            ("port-diameter", "4 in"),
            ("port", "round"),
            ("volume", "48"),
            ("method", "dimensions"),
        ] {
            assert_eq!(dialogue.back().unwrap().word(), word);
            assert_eq!((dialogue.step().word(), dialogue.on_enter()), (word, Some(enter)));
        }
        assert_eq!(dialogue.back(), None);
        for _ in 0..7 {
            dialogue.answer("").unwrap();
        }
        let Step::Take(Found::Dimensions(vented, _)) = dialogue.step() else { panic!("{:?}", dialogue.step()) };
        assert_eq!((vented.volume.litres(), vented.length.cm(), vented.ports), (48.0, 22.0, 1));
    }

    #[test]
    fn a_slip_changes_nothing() {
        let mut dialogue = answered(&["impedance"]);
        for (slip, problem) in [("", "was given"), ("yes", "does not acknowledge the cautions")] {
            assert_eq!(dialogue.answer(slip).unwrap_err().problem, problem);
        }
        assert_eq!(dialogue.on_enter(), None);
        let mut dialogue = answered(&["i", "Understood", "47", "2", ""]);
        for slip in ["2", "2.1", "-1", "0", "14=", "=0.4", "14=0.4=1", "4=0.4", "abc", ""] {
            let before = format!("{dialogue:?}");
            assert!(dialogue.answer(slip).is_err(), "{slip}");
            assert_eq!(format!("{dialogue:?}"), before, "{slip}");
        }
        dialogue.answer("13 Hz = 0.408..0.412").unwrap();
        let (_, readings) = dialogue.readings().unwrap();
        assert_eq!(readings[0].tone, Hertz::new(13.0));
        assert!((readings[0].reading.volts.volts() - 0.41).abs() < 1e-12);
    }

    #[test]
    fn enter_takes_no_reading_twice() {
        let mut dialogue = answered(&["i", "understood", "47", "2", "", "14=0.408"]);
        let Step::Reading { tone, .. } = dialogue.step() else { panic!("{:?}", dialogue.step()) };
        let asked = tone.hz();
        // Readings at other tones than the one that is asked for.
        for reading in ["14.5=0.41", "15=0.412"] {
            dialogue.answer(reading).unwrap();
            assert!(
                matches!(dialogue.step(), Step::Reading { tone, .. } if tone.hz() == asked),
                "{:?}",
                dialogue.step()
            );
            assert_eq!(dialogue.on_enter(), None);
            assert!(dialogue.answer("").is_err());
        }
        assert_eq!(dialogue.readings().unwrap().1.len(), 3);
    }

    #[test]
    fn readings_that_say_nothing_can_be_started_again_or_left_for_dimensions() {
        let nothing = ["i", "understood", "0.2", "2", "", "1.99", "1.99", "1.99"];
        let mut dialogue = answered(&nothing);
        assert!(matches!(dialogue.step(), Step::Again(NoTuning::SameAsSource(_))));
        dialogue.answer("").unwrap();
        // The resistor is asked for anew, what was typed offered again.
        for (word, enter) in [("series-ohm", "0.2"), ("source-v", "2"), ("meter-resolution", "0.001 V")] {
            assert_eq!((dialogue.step().word(), dialogue.on_enter()), (word, Some(enter)));
            dialogue.answer("").unwrap();
        }
        assert!(matches!(dialogue.step(), Step::Reading { why: Why::First, .. }));
        assert_eq!((dialogue.on_enter(), dialogue.readings().unwrap().1.len()), (None, 0));
        // Back before the fresh start, and the other way.
        for _ in 0..4 {
            dialogue.back().unwrap();
        }
        assert_eq!(dialogue.readings().unwrap().1.len(), 3);
        dialogue.answer("dimensions").unwrap();
        assert_eq!(dialogue.step(), Step::Volume);
    }
}
