//! The same at a keyboard: suspended and taken up again, killed, the window closed, a signal in the instant of a prompt.

use crate::common::pty::{CTRL_Z, Terminal, Window};
use crate::common::{Shop, read_json};
use crate::oracle::kept;
use crate::strikes::{is_long, strike_all};
use crate::trial::script;

/// Answers as the script does, Enter where it says nothing, until so many readings are typed and shown as logged.
fn lead_to(terminal: &mut Terminal, readings: usize) {
    let (lines, mut typed) = (script(), 0);
    loop {
        let prompt = terminal.prompt();
        if prompt.word == "reading" && typed == readings {
            return;
        }
        let mut answers =
            lines.pairs().iter().filter(|(word, answer)| *word == prompt.word && !answer.starts_with("strike"));
        let answer = if prompt.word == "reading" { answers.nth(typed) } else { answers.next() };
        typed += usize::from(prompt.word == "reading");
        terminal.type_line(answer.map_or("", |(_, answer)| answer));
    }
}

/// What the journal has of readings, as typed.
fn readings(shop: &Shop) -> Vec<String> {
    let entries = kept(&shop.journals()[0]).expect("a head");
    let readings = entries.iter().filter(|entry| entry["event"] == "reading");
    readings.map(|entry| entry["typed"].as_str().expect("text").to_owned()).collect()
}

/// The first readings of the script.
fn first(count: usize) -> Vec<String> {
    let lines = script();
    let all = lines.pairs().iter().filter(|(word, answer)| word == "reading" && !answer.starts_with("strike"));
    all.take(count).map(|(_, answer)| answer.clone()).collect()
}

/// Types what is left and signs; the record has every reading once.
#[track_caller]
fn finish(shop: &Shop, terminal: &mut Terminal, before: &[String]) {
    terminal.answer("reading", "5.66");
    terminal.answer("reading", "");
    terminal.answer("accept", "yes");
    loop {
        let prompt = terminal.prompt();
        terminal.type_line(if prompt.word == "sign-off" { "A. Sample" } else { "" });
        if prompt.word == "sign-off" {
            break;
        }
    }
    assert_eq!(terminal.exit(), 0, "{}", terminal.everything());
    let record = read_json(&shop.records()[0]);
    let log = record["log"].as_array().expect("a log").iter().filter(|entry| entry["event"] == "reading");
    let typed: Vec<&str> = log.map(|entry| entry["typed"].as_str().expect("text")).collect();
    assert_eq!(typed, [before, &["5.66".to_owned()]].concat());
    assert_eq!((shop.records().len(), shop.journals().len()), (1, 0));
}

fn places() -> Vec<usize> {
    if is_long() { (1..=20).collect() } else { vec![1, 7] }
}

/// Ctrl-Z gives the shell its terminal back as it was; taken up again, the line is there as far as it was typed.
#[test]
fn suspended_and_taken_up_again() {
    strike_all("Ctrl-Z and back", &places(), |count| {
        let shop = Shop::new();
        let window = Window::new(&shop, 80, 24);
        let mut terminal =
            window.shell("set -m; cornerset set; echo \"status $?\"; stty -a; echo 'the shell'; read answer; fg");
        lead_to(&mut terminal, *count);
        terminal.keys("7.0");
        terminal.keys(CTRL_Z);
        terminal.wait_for("the shell");
        let shown = terminal.everything();
        // 128 and the number of SIGTSTP.
        assert!(shown.contains("status 148"), "{shown}");
        let modes = shown.split("status 148").nth(1).expect("modes");
        for mode in ["icanon", "echo", "isig", "icrnl", "opost"] {
            assert!(modes.split_whitespace().any(|found| found == mode), "{mode} is off\n{shown}");
        }
        assert_eq!(readings(&shop), first(*count));
        terminal.type_line("go on");
        terminal.wait_for("reading: 7.0");
        terminal.type_line("4");
        let before = [first(*count), vec!["7.04".to_owned()]].concat();
        finish(&shop, &mut terminal, &before);
    });
}

/// Stopped from outside and on again, whatever the terminal was meanwhile.
#[test]
fn stopped_from_outside() {
    strike_all("SIGSTOP and SIGCONT at a prompt", &places(), |count| {
        let shop = Shop::new();
        let mut terminal = Window::new(&shop, 80, 24).run(&["set"]);
        lead_to(&mut terminal, *count);
        terminal.signal("STOP");
        terminal.signal_stopped("CONT");
        finish(&shop, &mut terminal, &first(*count));
    });
}

/// Stopped from outside within a line of two rows; the terminal is set right by hand meanwhile, as one does where it looks
/// broken. Taken up again, the line is there, each key counts, and nothing is drawn over and over.
#[test]
fn stopped_and_the_terminal_changed_meanwhile() {
    const NOTE: &str = "the probe slipped, the display was read once more from the other side of the bench, and that";
    strike_all("SIGSTOP, stty sane and fg at a prompt", &places(), |count| {
        let shop = Shop::new();
        let script = "set -m; cornerset set; stty sane; echo 'the shell'; read answer; fg > /dev/null";
        let mut terminal = Window::new(&shop, 80, 24).shell(script);
        lead_to(&mut terminal, *count);
        terminal.keys(&format!("! {NOTE}"));
        terminal.wait_for("and that");
        terminal.signal("STOP");
        terminal.wait_for("the shell");
        let before = terminal.raw().len();
        terminal.type_line("go on");
        terminal.wait_for("and that");
        terminal.keys(" is al");
        terminal.wait_for("is al");
        terminal.keys("\x1b[Dl\x1b[F");
        terminal.wait_for("is all");
        let drawn = terminal.raw().len() - before;
        assert!(drawn < 10 * NOTE.len(), "{drawn} bytes\n{}", terminal.everything());
        terminal.type_line("");
        terminal.wait_for("Noted.");
        let entries = kept(&shop.journals()[0]).expect("a head");
        assert_eq!(entries.last().expect("a note")["text"], format!("{NOTE} is all"));
        finish(&shop, &mut terminal, &first(*count));
    });
}

/// Killed after Enter, at once or once the reading is shown; what was shown as logged is there.
#[track_caller]
fn killed(fault: &str, is_shown: bool) {
    strike_all(fault, &places(), |count| {
        let shop = Shop::new();
        let mut terminal = Window::new(&shop, 80, 24).run(&["set"]);
        lead_to(&mut terminal, *count);
        terminal.type_line("6.66");
        if is_shown {
            terminal.wait_for("6.66 V");
        }
        terminal.kill();
        let mut expected = first(*count);
        let kept = readings(&shop);
        if is_shown || terminal.since_typed().contains("6.66 V") || kept.len() > *count {
            expected.push("6.66".to_owned());
        }
        assert_eq!(kept, expected, "{}", terminal.since_typed());
        let id = crate::common::walk_ids(&shop).remove(0);
        let mut terminal = Window::new(&shop, 80, 24).run(&["set", "--resume", &id]);
        finish(&shop, &mut terminal, &expected);
    });
}

#[test]
fn killed_at_the_keyboard() {
    killed("kill -9 at the keyboard", false);
}

#[test]
fn killed_once_a_reading_is_shown() {
    killed("kill -9 once a reading is shown", true);
}

/// A signal that comes in the very instant of a prompt does not wait for a key.
#[test]
fn a_signal_in_the_instant_of_a_prompt() {
    let places: Vec<usize> = (0..if is_long() { 300 } else { 4 }).collect();
    strike_all("SIGTERM in the instant of a prompt", &places, |round| {
        let shop = Shop::new();
        let mut terminal = Window::new(&shop, 80, 24).run(&["set"]);
        terminal.answer("job", "Work order 0731");
        std::thread::sleep(std::time::Duration::from_micros(*round as u64 * 37 % 4000));
        terminal.signal_now("TERM");
        assert_eq!(terminal.exit(), 130, "{}", terminal.everything());
        assert!(kept(&shop.journals()[0]).is_some());
    });
}

/// The window is closed at a prompt.
#[test]
fn the_window_is_closed() {
    strike_all("the terminal is closed", &places(), |count| {
        let shop = Shop::new();
        let mut terminal = Window::new(&shop, 80, 24).run(&["set"]);
        lead_to(&mut terminal, *count);
        assert_eq!(terminal.hang_up().exit_code(), 130);
        assert_eq!(readings(&shop), first(*count));
        let id = crate::common::walk_ids(&shop).remove(0);
        let mut terminal = Window::new(&shop, 80, 24).run(&["set", "--resume", &id]);
        finish(&shop, &mut terminal, &first(*count));
    });
}
