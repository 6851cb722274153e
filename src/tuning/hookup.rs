//! How a box is measured: what is connected, and what the meter shows.

use super::budget::within;
use crate::corner::Reading;
use crate::meter::MeterSpec;
use crate::quantity::{Hertz, Ohms, Volts, Watts};

/// How the box is connected: source, series resistor, box; the meter across the box's terminals.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hookup {
    /// The volts ahead of the resistor, the same at every tone.
    pub source: Volts,
    /// The resistor in series.
    pub series: Ohms,
    /// The meter, on one range.
    pub meter: MeterSpec,
}

/// What the meter shows across the box's terminals at one tone.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ToneReading {
    /// The tone.
    pub tone: Hertz,
    /// What it shows.
    pub reading: Reading,
}

impl Hookup {
    /// The box's impedance, exact where it is real, as it is near its peaks and near the minimum between them.
    ///
    /// ```text
    /// |Z| = R V / (Vs - V)
    /// ```
    ///
    /// R: series resistor, ohm; V: across the box; Vs: ahead of the resistor, V (the divider rule).
    pub fn impedance(&self, across: Volts) -> Ohms {
        Ohms::new(self.series.ohms() * across.volts() / (self.source.volts() - across.volts()))
    }

    /// d ln |Z| / d V: Vs / (V (Vs - V)), per volt.
    pub(super) fn relative_per_volt(&self, across: Volts) -> f64 {
        let (across, source) = (across.volts(), self.source.volts());
        source / (across * (source - across))
    }

    /// Standard uncertainty of a last digit that may be off by one, in volts: what one reading does not share with the
    /// next on the same range. The rest of the meter's specification they share.
    pub(super) fn last_digit(&self) -> f64 {
        within(self.meter.resolution.volts())
    }

    /// What the most power is that the resistor takes: with the box's terminals shorted.
    pub fn most_power(&self) -> Watts {
        self.source.power_into(self.series)
    }
}
