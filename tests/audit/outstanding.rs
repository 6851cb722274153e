//! What stands out in whole records: each kind where it should, and nowhere else.

use chrono::Duration;
use cornerset::audit::Kind;
use cornerset::record::Record;
use cornerset::session::{EntryMode, LogEntry, Moment, Question};

use crate::maker::{Bench, audit, facts, found, sample_key, sign};

/// What stands out in a record by itself.
fn kinds(record: &Record) -> Vec<&'static str> {
    let facts = facts(record);
    assert!(facts.standing.is_intact(), "{:?}", facts.standing);
    facts.outstanding.iter().map(|(kind, _)| kind.word()).collect()
}

fn detail(record: &Record, kind: Kind) -> String {
    facts(record).outstanding.into_iter().find(|(other, _)| *other == kind).expect("it stands out").1
}

fn with(changed: &[(Question, &'static str)]) -> Record {
    Bench::new("bench-1").record_with(changed)
}

#[test]
fn an_ordinary_record_has_nothing_that_stands_out() {
    let record = with(&[]);
    assert_eq!(kinds(&record), [""; 0]);
    assert_eq!(facts(&record).recomputed, [""; 0]);
}

#[test]
fn what_was_accepted_outside_or_borderline_stands_out_with_its_reason() {
    let reading = |volts| with(&[(Question::Reading, volts), (Question::Reason, "the knob ends here")]);
    let outside = reading("5.60");
    assert_eq!(kinds(&outside), ["accepted-outside"]);
    let text = detail(&outside, Kind::AcceptedOutside);
    assert!(
        text.contains("5.60 V")
            && text.contains("above in volts")
            && text.ends_with("reason given: the knob ends here."),
        "{text}"
    );
    assert_eq!(kinds(&reading("4.60")), ["accepted-outside"]);
    // The window ends at 5.38 V, the accept zone below it.
    let borderline = reading("5.35");
    assert_eq!(kinds(&borderline), ["accepted-borderline"], "{:?}", borderline.plan.setting);
}

#[test]
fn more_digits_than_the_meter_shows_stand_out() {
    assert_eq!(kinds(&with(&[(Question::Reading, "5.091")])), ["more-digits"]);
    assert_eq!(kinds(&with(&[(Question::Reading, "5090 mV")])), [""; 0]);
    assert_eq!(kinds(&with(&[(Question::Reading, "5091 mV")])), ["more-digits"]);
    // The mean of repeats may have more digits than each; an end of a span may not.
    assert_eq!(kinds(&with(&[(Question::Reading, "5.09 5.10 5.10")])), [""; 0]);
    assert_eq!(kinds(&with(&[(Question::Reading, "5.085..5.10")])), ["more-digits"]);
    assert_eq!(kinds(&with(&[(Question::Reference, "7.204")])), ["more-digits"]);
    // An autoranging meter shows more digits on a lower range.
    assert_eq!(kinds(&with(&[(Question::Reading, "5.091"), (Question::RangeHeld, "no")])), [""; 0]);
    let coarse = with(&[(Question::MeterResolution, "0.1 V"), (Question::MeterDigits, "0")]);
    assert_eq!(kinds(&coarse), ["more-digits"]);
    let text = detail(&coarse, Kind::MoreDigits);
    assert!(text.contains("`5.09`") && text.contains("steps of 0.1 V"), "{text}");
}

#[test]
fn readings_faster_than_a_hand_stand_out_where_a_hand_typed() {
    let quick = |entry| {
        let mut bench = Bench::new("bench-1");
        bench.pace = Duration::milliseconds(400);
        bench.entry = entry;
        bench.record_with(&[(Question::Reading, "5.60"), (Question::Reading, "5.09")])
    };
    let record = quick(EntryMode::Keyboard);
    assert_eq!(kinds(&record), ["too-fast"]);
    assert_eq!(detail(&record, Kind::TooFast), "Readings 1 and 2 were typed 0.40 s apart.");
    assert_eq!(kinds(&quick(EntryMode::Script)), [""; 0]);
}

#[test]
fn a_reference_above_the_hazard_line_stands_out() {
    assert_eq!(kinds(&with(&[(Question::Reference, "31.0"), (Question::Reading, "21.92")])), ["high-reference"]);
    assert_eq!(kinds(&with(&[(Question::Reference, "30.0"), (Question::Reading, "21.21")])), [""; 0]);
}

#[test]
fn another_name_stands_out() {
    let record = with(&[(Question::SignOff, "B. Sample")]);
    assert_eq!(kinds(&record), ["other-name"]);
    assert_eq!(detail(&record, Kind::OtherName), "B. Sample signed off for A. Sample.");
}

#[test]
fn a_family_that_was_guessed_stands_out() {
    assert_eq!(kinds(&with(&[(Question::Family, "unknown")])), ["family-guessed"]);
    // Found by readings, it is no guess: 20 and 40 Hz through a Butterworth at 24.75 Hz, its own references.
    let explored = with(&[
        (Question::Family, "unknown"),
        (Question::Explore, "20=2.84/7.20"),
        (Question::Explore, "24.75=5.09/7.20"),
        (Question::Explore, "40=7.12/7.20"),
    ]);
    assert_eq!(kinds(&explored), [""; 0]);
}

#[test]
fn a_filter_that_the_sweep_finds_another_stands_out() {
    // Linkwitz-Riley 24 at 28.4 Hz: 5.09 V of 7.20 V at 24.75 Hz would be Butterworth's, at other tones it is not.
    let record = with(&[
        (Question::Reading, "5.09"),
        (Question::Sweep, "16=2.45/7.20"),
        (Question::Sweep, "20=3.83/7.20"),
        (Question::Sweep, "50=7.07/7.20"),
        (Question::Reason, "the customer waits"),
    ]);
    assert_eq!(kinds(&record), ["filter-is-another"], "{:?}", record.outcome);
    let text = detail(&record, Kind::FilterIsAnother);
    assert!(
        text.starts_with("Taken for Butterworth 24 dB/octave") && text.ends_with("reason given: the customer waits."),
        "{text}"
    );
}

#[test]
fn a_cone_past_xmax_stands_out() {
    let driver = "fs_hz = 28; qes = 0.42; qms = 5.1; vas_l = 71; sd_cm2 = 480; re_ohm = 3.3; xmax_mm = 11; kind = vented; \
                  volume_l = 50; tuning_hz = 33; power_w = 900; load_ohm = 4";
    let record = with(&[(Question::Driver, driver)]);
    assert_eq!(record.enclosure.within_xmax, Some(false), "{:?}", record.enclosure);
    assert_eq!(kinds(&record), ["past-xmax"]);
}

/// Times and cautions cannot be wrong in a record that the session makes; one that was made by other means shows it.
#[test]
fn times_and_cautions_that_cannot_be_stand_out() {
    let mut record = with(&[]);
    let reading = record.log.iter().position(|entry| entry.event() == "reading").unwrap();
    if let LogEntry::Reading(reading) = &mut record.log[reading] {
        reading.at = Moment::new(reading.at.time() - Duration::hours(1));
    }
    sign(&mut record, &sample_key());
    assert_eq!(kinds(&record), ["times-backwards"]);

    let mut record = with(&[]);
    record.cautions.clear();
    record.log.retain(|entry| entry.event() != "caution");
    sign(&mut record, &sample_key());
    assert_eq!(kinds(&record), ["caution-missing"]);
    assert!(!facts(&record).recomputed.is_empty(), "nor does its log lead there");

    // The caution of a reference above the hazard line is one of its own.
    let mut record = with(&[(Question::Reference, "31.0"), (Question::Reading, "21.92")]);
    assert_eq!(kinds(&record), ["high-reference"]);
    record.log.retain(|entry| !matches!(entry, LogEntry::Caution(one) if one.question == Question::ReferenceConfirmed));
    sign(&mut record, &sample_key());
    assert_eq!(kinds(&record), ["high-reference", "caution-missing"]);
}

/// Where a record is made by hand and signed, what does not follow from its readings is named with its field.
#[test]
fn what_does_not_follow_is_named_with_its_field() {
    type Change = fn(&mut Record);
    let changes: [(&str, Change); 6] = [
        ("plan.setting.target_v", |record| record.plan.setting.target_v = record.plan.setting.target_v.times(1.001)),
        ("outcome.verdict", |record| record.outcome.verdict = cornerset::meter::Verdict::Above),
        ("outcome.corner_hz", |record| {
            record.outcome.corner_hz = record.outcome.corner_hz.map(|hertz| hertz.times(1.01))
        }),
        ("job", |record| record.job = "Another job".to_owned()),
        ("plan.warnings", |record| record.plan.warnings.push("None of this holds.".to_owned())),
        ("filter.dial_mark_hz", |record| record.filter.dial_mark_hz = record.outcome.corner_hz),
    ];
    for (field, change) in changes {
        let mut record = with(&[]);
        change(&mut record);
        sign(&mut record, &sample_key());
        let facts = facts(&record);
        assert!(facts.standing.is_trusted(), "{field}: signed all the same");
        assert!(facts.recomputed[0].starts_with(field), "{field}: {:?}", facts.recomputed);
        assert_eq!(found(&audit(&[record], &[])), ["recomputed-differently 1"]);
    }
    let mut record = with(&[]);
    let reading = record.log.iter().position(|entry| entry.event() == "reading").unwrap();
    if let LogEntry::Reading(reading) = &mut record.log[reading] {
        reading.volts = reading.volts.times(1.01);
    }
    sign(&mut record, &sample_key());
    let said = facts(&record).recomputed.join(" ");
    assert!(
        said.contains(&format!("entry {}: this reading", reading + 1)) && said.contains("volts says 5.656"),
        "{said}"
    );
}

/// The last digit of another machine's arithmetic is none.
#[test]
fn a_last_digit_is_no_difference() {
    let mut record = with(&[]);
    let target = record.plan.setting.target_v.volts();
    record.plan.setting.target_v = cornerset::quantity::Volts::new(f64::from_bits(target.to_bits() + 2));
    sign(&mut record, &sample_key());
    assert_eq!(facts(&record).recomputed, [""; 0]);
}

/// Another version may word its warnings otherwise; its numbers are the same.
#[test]
fn another_versions_wording_is_no_difference() {
    let mut record = with(&[]);
    record.tool = "cornerset 9.0.0".to_owned();
    record.plan.warnings.push("In other words.".to_owned());
    sign(&mut record, &sample_key());
    assert_eq!(facts(&record).recomputed, [""; 0]);
    record.plan.setting.target_v = record.plan.setting.target_v.times(1.1);
    sign(&mut record, &sample_key());
    assert_eq!(facts(&record).recomputed.len(), 1);
}

#[test]
fn scripts_stand_out_among_hands_and_practice_among_real_records() {
    let mut bench = Bench::new("bench-1");
    bench.entry = EntryMode::Script;
    let scripted = bench.records(2);
    let all_scripted = audit(&scripted, &[]);
    assert_eq!((found(&all_scripted), all_scripted.scripted), (vec![], 2));
    bench.entry = EntryMode::Keyboard;
    let by_hand = bench.record();
    let mixed = [&scripted[..], &[by_hand]].concat();
    assert_eq!(found(&audit(&mixed, &[])), ["scripted 1", "scripted 2"]);
    // Another bench's hands say nothing of this one.
    assert_eq!(found(&audit(&[scripted.clone(), Bench::new("bench-2").records(1)].concat(), &[])), [""; 0]);

    let mut simulated = Bench::new("bench-3");
    simulated.practice = true;
    let practice = simulated.record_with(&[(Question::Reading, "5.60"), (Question::Reason, "to try it")]);
    let alone = audit(std::slice::from_ref(&practice), &[]);
    assert_eq!((found(&alone), alone.records, alone.practice, alone.technicians.len()), (vec![], 0, 1, 0));
    let among = audit(&[&scripted[..], &[practice]].concat(), &[]);
    assert_eq!((found(&among), among.records, among.practice), (vec!["practice 1".to_owned()], 2, 1));
}
