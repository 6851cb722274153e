//! What can be learnt.

/// What an exercise trains.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Skill {
    /// Volts and decibels, 20 log.
    Ratio,
    /// Power and decibels, 10 log; drive voltage.
    Power,
    /// Octaves, half octaves, corners from a tuning.
    Octave,
    /// Slope, family, and what is left at a tone.
    Slope,
    /// What the cone does, and which way the knob protects it.
    Cone,
    /// Digits, counts, limits of error.
    Meter,
    /// Tolerance window, guard band, verdict, which way to turn.
    Window,
    /// A filter that stays in, a tone off the corner, a family that is another one.
    Traps,
    /// Safety at the bench.
    Safety,
}
