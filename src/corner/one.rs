//! The corner that one reading says.

use super::reference::{COVERAGE, RatioForm, Reading, Reference};
use crate::filter::{Alignment, Corners};
use crate::meter::MeterSpec;
use crate::quantity::{Hertz, Percent, show};

/// Where 1 % of voltage moves the corner by more than this, the tone says too little to set a corner by.
pub const FAR_ABOVE_PERCENT: Percent = Percent::new(5.0);

/// What one reading says of the corner.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CornerSaid {
    /// The corner, or corners.
    pub corners: Corners,
    /// Expanded uncertainty, k = 2, from the meter and the mark; `None` where there is not exactly one corner.
    pub uncertainty: Option<Hertz>,
}

/// The corner at which this filter would leave this reading, and how well the meter knows it.
///
/// `reference_tone` is where the reference was read; it matters where the filter stood at a mark.
///
/// ```text
/// U(corner) = 2 corner u(ratio) / |d ln|H| / d ln corner|
/// ```
pub fn corner_from_reading(
    alignment: Alignment,
    tone: Hertz,
    reading: Reading,
    reference: Reference,
    reference_tone: Hertz,
    meter: MeterSpec,
    form: RatioForm,
) -> CornerSaid {
    let corners = alignment.corners_from_volts(tone, reading.volts, reference.true_volts(alignment, reference_tone));
    let uncertainty = corners.single().and_then(|corner| {
        let u = reference.ratio_uncertainty(reading, alignment, reference_tone, meter, form);
        let expanded = COVERAGE * corner.hz() * u / alignment.response(tone, corner).sensitivity().abs();
        expanded.is_finite().then(|| Hertz::new(expanded))
    });
    CornerSaid { corners, uncertainty }
}

/// By how many per cent 1 % of voltage moves the corner, at this tone with the corner here.
pub fn percent_per_percent(alignment: Alignment, tone: Hertz, corner: Hertz) -> Percent {
    Percent::new(alignment.response(tone, corner).sensitivity().abs().recip())
}

/// What to say of a tone that is too far above a corner to set or to know it by; `None` for one that is not.
pub fn far_above(alignment: Alignment, tone: Hertz, corner: Hertz) -> Option<String> {
    let share = percent_per_percent(alignment, tone, corner);
    (share > FAR_ABOVE_PERCENT).then(|| {
        format!(
            "The tone of {} says little about a corner of {}: 1 % of voltage there is {:.0} % of corner; a lower tone \
             says more.",
            show::tone(tone),
            show::hertz(corner),
            share.percent()
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::filter::{Family, Slope};
    use crate::quantity::Volts;

    /// 1 % + 3 counts at 0.01 V, 14.1421 V over 20 V, Butterworth 24: U of the corner 0.9650 % on its own and
    /// 0.1521 % with the common gain cancelled (computed by a separate reference program).
    #[test]
    fn the_uncertainty_of_a_corner() {
        let filter = Alignment::new(Family::Butterworth, Slope::new(24).unwrap()).unwrap();
        let meter = MeterSpec { accuracy: Percent::new(1.0), digits: 3, resolution: Volts::new(0.01) };
        let reference = Reference { reading: Reading::steady(Volts::new(20.0)), mark: None };
        for (form, percent) in [(RatioForm::Full, 0.9650), (RatioForm::CommonGain, 0.1521)] {
            let reading = Reading::steady(Volts::new(14.1421));
            let tone = Hertz::new(26.25);
            let said = corner_from_reading(filter, tone, reading, reference, tone, meter, form);
            let corner = said.corners.single().unwrap().hz();
            let share = said.uncertainty.unwrap().hz() / corner * 100.0;
            assert!((share - percent).abs() < 5e-5, "{share} % against {percent} %");
        }
    }

    /// A 1 % voltage error moves a Butterworth 24 corner by 2/n = 0.5 % at the corner, 6.7 % at 1.5 and 64 % at 2
    /// times the corner (algebra: 1/(d ln V / d ln corner)).
    #[test]
    fn a_tone_far_above_the_corner_says_little() {
        let filter = Alignment::new(Family::Butterworth, Slope::new(24).unwrap()).unwrap();
        let at = |x: f64| percent_per_percent(filter, Hertz::new(27.0 * x), Hertz::new(27.0)).percent();
        assert!((at(1.0) - 0.5).abs() < 1e-12);
        assert!((at(1.5) - 6.7).abs() < 0.05);
        assert!((at(2.0) - 64.0).abs() < 0.5);
    }
}
