//! A bench's name: its level and its seed, so that its name is all that it takes to build it again.

use super::bench::Bench;
use super::level::Level;
use crate::chance::MOST_SEED;

/// The head of every such name.
const HEAD: &str = "simulated";

impl Bench {
    /// The name under which its sessions are kept: `simulated friendly 421`.
    pub fn name(&self) -> String {
        format!("{HEAD} {} {}", self.level().word(), self.seed())
    }

    /// The bench of a name, as it stands before anything was moved; `None` where that is no name of a simulated one.
    pub fn from_name(name: &str) -> Option<Self> {
        let mut words = name.split(' ');
        let (head, level, seed) = (words.next()?, words.next()?, words.next()?);
        let level = Level::ALL.into_iter().find(|known| known.word() == level)?;
        let seed = seed.parse().ok().filter(|seed| *seed <= MOST_SEED)?;
        (head == HEAD && words.next().is_none()).then(|| Self::new(level, seed))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_builds_the_bench_again() {
        for level in Level::ALL {
            let bench = Bench::new(level, 421);
            assert_eq!(Bench::from_name(&bench.name()), Some(bench));
        }
        for none in
            ["bench", "simulated", "simulated usual", "simulated usual x", "simulated easy 1", "simulated usual 1 1"]
        {
            assert_eq!(Bench::from_name(none), None, "{none}");
        }
        assert_eq!(Bench::from_name("simulated usual 10000"), None);
    }
}
