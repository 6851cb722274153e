//! Digests in a narrow window.

/// What stands before the figures of a digest.
const ALGORITHM: &str = "sha256:";
/// Its hexadecimal figures, which stand in two groups where they do not fit beside each other.
const FIGURES: usize = 64;

/// Text in which a digest that would be broken anywhere breaks in the middle; both halves together are taken as a digest.
pub(super) fn breakable(text: &str, room: usize) -> String {
    let halved = |word: &str| {
        let figures = word.strip_prefix(ALGORITHM).filter(|figures| figures.len() == FIGURES && figures.is_ascii())?;
        let (first, second) = figures.split_at(FIGURES / 2);
        (ALGORITHM.len() + FIGURES > room).then(|| format!("{ALGORITHM}{first} {second}"))
    };
    text.split(' ').map(|word| halved(word).unwrap_or_else(|| word.to_owned())).collect::<Vec<_>>().join(" ")
}
