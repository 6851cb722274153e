//! Playing: a player of our own on the search path, which notes what it is given.

#![cfg(unix)]

use std::fs;
use std::os::unix::fs::PermissionsExt;
use std::path::PathBuf;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use crate::common::{Ran, Shop};

/// A shop with players of these names and this script; `$1` is the file.
fn shop(players: &[&str], script: &str) -> Shop {
    let shop = Shop::new();
    for folder in ["bin", "tmp"] {
        fs::create_dir(shop.path().join(folder)).unwrap();
    }
    for player in players {
        let path = shop.path().join("bin").join(player);
        fs::write(&path, format!("#!/bin/sh\n{script}\n")).unwrap();
        fs::set_permissions(&path, fs::Permissions::from_mode(0o755)).unwrap();
    }
    shop
}

/// `tone --hz 27 --play`, with nothing but our players to be found.
fn play(shop: &Shop, more: &[&str]) -> Command {
    let mut command = shop.command();
    command
        .env("PATH", shop.path().join("bin"))
        .env("TMPDIR", shop.path().join("tmp"))
        .args(["tone", "--hz", "27", "--seconds", "1", "--play"])
        .args(more);
    command
}

fn temporary(shop: &Shop) -> usize {
    fs::read_dir(shop.path().join("tmp")).unwrap().count()
}

/// What the player saw: how it was called, and how large the file was.
const NOTES: &str = "printf '%s\\n' \"$0\" \"$@\" >seen; /bin/cp \"$1\" heard.wav";

#[test]
fn the_first_player_plays_a_temporary_file() {
    let shop = shop(&["aplay", "paplay"], NOTES);
    let ran = Ran::of(&mut play(&shop, &[])).expect(0);
    assert!(ran.stderr.contains("Playing it with paplay. Ctrl-C stops it."), "{ran:?}");
    assert!(ran.stderr.find("Speakers are disconnected") < ran.stderr.find("Playing"), "the caution comes first");
    let seen = fs::read_to_string(shop.path().join("seen")).unwrap();
    let seen: Vec<&str> = seen.lines().collect();
    assert_eq!(seen.len(), 2, "{seen:?}");
    assert!(seen[0].ends_with("/paplay") && seen[1].ends_with(".wav") && PathBuf::from(seen[1]).is_absolute());
    assert_eq!(fs::metadata(shop.path().join("heard.wav")).unwrap().len(), 44 + 88_200);
    assert_eq!(temporary(&shop), 0, "the file is gone");
}

#[test]
fn a_kept_file_is_played_where_it_is() {
    let shop = shop(&["afplay"], NOTES);
    let document = Ran::of(&mut play(&shop, &["--output=-tone.wav", "--json"])).expect(0).json();
    assert_eq!(document["player"], "afplay");
    let path = document["files"][0]["path"].as_str().unwrap();
    let seen = fs::read_to_string(shop.path().join("seen")).unwrap();
    assert_eq!(seen.lines().nth(1), Some(path));
    assert!(fs::read(path).unwrap() == fs::read(shop.path().join("heard.wav")).unwrap());
}

#[test]
fn a_player_that_fails_is_named() {
    let failing = shop(&["pw-play"], "echo 'no sound card' >&2; exit 7");
    let ran = Ran::of(&mut play(&failing, &[])).expect(2);
    assert!(ran.stderr.contains("pw-play did not play the file and ended with status 7"), "{ran:?}");
    assert!(ran.stderr.contains("no sound card"), "what it said is passed on");
    assert_eq!(temporary(&failing), 0);
    let none = shop(&[], "");
    fs::write(none.path().join("bin/aplay"), "not to be run").unwrap();
    let ran = Ran::of(&mut play(&none, &[])).expect(2);
    assert!(
        ran.stderr.contains("no player is installed; accepted: one of pw-play, paplay, aplay or afplay"),
        "{ran:?}"
    );
    assert!(ran.stderr.contains("-o FILE.wav"), "{ran:?}");
    assert_eq!(temporary(&none), 0);
}

/// Ctrl-C and SIGTERM end the player, leave no temporary file, and the exit code is 130; a file that was kept stays.
#[test]
fn a_signal_ends_the_player() {
    for (signal, kept) in [("INT", false), ("TERM", false), ("INT", true)] {
        let shop = shop(&["pw-play"], "echo $$ >pid.part; /bin/mv pid.part pid; exec /bin/sleep 60");
        let more: &[&str] = if kept { &["-o", "tone.wav"] } else { &[] };
        let child = play(&shop, more).stderr(Stdio::piped()).spawn().unwrap();
        let pid = shop.path().join("pid");
        let begun = Instant::now();
        while !pid.exists() {
            assert!(begun.elapsed() < Duration::from_secs(30), "the player does not start");
            std::thread::sleep(Duration::from_millis(10));
        }
        let player = fs::read_to_string(&pid).unwrap().trim().to_owned();
        let sent = Command::new("kill").args(["-s", signal, &child.id().to_string()]).status().unwrap();
        assert!(sent.success());
        let output = Ran::from(child.wait_with_output().unwrap());
        assert_eq!(output.code, Some(130), "{output:?}");
        assert!(begun.elapsed() < Duration::from_secs(30), "at once");
        let alive = Command::new("kill").args(["-s", "0", &player]).stderr(Stdio::null()).status().unwrap();
        assert!(!alive.success(), "the player has ended");
        assert_eq!(temporary(&shop), 0);
        assert_eq!(shop.path().join("tone.wav").exists(), kept);
    }
}

/// Whatever a player says on its standard output, that of the program is one document.
#[test]
fn what_a_player_prints_is_no_result() {
    let shop = shop(&["pw-play"], "echo playing; echo heard >heard");
    let document = Ran::of(&mut play(&shop, &["--json"])).expect(0).json();
    assert_eq!(document["player"], "pw-play");
    assert!(shop.path().join("heard").exists());
}

/// A player that SIGINT ends was stopped by someone, whether the program saw the signal or not.
#[test]
fn a_player_that_is_interrupted_by_itself() {
    let shop = shop(&["pw-play"], "kill -s INT $$; exec /bin/sleep 60");
    Ran::of(&mut play(&shop, &[])).expect(130);
    assert_eq!(temporary(&shop), 0);
}

/// A player that catches the signal may be first to end, well or not: that it was stopped counts. The program is held meanwhile,
/// so that the player has ended when it looks.
#[test]
fn a_player_that_catches_the_signal() {
    for status in ["0", "1"] {
        let script = format!(
            "trap 'echo >ended; exit {status}' INT; echo $$ >pid.part; /bin/mv pid.part pid; while :; do /bin/sleep 0.02; done"
        );
        let shop = shop(&["pw-play"], &script);
        let child = play(&shop, &[]).stderr(Stdio::piped()).spawn().unwrap();
        let begun = Instant::now();
        let appears = |name: &str| {
            while !shop.path().join(name).exists() {
                assert!(begun.elapsed() < Duration::from_secs(30), "no {name}");
                std::thread::sleep(Duration::from_millis(10));
            }
        };
        let send = |signal: &str, id: &str| {
            assert!(Command::new("kill").args(["-s", signal, id]).status().unwrap().success());
        };
        appears("pid");
        let (program, player) = (child.id().to_string(), fs::read_to_string(shop.path().join("pid")).unwrap());
        send("STOP", &program);
        send("INT", player.trim());
        appears("ended");
        std::thread::sleep(Duration::from_millis(200));
        send("INT", &program);
        send("CONT", &program);
        let output = Ran::from(child.wait_with_output().unwrap());
        assert_eq!(output.code, Some(130), "{status}: {output:?}");
        assert_eq!(temporary(&shop), 0);
    }
}

/// A signal while a long file is made: nothing of it is left.
#[test]
fn a_signal_while_a_file_is_made() {
    let shop = shop(&[], "");
    let arguments = ["tone", "--hz", "27", "--seconds", "36000", "--rate", "8000", "-o", "tone.wav"];
    let child = shop.command().args(arguments).spawn().unwrap();
    let begun = Instant::now();
    let is_part = |entry: fs::DirEntry| entry.file_name().to_string_lossy().ends_with(".part");
    while !fs::read_dir(shop.path()).unwrap().any(|entry| entry.is_ok_and(is_part)) {
        assert!(begun.elapsed() < Duration::from_secs(30), "nothing is written");
        std::thread::sleep(Duration::from_millis(5));
    }
    assert!(Command::new("kill").args(["-s", "TERM", &child.id().to_string()]).status().unwrap().success());
    let output = Ran::from(child.wait_with_output().unwrap());
    assert_eq!(output.code, Some(130), "{output:?}");
    let names: Vec<_> = fs::read_dir(shop.path()).unwrap().map(|entry| entry.unwrap().file_name()).collect();
    assert_eq!(names.len(), 2, "{names:?}");
}
