//! Whether the intervals of a fit hold what they promise: many simulated fits, each with errors drawn anew.
//!
//! Student's t for 95 %, two-sided: 12.7062, 4.3027, 3.1824, 2.7764 and 2.5706 for 1 to 5 degrees of freedom (any table of
//! the distribution; scipy.stats.t.ppf(0.975, n) gives the same).

use cornerset::corner::{Fit, Pair, Reading, SharedReference};
use cornerset::filter::Alignment;
use cornerset::meter::MeterSpec;
use cornerset::quantity::{Hertz, Percent, Volts};

use crate::table::alignment;

const TRIALS: u32 = 2500;
const CORNER: Hertz = Hertz::new(27.0);

/// Even numbers from 0 to 1 in an order that is the same every time (SplitMix64: Steele, Lea and Flood, 2014; constants
/// from memory).
struct Draw(u64);

impl Draw {
    fn even(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }

    /// From -limit to limit.
    fn within(&mut self, limit: f64) -> f64 {
        (2.0 * self.even() - 1.0) * limit
    }

    /// Normal with unit variance (Box and Muller, 1958).
    fn normal(&mut self) -> f64 {
        let radius = (-2.0 * (1.0 - self.even()).ln()).sqrt();
        radius * (std::f64::consts::TAU * self.even()).cos()
    }
}

fn volts(filter: Alignment, tone: f64) -> f64 {
    8.0 * filter.response(Hertz::new(tone), CORNER).ratio()
}

/// The share of trials in which `holds` is true.
fn share(seed: u64, holds: impl Fn(&mut Draw) -> bool) -> f64 {
    let mut draw = Draw(seed);
    f64::from((0..TRIALS).filter(|_| holds(&mut draw)).count() as u32) / f64::from(TRIALS)
}

/// Levels with normal errors of 0.05 dB: the corner lies within t standard errors in 95 % of all fits.
#[test]
fn standard_errors_cover_what_they_promise() {
    struct Case<'a> {
        family: &'a str,
        slope: u64,
        q: Option<f64>,
        tones: &'a [f64],
        t: f64,
    }
    let case = |family, slope, q, tones, t| Case { family, slope, q, tones, t };
    let cases = [
        case("butterworth", 24, None, &[18.0, 22.0, 27.0, 33.0, 38.0], 2.776_4),
        case("linkwitz-riley", 24, None, &[20.0, 27.0, 36.0], 4.302_7),
        case("bessel", 12, None, &[16.0, 20.0, 25.0, 31.0, 40.0, 50.0], 2.570_6),
        case("second-order", 12, Some(0.9), &[14.0, 18.0, 22.0, 40.0], 3.182_4),
        case("butterworth", 48, None, &[24.0, 28.0], 12.706_2),
    ];
    for (seed, Case { family, slope, q, tones, t }) in cases.into_iter().enumerate() {
        let filter = alignment(family, slope, q);
        let covered = share(seed as u64 + 1, |draw| {
            let pairs: Vec<Pair> = tones
                .iter()
                .map(|tone| {
                    let read = volts(filter, *tone) * 10f64.powf(0.05 * draw.normal() / 20.0);
                    let reference = Some(Reading::steady(Volts::new(8.0)));
                    Pair { tone: Hertz::new(*tone), reading: Reading::steady(Volts::new(read)), reference }
                })
                .collect();
            let fit = Fit::of(&pairs, None, None, MeterSpec::USUAL, [filter]).unwrap();
            (fit.corner.hz() - CORNER.hz()).abs() <= t * fit.standard_error.hz()
        });
        assert!((0.93..=0.97).contains(&covered), "{filter}: {covered}");
    }
}

/// A meter that errs anywhere within its specification, rounded to its step: the corner lies within the expanded
/// uncertainty (k = 2) in about 95 % of all fits, and in more where one rectangular error rules.
#[test]
fn meter_uncertainty_covers_what_it_promises() {
    let meter = MeterSpec { accuracy: Percent::new(1.0), digits: 3, resolution: Volts::new(0.01) };
    let read = |draw: &mut Draw, volts: f64| {
        let limit = meter.accuracy.fraction() * volts + f64::from(meter.digits) * meter.resolution.volts();
        Reading::steady(Volts::new(((volts + draw.within(limit)) / 0.01).round() * 0.01))
    };
    for (seed, own) in [(11, true), (12, false)] {
        let filter = alignment("butterworth", 24, None);
        let covered = share(seed, |draw| {
            let shared = (!own).then(|| SharedReference { reading: read(draw, 8.0), tone: Hertz::new(27.0) });
            let pairs: Vec<Pair> = [18.0, 22.0, 27.0, 31.0]
                .iter()
                .map(|tone| Pair {
                    tone: Hertz::new(*tone),
                    reading: read(draw, volts(filter, *tone)),
                    reference: own.then(|| read(draw, 8.0)),
                })
                .collect();
            let fit = Fit::of(&pairs, shared, None, meter, [filter]).unwrap();
            (fit.corner.hz() - CORNER.hz()).abs() <= fit.uncertainty.hz()
        });
        assert!((0.94..=0.99).contains(&covered), "own references {own}: {covered}");
    }
}
