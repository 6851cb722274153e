//! Which things stand on a bench, and how they really are: drawn from level and seed.
//!
//! Every spread here is common practice, no source, unless another is named.

use super::knob::{DIAL, Knob};
use super::level::Level;
use super::meter::Meter;
use super::sheet::{Label, MeterPrint, Print, Sheet};
use super::source::Tones;
use crate::chance::Chance;
use crate::filter::{Alignment, Family, Slope};
use crate::meter::MeterSpec;
use crate::quantity::{Hertz, Percent, Volts, ranges};

/// Tunings in half hertz, 25 to 45 Hz, where vented boxes of subwoofers are tuned ...
const TUNINGS: [usize; 2] = [50, 90];
/// ... but for this one, which is left to other examples.
const NO_TUNING: usize = 80;
/// End stops in hertz, as amplifiers have them. The lower one stands from here to there below the wanted corner ...
const LOW_STOPS: [f64; 7] = [8.0, 10.0, 12.0, 15.0, 16.0, 18.0, 20.0];
const LOW_SHARE: [f64; 2] = [0.38, 0.62];
/// ... the upper one at least so far above it: with every spread below, the wanted corner has room at both ends.
const HIGH_STOPS: [f64; 7] = [50.0, 60.0, 75.0, 80.0, 100.0, 120.0, 150.0];
const HIGH_SHARE: f64 = 2.0;
/// Prints at the knob, the end stops included.
const PRINTS: usize = 5;
/// The output at full volume, volts: 80 to 500 W into 4 ohm.
const FULL_OUTPUT: [f64; 2] = [18.0, 45.0];
/// The volume stands this low at first.
const FIRST_VOLUMES: usize = 4;
/// Where meters' bands begin: 40 to 50 Hz in most hand-held meters' tables.
const BANDS: [f64; 3] = [40.0, 45.0, 50.0];
/// Where a drooping meter's input takes 3 dB off: then 2 to 4 % are gone at 25 Hz, and less than 1 % at 45 Hz.
const DROOPS: [f64; 2] = [5.0, 7.0];
/// A meter's errors use up no more of its share of reading than this.
const OF_ACCURACY: f64 = 0.95;
/// A label is wrong in earnest where it costs this much of the corner.
const WRONG: f64 = 0.08;

/// The things as they really are, and how they stand when the bench is opened.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Parts {
    pub sheet: Sheet,
    pub filter: Alignment,
    pub knob: Knob,
    pub meter: Meter,
    pub full_output: Volts,
    pub first_dial: f64,
    pub first_volume: u32,
}

impl Parts {
    /// The parts of a level and a seed.
    pub fn of(level: Level, seed: u64) -> Self {
        let mut chance = Chance::of(seed, level as u64);
        let tuning = tuning(&mut chance);
        let (filter, label) = filter(level, &mut chance);
        let has_switch = matches!(level, Level::Friendly | Level::Usual);
        let knob = knob(level, 0.75 * tuning, &mut chance);
        let prints = (0..PRINTS)
            .map(|print| {
                let dial = DIAL * print as f64 / (PRINTS - 1) as f64;
                Print { dial, corner: Hertz::new(knob.nominal(dial).hz().round()) }
            })
            .collect();
        let mark_tolerance = Percent::new(match level {
            Level::Friendly => 2.0,
            Level::Usual => 20.0,
            Level::Awkward => 5.0,
            Level::Nasty => 10.0,
        });
        let tones = match level {
            Level::Friendly => Tones::Any,
            _ => *chance.one_of(&[Tones::Thirds, Tones::Sixths, Tones::Sixths]),
        };
        let meter = meter(level, &mut chance);
        let full_output = Volts::new(chance.between(FULL_OUTPUT[0], FULL_OUTPUT[1]));
        let sheet = Sheet {
            tuning: Hertz::new(tuning),
            amplifier: format!("practice amplifier, seed {seed}"),
            label,
            prints,
            mark_tolerance,
            has_switch,
            meter: meter.print,
            tones,
        };
        let first_dial = chance.below(101) as f64 / 10.0;
        let first_volume = chance.below(FIRST_VOLUMES) as u32;
        Self { sheet, filter, knob, meter, full_output, first_dial, first_volume }
    }

    /// The output with the filter out, at a step of the volume: steps of 1 dB, and silence at 0.
    pub fn output(&self, volume: u32) -> Volts {
        if volume == 0 {
            return Volts::new(0.0);
        }
        let below_full = ranges::VOLUME_STEP.high - f64::from(volume);
        self.full_output.times(10_f64.powf(-below_full / 20.0))
    }
}

fn tuning(chance: &mut Chance) -> f64 {
    let halves: Vec<usize> = (TUNINGS[0]..=TUNINGS[1]).filter(|halves| *halves != NO_TUNING).collect();
    *chance.one_of(&halves) as f64 / 2.0
}

/// The filter and its label.
fn filter(level: Level, chance: &mut Chance) -> (Alignment, Label) {
    let named = |family, slope: u32| Slope::new(slope).and_then(|slope| Alignment::new(family, slope).ok());
    let (butterworth, linkwitz_riley, bessel) = (Family::Butterworth, Family::LinkwitzRiley, Family::Bessel);
    match level {
        Level::Friendly => {
            let slope = *chance.one_of(&[12, 18, 24, 24]);
            let filter = named(butterworth, slope).unwrap_or(Alignment::usual(None));
            (filter, Label::of(filter, true))
        }
        Level::Usual | Level::Awkward => {
            // A filter whose Q is one more unknown always names it.
            if chance.below(8) == 0 {
                let filter = Alignment::second_order(*chance.one_of(&[0.5, 0.6, 0.8, 0.9, 1.1]));
                return (filter, Label::of(filter, true));
            }
            let these: Vec<Alignment> = [12, 18, 24, 48]
                .into_iter()
                .flat_map(|slope| [butterworth, linkwitz_riley, bessel].map(|family| named(family, slope)))
                .flatten()
                .collect();
            let filter = *chance.one_of(&these);
            let is_named = chance.below(2) == 0;
            (filter, Label::of(filter, is_named))
        }
        Level::Nasty => {
            let pairs: Vec<(Alignment, Alignment)> = Alignment::candidates()
                .flat_map(|filter| Alignment::candidates().map(move |label| (filter, label)))
                .filter(|(filter, label)| is_worth_it(*filter, *label))
                .collect();
            let (filter, label) = *chance.one_of(&pairs);
            (filter, Label::of(label, true))
        }
    }
}

/// Whether a label on this filter is a plausible one that leads astray: slopes that amplifiers have, not far from each
/// other, and a knob that is set by it stands [`WRONG`] off.
fn is_worth_it(filter: Alignment, label: Alignment) -> bool {
    let slope = |alignment: Alignment| alignment.slope().db_per_octave();
    let is_usual = |alignment| (12..=36).contains(&slope(alignment)) && slope(alignment) != 30;
    let at = Hertz::new(1.0);
    let by_label = filter.corners_from_down(at, label.response(at, at).down()).single();
    is_usual(filter)
        && is_usual(label)
        && slope(filter).abs_diff(slope(label)) <= 12
        && by_label.is_some_and(|corner| corner.hz().ln().abs() > WRONG)
}

/// The knob. Component spread: two capacitors and a potentiometer track of 10 to 20 % each, hence the even sum of two.
fn knob(level: Level, wanted: f64, chance: &mut Chance) -> Knob {
    let lows: Vec<f64> =
        LOW_STOPS.into_iter().filter(|low| (LOW_SHARE[0]..=LOW_SHARE[1]).contains(&(low / wanted))).collect();
    let highs: Vec<f64> = HIGH_STOPS.into_iter().filter(|high| *high >= HIGH_SHARE * wanted).collect();
    let (low, high) = (*chance.one_of(&lows), *chance.one_of(&highs));
    // Lift, tilt, the strongest taper, backlash of the dial.
    let (lift, tilt, taper, backlash) = match level {
        Level::Friendly => (0.01, 0.0, 1.5, [0.0, 0.0]),
        Level::Usual => (0.15, 0.10, 6.0, [0.0, 0.0]),
        // The lowest mark is what the reference is read at, and the manual says how good it is.
        Level::Awkward => (0.045, 0.15, 8.0, [0.0, 0.0]),
        Level::Nasty => (0.09, 0.20, 8.0, [0.02, 0.06]),
    };
    let taper = f64::powf(taper, chance.between(-1.0, 1.0));
    let (lift, tilt) = (lift * chance.triangular(), tilt * chance.triangular());
    let backlash = chance.between(backlash[0], backlash[1]);
    Knob { low: Hertz::new(low), high: Hertz::new(high), taper, lift, tilt, backlash }
}

/// The meter: specifications as hand-held meters have them for AC volts.
fn meter(level: Level, chance: &mut Chance) -> Meter {
    let below_band = matches!(level, Level::Awkward | Level::Nasty);
    let (accuracy, digits) = match level {
        Level::Friendly => *chance.one_of(&[(0.5, 2), (0.8, 3)]),
        Level::Usual => *chance.one_of(&[(0.8, 3), (1.0, 3), (1.0, 5)]),
        Level::Awkward | Level::Nasty => *chance.one_of(&[(1.2, 3), (1.2, 5), (1.5, 5)]),
    };
    let counts = *chance.one_of(if level == Level::Friendly { &[6000] } else { &[2000, 4000, 6000][..] });
    let range_held = match level {
        Level::Friendly | Level::Usual => true,
        Level::Awkward => chance.below(2) == 0,
        Level::Nasty => chance.below(4) == 0,
    };
    let band_low = Hertz::new(*chance.one_of(&BANDS));
    let droop = if below_band { chance.between(DROOPS[0], DROOPS[1]) } else { 0.0 };
    let spec = MeterSpec { accuracy: Percent::new(accuracy), digits, resolution: Volts::new(0.01) };
    // At the low end of the band gain and droop together still keep within the share of reading.
    let most = OF_ACCURACY * accuracy / 100.0;
    let drooped = 1.0 - (1.0 + (droop / band_low.hz()).powi(2)).powf(-0.5);
    let mut gain_error = || chance.between(-most + drooped, most);
    let gain_errors = [gain_error(), gain_error(), gain_error()];
    // Rounding takes half of one of the digits.
    let hunts = if below_band { digits - 1 } else { 0 };
    let print = MeterPrint { counts, spec, range_held, band_low, band_high: Hertz::new(500.0) };
    Meter { print, gain_errors, droop: Hertz::new(droop), hunts }
}
