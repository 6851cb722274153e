//! The tuning that dimensions say: air in a port against air in a box, with a correction for each end of the port.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use super::budget::{Budget, within};
use crate::displacement::air::SOUND_SPEED;
use crate::quantity::{Centimetres, Hertz, Litres, Refusal, SquareCentimetres, entry, ranges, show};

/// What an end in the open adds to a port's length, in radii, at low frequencies: Levine and Schwinger, On the Radiation
/// of Sound from an Unflanged Circular Pipe, Phys. Rev. 73 (1948) 383.
pub const FREE_END: f64 = 0.6133;
/// What an end flush in a wide wall adds, in radii: Dalmont, Nederveen and Joly, Radiation impedance of tubes with
/// different flanges, J. Sound Vib. 244 (2001) 505.
pub const FLANGED_END: f64 = 0.8216;

/// How far the air may be from 20 degC, and the speed of sound with it, which goes with the root of the absolute
/// temperature (ideal gas; from memory): 10 K of 293 K, halved. A box is tuned between 10 and 30 degC: common practice,
/// no source.
const AIR_LIMIT: f64 = 10.0 / 293.15 / 2.0;
/// How well anyone knows a box's net volume: common practice, no source.
const VOLUME_LIMIT: f64 = 0.03;
/// How well a length is read off a tape, in cm: common practice, no source.
const TAPE_LIMIT: f64 = 0.1;
/// From this ratio of its sides on, a slot is no longer much like the circle of its area: common practice, no source.
const FLAT: f64 = 8.0;
/// From this share of the box on, a port's own air is a matter of what `net` means: common practice, no source.
const LARGE_PORT: f64 = 0.1;

/// More halvings than a number has digits.
const HALVINGS: usize = 60;

/// The cross-section of one port.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Opening {
    /// A circle of this inner diameter.
    Round(Centimetres),
    /// A rectangle of these inner sides.
    Slot(Centimetres, Centimetres),
}

impl Opening {
    /// Reads a slot: `4x28`, `4 x 28 cm`, `1.5 in x 11 in`. The unit of one side serves the other where it has none.
    ///
    /// # Errors
    /// Refused where it is not two lengths in range with one `x` between them.
    pub fn parse_slot(text: &str) -> Result<Self, Refusal> {
        let refuse = |problem: String| {
            let accepted = format!("two sides such as 4x28, each {}", ranges::SLOT.accepted());
            Refusal::new(ranges::SLOT.field, text, problem, accepted)
        };
        let sides: Vec<&str> = text.split(['x', 'X', '\u{D7}']).map(str::trim).collect();
        let [one, other] = sides[..] else {
            return Err(refuse(if text.trim().is_empty() { "was given" } else { "is not two sides" }.to_owned()));
        };
        let unit = unit_of(one).or(unit_of(other)).unwrap_or_default();
        let side = |side: &str| {
            if side.is_empty() {
                return Err(refuse("has a side missing".to_owned()));
            }
            let whole = if unit_of(side).is_some() { side.to_owned() } else { format!("{side} {unit}") };
            entry::parse(&whole, &ranges::SLOT)
                .map(Centimetres::new)
                .map_err(|refusal| refuse(format!("holds `{}`, which {}", whole.trim(), refusal.problem)))
        };
        Ok(Self::Slot(side(one)?, side(other)?))
    }

    /// Its area.
    pub fn area(self) -> SquareCentimetres {
        SquareCentimetres::new(match self {
            Self::Round(diameter) => PI / 4.0 * diameter.cm() * diameter.cm(),
            Self::Slot(one, other) => one.cm() * other.cm(),
        })
    }

    /// The radius of the circle of its area.
    pub fn radius(self) -> Centimetres {
        Centimetres::new(match self {
            Self::Round(diameter) => diameter.cm() / 2.0,
            Self::Slot(..) => (self.area().cm2() / PI).sqrt(),
        })
    }

    /// Relative standard uncertainty of its area from the tape: two sides, or one diameter that counts twice.
    fn area_uncertainty(self) -> f64 {
        let side = |side: Centimetres| within(TAPE_LIMIT) / side.cm();
        match self {
            Self::Round(diameter) => 2.0 * side(diameter),
            Self::Slot(one, other) => side(one).hypot(side(other)),
        }
    }

    /// The longer side over the shorter one.
    fn flatness(self) -> f64 {
        match self {
            Self::Round(_) => 1.0,
            Self::Slot(one, other) => (one.cm() / other.cm()).max(other.cm() / one.cm()),
        }
    }
}

/// What stands behind the number of a side; none where nothing does, or nothing is no number.
fn unit_of(side: &str) -> Option<&str> {
    let end = side.rfind(|character: char| character.is_ascii_digit())? + 1;
    Some(side[end..].trim_start_matches(['.', ',']).trim()).filter(|unit| !unit.is_empty())
}

/// A box with one port or several equal ones.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct VentedBox {
    /// The net volume: port, driver and bracing taken off.
    pub volume: Litres,
    /// The cross-section of one port.
    pub opening: Opening,
    /// The length of a port, as the tape reads it.
    pub length: Centimetres,
    /// How many ports.
    pub ports: u32,
    /// How many of a port's two ends lie flush in a wall.
    pub flanged_ends: u32,
}

/// What dimensions say.
#[derive(Debug, Clone, PartialEq)]
pub struct PortTuning {
    /// The tuning.
    pub tuning: Hertz,
    /// Expanded uncertainty, k = 2.
    pub uncertainty: Hertz,
    /// Where that comes from.
    pub budget: Budget,
    /// The length of the air that moves: the port's and what its two ends add.
    pub effective_length: Centimetres,
    /// What to mind, a sentence each.
    pub warnings: Vec<String>,
}

impl VentedBox {
    /// How many of a port's ends lie flush where nobody says otherwise: one in the baffle, the other in the open.
    pub const USUAL_FLANGED_ENDS: u32 = 1;

    /// The tuning, and how well these dimensions know it.
    ///
    /// ```text
    /// f = c / (2 pi) sqrt(S / (V L))      L = l + k r
    /// ```
    ///
    /// c: speed of sound, m/s; S: area of all ports, m2; V: net volume, m3; l: length of a port, r: its radius, m;
    /// k: [`FREE_END`] or [`FLANGED_END`] for each end, 0.6133 + 0.8216 as a rule. The resonator of Helmholtz, for ports
    /// short against the wave (Kinsler and others, Fundamentals of Acoustics; from memory).
    ///
    /// # Errors
    /// Where that is no tuning of a subwoofer: a dimension or its unit is wrong.
    pub fn tuning(&self) -> Result<PortTuning, Refusal> {
        let effective_length = self.effective_length();
        let area = f64::from(self.ports) * self.opening.area().square_metres();
        let tuning =
            Hertz::new(SOUND_SPEED / TAU * (area / (self.volume.cubic_metres() * effective_length.metres())).sqrt());
        if !ranges::TUNING.contains(tuning.hz()) {
            let accepted = format!("{}: check every dimension and its unit", ranges::TUNING.accepted());
            let given = show::exact_hertz(tuning);
            return Err(Refusal::new(ranges::TUNING.field, given, "is what these dimensions make", accepted));
        }
        let budget = self.budget();
        Ok(PortTuning {
            tuning,
            uncertainty: budget.expanded(tuning),
            budget,
            effective_length,
            warnings: self.warnings(),
        })
    }

    /// What a port's two ends add to its length, in radii.
    fn ends(&self) -> f64 {
        let flanged = f64::from(self.flanged_ends);
        flanged * FLANGED_END + (2.0 - flanged) * FREE_END
    }

    fn effective_length(&self) -> Centimetres {
        Centimetres::new(self.length.cm() + self.ends() * self.opening.radius().cm())
    }

    /// The share of the effective length that the ends add.
    fn share_of_ends(&self) -> f64 {
        self.ends() * self.opening.radius().cm() / self.effective_length().cm()
    }

    /// The air in this length of all ports, over the air in the box.
    fn share_of_ports(&self, length: Centimetres) -> f64 {
        let ports = f64::from(self.ports) * self.opening.area().square_metres() * length.metres();
        ports / self.volume.cubic_metres()
    }

    /// By JCGM 100:2008, 5.1.2, with e the share of the ends in L and d ln f of ln c, ln V, ln L, ln S:
    ///
    /// ```text
    /// 1;  -1/2;  -1/2;  +1/2, which for the area of one opening leaves 1/2 - e/4, since the ends grow with its root
    /// ```
    fn budget(&self) -> Budget {
        let length = self.effective_length().cm();
        // One flanged end more, or less.
        let ends = (FLANGED_END - FREE_END) * self.opening.radius().cm() / length;
        let tape = ((0.5 - self.share_of_ends() / 4.0) * self.opening.area_uncertainty())
            .hypot(0.5 * within(TAPE_LIMIT) / length);
        Budget::of([
            ("air from 10 to 30 degC", within(AIR_LIMIT)),
            ("ends", within(0.5 * ends)),
            ("volume", within(0.5 * VOLUME_LIMIT)),
            ("tape", tape),
            ("port taken as one mass", within(self.lumped())),
        ])
    }

    /// How much too high the formula comes out because the air in a long port does not move as one mass, as a share. With
    /// m the air in the port over the air in the box, a pipe into a volume resonates where x tan x = m, x = 2 pi f L / c,
    /// (Kinsler and others, from memory); as one mass it would where x = sqrt m.
    fn lumped(&self) -> f64 {
        let m = self.share_of_ports(self.effective_length());
        // x tan x rises from nought to no end between 0 and a quarter turn: halving finds the place to the last digit.
        let (mut low, mut high) = (0.0, FRAC_PI_2);
        for _ in 0..HALVINGS {
            let x = f64::midpoint(low, high);
            if x * x.tan() < m { low = x } else { high = x }
        }
        1.0 - low / m.sqrt()
    }

    fn warnings(&self) -> Vec<String> {
        let percent = |share: f64| format!("{:.0} %", share * 100.0);
        let short = || {
            format!(
                "The port is so short that {} of the air that moves is at its ends: the tuning hangs on the end \
                 correction. Measure it by impedance.",
                percent(self.share_of_ends())
            )
        };
        let flat = || {
            format!(
                "The slot is {:.0} times as wide as high: it counts as the circle of its area, which makes too little of \
                 its ends and of friction. The true tuning is lower; measure it by impedance.",
                self.opening.flatness()
            )
        };
        let large = || {
            format!(
                "The air in the {} is {} of the box's. Make sure that {} is net, with the port taken off. So long a port \
                 also tunes up to {} lower than the formula says.",
                if self.ports == 1 { "port" } else { "ports" },
                percent(self.share_of_ports(self.length)),
                show::litres(self.volume),
                percent(self.lumped())
            )
        };
        let warnings: [(bool, &dyn Fn() -> String); 3] = [
            (self.share_of_ends() > 0.5, &short),
            (self.opening.flatness() > FLAT, &flat),
            (self.share_of_ports(self.length) > LARGE_PORT, &large),
        ];
        warnings.into_iter().filter(|(holds, _)| *holds).map(|(_, text)| text()).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn slots_as_people_type_them() {
        let slot = |one: f64, other: f64| Ok(Opening::Slot(Centimetres::new(one), Centimetres::new(other)));
        for text in ["4x28", "4 x 28 cm", "4cm x 28cm", "40 mm X 28", "4,0\u{D7}28", " 4 cm x 280 mm "] {
            let expected = if text.starts_with("40 mm X 28") { slot(4.0, 2.8) } else { slot(4.0, 28.0) };
            assert_eq!(Opening::parse_slot(text), expected, "{text}");
        }
        for text in ["1.5 in x 11 in", "1.5 x 11 in", "1.5\" x 11", "1.5x11in"] {
            assert_eq!(Opening::parse_slot(text), slot(1.5 * 2.54, 11.0 * 2.54), "{text}");
        }
        for (text, problem) in [
            ("", "was given"),
            ("4", "is not two sides"),
            ("4 28", "is not two sides"),
            ("4x28x2", "is not two sides"),
            ("4x", "has a side missing"),
            ("x 28", "has a side missing"),
            ("0x28", "holds `0`, which is not positive"),
            ("4x-28", "holds `-28`, which is not positive"),
            ("nan x 28", "holds `nan`, which is not a number"),
            ("4 x 28 kg", "holds `4 kg`, which is a mass"),
            ("4 x 2800", "holds `2800`, which is out of range"),
        ] {
            let refusal = Opening::parse_slot(text).unwrap_err();
            assert_eq!((refusal.field.as_str(), refusal.problem.as_str()), ("slot", problem), "{text}");
        }
    }
}
