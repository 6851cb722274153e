//! A manual page as text in the `man` macros, which both mandoc and groff read.

/// As wide as lines of the source are; readers fill them anew.
const WIDTH: usize = 76;

/// A page that is being written.
#[derive(Debug, Default)]
pub(super) struct Roff {
    text: String,
}

impl Roff {
    /// The page's name, section 1, date, and where it comes from.
    pub fn title(&mut self, name: &str, date: &str, source: &str) {
        self.macro_line(&format!(
            ".TH \"{}\" \"1\" \"{date}\" \"{source}\" \"User Commands\"",
            escaped(&name.to_uppercase())
        ));
    }

    /// A section.
    pub fn section(&mut self, name: &str) {
        self.macro_line(&format!(".SH \"{name}\""));
    }

    /// A part of a section.
    pub fn part(&mut self, name: &str) {
        self.macro_line(&format!(".SS \"{}\"", escaped(name)));
    }

    /// The line from which the index of manual pages is made.
    pub fn name(&mut self, name: &str, what: &str) {
        self.words(&[&escaped(name), "\\-", &marked(what)].join(" "));
    }

    /// How a command is called: its name, then its arguments, each of which stays on a line.
    pub fn synopsis(&mut self, command: &str, arguments: &[String]) {
        self.macro_line(&format!(".SY \"{}\"", escaped(command)));
        arguments.iter().for_each(|argument| self.macro_line(argument));
        self.macro_line(".YS");
    }

    /// Paragraphs, an empty line between each two.
    pub fn paragraphs(&mut self, text: &str) {
        for (index, paragraph) in text.split("\n\n").enumerate() {
            if index > 0 {
                self.macro_line(".PP");
            }
            self.words(&marked(paragraph));
        }
    }

    /// A term, already marked up, and what it means; its paragraphs stay under it.
    pub fn item(&mut self, term: &str, meaning: &str) {
        self.macro_line(".TP");
        self.macro_line(term);
        for (index, paragraph) in meaning.split("\n\n").enumerate() {
            if index > 0 {
                self.macro_line(".IP");
            }
            self.words(&marked(paragraph));
        }
    }

    /// Commands as they are typed, each after a sentence that says what for.
    pub fn examples(&mut self, examples: &[(&str, &str)]) {
        for (index, (what_for, command)) in examples.iter().enumerate() {
            if index > 0 {
                self.macro_line(".PP");
            }
            self.example(what_for, command);
        }
    }

    fn example(&mut self, what_for: &str, command: &str) {
        self.words(&marked(what_for));
        self.macro_line(".PP");
        self.macro_line(".RS 4");
        self.macro_line(".EX");
        command.lines().for_each(|line| self.macro_line(&guarded(&escaped(line))));
        self.macro_line(".EE");
        self.macro_line(".RE");
    }

    /// The whole page.
    pub fn into_text(self) -> String {
        self.text
    }

    fn macro_line(&mut self, line: &str) {
        self.text.push_str(line);
        self.text.push('\n');
    }

    /// Lines of text: a new one for each sentence, as readers set the blank after it by that.
    fn words(&mut self, marked: &str) {
        let mut line = String::new();
        let mut flush = |line: &mut String| {
            if !line.is_empty() {
                self.text.push_str(&guarded(line));
                self.text.push('\n');
                line.clear();
            }
        };
        for word in marked.split_whitespace() {
            if line.len() + 1 + word.len() > WIDTH {
                flush(&mut line);
            }
            if !line.is_empty() {
                line.push(' ');
            }
            line.push_str(word);
            let bare = word.trim_end_matches("\\fR");
            if bare.ends_with(['.', '?']) && !bare.ends_with("...") {
                flush(&mut line);
            }
        }
        flush(&mut line);
    }
}

/// Bold, as what is typed.
pub(super) fn bold(text: &str) -> String {
    format!("\\fB{}\\fR", escaped(text))
}

/// Slanted, as what stands for a value.
pub(super) fn slanted(text: &str) -> String {
    format!("\\fI{}\\fR", escaped(text))
}

/// Text in which what stands between backticks becomes bold.
fn marked(text: &str) -> String {
    let parts = text.split('`').enumerate();
    parts.map(|(index, part)| if index % 2 == 1 { bold(part) } else { escaped(part) }).collect()
}

/// Characters that the macros would read as something else. Hyphens are those of the command line, to be copied.
pub(super) fn escaped(text: &str) -> String {
    let mut escaped = String::with_capacity(text.len());
    for character in text.chars() {
        match character {
            '\\' => escaped.push_str("\\e"),
            '-' => escaped.push_str("\\-"),
            '\'' => escaped.push_str("\\(aq"),
            '"' => escaped.push_str("\\(dq"),
            '`' => escaped.push_str("\\(ga"),
            '^' => escaped.push_str("\\(ha"),
            '~' => escaped.push_str("\\(ti"),
            other => escaped.push(other),
        }
    }
    escaped
}

/// A line that no macro begins.
fn guarded(line: &str) -> String {
    if line.starts_with('.') { format!("\\&{line}") } else { line.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_in_a_text_acts() {
        assert_eq!(escaped(r#"a\b -3 'x' "y" ~ ^"#), r"a\eb \-3 \(aqx\(aq \(dqy\(dq \(ti \(ha");
        let mut roff = Roff::default();
        roff.paragraphs(".SH is no section here.\n\nThe `.lock` file. Next");
        assert_eq!(roff.into_text(), "\\&.SH is no section here.\n.PP\nThe \\fB.lock\\fR file.\nNext\n");
    }

    #[test]
    fn paragraphs_of_an_item_do_not_run_together() {
        let mut roff = Roff::default();
        roff.item("term", "First.\n\nSecond\nof two lines.");
        assert_eq!(roff.into_text(), ".TP\nterm\nFirst.\n.IP\nSecond of two lines.\n");
    }

    #[test]
    fn lines_of_the_source_are_short() {
        let mut roff = Roff::default();
        roff.paragraphs(&"word ".repeat(100));
        assert!(roff.into_text().lines().all(|line| line.len() <= WIDTH));
    }
}
