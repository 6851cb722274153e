//! The tuning that a voltmeter says: with a resistor in series, the volts across a vented box's terminals follow its
//! impedance, which has two peaks; the tuning is the minimum between them.

use super::budget::{Budget, within};
use super::curve::{Curve, Trend};
use super::hookup::{Hookup, ToneReading};
use super::minimum::{Minimum, NEAR};
use crate::corner::Reading;
use crate::quantity::{Hertz, Ohms, Refusal, Volts, ranges, show};

/// Leakage moves the minimum off the tuning, below it where the box is tuned above the driver's resonance: by 1.5 % where
/// QL is 7 and the tuning 1.2 fs (Small, Vented-Box Loudspeaker Systems Part I, J. Audio Eng. Soc. 21 (Jun 1973), reckoned
/// by its circuit), by up to 2 % in most boxes from QL 5 up. A limit; it is not corrected.
const LEAKAGE_LIMIT: f64 = 0.02;
/// A voice coil's inductance over its resistance, in seconds, is rarely more: 0.6 mH per ohm. Common practice, no source.
const COIL_SECONDS: f64 = 0.6e-3;
/// The most that the inductance is taken to move a minimum, where the curve is too flat to say.
const COIL_LIMIT: f64 = 0.15;
/// How far the least voltage may be from the least impedance because the series resistor is no current source, per share
/// of the box in the two. Found by sweeps of simulated boxes; own work, no source.
const SERIES_LIMIT: f64 = 0.05;
/// Above this share of the source, readings are the source's: the series resistor is below a ninth of the impedance.
const NEAR_SOURCE: f64 = 0.9;
/// A series resistor below so many times the least impedance is worth a word; ten times is asked for.
const FAINT_RESISTOR: f64 = 5.0;
/// A vented box's peaks stand well above the minimum; below this ratio it is hardly one. Common practice, no source.
const FAINT_PEAK: f64 = 1.3;
/// The share of the tuning from which what readings leave open is worth a word (k = 2).
const MENDABLE: f64 = 0.03;
/// So many tones near the minimum show it well.
const ENOUGH_NEAR: usize = 3;
/// Two peaks, the minimum, and a fall beyond either peak.
const FEWEST: usize = 5;
/// Where no two peaks are seen, readings that span fewer display steps than this are to blame.
const FEWEST_STEPS: f64 = 12.0;

/// What a sweep says.
#[derive(Debug, Clone, PartialEq)]
pub struct ImpedanceTuning {
    /// The tuning: where the impedance is least between its peaks.
    pub tuning: Hertz,
    /// Expanded uncertainty, k = 2.
    pub uncertainty: Hertz,
    /// Where that comes from.
    pub budget: Budget,
    /// The lower peak.
    pub lower_peak: Hertz,
    /// The upper peak.
    pub upper_peak: Hertz,
    /// The impedance at the minimum.
    pub minimum: Ohms,
    /// How many tones were read.
    pub tones: usize,
    /// What to mind, a sentence each.
    pub warnings: Vec<String>,
}

/// Why readings say no tuning.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("{}; accepted: {}", self.problem(), self.remedy())]
pub enum NoTuning {
    /// Fewer tones than a curve with two peaks has places.
    TooFew(usize),
    /// The resistor takes none of the source's volts.
    SameAsSource(Volts),
    /// The meter's last digit is nearly all that moves.
    NothingMoves,
    /// The curve comes down from a peak below the lowest tone.
    LowerPeakBelow(Hertz),
    /// The curve goes up to a peak above the highest tone.
    UpperPeakAbove(Hertz),
    /// One peak, and falls on either side.
    OnePeak(Hertz),
    /// More peaks than a vented box has.
    ManyPeaks(Vec<Hertz>),
}

impl NoTuning {
    /// What is wrong, as a sentence without a full stop.
    pub fn problem(&self) -> String {
        match self {
            Self::TooFew(count) => {
                format!("{} cannot show two peaks and the minimum between them", show::plural(*count, "tone"))
            }
            Self::SameAsSource(source) => format!(
                "every reading is nearly the source's {}, so the series resistor is too small for this box",
                volts(*source)
            ),
            Self::NothingMoves => {
                "the readings span only a few steps of the meter's last digit, too few to see two peaks".to_owned()
            }
            Self::LowerPeakBelow(lowest) => format!(
                "the readings still rise towards the lowest tone, {}, so the lower peak lies below it",
                show::tone(*lowest)
            ),
            Self::UpperPeakAbove(highest) => format!(
                "the readings still rise towards the highest tone, {}, so the upper peak lies above it",
                show::tone(*highest)
            ),
            Self::OnePeak(peak) => format!(
                "the readings have one peak only, near {}: a sealed box has no other, and a vented one has its other \
                 peak outside these tones or hidden between two of them",
                show::hertz(*peak)
            ),
            Self::ManyPeaks(peaks) => {
                let shown: Vec<String> = peaks.iter().map(|peak| show::hertz(*peak)).collect();
                format!(
                    "the readings have {} peaks, near {}, where a vented box has two: a reading is mistyped, or the \
                     meter or the source is unsteady",
                    peaks.len(),
                    show::list_and(&shown)
                )
            }
        }
    }

    /// What would say a tuning.
    pub fn remedy(&self) -> String {
        let (low, high) = (ranges::TONE.low, ranges::TONE.high);
        let by_dimensions = "a tuning by dimensions: no tone beyond is read here".to_owned();
        match self {
            Self::TooFew(_) => {
                format!("at least {FEWEST} tones, better 10 to 14, from below the lower peak to above the upper one")
            }
            Self::SameAsSource(_) => "a series resistor of ten times the voice coil's dc resistance or more".to_owned(),
            Self::NothingMoves => {
                "more volts at the source, a meter range with finer steps, or a smaller series resistor, of still ten \
                 times the voice coil's dc resistance"
                    .to_owned()
            }
            Self::LowerPeakBelow(lowest) if lowest.hz() <= low => by_dimensions,
            Self::LowerPeakBelow(_) => format!("readings at lower tones too, down to {low} Hz"),
            Self::UpperPeakAbove(highest) if highest.hz() >= high => by_dimensions,
            Self::UpperPeakAbove(_) => format!("readings at higher tones too, up to {high} Hz"),
            Self::OnePeak(_) => format!("readings over {}, closer together near the peak", ranges::TONE.accepted()),
            Self::ManyPeaks(_) => "the doubtful tones read again".to_owned(),
        }
    }

    /// Whether resistor, source or meter must change before other readings can say more.
    pub const fn is_of_the_hookup(&self) -> bool {
        matches!(self, Self::SameAsSource(_) | Self::NothingMoves)
    }

    /// What keeps this curve from saying a tuning.
    pub(super) fn of(hookup: &Hookup, curve: &Curve) -> Self {
        let Some((lowest, highest)) = curve.ends() else {
            return Self::TooFew(0);
        };
        if near_source(hookup, curve) {
            return Self::SameAsSource(hookup.source);
        }
        if curve.points.len() < FEWEST {
            return Self::TooFew(curve.points.len());
        }
        let volts = || curve.points.iter().map(|point| point.volts);
        let span = volts().fold(0.0, f64::max) - volts().fold(f64::INFINITY, f64::min);
        if span < FEWEST_STEPS * hookup.meter.resolution.volts() {
            return Self::NothingMoves;
        }
        let peaks = &curve.shape.peaks;
        match (peaks.as_slice(), curve.shape.start, curve.shape.end) {
            ([_, _, ..], ..) => Self::ManyPeaks(peaks.iter().map(|peak| curve.peak(*peak)).collect()),
            (_, Some(Trend::Falling), _) => Self::LowerPeakBelow(lowest),
            // Up to the end of the range a peak would have shown; there it is the coil's inductance that rises.
            (_, _, Some(Trend::Rising)) if peaks.is_empty() || highest.hz() < ranges::TONE.high => {
                Self::UpperPeakAbove(highest)
            }
            ([peak], ..) => Self::OnePeak(curve.peak(*peak)),
            ([], ..) => Self::NothingMoves,
        }
    }
}

/// The source's volts, to every digit that was given.
fn volts(source: Volts) -> String {
    format!("{} V", source.volts())
}

/// Refuses a reading that is not below the source's volts: the series resistor takes some of them.
///
/// # Errors
/// With `given` as it was typed.
pub fn check_below_source(source: Volts, reading: Reading, given: &str) -> Result<(), Refusal> {
    if reading.volts < source {
        return Ok(());
    }
    let problem = format!("is not below the source's {}, as a series resistor large enough leaves it", volts(source));
    let accepted = "the volts across the box's terminals, behind the series resistor";
    Err(Refusal::new(ranges::READING.field, given, problem, accepted))
}

/// The display step that readings show: the coarsest decimal one of which all are whole multiples, at most the usual one
/// of 0.01 V.
pub fn display_step(readings: impl IntoIterator<Item = Volts> + Clone) -> Volts {
    let steps = [0.01, 0.001, 0.000_1, 0.000_01];
    let holds = |step: &f64| {
        readings.clone().into_iter().all(|volts| {
            let count = volts.volts() / step;
            (count - count.round()).abs() < 1e-6 * count.max(1.0)
        })
    };
    Volts::new(steps.into_iter().find(holds).unwrap_or(ranges::METER_RESOLUTION.low))
}

impl ImpedanceTuning {
    /// Finds the minimum between two peaks.
    ///
    /// # Errors
    /// See [`NoTuning`].
    pub fn of(hookup: &Hookup, readings: &[ToneReading]) -> Result<Self, NoTuning> {
        Self::of_curve(hookup, &Curve::of(hookup, readings))
    }

    pub(super) fn of_curve(hookup: &Hookup, curve: &Curve) -> Result<Self, NoTuning> {
        let [lower, upper] = curve.shape.peaks[..] else {
            return Err(NoTuning::of(hookup, curve));
        };
        let between = &curve.points[lower..=upper];
        let minimum = Minimum::between(between);
        let budget = minimum.budget(hookup);
        let peaks = [lower, upper].map(|at| hookup.impedance(Volts::new(curve.points[at].volts)));
        let lower_of_peaks = if peaks[0] < peaks[1] { peaks[0] } else { peaks[1] };
        Ok(Self {
            tuning: minimum.tone,
            uncertainty: budget.expanded(minimum.tone),
            warnings: warnings(hookup, &minimum, lower_of_peaks, &budget),
            budget,
            lower_peak: curve.peak(lower),
            upper_peak: curve.peak(upper),
            minimum: minimum.impedance,
            tones: curve.points.len(),
        })
    }
}

/// The parts of the budget, by their places.
const METER: usize = 0;
const SPACING: usize = 1;

impl Minimum {
    /// How well the tuning is known by it: as a minimum of these readings, and as the tuning.
    ///
    /// The inductance L of the voice coil adds w L to a reactance that passes through zero with the slope s |Z| per ln f,
    /// s = sqrt(d2 ln |Z| / d (ln f)2), and so moves the minimum down by w L / (s |Z|).
    fn budget(&self, hookup: &Hookup) -> Budget {
        let coil = (self.tone.angular() * COIL_SECONDS / self.curvature.sqrt()).min(COIL_LIMIT);
        let series = SERIES_LIMIT * self.impedance.ohms() / (hookup.series.ohms() + self.impedance.ohms());
        Budget::of([
            ("meter", self.meter),
            ("spacing of the tones", self.spacing),
            ("leakage of the box", within(LEAKAGE_LIMIT)),
            ("inductance of the coil", within(coil)),
            ("series resistor", within(series)),
        ])
    }
}

fn warnings(hookup: &Hookup, minimum: &Minimum, lower_of_peaks: Ohms, budget: &Budget) -> Vec<String> {
    let mut warnings = vec![];
    let least = minimum.impedance;
    if least.ohms() * FAINT_PEAK > lower_of_peaks.ohms() {
        warnings.push(format!(
            "The minimum, {}, is hardly below the lower of the peaks, {}: check that it is one, and that it is near the \
             voice coil's dc resistance.",
            show::ohms(least),
            show::ohms(lower_of_peaks)
        ));
    }
    if hookup.series.ohms() < FAINT_RESISTOR * least.ohms() {
        warnings.push(format!(
            "The series resistor is only {:.1} times the impedance at the minimum; ten times and more shows the curve \
             clearer.",
            hookup.series.ohms() / least.ohms()
        ));
    }
    let share = |part: usize| budget.parts()[part].share.fraction();
    let is_mendable = share(METER).hypot(share(SPACING)) > MENDABLE;
    if is_mendable && minimum.tones_near < ENOUGH_NEAR {
        let [below, above] = [-NEAR, NEAR].map(|offset| Hertz::new((minimum.tone.hz() * offset.exp()).round()));
        warnings.push(format!(
            "The tones lie far apart about the minimum: readings near {} and {} would say more.",
            show::hertz(below),
            show::hertz(above)
        ));
    } else if is_mendable {
        warnings.push(
            "The meter's last digit is coarse for these readings: a finer range, or more volts at the source, would say \
             more."
                .to_owned(),
        );
    }
    warnings
}

/// Whether every reading is nearly the source's.
pub(super) fn near_source(hookup: &Hookup, curve: &Curve) -> bool {
    curve.points.iter().all(|point| point.volts > NEAR_SOURCE * hookup.source.volts())
}
