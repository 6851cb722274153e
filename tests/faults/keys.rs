//! `key new` killed at every call, and every call made to fail: never half a pair that passes for a whole one, nothing that
//! others could read, and what is left signs or says why not.

use std::collections::BTreeSet;
use std::fs;
use std::os::unix::fs::PermissionsExt;
use std::path::{Path, PathBuf};
use std::process::Command;

use crate::calls::{Call, Stage, calls, calls_of, struck_in};
use crate::common::lines::Lines;
use crate::common::{Shop, outside};
use crate::oracle::all_files;
use crate::strikes::{is_long, strike_all};
use crate::trial::{Start, Struck};

fn key_new(shop: &Shop) -> Command {
    let mut command = shop.command();
    command.args(["--json", "key", "new", "--no-passphrase", "A. Sample"]);
    command
}

/// What makes, changes, names, or makes it last.
const CHANGES: [&str; 11] =
    ["openat", "write", "fsync", "mkdir", "chmod", "fchmod", "rename", "renameat", "renameat2", "linkat", "unlink"];

/// The calls on the store of the first key of a store; in the short form one of every kind that changes something.
fn places(turn: usize) -> Option<Vec<Call>> {
    // Whether calls can be read off at all.
    calls(Start::New)?;
    let shop = Shop::new();
    let mut places = calls_of(&shop, &key_new(&shop));
    let mut seen = BTreeSet::new();
    places.retain(|call| {
        call.of_store && (is_long() || call.is_of(&CHANGES) && seen.insert((call.kind.clone(), call.is_last)))
    });
    // In the short form every other one.
    let mut index = 0;
    places.retain(|_| {
        index += 1;
        is_long() || index % 2 == turn
    });
    assert!(places.iter().all(|call| call.stage == Stage::Before));
    Some(places)
}

/// The private half.
fn private(shop: &Shop) -> PathBuf {
    shop.store().join("keys/a-sample")
}

/// Nobody else can get at what is there, and what is there is whole; whether a private half is.
fn is_sound(shop: &Shop, struck: &Struck) -> bool {
    let keys = shop.store().join("keys");
    let mode = |path: &Path| fs::metadata(path).expect("it is there").permissions().mode() & 0o777;
    if keys.exists() {
        assert_eq!(mode(&keys), 0o700, "{struck:?}");
        let is_secret = |file: &Path| fs::read_to_string(file).expect("text").contains("PRIVATE");
        for file in all_files(&keys).iter().filter(|file| is_secret(file)) {
            assert_eq!(mode(file), 0o600, "{file:?} after {struck:?}");
        }
    }
    let (private, public) = (private(shop), keys.join("a-sample.pub"));
    if !private.exists() {
        assert!(!public.exists(), "a public half alone passes for a key that is held elsewhere: {struck:?}");
        return false;
    }
    // The public half, as OpenSSH works it out.
    if outside::needs("ssh-keygen", outside::runs("ssh", &["-V"])) {
        let said = Command::new("ssh-keygen").arg("-y").arg("-f").arg(&private).output().expect("ssh-keygen starts");
        assert!(said.status.success(), "OpenSSH does not read it: {struck:?}");
        let said = String::from_utf8(said.stdout).expect("text");
        if public.exists() {
            assert_eq!(said, fs::read_to_string(public).expect("a file"), "halves of two keys");
        }
    }
    true
}

/// What a person does next: makes the key, or finds it, trusts it and signs with it.
fn goes_on(shop: &Shop, struck: &Struck) {
    let is_there = is_sound(shop, struck);
    let again = Struck::of(&mut key_new(shop));
    assert_eq!(again.code, Some(if is_there { 2 } else { 0 }), "{again:?}\nafter {struck:?}");
    if is_there {
        assert!(again.stderr.contains("there is a key at"), "{again:?}");
    }
    let shown = shop.run(&["--json", "key", "show"]).expect(0).json();
    let fingerprint = shown["keys"][0]["fingerprint"].as_str().unwrap_or_else(|| panic!("{shown} after {struck:?}"));
    shop.run(&["key", "trust", "--name", "A. Sample", &private(shop).display().to_string()]).expect(0);
    shop.script(&Lines::required().text()).expect(0);
    assert!(shop.record()["sign_off"]["statement"].to_string().contains(fingerprint), "{}", shop.record());
    shop.run(&["audit"]).expect(0);
    // Another key clears away what was left of the first.
    shop.run(&["key", "new", "--no-passphrase", "B. Sample"]).expect(0);
    let left: Vec<_> =
        all_files(&shop.store()).into_iter().filter(|path| path.extension().is_some_and(|end| end == "part")).collect();
    assert_eq!(left, [""; 0].map(PathBuf::from), "after {struck:?}");
}

#[test]
fn a_key_that_is_made_is_killed() {
    let Some(places) = places(0) else { return };
    strike_all("kill -9 at a call of `key new`", &places, |call| {
        let shop = Shop::new();
        let struck = struck_in(&shop, &key_new(&shop), call, "signal=KILL");
        goes_on(&shop, &struck);
    });
}

/// What the key and its place on the list do not hang on: whether something is there already (nothing is ever replaced all
/// the same), how long a file is, and what a killed program left.
fn is_harmless(call: &Call) -> bool {
    let is_of_listing =
        ["openat to list keys", "newfstatat held keys", "getdents64 keys"].contains(&call.kind.as_str());
    is_of_listing || call.is_of(&["statx"])
}

#[test]
fn a_key_that_is_made_on_a_disk_that_fails() {
    let Some(places) = places(1) else { return };
    let places: Vec<&Call> = places.iter().filter(|call| call.name != "close").collect();
    strike_all("EIO at a call of `key new`", &places, |call| {
        let shop = Shop::new();
        let struck = struck_in(&shop, &key_new(&shop), call, "error=EIO");
        let is_made = is_sound(&shop, &struck);
        assert_eq!(is_made, struck.code == Some(0), "{struck:?}");
        if !is_made {
            assert_eq!(struck.code, Some(3), "{struck:?}");
            let store = shop.store().display().to_string();
            assert!(struck.stderr.contains(&store) && struck.stderr.contains("input/output error"), "{struck:?}");
        } else if !is_harmless(call) {
            assert!(struck.stdout.contains("It is on no trust list: cannot "), "{struck:?}");
            assert!(struck.stdout.contains("input/output error"), "{struck:?}");
        }
        goes_on(&shop, &struck);
    });
}

/// A list that is shared by a link stays one where the disk does not say that it is there.
#[test]
fn a_shared_list_on_a_disk_that_fails() {
    if calls(Start::New).is_none() {
        return;
    }
    let made = || {
        let shop = Shop::new();
        key_new(&shop).output().expect("the program starts");
        let (list, shared) = (shop.store().join("allowed_signers"), shop.path().join("shared"));
        fs::rename(&list, &shared).expect("a list");
        std::os::unix::fs::symlink(&shared, &list).expect("a link");
        let mut command = shop.command();
        command.args(["key", "trust", "--name", "B. Sample"]).arg(private(&shop).with_extension("pub"));
        (shop, command, list)
    };
    let (shop, command, _) = made();
    let looks: Vec<Call> = calls_of(&shop, &command);
    let looks: Vec<&Call> = looks.iter().filter(|call| call.kind == "statx itself allowed_signers").collect();
    strike_all("EIO at a look at a shared list", &looks, |call| {
        let (shop, command, list) = made();
        let struck = struck_in(&shop, &command, call, "error=EIO");
        assert_eq!(struck.code, Some(3), "{struck:?}");
        assert!(struck.stderr.contains("input/output error"), "{struck:?}");
        assert!(list.is_symlink(), "{struck:?}");
    });
}
