//! The source: which tones it can play.

use crate::quantity::{Hertz, Refusal, ranges, show};

/// The series R 10 of preferred numbers (ISO 3), by which ISO 266 names thirds of an octave; from memory.
const THIRDS: [f64; 14] = [10.0, 12.5, 16.0, 20.0, 25.0, 31.5, 40.0, 50.0, 63.0, 80.0, 100.0, 125.0, 160.0, 200.0];
/// The series R 20 (ISO 3), every other one of which is in R 10: sixths of an octave; from memory.
const SIXTHS: [f64; 27] = [
    10.0, 11.2, 12.5, 14.0, 16.0, 18.0, 20.0, 22.4, 25.0, 28.0, 31.5, 35.5, 40.0, 45.0, 50.0, 56.0, 63.0, 71.0, 80.0,
    90.0, 100.0, 112.0, 125.0, 140.0, 160.0, 180.0, 200.0,
];

/// The tones of a source.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tones {
    /// Any tone in the range of tones.
    Any,
    /// Tracks a third of an octave apart.
    Thirds,
    /// Tracks a sixth of an octave apart.
    Sixths,
}

impl Tones {
    /// The tones of a fixed list, lowest first; `None` where any can be played.
    pub fn list(self) -> Option<Vec<Hertz>> {
        let list = match self {
            Self::Any => return None,
            Self::Thirds => &THIRDS[..],
            Self::Sixths => &SIXTHS[..],
        };
        Some(list.iter().copied().map(Hertz::new).collect())
    }

    /// The tone nearest to a frequency, by their ratio.
    pub fn nearest(self, wanted: Hertz) -> Hertz {
        let away = |tone: &Hertz| (tone.hz() / wanted.hz()).ln().abs();
        let nearest =
            self.list().and_then(|list| list.into_iter().min_by(|one, other| away(one).total_cmp(&away(other))));
        nearest.unwrap_or_else(|| Hertz::new(wanted.hz().clamp(ranges::TONE.low, ranges::TONE.high)))
    }

    /// The tone as the source plays it.
    ///
    /// # Errors
    /// Where it has none such; names the nearest two.
    pub(super) fn play(self, wanted: Hertz) -> Result<Hertz, Refusal> {
        let given = || if wanted.hz().is_finite() { show::exact_hertz(wanted) } else { "that".to_owned() };
        if !ranges::TONE.contains(wanted.hz()) {
            return Err(Refusal::new("play", given(), "is out of range", ranges::TONE.accepted()));
        }
        let Some(list) = self.list() else { return Ok(wanted) };
        // A track is meant where it is named to the tenth.
        if let Some(tone) = list.iter().find(|tone| (tone.hz() - wanted.hz()).abs() < 0.05) {
            return Ok(*tone);
        }
        let above = list.iter().position(|tone| *tone > wanted).unwrap_or(list.len());
        let beside: Vec<String> = list[above.saturating_sub(1)..list.len().min(above + 1)]
            .iter()
            .map(|tone| show::exact_hertz(*tone))
            .collect();
        let ones = if beside.len() > 1 { "the nearest ones" } else { "the nearest one" };
        let accepted = format!("{ones}, {}", show::list_or(&beside));
        Err(Refusal::new("play", given(), "is not among this source's tones", accepted))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_tone_that_is_not_there_names_its_neighbours() {
        let said =
            |tones: Tones, hz: f64| tones.play(Hertz::new(hz)).map_or_else(|refusal| refusal.to_string(), show::tone);
        assert_eq!(said(Tones::Any, 27.3), "27.3 Hz");
        assert_eq!(said(Tones::Thirds, 31.5), "31.5 Hz");
        assert_eq!(said(Tones::Sixths, 22.4), "22.4 Hz");
        let words = "play: `27 Hz` is not among this source's tones; accepted: the nearest ones, 25 Hz or 31.5 Hz";
        assert_eq!(said(Tones::Thirds, 27.0), words);
        let words = "play: `7 Hz` is not among this source's tones; accepted: the nearest one, 10 Hz";
        assert_eq!(said(Tones::Thirds, 7.0), words);
        assert_eq!(said(Tones::Any, 2.0), "play: `2 Hz` is out of range; accepted: 5 to 200 Hz");
    }

    /// Every list holds equal steps to within what rounding to preferred numbers costs (ISO 3: up to 1.3 %).
    #[test]
    fn lists_are_even() {
        for (tones, per_decade) in [(Tones::Thirds, 10.0), (Tones::Sixths, 20.0)] {
            for (step, tone) in tones.list().unwrap().iter().enumerate() {
                let exact = 10.0 * 10_f64.powf(step as f64 / per_decade);
                assert!((tone.hz() / exact - 1.0).abs() < 0.013, "{tone:?} against {exact}");
            }
        }
    }
}
