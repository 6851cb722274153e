//! What stands on a simulated bench, as an event: all that a program is told that sets it.

use serde::Serialize;

use crate::filter::Family;
use crate::practice::Bench;
use crate::quantity::{Hertz, Percent, Volts};

/// The job, and what is printed on amplifier, meter and source.
#[derive(Debug, Serialize)]
pub(super) struct PanelEvent {
    event: &'static str,
    level: &'static str,
    seed: u64,
    tuning_hz: Hertz,
    amplifier: String,
    slope_db_per_octave: u32,
    /// As printed; null where none is.
    family: Option<Family>,
    q: Option<f64>,
    /// Whether a switch takes the filter out.
    has_switch: bool,
    /// What is printed round the knob, from one stop to the other.
    prints: Vec<PrintEvent>,
    mark_uncertainty_percent: Percent,
    meter_accuracy_percent: Percent,
    meter_digits: u32,
    meter_resolution_v: Volts,
    meter_counts: u32,
    range_held: bool,
    /// The tones of the source; null where it plays any.
    tones_hz: Option<Vec<Hertz>>,
}

/// A print at the knob.
#[derive(Debug, Serialize)]
struct PrintEvent {
    dial: f64,
    corner_hz: Hertz,
}

impl PanelEvent {
    /// Of this bench.
    pub fn of(bench: &Bench) -> Self {
        let sheet = bench.sheet();
        let tones = sheet.tones.list();
        Self {
            event: "panel",
            level: bench.level().word(),
            seed: bench.seed(),
            tuning_hz: sheet.tuning,
            amplifier: sheet.amplifier.clone(),
            slope_db_per_octave: sheet.label.slope.db_per_octave(),
            family: sheet.label.family,
            q: sheet.label.q,
            has_switch: sheet.has_switch,
            prints: sheet.prints.iter().map(|at| PrintEvent { dial: at.dial, corner_hz: at.corner }).collect(),
            mark_uncertainty_percent: sheet.mark_tolerance,
            meter_accuracy_percent: sheet.meter.spec.accuracy,
            meter_digits: sheet.meter.spec.digits,
            meter_resolution_v: sheet.meter.spec.resolution,
            meter_counts: sheet.meter.counts,
            range_held: sheet.meter.range_held,
            tones_hz: tones,
        }
    }
}
