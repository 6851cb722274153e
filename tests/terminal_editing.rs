//! A line at the keyboard while it is typed: keys that do nothing, corrections, lines longer than the window is wide.

mod common;

use common::Shop;
use common::outside::{needs, runs};
use common::pty::{CTRL_C, CTRL_Z, Terminal, Window};
use cornerset::chance::Chance;
use serde_json::Value;

/// What is typed in the window that the line is meant for.
const WIDE: &str = "\u{97f3}\u{91cf}\u{8abf}\u{6574}";

fn at_the_job(shop: &Shop, columns: u16) -> Terminal {
    let mut terminal = Window::new(shop, columns, 24).run(&[]);
    terminal.at("job");
    terminal
}

/// The last answer in the journal, as typed.
fn logged(shop: &Shop) -> String {
    let text = std::fs::read_to_string(&shop.journals()[0]).expect("a journal");
    let line: Value = serde_json::from_str(text.lines().last().expect("a line")).expect("a line of the journal");
    line["entry"]["typed"].as_str().expect("as typed").to_owned()
}

/// Ends the line: what was logged.
#[track_caller]
fn entered(shop: &Shop, terminal: &mut Terminal) -> String {
    terminal.type_line("");
    terminal.at("technician");
    logged(shop)
}

/// A line of free text: what of these keys is in the journal.
#[track_caller]
fn typed(keys: &str) -> String {
    let shop = Shop::new();
    let mut terminal = at_the_job(&shop, 80);
    terminal.keys(keys);
    entered(&shop, &mut terminal)
}

#[test]
fn keys_that_do_nothing_leave_nothing_in_free_text() {
    // As terminfo has them (`infocmp -1 xterm`), from memory: F1, F5, Ctrl and right, Ctrl and delete, up, Shift and Tab;
    // and what a window says by itself: a paste begins and ends, it has the focus, the mouse.
    for key in ["\x1bOP", "\x1b[15~", "\x1b[1;5C", "\x1b[3;5~", "\x1b[A", "\x1b[Z", "\x1b[200~", "\x1b[201~", "\x1b[I"]
    {
        assert_eq!(typed(&format!("Work {key}order 0412{key}")), "Work order 0412", "{key:?}");
    }
    // Esc alone, and a key after it in one go.
    assert_eq!(typed("\x1bWork order\x1b 0412"), "Work order 0412");
}

#[test]
fn keys_that_correct_do_it_as_in_a_shell() {
    for (keys, left) in [
        ("wrong\x15Work order 0412", "Work order 0412"),
        ("Work order two words\x17\x170412", "Work order 0412"),
        (
            "Work order 0412 and more\x1b[H\x1b[4~\x1b[D\x1b[D\x1b[D\x1b[D\x1b[D\x1b[D\x1b[D\x1b[D\x1b[D\x0b",
            "Work order 0412",
        ),
        ("ork order 0413\x7f2\x1b[HW", "Work order 0412"),
        ("Work ordre\x1b[D\x1b[D\x1b[3~\x1b[Cr\x05 0412", "Work order 0412"),
        ("\tWork order\t0412", "Work order 0412"),
    ] {
        assert_eq!(typed(keys), left, "{keys:?}");
    }
}

/// Lines of chance keys against what bash (readline, as Debian has it, without a file of bindings) makes of the same keys.
#[test]
fn keys_that_correct_leave_what_readline_leaves() {
    const KEYS: [&str; 22] = [
        "a",
        "5.66",
        " ",
        "  ",
        "two words",
        "\u{e9}",
        "\u{97f3}",
        "\u{1f50a}",
        "\x1b[D",
        "\x1b[D",
        "\x1b[D",
        "\x1bOD",
        "\x1b[C",
        "\x1b[H",
        "\x1b[F",
        "\x01",
        "\x05",
        "\x1b[3~",
        "\x7f",
        "\x15",
        "\x17",
        "\x0b",
    ];
    if !needs("bash", runs("bash", &["--version"])) {
        return;
    }
    let shop = Shop::new();
    let lines = shop.path().join("lines");
    std::fs::write(&lines, "").unwrap();
    let script =
        "exec bash --norc -c 'while IFS= read -e -r -p \"line: \" line; do printf \"%s\\n\" \"$line\" >> lines; done'";
    let mut bash = Window::new(&shop, 40, 24).with("INPUTRC", "/dev/null").shell(script);
    let mut terminal = at_the_job(&shop, 40);
    let mut chance = Chance::of(1, 0);
    let mut notes = 0;
    for count in 1..=60 {
        let keys: String = (0..30).map(|_| *chance.one_of(&KEYS)).collect();
        bash.at("line");
        bash.type_line(&keys);
        bash.wait_until("a line of bash's", || std::fs::read_to_string(&lines).unwrap().lines().count() == count);
        let all = std::fs::read_to_string(&lines).unwrap();
        let expected = all.lines().last().unwrap().trim();
        terminal.answer("job", "!");
        terminal.answer("note", &keys);
        terminal.at("job");
        let text = std::fs::read_to_string(&shop.journals()[0]).unwrap();
        let last: Value = serde_json::from_str(text.lines().last().unwrap()).unwrap();
        if !expected.is_empty() {
            notes += 1;
            assert_eq!(last["entry"]["text"], expected, "{keys:?}");
        }
        assert_eq!(text.matches("\"note\"").count(), notes, "{keys:?}");
    }
    assert!(notes > 30, "{notes} lines with anything in them");
}

/// A signal does not wait for the other half of a character, or of a key.
#[test]
fn half_a_character_lets_a_signal_through() {
    for half in [&b"caf\xc3"[..], b"\xf0\x9f\x94", b"5\x1b", b"5\x1b[1;"] {
        for signal in ["TERM", "HUP"] {
            let shop = Shop::new();
            let mut terminal = Window::new(&shop, 80, 24).run_then_look_at_modes("set");
            terminal.at("job");
            terminal.bytes(half);
            terminal.signal(signal);
            terminal.wait_for("the end");
            let said = terminal.everything();
            assert!(said.contains("status 130") && said.split_whitespace().any(|mode| mode == "icanon"), "{said}");
        }
    }
}

#[test]
fn characters_come_in_pieces() {
    let shop = Shop::new();
    let mut terminal = at_the_job(&shop, 80);
    for byte in format!("caf\u{e9} {WIDE} \u{1f50a}").as_bytes() {
        terminal.bytes(&[*byte]);
    }
    assert_eq!(entered(&shop, &mut terminal), format!("caf\u{e9} {WIDE} \u{1f50a}"));
}

/// What stood in the window stands there still, once a line of several rows was typed, corrected and erased.
#[test]
fn a_line_longer_than_the_window_is_wide_leaves_the_rest_of_it_alone() {
    for columns in [20, 21, 60, 61, 80] {
        let shop = Shop::new();
        let mut terminal = at_the_job(&shop, columns);
        let before = terminal.screen();
        let line = WIDE.repeat(usize::from(columns) / 4);
        terminal.keys(&format!("a{line}"));
        terminal.keys("\x1b[Hb\x1b[C\x1b[C\x1b[3~\x1b[F\x7f\x1b[D\x1b[D\x1b[D\x17");
        terminal.keys("\x1b[H\x0bcomplete");
        terminal.wait_for_in_window("job: complete");
        terminal.keys("\x15.");
        terminal.wait_for_in_window("job: .");
        assert_eq!(terminal.screen(), format!("{before} ."), "{columns}");
        terminal.keys("\x15a");
        terminal.keys(&line);
        terminal.keys("\x1b[D\x1b[D\x1b[3~");
        let typed: Vec<char> = format!("a{line}").chars().collect();
        let left: String = [&typed[..typed.len() - 2], &typed[typed.len() - 1..]].concat().iter().collect();
        assert_eq!(entered(&shop, &mut terminal), left);
        // As it was typed it stays above what follows.
        let unwrapped = terminal.everything().replace('\n', "");
        assert!(unwrapped.contains(&format!("job: {left}")), "{columns}: {}", terminal.everything());
    }
}

#[test]
fn the_window_may_change_its_size_within_a_long_line() {
    for (from, to) in [(80, 60), (60, 80), (80, 33)] {
        let shop = Shop::new();
        let mut terminal = at_the_job(&shop, from);
        let line = format!("begins {} and ends", WIDE.repeat(12));
        terminal.keys(&line);
        terminal.wait_for_in_window("and ends");
        let drawn = terminal.raw().len();
        terminal.resize(to, 24);
        terminal.wait_for_bytes(drawn + line.len());
        terminal.keys("\x1b[H\x1b[C!\x1b[F.");
        let expected = format!("b!egins {} and ends.", WIDE.repeat(12));
        assert_eq!(entered(&shop, &mut terminal), expected);
        assert!(terminal.everything().replace('\n', "").contains(&format!("job: {expected}")), "{from} to {to}");
        assert!(terminal.screen().contains("technician"), "{}", terminal.screen());
    }
}

/// A pasted table has tabs; a line that is pasted with others answers one question each.
#[test]
fn pasted_lines_are_lines_that_were_typed() {
    let shop = Shop::new();
    let mut terminal = at_the_job(&shop, 80);
    terminal.keys("Work order\t0412\rA. Sample\rBench amplifier 2\r");
    terminal.wait_for("meter [");
    let text = std::fs::read_to_string(&shop.journals()[0]).unwrap();
    for answer in ["Work order 0412", "A. Sample", "Bench amplifier 2"] {
        assert!(text.contains(&format!("\"{answer}\"")), "{text}");
    }
}

/// Suspended within a line of several rows; the shell changes the terminal, and the window another size.
#[test]
fn suspended_within_a_long_line() {
    let shop = Shop::new();
    let window = Window::new(&shop, 40, 24);
    let mut terminal =
        window.shell("set -m; cornerset set; echo \"status $?\"; stty sane; echo 'the shell'; read answer; fg");
    terminal.at("job");
    let line = format!("begins {} and ends", WIDE.repeat(12));
    terminal.keys(&line);
    terminal.keys("\x1b[H");
    terminal.keys(CTRL_Z);
    terminal.wait_for("the shell");
    assert!(terminal.everything().contains("status 148"), "{}", terminal.everything());
    terminal.resize(60, 24);
    terminal.type_line("go on");
    terminal.wait_for("job: begins");
    terminal.keys("It ");
    assert_eq!(entered(&shop, &mut terminal), format!("It {line}"));
    terminal.keys(CTRL_C);
    assert_eq!(terminal.exit(), 130);
}
