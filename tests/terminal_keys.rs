//! Passphrases at the terminal: never shown, never in the way of Ctrl-C, and nothing lost whatever happens at the prompt.

mod common;

use std::fs;
use std::process::Command;

use common::outside::{needs, runs};
use common::pty::{CTRL_C, CTRL_D, CTRL_Z, Terminal, Window};
use common::{Shop, walk_ids};

const PASSPHRASE: &str = "bench-4711 pass";
const PROMPT: &str = "passphrase of ";

/// A shop in which a session is typed by a script up to the sign-off, and a key that `ssh-keygen` protected; `None` where
/// OpenSSH is missing.
fn shop() -> Option<Shop> {
    if !needs("ssh-keygen", runs("ssh", &["-V"])) {
        return None;
    }
    let shop = Shop::new();
    let arguments = ["-q", "-t", "ed25519", "-N", PASSPHRASE, "-C", "", "-f", "key"];
    assert!(Command::new("ssh-keygen").args(arguments).current_dir(shop.path()).status().unwrap().success());
    fs::write(shop.path().join("lines"), common::lines::Lines::required().text()).unwrap();
    Some(shop)
}

const SET: &str = "set --key key --script lines";

/// The session is at its end and waits for the passphrase.
fn at_the_passphrase(shop: &Shop, arguments: &str) -> Terminal {
    let mut terminal = Window::new(shop, 80, 24).run_then_look_at_modes(arguments);
    terminal.at_secret(PROMPT);
    terminal
}

/// How the program ended and left the terminal: the passphrase was never shown, and what is typed is shown again.
#[track_caller]
fn ended(terminal: &mut Terminal, status: u32) -> String {
    terminal.wait_for("the end");
    let said = terminal.everything();
    assert!(said.contains(&format!("status {status}")), "{said}");
    assert!(
        said.split_whitespace().any(|word| word == "echo") && said.split_whitespace().any(|word| word == "icanon"),
        "{said}"
    );
    assert!(!said.contains("4711"), "{said}");
    said
}

#[test]
fn the_right_passphrase_signs_and_is_not_shown() {
    let Some(shop) = shop() else { return };
    let mut terminal = at_the_passphrase(&shop, SET);
    terminal.type_line("another one");
    terminal.wait_for("Once more");
    terminal.at_secret(PROMPT);
    terminal.type_line(PASSPHRASE);
    let said = ended(&mut terminal, 0);
    assert!(said.contains("with a key") && !said.contains("another one"), "{said}");
    assert!(shop.record()["sign_off"]["signature"].is_string());
}

#[test]
fn three_wrong_ones_leave_the_session_open() {
    let Some(shop) = shop() else { return };
    let mut terminal = at_the_passphrase(&shop, SET);
    for _ in 0..3 {
        terminal.at_secret(PROMPT);
        terminal.type_line("another one");
    }
    let said = ended(&mut terminal, 2);
    assert!(said.contains("Nothing is lost, the session stays open:"), "{said}");
    assert_eq!((walk_ids(&shop).len(), shop.records().len()), (1, 0));
}

#[test]
fn whatever_ends_the_prompt_leaves_the_terminal_and_the_session() {
    type End = (&'static str, fn(&mut Terminal));
    let ends: [End; 6] = [
        ("Ctrl-\\ and then Ctrl-C", |terminal| {
            terminal.keys("\x1c");
            terminal.keys(CTRL_C);
        }),
        ("Ctrl-C", |terminal| terminal.keys(CTRL_C)),
        ("Ctrl-C in the middle", |terminal| {
            terminal.keys("half of it");
            terminal.keys(CTRL_C);
        }),
        ("Ctrl-D", |terminal| terminal.keys(CTRL_D)),
        ("SIGTERM", |terminal| terminal.signal_secret("TERM", PROMPT)),
        ("SIGHUP", |terminal| terminal.signal_secret("HUP", PROMPT)),
    ];
    let Some(shop) = shop() else { return };
    for (at, (name, end)) in ends.into_iter().enumerate() {
        let mut terminal = at_the_passphrase(&shop, SET);
        end(&mut terminal);
        let said = ended(&mut terminal, 130);
        assert!(said.contains("go on with:") && said.contains(" --key "), "{name}: {said}");
        assert_eq!((walk_ids(&shop).len(), shop.records().len()), (at + 1, 0), "{name}");
    }
    for id in walk_ids(&shop) {
        let mut terminal = at_the_passphrase(&shop, &format!("set --key key --resume {id}"));
        assert!(terminal.everything().contains("Signed off by A. Sample; only the record is left to write."));
        terminal.type_line(PASSPHRASE);
        ended(&mut terminal, 0);
    }
    assert_eq!((walk_ids(&shop).len(), shop.records().len()), (0, 6));
}

/// Nothing of a line that is too long is left for the shell.
#[test]
fn a_line_that_is_too_long_goes_to_nobody() {
    let Some(shop) = shop() else { return };
    let mut terminal = at_the_passphrase(&shop, SET);
    terminal.type_line(&format!("{}echo left-4712", "x".repeat(1500)));
    let said = ended(&mut terminal, 2);
    assert!(said.contains("what was typed is longer") && !said.contains("4712"), "{said}");
    assert_eq!(walk_ids(&shop).len(), 1);
}

#[test]
fn a_kill_at_the_passphrase_loses_nothing() {
    let Some(shop) = shop() else { return };
    let mut terminal = Window::new(&shop, 80, 24).run(&["set", "--key", "key", "--script", "lines"]);
    terminal.at_secret(PROMPT);
    terminal.kill();
    let id = walk_ids(&shop).remove(0);
    let mut terminal = at_the_passphrase(&shop, &format!("set --key key --resume {id}"));
    terminal.type_line(PASSPHRASE);
    ended(&mut terminal, 0);
    assert_eq!(shop.records().len(), 1);
}

#[test]
fn a_new_keys_passphrase_is_asked_for_twice() {
    let Some(shop) = shop() else { return };
    let start = || Window::new(&shop, 80, 24).run_then_look_at_modes("key new 'A. Sample'");
    let mut terminal = start();
    terminal.at_secret("new passphrase");
    terminal.type_line("");
    terminal.wait_for("An empty passphrase is none");
    terminal.at_secret("new passphrase");
    terminal.type_line(PASSPHRASE);
    terminal.at_secret("the same again");
    terminal.type_line("bench-4711");
    terminal.wait_for("The two differ.");
    terminal.at_secret("new passphrase");
    terminal.keys(CTRL_C);
    ended(&mut terminal, 130);
    assert!(!shop.store().join("keys/a-sample").exists());
    let mut terminal = start();
    for prompt in ["new passphrase", "the same again"] {
        terminal.at_secret(prompt);
        terminal.type_line(PASSPHRASE);
    }
    let said = ended(&mut terminal, 0);
    assert!(said.contains("A key for A. Sample, made just now."), "{said}");
    let opens = |passphrase: &str| {
        let key = shop.store().join("keys/a-sample");
        let mut command = Command::new("ssh-keygen");
        command.args(["-y", "-P", passphrase, "-f"]).arg(key).output().unwrap().status.success()
    };
    assert!(opens(PASSPHRASE) && !opens("bench-4711"));
}

/// What a shell does between the program's being stopped and taken up again, and what it says of the terminal.
fn stopped_between(shop: &Shop, meanwhile: &str) -> Terminal {
    let script = format!(
        "set -m; cornerset {SET}; echo \"first status $?\"; stty -a; {meanwhile}; echo 'the shell'; read answer; \
         fg > /dev/null; echo \"status $?\"; stty -a; echo \"the end\""
    );
    let mut terminal = Window::new(shop, 80, 24).shell(&script);
    terminal.at_secret(PROMPT);
    terminal
}

/// Ctrl-Z gives the shell its terminal back as it was, in every shell; taken up again, the whole line is asked for anew.
#[test]
fn suspended_at_the_passphrase_and_taken_up_again() {
    for meanwhile in [":", "stty sane", "stty -echo; stty sane", "stty susp '^Y'"] {
        let Some(shop) = shop() else { return };
        let mut terminal = stopped_between(&shop, meanwhile);
        terminal.keys("bench-4711 half of it");
        terminal.keys(CTRL_Z);
        terminal.wait_for("the shell");
        let said = terminal.everything();
        // 128 and the number of SIGTSTP.
        let modes = said.split("first status 148").nth(1).unwrap_or_else(|| panic!("not suspended: {said}"));
        for mode in ["echo", "icanon", "isig"] {
            assert!(modes.split_whitespace().any(|found| found == mode), "{mode} is off\n{said}");
        }
        for key in ["quit = ^\\;", "susp = ^Z;", "eol = <undef>;"] {
            assert!(modes.replace('\n', " ").contains(key), "{key} is another one\n{said}");
        }
        terminal.type_line("go on");
        terminal.at_secret(PROMPT);
        terminal.type_line(PASSPHRASE);
        let said = ended(&mut terminal, 0);
        assert!(said.contains("with a key"), "{said}");
    }
}

/// Where nobody could take the program up again, the system suspends nothing.
#[test]
fn ctrl_z_without_a_shell_asks_anew() {
    let Some(shop) = shop() else { return };
    let mut terminal = Window::new(&shop, 80, 24).run(&["set", "--key", "key", "--script", "lines"]);
    terminal.at_secret(PROMPT);
    terminal.keys("bench-4711 half of it");
    terminal.keys(CTRL_Z);
    terminal.at_secret(PROMPT);
    terminal.type_line(PASSPHRASE);
    assert_eq!(terminal.exit(), 0, "{}", terminal.everything());
    assert!(!terminal.everything().contains("4711"), "{}", terminal.everything());
    assert!(shop.record()["sign_off"]["signature"].is_string());
}

/// Stopped from outside, where nobody puts the terminal back: whatever became of it, nothing that is typed later is shown.
#[test]
fn stopped_from_outside_at_the_passphrase() {
    for meanwhile in [":", "stty sane"] {
        let Some(shop) = shop() else { return };
        let mut terminal = stopped_between(&shop, meanwhile);
        terminal.signal_secret("STOP", PROMPT);
        terminal.wait_for("the shell");
        // The shell reads a line, shown or not.
        terminal.type_line("go on");
        terminal.wait_for_secret();
        terminal.type_line(PASSPHRASE);
        let said = ended(&mut terminal, 0);
        assert!(said.contains("with a key"), "{said}");
    }
}

/// A program for SSH_ASKPASS that gives this and leaves another one behind, which holds its output open; that one writes its
/// id into a file once the first has ended.
fn asked_in_background(shop: &Shop, gives: &str) -> Terminal {
    let waits =
        "while kill -0 $1 2> /dev/null; do sleep 0.01; done; echo $$ > left.new; mv left.new left; exec sleep 30";
    let script = format!("#!/bin/sh\n{gives}\nsh -c '{waits}' sh $$ 2> /dev/null &\n");
    fs::write(shop.path().join("ask"), script).unwrap();
    assert!(Command::new("chmod").arg("700").arg(shop.path().join("ask")).status().unwrap().success());
    let window = Window::new(shop, 80, 24).with("SSH_ASKPASS", "./ask").with("SSH_ASKPASS_REQUIRE", "force");
    window.run_then_look_at_modes(SET)
}

/// Waits until what was left behind is alone, and lets it end once `then` is done.
fn once_left(shop: &Shop, then: impl FnOnce()) {
    let file = shop.path().join("left");
    while !file.exists() {
        std::thread::sleep(std::time::Duration::from_millis(10));
    }
    then();
    let pid = fs::read_to_string(&file).unwrap();
    let was_there = Command::new("kill").arg(pid.trim()).status().unwrap().success();
    assert!(was_there, "it ended by itself, and all this time was waited for it");
}

#[test]
fn a_signal_ends_the_wait_for_a_program_that_left_another_one_behind() {
    let Some(shop) = shop() else { return };
    let mut terminal = asked_in_background(&shop, ":");
    once_left(&shop, || {
        terminal.signal_now("TERM");
        let said = ended(&mut terminal, 130);
        assert!(said.contains("go on with:"), "{said}");
    });
    assert_eq!((walk_ids(&shop).len(), shop.records().len()), (1, 0));
}

#[test]
fn a_program_that_left_another_one_behind_gives_the_passphrase() {
    let Some(shop) = shop() else { return };
    let mut terminal = asked_in_background(&shop, &format!("echo '{PASSPHRASE}'"));
    once_left(&shop, || {
        let said = ended(&mut terminal, 0);
        assert!(said.contains("with a key"), "{said}");
    });
}
