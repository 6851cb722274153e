//! The tones of a session's plan: open, signed off, or in a record file.

use std::fs;
use std::path::Path;

use cornerset::corner::{Mark, Reading, Reference};
use cornerset::filter::{Alignment, Family, Rule, Slope};
use cornerset::meter::{MeterSpec, Tolerance};
use cornerset::plan::{CornerChoice, Inputs};
use cornerset::quantity::{Hertz, Percent};
use cornerset::record::Record;
use cornerset::tone::{ASSUMED_REFERENCE, tones_of};
use serde_json::Value;

use crate::common::lines::Lines;
use crate::common::{Shop, samples, walk_ids};
use crate::folder::tones;

/// A session's plan, while it is open, before its reference is read, and once it is signed off; nothing of it changes.
#[test]
fn the_plan_of_a_session() {
    let shop = Shop::new();
    let lines = Lines::required().with("tuning", "40 Hz").with("rule", "octave");
    shop.script(&lines.clone().before("reference").text()).expect(2);
    let journal = shop.journals().remove(0);
    let id = journal.file_stem().unwrap().to_str().unwrap().to_owned();
    let bytes = fs::read(&journal).unwrap();
    let of =
        |id: &str, more: &[&str]| shop.run(&[&["tone", "--seconds", "1", "--json", "--for", id][..], more].concat());
    let document = of(&id, &["-o", "set.wav"]).expect(0).json();
    assert_eq!(
        (&document["plan"]["corner_hz"], &document["plan"]["session"]),
        (&20.0.into(), &Value::from(id.as_str()))
    );
    assert_eq!(document["files"][0]["tones"][0]["tone_hz"], 20.0);
    let open = of(&id[..13], &["--all", "-o", "open"]).expect(0).json();
    assert_eq!(fs::read(&journal).unwrap(), bytes, "the journal is as it was");
    let list = fs::read_to_string(shop.path().join("open/track-list.txt")).unwrap();
    assert!(list.contains(&id) && list.contains("Work order 0501"), "{list}");

    // The reference that is reckoned with before one is read, so that the same tones are told.
    let rest = lines.from("reference").with("reference", "10.00").with("reading", "7.07").text();
    shop.run_with_input(&["set", "--resume", &id, "--script", "-"], rest.as_bytes()).expect(0);
    let closed = of(&id, &["--all", "-o", "closed"]).expect(0).json();
    assert_eq!(tones(&closed), tones(&open));
    assert_eq!(closed["plan"], open["plan"]);
    assert_eq!(closed["warnings"].as_array().unwrap().len(), 4);

    let none = of("0000dead", &["-o", "x.wav"]).expect(2);
    assert!(none.stderr.contains("no session in") && none.stderr.contains("open or signed off"), "{none:?}");
    shop.script(&Lines::required().before("tuning").text()).expect(2);
    let early = shop.journals()[0].file_stem().unwrap().to_str().unwrap().to_owned();
    let early = of(&early, &["-o", "x.wav"]).expect(2);
    assert!(early.stderr.contains("is a session whose corner is not known yet"), "{early:?}");
    assert!(!shop.path().join("x.wav").exists());
}

/// Record files, one of a filter that stays in, and one that someone changed.
#[test]
fn the_plan_of_a_record_file() {
    let shop = Shop::new();
    for name in ["plain", "filter-stays-in", "linkwitz-riley-off-the-corner", "unknown-family"] {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-sessions").join(name).with_extension("json");
        let folder = shop.path().join(name);
        let arguments = ["tone", "--all", "--seconds", "0.5", "--json", "--for", path.to_str().unwrap(), "-o"];
        let document = shop.run(&[&arguments[..], &[folder.to_str().unwrap()]].concat()).expect(0).json();
        let record = samples::sample(name);
        assert_eq!(document["files"][0]["tones"][0]["tone_hz"], record.plan.setting.tone_hz.hz());
        assert_eq!(document["warnings"].as_array().unwrap().len(), 4, "{name}");
        let list = fs::read_to_string(folder.join("track-list.txt")).unwrap();
        assert_eq!(list.contains("with the knob at its mark"), name == "filter-stays-in", "{list}");
    }
    let mut record = samples::sample("plain");
    record.job.push('!');
    let path = shop.path().join("changed.json");
    fs::write(&path, serde_json::to_vec(&record).unwrap()).unwrap();
    let ran = shop.run(&["tone", "--for", "changed.json", "--seconds", "1", "-o", "x.wav"]).expect(0);
    assert!(ran.stderr.contains("The record is not as it was signed off"), "{ran:?}");
    record.plan.setting.tone_hz = cornerset::quantity::Hertz::new(20_000.0);
    fs::write(&path, serde_json::to_vec(&record).unwrap()).unwrap();
    let ran = shop.run(&["tone", "--for", "changed.json", "--seconds", "1", "-o", "x.wav"]).expect(2);
    assert!(ran.stderr.contains("for: `changed.json` holds a plan that cannot be"), "{ran:?}");
}

/// The tones of these inputs, as numbers.
fn of_inputs(inputs: &Inputs) -> Vec<f64> {
    tones_of(inputs).iter().map(|tone| tone.tone.hz()).collect()
}

/// A session that was cut off before its reference: its mark, its own tone and its meter count, each of which changes the tones.
#[test]
fn what_an_open_session_knows_before_its_reference() {
    let shop = Shop::new();
    let lines = Lines::required()
        .with("meter-digits", "60")
        .with("bypass", "no")
        .with("reference-mark", "12 Hz")
        .with("mark-uncertainty", "5 %")
        .with("tone", "31 Hz");
    shop.script(&lines.before("reference").text()).expect(2);
    let id = walk_ids(&shop).remove(0);
    let arguments = ["tone", "--seconds", "0.1", "--all", "--json", "-o", "tones", "--for", &id];
    let document = shop.run(&arguments).expect(0).json();
    let alignment = Alignment::new(Family::Butterworth, Slope::USUAL).unwrap();
    let mark = Mark { at: Hertz::new(12.0), uncertainty: Percent::new(5.0) };
    let reference = Reference { reading: Reading::steady(ASSUMED_REFERENCE), mark: Some(mark) };
    let inputs = Inputs {
        corner: CornerChoice::Rule(Hertz::new(36.0), Rule::ThreeQuarters),
        alignment,
        reference,
        tone: Hertz::new(31.0),
        tolerance: Tolerance::USUAL,
        meter: MeterSpec { digits: 60, ..MeterSpec::USUAL },
        range_held: true,
    };
    let expected = of_inputs(&inputs);
    assert_eq!(tones(&document), expected);
    assert_eq!(expected[0], 31.0);
    let others = [
        Inputs { reference: Reference { mark: None, ..reference }, ..inputs },
        Inputs { tone: Hertz::new(27.0), ..inputs },
        Inputs { meter: MeterSpec::USUAL, ..inputs },
    ];
    for (place, other) in others.iter().enumerate() {
        assert_ne!(of_inputs(other), expected, "{place} changes nothing here");
    }
    let list = fs::read_to_string(shop.path().join("tones/track-list.txt")).unwrap();
    assert!(list.contains("  reference at 31.0 Hz, knob at its mark of 12.0 Hz"), "{list}");
}

/// The meter of a record counts: with digits that say little, other tones check the filter.
#[test]
fn the_meter_of_a_record_counts() {
    let shop = Shop::new();
    let mut record = samples::sample("plain");
    let of = |record: &Record, name: &str| {
        fs::write(shop.path().join(format!("{name}.json")), serde_json::to_vec(record).unwrap()).unwrap();
        let file = format!("{name}.json");
        let arguments = ["tone", "--seconds", "0.1", "--all", "--json", "-o", name, "--for", &file];
        tones(&shop.run(&arguments).expect(0).json())
    };
    let fine = of(&record, "fine");
    record.plan.meter_digits = 60;
    let coarse = of(&record, "coarse");
    assert_ne!(fine, coarse);
    assert_eq!(coarse, of_inputs(&record.plan.inputs().unwrap()));
}

/// A part of an id that fits a record and an open session names neither.
#[test]
fn a_part_that_fits_a_record_and_an_open_session_is_ambiguous() {
    let shop = Shop::new();
    shop.script(&Lines::required().text()).expect(0);
    let closed = shop.record()["id"].as_str().unwrap().to_owned();
    let of = |part: &str| shop.run(&["tone", "--seconds", "0.1", "-o", "x.wav", "--for", part]);
    // The first four digits of such ids are the same for years.
    of(&closed[..4]).expect(0);
    fs::remove_file(shop.path().join("x.wav")).unwrap();
    shop.script(&Lines::required().before("reference").text()).expect(2);
    let open = walk_ids(&shop).remove(0);
    assert_eq!(open[..4], closed[..4]);
    let ran = of(&closed[..4]).expect(2);
    assert!(ran.stderr.contains(&open[..13]) && ran.stderr.contains(&closed[..13]), "{ran:?}");
    assert!(!shop.path().join("x.wav").exists());
    for whole in [&open, &closed] {
        of(whole).expect(0);
    }
}
