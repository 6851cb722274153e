//! No text of a record is a formula in a spreadsheet, and nothing else about it changes.

use cornerset::export::{Format, Kind, Rows, columns};
use cornerset::quantity::text::visible;
use serde_json::json;

use crate::records::{export, objects, record, samples, struck, with_text};

/// What makes a spreadsheet take a cell for a formula: OWASP's page on CSV injection (its list of characters and their
/// full-width forms, from memory), CWE-1236.
const STARTS: [char; 10] = ['=', '+', '-', '@', '\t', '\r', '\u{FF1D}', '\u{FF0B}', '\u{FF0D}', '\u{FF20}'];

/// What a spreadsheet may skip, or a person not see, before it.
const BEFORE: [&str; 8] = ["", " ", "\u{A0}", "\u{3000}", "\u{FEFF}", "\u{200B}\u{2060}", "\u{FE0F}\u{AD}", "\n"];

/// The columns of a table that hold what somebody typed, or what a hostile record could say.
fn free_text(rows: Rows) -> Vec<&'static str> {
    let own: &[&str] = match rows {
        Rows::Readings => &["typed", "strike_reason"],
        Rows::Pairs => &["typed", "strike_reason"],
        Rows::Sessions => &[
            "previous",
            "tool",
            "box_driver",
            "outcome_reason",
            "sign_off_name",
            "sign_off_statement",
            "sign_off_digest",
        ],
    };
    ["id", "bench", "job", "technician", "amplifier_name", "meter_name"].iter().chain(own).copied().collect()
}

/// The rows of a CSV file, read by a general reader.
fn read(bytes: &[u8]) -> (Vec<String>, Vec<Vec<String>>) {
    let mut reader = csv::Reader::from_reader(bytes);
    let words = |record: &csv::StringRecord| record.iter().map(str::to_owned).collect::<Vec<_>>();
    let head = words(reader.headers().expect("a header"));
    (head, reader.records().map(|record| words(&record.expect("as many fields as names"))).collect())
}

#[test]
fn text_that_could_be_a_formula_gets_a_quote_in_every_column() {
    let samples = struck();
    for start in STARTS {
        for before in BEFORE {
            let text = format!("{before}{start}1+1");
            let records: Vec<_> = samples.iter().map(|sample| record(&with_text(sample, &text))).collect();
            for rows in Rows::ALL {
                let (head, cells) = read(&export(Format::Csv, rows, &records).0);
                let mut seen = vec![];
                for column in columns(rows).into_iter().filter(|column| column.kind == Kind::Text) {
                    let at = head.iter().position(|name| name == column.name).unwrap();
                    for row in &cells {
                        let guarded = row[at] == format!("'{}", visible(&text));
                        assert!(guarded || !row[at].starts_with(STARTS), "{}: {:?}", column.name, row[at]);
                        assert!(guarded || !free_text(rows).contains(&column.name) || row[at].is_empty());
                        if guarded && !seen.contains(&column.name) {
                            seen.push(column.name);
                        }
                    }
                }
                let mut expected = free_text(rows);
                expected.sort_unstable();
                seen.sort_unstable();
                assert_eq!(seen, expected, "{text:?}");
            }
        }
    }
}

/// Numbers below zero start with `-` and stay numbers; names such as `-` inside a text stay as they are.
#[test]
fn numbers_and_harmless_text_get_no_quote() {
    let mut sample = samples().remove(0);
    sample["job"] = json!("Van 12 - front = left, +3 dB @ 30 Hz");
    sample["technician"] = json!("\u{2764}\u{FE0F} M\u{fc}ller & S\u{f6}hne");
    for entry in sample["log"].as_array_mut().unwrap() {
        if entry["event"] == "reading" {
            entry["down_db"] = json!(-0.125);
        }
    }
    let (head, cells) = read(&export(Format::Csv, Rows::Readings, &[record(&sample)]).0);
    let cell = |name: &str| &cells[0][head.iter().position(|head| head == name).unwrap()];
    assert_eq!(cell("down_db"), "-0.125");
    assert_eq!(
        (cell("job"), cell("technician")),
        (&"Van 12 - front = left, +3 dB @ 30 Hz".to_owned(), &"\u{2764}\u{FE0F} M\u{fc}ller & S\u{f6}hne".to_owned())
    );
}

/// A text that starts with a quote gets another one, so taking one away gives every text again.
#[test]
fn taking_one_quote_away_gives_the_text_again() {
    let texts = ["=1", "'=1", "''", "'", "a'b", "+", "@ 30 Hz", "it's", " =1", "\u{FF1D}", "\u{2800}=1", "\u{207C}1"];
    let records: Vec<_> = texts.iter().map(|text| record(&with_text(&samples()[0], text))).collect();
    let (head, cells) = read(&export(Format::Csv, Rows::Sessions, &records).0);
    let at = head.iter().position(|name| name == "job").unwrap();
    let back: Vec<&str> = cells.iter().map(|row| row[at].strip_prefix('\'').unwrap_or(&row[at])).collect();
    assert_eq!(back, texts);
}

/// In NDJSON the text is exactly that of the record.
#[test]
fn ndjson_has_the_text_as_it_is() {
    for text in crate::records::HOSTILE {
        let row = &objects(Rows::Sessions, &[with_text(&samples()[1], text)])[0];
        for name in free_text(Rows::Sessions) {
            assert_eq!(row[name], text, "{name}");
        }
    }
}
