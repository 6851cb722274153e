//! Quantities as types: a number never travels without its unit.
//!
//! Every quantity holds one finite `f64` in the unit that its accessor names.
//! Units of other sizes (millivolts, kilohertz) exist only where a person types or reads them: see [`super::entry`] and
//! [`super::show`].

use serde::{Deserialize, Deserializer, Serialize, Serializer, de, ser};

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $accessor:ident) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
        pub struct $name(f64);

        impl $name {
            /// Wraps a number that is already in this unit.
            pub const fn new(value: f64) -> Self {
                Self(value)
            }

            /// The number, in the unit of the accessor's name.
            pub const fn $accessor(self) -> f64 {
                self.0
            }
        }

        impl Serialize for $name {
            /// Refuses what JSON cannot hold, so that no `null` stands where a number should. Nought has no sign: the canonical
            /// form has none there, so no digest would tell the two noughts apart.
            fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                if self.0.is_finite() {
                    // The sum of both noughts is the one without a sign.
                    serializer.serialize_f64(self.0 + 0.0)
                } else {
                    Err(ser::Error::custom(concat!(stringify!($name), " is not a finite number")))
                }
            }
        }

        impl<'de> Deserialize<'de> for $name {
            fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                let value = f64::deserialize(deserializer)?;
                if value.is_finite() {
                    Ok(Self(value))
                } else {
                    Err(de::Error::custom(concat!(stringify!($name), " is not a finite number")))
                }
            }
        }
    };
}

quantity!(
    /// A frequency in hertz.
    Hertz, hz
);
quantity!(
    /// A voltage in volts, rms.
    Volts, volts
);
quantity!(
    /// A level difference in decibels: 20 log10 of a ratio of voltages.
    Decibels, db
);
quantity!(
    /// A share in per cent.
    Percent, percent
);
quantity!(
    /// A power in watts.
    Watts, watts
);
quantity!(
    /// A resistance in ohms.
    Ohms, ohms
);

quantity!(
    /// A length of a box or a port in centimetres.
    Centimetres, cm
);
quantity!(
    /// Cone travel in millimetres.
    Millimetres, mm
);
quantity!(
    /// An area in square centimetres.
    SquareCentimetres, cm2
);
quantity!(
    /// A volume in litres.
    Litres, litres
);
quantity!(
    /// An inductance in millihenries.
    Millihenries, mh
);
quantity!(
    /// A mass in grams.
    Grams, grams
);
quantity!(
    /// A length of time in seconds.
    Seconds, seconds
);
quantity!(
    /// A level against the full scale of a file, in dBFS: 0 is a sine whose positive peak is the highest sample.
    FullScale, dbfs
);
quantity!(
    /// A mechanical compliance in millimetres per newton.
    MillimetresPerNewton, mm_per_n
);

impl Percent {
    /// The share as a plain factor: 3 % is 0.03.
    pub const fn fraction(self) -> f64 {
        self.0 / 100.0
    }

    /// Without its sign.
    #[must_use]
    pub const fn magnitude(self) -> Self {
        Self(self.0.abs())
    }
}

impl FullScale {
    /// The peak of a sine at this level, as a share of full scale.
    pub fn share_of_full_scale(self) -> f64 {
        10f64.powf(self.0 / 20.0)
    }
}

impl Hertz {
    /// This frequency times a plain factor.
    pub const fn times(self, factor: f64) -> Self {
        Self(self.0 * factor)
    }

    /// How far this frequency is from the right one, as a share of the right one; above zero where it is higher.
    pub const fn error_against(self, right: Self) -> Percent {
        Percent((self.0 / right.0 - 1.0) * 100.0)
    }

    /// The angular frequency in rad/s: 2 pi f.
    pub const fn angular(self) -> f64 {
        std::f64::consts::TAU * self.0
    }
}

impl Centimetres {
    /// The length in metres.
    pub const fn metres(self) -> f64 {
        self.0 / 100.0
    }
}

impl SquareCentimetres {
    /// The area in square metres.
    pub const fn square_metres(self) -> f64 {
        self.0 / 10_000.0
    }
}

impl Litres {
    /// The volume in cubic metres.
    pub const fn cubic_metres(self) -> f64 {
        self.0 / 1000.0
    }
}

impl Volts {
    /// This voltage times a plain factor.
    pub const fn times(self, factor: f64) -> Self {
        Self(self.0 * factor)
    }

    /// Volts to the ratio of two voltages.
    pub const fn over(self, other: Self) -> f64 {
        self.0 / other.0
    }

    /// How far `self` lies below `reference`: 20 log10(reference / self), positive when lower.
    pub fn down_from(self, reference: Self) -> Decibels {
        Decibels(20.0 * (reference.0 / self.0).log10())
    }

    /// The power that this voltage drives into a resistance: V^2 / R.
    pub const fn power_into(self, load: Ohms) -> Watts {
        Watts(self.0 * self.0 / load.0)
    }
}

impl Decibels {
    /// The ratio of voltages that is this far down: 10^(-dB/20).
    pub fn down_ratio(self) -> f64 {
        10f64.powf(-self.0 / 20.0)
    }
}

impl Watts {
    /// The rms voltage that drives this power into a resistance: sqrt(P R).
    pub fn voltage_across(self, load: Ohms) -> Volts {
        Volts((self.0 * load.0).sqrt())
    }
}
