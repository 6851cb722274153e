//! The electro-mechano-acoustical circuit of a driver in a box, solved at one frequency.
//!
//! ```text
//! v = E BL / (Ze Zm + BL^2)
//! Ze = Re + jw Le
//! Zm = Rms + jw Mms + 1/(jw Cms) + Sd^2 Zab
//! 1/Zab = jw Cab + 1/Ral + 1/(jw Map)      Cab = Vb/(rho c^2)   Map = 1/(wb^2 Cab)   Ral = QL/(wb Cab)
//! ```
//!
//! v: velocity of the cone, E: drive voltage, both rms; Cab, Map, Ral: compliance of the box, mass in the port, leakage. A
//! sealed box has no Map, and its QL holds at the resonance of driver and box, fs sqrt(1 + Vas/Vb). Far away, the sound of
//! cone, port and leak together goes with w times the flow into Cab. Small, J. Audio Eng. Soc. 20 (1972) and 21 (1973).

use std::f64::consts::SQRT_2;

use super::air::STIFFNESS;
use super::driver::{Driver, Mechanics};
use super::enclosure::Enclosure;
use crate::quantity::{Decibels, Hertz, Litres};

/// The circuit, ready to be solved at any frequency.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Circuit {
    mechanics: Mechanics,
    re: f64,
    le: f64,
    sd_squared: f64,
    acoustics: Option<Acoustics>,
}

/// The acoustical side: a compliance, a leak and, where there is a port, its mass.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Acoustics {
    cab: f64,
    leak: f64,
    /// 1/Map; zero without a port.
    per_map: f64,
}

/// What the cone does for one volt at one frequency.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Motion {
    /// Peak displacement one way, mm per volt rms.
    pub mm_per_volt: f64,
    /// Sound pressure over that far above resonance with no inductance: 1 where the response is flat.
    pub response: f64,
}

impl Motion {
    /// How far the response is below flat.
    pub fn down(self) -> Decibels {
        Decibels::new(-20.0 * self.response.log10())
    }
}

impl Circuit {
    /// The circuit of a driver in a box.
    pub fn new(driver: &Driver, enclosure: Enclosure) -> Self {
        let compliance = |volume: Litres| volume.cubic_metres() / STIFFNESS;
        let acoustics = match enclosure {
            Enclosure::FreeAir => None,
            Enclosure::Sealed { volume, leakage_q } => {
                let cab = compliance(volume);
                let resonance = driver.fs.angular() * (1.0 + driver.vas.litres() / volume.litres()).sqrt();
                Some(Acoustics { cab, leak: leakage_q.map_or(0.0, |q| resonance * cab / q), per_map: 0.0 })
            }
            Enclosure::Vented { volume, tuning, leakage_q } => {
                let (cab, wb) = (compliance(volume), tuning.angular());
                Some(Acoustics { cab, leak: wb * cab / leakage_q, per_map: wb * wb * cab })
            }
        };
        let sd = driver.sd.square_metres();
        Self {
            mechanics: driver.mechanics(),
            re: driver.re.ohms(),
            le: driver.le.mh() / 1000.0,
            sd_squared: sd * sd,
            acoustics,
        }
    }

    /// What the cone does at a frequency.
    pub fn motion(&self, frequency: Hertz) -> Motion {
        let Mechanics { cms, mms, rms, bl } = self.mechanics;
        let w = frequency.angular();
        let (mut resistance, mut reactance, mut into_box) = (rms, w * mms - 1.0 / (w * cms), 1.0);
        if let Some(Acoustics { cab, leak, per_map }) = self.acoustics {
            // Zab = (G - jB) / (G^2 + B^2) from the admittance G + jB.
            let susceptance = w * cab - per_map / w;
            let squared = leak * leak + susceptance * susceptance;
            resistance += self.sd_squared * leak / squared;
            reactance -= self.sd_squared * susceptance / squared;
            into_box = w * cab / squared.sqrt();
        }
        let x = w * self.le;
        let real = self.re * resistance - x * reactance + bl * bl;
        let imaginary = self.re * reactance + x * resistance;
        let velocity = bl / (real * real + imaginary * imaginary).sqrt();
        Motion { mm_per_volt: 1000.0 * SQRT_2 * velocity / w, response: w * velocity * into_box * self.re * mms / bl }
    }
}
