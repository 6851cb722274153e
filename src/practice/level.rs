//! From friendly to nasty.

/// How hard a simulated bench is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Level {
    /// Everything is what it says, any tone can be played, the filter can be switched out.
    Friendly,
    /// The usual bench: a dial that is not even, a knob that is not what its print says, fixed tones, a label without a family.
    Usual,
    /// A filter that stays in, a meter that droops below its band and whose digits hunt.
    Awkward,
    /// All of it, and a label that is wrong.
    Nasty,
}

impl Level {
    /// Every level, the easiest first.
    pub const ALL: [Self; 4] = [Self::Friendly, Self::Usual, Self::Awkward, Self::Nasty];

    /// The word by which it is named.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Friendly => "friendly",
            Self::Usual => "usual",
            Self::Awkward => "awkward",
            Self::Nasty => "nasty",
        }
    }
}
