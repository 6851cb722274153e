//! The meter: what its display makes of a voltage.

use super::sheet::MeterPrint;
use crate::chance::Chance;
use crate::quantity::{Hertz, Volts};

/// Display steps of the ranges in volts, the finest first.
const STEPS: [f64; 3] = [0.001, 0.01, 0.1];
/// So many texts are seen one after the other while the digits hunt.
const LOOKS: usize = 3;

/// A meter as it really is.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Meter {
    pub print: MeterPrint,
    /// What each range shows of a volt within the band, less one.
    pub gain_errors: [f64; STEPS.len()],
    /// Where its input coupling takes 3 dB off: a first-order high-pass (the usual coupling capacitor; from memory).
    pub droop: Hertz,
    /// Digits by which the display hunts to either side.
    pub hunts: u32,
}

/// A voltage as a range shows it, before it is cut to digits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Indicated {
    pub volts: Volts,
    pub step: Volts,
    /// Past the end of the highest range that it may use.
    pub overloaded: bool,
}

impl Meter {
    /// What is left of a tone.
    fn passes(&self, tone: Hertz) -> f64 {
        (1.0 + (self.droop.hz() / tone.hz()).powi(2)).powf(-0.5)
    }

    /// What is shown of a voltage, hunting and rounding apart.
    pub fn indicated(&self, volts: Volts, tone: Hertz) -> Indicated {
        let shown = |range: usize| volts.times(self.passes(tone) * (1.0 + self.gain_errors[range]));
        // A display counts no further than it can.
        let fits = |range: usize| shown(range).volts() <= STEPS[range] * f64::from(self.print.counts);
        let on_job = STEPS.iter().position(|step| (step / self.print.spec.resolution.volts() - 1.0).abs() < 1e-9);
        let held = on_job.filter(|_| self.print.range_held);
        let range = held.or_else(|| (0..STEPS.len()).find(|range| fits(*range))).unwrap_or(STEPS.len() - 1);
        Indicated { volts: shown(range), step: Volts::new(STEPS[range]), overloaded: !fits(range) }
    }

    /// The texts on the display, one after the other; one where it stands still.
    pub fn shows(&self, volts: Volts, tone: Hertz, chance: &mut Chance) -> Vec<String> {
        let indicated = self.indicated(volts, tone);
        if indicated.overloaded {
            return vec!["OL".to_owned()];
        }
        let step = indicated.step.volts();
        let decimals = if step < 0.005 {
            3
        } else if step < 0.05 {
            2
        } else {
            1
        };
        // Nothing is below nothing, not even by its sign.
        let text = |digits: f64| {
            format!("{:.decimals$}", ((indicated.volts.volts() / step + digits).round() * step).max(0.0) + 0.0)
        };
        // Nothing hunts where nothing is there.
        if self.hunts == 0 || volts.volts() < step {
            return vec![text(0.0)];
        }
        (0..LOOKS).map(|_| text(f64::from(self.hunts) * chance.between(-1.0, 1.0))).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::meter::MeterSpec;
    use crate::quantity::Percent;

    fn meter(range_held: bool) -> Meter {
        let spec = MeterSpec { accuracy: Percent::new(1.0), digits: 3, resolution: Volts::new(0.01) };
        let (band_low, band_high) = (Hertz::new(45.0), Hertz::new(500.0));
        let print = MeterPrint { counts: 6000, spec, range_held, band_low, band_high };
        Meter { print, gain_errors: [0.0, 0.01, 0.0], droop: Hertz::new(0.0), hunts: 0 }
    }

    fn shown(meter: &Meter, volts: f64) -> String {
        meter.shows(Volts::new(volts), Hertz::new(50.0), &mut Chance::of(1, 0)).join(" ")
    }

    #[test]
    fn ranges_and_their_digits() {
        let held = meter(true);
        assert_eq!([0.0, 5.0, 8.0, 61.0].map(|volts| shown(&held, volts)), ["0.00", "5.05", "8.08", "OL"]);
        let changes = meter(false);
        assert_eq!([5.0, 8.0, 61.0, 700.0].map(|volts| shown(&changes, volts)), ["5.000", "8.08", "61.0", "OL"]);
        // 59.5 V with 1 % on top are more counts than the range has; so the next one is taken, or none.
        assert_eq!([shown(&held, 59.5), shown(&changes, 59.5)], ["OL", "59.5"]);
        let drooping = Meter { droop: Hertz::new(50.0), ..meter(false) };
        assert_eq!(shown(&drooping, 8.0), "5.657", "what is left decides the range");
        let low = Meter { gain_errors: [-0.9; 3], ..meter(true) };
        assert_eq!([0.0, -0.0].map(|volts| shown(&low, volts)), ["0.00", "0.00"]);
    }

    /// A first-order high-pass at its corner: 1 / sqrt 2 (any handbook).
    #[test]
    fn it_droops_as_a_first_order_high_pass() {
        let meter = Meter { droop: Hertz::new(50.0), gain_errors: [0.0; 3], ..meter(true) };
        assert_eq!(shown(&meter, 10.0), "7.07");
    }
}
