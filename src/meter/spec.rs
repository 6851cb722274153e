//! A meter's accuracy as its maker prints it, and the standard uncertainty that follows.

use crate::quantity::{Percent, Volts};

/// sqrt 3: a limit +-a with nothing known inside it has the standard uncertainty a/sqrt 3 (JCGM 100:2008, 4.3.7).
const RECTANGULAR: f64 = 1.732_050_807_568_877_2;
/// sqrt 12: a display step d has the standard uncertainty d/sqrt 12 (JCGM 100:2008, F.2.2.1).
const RESOLUTION: f64 = 3.464_101_615_137_754_4;

/// `+-(accuracy % of reading + digits)` at a display step.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MeterSpec {
    /// The share of the reading.
    pub accuracy: Percent,
    /// How many steps of the last digit.
    pub digits: u32,
    /// One step of the last digit on the range in use.
    pub resolution: Volts,
}

impl MeterSpec {
    /// What is taken where nobody says otherwise: 1.0 % + 5 digits at 0.01 V.
    pub const USUAL: Self = Self { accuracy: Percent::new(1.0), digits: 5, resolution: Volts::new(0.01) };

    /// Standard uncertainty of one reading on its own.
    ///
    /// ```text
    /// u(V) = sqrt( ((p/100 V + d res) / sqrt 3)^2 + (res / sqrt 12)^2 )
    /// ```
    ///
    /// p: accuracy in per cent of reading; d: digits; res: display step in volts (JCGM 100:2008, 4.3.7 and F.2.2.1).
    pub fn full(self, reading: Volts) -> Volts {
        let limit = self.accuracy.fraction() * reading.volts() + self.digit_limit();
        self.with_resolution(limit)
    }

    /// Standard uncertainty of a reading in a ratio with another one at the same tone on the same range, where the
    /// share of the reading is common to both and cancels (JCGM 100:2008, 5.2).
    ///
    /// ```text
    /// u(V) = sqrt( (d res / sqrt 3)^2 + (res / sqrt 12)^2 )
    /// ```
    pub fn common_gain(self) -> Volts {
        self.with_resolution(self.digit_limit())
    }

    fn digit_limit(self) -> f64 {
        f64::from(self.digits) * self.resolution.volts()
    }

    fn with_resolution(self, limit: f64) -> Volts {
        Volts::new((limit / RECTANGULAR).hypot(self.resolution.volts() / RESOLUTION))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn close(value: f64, published: f64, half_a_digit: f64) {
        assert!((value - published).abs() <= half_a_digit, "{value} against {published}");
    }

    /// JCGM 100:2008, 4.4.5 and 4.3.7: limits 96 to 104 degC have the standard uncertainty 2.3 degC; F.2.2.1: 0.29 of
    /// a step. A meter of 0 % + 1 digit has only the limit of one step, one of 0 % + 0 digits only the step.
    #[test]
    fn divisors_are_those_of_jcgm_100() {
        close(4.0 / RECTANGULAR, 2.3, 0.05);
        let step = MeterSpec { accuracy: Percent::new(0.0), digits: 0, resolution: Volts::new(1.0) };
        close(step.full(Volts::new(20.0)).volts(), 0.29, 0.005);
        close(RECTANGULAR * RECTANGULAR, 3.0, 1e-15);
        close(RESOLUTION * RESOLUTION, 12.0, 1e-14);
    }

    /// 1 % + 3 counts, step 0.01 V, at 20.00 V: limit 0.2300 V, u 0.132822 V (computed by a separate reference
    /// program from JCGM 100:2008).
    #[test]
    fn a_hand_held_meter_at_20_volts() {
        let meter = MeterSpec { accuracy: Percent::new(1.0), digits: 3, resolution: Volts::new(0.01) };
        close(meter.full(Volts::new(20.0)).volts(), 0.132_822, 5e-7);
    }
}
