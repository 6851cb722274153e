//! The knob: from a place on its dial to the corner.

use crate::quantity::{Hertz, ranges};

/// The dial's far end.
pub(super) const DIAL: f64 = ranges::DIAL.high;
/// Nobody sets a knob finer than this: a hundredth of the dial is a third of a degree of a turn of 300 degrees. Common
/// practice, no source.
const FINEST: f64 = 0.01;

/// How a dial maps to corners.
///
/// ```text
/// ln corner = ln low + g(x) ln(high / low) + lift + tilt x        g(x) = (k^x - 1) / (k - 1)
/// ```
///
/// x: the dial over its length; k: how much denser in octaves the scale is at its low end (1: even); lift and tilt: what
/// the parts' tolerances shift, all over and more towards the high end. The nominal law, which is printed, has neither.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Knob {
    pub low: Hertz,
    pub high: Hertz,
    pub taper: f64,
    pub lift: f64,
    pub tilt: f64,
    /// How far the dial turns before the shaft follows when it is turned the other way.
    pub backlash: f64,
}

impl Knob {
    /// The corner that the print is made for.
    pub fn nominal(&self, dial: f64) -> Hertz {
        let x = dial / DIAL;
        let g = if (self.taper - 1.0).abs() < 1e-9 { x } else { (self.taper.powf(x) - 1.0) / (self.taper - 1.0) };
        self.low.times((g * (self.high.hz() / self.low.hz()).ln()).exp())
    }

    /// The corner where the shaft stands.
    pub fn corner(&self, shaft: f64) -> Hertz {
        self.nominal(shaft).times((self.lift + self.tilt * shaft / DIAL).exp())
    }

    /// The place nearest to one on the dial at which a hand can leave the knob.
    pub fn settable(dial: f64) -> f64 {
        ((dial / FINEST).round() * FINEST).clamp(0.0, DIAL)
    }

    /// Where the shaft comes to stand when the dial is turned: it follows once the play is taken up (the play of
    /// mechanical hysteresis). The stops are the shaft's own.
    pub fn follow(&self, shaft: f64, dial: f64) -> f64 {
        let slack = self.backlash / 2.0;
        if dial <= 0.0 || dial >= DIAL { dial } else { shaft.clamp(dial - slack, dial + slack) }.clamp(0.0, DIAL)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn knob(taper: f64, backlash: f64) -> Knob {
        Knob { low: Hertz::new(10.0), high: Hertz::new(90.0), taper, lift: 0.0, tilt: 0.0, backlash }
    }

    /// An even dial stands at the geometric mean of its ends in mid-travel: 30 of 10 and 90 (algebra). With k = 4 the
    /// middle is a third of the way: 10 x 9^(1/3) = 20.8008.
    #[test]
    fn the_middle_of_the_dial() {
        assert!((knob(1.0, 0.0).corner(5.0).hz() - 30.0).abs() < 1e-9);
        assert!((knob(4.0, 0.0).corner(5.0).hz() - 20.800_838).abs() < 1e-5);
        for taper in [0.1, 1.0, 8.0] {
            assert!((knob(taper, 0.0).corner(0.0).hz() - 10.0).abs() < 1e-9);
            assert!((knob(taper, 0.0).corner(10.0).hz() - 90.0).abs() < 1e-9);
        }
    }

    #[test]
    fn backlash_is_taken_up_before_the_shaft_follows() {
        let knob = knob(1.0, 0.06);
        let up = knob.follow(5.0, 6.0);
        assert!((up - 5.97).abs() < 1e-9);
        assert_eq!(knob.follow(up, 5.95), up, "within the play the shaft stays");
        assert!((knob.follow(up, 5.0) - 5.03).abs() < 1e-9);
        assert_eq!((knob.follow(5.0, 0.0), knob.follow(5.0, 10.0)), (0.0, 10.0));
    }
}
