//! A stepped sweep.

use crate::quantity::Hertz;

/// Tones of a sweep are whole tenths of a hertz, so that each can be typed as it is shown.
const TENTHS: f64 = 10.0;
/// A last step this near to the sweep's end, as a share, is its end.
const SAME: f64 = 0.01;

/// The tones of a sweep from high to low, so many to the octave; both ends are among them.
///
/// It starts high, where the filter takes off least: the first reading is the largest, shows that everything is connected, and
/// the lowest tone, which moves a cone most, comes last.
pub fn stepped(low: Hertz, high: Hertz, per_octave: u32) -> Vec<Hertz> {
    let steps = (f64::from(per_octave) * (high.hz() / low.hz()).log2()).round() as i32;
    let tenth = |hz: f64| (hz * TENTHS).round() / TENTHS;
    let inner = (1..=steps).map(|step| tenth(high.hz() * (-f64::from(step) / f64::from(per_octave)).exp2()));
    let inner = inner.filter(|hz| *hz > low.hz() * (1.0 + SAME) && *hz < high.hz());
    let mut tones: Vec<Hertz> = std::iter::once(high.hz()).chain(inner).chain([low.hz()]).map(Hertz::new).collect();
    tones.dedup();
    tones
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sweep_goes_down_from_end_to_end() {
        let of = |low, high, per_octave| -> Vec<f64> {
            stepped(Hertz::new(low), Hertz::new(high), per_octave).iter().map(|tone| tone.hz()).collect()
        };
        assert_eq!(of(20.0, 80.0, 1), [80.0, 40.0, 20.0]);
        assert_eq!(of(20.0, 40.0, 3), [40.0, 31.7, 25.2, 20.0]);
        assert_eq!(of(19.0, 40.0, 3), [40.0, 31.7, 25.2, 20.0, 19.0]);
        assert_eq!(of(27.0, 27.0, 3), [27.0]);
        assert_eq!(of(5.0, 200.0, 24).len(), 129);
    }
}
