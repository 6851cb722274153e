//! The page on trust (`src/manual/trust.md`) tells the truth: its commands run, and what it says of files, secrets and the
//! environment is what the program does.
#![cfg(unix)]

mod common;

use std::collections::BTreeSet;
use std::fs;
use std::os::unix::fs::{PermissionsExt, symlink};
use std::path::{Path, PathBuf};
use std::process::Command;

use common::lines::Lines;
use common::outside::{needs, runs};
use common::{PROGRAM, Ran, Shop};

const PAGE: &str = include_str!("../src/manual/trust.md");
const PASSPHRASE: &str = "of no word 7#Qz";

/// The fenced blocks of these kinds, in their order.
fn blocks(kinds: &[&'static str]) -> Vec<(&'static str, String)> {
    let fenced = PAGE.split("\n```").skip(1).step_by(2);
    let block = |text: &'static str| text.split_once('\n').filter(|(kind, _)| kinds.contains(kind));
    fenced.filter_map(block).map(|(kind, body)| (kind, format!("{body}\n"))).collect()
}

/// A shop whose passphrases come from a program that notes, of who asks for one, what others can see.
fn shop() -> Shop {
    let shop = Shop::new();
    let ask = shop.path().join("ask");
    let text = format!(
        "#!/bin/sh\n{{ printf '%s\\n' \"$@\"; tr '\\0' '\\n' </proc/$PPID/cmdline; tr '\\0' '\\n' </proc/$PPID/environ; \
         cat /proc/$PPID/limits; }} >>{}/asked 2>/dev/null\necho '{PASSPHRASE}'\n",
        shop.path().display()
    );
    fs::write(&ask, text).unwrap();
    fs::set_permissions(&ask, fs::Permissions::from_mode(0o700)).unwrap();
    shop
}

/// The program, asked with this shop's passphrases.
fn run(shop: &Shop, arguments: &[&str]) -> Ran {
    Ran::of(shop.command().env("SSH_ASKPASS", shop.path().join("ask")).args(arguments))
}

fn session(shop: &Shop, more: &[&str]) -> Ran {
    let script = shop.path().join("lines");
    fs::write(&script, Lines::required().text()).unwrap();
    run(shop, &[&["set", "--script", script.to_str().unwrap()], more].concat())
}

fn files(folder: &Path) -> Vec<PathBuf> {
    let entries = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    entries.flat_map(|path| if path.is_dir() { [files(&path), vec![path]].concat() } else { vec![path] }).collect()
}

/// Every block runs in a shell, in one folder, and ends as it says.
#[test]
fn the_commands_on_the_page_do_what_it_says() {
    let python = needs("python3 with rfc8785", runs("python3", &["-c", "import rfc8785"]));
    if !needs("ssh-keygen", runs("ssh", &["-V"])) || !python {
        return;
    }
    let shop = shop();
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    fs::copy(root.join("sample-sessions/plain.script"), shop.path().join("plain.script")).unwrap();
    let bin = shop.path().join("bin");
    fs::create_dir(&bin).unwrap();
    symlink(PROGRAM, bin.join("cornerset")).unwrap();
    let path = format!("{}:{}", bin.display(), std::env::var("PATH").unwrap());
    let mut ran = vec![];
    for (kind, block) in blocks(&["sh", "python"]) {
        if kind == "python" {
            fs::write(shop.path().join("check.py"), block).unwrap();
            continue;
        }
        let command = |text: &str| {
            let mut command = Command::new("sh");
            command.args(["-ec", text]).current_dir(shop.path()).env_clear().env("PATH", &path).env("TZ", "UTC");
            command.env("HOME", shop.path()).env("SSH_ASKPASS", shop.path().join("ask"));
            Ran::of(command.env("CORNERSET_STORE", shop.store()).stdin(std::process::Stdio::null()))
        };
        let last = block.trim_end().lines().last().unwrap();
        match last.split_once("# exit code 1") {
            None => ran.push(command(&block).expect(0).stdout),
            Some((_, why)) => {
                // All but the last line ends well.
                let before = command(block.trim_end().strip_suffix(last).unwrap()).expect(0).stdout;
                if block.contains("mv before store") {
                    assert!(before.contains("NOTHING OUT OF LINE"), "the store alone says nothing: {before}");
                }
                let found = command(last).expect(1).stdout;
                let kind = why.trim_start_matches(": ");
                match kind {
                    "missing" => assert!(found.contains("Missing in the chain: 1"), "{found}"),
                    "noted-missing" => assert!(found.contains("A noted record is not here: 1"), "{found}"),
                    "key-not-valid" => assert!(found.contains("Signed by a key that was not valid then: 1"), "{found}"),
                    _ => assert!(found.contains("'signature': False") && !found.contains("'chain': False"), "{found}"),
                }
                ran.push(found);
            }
        }
    }
    assert_eq!(ran.len(), 9);
    // The bytes that Python and Cornerset make are the same: two records, and the digest of the first one twice.
    let digest = ran[7].split_whitespace().next().unwrap();
    assert!(ran[8].contains(&format!("sha256:{digest}")) && digest.len() == 64, "{}", ran[8]);
}

/// `check.py` refuses what OpenSSH refuses: a signature for something else, a stranger's, and a changed word.
#[test]
fn the_check_without_cornerset_finds_what_was_done() {
    let python = needs("python3 with rfc8785", runs("python3", &["-c", "import rfc8785"]));
    if !needs("ssh-keygen", runs("ssh", &["-V"])) || !python {
        return;
    }
    let shop = shop();
    run(&shop, &["key", "new", "A. Sample", "--no-passphrase"]).expect(0);
    session(&shop, &[]).expect(0);
    fs::write(shop.path().join("check.py"), &blocks(&["python"])[0].1).unwrap();
    let path = shop.records()[0].clone();
    let whole = fs::read_to_string(&path).unwrap();
    let says = |list: &str| {
        let mut command = Command::new("python3");
        command.arg("check.py").arg(list).arg(&path).current_dir(shop.path());
        Ran::of(&mut command)
    };
    let own = "store/allowed_signers";
    says(own).expect(0);
    fs::write(&path, whole.replace("5.66", "5.67")).unwrap();
    assert!(says(own).expect(1).stdout.contains("{'digest': False, 'chain': True, 'signature': False}"));
    let signed = |key: &str, namespace: &str| {
        let line = format!(
            "\"$0\" records canonical \"$1\" | ssh-keygen -q -Y sign -n {namespace} -f {key} >sig 2>/dev/null && cat sig"
        );
        let output =
            Command::new("sh").args(["-c", &line, PROGRAM]).arg(&path).current_dir(shop.path()).output().unwrap();
        assert!(output.status.success());
        let mut record: serde_json::Value = serde_json::from_str(&whole).unwrap();
        record["sign_off"]["signature"] = String::from_utf8(output.stdout).unwrap().into();
        serde_json::to_string_pretty(&record).unwrap()
    };
    run(&shop, &["key", "new", "B. Sample", "--no-passphrase", "--no-trust"]).expect(0);
    for (key, namespace, good) in [
        ("store/keys/a-sample", "cornerset-record", true),
        ("store/keys/a-sample", "file", false),
        ("store/keys/b-sample", "cornerset-record", false),
    ] {
        fs::write(&path, &whole).unwrap();
        let record = signed(key, namespace);
        fs::write(&path, record).unwrap();
        let found = says(own).expect(i32::from(!good)).stdout;
        assert!(
            found.contains(if good { "'signature': True" } else { "'signature': False" }),
            "{key} {namespace}: {found}"
        );
        let kinds = run(&shop, &["audit", "--json"]).json();
        assert_eq!(kinds["altered"].as_array().unwrap().is_empty(), good, "{key} {namespace}: {kinds}");
    }
}

/// What goes away together with `chain.json`, or is put in the newest record's place without a signature, is no finding of the
/// store alone; a copy of `chain.json` elsewhere shows both. A key on the store's own list is trusted there, and not by the
/// manager's list.
#[test]
fn what_only_the_managers_own_place_shows() {
    use cornerset::record::{Record, digest, file_bytes};
    let shop = shop();
    session(&shop, &["--no-sign"]).expect(0);
    let by_name = shop.record()["sign_off"]["statement"].as_str().unwrap().to_owned();
    run(&shop, &["key", "new", "A. Sample", "--no-passphrase"]).expect(0);
    session(&shop, &[]).expect(0);
    let manager = shop.path().join("manager");
    fs::create_dir(&manager).unwrap();
    fs::rename(shop.store().join("chain.json"), manager.join("chain.json")).unwrap();
    let last = shop.records().into_iter().find(|path| common::read_json(path)["sequence"] == 2).unwrap();
    // The log says it too: what does not follow from its log would be found by that.
    let text = fs::read_to_string(&last).unwrap().replace("Work order 0501", "Work order 0502");
    let mut record: Record = serde_json::from_str(&text).unwrap();
    record.sign_off.statement = by_name;
    record.sign_off.signature = None;
    record.sign_off.digest = digest(&record).unwrap();
    let audited =
        |arguments: &[&str], code: i32| run(&shop, &[&["audit", "--json"][..], arguments].concat()).expect(code).json();
    for (forged, list) in [(true, "altered"), (false, "missing")] {
        if forged {
            fs::write(&last, file_bytes(&record).unwrap()).unwrap();
        } else {
            fs::remove_file(&last).unwrap();
        }
        let alone = audited(&[], 0);
        assert!(alone["warnings"].to_string().contains("records taken from the end would not be missed"), "{alone}");
        assert_eq!(alone["unsigned"].as_array().unwrap().len(), 1 + usize::from(forged), "{alone}");
        assert_eq!(audited(&["store", "manager"], 1)[list].as_array().unwrap().len(), 1, "{list}");
    }
    let public = "store/keys/a-sample.pub";
    run(&shop, &["--store", "manager", "key", "trust", public, "--name", "A. Sample"]).expect(0);
    fs::rename(shop.store().join("keys/a-sample"), shop.path().join("own")).unwrap();
    fs::remove_file(shop.path().join(public)).unwrap();
    run(&shop, &["key", "new", "A. Sample", "--no-passphrase"]).expect(0);
    session(&shop, &[]).expect(0);
    assert_eq!(audited(&[], 0)["unknown_signer"].as_array().unwrap().len(), 0);
    assert_eq!(
        audited(&["--allowed-signers", "manager/allowed_signers"], 1)["unknown_signer"].as_array().unwrap().len(),
        1
    );
}

/// The modes of the page's table, under both umasks; nothing in the store is left out.
#[test]
fn files_have_the_modes_of_the_page() {
    let row = |what: &str| {
        let line = PAGE.lines().find(|line| line.starts_with(&format!("| {what}"))).unwrap();
        let modes: Vec<u32> = line.split('|').filter_map(|cell| u32::from_str_radix(cell.trim(), 8).ok()).collect();
        assert_eq!(modes.len(), 2, "{line}");
        modes
    };
    let (keys, private, folders, others) =
        (row("`keys/`"), row("private keys"), row("`records/`"), row("records, journals"));
    for (column, umask) in ["022", "077"].into_iter().enumerate() {
        let shop = shop();
        let shell = |arguments: &[&str], code: i32| {
            let mut command = Command::new("sh");
            let line = format!("umask {umask}; exec \"$0\" \"$@\"");
            command.args(["-c", &line, PROGRAM]).args(arguments).env_clear().env("HOME", shop.path());
            command.env("CORNERSET_STORE", shop.store()).env("SSH_ASKPASS", shop.path().join("ask"));
            Ran::of(command.current_dir(shop.path()).stdin(std::process::Stdio::null())).expect(code);
        };
        fs::write(shop.path().join("whole"), Lines::required().text()).unwrap();
        fs::write(shop.path().join("part"), Lines::required().before("accept").text()).unwrap();
        shell(&["key", "new", "A. Sample"], 0);
        shell(&["key", "new", "B. Sample", "--no-passphrase", "--no-trust", "-o", "outside"], 0);
        shell(&["set", "--script", "whole"], 0);
        shell(&["set", "--script", "part"], 2);
        let outside = [shop.path().join("outside"), shop.path().join("outside.pub")];
        let mut seen = BTreeSet::new();
        for path in files(&shop.store()).into_iter().chain(outside) {
            let is_secret = path.ends_with("keys/a-sample") || path.ends_with("outside");
            let expected = match path.strip_prefix(shop.store()) {
                Ok(inside) if inside == Path::new("keys") => &keys,
                _ if is_secret => &private,
                _ if path.is_dir() => &folders,
                _ => &others,
            };
            let mode = fs::metadata(&path).unwrap().permissions().mode() & 0o7777;
            assert_eq!(mode, expected[column], "umask {umask}: {} is {mode:o}", path.display());
            seen.insert(path.extension().map_or_else(String::new, |end| end.to_string_lossy().into_owned()));
        }
        assert_eq!(seen.into_iter().collect::<Vec<_>>(), ["", "json", "ndjson", "pub", "toml"]);
    }
}

fn base64(bytes: &[u8]) -> String {
    const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let whole = bytes.chunks_exact(3).map(|three| three.iter().fold(0, |bits, byte| bits << 8 | usize::from(*byte)));
    whole.flat_map(|bits| [18, 12, 6, 0].map(|shift| char::from(LETTERS[bits >> shift & 63]))).collect()
}

/// Whether bytes hold a secret, as it is, in hexadecimal, or in base64 at any of its three places.
fn holds(bytes: &[u8], secret: &[u8]) -> bool {
    let hex: String = secret.iter().map(|byte| format!("{byte:02x}")).collect();
    let mut forms = vec![secret.to_vec(), hex.into_bytes()];
    forms.extend((0..3).map(|start| base64(&secret[start..]).into_bytes()));
    forms.iter().any(|form| bytes.windows(form.len()).any(|window| window == form.as_slice()))
}

/// A shop's whole life with a passphrase: it and the key are nowhere but where they belong.
#[test]
fn no_secret_gets_anywhere() {
    let shop = shop();
    let mut said = vec![run(&shop, &["key", "new", "A. Sample"]).expect(0)];
    let key = shop.store().join("keys/a-sample");
    let locked = ssh_key::PrivateKey::from_openssh(fs::read(&key).unwrap()).unwrap();
    let opened = locked.decrypt(PASSPHRASE).expect("the passphrase that was given");
    let seed = opened.key_data().ed25519().unwrap().private.to_bytes();
    assert!(
        holds(opened.to_openssh(ssh_key::LineEnding::LF).unwrap().replace('\n', "").as_bytes(), &seed),
        "a control"
    );
    said.push(session(&shop, &["--json"]).expect(0));
    said.push(session(&shop, &[]).expect(0));
    for arguments in [
        "records list",
        "records list --json",
        "records export --format ndjson -o rows",
        "records export --format csv --rows sessions -o sessions",
        "audit --json -o audit.html",
        "key show --json",
        "key trust store/keys/a-sample --name C",
    ] {
        said.push(run(&shop, &arguments.split(' ').collect::<Vec<_>>()).expect(0));
    }
    for record in shop.records() {
        let record = record.to_str().unwrap();
        said.push(run(&shop, &["records", "show", record]).expect(0));
        said.push(run(&shop, &["records", "report", record, "-o", "report.html"]).expect(0));
    }
    // Errors tell nothing either: a passphrase that does not open, and a journal that waits.
    let wrong = shop.path().join("ask-wrong");
    fs::write(&wrong, "#!/bin/sh\necho 'another 9!Secret'\n").unwrap();
    fs::set_permissions(&wrong, fs::Permissions::from_mode(0o700)).unwrap();
    let lines = shop.path().join("lines");
    let mut command = shop.command();
    command.env("SSH_ASKPASS", &wrong).args(["set", "--json", "--script"]).arg(lines);
    let refused = Ran::of(&mut command);
    assert!(refused.code == Some(2) && shop.journals().len() == 1, "{refused:?}");
    said.push(refused);
    for ran in &said {
        for text in [&ran.stdout, &ran.stderr] {
            assert!(
                !holds(text.as_bytes(), &seed) && !text.contains(PASSPHRASE) && !text.contains("9!Secret"),
                "{text}"
            );
        }
    }
    let written = files(shop.path()).into_iter().filter(|path| path.is_file());
    let mut looked_at = 0;
    for path in written.filter(|path| !["ask", "ask-wrong"].iter().any(|name| path.ends_with(name))) {
        let bytes = fs::read(&path).unwrap();
        for secret in [PASSPHRASE.as_bytes(), b"another 9!Secret", &seed] {
            assert!(!holds(&bytes, secret), "{} holds a secret", path.display());
        }
        looked_at += 1;
    }
    assert!(looked_at > 12, "{looked_at}");
    // `asked` is among them: the arguments and the environment of the program that asked.
    let asked = fs::read_to_string(shop.path().join("asked")).unwrap();
    assert!(asked.contains("passphrase of ") && asked.contains("--script"), "{asked}");
}

/// Once a passphrase is asked for, no core file can be written.
#[cfg(target_os = "linux")]
#[test]
fn there_is_no_core_dump_once_a_passphrase_is_asked_for() {
    let shop = shop();
    run(&shop, &["key", "new", "A. Sample"]).expect(0);
    let asked = fs::read_to_string(shop.path().join("asked")).unwrap();
    let line = asked.lines().find(|line| line.starts_with("Max core file size")).unwrap();
    assert_eq!(line.split_whitespace().filter(|word| *word == "0").count(), 2, "{line}");
    // Where dumps go to a program, the limit alone stops none: prctl(2), PR_SET_DUMPABLE, before anyone is asked.
    let works = runs("strace", &["-f", "-e", "trace=prctl", "true"]);
    if !needs("strace", works) {
        return;
    }
    let mut command = Command::new("strace");
    command.args(["-f", "-o", "trace", "-e", "trace=prctl,execve", PROGRAM, "key", "new", "B. Sample"]).env_clear();
    command.env("PATH", std::env::var("PATH").unwrap()).env("CORNERSET_STORE", shop.store());
    Ran::of(command.env("SSH_ASKPASS", shop.path().join("ask")).current_dir(shop.path())).expect(0);
    let trace = fs::read_to_string(shop.path().join("trace")).unwrap();
    let place = |text: &str| trace.find(text).unwrap_or_else(|| panic!("{text} in {trace}"));
    assert!(place("PR_SET_DUMPABLE, SUID_DUMP_DISABLE") < place("/ask\""), "{trace}");
}

/// A key that no passphrase protects is in memory as soon as its file is read; nothing is asked for then.
#[cfg(target_os = "linux")]
#[test]
fn there_is_no_core_dump_once_a_key_without_a_passphrase_is_read() {
    let works = runs("strace", &["-f", "-e", "trace=prctl", "true"]);
    if !needs("strace", works) {
        return;
    }
    let shop = shop();
    run(&shop, &["key", "new", "A. Sample", "--no-passphrase"]).expect(0);
    fs::write(shop.path().join("lines"), Lines::required().text()).unwrap();
    for (arguments, opened) in [
        ("set --script lines", "keys/a-sample\""),
        ("set --script lines --key store/keys/a-sample", "keys/a-sample\""),
        ("key new B.Sample --no-passphrase", "keys/."),
    ] {
        let mut command = Command::new("strace");
        command.args(["-f", "-o", "trace", "-e", "trace=prctl,prlimit64,openat", PROGRAM]).args(arguments.split(' '));
        command.env_clear().env("PATH", std::env::var("PATH").unwrap()).env("CORNERSET_STORE", shop.store());
        Ran::of(command.current_dir(shop.path()).stdin(std::process::Stdio::null())).expect(0);
        let trace = fs::read_to_string(shop.path().join("trace")).unwrap();
        let place = |text: &str| trace.find(text).unwrap_or_else(|| panic!("{arguments}: no {text} in {trace}"));
        // prctl(2), prlimit(2): no dump, and a core file of no size.
        for closed in ["PR_SET_DUMPABLE, SUID_DUMP_DISABLE", "RLIMIT_CORE, {rlim_cur=0, rlim_max=0}"] {
            assert!(place(closed) < place(opened), "{arguments}: {trace}");
        }
    }
}

/// A time without `Z` in a trust list is one of the zone, to OpenSSH and to the audit; with it, it is the same everywhere.
#[test]
fn a_key_ends_in_the_zone_unless_its_end_says_z() {
    let shop = shop();
    run(&shop, &["key", "new", "A. Sample", "--no-passphrase"]).expect(0);
    session(&shop, &[]).expect(0);
    let record = shop.records()[0].clone();
    let signature = common::read_json(&record)["sign_off"]["signature"].as_str().unwrap().to_owned();
    fs::write(shop.path().join("sig"), signature).unwrap();
    let bytes = run(&shop, &["records", "canonical", record.to_str().unwrap()]).expect(0).stdout;
    fs::write(shop.path().join("bytes"), bytes).unwrap();
    let public = fs::read_to_string(shop.store().join("keys/a-sample.pub")).unwrap();
    // An hour after the sign-off by the clock of UTC; five hours to the east the clock showed that four hours before it.
    let end = (chrono::Utc::now() + chrono::TimeDelta::hours(1)).format("%Y%m%d%H%M%S").to_string();
    let has_openssh = needs("ssh-keygen", runs("ssh", &["-V"]));
    for (end, zone, holds) in [
        (end.clone(), "UTC", true),
        (end.clone(), "XYZ-5", false),
        (format!("{end}Z"), "UTC", true),
        (format!("{end}Z"), "XYZ-5", true),
    ] {
        let line = format!("\"A. Sample,a-sample\" namespaces=\"cornerset-record\",valid-before=\"{end}\" {public}");
        fs::write(shop.path().join("list"), line).unwrap();
        let mut command = shop.command();
        command.env("TZ", zone).args(["audit", "--json", "--allowed-signers", "list"]);
        let audited = Ran::of(&mut command).expect(i32::from(!holds)).json();
        let findings = audited["findings"].as_array().unwrap();
        let kinds: Vec<&str> = findings.iter().map(|finding| finding["kind"].as_str().unwrap()).collect();
        assert_eq!(kinds, if holds { vec![] } else { vec!["key-not-valid"] }, "{end} {zone}");
        if has_openssh {
            let text = "ssh-keygen -Y verify -f list -I a-sample -n cornerset-record -s sig <bytes";
            let mut command = Command::new("sh");
            command.args(["-c", text]).env("TZ", zone).current_dir(shop.path());
            assert_eq!(command.output().unwrap().status.success(), holds, "ssh-keygen: {end} {zone}");
        }
    }
}

/// The kinds that the page names, each with the heading that the audit has for it.
#[test]
fn the_page_has_the_audits_words_and_headings() {
    use cornerset::audit::Kind;
    let table = PAGE.split("| kind | heading |").nth(1).unwrap().split("\n\n").next().unwrap();
    let rows: Vec<(&str, &str)> =
        table.lines().filter_map(|line| line.strip_prefix("| `")?.strip_suffix(" |")?.split_once("` | ")).collect();
    for (word, heading) in &rows {
        let kind = Kind::ALL.iter().find(|kind| kind.word() == *word).unwrap_or_else(|| panic!("{word}"));
        assert_eq!(kind.title(), *heading, "{word}");
    }
    let rest = PAGE.replace(table, "");
    let mut named = 0;
    for word in rest.split('`').skip(1).step_by(2).filter(|word| Kind::ALL.iter().any(|kind| kind.word() == *word)) {
        assert!(rows.iter().any(|(row, _)| *row == word), "{word} has no row");
        named += 1;
    }
    assert!(named >= rows.len() && rows.len() >= 12, "{named}");
}

/// The variables on the page.
fn told() -> BTreeSet<&'static str> {
    let table = PAGE.split("## What is read from the environment").nth(1).unwrap();
    let first = table.lines().filter(|line| line.starts_with("| `")).map(|line| line.split('|').nth(1).unwrap());
    first.flat_map(|cell| cell.split('`').skip(1).step_by(2)).collect()
}

/// Whatever the source reads by name is on the page, and it reads nothing without a name.
#[test]
fn the_page_lists_what_the_source_reads_from_the_environment() {
    let source = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut named = BTreeSet::new();
    for path in files(&source).into_iter().filter(|path| path.extension().is_some_and(|end| end == "rs")) {
        let text = fs::read_to_string(&path).unwrap();
        for (start, _) in text.match_indices("env::var") {
            let name = text[start..].lines().next().unwrap().split('"').nth(1);
            named.insert(
                name.unwrap_or_else(|| panic!("{} reads a variable without a name", path.display())).to_owned(),
            );
        }
        for other in
            ["env::vars", "env::home_dir", "env = \"", "std::net", "TcpStream", "use std::env::{", "env::set_var"]
        {
            assert!(!text.contains(other), "{}: {other}", path.display());
        }
        // The folder of temporary files: TMPDIR.
        if text.contains("env::temp_dir") {
            named.insert("TMPDIR".to_owned());
        }
    }
    assert!(named.len() >= 6, "{named:?}");
    let missing: Vec<&String> = named.iter().filter(|name| !told().contains(name.as_str())).collect();
    assert!(missing.is_empty(), "not on the page: {missing:?}");
}

/// What is read in fact, libraries and all: a `getenv` of our own before that of the C library notes each name.
#[cfg(target_os = "linux")]
#[test]
fn the_page_lists_what_is_read_in_fact() {
    const SPY: &str = r#"
#define _GNU_SOURCE
#include <dlfcn.h>
#include <fcntl.h>
#include <string.h>
#include <unistd.h>
char *getenv(const char *name) {
    char *(*next)(const char *) = (char *(*)(const char *))dlsym(RTLD_NEXT, "getenv");
    char *notes = next("SPY_NOTES");
    int file = notes ? open(notes, O_WRONLY | O_CREAT | O_APPEND, 0600) : -1;
    if (file >= 0 && (write(file, name, strlen(name)) < 0 || write(file, "\n", 1) < 0)) return 0;
    if (file >= 0) close(file);
    return next(name);
}
"#;
    if !needs("cc", runs("cc", &["--version"])) {
        return;
    }
    let shop = shop();
    let (code, spy, notes) = (shop.path().join("spy.c"), shop.path().join("spy.so"), shop.path().join("notes"));
    fs::write(&code, SPY).unwrap();
    // A shell alone, whose own reading is not noted.
    fs::write(shop.path().join("ask"), "#!/bin/sh\necho secret\n").unwrap();
    assert!(
        Command::new("cc")
            .args(["-shared", "-fPIC", "-o"])
            .arg(&spy)
            .arg(&code)
            .arg("-ldl")
            .status()
            .unwrap()
            .success()
    );
    fs::write(shop.path().join("lines"), Lines::required().text()).unwrap();
    for (arguments, exit) in [
        ("key new A.Sample", 0),
        ("set --script lines", 0),
        ("set --script lines --no-sign", 0),
        ("audit", 0),
        ("records list", 0),
        ("records export --format parquet -o rows.parquet", 0),
        ("tone --hz 27 --seconds 1 --play", 2),
        ("targets --tuning 36 --slope 24 --reference 8", 0),
        ("--help", 0),
    ] {
        let mut command = shop.command();
        command.env("LD_PRELOAD", &spy).env("SPY_NOTES", &notes).env("SSH_ASKPASS", shop.path().join("ask"));
        Ran::of(command.args(arguments.split(' '))).expect(exit);
    }
    let mut command = shop.command();
    command.env_remove("CORNERSET_STORE").env("LD_PRELOAD", &spy).env("SPY_NOTES", &notes).arg("audit");
    Ran::of(&mut command).expect(0);
    let notes = fs::read_to_string(&notes).unwrap();
    let read: BTreeSet<&str> = notes.lines().filter(|name| told().contains(name)).collect();
    let others: BTreeSet<&str> = notes.lines().filter(|name| !told().contains(name)).collect();
    for expected in ["CORNERSET_STORE", "HOME", "SSH_ASKPASS", "SSH_ASKPASS_REQUIRE", "TZ", "XDG_DATA_HOME"] {
        assert!(read.contains(expected), "{expected}: {notes}");
    }
    assert!(others.is_empty(), "not on the page: {others:?}");
}
