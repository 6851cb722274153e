//! The reference voltage: as read, as it would be with the filter out, and what is uncertain about it.

use crate::filter::Alignment;
use crate::meter::MeterSpec;
use crate::quantity::entry::Typed;
use crate::quantity::{Hertz, Percent, Volts};

/// Coverage factor of every expanded uncertainty: about 95 % (JCGM 100:2008, 6.3.3).
pub const COVERAGE: f64 = 2.0;

/// A voltage as a person read it: one number, or the middle of digits that hunt.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// The number, or the middle of the span, or the mean of the repeats.
    pub volts: Volts,
    /// The standard uncertainty that the span or the repeats add; zero for one number.
    pub spread: Volts,
}

impl Reading {
    /// One steady number.
    pub const fn steady(volts: Volts) -> Self {
        Self { volts, spread: Volts::new(0.0) }
    }

    /// Standard uncertainty relative to the reading: the meter's in this form, and the spread.
    pub fn relative_uncertainty(self, meter: MeterSpec, form: RatioForm) -> f64 {
        let meter = match form {
            RatioForm::CommonGain => meter.common_gain(),
            RatioForm::Full => meter.full(self.volts),
        };
        meter.volts().hypot(self.spread.volts()) / self.volts.volts()
    }
}

impl From<&Typed> for Reading {
    fn from(typed: &Typed) -> Self {
        Self { volts: Volts::new(typed.middle()), spread: Volts::new(typed.spread()) }
    }
}

/// Whether two readings share the meter's gain error, which then cancels in their ratio.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RatioForm {
    /// The same tone on the same range.
    CommonGain,
    /// Another tone, or a range that may have changed between the two.
    Full,
}

/// A filter that cannot be taken out, turned down to a printed mark while the reference is read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mark {
    /// The frequency printed at the mark.
    pub at: Hertz,
    /// How far the print may be off: a limit.
    pub uncertainty: Percent,
}

impl Mark {
    /// How far a print is taken to be off where nobody says otherwise.
    pub const USUAL_UNCERTAINTY: Percent = Percent::new(5.0);
}

/// A reference voltage as read, and the mark the filter stood at where it could not be taken out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reference {
    /// As read.
    pub reading: Reading,
    /// Where the filter stood; `None` where it was out.
    pub mark: Option<Mark>,
}

impl Reference {
    /// What the meter would have read at this tone with the filter out: the reading over the response at the mark.
    pub fn true_volts(self, alignment: Alignment, tone: Hertz) -> Volts {
        match self.mark {
            None => self.reading.volts,
            Some(mark) => Volts::new(self.reading.volts.volts() / alignment.response(tone, mark.at).ratio()),
        }
    }

    /// The trust in the print as a relative standard uncertainty of the true reference; zero with the filter out.
    ///
    /// ```text
    /// u_mark = |d ln|H| / d ln mark| m / sqrt 3
    /// ```
    ///
    /// m: the limit of the print's error as a fraction (JCGM 100:2008, 4.3.7 and 5.1.3).
    pub fn mark_uncertainty(self, alignment: Alignment, tone: Hertz) -> f64 {
        self.mark.map_or(0.0, |mark| {
            alignment.response(tone, mark.at).sensitivity().abs() * mark.uncertainty.fraction() / 3f64.sqrt()
        })
    }

    /// Relative standard uncertainty of a reading over this reference, at a tone: both readings' own and the mark's.
    pub fn ratio_uncertainty(
        self,
        reading: Reading,
        alignment: Alignment,
        tone: Hertz,
        meter: MeterSpec,
        form: RatioForm,
    ) -> f64 {
        reading
            .relative_uncertainty(meter, form)
            .hypot(self.reading.relative_uncertainty(meter, form))
            .hypot(self.mark_uncertainty(alignment, tone))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::filter::{Family, Slope};

    /// Butterworth 24 dB/octave at its 20 Hz mark, 30 Hz tone: the true reference is 1.019323 times the reading
    /// (algebra, computed by a separate reference program).
    #[test]
    fn the_filter_at_its_mark_is_reckoned_out() {
        let filter = Alignment::new(Family::Butterworth, Slope::new(24).unwrap()).unwrap();
        let mark = Mark { at: Hertz::new(20.0), uncertainty: Mark::USUAL_UNCERTAINTY };
        let reference = Reference { reading: Reading::steady(Volts::new(1.0)), mark: Some(mark) };
        let factor = reference.true_volts(filter, Hertz::new(30.0)).volts();
        assert!((factor - 1.019_323).abs() < 5e-7, "{factor}");
    }

    /// 1 % + 3 counts at 0.01 V, 14.1421 V over 20 V: u of the ratio 0.96499 % on its own, 0.15207 % with the common
    /// gain cancelled (computed by a separate reference program from JCGM 100:2008).
    #[test]
    fn a_common_gain_cancels_in_the_ratio() {
        let meter = MeterSpec { accuracy: Percent::new(1.0), digits: 3, resolution: Volts::new(0.01) };
        let filter = Alignment::new(Family::Butterworth, Slope::new(24).unwrap()).unwrap();
        let reference = Reference { reading: Reading::steady(Volts::new(20.0)), mark: None };
        let u = |form| {
            reference.ratio_uncertainty(Reading::steady(Volts::new(14.1421)), filter, Hertz::new(26.25), meter, form)
        };
        assert!((u(RatioForm::Full) - 0.009_649_9).abs() < 5e-8);
        assert!((u(RatioForm::CommonGain) - 0.001_520_7).abs() < 5e-8);
    }
}
