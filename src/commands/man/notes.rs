//! What the help does not say.

#[derive(Debug, Default)]
pub(super) struct Notes {
    pub description: &'static [&'static str],
    pub exits: Vec<(u8, &'static str)>,
    pub files: Vec<(&'static str, &'static str)>,
    pub environment: Vec<(&'static str, &'static str)>,
    pub examples: &'static [(&'static str, &'static str)],
    pub see_also: &'static [&'static str],
}

impl Notes {
    pub fn of(_name: &str) -> Self {
        Self::default()
    }
}
