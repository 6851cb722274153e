//! Scripts that are no scripts, and scripts that end anywhere.

use crate::common::Shop;
use crate::common::lines::Lines;
use crate::support::run;

/// A script in which many questions come up, those with defaults too.
fn long_script() -> String {
    Lines::required()
        .with("amplifier", "Bench amplifier 2")
        .with("meter", "Meter 3")
        .with("family", "unknown")
        .with("bypass", "no")
        .with("reference-mark", "18")
        .with("gain", "no")
        .with("load", "2 ohm")
        .with("explore", "20 = 2.25 / 7.78")
        .and("explore", "30 = 6.74 / 8")
        .with("reference", "21 V")
        .with("reading", "7.02")
        .and("reading", "strike 1 mistyped")
        .and("reading", "16.00")
        .with("sweep", "20=9")
        .with("reason", "the knob is at its stop")
        .with("note", "painted")
        .text()
}

/// End of input at every line, and in the middle of every line: never a loop, never a record that was not signed.
#[test]
fn the_end_of_input_anywhere() {
    let script = long_script();
    assert!(matches!(Shop::new().plays(script.as_bytes()).code, Some(0 | 1)), "the whole script is taken");
    let starts = std::iter::once(0).chain(script.match_indices('\n').map(|(at, _)| at + 1));
    let cuts: Vec<usize> =
        starts.zip(script.lines()).flat_map(|(start, line)| [start, start + line.len() / 2]).collect();
    std::thread::scope(|scope| {
        for half in cuts.chunks(cuts.len().div_ceil(2)) {
            let script = &script;
            scope.spawn(move || {
                for cut in half {
                    let shop = Shop::new();
                    let ended = shop.plays(&script.as_bytes()[..*cut]);
                    // A name that is cut short is still a name.
                    let is_signed = script[..*cut].contains("sign-off: A");
                    assert_eq!(matches!(ended.code, Some(0 | 1)), is_signed, "{}\n{ended:?}", &script[..*cut]);
                    if !is_signed {
                        ended.sentence(2);
                    }
                    assert_eq!((shop.journals().len(), shop.records().len()), if is_signed { (0, 1) } else { (1, 0) });
                }
            });
        }
    });
}

#[test]
fn bytes_that_are_no_text() {
    let script = Lines::required().text().into_bytes();
    let plain = String::from_utf8(script.clone()).unwrap();
    let after_job: Vec<u8> = [b"job: Work order 0501\n\xff\xfe\n".to_vec(), script].concat();
    for (name, bytes, says) in [
        ("not UTF-8 from the start", b"\xff\xfej\0o\0b\0".to_vec(), "line 1 of the script is not UTF-8"),
        ("not UTF-8 in the second line", after_job, "line 2 of the script is not UTF-8"),
        ("half a character", b"job: caf\xc3".to_vec(), "line 1 of the script is not UTF-8"),
        ("a character of its own kind", b"job: \xed\xa0\x80\n".to_vec(), "line 1 of the script is not UTF-8"),
        ("a nought", plain.replace("slope: 24", "slope: 24\0").into_bytes(), "line 4 of the script: slope: "),
        ("noughts", vec![0; 1 << 20], "line 1 of the script is longer than"),
        ("only line ends of old", plain.replace('\n', "\r").into_bytes(), "line 1 of the script"),
        ("no colon", b"job Work order\n".to_vec(), "line 1 of the script has no question: `job Work order`"),
        ("an escape for a question", b"\x1b[31mjob: x\n".to_vec(), "names no question: `<U+001B>[31mjob`"),
        ("a mark for a question", "\u{202e}job: x\n".into(), "names no question: `<U+202E>job`"),
        ("nothing for a question", b": x\n".to_vec(), "line 1 of the script names no question"),
        ("a very long question", [vec![b'x'; 60_000], b": y\n".to_vec()].concat(), "names no question: `xxx"),
    ] {
        let ended = Shop::new().plays(&bytes);
        assert!(ended.sentence(2).contains(says), "{name}: {ended:?}");
    }
}

#[test]
fn a_megabyte_of_text() {
    const MEGABYTE: usize = 1 << 20;
    let ended = Shop::new().plays(&[b"job: ".to_vec(), vec![b'x'; MEGABYTE]].concat());
    assert!(ended.sentence(2).contains("line 1 of the script is longer than 65536 bytes"), "{ended:?}");
    let ended = Shop::new().plays(&b"x\n".repeat(MEGABYTE / 2));
    assert!(ended.sentence(2).contains("line 1 of the script"), "{ended:?}");
    // A longest line of the lines that are read at all.
    let ended = Shop::new().plays(format!("job: {}\n", "x".repeat(65_000)).as_bytes());
    assert!(ended.refuses("job", &"x".repeat(65_000)).contains("65000 characters"), "{ended:?}");
    let comments = [b"# a comment\n".repeat(MEGABYTE / 12), Lines::required().text().into_bytes()].concat();
    let ended = Shop::new().plays(&comments);
    assert_eq!(ended.code, Some(0), "{ended:?}");
    // A number in a long script still names its line.
    let wrong = Lines::required().with("slope", "25").text().into_bytes();
    let ended = Shop::new().plays(&[b"\n".repeat(MEGABYTE), wrong].concat());
    assert!(ended.refuses("slope", "25").contains(&format!("line {}", MEGABYTE + 4)), "{ended:?}");
}

#[test]
fn many_readings() {
    let readings = "reading: 5.61 5.64 5.66\n".repeat(300);
    let script = Lines::required().text().replace("reading: 5.66\n", &readings);
    assert_eq!(Shop::new().plays(script.as_bytes()).code, Some(0));
    for (repeats, says) in [("5.66 ".repeat(51), "more than 50"), ("5.66 ".repeat(101), "longer than 500 characters")] {
        let ended = Shop::new().plays(Lines::required().with("reading", &repeats).text().as_bytes());
        assert!(ended.refuses("reading", &repeats).contains(says), "{ended:?}");
    }
}

#[test]
fn a_script_that_cannot_be_read() {
    let shop = Shop::new();
    std::fs::create_dir(shop.path().join("folder")).unwrap();
    for (path, says) in [
        ("missing", "`missing`"),
        ("folder", "`folder`"),
        ("folder/missing", "`folder/missing`"),
        ("missing\u{1B}[31m", "`missing<U+001B>[31m`"),
        ("", "--script"),
    ] {
        let ended = shop.tries(&["set", "--script", path]);
        assert!(ended.sentence(2).contains(says), "{path}: {ended:?}");
    }
    // Where there is no script there is no session either.
    assert!(!shop.store().exists());
    let ended = shop.tries(&["set", "--script"]);
    assert!(ended.sentence(2).contains("--script"), "{ended:?}");
    // Nothing but an end.
    std::fs::write(shop.path().join("empty"), "").unwrap();
    assert!(shop.tries(&["set", "--script", "empty"]).sentence(2).contains("`job`"));
}

#[cfg(unix)]
#[test]
fn a_script_that_may_not_be_read() {
    use std::os::unix::ffi::OsStrExt;
    use std::os::unix::fs::PermissionsExt;

    let shop = Shop::new();
    let path = shop.path().join("closed");
    std::fs::write(&path, Lines::required().text()).unwrap();
    std::fs::set_permissions(&path, std::fs::Permissions::from_mode(0o000)).unwrap();
    // Whoever may do everything may read it all the same.
    if std::fs::read(&path).is_err() {
        assert!(shop.tries(&["set", "--script", "closed"]).sentence(2).contains("`closed`"));
    }
    let name = std::ffi::OsStr::from_bytes(b"missing\xff\xfe");
    let ended = run(shop.command().args(["set", "--script"]).arg(name), b"");
    assert!(ended.sentence(2).contains("missing"), "{ended:?}");
}

/// Without a terminal and without a script there is nobody to ask: that is said, with what helps.
#[test]
fn no_terminal() {
    for arguments in
        [&[][..], &["set"], &["set", "--show-working"], &["--json"], &["--plain", "set", "--resume", "0190aaaa"]]
    {
        let shop = Shop::new();
        for input in [&b""[..], b"job: x\n", b"\n\n\n\n"] {
            let ended = run(shop.command().args(arguments), input);
            let sentence = ended.sentence(2);
            assert!(sentence.contains("terminal") && sentence.contains("--script"), "{arguments:?}: {sentence}");
        }
        assert!(!shop.store().exists(), "no session was opened");
    }
}

/// What is no file is not waited for: standard input is where the answers come from.
#[test]
fn a_driver_that_is_no_file() {
    for given in ["-", "nowhere.toml", "/dev/null", "none", ""] {
        let ran = Shop::new().plays(Lines::required().with("driver", given).text().as_bytes());
        assert!(ran.code == Some(2) && ran.stderr.contains("is no file"), "{given}: {ran:?}");
    }
}
