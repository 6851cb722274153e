//! Every tone that a plan needs, in the order of the work.

use super::checks::checking_tones;
use crate::plan::{DOWN_POINTS, Inputs};
use crate::quantity::{Decibels, Hertz, Volts, ranges};

/// The reference that is reckoned with where none was read: it only decides how far down a meter can still show a tone.
pub const ASSUMED_REFERENCE: Volts = Volts::new(10.0);

/// Tones nearer to each other than this, as a share, are one: half a per cent is 0.2 dB where a filter falls by 24 dB/octave, less
/// than a usual meter is off.
const ONE: f64 = 0.005;
/// dB-down points are whole hundredths of a hertz, as they are shown and typed.
const HUNDREDTHS: f64 = 100.0;

/// What a tone of a plan is for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Purpose {
    /// The knob is set with it.
    Set,
    /// It tells whether the filter is what its label says.
    Check,
    /// The filter, once it stands right, takes off this much.
    Down(Decibels),
}

/// A tone of a plan.
#[derive(Debug, Clone, PartialEq)]
pub struct PlanTone {
    /// The tone.
    pub tone: Hertz,
    /// What it is for, the main thing first.
    pub purposes: Vec<Purpose>,
}

/// The tones of a plan: the one that the knob is set with, those that check the filter, and every dB-down point that lies in
/// range, whether the meter could show it or not. Tones that are as good as the same are one, with all its purposes.
pub fn tones_of(inputs: &Inputs) -> Vec<PlanTone> {
    let corner = inputs.corner.corner();
    let checks = checking_tones(inputs).into_iter().map(|tone| (tone, Purpose::Check));
    let points = DOWN_POINTS.into_iter().filter_map(|down| {
        let tone = inputs.alignment.tone_at_down(corner, down)?;
        let tone = Hertz::new((tone.hz() * HUNDREDTHS).round() / HUNDREDTHS);
        ranges::TONE.contains(tone.hz()).then_some((tone, Purpose::Down(down)))
    });
    let mut tones: Vec<PlanTone> = vec![];
    for (tone, purpose) in std::iter::once((inputs.tone, Purpose::Set)).chain(checks).chain(points) {
        let same = |other: &&mut PlanTone| (tone.hz() / other.tone.hz() - 1.0).abs() < ONE;
        match tones.iter_mut().find(same) {
            Some(other) => other.purposes.push(purpose),
            None => tones.push(PlanTone { tone, purposes: vec![purpose] }),
        }
    }
    tones
}

/// The share of the reference as read that a meter reads at a tone where the filter stands right: what a pocket calculator
/// multiplies the reference by. Where the filter stays in, its part in that reference is reckoned out.
pub fn share_of_reference(inputs: &Inputs, tone: Hertz) -> f64 {
    let reference = inputs.reference;
    let open = reference.true_volts(inputs.alignment, inputs.tone);
    let left = open.times(inputs.alignment.response(tone, inputs.corner.corner()).ratio());
    left.volts() / reference.reading.volts.volts()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::corner::{Mark, Reading, Reference};
    use crate::filter::{Alignment, Family, Slope};
    use crate::meter::{MeterSpec, Tolerance};
    use crate::plan::CornerChoice;

    fn of(family: Family, slope: u32, corner: f64) -> Vec<PlanTone> {
        let alignment = Alignment::new(family, Slope::new(slope).unwrap()).unwrap();
        let corner = Hertz::new(corner);
        tones_of(&Inputs {
            corner: CornerChoice::Own(corner, None),
            alignment,
            reference: Reference { reading: Reading::steady(ASSUMED_REFERENCE), mark: None },
            tone: Inputs::default_tone(alignment, corner),
            tolerance: Tolerance::USUAL,
            meter: MeterSpec::USUAL,
            range_held: true,
        })
    }

    /// Butterworth, 24 dB/octave, 27 Hz: |H|^2 = 1 / (1 + (27/f)^8), so 1 dB down is at 27 x 0.2589254^(-1/8) = 31.9676 Hz, 24 dB
    /// down at 27 x 250.1886^(-1/8) = 13.5391 Hz, and 3 dB down at 27.0163 Hz, which is the corner for all purposes.
    #[test]
    fn the_tones_of_a_plain_plan() {
        let tones = of(Family::Butterworth, 24, 27.0);
        assert_eq!(tones[0].tone, Hertz::new(27.0));
        assert_eq!(tones[0].purposes, [Purpose::Set, Purpose::Down(Decibels::new(3.0))]);
        // Nothing is left open once two tones are read.
        let checks = tones.iter().flat_map(|tone| &tone.purposes).filter(|purpose| **purpose == Purpose::Check).count();
        assert_eq!(checks, 2, "{tones:?}");
        let at = |db: f64| {
            tones.iter().find(|tone| tone.purposes.contains(&Purpose::Down(Decibels::new(db)))).unwrap().tone.hz()
        };
        assert_eq!((at(1.0), at(24.0)), (31.97, 13.54));
    }

    /// So many dB down is 10^(-dB/20) of the voltage, and a Butterworth filter leaves 1/sqrt(2) at its corner. At a mark of half
    /// the corner, 24 dB/octave leave 1/sqrt(1 + 2^-8) of the reference at the corner: every share grows by its inverse.
    #[test]
    fn shares_are_of_the_reference_as_read() {
        let alignment = Alignment::new(Family::Butterworth, Slope::USUAL).unwrap();
        let corner = Hertz::new(27.0);
        let without = Inputs {
            corner: CornerChoice::Own(corner, None),
            alignment,
            reference: Reference { reading: Reading::steady(Volts::new(8.0)), mark: None },
            tone: corner,
            tolerance: Tolerance::USUAL,
            meter: MeterSpec::USUAL,
            range_held: true,
        };
        let mark = Mark { at: Hertz::new(13.5), uncertainty: Mark::USUAL_UNCERTAINTY };
        let with = Inputs { reference: Reference { mark: Some(mark), ..without.reference }, ..without };
        for (inputs, grown) in [(without, 1.0), (with, (1.0 + 2f64.powi(-8)).sqrt())] {
            assert!((share_of_reference(&inputs, corner) - 0.5f64.sqrt() * grown).abs() < 1e-12);
            let downs = tones_of(&inputs).into_iter().filter_map(|tone| match tone.purposes[0] {
                Purpose::Down(down) => Some((tone.tone, down.db())),
                Purpose::Set | Purpose::Check => None,
            });
            for (tone, db) in downs {
                // Tones are whole hundredths of a hertz, half of one being 0.04 % of 13.5 Hz and 0.15 % of the voltage there.
                let expected = 10f64.powf(-db / 20.0) * grown;
                assert!((share_of_reference(&inputs, tone) / expected - 1.0).abs() < 0.0015, "{db} dB");
            }
        }
    }

    #[test]
    fn no_two_tones_are_the_same_and_all_are_in_range() {
        for alignment in Alignment::candidates() {
            for corner in [5.0, 9.0, 27.0, 80.0, 200.0] {
                let tones = of(alignment.family(), alignment.slope().db_per_octave(), corner);
                assert_eq!(tones[0].purposes[0], Purpose::Set);
                for (place, one) in tones.iter().enumerate() {
                    assert!(ranges::TONE.contains(one.tone.hz()));
                    assert!(tones[..place].iter().all(|other| (one.tone.hz() / other.tone.hz() - 1.0).abs() >= ONE));
                }
                // From here on every point lies in range: 24 dB down of 12 dB/octave is a quarter of the corner.
                if (20.5..=60.0).contains(&corner) && alignment.slope().order() > 1 {
                    let purposes = tones.iter().flat_map(|tone| &tone.purposes);
                    let points = purposes.filter(|purpose| matches!(purpose, Purpose::Down(_))).count();
                    assert_eq!(points, DOWN_POINTS.len(), "{alignment}, {corner} Hz");
                }
            }
        }
    }
}
