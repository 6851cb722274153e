//! `cornerset set --script`: the questions, their order, their defaults and their refusals.

use serde_json::{Value, json};

use crate::common::lines::Lines;
use crate::common::{Ran, Shop};
use crate::support::{answer, close, entries};

/// The questions in their order, as the design's section 5 lists them.
const CONTRACT: &str = "job technician amplifier meter meter-accuracy meter-digits meter-resolution tuning slope family q \
                        rule corner bypass reference-mark mark-uncertainty tone tolerance range-held caution gain \
                        explore reference reading accept sweep reason note sign-off";
/// The questions that were added, each with a default.
const ADDED: [&str; 6] = ["driver", "set-again", "dial-mark", "rated-power", "load", "reference-confirmed"];

/// Runs a script to its end and gives the record.
#[track_caller]
fn record_of(lines: &Lines) -> Value {
    ended_with(lines, 0)
}

#[track_caller]
fn ended_with(lines: &Lines, code: i32) -> Value {
    let shop = Shop::new();
    shop.script(&lines.text()).expect(code);
    assert_eq!(shop.journals().len(), 0, "the journal is gone");
    shop.record()
}

/// Runs a script that is refused: exit code 2, and the session stays open.
#[track_caller]
fn refused(script: &str) -> String {
    let shop = Shop::new();
    let ran = shop.script(script).expect(2);
    assert_eq!(ran.stdout, "", "nothing on standard output");
    assert_eq!((shop.journals().len(), shop.records().len()), (1, 0), "the session stays open");
    ran.stderr.lines().last().expect("a sentence").to_owned()
}

#[track_caller]
fn is_refused(script: &str, says: &[&str]) {
    let refusal = refused(script);
    for words in says {
        assert!(refusal.contains(words), "{words} in: {refusal}\nof:\n{script}");
    }
}

/// The ids of the questions that came up, without the repeats.
fn came_up(ran: &Ran) -> Vec<String> {
    let mut ids: Vec<String> = ran
        .events()
        .iter()
        .filter(|event| event["event"] == "question")
        .map(|event| event["id"].as_str().unwrap().to_owned())
        .collect();
    ids.dedup();
    ids
}

#[test]
fn every_question_of_the_contract_comes_up_in_its_order() {
    let second_order = Lines::required()
        .with("slope", "12")
        .with("family", "second-order")
        .with("q", "0.6")
        .with("rule", "own")
        .with("corner", "27")
        .with("bypass", "no")
        .with("reference-mark", "18")
        .with("gain", "no")
        .with("reference", "24 V")
        .with("reading", "15.50")
        .with("sweep", "20=9")
        .with("reason", "the knob is at its stop");
    let unknown = Lines::required()
        .with("slope", "unknown")
        .with("family", "unknown")
        .with("explore", "20=2.307/8")
        .and("explore", "27=5.657/8");
    let mut all: Vec<&str> = vec![];
    let contract: Vec<&str> = CONTRACT.split_whitespace().collect();
    for lines in [&second_order, &unknown] {
        let ran = Shop::new().events(&lines.text());
        assert!(ran.code == Some(0) || ran.code == Some(1), "{ran:?}");
        let ids = came_up(&ran);
        let known: Vec<usize> =
            ids.iter().filter_map(|id| contract.iter().position(|question| question == id)).collect();
        assert!(known.is_sorted(), "{ids:?}");
        let others: Vec<&String> = ids.iter().filter(|id| !contract.contains(&id.as_str())).collect();
        assert!(others.iter().all(|id| ADDED.contains(&id.as_str())), "{others:?}");
        all.extend(contract.iter().filter(|question| ids.iter().any(|id| id == *question)));
    }
    for question in contract {
        assert!(all.contains(&question), "{question} came up");
    }
}

#[test]
fn only_the_required_answers_are_needed_and_the_others_are_logged_as_defaults() {
    let record = record_of(&Lines::required());
    let log = &record["log"];
    for (question, typed) in [
        ("meter-accuracy", "1 %"),
        ("meter-digits", "5"),
        ("meter-resolution", "0.01 V"),
        ("family", "butterworth"),
        ("rule", "three-quarters"),
        ("bypass", "yes"),
        ("tone", "27 Hz"),
        ("tolerance", "3 %"),
        ("range-held", "yes"),
        ("gain", "yes"),
    ] {
        let answer = answer(log, question);
        assert_eq!((&answer["typed"], &answer["default"]), (&json!(typed), &json!(true)), "{question}");
    }
    for question in ["amplifier", "meter", "sweep", "note"] {
        assert_eq!(answer(log, question)["default"], true, "{question}");
    }
    for question in ["job", "technician", "tuning", "slope", "caution", "sign-off"] {
        assert_eq!(answer(log, question)["default"], false, "{question}");
    }
    assert_eq!(record["entry"], "script");
    assert_eq!(record["outcome"]["verdict"], "inside");
    assert_eq!(record["outcome"]["family_confirmed"], Value::Null);
}

/// What is typed is not a default, even where it is the same.
#[test]
fn a_typed_answer_is_no_default() {
    let log = &record_of(&Lines::required().with("family", "butterworth").with("tolerance", "3 %"))["log"];
    assert_eq!(answer(log, "family")["default"], false);
    assert_eq!(answer(log, "tolerance")["default"], false);
}

#[test]
fn every_answer_reaches_the_record() {
    let lines = Lines::required()
        .with("amplifier", "Bench amplifier 2")
        .with("meter", "Meter 3")
        .with("meter-accuracy", "0.5 %")
        .with("meter-digits", "3 digits")
        .with("meter-resolution", "1 mV")
        .with("family", "linkwitz-riley")
        .with("rule", "half-octave")
        .with("tone", "25 Hz")
        .with("tolerance", "4")
        .with("range-held", "no")
        .with("gain", "no")
        .with("rated-power", "0.45 kW")
        .with("load", "2 ohm")
        .with("reading", "3.91")
        .with("sign-off", "B. Sample");
    let record = record_of(&lines);
    for (pointer, value) in [
        ("/job", json!("Work order 0501")),
        ("/technician", json!("A. Sample")),
        ("/sign_off/name", json!("B. Sample")),
        ("/amplifier/name", json!("Bench amplifier 2")),
        ("/amplifier/gain_set_before", json!(false)),
        ("/amplifier/rated_power_w", json!(450.0)),
        ("/amplifier/load_ohm", json!(2.0)),
        ("/meter/name", json!("Meter 3")),
        ("/box/tuning_hz", json!(36.0)),
        ("/filter/family", json!("linkwitz-riley")),
        ("/filter/slope_db_per_octave", json!(24)),
        ("/plan/rule", json!("half-octave")),
        ("/plan/meter_accuracy_percent", json!(0.5)),
        ("/plan/meter_digits", json!(3)),
        ("/plan/meter_resolution_v", json!(0.001)),
        ("/plan/range_held", json!(false)),
        ("/plan/tolerance_percent", json!(4.0)),
        ("/plan/setting/tone_hz", json!(25.0)),
        ("/plan/mark_uncertainty_percent", Value::Null),
        ("/outcome/verdict", json!("inside")),
    ] {
        assert_eq!(record.pointer(pointer), Some(&value), "{pointer}");
    }
}

#[test]
fn a_mark_a_corner_of_ones_own_and_an_unknown_tuning() {
    let lines = Lines::required()
        .with("tuning", "unknown")
        .with("rule", "own")
        .with("corner", "27")
        .with("bypass", "no")
        .with("reference-mark", "18 Hz")
        .with("mark-uncertainty", "4 %")
        .with("reference", "7.85");
    let record = record_of(&lines);
    assert_eq!(record_of(&lines.clone().without("rule"))["plan"], record["plan"], "`own` is the default then");
    let plan = &record["plan"];
    assert_eq!(
        (&plan["tuning_hz"], &plan["rule"], &record["box"]["tuning_hz"]),
        (&Value::Null, &Value::Null, &Value::Null)
    );
    assert_eq!((&plan["reference_mark_hz"], &plan["mark_uncertainty_percent"]), (&json!(18.0), &json!(4.0)));
    assert_eq!(entries(&record["log"], "reference")[0]["mark_hz"], 18.0);
    assert_eq!(record["filter"]["bypass"], false);
    close(&plan["true_reference_v"], 7.85 * (1.0 + (18.0f64 / 27.0).powi(8)).sqrt());
    is_refused(&lines.clone().with("rule", "octave").without("corner").text(), &["rule: `octave`", "own"]);
    let own = record_of(&Lines::required().with("rule", "own").with("corner", "27"));
    assert_eq!((&own["plan"]["tuning_hz"], &own["box"]["tuning_hz"]), (&Value::Null, &json!(36.0)));
    let usual = record_of(&lines.without("mark-uncertainty"));
    assert_eq!(usual["plan"]["mark_uncertainty_percent"], 5.0);
}

#[test]
fn second_order_with_its_q() {
    let lines = Lines::required().with("slope", "12").with("family", "second-order").with("q", "1.2");
    let record = record_of(&lines.clone().with("reading", "8.5").and("reading", "5.90"));
    assert_eq!(record["filter"]["q"], 1.2);
    assert_eq!(record["plan"]["setting"]["tone_hz"], 20.25, "three quarters of the corner");
    let readings = entries(&record["log"], "reading");
    assert_eq!(readings[0]["corner_hz"], Value::Null);
    assert_eq!(readings[0]["corners_hz"].as_array().unwrap().len(), 2);
    assert_eq!(readings[1]["corners_hz"].as_array().unwrap().len(), 1);
    is_refused(&lines.clone().with("tone", "27").text(), &["line 7", "tone: `27", "hump"]);
    is_refused(&lines.with("slope", "24").text(), &["family", "24 dB/octave"]);
}

#[test]
fn a_tolerance_in_decibels() {
    let plan = &record_of(&Lines::required().with("tolerance", "0.5 dB"))["plan"];
    assert_eq!((&plan["tolerance_percent"], &plan["tolerance_db"]), (&Value::Null, &json!(0.5)));
    let target = plan["setting"]["target_v"].as_f64().unwrap();
    close(&plan["setting"]["low_v"], target / 10f64.powf(0.5 / 20.0));
    close(&plan["setting"]["high_v"], target * 10f64.powf(0.5 / 20.0));
}

/// Every required answer left out in turn: the question is named, nothing is guessed.
#[test]
fn a_question_without_a_default_stops_the_script_by_its_name() {
    for (lines, id) in required() {
        let missing = lines.clone().without(id);
        is_refused(&missing.text(), &[&format!("`{id}`"), "no default"]);
        is_refused(&lines.before(id).text(), &[&format!("`{id}`"), "the script ends"]);
    }
}

/// Sessions that need every required answer that there is, and the answers.
pub fn required() -> Vec<(Lines, &'static str)> {
    let plain = Lines::required();
    let own = plain.clone().with("rule", "own").with("corner", "27");
    let q = plain.clone().with("slope", "12").with("family", "second-order").with("q", "0.6").with("reading", "4.80");
    let mark = plain.clone().with("bypass", "no").with("reference-mark", "18").with("reference", "7.85");
    let outside = plain.clone().with("reading", "6.30").with("reason", "the knob is at its stop");
    let always = plain.pairs().iter().map(|(id, _)| id.clone().leak() as &str);
    let mut all: Vec<(Lines, &str)> = always.map(|id| (plain.clone(), id)).collect();
    all.extend([(own, "corner"), (q, "q"), (mark, "reference-mark"), (outside, "reason")]);
    all
}

#[test]
fn what_does_not_belong_is_refused_with_its_line_and_what_is_accepted() {
    let plain = Lines::required();
    let text = plain.text();
    is_refused(&text.replace("tuning:", "tunning:"), &["line 3", "`tunning`", "tuning, slope"]);
    is_refused(&text.replace("tuning:", "Tuning:"), &["line 3", "`Tuning`"]);
    is_refused(&text.replace("tuning:", "tuning ="), &["line 3", "id: answer"]);
    is_refused(&text.replace("slope:", "job: again\nslope:"), &["line 4", "out of order", "`job`", "`slope`"]);
    is_refused(&text.replace("slope:", "tuning: 37\nslope:"), &["line 4", "out of order", "`tuning`"]);
    is_refused(&text.replace("tuning: 36 Hz", "tuning: 36 V"), &["line 3", "tuning: `36 V`", "5 to 200 Hz"]);
    is_refused(&text.replace("caution: understood", "caution: yes"), &["line 5", "caution: `yes`", "understood"]);
    is_refused(&text.replace("accept: yes", "accept: perhaps"), &["line 8", "accept: `perhaps`", "`yes` or `no`"]);
    is_refused(&text.replace("slope: 24", "slope: 20"), &["line 4", "slope: `20`", "24"]);
    is_refused(&plain.clone().with("family", "elliptic").text(), &["line 5", "family: `elliptic`", "bessel"]);
    is_refused(&plain.clone().with("family", "bessel").with("slope", "48").text(), &["line 5", "48 dB/octave"]);
    is_refused(&plain.clone().with("slope", "unknown").with("family", "bessel").text(), &["line 5", "family"]);
    is_refused(&plain.clone().with("rule", "third").text(), &["line 5", "rule: `third`", "half-octave"]);
    let mark = plain.clone().with("bypass", "no").with("reference-mark", "27");
    is_refused(&mark.text(), &["line 6", "reference-mark: `27", "below"]);
    is_refused(&plain.clone().with("tuning", "6").text(), &["tuning: `6", "three-quarters"]);
    is_refused(&plain.with("tuning", "9").with("rule", "octave").text(), &["line 5", "tuning: `9", "octave"]);
}

#[test]
fn a_line_for_a_question_that_does_not_come_up_is_refused() {
    for (id, answer) in [
        ("q", "0.7"),
        ("corner", "27"),
        ("reference-mark", "18"),
        ("mark-uncertainty", "5"),
        ("explore", "20=2/8"),
        ("rated-power", "450 W"),
        ("load", "2 ohm"),
        ("reference-confirmed", "yes"),
        ("reason", "none needed"),
    ] {
        let lines = Lines::required().with(id, answer);
        let line = format!("line {}", lines.number(id));
        is_refused(&lines.text(), &[&line, &format!("`{id}`"), "does not come up"]);
    }
}

#[test]
fn readings_are_numbers_spans_or_repeats() {
    let record = record_of(
        &Lines::required().with("reading", "5,66").and("reading", "5.61..5.70").and("reading", "5.61 5.64 5.66 V"),
    );
    let readings = entries(&record["log"], "reading");
    let facts: Vec<_> =
        readings.iter().map(|reading| (&reading["number"], &reading["typed"], &reading["span_v"])).collect();
    assert_eq!(facts[0], (&json!(1), &json!("5,66"), &Value::Null));
    assert_eq!(facts[1], (&json!(2), &json!("5.61..5.70"), &json!([5.61, 5.70])));
    assert_eq!(facts[2], (&json!(3), &json!("5.61 5.64 5.66 V"), &Value::Null));
    close(&readings[1]["volts"], 5.655);
    close(&readings[2]["volts"], (5.61 + 5.64 + 5.66) / 3.0);
    // The spread of a span takes a reading out of the accept zone that a steady one is in: 5.90 V, zone to 5.92 V.
    assert_eq!(record_of(&Lines::required().with("reading", "5.90"))["outcome"]["verdict"], "inside");
    let hunting = Lines::required().with("reading", "5.80..6.00").with("reason", "the digits hunt");
    assert_eq!(ended_with(&hunting, 1)["outcome"]["verdict"], "borderline");
    let reference = record_of(&Lines::required().with("reference", "7.98..8.02"));
    assert_eq!(entries(&reference["log"], "reference")[0]["typed"], "7.98..8.02");
    assert_eq!(reference["plan"]["reference_v"], 8.0);
}

#[test]
fn the_verdict_is_that_of_the_last_reading_that_is_not_struck() {
    let lines = |readings: &[&str]| {
        readings.iter().fold(Lines::required().without("reading"), |lines, reading| lines.and("reading", reading))
    };
    let record = record_of(&lines(&["5.66", "7.02", "strike 2 mistyped, a digit too many"]));
    assert_eq!(record["outcome"]["verdict"], "inside");
    assert_eq!(entries(&record["log"], "reading").len(), 2, "nothing typed is taken out");
    let strikes = entries(&record["log"], "strike");
    assert_eq!((&strikes[0]["number"], &strikes[0]["reason"]), (&json!(2), &json!("mistyped, a digit too many")));
    // Struck ones are counted: the third reading is number 3.
    let counted = record_of(&lines(&["7.02", "strike 1 mistyped", "56.6", "5.66", "strike 2 decimal point"]));
    let numbers: Vec<_> = entries(&counted["log"], "reading").iter().map(|reading| reading["number"].clone()).collect();
    assert_eq!(numbers, [1, 2, 3]);
    assert_eq!(counted["outcome"]["corner_hz"], entries(&counted["log"], "reading")[2]["corner_hz"]);
    for (readings, line, says) in [
        (vec!["5.66", "strike 1"], 8, "why"),
        (vec!["5.66", "strike mistyped"], 8, "which reading"),
        (vec!["5.66", "strike 2 mistyped"], 8, "was not taken"),
        (vec!["5.66", "strike 0 mistyped"], 8, "was not taken"),
        (vec!["5.66", "strike -1 mistyped"], 8, "which reading"),
        (vec!["strike 1 mistyped"], 7, "was not taken"),
        (vec!["5.66", "5.70", "strike 1 mistyped", "strike 1 again"], 10, "struck already"),
        (vec!["5.66", "strike 1 mistyped"], 9, "`reading`"),
    ] {
        is_refused(&lines(&readings).text(), &[&format!("line {line}"), says]);
    }
}

#[test]
fn accept_no_goes_back_to_the_knob() {
    let script = Lines::required().text().replace("reading: 5.66\n", "reading: 7.02\naccept: no\nreading: 5.66\n");
    let shop = Shop::new();
    shop.script(&script).expect(0);
    let record = shop.record();
    let events: Vec<&str> = record["log"]
        .as_array()
        .unwrap()
        .iter()
        .filter_map(|entry| entry["event"].as_str().filter(|event| ["reading", "accept"].contains(event)))
        .collect();
    assert_eq!(events, ["reading", "accept", "reading", "accept"]);
    let back = Lines::required().with("accept", "no");
    is_refused(&back.text(), &["line 9", "`accept`"]);
}

#[test]
fn what_is_not_inside_needs_a_reason_and_ends_with_exit_code_1() {
    for (reading, verdict) in [("5.93", "borderline"), ("6.30", "above"), ("5.10", "below"), ("8.30", "above")] {
        let lines = Lines::required().with("reading", reading);
        is_refused(&lines.text(), &["line 9", "`reason`"]);
        let record = ended_with(&lines.with("reason", "the knob is at its stop"), 1);
        assert_eq!(record["outcome"]["verdict"], verdict, "{reading}");
        assert_eq!(answer(&record["log"], "reason")["typed"], "the knob is at its stop");
    }
}

#[test]
fn explore_finds_family_and_slope() {
    // Linkwitz-Riley 24 dB/octave at 30 Hz: 1 / (1 + (30/tone)^4).
    let volts = |tone: f64| 8.0 / (1.0 + (30.0 / tone).powi(4));
    let pair = |tone: f64| format!("{tone} = {:.3} / 8.000", volts(tone));
    let lines = Lines::required()
        .with("meter-resolution", "0.001")
        .with("slope", "unknown")
        .with("explore", &pair(18.0))
        .and("explore", &pair(30.0))
        .and("explore", &pair(48.0))
        .with("reading", "4.000");
    let record = record_of(&lines);
    assert_eq!(
        record_of(&lines.clone().with("family", "unknown"))["plan"],
        record["plan"],
        "`unknown` is the default then"
    );
    assert_eq!(record["filter"]["family"], "linkwitz-riley");
    assert_eq!(record["filter"]["slope_db_per_octave"], 24);
    let explored = entries(&record["log"], "explore");
    assert_eq!(explored.len(), 3);
    assert_eq!(
        (&explored[1]["number"], &explored[1]["tone_hz"], &explored[1]["reference_v"]),
        (&json!(2), &json!(30.0), &json!(8.0))
    );
    // With a slope that is known and no readings the family is a guess, and the plan says what that is worth.
    let guessed = record_of(&Lines::required().with("family", "unknown"));
    let warnings = guessed["plan"]["warnings"].to_string();
    assert!(warnings.contains("guess") && warnings.contains("21.7 Hz"), "{warnings}");
    // Pairs without a reference of their own use that of the session.
    let shared = lines.clone().without("explore").and("explore", "18 = 0.918").and("explore", "30 = 4.000");
    assert_eq!(record_of(&shared)["filter"]["family"], "linkwitz-riley");
    is_refused(&lines.clone().without("explore").text(), &["explore", "2 tones"]);
    is_refused(&lines.clone().with("explore", "18 = 0.918 / 8").text(), &["explore", "2 tones"]);
    is_refused(&lines.with("explore", "18 : 0.918").text(), &["line 7", "explore", "TONE=VOLTS"]);
}

#[test]
fn the_sweep_confirms_the_filter_or_says_that_it_is_another() {
    let confirmed = record_of(&Lines::required().with("sweep", "20 = 2.31 / 8.00").and("sweep", "38 = 7.75"));
    assert_eq!(confirmed["outcome"]["family_confirmed"], true);
    let fit = &confirmed["outcome"]["fit"];
    assert_eq!((&fit["family"], &fit["slope_db_per_octave"]), (&json!("butterworth"), &json!(24)));
    assert!((fit["corner_hz"].as_f64().unwrap() - 27.0).abs() < 0.1, "{fit}");
    assert!(fit["corner_standard_error_hz"].as_f64().unwrap() > 0.0);
    let swept = entries(&confirmed["log"], "sweep");
    assert_eq!((&swept[0]["reference_v"], &swept[1]["reference_v"]), (&json!(8.0), &Value::Null));
    // 20 Hz only 6 dB down: a gentler filter.
    let another = Lines::required().with("sweep", "20 = 3.90 / 8").and("sweep", "38 = 7.00 / 8");
    is_refused(&another.text(), &["line 11", "`reason`"]);
    let record = ended_with(&another.with("reason", "the customer keeps it"), 1);
    assert_eq!(record["outcome"]["verdict"], "inside");
    assert_eq!(record["outcome"]["family_confirmed"], false);
    assert_ne!(record["outcome"]["fit"]["slope_db_per_octave"], 24);
}

#[test]
fn a_high_reference_is_asked_about_and_a_script_may_leave_the_answer_out() {
    let lines = Lines::required().with("reference", "33").with("reading", "23.30");
    let record = record_of(&lines);
    let confirmed = answer(&record["log"], "reference-confirmed");
    assert_eq!((&confirmed["event"], &confirmed["default"]), (&json!("caution"), &json!(true)));
    assert!(record["plan"]["warnings"].to_string().contains("hazardous"));
    let again =
        lines.text().replace("reading:", "reference-confirmed: no\nreference: 8.00\nreading:").replace("23.30", "5.66");
    let shop = Shop::new();
    shop.script(&again).expect(0);
    assert_eq!(shop.record()["plan"]["reference_v"], 8.0);
}

#[test]
fn a_note_is_kept_in_the_log() {
    let record = record_of(&Lines::required().with("note", "knob marked with a paint dot"));
    assert_eq!(entries(&record["log"], "note")[0]["text"], "knob marked with a paint dot");
}

/// Comments, blank lines, blanks about the colon, line ends of other systems, a byte order mark, no last line end.
#[test]
fn a_script_is_read_with_a_light_hand() {
    let text = Lines::required().text();
    let plain = record_of(&Lines::required());
    for (name, script) in [
        ("CRLF", text.replace('\n', "\r\n")),
        ("byte order mark", format!("\u{feff}{text}")),
        ("no last line end", text.trim_end().to_owned()),
        ("comments", format!("# a comment\n\n   \t\n{}", text.replace("slope", "  # tuning: 40\nslope"))),
        ("blanks", text.replace(": ", "\t :   ").replace('\n', "   \n")),
        ("no blanks", text.replace(": ", ":")),
    ] {
        let shop = Shop::new();
        shop.run_with_input(&["set", "--script", "-"], script.as_bytes()).expect(0);
        let record = shop.record();
        assert_eq!(record["plan"], plain["plan"], "{name}");
        assert_eq!(record["job"], plain["job"], "{name}");
    }
    let record = record_of(&Lines::required().with("job", "a # b: c"));
    assert_eq!(record["job"], "a # b: c");
}

/// Screens on standard error, the closing summary on standard output.
#[test]
fn the_summary_is_all_that_standard_output_gets() {
    let shop = Shop::new();
    let ran = shop.script(&Lines::required().text()).expect(0);
    let path = shop.records()[0].display().to_string();
    assert!(ran.stdout.contains("INSIDE") && ran.stdout.contains(&path), "{}", ran.stdout);
    assert!(!ran.stdout.contains("Turn the knob"), "{}", ran.stdout);
    assert!(ran.stderr.contains("Turn the knob") && ran.stderr.contains("reading: 5.66"), "{}", ran.stderr);
    assert!(ran.stderr.lines().all(|line| line.chars().count() <= 80), "{}", ran.stderr);
    let working = shop.run_with_input(&["set", "--script", "-", "--show-working"], Lines::required().text().as_bytes());
    assert!(working.stderr.contains("working:") && working.code == Some(0), "{}", working.stderr);
    let plain = shop.run_with_input(&["--plain", "set", "--script", "-"], Lines::required().text().as_bytes());
    assert!(!plain.stderr.contains("####") && plain.stderr.contains("INSIDE"), "{}", plain.stderr);
}

/// From a file as from a pipe; what is left over in it is said to be.
#[test]
fn a_script_may_be_a_file() {
    let shop = Shop::new();
    let path = shop.path().join("session.script");
    std::fs::write(&path, Lines::required().text()).unwrap();
    let ran = shop.run(&["set", "--script", "session.script"]).expect(0);
    assert!(!ran.stderr.contains("not asked for"), "{}", ran.stderr);
    std::fs::write(&path, format!("{}# end\n\nnote: too late\n", Lines::required().text())).unwrap();
    let ran = shop.run(&["set", "--script", path.to_str().unwrap(), "--no-sign"]).expect(0);
    assert!(ran.stderr.contains("line 12 of the script"), "{}", ran.stderr);
}

/// What follows the sign-off in a pipe and has come already is said, as in a file; the record is written all the same.
#[test]
fn what_follows_the_sign_off_is_said() {
    let shop = Shop::new();
    let ran = shop.script(&format!("{}\n# a comment\nnote: too late\n", Lines::required().text())).expect(0);
    assert!(ran.stderr.contains("was not asked for and is not taken"), "{}", ran.stderr);
    assert_eq!(shop.records().len(), 1);
    let ran = Shop::new().script(&format!("{}\n# a comment\n\n", Lines::required().text())).expect(0);
    assert!(!ran.stderr.contains("not taken"), "{}", ran.stderr);
}

/// Readings that rise where every filter falls, or fall where every one rises: the reason is asked for what is so.
#[test]
fn a_sweep_that_no_filter_fits_is_not_called_another_filter_where_its_reason_is_asked() {
    for sweep in ["sweep: 14=7.9/8\nsweep: 60=2/8", "sweep: 20=5.66/8\nsweep: 40=5.66/8"] {
        let script = format!(
            "job: J\ntechnician: T\ntuning: 36\nslope: 24\ncaution: understood\nreference: 8\nreading: 5.66\naccept: yes\n\
             {sweep}\nreason: the level moved\nsign-off: T\n"
        );
        let ran = Shop::new().script(&script).expect(1);
        assert!(ran.stderr.contains("No filter fits the sweep well. Why may it stay"), "{}", ran.stderr);
    }
}
