//! The tolerance window, the accept zone inside it, and the verdict on a reading.

use std::fmt;

use serde::{Deserialize, Serialize};

use crate::quantity::Volts;

/// Volts between which the filter stands as wanted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Window {
    /// The lower end.
    pub low: Volts,
    /// The upper end.
    pub high: Volts,
}

/// The window less the guard band: where a reading stands inside, the meter's uncertainty included.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum AcceptZone {
    /// Between these volts.
    Between(Volts, Volts),
    /// The guard bands meet: no reading can be shown to be inside.
    Empty,
}

impl AcceptZone {
    /// The lower end, where there is one.
    pub const fn low(self) -> Option<Volts> {
        match self {
            Self::Between(low, _) => Some(low),
            Self::Empty => None,
        }
    }

    /// The upper end, where there is one.
    pub const fn high(self) -> Option<Volts> {
        match self {
            Self::Between(_, high) => Some(high),
            Self::Empty => None,
        }
    }

    fn holds(self, volts: Volts) -> bool {
        matches!(self, Self::Between(low, high) if low <= volts && volts <= high)
    }
}

impl Window {
    /// The window shrunk at both ends by the expanded uncertainty: guarded acceptance with w = U (JCGM 106:2012;
    /// ILAC-G8:09/2019, section 4).
    pub fn guarded(self, expanded: Volts) -> AcceptZone {
        let low = Volts::new(self.low.volts() + expanded.volts());
        let high = Volts::new(self.high.volts() - expanded.volts());
        if low <= high { AcceptZone::Between(low, high) } else { AcceptZone::Empty }
    }

    /// The verdict on a reading.
    pub fn verdict(self, zone: AcceptZone, reading: Volts) -> Verdict {
        if reading > self.high {
            Verdict::Above
        } else if reading < self.low {
            Verdict::Below
        } else if zone.holds(reading) {
            Verdict::Inside
        } else {
            Verdict::Borderline
        }
    }
}

/// What a reading says of the knob. `Above` and `Below` speak of the voltage.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Verdict {
    /// In the accept zone.
    Inside,
    /// In the window, but the meter's uncertainty reaches out of it.
    Borderline,
    /// Too many volts: the corner is still too low; turn it up.
    Above,
    /// Too few volts: the corner is too high; turn it down.
    Below,
}

impl Verdict {
    /// Every verdict.
    pub const ALL: [Self; 4] = [Self::Inside, Self::Borderline, Self::Above, Self::Below];

    /// The word.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Inside => "inside",
            Self::Borderline => "borderline",
            Self::Above => "above",
            Self::Below => "below",
        }
    }
}

impl fmt::Display for Verdict {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Window 12.70653 to 15.50704 V guarded by U = 0.04301 V: 12.74954 to 15.46403 V (computed by a separate
    /// reference program from the guard band rule of JCGM 106:2012).
    #[test]
    fn the_accept_zone_is_the_window_less_the_guard_band() {
        let window = Window { low: Volts::new(12.70653), high: Volts::new(15.50704) };
        let zone = window.guarded(Volts::new(0.04301));
        assert!((zone.low().unwrap().volts() - 12.74954).abs() < 1e-9);
        assert!((zone.high().unwrap().volts() - 15.46403).abs() < 1e-9);
    }

    #[test]
    fn a_verdict_for_every_place() {
        let window = Window { low: Volts::new(5.0), high: Volts::new(6.0) };
        let zone = window.guarded(Volts::new(0.1));
        for (volts, verdict) in [
            (4.99, Verdict::Below),
            (5.0, Verdict::Borderline),
            (5.09, Verdict::Borderline),
            (5.5, Verdict::Inside),
            (5.95, Verdict::Borderline),
            (6.01, Verdict::Above),
        ] {
            assert_eq!(window.verdict(zone, Volts::new(volts)), verdict, "{volts} V");
        }
        let none = window.guarded(Volts::new(0.6));
        assert_eq!(none, AcceptZone::Empty);
        assert_eq!(window.verdict(none, Volts::new(5.5)), Verdict::Borderline);
    }
}
