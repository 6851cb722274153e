//! What a driver is mounted in.

use crate::quantity::{Hertz, Litres};

/// The Q of a vented box's leakage where nobody knows better (Small, "Vented-Box Loudspeaker Systems", Part I, J. Audio
/// Eng. Soc. 21, 1973; from memory).
pub const USUAL_LEAKAGE_Q: f64 = 7.0;

/// What a driver is mounted in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Enclosure {
    /// Nothing that pushes back.
    FreeAir,
    /// A closed box.
    Sealed {
        /// Net volume.
        volume: Litres,
        /// Q of its leakage at the resonance of driver and box; lossless without.
        leakage_q: Option<f64>,
    },
    /// A box with a port.
    Vented {
        /// Net volume.
        volume: Litres,
        /// The frequency at which port and box resonate.
        tuning: Hertz,
        /// Q of its leakage at the tuning.
        leakage_q: f64,
    },
}

impl Enclosure {
    /// Every kind as a word for files.
    pub const KINDS: [&str; 3] = ["sealed", "vented", "free-air"];

    /// The kind as a word.
    pub const fn kind(self) -> &'static str {
        match self {
            Self::Sealed { .. } => "sealed",
            Self::Vented { .. } => "vented",
            Self::FreeAir => "free-air",
        }
    }

    /// The tuning of a vented box.
    pub const fn tuning(self) -> Option<Hertz> {
        match self {
            Self::Vented { tuning, .. } => Some(tuning),
            Self::FreeAir | Self::Sealed { .. } => None,
        }
    }
}
