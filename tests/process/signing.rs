//! Signing off with a key: the signature is one that OpenSSH accepts, and whatever is wrong with a key loses nothing.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};

use serde_json::Value;

use crate::common::lines::Lines;
use crate::common::outside::{needs, runs};
use crate::common::{Ran, Shop, walk_ids};

/// A shop with OpenSSH at hand; `None` where it is missing.
fn shop() -> Option<Shop> {
    needs("ssh-keygen", runs("ssh", &["-V"])).then(Shop::new)
}

/// Runs a shell command in the shop's folder.
fn sh(shop: &Shop, command: &str) -> (bool, String) {
    let output = Command::new("sh")
        .args(["-c", command])
        .current_dir(shop.path())
        .stdin(Stdio::null())
        .stderr(Stdio::piped())
        .output()
        .expect("a shell");
    let said = [output.stdout, output.stderr].concat();
    (output.status.success(), String::from_utf8_lossy(&said).into_owned())
}

/// A key that ssh-keygen makes.
fn key(shop: &Shop, name: &str, kind: &str, passphrase: &str) -> PathBuf {
    let (made, said) = sh(shop, &format!("ssh-keygen -q -t {kind} -N '{passphrase}' -C '' -f {name}"));
    assert!(made, "{said}");
    shop.path().join(name)
}

/// A program for SSH_ASKPASS that gives this.
fn askpass(shop: &Shop, name: &str, gives: &str) -> PathBuf {
    let path = shop.path().join(name);
    fs::write(&path, format!("#!/bin/sh\n{gives}\n")).unwrap();
    assert!(sh(shop, &format!("chmod 700 {name}")).0);
    path
}

fn set(shop: &Shop, key: &Path, askpass: Option<&Path>, more: &[&str]) -> Ran {
    let script = shop.path().join("lines");
    fs::write(&script, Lines::required().text()).unwrap();
    let mut command = shop.command();
    command.args(["set", "--key"]).arg(key);
    if more.is_empty() {
        command.arg("--script").arg(script);
    } else {
        command.args(more);
    }
    if let Some(askpass) = askpass {
        command.env("SSH_ASKPASS", askpass);
    }
    Ran::of(&mut command)
}

/// OpenSSH's verdict on the only record of a shop, over the bytes that `records canonical` prints.
fn openssh_accepts(shop: &Shop, public: &str, name: &str, change: &str) -> bool {
    let record = shop.record();
    let canonical = shop.command().args(["records", "canonical", record["id"].as_str().unwrap()]).output().unwrap();
    assert!(!canonical.stdout.ends_with(b"\n"));
    fs::write(shop.path().join("bytes"), canonical.stdout).unwrap();
    fs::write(shop.path().join("sig"), record["sign_off"]["signature"].as_str().unwrap()).unwrap();
    let public = fs::read_to_string(shop.path().join(public)).unwrap();
    fs::write(shop.path().join("allowed"), format!("{name} namespaces=\"cornerset-record\" {public}")).unwrap();
    let verify = format!("ssh-keygen -Y verify -f allowed -I {name} -n cornerset-record -s sig < bytes");
    sh(shop, &format!("{change}; {verify}")).0
}

#[test]
fn openssh_accepts_what_is_signed_and_refuses_what_was_changed() {
    for (kind, passphrase) in
        [("ed25519", ""), ("ed25519", "a secret"), ("ecdsa -b 256", ""), ("ecdsa -b 256", "a secret")]
    {
        let Some(shop) = shop() else { return };
        let key = key(&shop, "key", kind, passphrase);
        let ask = askpass(&shop, "ask", &format!("echo '{passphrase}'"));
        let ran = set(&shop, &key, Some(&ask), &[]).expect(0);
        assert!(ran.stdout.contains("with a key"), "{}", ran.stdout);
        assert!(openssh_accepts(&shop, "key.pub", "a-sample", "true"), "{kind}");
        assert!(!openssh_accepts(&shop, "key.pub", "a-sample", "printf x >> bytes"), "{kind}: a byte more");
        assert!(
            !openssh_accepts(&shop, "key.pub", "a-sample", "sed -i 's/\"sequence\":1/\"sequence\":2/' bytes"),
            "{kind}"
        );
        sh(&shop, "ssh-keygen -q -t ed25519 -N '' -f other");
        assert!(!openssh_accepts(&shop, "other.pub", "a-sample", "true"), "{kind}: another key");
        let record = shop.record();
        let fingerprint = sh(&shop, "ssh-keygen -lf key.pub").1.split(' ').nth(1).unwrap().to_owned();
        assert!(record["sign_off"]["statement"].as_str().unwrap().ends_with(&format!("with the key {fingerprint}")));
    }
}

/// The record of a signature that `ssh-keygen -Y sign` makes is accepted; one for another namespace is not.
#[test]
fn what_openssh_signs_is_accepted() {
    let Some(shop) = shop() else { return };
    key(&shop, "key", "ed25519", "");
    shop.script(&Lines::required().text()).expect(0);
    let id = shop.record()["id"].as_str().unwrap().to_owned();
    let bytes = shop.command().args(["records", "canonical", &id]).output().unwrap().stdout;
    fs::write(shop.path().join("bytes"), bytes).unwrap();
    fs::write(
        shop.path().join("allowed"),
        format!("a-sample {}", fs::read_to_string(shop.path().join("key.pub")).unwrap()),
    )
    .unwrap();
    let audited = |namespace: &str| {
        let (signed, said) = sh(&shop, &format!("ssh-keygen -q -Y sign -f key -n {namespace} < bytes > sig"));
        assert!(signed, "{said}");
        let mut record = shop.record();
        record["sign_off"]["signature"] = Value::from(fs::read_to_string(shop.path().join("sig")).unwrap());
        let file = format!("{}\n", serde_json::to_string_pretty(&record).unwrap());
        fs::write(&shop.records()[0], file).unwrap();
        shop.run(&["audit", "--json", "--allowed-signers", "allowed"]).json()
    };
    let good = audited("cornerset-record");
    assert_eq!(
        (&good["signed"], &good["altered"], &good["unknown_signer"]),
        (&Value::from(1), &Value::from(vec![0; 0]), &Value::from(vec![0; 0]))
    );
    let bad = audited("file");
    assert_eq!((&bad["signed"], &bad["altered"]), (&Value::from(0), &Value::from(vec![id])));
    assert!(bad["findings"][0]["detail"].as_str().unwrap().contains("for `file`"), "{}", bad["findings"][0]);
}

/// Whatever is wrong, the session is open afterwards, and resumes to the same end.
#[test]
fn a_key_that_does_not_open_loses_nothing() {
    let Some(shop) = shop() else { return };
    let key = key(&shop, "key", "ed25519", "a secret");
    let wrong = askpass(&shop, "wrong", "echo wrong-one");
    let failing = askpass(&shop, "failing", "exit 1");
    let right = askpass(&shop, "right", "echo 'a secret'");
    for (ask, says) in [
        (None, "there is no terminal to ask for it"),
        (Some(&wrong), "the passphrase does not open it"),
        (Some(&failing), "the program in SSH_ASKPASS gave none"),
    ] {
        let ran = set(&shop, &key, ask.map(PathBuf::as_path), &[]).expect(2);
        let last = ran.stderr.lines().last().unwrap();
        assert!(last.starts_with("cornerset: the key ") && last.contains(says), "{last}");
        assert!(
            last.contains("Nothing is lost, the session stays open: cornerset set --resume ")
                && last.contains("--no-sign"),
            "{last}"
        );
        assert!(!ran.stderr.contains("a secret") && !ran.stderr.contains("wrong-one"));
    }
    let ids = walk_ids(&shop);
    assert_eq!((ids.len(), shop.records().len()), (3, 0));
    let ran = set(&shop, &key, Some(&right), &["--resume", &ids[0], "--script", "/dev/null"]).expect(0);
    assert!(ran.stdout.contains("with a key"));
    let ran = shop.run(&["set", "--no-sign", "--resume", &ids[1], "--script", "/dev/null"]).expect(0);
    assert!(ran.stdout.contains("by name, without a key"), "{}", ran.stdout);
    assert_eq!(walk_ids(&shop), ids[2..]);
    let records: Vec<Value> = shop.records().iter().map(|path| crate::common::read_json(path)).collect();
    assert_eq!((records[0]["sequence"].clone(), records[1]["sequence"].clone()), (Value::from(1), Value::from(2)));
    assert!(records[0]["sign_off"]["signature"].is_string() && records[1]["sign_off"]["signature"].is_null());
    for entry in ["job", "plan", "outcome", "readings"] {
        assert_eq!(records[0][entry], records[1][entry]);
    }
}

/// A key that cannot be used is refused before the session begins, not after half an hour of work.
#[test]
fn a_key_that_cannot_be_used_is_refused_before_anything_is_asked() {
    let Some(shop) = shop() else { return };
    key(&shop, "rsa", "rsa -b 2048", "");
    key(&shop, "p384", "ecdsa -b 384", "");
    key(&shop, "open", "ed25519", "");
    fs::write(shop.path().join("text"), "no key").unwrap();
    fs::write(shop.path().join("bytes"), [0xff, 0xfe]).unwrap();
    sh(&shop, "chmod 644 open; chmod 600 text bytes; mkdir folder");
    for (name, says) in [
        ("rsa", "it is a key of kind ssh-rsa"),
        ("rsa.pub", "ssh-rsa"),
        ("p384", "ecdsa-sha2-nistp384"),
        ("open", "others can get at it (mode 644)"),
        ("text", "text cannot be used: "),
        ("bytes", "it is no text"),
        ("folder", "regular file"),
        ("none", "is not there"),
    ] {
        let ran = set(&shop, &shop.path().join(name), None, &[]).expect(2);
        assert!(ran.stderr.starts_with("cornerset: the key ") && ran.stderr.contains(says), "{name}: {}", ran.stderr);
        assert_eq!(ran.stderr.lines().count(), 1, "{}", ran.stderr);
    }
    assert_eq!((walk_ids(&shop).len(), shop.records().len()), (0, 0));
    let ran = shop.run(&["set", "--key", "open", "--no-sign"]).expect(2);
    assert!(ran.stderr.contains("cannot be used with"), "{}", ran.stderr);
}

/// A program that ends with the test.
struct Running(Child);

impl Drop for Running {
    fn drop(&mut self) {
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

/// A signal while a program gives the passphrase, or signs, ends both at once; nothing is signed, the store is free, and the
/// session resumes.
#[cfg(unix)]
#[test]
fn a_signal_while_a_key_is_asked_for_ends_it() {
    let Some(shop) = shop() else { return };
    let protected = key(&shop, "key", "ed25519", "a secret");
    let slow = askpass(&shop, "slow", "echo $$ > asked; exec sleep 30");
    // A key that only OpenSSH signs with, and an ssh-keygen that takes its time.
    let tools = shop.path().join("tools");
    fs::create_dir(&tools).unwrap();
    fs::copy(&slow, tools.join("ssh-keygen")).unwrap();
    let script = shop.path().join("lines");
    // Longer than a pipe holds.
    let lines = (0..150).fold(Lines::required(), |lines, _| lines.and("reading", "5.66"));
    fs::write(&script, lines.text()).unwrap();
    for (name, public) in [("askpass", false), ("ssh-keygen", true)] {
        let file = if public { shop.path().join("key.pub") } else { protected.clone() };
        let mut command = shop.command();
        command.args(["set", "--key"]).arg(file).arg("--script").arg(&script).env("SSH_ASKPASS", &slow);
        command.env("PATH", format!("{}:/usr/bin:/bin", tools.display()));
        command.stdout(Stdio::null()).stderr(Stdio::null());
        let mut child = command.spawn().unwrap();
        let asked = shop.path().join("asked");
        let pid = loop {
            match fs::read_to_string(&asked) {
                Ok(text) if text.ends_with('\n') => break text.trim().to_owned(),
                _ => std::thread::sleep(std::time::Duration::from_millis(10)),
            }
        };
        assert!(sh(&shop, &format!("kill -TERM {}", child.id())).0);
        assert_eq!(child.wait().unwrap().code(), Some(130), "{name}");
        assert!(!sh(&shop, &format!("kill -0 {pid}")).0, "{name}: what was asked has ended too");
        fs::remove_file(&asked).unwrap();
        shop.script(&Lines::required().text()).expect(0);
    }
    assert_eq!((walk_ids(&shop).len(), shop.records().len()), (2, 2));
    let right = askpass(&shop, "right", "echo 'a secret'");
    for id in walk_ids(&shop) {
        set(&shop, &protected, Some(&right), &["--resume", &id, "--script", "/dev/null"]).expect(0);
    }
}

/// An agent holds the private key; only the public half is a file. Without the agent, that is said.
#[test]
fn an_agent_signs() {
    let Some(shop) = shop() else { return };
    let available = runs("sh", &["-c", "command -v ssh-agent && command -v ssh-add"]);
    if !needs("ssh-agent", available) {
        return;
    }
    key(&shop, "key", "ed25519", "");
    let socket = shop.path().join("agent");
    let agent =
        Running(Command::new("ssh-agent").arg("-D").arg("-a").arg(&socket).stdout(Stdio::null()).spawn().unwrap());
    let wait = format!("for i in $(seq 100); do [ -S {} ] && break; sleep 0.05; done", socket.display());
    let added = sh(&shop, &format!("{wait}; SSH_AUTH_SOCK={} ssh-add -q key && mv key away", socket.display()));
    let mut signed = shop.command();
    fs::write(shop.path().join("lines"), Lines::required().text()).unwrap();
    signed.env("SSH_AUTH_SOCK", &socket).env("PATH", std::env::var_os("PATH").unwrap());
    let ran = Ran::of(signed.args(["set", "--key", "key.pub", "--script", "lines"]));
    drop(agent);
    assert!(added.0, "{}", added.1);
    ran.expect(0);
    assert!(openssh_accepts(&shop, "key.pub", "a-sample", "true"));
    let mut without = shop.command();
    without.env("PATH", std::env::var_os("PATH").unwrap());
    let ran = Ran::of(without.args(["set", "--key", "key.pub", "--script", "lines"])).expect(2);
    let last = ran.stderr.lines().last().unwrap();
    assert!(
        last.contains("see that the agent runs and holds the key") && last.contains("the session stays open"),
        "{last}"
    );
    assert_eq!(walk_ids(&shop).len(), 1);
}

/// The store's own keys: the one of whoever signs is used without being named.
#[test]
fn the_technicians_own_key_is_used() {
    let shop = Shop::new();
    shop.run(&["key", "new", "A. Sample", "--no-passphrase"]).expect(0);
    let own =
        shop.script(&Lines::required().with("technician", "A. Sample").with("sign-off", "A. Sample").text()).expect(0);
    assert!(own.stdout.contains("with a key"), "{}", own.stdout);
    let other =
        shop.script(&Lines::required().with("technician", "A. Sample").with("sign-off", "B. Sample").text()).expect(0);
    assert!(other.stdout.contains("without a key"), "{}", other.stdout);
    let audit = shop.run(&["audit", "--json"]).expect(1).json();
    assert_eq!((&audit["signed"], &audit["unknown_signer"]), (&Value::from(1), &Value::from(vec![0; 0])));
    assert_eq!(audit["stands_out"][0]["kind"], "other-name");
}
