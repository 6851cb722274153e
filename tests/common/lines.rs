//! The lines of a scripted session, to be changed one by one.

use cornerset::session::Question;

/// `id: answer` lines, kept in the order of the questions.
#[derive(Debug, Clone)]
pub struct Lines(Vec<(String, String)>);

/// What a session must be told: a box tuned to 36 Hz, a corner at 27 Hz, a reference of 8.00 V.
const REQUIRED: [(&str, &str); 9] = [
    ("job", "Work order 0501"),
    ("technician", "A. Sample"),
    ("tuning", "36 Hz"),
    ("slope", "24"),
    ("caution", "understood"),
    ("reference", "8.00"),
    ("reading", "5.66"),
    ("accept", "yes"),
    ("sign-off", "A. Sample"),
];

impl Lines {
    /// The required answers and no others; the reading stands inside.
    pub fn required() -> Self {
        Self(REQUIRED.map(|(id, answer)| (id.to_owned(), answer.to_owned())).to_vec())
    }

    /// With this answer in place of every other one to the question.
    #[must_use]
    pub fn with(self, id: &str, answer: &str) -> Self {
        self.without(id).and(id, answer)
    }

    /// With one more answer to the question.
    #[must_use]
    pub fn and(mut self, id: &str, answer: &str) -> Self {
        let place = |id: &str| Question::from_word(id).unwrap_or_else(|| panic!("{id} is a question"));
        let at = self.0.iter().position(|(other, _)| place(other) > place(id)).unwrap_or(self.0.len());
        self.0.insert(at, (id.to_owned(), answer.to_owned()));
        self
    }

    /// Without any answer to the question.
    #[must_use]
    pub fn without(mut self, id: &str) -> Self {
        self.0.retain(|(other, _)| other != id);
        self
    }

    /// Only what comes before the question.
    #[must_use]
    pub fn before(mut self, id: &str) -> Self {
        let at = self.0.iter().position(|(other, _)| other == id).expect("a line of that question");
        self.0.truncate(at);
        self
    }

    /// Only the question and what comes after it.
    #[must_use]
    pub fn from(mut self, id: &str) -> Self {
        let at = self.0.iter().position(|(other, _)| other == id).expect("a line of that question");
        self.0.drain(..at);
        self
    }

    /// The number of the first line of the question, from 1.
    pub fn number(&self, id: &str) -> usize {
        1 + self.0.iter().position(|(other, _)| other == id).expect("a line of that question")
    }

    /// The ids and answers.
    pub fn pairs(&self) -> &[(String, String)] {
        &self.0
    }

    /// The script.
    pub fn text(&self) -> String {
        self.0.iter().map(|(id, answer)| format!("{id}: {answer}\n")).collect()
    }
}
