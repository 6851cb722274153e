//! Keys made, shown and trusted; OpenSSH reads what is made.

use std::fs;
use std::process::Command;

use serde_json::Value;

use crate::common::lines::Lines;
use crate::common::outside::{needs, runs};
use crate::common::{Ran, Shop};

fn keygen(shop: &Shop, arguments: &[&str]) -> (bool, String) {
    let output = Command::new("ssh-keygen").args(arguments).current_dir(shop.path()).output().expect("ssh-keygen");
    (output.status.success(), String::from_utf8_lossy(&output.stdout).into_owned())
}

#[cfg(unix)]
#[test]
fn a_new_key_is_its_owners_alone_and_openssh_reads_it() {
    use std::os::unix::fs::PermissionsExt;
    let shop = Shop::new();
    let available = runs("ssh", &["-V"]);
    if !needs("ssh-keygen", available) {
        return;
    }
    for (name, kind, word) in
        [("A. Sample", "ed25519", "ssh-ed25519"), ("B. Sample", "ecdsa-p256", "ecdsa-sha2-nistp256")]
    {
        let made = shop.run(&["key", "new", name, "--kind", kind, "--no-passphrase", "--json"]).expect(0).json();
        let key = &made["keys"][0];
        assert_eq!((&key["name"], &key["kind"]), (&Value::from(name), &Value::from(word)));
        let path = key["path"].as_str().unwrap();
        assert_eq!(fs::metadata(path).unwrap().permissions().mode() & 0o777, 0o600);
        let (read, public) = keygen(&shop, &["-y", "-f", path]);
        assert!(read && public.starts_with(key["public_key"].as_str().unwrap()), "{public}");
        let (shown, line) = keygen(&shop, &["-lf", &format!("{path}.pub")]);
        assert!(shown && line.contains(key["fingerprint"].as_str().unwrap()) && line.contains(name), "{line}");
        let list = fs::read_to_string(shop.store().join("allowed_signers")).unwrap();
        assert!(list.lines().any(|line| line == key["allowed_signers_line"].as_str().unwrap()), "{list}");
        let again = shop.run(&["key", "new", name, "--no-passphrase"]).expect(2);
        assert!(again.stderr.contains("never replaced"), "{}", again.stderr);
    }
    assert_eq!(fs::metadata(shop.store().join("keys")).unwrap().permissions().mode() & 0o777, 0o700);
    let shown = shop.run(&["key", "show", "--json"]).expect(0).json();
    assert_eq!(shown["keys"].as_array().unwrap().len(), 2);
    let one = shop.run(&["key", "show", "b. sample", "--json"]).expect(0).json();
    assert_eq!(one["keys"][0]["principal"], "b-sample");
    shop.run(&["key", "show", "C. Sample"]).expect(2);
}

/// A command that has commands of its own says which, where none is named.
#[test]
fn a_command_without_its_own_says_which_there_are() {
    let ran = Shop::new().run(&["key"]).expect(2);
    let said = "cornerset: key needs to be told what; accepted: `cornerset key new`, `cornerset key show` or `cornerset key trust`\n";
    assert_eq!(ran.stderr, said);
    assert!(Shop::new().run(&["records"]).expect(2).stderr.contains("`cornerset records canonical`"));
    let ran = Shop::new().run(&["key", "new"]).expect(2);
    assert!(ran.stderr.contains("<NAME>; see `cornerset key new --help`"), "{}", ran.stderr);
}

#[test]
fn a_passphrase_protects_a_new_key() {
    let shop = Shop::new();
    if !needs("ssh-keygen", runs("ssh", &["-V"])) {
        return;
    }
    let refused = shop.run(&["key", "new", "A. Sample"]).expect(2);
    assert!(refused.stderr.contains("--no-passphrase makes one without"), "{}", refused.stderr);
    assert!(!shop.store().join("keys").exists());
    let ask = shop.path().join("ask");
    fs::write(&ask, "#!/bin/sh\necho 'a secret'\n").unwrap();
    Command::new("chmod").arg("700").arg(&ask).status().unwrap();
    let made = Ran::of(shop.command().env("SSH_ASKPASS", &ask).args(["key", "new", "A. Sample", "--json"])).expect(0);
    let path = made.json()["keys"][0]["path"].as_str().unwrap().to_owned();
    assert!(!keygen(&shop, &["-y", "-P", "another", "-f", &path]).0);
    assert!(keygen(&shop, &["-y", "-P", "a secret", "-f", &path]).0);
    assert!(!fs::read_to_string(&path).unwrap().contains("a secret") && !made.stdout.contains("a secret"));
}

/// A shared list is reached by a link, and stays what it is.
#[cfg(unix)]
#[test]
fn a_linked_trust_list_stays_where_and_what_it_is() {
    use std::os::unix::fs::{PermissionsExt, symlink};
    let shop = Shop::new();
    fs::create_dir_all(shop.store()).unwrap();
    let shared = shop.path().join("shared");
    fs::write(&shared, "# ours\n").unwrap();
    fs::set_permissions(&shared, fs::Permissions::from_mode(0o664)).unwrap();
    symlink(&shared, shop.store().join("allowed_signers")).unwrap();
    shop.run(&["key", "new", "A. Sample", "--no-passphrase"]).expect(0);
    assert!(fs::symlink_metadata(shop.store().join("allowed_signers")).unwrap().is_symlink());
    let text = fs::read_to_string(&shared).unwrap();
    assert!(text.starts_with("# ours\n\"A. Sample,a-sample\""), "{text}");
    assert_eq!(fs::metadata(&shared).unwrap().permissions().mode() & 0o777, 0o664);
    fs::remove_file(&shared).unwrap();
    let made = shop.run(&["key", "new", "B. Sample", "--no-passphrase", "--json"]).expect(0).json();
    assert!(made["warnings"][1].as_str().unwrap().contains("on no trust list"), "{made}");
}

#[test]
fn a_key_is_trusted_for_a_name_and_a_time() {
    let shop = Shop::new();
    shop.run(&["key", "new", "A. Sample", "--no-passphrase", "--no-trust"]).expect(0);
    let list = shop.store().join("allowed_signers");
    assert!(!list.exists());
    let public = shop.store().join("keys/a-sample.pub");
    let arguments = [
        "key",
        "trust",
        public.to_str().unwrap(),
        "--name",
        "A. Sample",
        "--valid-after",
        "2026-03-01",
        "--valid-before",
        "2026-04-01T00:00:00+02:00",
    ];
    shop.run(&arguments).expect(0);
    shop.run(&arguments).expect(0);
    let text = fs::read_to_string(&list).unwrap();
    assert_eq!(text.lines().count(), 1, "{text}");
    assert!(
        text.starts_with("\"A. Sample,a-sample\" ")
            && text.contains("valid-after=\"20260301000000Z\"")
            && text.contains("valid-before=\"20260331220000Z\""),
        "{text}"
    );
    // Once more without its ends: the line before gives way, and is shown.
    let trust = ["key", "trust", public.to_str().unwrap(), "--name", "A. Sample"];
    let open = [&trust[..], &["--valid-after", "none", "--valid-before", "none"]].concat();
    let again = shop.run(&open).expect(0);
    assert!(again.stdout.contains("valid-before=") && again.stdout.contains("at any time"), "{}", again.stdout);
    let text = fs::read_to_string(&list).unwrap();
    assert!(text.lines().count() == 1 && !text.contains("valid-"), "{text}");
    // A line that someone wrote lets the key sign all the same: that is no end.
    let key = fs::read_to_string(&public).unwrap();
    let by_hand = format!("# ours\na-sample,b {key}");
    fs::write(&list, &by_hand).unwrap();
    let ran = shop.run(&arguments).expect(2);
    assert!(ran.stderr.contains("take that line out by hand first"), "{}", ran.stderr);
    assert_eq!(fs::read_to_string(&list).unwrap(), by_hand);
    let backwards = ["--valid-after", "2026-04-01", "--valid-before", "2026-03-01"];
    let ran = shop
        .run(&[&["key", "trust", public.to_str().unwrap(), "--name", "C. Sample"][..], &backwards].concat())
        .expect(2);
    assert!(ran.stderr.contains("valid-before: `2026-03-01 00:00` is not after valid-after"), "{}", ran.stderr);
    for wrong in [["--name", " "], ["--valid-after", "yesterday"]] {
        let ran = shop.run(&[&["key", "trust", public.to_str().unwrap(), "--name", "A. Sample"][..], &wrong].concat());
        assert_eq!(ran.code, Some(2), "{ran:?}");
    }
}

/// What a list already says of a key's time is not lost where only the other end is named: a key that was ended would
/// sign again, one that began would have signed before.
#[test]
fn an_end_that_is_not_named_stays() {
    let shop = Shop::new();
    shop.run(&["key", "new", "A. Sample", "--no-passphrase", "--no-trust"]).expect(0);
    let list = shop.store().join("allowed_signers");
    let public = shop.store().join("keys/a-sample.pub");
    let trust =
        |ends: &[&str]| shop.run(&[&["key", "trust", public.to_str().unwrap(), "--name", "A. Sample"], ends].concat());
    let both = [true, true];
    for (ends, said, stands) in [
        (&["--valid-after", "2026-03-01"][..], "from 2026-03-01 00:00 (UTC +00:00) on", [true, false]),
        (&["--valid-before", "2026-12-01"], "The start is the one that the list had", both),
        (&[], "Both times are those that the list had", both),
        (&["--valid-after", "2026-04-01"], "The end is the one that the list had", both),
        (&["--valid-after", "none"], "until 2026-12-01", [false, true]),
        (&["--valid-before", "none"], "It signs at any time.", [false, false]),
        (&["--valid-after", "2026-03-01"], "on.", [true, false]),
    ] {
        let ran = trust(ends).expect(0).stdout;
        assert!(ran.split_whitespace().collect::<Vec<_>>().join(" ").contains(said), "{ends:?}: {ran}");
        let text = fs::read_to_string(&list).unwrap();
        assert_eq!(["valid-after=", "valid-before="].map(|end| text.contains(end)), stands, "{ends:?}: {text}");
        assert_eq!(text.lines().count(), 1, "{text}");
    }
    // An end before the start that is there leaves no time.
    let before = fs::read_to_string(&list).unwrap();
    let ran = trust(&["--valid-before", "2020-01-01"]).expect(2).stderr;
    assert!(ran.contains("`--valid-after none` takes that away"), "{ran}");
    assert_eq!(fs::read_to_string(&list).unwrap(), before);
    // Lines that say different things, or nothing that can be used, do not say which end stays.
    let key = fs::read_to_string(&public).unwrap();
    let line = |options: &str| format!("\"A. Sample,a-sample\" namespaces=\"cornerset-record\",{options} {key}");
    for text in
        [line("valid-after=\"20260101Z\"") + &line("valid-after=\"20260201Z\""), line("valid-after=\"some day\"")]
    {
        fs::write(&list, &text).unwrap();
        let ran = trust(&["--valid-before", "2027-01-01"]).expect(2).stderr;
        assert!(ran.contains("--valid-after is to be named"), "{ran}");
        assert_eq!(fs::read_to_string(&list).unwrap(), text);
    }
    let ran = trust(&["--valid-after", "2026-01-01", "--valid-before", "2027-01-01"]).expect(0);
    assert!(!ran.stdout.contains("that the list had"), "{}", ran.stdout);
    assert_eq!(fs::read_to_string(&list).unwrap().lines().count(), 1);
}

/// A key goes anywhere but in the place of something else of a store.
#[test]
fn a_key_takes_no_place_in_a_store() {
    let shop = Shop::new();
    shop.script(&Lines::required().text()).expect(0);
    let new = |place: &str| {
        let path = shop.store().join(place);
        (shop.run(&["key", "new", "A. Sample", "--no-passphrase", "--no-trust", "-o", path.to_str().unwrap()]), path)
    };
    for place in ["records/2026/z.json", "open/y", "gear.json", "allowed_signers"] {
        let (ran, path) = new(place);
        assert!(
            ran.code == Some(2) && ran.stderr.contains("it belongs to a store") && !path.exists(),
            "{place}: {ran:?}"
        );
    }
    shop.run(&["key", "new", "A. Sample", "--no-passphrase"]).expect(0);
    new("keys/second").0.expect(0);
    new("elsewhere").0.expect(0);
    let ran = shop.run(&["key", "new", "A. Sample", "--no-passphrase", "-o", "nowhere/key"]).expect(3);
    assert!(ran.stderr.contains("give another place with `-o`"), "{}", ran.stderr);
}

/// Two stores with one trust list between them: keys that are added on both sides at once are all there.
#[cfg(unix)]
#[test]
fn a_shared_trust_list_loses_no_key() {
    const KEYS: usize = 12;
    let shop = Shop::new();
    let list = shop.path().join("shared");
    fs::write(&list, "").unwrap();
    let stores = ["one", "other"].map(|name| shop.path().join(name));
    for store in &stores {
        fs::create_dir(store).unwrap();
        std::os::unix::fs::symlink(&list, store.join("allowed_signers")).unwrap();
    }
    std::thread::scope(|scope| {
        for store in &stores {
            let (shop, store) = (&shop, store.to_str().unwrap());
            scope.spawn(move || {
                for number in 0..KEYS {
                    let name = format!("Sample {number}");
                    shop.run(&["--store", store, "key", "new", &name, "--no-passphrase"]).expect(0);
                }
            });
        }
    });
    assert_eq!(fs::read_to_string(&list).unwrap().lines().count(), 2 * KEYS);
}
