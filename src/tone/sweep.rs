//! A stepped sweep.

use crate::quantity::Hertz;

/// Tones of a sweep are whole tenths of a hertz, so that each can be typed as it is shown.
const TENTHS: f64 = 10.0;

/// The tones of a sweep from high to low, so many to the octave; both ends are among them. A step that would lie nearer to the
/// low end than half a step is left out: it says nothing that the end does not.
///
/// It starts high, where the filter takes off least: the first reading is the largest, shows that everything is connected, and
/// the lowest tone, which moves a cone most, comes last.
pub fn stepped(low: Hertz, high: Hertz, per_octave: u32) -> Vec<Hertz> {
    // The last whole step is within half a step of the low end, and that end stands for it.
    let steps = (f64::from(per_octave) * (high.hz() / low.hz()).log2()).round() as u32;
    let tenth = |hz: f64| (hz * TENTHS).round() / TENTHS;
    let inner = (1..steps).map(|step| tenth(high.hz() * (-f64::from(step) / f64::from(per_octave)).exp2()));
    let mut tones: Vec<Hertz> = std::iter::once(high.hz()).chain(inner).chain([low.hz()]).map(Hertz::new).collect();
    tones.dedup();
    tones
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn of(low: f64, high: f64, per_octave: u32) -> Vec<f64> {
        stepped(Hertz::new(low), Hertz::new(high), per_octave).iter().map(|tone| tone.hz()).collect()
    }

    #[test]
    fn a_sweep_goes_down_from_end_to_end() {
        assert_eq!(of(20.0, 80.0, 1), [80.0, 40.0, 20.0]);
        assert_eq!(of(20.0, 40.0, 3), [40.0, 31.7, 25.2, 20.0]);
        assert_eq!(of(19.0, 40.0, 3), [40.0, 31.7, 25.2, 19.0]);
        assert_eq!(of(27.0, 27.0, 3), [27.0]);
        // Half of the high end is 50.3 Hz, and 15.9 Hz is seven thirds of an octave below 80 Hz.
        assert_eq!(of(50.0, 100.6, 1), [100.6, 50.0]);
        assert_eq!(of(15.0, 80.0, 3), [80.0, 63.5, 50.4, 40.0, 31.7, 25.2, 20.0, 15.0]);
        assert_eq!(of(26.0, 27.0, 3), [27.0, 26.0]);
        assert_eq!(of(5.0, 200.0, 24).len(), 129);
    }

    proptest! {
        /// From step to step the ratio is that of a step, but for rounding to a tenth; the last one is between half of a step
        /// and one and a half.
        #[test]
        fn no_step_is_less_than_half_of_one(low in 5.0f64..=200.0, share in 0.0f64..=1.0, per_octave in 1u32..=24) {
            let high = low + share * (200.0 - low);
            let tones = of(low, high, per_octave);
            let step = |pair: &[f64]| f64::from(per_octave) * (pair[0] / pair[1]).log2();
            let blur = |pair: &[f64]| 0.1 / pair[1] * f64::from(per_octave) / std::f64::consts::LN_2;
            let steps: Vec<(f64, f64)> = tones.windows(2).map(|pair| (step(pair), blur(pair))).collect();
            if let Some(((last, wide), inner)) = steps.split_last() {
                prop_assert!(inner.iter().all(|(step, blur)| (step - 1.0).abs() <= *blur), "{:?}", tones);
                prop_assert!(*last < 1.5 + wide && (inner.is_empty() || *last > 0.5 - wide), "{:?}", tones);
            }
            prop_assert!(tones.is_sorted_by(|one, other| one > other));
        }
    }
}
