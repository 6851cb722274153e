//! The bench as a whole.

use super::knob::Knob;
use super::level::Level;
use super::moves::{self, Move};
use super::parts::Parts;
use super::sheet::Sheet;
use crate::chance::Chance;
use crate::filter::Alignment;
use crate::quantity::{Hertz, Percent, Refusal, Volts, ranges, show};

/// The streams of a seed's chance from here on are the digits that hunt, one a move; those before are the levels.
const DIGITS: u64 = 1 << 32;

/// The tone of examples.
const EXAMPLE_TONE: Hertz = Hertz::new(31.0);

/// A simulated bench, and how it stands now. A function of its level, its seed and the moves made on it.
#[derive(Debug, Clone, PartialEq)]
pub struct Bench {
    level: Level,
    seed: u64,
    parts: Parts,
    stand: Stand,
}

/// How everything on it stands.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Stand {
    dial: f64,
    shaft: f64,
    is_in: bool,
    tone: Option<Hertz>,
    volume: u32,
    moves: u64,
    turns: usize,
}

/// What nobody at the bench is told until the end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Truth {
    /// The filter that it is.
    pub alignment: Alignment,
    /// What the label says that it is, where that is something else.
    pub mislabelled: Option<Alignment>,
    /// Where its corner stands now.
    pub corner: Hertz,
    /// The corner with the knob at its lower stop.
    pub lowest: Hertz,
    /// The volts at the amplifier's output now.
    pub output: Volts,
    /// What they would be with the filter out.
    pub unfiltered: Volts,
    /// Where the meter's input takes half the power off; 0 Hz where it does not droop.
    pub meter_droop: Hertz,
    /// How often the knob was turned.
    pub turns: usize,
}

impl Truth {
    /// How far the corner is from the wanted one.
    pub const fn error(&self, wanted: Hertz) -> Percent {
        self.corner.error_against(wanted)
    }
}

impl Bench {
    /// The bench of a level and a seed: no tone yet, the volume low, the filter in, the knob somewhere.
    pub fn new(level: Level, seed: u64) -> Self {
        let parts = Parts::of(level, seed);
        let (dial, volume) = (parts.first_dial, parts.first_volume);
        let stand = Stand { dial, shaft: dial, is_in: true, tone: None, volume, moves: 0, turns: 0 };
        Self { level, seed, parts, stand }
    }

    /// Its level.
    pub const fn level(&self) -> Level {
        self.level
    }

    /// Its seed.
    pub const fn seed(&self) -> u64 {
        self.seed
    }

    /// The job, and what is printed on everything.
    pub const fn sheet(&self) -> &Sheet {
        &self.parts.sheet
    }

    /// Where the knob points on its dial.
    pub const fn dial(&self) -> f64 {
        self.stand.dial
    }

    /// The tone that plays, if any.
    pub const fn tone(&self) -> Option<Hertz> {
        self.stand.tone
    }

    /// The step of the volume.
    pub const fn volume(&self) -> u32 {
        self.stand.volume
    }

    /// Whether the filter is switched in.
    pub const fn is_in(&self) -> bool {
        self.stand.is_in
    }

    pub(super) const fn parts(&self) -> &Parts {
        &self.parts
    }

    /// What was typed, where it is a move (`turn 4.2`, `play 27`, `volume 12`, `in`, `out`, `look`); `None` where its first
    /// word names none, or the last three go on with other words.
    ///
    /// # Errors
    /// A move whose number is none, or out of range.
    pub fn read(typed: &str) -> Option<Result<Move, Refusal>> {
        moves::read(typed)
    }

    /// Makes a move.
    ///
    /// # Errors
    /// Where this bench cannot do it: a tone that the source does not have, a filter that has no switch, a number that is
    /// out of range. Nothing has moved then.
    pub fn make(&mut self, a_move: Move) -> Result<(), Refusal> {
        let mut stand = self.stand;
        match a_move {
            Move::Turn(dial) => {
                if !ranges::DIAL.contains(dial) {
                    return Err(Refusal::new("dial", dial.to_string(), "is out of range", ranges::DIAL.accepted()));
                }
                stand.dial = Knob::settable(dial);
                stand.shaft = self.parts.knob.follow(stand.shaft, stand.dial);
                stand.turns += usize::from(stand.dial.to_bits() != self.stand.dial.to_bits());
            }
            Move::Play(tone) => stand.tone = Some(self.parts.sheet.tones.play(tone)?),
            Move::Volume(step) => {
                let range = ranges::VOLUME_STEP;
                if !range.contains(f64::from(step)) {
                    return Err(Refusal::new("volume", step.to_string(), "is out of range", range.accepted()));
                }
                stand.volume = step;
            }
            Move::In => stand.is_in = true,
            Move::Out if self.parts.sheet.has_switch => stand.is_in = false,
            Move::Out => return Err(self.no_switch()),
            Move::Look => {}
        }
        stand.moves += 1;
        self.stand = stand;
        Ok(())
    }

    /// The moves that can be made on it, as they are typed.
    pub fn moves(&self) -> String {
        let tone = show::exact_hertz(self.parts.sheet.tones.nearest(EXAMPLE_TONE));
        let play = format!("`play {}`", tone.trim_end_matches(" Hz"));
        let switch: &[&str] = if self.parts.sheet.has_switch { &["`in`", "`out`"] } else { &[] };
        show::list_or(&[&["`turn 4.2`", &play, "`volume 12`"], switch, &["`look`"]].concat())
    }

    fn no_switch(&self) -> Refusal {
        let mark = show::exact_hertz(self.parts.sheet.lowest_mark().corner);
        let accepted = format!("`turn 0`, which puts the knob at its lowest mark, {mark}");
        Refusal::new("switch", "out", "cannot be done, this filter has no switch", accepted)
    }

    /// What the meter shows now, each text as its display does: one, or several where the digits hunt.
    pub fn shown(&self) -> Vec<String> {
        let mut chance = Chance::of(self.seed, DIGITS + 4 * self.stand.moves + self.level as u64);
        // With no tone there is nothing to droop either.
        let tone = self.stand.tone.unwrap_or(self.parts.sheet.meter.band_low);
        self.parts.meter.shows(self.output(), tone, &mut chance)
    }

    /// How things really stand.
    pub fn truth(&self) -> Truth {
        let alignment = self.parts.filter;
        let label = self.parts.sheet.label;
        Truth {
            alignment,
            mislabelled: label.alignment().filter(|label| *label != alignment),
            corner: self.corner(),
            lowest: self.parts.knob.corner(0.0),
            output: self.output(),
            unfiltered: self.unfiltered(),
            meter_droop: self.parts.meter.droop,
            turns: self.stand.turns,
        }
    }

    fn corner(&self) -> Hertz {
        self.parts.knob.corner(self.stand.shaft)
    }

    /// The volts at the output terminals with nothing taken off.
    fn unfiltered(&self) -> Volts {
        if self.stand.tone.is_some() { self.parts.output(self.stand.volume) } else { Volts::new(0.0) }
    }

    /// The volts at the output terminals.
    fn output(&self) -> Volts {
        match self.stand.tone {
            Some(tone) if self.stand.is_in => {
                self.unfiltered().times(self.parts.filter.response(tone, self.corner()).ratio())
            }
            _ => self.unfiltered(),
        }
    }
}
