//! Air as in Small's papers on closed and vented boxes (J. Audio Eng. Soc. 20, 1972, and 21, 1973; density from memory).

/// Density in kg/m3.
pub const DENSITY: f64 = 1.18;

/// Speed of sound in m/s.
pub const SOUND_SPEED: f64 = 345.0;

/// Stiffness of the air, density times the square of the speed of sound, in Pa.
pub const STIFFNESS: f64 = DENSITY * SOUND_SPEED * SOUND_SPEED;
