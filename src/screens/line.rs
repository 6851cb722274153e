//! Lines of text with an emphasis that a terminal may show and that no meaning depends on.

/// The widest a screen gets.
pub const WIDEST: usize = 80;
/// The narrowest it is laid out for; a smaller window wraps by itself.
const NARROWEST: usize = 40;

/// How a line stands out, where colour is on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Emphasis {
    /// As any other.
    Plain,
    /// A heading or a number to look at.
    Strong,
    /// Less important.
    Faint,
    /// Good news.
    Good,
    /// To be minded.
    Warn,
}

/// A line of a screen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Line {
    /// The text, harmless to a terminal.
    pub text: String,
    /// The emphasis.
    pub emphasis: Emphasis,
}

/// How screens are laid out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Screen {
    width: usize,
    plain: bool,
}

impl Screen {
    /// A screen of this many columns, at most [`WIDEST`]. A plain one has no large letters and no gauge.
    pub fn new(columns: usize, plain: bool) -> Self {
        Self { width: columns.clamp(NARROWEST, WIDEST), plain }
    }

    /// Columns to fill.
    pub const fn width(self) -> usize {
        self.width
    }

    /// Whether large letters and drawings are left out.
    pub const fn is_plain(self) -> bool {
        self.plain
    }

    /// A paragraph, wrapped, every line indented.
    pub fn paragraph(self, indent: usize, emphasis: Emphasis, text: &str) -> Vec<Line> {
        self.hanging(&" ".repeat(indent), &" ".repeat(indent), emphasis, text)
    }

    /// A paragraph behind a mark, its further lines indented to match.
    pub fn item(self, mark: &str, emphasis: Emphasis, text: &str) -> Vec<Line> {
        self.hanging(mark, &" ".repeat(mark.chars().count()), emphasis, text)
    }

    /// A name and what belongs to it, in two columns.
    pub fn row(self, name: &str, text: &str) -> Vec<Line> {
        const NAME: usize = 14;
        self.item(&format!("  {name:<NAME$} "), Emphasis::Plain, text)
    }

    fn hanging(self, first: &str, rest: &str, emphasis: Emphasis, text: &str) -> Vec<Line> {
        let options = textwrap::Options::new(self.width)
            .initial_indent(first)
            .subsequent_indent(rest)
            .word_splitter(textwrap::WordSplitter::NoHyphenation);
        textwrap::wrap(&units_held(text), options)
            .into_iter()
            .map(|text| Line { text: text.replace(HELD, " "), emphasis })
            .collect()
    }
}

/// Between a number and what is uncertain about it.
const PLUS_MINUS: &str = "+-";
/// A space at which no line is broken.
const HELD: char = '\u{a0}';

/// Holds a number, its uncertainty and its unit together: no line ends between `27.0` and `Hz`.
pub fn units_held(text: &str) -> String {
    const UNITS: [&str; 12] = ["s", "dBFS", "Hz", "V", "dB", "dB/octave", "%", "W", "kW", "ohm", "mm", "l"];
    let mut held = String::with_capacity(text.len());
    for word in text.split(' ') {
        let unit = word.trim_end_matches([',', '.', ';', ':', ')', '?']);
        let after_number = held.ends_with(|last: char| last.is_ascii_digit());
        let keeps = (after_number && UNITS.contains(&unit)) || word == PLUS_MINUS || held.ends_with(PLUS_MINUS);
        if !held.is_empty() || text.starts_with(' ') {
            held.push(if keeps { HELD } else { ' ' });
        }
        held.push_str(word);
    }
    held
}

impl Line {
    /// A line as any other.
    pub fn plain(text: impl Into<String>) -> Self {
        Self { text: text.into(), emphasis: Emphasis::Plain }
    }

    /// A line that stands out.
    pub fn strong(text: impl Into<String>) -> Self {
        Self { text: text.into(), emphasis: Emphasis::Strong }
    }

    /// An empty line.
    pub fn empty() -> Self {
        Self::plain("")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_line_ends_between_a_number_and_its_unit() {
        let text = "a corner of 27.0 +- 0.4 Hz, a tolerance of 3 %, and a reference of 8.00 V (64 W into 4 ohm) is all it needs";
        for columns in 40..=80 {
            let lines = Screen::new(columns, false).paragraph(0, Emphasis::Plain, text);
            assert!(lines.iter().all(|line| !line.text.ends_with(|last: char| last.is_ascii_digit())), "{lines:#?}");
            let joined: Vec<&str> = lines.iter().map(|line| line.text.as_str()).collect();
            assert_eq!(joined.join(" "), text);
        }
    }
}
