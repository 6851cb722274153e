//! Amplifiers that nobody makes: what their filter is, what is printed on them, and which meter stands beside.

use cornerset::chance::Chance;
use cornerset::filter::{Alignment, Family, Slope};
use cornerset::quantity::Hertz;

/// Labels and how often they come: what is common on car amplifiers by our own guess, no source.
const FILTERS: [(Family, u32, usize); 8] = [
    (Family::Butterworth, 24, 8),
    (Family::LinkwitzRiley, 24, 4),
    (Family::Butterworth, 12, 3),
    (Family::Butterworth, 18, 2),
    (Family::LinkwitzRiley, 12, 1),
    (Family::Bessel, 24, 1),
    (Family::Butterworth, 36, 1),
    (Family::LinkwitzRiley, 48, 1),
];

/// A meter: name, share of reading, digits, display step, places after the point.
#[derive(Debug, Clone, Copy)]
pub struct Meter {
    pub name: &'static str,
    pub accuracy: &'static str,
    pub digits: &'static str,
    pub resolution: &'static str,
    pub places: usize,
}

const METERS: [Meter; 4] = [
    Meter { name: "Meter 1", accuracy: "0.5 %", digits: "3", resolution: "0.001 V", places: 3 },
    Meter { name: "Meter 2", accuracy: "0.8 %", digits: "4", resolution: "0.01 V", places: 2 },
    Meter { name: "Meter 3", accuracy: "1.0 %", digits: "5", resolution: "0.01 V", places: 2 },
    Meter { name: "Bench meter 4", accuracy: "0.3 %", digits: "5", resolution: "0.001 V", places: 3 },
];

/// A kind of amplifier.
#[derive(Debug, Clone, Copy)]
pub struct Amplifier {
    /// The filter that it is, and that its label says.
    pub filter: Alignment,
    /// Whether the label says the family.
    pub family_printed: bool,
    /// Where the filter stands while the reference is read, where no switch takes it out.
    pub mark: Option<Hertz>,
    /// Rated power and load, where the gain is set in the session.
    pub gain: Option<(u32, u32)>,
    /// The dial's print against the corner.
    pub dial_error: f64,
    /// The meter beside it.
    pub meter: Meter,
}

impl Amplifier {
    /// The amplifier of a number.
    pub fn of(seed: u64, number: u64) -> Self {
        let mut chance = Chance::of(seed, (1 << 40) + number);
        let all: usize = FILTERS.iter().map(|(_, _, often)| often).sum();
        let mut place = chance.below(all);
        let (family, slope, _) = *FILTERS
            .iter()
            .find(|(_, _, often)| {
                let found = place < *often;
                place = place.saturating_sub(*often);
                found
            })
            .expect("a place within all");
        let slope = Slope::new(slope).expect("a slope that there is");
        let meter = if slope.db_per_octave() < 18 { METERS[3 * chance.below(2)] } else { *chance.one_of(&METERS) };
        Self {
            filter: Alignment::new(family, slope).expect("a filter that there is"),
            family_printed: chance.unit() > 0.15,
            mark: (chance.unit() < 0.2).then(|| Hertz::new(15.0 + chance.below(4) as f64)),
            gain: (chance.unit() < 0.3).then(|| (150 + 50 * chance.below(12) as u32, [2, 4][chance.below(2)])),
            dial_error: 1.0 + 0.06 * chance.triangular(),
            meter,
        }
    }

    /// Volts at the output with the filter in.
    pub fn volts(&self, unfiltered: f64, tone: Hertz, corner: Hertz) -> f64 {
        unfiltered * self.filter.response(tone, corner).ratio()
    }

    /// Volts while a reference is read.
    pub fn reference(&self, unfiltered: f64, tone: Hertz) -> f64 {
        self.mark.map_or(unfiltered, |mark| self.volts(unfiltered, tone, mark))
    }
}
