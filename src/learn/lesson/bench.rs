//! The bench of the lessons: one box, one reference, one meter, so that every lesson speaks of the same numbers.

use crate::corner::{Reading, Reference};
use crate::displacement::{Analysis, Drive, Driver, Enclosure, Setup, USUAL_LEAKAGE_Q};
use crate::filter::{Alignment, Family, Rule, Slope};
use crate::meter::{AcceptZone, MeterSpec, Tolerance, Window};
use crate::plan::{CornerChoice, Inputs};
use crate::quantity::{Hertz, Litres, Millihenries, Millimetres, Ohms, Percent, SquareCentimetres, Volts, Watts, show};

/// The box's tuning.
pub(super) const TUNING: Hertz = Hertz::new(36.0);
/// The corner that the three-quarters rule gives.
pub(super) const CORNER: Hertz = Rule::ThreeQuarters.corner(TUNING);
/// The reference.
pub(super) const REFERENCE: Volts = Volts::new(8.0);
/// The meter.
pub(super) const METER: MeterSpec = MeterSpec::USUAL;
/// The tolerance, a share of the corner.
pub(super) const TOLERANCE: Percent = Percent::new(3.0);
/// The load of the amplifier.
pub(super) const LOAD: Ohms = Ohms::new(4.0);

/// A Butterworth filter; of 24 dB/octave where there is none of this slope.
pub(super) fn butterworth(db_per_octave: u32) -> Alignment {
    Alignment::usual(Slope::new(db_per_octave))
}

/// A filter of a family that has this slope; the usual one where it has not.
pub(super) fn filter(family: Family, db_per_octave: u32) -> Alignment {
    Alignment::candidates()
        .find(|filter| filter.family() == family && filter.slope().db_per_octave() == db_per_octave)
        .unwrap_or_else(|| Alignment::usual(None))
}

/// What stands over a column of [`named`] filters.
pub(super) const FILTERS: &str = "filter, dB/octave";

/// A filter in a table: `Butterworth 24`.
pub(super) fn named(filter: Alignment) -> String {
    format!("{} {}", filter.family(), filter.slope().db_per_octave())
}

/// What this filter, its corner here, leaves of a tone's volts.
pub(super) fn left(filter: Alignment, tone: Hertz, corner: Hertz) -> f64 {
    filter.response(tone, corner).ratio()
}

/// A voltage as the meter of the lessons shows it.
pub(super) fn volts(voltage: Volts) -> String {
    show::volts(voltage, METER.resolution)
}

/// A share with three decimals.
pub(super) fn share(value: f64) -> String {
    format!("{value:.3}")
}

/// What decides the target, the window and the accept zone of the lessons.
pub(super) fn inputs() -> Inputs {
    Inputs {
        corner: CornerChoice::Rule(TUNING, Rule::ThreeQuarters),
        alignment: butterworth(24),
        reference: Reference { reading: Reading::steady(REFERENCE), mark: None },
        tone: CORNER,
        tolerance: Tolerance::Corner(TOLERANCE),
        meter: METER,
        range_held: true,
    }
}

/// The corners at the ends of the tolerance: the lowest and the highest.
pub(super) fn corners() -> [Hertz; 2] {
    [1.0 - TOLERANCE.fraction(), 1.0 + TOLERANCE.fraction()].map(|factor| CORNER.times(factor))
}

/// The target.
pub(super) fn target() -> Volts {
    REFERENCE.times(left(butterworth(24), CORNER, CORNER))
}

/// The window: a higher corner leaves fewer volts.
pub(super) fn window() -> Window {
    let [lowest, highest] = corners().map(|corner| REFERENCE.times(left(butterworth(24), CORNER, corner)));
    Window { low: highest, high: lowest }
}

/// What the meter may be off at the target.
pub(super) fn guard_band() -> Volts {
    inputs().guard_band(target(), Volts::new(0.0))
}

/// The window less the guard band.
pub(super) fn accept() -> AcceptZone {
    window().guarded(guard_band())
}

/// A driver that we made up, in a box that is tuned to [`TUNING`], with its filter.
pub(super) fn analysis() -> Analysis {
    Analysis::of(Setup {
        driver: Driver {
            fs: Hertz::new(27.5),
            qes: 0.44,
            qms: 5.2,
            vas: Litres::new(66.0),
            sd: SquareCentimetres::new(485.0),
            re: Ohms::new(3.4),
            le: Millihenries::new(1.6),
            xmax: Millimetres::new(14.0),
            xmech: None,
        },
        enclosure: Enclosure::Vented { volume: Litres::new(55.0), tuning: TUNING, leakage_q: USUAL_LEAKAGE_Q },
        drive: Drive { power: Watts::new(280.0), load: LOAD, lowest: Drive::USUAL_LOWEST },
        alignment: butterworth(24),
        corner: Some(CORNER),
    })
}

/// The numbers of a question about what a filter leaves of a reference, by the names that the drills give them.
pub(super) fn given(reference: Volts, corner: Hertz, tone: Hertz, filter: Alignment) -> Vec<(&'static str, f64)> {
    let family = match filter.family() {
        Family::LinkwitzRiley => "linkwitz_riley",
        _ => "butterworth",
    };
    vec![
        ("reference_v", reference.volts()),
        ("corner_hz", corner.hz()),
        ("tone_hz", tone.hz()),
        ("slope_db_per_octave", f64::from(filter.slope().db_per_octave())),
        (family, 1.0),
    ]
}
