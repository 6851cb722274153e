//! What a manual page says beside the command line's own help: exit codes, files, environment, examples.

mod learning;
mod numbers;
mod program;
mod records;
mod shared;

/// A name and what it means.
pub(super) type Entry = (&'static str, &'static str);

/// What stands on a page beside the help.
#[derive(Debug, Default)]
pub(super) struct Notes {
    /// Paragraphs after those of the help.
    pub description: &'static [&'static str],
    /// Exit codes.
    pub exits: Vec<(u8, &'static str)>,
    /// Paths.
    pub files: Vec<Entry>,
    /// Variables.
    pub environment: Vec<Entry>,
    /// What for, and the command as it is typed. Each is run by `tests/shop_window`.
    pub examples: &'static [Entry],
    /// Pages beside those of the commands above and below.
    pub see_also: &'static [&'static str],
}

impl Notes {
    /// The notes of a page; empty where a command has none, which `tests/shop_window` finds.
    pub fn of(name: &str) -> Self {
        [program::notes, numbers::notes, learning::notes, records::notes]
            .into_iter()
            .find_map(|notes| notes(name))
            .unwrap_or_default()
    }
}
