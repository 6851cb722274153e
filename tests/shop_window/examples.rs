//! The examples of the manual do what their sentences say: each is run by a shell, as it stands there.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use crate::common::outside::{needs, runs};
use crate::common::{PROGRAM, Ran, Shop};
use crate::pages::{Page, plain, written};

/// Ask a person, so that without a terminal they end with 2 and say so.
const AT_A_TERMINAL: [&str; 9] = [
    "cornerset",
    "cornerset set --show-working",
    "cornerset set --resume ID",
    "cornerset tuning",
    "cornerset learn",
    "cornerset learn lesson ratio --learner 'R. Example'",
    "cornerset learn lesson ratio",
    "cornerset learn drill --skill ratio --seed 36 --count 10",
    "cornerset learn bench --level usual --seed 421",
];

/// Ask for a passphrase.
const WITH_A_PASSPHRASE: &str = "cornerset key new 'R. Example'";

/// The examples of a page, as they are typed.
fn examples(page: &Page) -> Vec<String> {
    let blocks = page.section("EXAMPLES").split(".EX\n").skip(1);
    blocks
        .map(|block| {
            let lines = block.split(".EE").next().unwrap().lines();
            // Line by line: the ends of lines count in a script.
            lines.map(plain).collect::<Vec<_>>().join("\n")
        })
        .collect()
}

/// A shop in which everything is that the examples name.
fn stocked() -> (Shop, String) {
    let shop = Shop::new();
    let sample = |name: &str| Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-sessions").join(name);
    for (from, to) in [
        ("plain.script", "answers.script"),
        ("driver-and-box.toml", "driver-and-box.toml"),
        ("practice/usual-421.script", "practice.script"),
    ] {
        let to = shop.path().join(to);
        fs::create_dir_all(to.parent().unwrap()).unwrap();
        fs::copy(sample(from), to).unwrap();
    }
    shop.run(&["key", "new", "A. Sample", "--no-passphrase"]).expect(0);
    shop.run(&["key", "new", "B. Sample", "--no-passphrase", "-o", "my-key", "--no-trust"]).expect(0);
    shop.run(&["set", "--script", "answers.script"]).expect(0);
    let record = shop.record();
    fs::write(shop.path().join("records.ndjson"), format!("{record}\n")).unwrap();
    fs::write(shop.path().join("record.sig"), record["sign_off"]["signature"].as_str().unwrap()).unwrap();
    // Two more benches, and the manager's list of the keys of all three.
    let mut list = fs::read_to_string(shop.store().join("allowed_signers")).unwrap();
    for bench in ["bench-1", "bench-2"] {
        shop.run(&["--store", bench, "key", "new", "A. Sample", "--no-passphrase"]).expect(0);
        shop.run(&["--store", bench, "set", "--script", "answers.script"]).expect(0);
        list += &fs::read_to_string(shop.path().join(bench).join("allowed_signers")).unwrap();
    }
    fs::write(shop.path().join("allowed_signers"), list).unwrap();
    shop.run_with_input(&["learn", "lesson", "ratio", "--script", "-", "--learner", "R. Example"], b"answer: 0.71\n");
    (shop, record["id"].as_str().unwrap().to_owned())
}

#[test]
fn every_example_runs() {
    if !needs("OpenSSH", runs("sh", &["-c", "command -v ssh-keygen"])) {
        return;
    }
    let mut run = 0;
    // Made once and copied: what an example changes is no matter of the next one.
    let (stock, id) = stocked();
    for page in written(&Shop::new()) {
        let examples = examples(&page);
        assert!(!examples.is_empty(), "{}", page.name);
        for example in examples {
            let shop = Shop::new();
            let from = format!("{}/.", stock.path().display());
            Ran::of(Command::new("cp").args(["-R", &from]).arg(shop.path())).expect(0);
            let folder = PathBuf::from(PROGRAM).parent().unwrap().to_owned();
            let path = format!("{}:{}", folder.display(), std::env::var("PATH").unwrap());
            let mut command = Command::new("sh");
            command.args(["-ec", &example.replace("ID", &id)]).current_dir(shop.path());
            command.env_clear().env("PATH", path).env("HOME", shop.path()).env("CORNERSET_STORE", shop.store());
            let ran = Ran::of(command.stdin(std::process::Stdio::null()));
            let asks = AT_A_TERMINAL.contains(&example.as_str()) || example == WITH_A_PASSPHRASE;
            let about_a_person = ran.stderr.contains("terminal");
            assert_eq!(
                ran.code,
                Some(if asks { 2 } else { 0 }),
                "{}: {example}\n{}\n{}",
                page.name,
                ran.stdout,
                ran.stderr
            );
            assert!(!asks || about_a_person, "{}: {example}\n{}", page.name, ran.stderr);
            run += 1;
        }
    }
    assert!(run > 45, "{run}");
}
