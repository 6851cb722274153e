//! Names, notes and words: what is not one visible line of reasonable length is refused.

use crate::common::Shop;
use crate::common::lines::Lines;

/// Refused wherever a line of text is asked for.
const NEVER: [&str; 10] = [
    "a\u{1B}[31mred",
    "a\u{1B}]8;;http://example.com\u{7}link",
    "a\u{0}b",
    "a\tb",
    "a\u{7}b",
    "a\u{9B}2Jb",
    "a\u{85}b",
    "a\u{202E}b",
    "a\u{2066}b",
    "a\u{200B}b",
];

/// Every question that takes text, in a session where it comes up, and the longest answer.
const TEXTS: [(&str, usize); 7] = [
    ("job", 120),
    ("technician", 120),
    ("amplifier", 120),
    ("meter", 120),
    ("sign-off", 120),
    ("reason", 1000),
    ("note", 1000),
];

fn session_for(question: &str) -> Lines {
    match question {
        "reason" => Lines::required().with("reading", "6.30").with("reason", "the knob is at its stop"),
        _ => Lines::required(),
    }
}

#[test]
fn text_that_acts_hides_or_never_ends_is_refused() {
    for (question, longest) in TEXTS {
        let long = "x".repeat(longest + 1);
        for text in NEVER.iter().copied().chain([long.as_str(), "  "]) {
            let lines = session_for(question).with(question, text);
            let ended = Shop::new().plays(lines.text().as_bytes());
            let sentence = ended.refuses(question, text);
            let line = format!("line {} of the script", lines.number(question));
            assert!(sentence.contains(&line) && sentence.contains(&format!("1 to {longest} characters")), "{sentence}");
        }
        let lines = session_for(question).with(question, &"\u{E4}".repeat(longest));
        let ended = Shop::new().plays(lines.text().as_bytes());
        assert!(matches!(ended.code, Some(0 | 1)), "{question}: {ended:?}");
    }
}

/// Words that are none of those accepted, by option and by script.
#[test]
fn words_that_are_none_of_the_accepted() {
    for word in ["", "x", "\u{1B}[31mbutterworth", "\u{202E}", "butter worth", "24", &"x".repeat(5000)] {
        for (option, field) in [("--family", "family"), ("--rule", "rule"), ("--slope", "slope")] {
            let mut arguments = vec!["targets", "--tuning", "36", "--reference", "8"];
            if option != "--slope" {
                arguments.extend(["--slope", "24"]);
            } else if word == "24" {
                continue;
            }
            let given = format!("{option}={word}");
            arguments.push(&given);
            Shop::new().tries(&arguments).refuses(field, word);
        }
        for question in ["family", "rule", "bypass", "range-held", "caution", "gain", "accept", "slope"] {
            if question == "slope" && word == "24" {
                continue;
            }
            let lines = Lines::required().with(question, word);
            Shop::new().plays(lines.text().as_bytes()).refuses(question, word);
        }
    }
}
