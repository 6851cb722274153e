//! A driver in a box as an impedance, so that a meter can be read without a bench: voice coil, cone, the box's air, its
//! port and its leak (Small, Vented-Box Loudspeaker Systems Part I, J. Audio Eng. Soc. 21 (Jun 1973), figure of the
//! circuit; from memory).

#![allow(dead_code, reason = "each test file uses a part of it")]

use std::f64::consts::TAU;

/// A driver in a box.
#[derive(Debug, Clone, Copy)]
pub struct Box {
    /// The driver's resonance in free air, its electrical and mechanical Q.
    pub fs: f64,
    pub qes: f64,
    pub qms: f64,
    /// Vas over the volume of the box.
    pub stiffness: f64,
    /// The tuning; 0 for a sealed box.
    pub tuning: f64,
    /// QL at the tuning.
    pub leakage_q: f64,
    /// The voice coil, in ohm and henry.
    pub re: f64,
    pub le: f64,
}

/// A complex number.
type Complex = (f64, f64);

fn sum(one: Complex, other: Complex) -> Complex {
    (one.0 + other.0, one.1 + other.1)
}

fn over(real: f64, other: Complex) -> Complex {
    let square = other.0 * other.0 + other.1 * other.1;
    (real * other.0 / square, -real * other.1 / square)
}

fn size(number: Complex) -> f64 {
    number.0.hypot(number.1)
}

impl Box {
    /// Driver A of the check values in 60 l tuned to 33 Hz: fs 28 Hz, Qes 0.42, Qms 6, Vas 80 l, Re 3.4 ohm.
    pub const DRIVER_A: Self =
        Self { fs: 28.0, qes: 0.42, qms: 6.0, stiffness: 80.0 / 60.0, tuning: 33.0, leakage_q: 7.0, re: 3.4, le: 0.0 };

    /// The impedance, all masses taken as one: Z = Re + s Le + Re (ws/Qes) / (s + ws/Qms + ws2/s + box), and the box is
    /// (Vas/Vb) ws2 / (s + wb/QL + wb2/s).
    fn complex(&self, hz: f64) -> Complex {
        let (w, ws, wb) = (TAU * hz, TAU * self.fs, TAU * self.tuning);
        let air = self.stiffness * ws * ws;
        let in_box =
            if self.tuning > 0.0 { over(air, (wb / self.leakage_q, w - wb * wb / w)) } else { over(air, (0.0, w)) };
        let cone = sum((ws / self.qms, w - ws * ws / w), in_box);
        sum((self.re, w * self.le), over(self.re * ws / self.qes, cone))
    }

    /// The size of the impedance in ohm.
    pub fn ohms(&self, hz: f64) -> f64 {
        size(self.complex(hz))
    }

    /// The volts across the box behind a series resistor, as a meter with this step shows them.
    pub fn across(&self, hz: f64, series: f64, source: f64, step: f64) -> f64 {
        let box_alone = self.complex(hz);
        let volts = source * size(box_alone) / size(sum(box_alone, (series, 0.0)));
        let decimals = usize::try_from((-step.log10()).round() as i64).unwrap_or(0);
        format!("{:.decimals$}", (volts / step).round() * step).parse().expect("a number")
    }

    /// The lower peak, the minimum, the upper peak; `None` where there are not two peaks from 3 to 300 Hz.
    pub fn turns(&self) -> Option<[f64; 3]> {
        const STEPS: usize = 2000;
        let hz = |index: usize| 3.0 * 100f64.powf(index as f64 / STEPS as f64);
        let ohms: Vec<f64> = (0..=STEPS).map(|index| self.ohms(hz(index))).collect();
        let tops: Vec<usize> = (1..STEPS).filter(|&i| ohms[i - 1] < ohms[i] && ohms[i] >= ohms[i + 1]).collect();
        let [lower, upper] = tops[..] else { return None };
        let least = (lower..upper).min_by(|one, other| ohms[*one].total_cmp(&ohms[*other]))?;
        let near = |at: usize, sign: f64| self.lowest(hz(at - 1), hz(at + 1), sign);
        Some([near(lower, -1.0), near(least, 1.0), near(upper, -1.0)])
    }

    /// Golden section.
    fn lowest(&self, mut low: f64, mut high: f64, sign: f64) -> f64 {
        const GOLDEN: f64 = 0.381_966_011_250_105;
        for _ in 0..80 {
            let (one, other) = (low + GOLDEN * (high - low), high - GOLDEN * (high - low));
            if sign * self.ohms(one) < sign * self.ohms(other) {
                high = other;
            } else {
                low = one;
            }
        }
        f64::midpoint(low, high)
    }
}
