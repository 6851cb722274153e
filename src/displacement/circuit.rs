//! The electro-mechano-acoustical circuit of a driver in a box, solved at one frequency.
//!
//! ```text
//! v = E BL / (Ze Zm + BL^2)
//! Ze = Re + jw Le
//! Zm = Rms + jw Mms + 1/(jw Cms) + Sd^2 Zab
//! 1/Zab = jw Cab + 1/Ral + 1/(jw Map)      Cab = Vb/(rho c^2)   Map = 1/(wb^2 Cab)   Ral = QL/(wb Cab)
//! ```
//!
//! Multiplied out, with g + jb = jw/Zab and q = g^2 + b^2, a single division is left:
//!
//! ```text
//! |v/w|^2 = BL^2 q^2 / |Ze (w q Zm) + w q BL^2|^2
//! w q Zm = w Rms q + Sd^2 w^2 g + j ((w^2 Mms - 1/Cms) q - Sd^2 w^2 b)
//! ```
//!
//! v: velocity of the cone, E: drive voltage, both rms; Cab, Map, Ral: compliance of the box, mass in the port, leakage. A
//! sealed box has no Map, and its QL holds at the resonance of driver and box, fs sqrt(1 + Vas/Vb). Far away, the sound of
//! cone, port and leak together goes with w times the flow into Cab. Small, J. Audio Eng. Soc. 20 (1972) and 21 (1973).

use super::air::STIFFNESS;
use super::driver::{Driver, Mechanics};
use super::enclosure::Enclosure;
use crate::quantity::{Decibels, Hertz, Litres};

/// Free air is a box this many times the driver's equivalent volume: its spring is lost in the last digit.
const NO_BOX: f64 = 1e20;

/// The circuit, ready to be solved at any frequency.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Circuit {
    /// Voice coil: ohm and henry.
    re: f64,
    le: f64,
    bl_squared: f64,
    /// Suspension and cone: 1/Cms in N/m, kg, kg/s.
    stiffness: f64,
    mms: f64,
    rms: f64,
    /// Box: m^4, m^3/Pa, its leak and 1/Map (zero without a port).
    sd_squared: f64,
    cab: f64,
    leak: f64,
    per_map: f64,
    rings_at: Option<Hertz>,
}

/// From this leakage Q on a box and its port may ring by themselves.
const RINGING: f64 = 20.0;

/// What the cone does for one volt at one frequency.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Motion {
    /// Peak displacement one way, mm per volt rms, squared.
    mm_per_volt_squared: f64,
    /// Sound pressure over that far above resonance with no inductance, squared: 1 where the response is flat.
    response_squared: f64,
}

impl Motion {
    /// Peak displacement one way, mm per volt rms, squared.
    pub(super) const fn mm_per_volt_squared(self) -> f64 {
        self.mm_per_volt_squared
    }

    /// Sound pressure over that far above resonance, squared.
    pub(super) const fn response_squared(self) -> f64 {
        self.response_squared
    }

    /// Peak displacement one way, mm per volt rms.
    pub fn mm_per_volt(self) -> f64 {
        self.mm_per_volt_squared.sqrt()
    }

    /// Sound pressure over that far above resonance with no inductance: 1 where the response is flat.
    pub fn response(self) -> f64 {
        self.response_squared.sqrt()
    }

    /// How far the response is below flat.
    pub fn down(self) -> Decibels {
        Decibels::new(-10.0 * self.response_squared.log10())
    }
}

/// What the cone does for one volt at several frequencies, in squares: see [`Motion`].
pub(super) struct Motions<const N: usize> {
    pub mm_per_volt_squared: [f64; N],
    pub response_squared: [f64; N],
}

impl Circuit {
    /// The circuit of a driver in a box.
    pub fn new(driver: &Driver, enclosure: Enclosure) -> Self {
        let compliance = |volume: Litres| volume.cubic_metres() / STIFFNESS;
        let (cab, leak, per_map) = match enclosure {
            Enclosure::FreeAir => (NO_BOX * compliance(driver.vas), 0.0, 0.0),
            Enclosure::Sealed { volume, leakage_q } => {
                let cab = compliance(volume);
                let resonance = driver.fs.angular() * (1.0 + driver.vas.litres() / volume.litres()).sqrt();
                (cab, leakage_q.map_or(0.0, |q| resonance * cab / q), 0.0)
            }
            Enclosure::Vented { volume, tuning, leakage_q } => {
                let (cab, wb) = (compliance(volume), tuning.angular());
                (cab, wb * cab / leakage_q, wb * wb * cab)
            }
        };
        let rings_at = match enclosure {
            Enclosure::Vented { tuning, leakage_q, .. } if leakage_q > RINGING => Some(tuning),
            _ => None,
        };
        let Mechanics { cms, mms, rms, bl } = driver.mechanics();
        let sd = driver.sd.square_metres();
        Self {
            re: driver.re.ohms(),
            le: driver.le.mh() / 1000.0,
            bl_squared: bl * bl,
            stiffness: 1.0 / cms,
            mms,
            rms,
            sd_squared: sd * sd,
            cab,
            leak,
            per_map,
            rings_at,
        }
    }

    /// Where port and box may resonate by themselves, the box leaks so little.
    pub(super) const fn rings_at(&self) -> Option<Hertz> {
        self.rings_at
    }

    /// What the cone does at a frequency.
    pub fn motion(&self, frequency: Hertz) -> Motion {
        let Motions { mm_per_volt_squared: [mm_per_volt_squared], response_squared: [response_squared] } =
            self.motions([frequency.hz()]);
        Motion { mm_per_volt_squared, response_squared }
    }

    /// What the cone does at several frequencies, in hertz: plain arithmetic without a branch, which a processor does for
    /// several at a time.
    #[inline]
    pub(super) fn motions<const N: usize>(&self, hz: [f64; N]) -> Motions<N> {
        let mut motions = Motions { mm_per_volt_squared: [0.0; N], response_squared: [0.0; N] };
        let squares = motions.mm_per_volt_squared.iter_mut().zip(&mut motions.response_squared);
        for (hz, (mm_per_volt_squared, response_squared)) in hz.into_iter().zip(squares) {
            let w = std::f64::consts::TAU * hz;
            let w2 = w * w;
            let (g, b) = (w * self.leak, w2 * self.cab - self.per_map);
            let q = g * g + b * b;
            let area = self.sd_squared * w2;
            let resistance = w * self.rms * q + area * g;
            let reactance = (w2 * self.mms - self.stiffness) * q - area * b;
            let coil = w * self.le;
            let real = self.re * resistance - coil * reactance + self.bl_squared * w * q;
            let imaginary = self.re * reactance + coil * resistance;
            let q_over = q / (real * real + imaginary * imaginary);
            // A peak is sqrt 2 times an rms value, and a metre 1000 mm: squared, 2 million.
            *mm_per_volt_squared = 2e6 * self.bl_squared * q * q_over;
            let flow = w2 * w2 * self.cab * self.re * self.mms;
            *response_squared = flow * flow * q_over;
        }
        motions
    }
}
