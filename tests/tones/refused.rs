//! What is refused, in one sentence that says what works; and disks that are full.

use std::fs;
use std::io::Write;
use std::process::Command;

use crate::common::{PROGRAM, Ran, Shop};

#[track_caller]
fn refusal(options: &str) -> String {
    let shop = Shop::new();
    let arguments: Vec<String> = options.split(' ').map(|word| word.replace('_', " ")).collect();
    let ran = Ran::of(shop.command().arg("tone").args(arguments)).expect(2);
    assert_eq!(ran.stdout, "");
    assert!(ran.stderr.starts_with("cornerset: ") && ran.stderr.lines().count() == 1, "{}", ran.stderr);
    assert_eq!(fs::read_dir(shop.path()).unwrap().count(), 0, "nothing was written");
    ran.stderr
}

#[test]
fn a_refusal_names_field_value_and_what_works() {
    for (options, says) in [
        ("--hz 30000 -o t.wav", "hz: `30000` is out of range; accepted: 5 to 200 Hz"),
        ("--hz -3 -o t.wav", "hz: `-3` is not positive; accepted: 5 to 200 Hz"),
        ("--hz 27 5_V -o t.wav", "hz: `5 V` is a voltage; accepted: 5 to 200 Hz"),
        ("--hz 27 --level-dbfs 0 -o t.wav", "level-dbfs: `0` would clip; accepted: -80 to -0.1 dBFS"),
        ("--hz 27 --level-dbfs 6 -o t.wav", "level-dbfs: `6` would clip; accepted: -80 to -0.1 dBFS"),
        ("--hz 27 --level-dbfs +3_dB -o t.wav", "level-dbfs: `+3 dB` would clip; accepted: -80 to -0.1 dBFS"),
        ("--hz 27 --level-dbfs -0.05 -o t.wav", "level-dbfs: `-0.05` would clip"),
        ("--hz 27 --level-dbfs -90 -o t.wav", "level-dbfs: `-90` is out of range"),
        ("--hz 27 --rate 44000 -o t.wav", "rate: `44000` is no rate that players take; accepted: 8000, 11025, 16000,"),
        ("--hz 27 --rate 44.1 -o t.wav", "rate: `44.1` is out of range; accepted: 8000 to 192000 Hz"),
        ("--hz 27 --bits 20 -o t.wav", "bits: `20` is no depth that players take; accepted: 16 or 24"),
        ("--hz 27 --bits 32 -o t.wav", "bits: `32` is out of range"),
        (
            "--hz 27 --seconds 0 -o t.wav",
            "seconds: `0` is not positive; accepted: 0.1 to 36000 s, also as 500 ms, 1.5 min, 1:30 or 2 h\n",
        ),
        ("--hz 27 --seconds 1m -o t.wav", "accepted: 0.1 to 36000 s, also as 500 ms, 1.5 min, 1:30 or 2 h\n"),
        ("--hz 27 --seconds 1:75 -o t.wav", "seconds: `1:75` is not a number; accepted: 0.1 to 36000 s, also as"),
        (
            "--hz 27 --seconds 3_hours --rate 96_kHz --bits 24 --stereo -o t.wav",
            "seconds: `10800 s` makes 6.22 GB, and no WAV file holds more than 4 GiB; accepted: up to 7456 s in this format",
        ),
        ("--hz 27 -o t.mp3", "output: `t.mp3` is no name of a sound file; accepted: a name that ends in .wav"),
        ("--hz 27", "output: nothing was given; accepted: -o FILE.wav, --play, or both"),
        ("-o t.wav", "hz: nothing was given; accepted: --hz with one tone or several"),
        ("--all -o tones", "slope: nothing was given; accepted: --slope 24"),
        ("--slope 24 -o t.wav", "slope: `24` is given without a plan"),
        ("--tone 30 -o t.wav", "tone: `30` is given without a plan"),
        ("--tuning 36 -o t.wav", "slope: nothing was given"),
        ("--tuning 36 --slope 24 --all", "output: nothing was given; accepted: -o with a folder"),
        ("--corner 27 --slope 12 --family second-order --q 3 --tone 27 -o t.wav", "tone: `27 Hz` is on the hump"),
        ("--sweep 20 -o t.wav", "sweep: `20` is no span; accepted: LOW..HIGH"),
        ("--sweep 2..80 -o t.wav", "sweep: `2..80`"),
        ("--sweep 20..80 --per-octave 0 -o t.wav", "per-octave: `0`"),
        ("--hz 27 --per-octave 3 -o t.wav", "--per-octave"),
        ("--per-octave 3 -o t.wav", "per-octave: `3` is given without tones; accepted: --sweep with it"),
        ("--rounds 3 -o t.wav", "rounds: `3` is given without tones; accepted: --hz or --sweep with it"),
        ("--hz 27 --rounds 1000 -o t.wav", "rounds: `1000` is out of range"),
        ("--tuning 36 --slope 24 --rounds 2 -o t.wav", "--rounds"),
        ("--hz 27 --tuning 36 -o t.wav", "--tuning"),
        ("--for 01900000 --hz 27 -o t.wav", "--hz"),
        ("--hz 27 --all -o t", "--all"),
        ("--tuning 36 --slope 24 --all --play -o t", "--play"),
        ("--for zzzz -o t.wav", "`zzzz` is not the id of a session"),
        ("--for nowhere.json -o t.wav", "`nowhere.json` is no record file that is there"),
    ] {
        let said = refusal(options);
        assert!(said.contains(says), "{options}: {said}");
    }
}

#[test]
fn numbers_are_taken_as_people_type_them() {
    let shop = Shop::new();
    for (options, key, value) in [
        ("--level-dbfs -6_dBFS", "level_dbfs", -6.0),
        ("--level-dbfs=-6,5", "level_dbfs", -6.5),
        ("--level-dbfs -20_dB", "level_dbfs", -20.0),
        ("--seconds 0.1_min", "length_s", 6.0),
        ("--seconds 500_ms", "length_s", 0.5),
        ("--seconds 0:02", "length_s", 2.0),
        ("--seconds 0.001_h", "length_s", 3.6),
        ("--rate 48_kHz", "rate_hz", 48_000.0),
        ("--bits 24_bit", "bits", 24.0),
        ("--stereo", "channels", 2.0),
    ] {
        let arguments: Vec<String> = options.split(' ').map(|word| word.replace('_', " ")).collect();
        let mut command = shop.command();
        command.args(["tone", "--json", "--seconds", "1", "--hz", "27,5 Hz", "-o", "t.wav"]);
        if options.starts_with("--seconds") {
            command = shop.command();
            command.args(["tone", "--json", "--hz", "27,5 Hz", "-o", "t.wav"]);
        }
        let document = Ran::of(command.args(arguments)).expect(0).json();
        assert_eq!(document["files"][0][key].as_f64(), Some(value), "{options}");
        assert_eq!(document["files"][0]["tones"][0]["tone_hz"], 27.5);
    }
}

/// A small disk, where one may be mounted: what is said to go goes, and a second more does not; all tones of a plan are refused
/// before any is made.
#[cfg(target_os = "linux")]
#[test]
fn a_small_disk_takes_what_was_said() {
    let shop = Shop::new();
    let disk = shop.path().join("disk");
    fs::create_dir(&disk).unwrap();
    let mounted = Command::new("mount").args(["-t", "tmpfs", "-o", "size=20m", "tmpfs"]).arg(&disk).output();
    if !mounted.is_ok_and(|output| output.status.success()) {
        // Only root may mount, and not everywhere; the same is shown without a disk in `tone/room.rs`.
        let _ = writeln!(std::io::stderr(), "skipped: a small disk cannot be mounted here");
        return;
    }
    let write = |seconds: &str| shop.run(&["tone", "--hz", "27", "--seconds", seconds, "-o", "disk/tone.wav"]);
    let refused = write("60");
    let said = refused.stderr.clone();
    let longest =
        said.rsplit_once("up to ").and_then(|(_, rest)| rest.split(' ').next()).unwrap_or_default().to_owned();
    let one_more = longest.parse::<u64>().map(|seconds| write(&(seconds + 1).to_string()));
    let goes = write(&longest);
    let left = fs::read_dir(&disk).unwrap().count();
    fs::remove_file(disk.join("tone.wav")).unwrap();
    let all = |seconds: &str| {
        shop.run(&["tone", "--tuning", "36", "--slope", "24", "--seconds", seconds, "--all", "-o", "disk/tones"])
    };
    let (all_refused, nothing) = (all("60"), fs::read_dir(&disk).unwrap().count());
    assert!(Command::new("umount").arg(&disk).status().unwrap().success());
    refused.expect(2);
    one_more.expect("a number of seconds").expect(2);
    goes.expect(0);
    assert_eq!(left, 1);
    let all_refused = all_refused.expect(2);
    assert!(all_refused.stderr.contains("the disk has"), "{all_refused:?}");
    assert_eq!(nothing, 0, "the room is looked at before anything is made");
}

/// A disk that turns out to be full all the same: no half file, what was there stays, exit code 3.
#[cfg(unix)]
#[test]
fn a_disk_that_fills_leaves_no_half_file() {
    let shop = Shop::new();
    fs::write(shop.path().join("tone.wav"), "before").unwrap();
    for arguments in ["--hz 27 -o tone.wav", "--tuning 36 --slope 24 --all -o tones"] {
        let mut command = Command::new("sh");
        let ran = Ran::of(
            command
                .args(["-c", &format!("ulimit -f 64; exec {PROGRAM} tone {arguments}")])
                .env_clear()
                .env("HOME", shop.path())
                .current_dir(shop.path()),
        )
        .expect(3);
        assert!(ran.stderr.contains("too large"), "{ran:?}");
    }
    assert_eq!(fs::read(shop.path().join("tone.wav")).unwrap(), b"before");
    assert_eq!(fs::read_dir(shop.path().join("tones")).unwrap().count(), 0);
    assert_eq!(fs::read_dir(shop.path()).unwrap().count(), 2, "no temporary file");
    let nowhere = shop.run(&["tone", "--hz", "27", "--seconds", "1", "-o", "nowhere/tone.wav"]).expect(3);
    assert!(nowhere.stderr.contains("cannot write nowhere/tone.wav"), "{nowhere:?}");
}

/// Three tones to the octave where nobody says otherwise: 40 Hz over the cube root of two, and over its square.
#[test]
fn a_sweep_has_three_tones_to_the_octave() {
    let shop = Shop::new();
    let arguments = ["tone", "--sweep", "20..40", "--seconds", "0.1", "--json", "-o", "t.wav"];
    let document = shop.run(&arguments).expect(0).json();
    let tones = document["files"][0]["tones"].as_array().unwrap().iter();
    let tones: Vec<f64> = tones.map(|tone| tone["tone_hz"].as_f64().unwrap()).collect();
    assert_eq!(tones, [40.0, 31.7, 25.2, 20.0]);
}
