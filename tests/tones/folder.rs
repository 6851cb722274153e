//! The tones of a plan in a folder: names, order, list, and what is replaced.

use std::fs;
use std::path::Path;
use std::process::Command;
use std::time::{Duration, Instant};

use serde_json::Value;

use crate::common::lines::Lines;
use crate::common::{Ran, Shop};
use crate::measured::{has_numpy, measured, named};

const PLAN: [&str; 9] = ["tone", "--tuning", "36", "--slope", "24", "--seconds", "1", "--all", "-o"];

fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> =
        fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    names
}

/// The tones of every file but the last, which has all of them.
pub fn tones(document: &Value) -> Vec<f64> {
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

/// A folder that has a list is whole: where the tones are made again and that fails at the second one, the old list is gone.
#[test]
fn a_run_that_fails_leaves_no_list() {
    let shop = Shop::new();
    let folder = shop.path().join("tones");
    let write = || shop.run(&[&PLAN[..], &["tones"]].concat());
    write().expect(0);
    let (list, second) = (folder.join("track-list.txt"), folder.join(&names(&folder)[1]));
    assert!(list.exists());
    fs::remove_file(&second).unwrap();
    fs::create_dir(&second).unwrap();
    write().expect(3);
    assert!(!list.exists(), "{:?}", names(&folder));
    fs::remove_dir(&second).unwrap();
    write().expect(0);
    assert!(list.exists() && second.is_file());
}

/// The same where a signal comes while the first tone is made again: every file is still whole, and there is no list.
#[cfg(unix)]
#[test]
fn a_run_that_is_stopped_leaves_no_list() {
    let shop = Shop::new();
    let folder = shop.path().join("tones");
    shop.run(&[&PLAN[..], &["tones"]].concat()).expect(0);
    let before = names(&folder);
    let long =
        ["tone", "--tuning", "36", "--slope", "24", "--all", "--seconds", "3000", "--rate", "8000", "-o", "tones"];
    let child = shop.command().args(long).spawn().unwrap();
    let begun = Instant::now();
    while !names(&folder).iter().any(|name| name.ends_with(".part")) {
        assert!(begun.elapsed() < Duration::from_secs(30), "nothing is written");
        std::thread::sleep(Duration::from_millis(5));
    }
    assert!(Command::new("kill").args(["-s", "TERM", &child.id().to_string()]).status().unwrap().success());
    let output = Ran::from(child.wait_with_output().unwrap());
    assert_eq!(output.code, Some(130), "{output:?}");
    let left: Vec<&String> = before.iter().filter(|name| *name != "track-list.txt").collect();
    assert_eq!(names(&folder).iter().collect::<Vec<_>>(), left);
}

/// Nothing goes into a store, by whatever way it is named.
#[test]
fn a_store_takes_no_tones() {
    let shop = Shop::new();
    shop.script(&Lines::required().text()).expect(0);
    #[cfg(unix)]
    {
        std::os::unix::fs::symlink(shop.store().join("open"), shop.path().join("link")).unwrap();
        for place in ["link", "link/new"] {
            let ran = shop.run(&[&PLAN[..], &[place]].concat()).expect(3);
            assert!(ran.stderr.contains("belongs to a store"), "{ran:?}");
        }
    }
    for place in ["store/records", "store/open/new"] {
        let ran = shop.run(&[&PLAN[..], &[place]].concat()).expect(3);
        assert!(ran.stderr.contains("belongs to a store"), "{ran:?}");
    }
    assert!(names(&shop.store().join("open")).is_empty());
    let ran = shop.run(&["tone", "--hz", "27", "--seconds", "1", "-o", "store/records/tone.wav"]).expect(3);
    assert!(ran.stderr.contains("belongs to a store"), "{ran:?}");
}
