//! The tones of a plan in a folder: names, order, list, and what is replaced.

use std::fs;
use std::path::Path;

use serde_json::Value;

use crate::common::lines::Lines;
use crate::common::{Shop, samples};
use crate::measured::{has_numpy, measured, named};

const PLAN: [&str; 9] = ["tone", "--tuning", "36", "--slope", "24", "--seconds", "1", "--all", "-o"];

fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> =
        fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    names
}

/// The tones of every file but the last, which has all of them.
fn tones(document: &Value) -> Vec<f64> {
    let files = document["files"].as_array().unwrap();
    let (last, each) = files.split_last().unwrap();
    let of = |file: &Value| -> Vec<f64> {
        file["tones"].as_array().unwrap().iter().map(|tone| tone["tone_hz"].as_f64().unwrap()).collect()
    };
    let each: Vec<f64> = each.iter().flat_map(of).collect();
    assert_eq!(of(last), each);
    each
}

#[test]
fn a_plan_is_a_folder_in_the_order_of_the_work() {
    let shop = Shop::new();
    let ran = shop.run(&[&PLAN[..], &["stick/tones", "--json"]].concat()).expect(0);
    assert_eq!(ran.stderr, "");
    let document = ran.json();
    let folder = shop.path().join("stick/tones");
    let written = names(&folder);
    let files: Vec<String> = document["files"]
        .as_array()
        .unwrap()
        .iter()
        .map(|file| Path::new(file["path"].as_str().unwrap()).file_name().unwrap().to_str().unwrap().to_owned())
        .collect();
    assert!(files.is_sorted());
    assert_eq!([files.clone(), vec!["track-list.txt".to_owned()]].concat(), written);
    assert_eq!(files[0], "01-set-27.0-hz.wav");
    assert!(files[1].starts_with("02-check-") && files.last().unwrap().ends_with("-all-tones.wav"));
    // The setting tone is the corner; 1 dB down is at 27 / (10^0.1 - 1)^(1/8) = 31.968 Hz (Butterworth).
    let tones = tones(&document);
    assert_eq!(tones[0], 27.0);
    assert!(tones.contains(&31.97), "{tones:?}");
    assert_eq!(document["files"][0]["tones"][0]["down_db"], serde_json::json!([3.0]));
    assert_eq!((&document["plan"]["corner_hz"], &document["plan"]["session"]), (&27.0.into(), &Value::Null));
    assert_eq!(document["warnings"].as_array().unwrap().len(), 4);
    let list = fs::read_to_string(folder.join("track-list.txt")).unwrap();
    assert!(list.lines().all(|line| line.chars().count() <= 80) && list.is_ascii(), "{list}");
    for (file, name) in document["files"].as_array().unwrap().iter().zip(&files) {
        assert!(list.contains(name), "{list}");
        assert_eq!(fs::metadata(file["path"].as_str().unwrap()).unwrap().len(), file["size_bytes"].as_u64().unwrap());
    }
    if has_numpy() {
        let all = document["files"].as_array().unwrap().last().unwrap();
        let measured = measured(Path::new(all["path"].as_str().unwrap()), &named(all));
        for tone in measured["tones"].as_array().unwrap() {
            assert!(
                (tone["level_dbfs"].as_f64().unwrap() + 6.0).abs() < 0.001
                    && tone["silence_most"].as_f64() <= Some(1.0)
            );
        }
    }
}

/// Files of the same names are replaced, others stay; tones of another plan, and a list that is none of ours, are refused before
/// anything is written.
#[test]
fn what_is_there_already() {
    let shop = Shop::new();
    let folder = shop.path().join("tones");
    let write = |more: &[&str]| shop.run(&[&PLAN[..], &["tones"], more].concat());
    write(&[]).expect(0);
    let before = names(&folder);
    fs::write(folder.join("02-song.wav"), "music").unwrap();
    fs::write(folder.join(&before[0]), "old").unwrap();
    write(&[]).expect(0);
    assert_eq!(names(&folder).len(), before.len() + 1);
    assert_eq!(fs::read(folder.join("02-song.wav")).unwrap(), b"music");
    assert!(fs::metadata(folder.join(&before[0])).unwrap().len() > 80_000);
    let other =
        shop.run(&["tone", "--corner", "30", "--slope", "24", "--all", "--seconds", "1", "-o", "tones"]).expect(2);
    assert!(other.stderr.contains("output: `tones` holds tones of another plan (01-set-27.0-hz.wav and"), "{other:?}");
    fs::write(folder.join("track-list.txt"), "my own list").unwrap();
    let list = write(&[]).expect(2);
    assert!(list.stderr.contains("holds a track-list.txt that this program did not write"), "{list:?}");
    assert_eq!(fs::read(folder.join("track-list.txt")).unwrap(), b"my own list");
    let file = shop.run(&[&PLAN[..], &["tones.wav"]].concat()).expect(2);
    assert!(file.stderr.contains("output: `tones.wav` is the name of a file"), "{file:?}");
}

/// Nothing goes into a store.
#[test]
fn a_store_takes_no_tones() {
    let shop = Shop::new();
    shop.script(&Lines::required().text()).expect(0);
    for place in ["store/records", "store/open/new"] {
        let ran = shop.run(&[&PLAN[..], &[place]].concat()).expect(3);
        assert!(ran.stderr.contains("belongs to a store"), "{ran:?}");
    }
    assert!(names(&shop.store().join("open")).is_empty());
    let ran = shop.run(&["tone", "--hz", "27", "--seconds", "1", "-o", "store/records/tone.wav"]).expect(3);
    assert!(ran.stderr.contains("belongs to a store"), "{ran:?}");
}

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
