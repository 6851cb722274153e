//! Driver files that cannot be: each is refused in one sentence that names the file, the field, the value and what is
//! accepted; nothing is made of them.

use std::fs;

use crate::common::Shop;
use crate::support::{Ended, run};

/// A whole file, every value of which can be replaced.
const LINES: [(&str, &str, &str); 19] = [
    ("driver", "name", "\"Sample driver 12\""),
    ("driver", "fs_hz", "26.4"),
    ("driver", "qes", "0.47"),
    ("driver", "qms", "5.8"),
    ("driver", "vas_l", "58"),
    ("driver", "sd_cm2", "507"),
    ("driver", "re_ohm", "3.3"),
    ("driver", "le_mh", "1.9"),
    ("driver", "xmax_mm", "13"),
    ("driver", "xmech_mm", "27"),
    ("box", "kind", "\"vented\""),
    ("box", "volume_l", "49.6"),
    ("box", "tuning_hz", "34"),
    ("box", "leakage_q", "7"),
    ("drive", "power_w", "320"),
    ("drive", "load_ohm", "4"),
    ("drive", "lowest_hz", "12"),
    ("filter", "family", "\"butterworth\""),
    ("filter", "slope_db_per_octave", "24"),
];

/// The file with these lines in place of those of the same key, or at the end of their section; an empty value leaves a
/// key out.
fn file(changes: &[(&str, &str, &str)]) -> String {
    let mut text = String::new();
    for section in ["driver", "box", "drive", "filter"] {
        text.push_str(&format!("[{section}]\n"));
        let usual = LINES.iter().filter(|(home, key, _)| {
            *home == section && !changes.iter().any(|(there, other, _)| there == home && other == key)
        });
        let changed = changes.iter().filter(|(there, ..)| *there == section);
        for (_, key, value) in usual.chain(changed).filter(|(.., value)| !value.is_empty()) {
            text.push_str(&format!("{key} = {value}\n"));
        }
    }
    text
}

/// Runs on this text as a file.
#[track_caller]
fn tries(text: &[u8]) -> Ended {
    let shop = Shop::new();
    fs::write(shop.path().join("driver.toml"), text).unwrap();
    shop.tries(&["excursion", "driver.toml"])
}

/// Whether a file is refused for these reasons, in a sentence that names the file.
#[track_caller]
fn refuses(text: &str, reasons: &[&str]) {
    let ended = tries(text.as_bytes());
    let sentence = ended.sentence(2);
    assert!(sentence.starts_with("cornerset: driver.toml") && sentence.contains("; accepted: "), "{text}\n{sentence}");
    assert_eq!(ended.stderr.lines().count(), 1, "{}", ended.stderr);
    for reason in reasons {
        assert!(sentence.contains(reason), "{reason} in: {sentence}\n{text}");
    }
    // The document is refused in the same words.
    let shop = Shop::new();
    fs::write(shop.path().join("driver.toml"), text).unwrap();
    assert_eq!(shop.tries(&["excursion", "driver.toml", "--json"]).sentence(2), sentence);
}

/// Every key that is a number, with the section that it stands in.
fn numbers() -> impl Iterator<Item = (&'static str, &'static str)> {
    let others = [
        ("driver", "qts"),
        ("driver", "cms_mm_per_n"),
        ("driver", "mms_g"),
        ("driver", "effective_diameter_mm"),
        ("filter", "q"),
        ("filter", "corner_hz"),
    ];
    let usual = LINES.iter().filter(|(.., value)| !value.starts_with('"')).map(|(section, key, _)| (*section, *key));
    usual.chain(others)
}

#[test]
fn the_file_itself_is_taken() {
    assert_eq!(tries(file(&[]).as_bytes()).code, Some(0));
}

#[test]
fn numbers_that_are_none() {
    for (section, key) in numbers() {
        for value in
            ["-5", "\"-5\"", "nan", "-inf", "inf", "1e300", "9223372036854775807", "\"1,234.5\"", "\"\"", "\"five\""]
        {
            refuses(&file(&[(section, key, value)]), &[&format!("{key}: ")]);
        }
        for value in ["\"5 furlongs\"", "\"5\\u001b[31m\"", "\"\\u202e5\"", "\"1e2\"", "\"5..6\""] {
            refuses(&file(&[(section, key, value)]), &[&format!("{key}: ")]);
        }
    }
    // Nought is a value of an inductance alone.
    for (section, key) in numbers().filter(|(_, key)| *key != "le_mh") {
        let reason = if key == "slope_db_per_octave" { "is not a slope" } else { "is not positive" };
        refuses(&file(&[(section, key, "0")]), &[&format!("{key}: `0` {reason}")]);
    }
    assert_eq!(tries(file(&[("driver", "le_mh", "0")]).as_bytes()).code, Some(0));
}

#[test]
fn units_of_another_quantity() {
    for (section, key, value, says) in [
        ("driver", "fs_hz", "\"26 mm\"", "is a length"),
        ("driver", "qes", "\"0.47 Hz\"", "is a frequency"),
        ("driver", "vas_l", "\"58 cm2\"", "is an area"),
        ("driver", "sd_cm2", "\"507 l\"", "is a volume"),
        ("driver", "re_ohm", "\"3.3 W\"", "is a power"),
        ("driver", "le_mh", "\"1.9 ohm\"", "is a resistance"),
        ("driver", "xmax_mm", "\"13 l\"", "is a volume"),
        ("driver", "mms_g", "\"226 mm\"", "is a length"),
        ("box", "volume_l", "\"49.6 Hz\"", "is a frequency"),
        ("box", "tuning_hz", "\"34 V\"", "is a voltage"),
        ("drive", "power_w", "\"320 V\"", "is a voltage"),
        ("drive", "load_ohm", "\"4 W\"", "is a power"),
        ("filter", "corner_hz", "\"24 dB\"", "is a level"),
    ] {
        refuses(&file(&[(section, key, value)]), &[&format!("{key}: {} {says}", value.replace('"', "`"))]);
    }
}

#[test]
fn values_of_another_kind() {
    for (section, key, _) in LINES {
        for (value, kind) in [
            ("true", "`true or false`"),
            ("[1, 2]", "`a list`"),
            ("{ a = 1 }", "`a section`"),
            ("2026-03-05", "`a date`"),
        ] {
            let says = format!("{key}: {kind} stands where a value does; accepted: a number, or a text with its unit");
            refuses(&file(&[(section, key, value)]), &[&says]);
        }
    }
    refuses("driver = 5\n", &["driver: `a number` stands where a section does; accepted: [driver]"]);
    refuses("[[driver]]\nfs_hz = 26\n", &["driver: `a list` stands where a section does; accepted: [driver]"]);
}

#[test]
fn keys_and_sections_that_are_unknown_or_out_of_place() {
    for (section, key, says) in [
        ("driver", "fs", "driver: `fs` is no key that is known here; the nearest is fs_hz"),
        ("driver", "xmax", "`xmax` is no key that is known here; the nearest is xmax_mm"),
        ("driver", "Qes", "`Qes` is no key that is known here; the nearest is qes"),
        ("box", "volume", "box: `volume` is no key that is known here; the nearest is volume_l"),
        ("drive", "power", "drive: `power` is no key that is known here; the nearest is power_w"),
        ("filter", "slope", "filter: `slope` is no key that is known here; the nearest is slope_db_per_octave"),
        ("driver", "colour", "driver: `colour` is no key that is known here"),
        ("driver", "\"\\u001b[31m\"", "`<U+001B>[31m`"),
        ("driver", "tuning_hz", "tuning_hz: `5` stands in [driver]; accepted: tuning_hz in [box]"),
        ("filter", "power_w", "power_w: `5` stands in [filter]; accepted: power_w in [drive]"),
        ("box", "fs_hz", "fs_hz: `5` stands in [box]; accepted: fs_hz in [driver]"),
    ] {
        refuses(&file(&[(section, key, "5")]), &[says]);
    }
    refuses("fs_hz = 26.4\n", &["fs_hz: `26.4` stands in no section; accepted: fs_hz below the line [driver]"]);
    for (section, says) in [
        ("[drivers]", "section: `drivers` is no section that is known here; the nearest is [driver]"),
        ("[Box]", "section: `Box` is no section that is known here; the nearest is [box]"),
        (
            "[amplifier]",
            "section: `amplifier` is no section that is known here; accepted: [driver], [box], [drive], [filter]",
        ),
        ("[\"<b>\"]", "section: `<b>`"),
    ] {
        refuses(&format!("{}{section}\n", file(&[])), &[says]);
    }
}

#[test]
fn what_is_no_toml_is_named_by_its_line() {
    let doubled = file(&[]).replace("qes = 0.47\n", "qes = 0.47\nqes = 0.48\n");
    refuses(&doubled, &["line 5: `qes = 0.48` cannot be read: duplicate key"]);
    refuses(&format!("{}[box]\n", file(&[])), &["line 24: `[box]` cannot be read: "]);
    for line in
        ["xmax_mm = 13 mm", "qes = 0,47", "qes = .47", "xmax_mm", "= 5", "[driver", "name = \"open", "name = 'a\u{7}'"]
    {
        let text = file(&[]).replacen("fs_hz = 26.4\n", &format!("{line}\n"), 1);
        refuses(&text, &["line ", "`xmax_mm = 13`"]);
    }
    for word in ["indoor", "nowhere", "vented"] {
        let text = file(&[("driver", "name", word)]);
        let says = format!("`name = {word}` cannot be read: ");
        refuses(&text, &[&says, "a text in quotes"]);
        let ended = tries(text.as_bytes());
        let said = ended.sentence(2);
        assert!(!said.contains("`inf`") && !said.contains("`nan`"), "{said}");
    }
    for line in ["a = \"\\ud800\"", "99999999999999999999999 = 1", "x = 99999999999999999999999"] {
        refuses(&format!("{line}\n"), &[]);
    }
}

#[test]
fn what_is_missing_is_named() {
    for (section, key, says) in [
        ("driver", "fs_hz", "accepted: the driver's resonance, fs_hz"),
        ("driver", "qes", "accepted: qes, or qts with qms"),
        ("driver", "qms", "accepted: qms, or qts with qes"),
        ("driver", "vas_l", "accepted: vas_l, or cms_mm_per_n, or mms_g"),
        ("driver", "sd_cm2", "accepted: sd_cm2, or effective_diameter_mm"),
        ("driver", "re_ohm", "accepted: the voice coil's resistance, re_ohm"),
        ("driver", "xmax_mm", "accepted: the linear limit of travel one way, xmax_mm"),
        ("box", "kind", "accepted: sealed, vented or free-air"),
        ("box", "volume_l", "accepted: the net volume of the box, volume_l"),
        ("box", "tuning_hz", "accepted: the tuning of the vented box, tuning_hz"),
        ("drive", "power_w", "accepted: the amplifier's power, power_w, or --power"),
        ("drive", "load_ohm", "accepted: the load, load_ohm, or --load"),
    ] {
        refuses(&file(&[(section, key, "")]), &[&format!("{key}: nothing was given; {says}")]);
    }
    for text in ["# nothing but a remark\n", "[driver]\n", "[driver]\n[box]\n[drive]\n[filter]\n"] {
        refuses(text, &["nothing was given"]);
    }
    // A slip is named before what is missing.
    refuses("[filter]\ncorner_hz = 4\n", &["corner_hz: `4` is out of range"]);
}

#[test]
fn words_that_are_none_of_the_accepted() {
    for (section, key, words) in [
        ("box", "kind", "sealed, vented or free-air"),
        ("filter", "family", "butterworth, linkwitz-riley, bessel or second-order"),
    ] {
        for value in ["ported", "<script>", "5"] {
            let says = format!("{key}: `{value}` is no ");
            refuses(&file(&[(section, key, &format!("\"{value}\""))]), &[&says, words]);
        }
        refuses(&file(&[(section, key, "\"\"")]), &[&format!("{key}: nothing was given; accepted: {words}")]);
    }
    for (changes, says) in [
        (
            vec![("slope_db_per_octave", "25")],
            "slope_db_per_octave: `25` is not a slope that filters have; accepted: 6, 12,",
        ),
        (
            vec![("family", "\"bessel\""), ("slope_db_per_octave", "48")],
            "slope_db_per_octave: `48 dB/octave` does not exist as Bessel; accepted: 12, 18 or 24 dB/octave for Bessel",
        ),
        (vec![("family", "\"second-order\""), ("slope_db_per_octave", "12")], "q: nothing was given"),
        (vec![("q", "0.9")], "q: `0.9` belongs to a second-order filter; accepted: family = \"second-order\""),
    ] {
        let changes: Vec<_> = changes.into_iter().map(|(key, value)| ("filter", key, value)).collect();
        refuses(&file(&changes), &[says]);
    }
}

/// Where two statements of one thing disagree, both are named, with what one makes of the other.
#[test]
fn statements_that_disagree_are_both_named() {
    let driver = |changes: &[(&str, &str)]| {
        let changes: Vec<_> = changes.iter().map(|(key, value)| ("driver", *key, *value)).collect();
        file(&changes)
    };
    // 1/(1/0.47 + 1/5.8) is 0.43477; 5 % of it either way is accepted, which rounding explains.
    refuses(&driver(&[("qts", "0.6")]), &["qts: `0.6` disagrees with qes 0.47 and qms 5.8, which make it 0.435"]);
    assert_eq!(tries(driver(&[("qts", "0.45")]).as_bytes()).code, Some(0));
    refuses(&driver(&[("qms", ""), ("qts", "0.5")]), &["qts: `0.5` is not below qes 0.47"]);
    refuses(&driver(&[("qes", ""), ("qts", "5.9")]), &["qts: `5.9` is not below qms 5.8"]);
    // pi x 20^2 / 4 is 314 cm2.
    refuses(
        &driver(&[("effective_diameter_mm", "200")]),
        &["sd_cm2: `507` disagrees with effective_diameter_mm 200", "314"],
    );
    // Vas is rho c^2 Cms Sd^2: 140449.5 x 0.32 mm/N x 0.0507^2 is 115.5 l.
    refuses(&driver(&[("cms_mm_per_n", "0.32")]), &["vas_l: `58` disagrees with cms_mm_per_n 0.32", "116"]);
    // With Cms as 1 / (ws^2 Mms), 113 g make it 0.3216 mm/N and 116.1 l.
    refuses(&driver(&[("mms_g", "113")]), &["vas_l: `58` disagrees with mms_g 113", "116"]);
    refuses(
        &driver(&[("cms_mm_per_n", "0.16"), ("mms_g", "113")]),
        &["cms_mm_per_n: `0.16` disagrees with mms_g 113 and fs_hz", "0.322"],
    );
    refuses(
        &driver(&[("xmech_mm", "12")]),
        &["xmech_mm: `12 mm` is below xmax_mm, 13 mm; accepted: a mechanical limit at or above the linear one"],
    );
    assert_eq!(tries(driver(&[("xmech_mm", "13")]).as_bytes()).code, Some(0));
}

#[test]
fn names_that_act_are_refused_and_others_are_only_text() {
    for name in ["a\\u001b[31mred", "a\\u0007b", "two\\nlines", "a\\u202eb", "", "  ", &"x".repeat(121)] {
        refuses(&file(&[("driver", "name", &format!("\"{name}\""))]), &["name: ", "one line of 1 to 120 characters"]);
    }
    for name in ["<script>alert(1)</script>", "=1+1", "a&b", "12 inch; qes = 5", "\u{c4}\u{f6}"] {
        let ended = tries(file(&[("driver", "name", &format!("'{name}'"))]).as_bytes());
        assert!(
            ended.code == Some(0) && ended.stdout.contains(&format!("  driver         {name}, in a vented")),
            "{ended:?}"
        );
    }
}

#[test]
fn files_that_are_none() {
    let shop = Shop::new();
    let put = |name: &str, bytes: &[u8]| fs::write(shop.path().join(name), bytes).unwrap();
    put("empty.toml", b"");
    put("blank.toml", b" \n\t\r\n");
    put("mark.toml", "\u{FEFF}\n".as_bytes());
    put("binary.toml", &[0x7f, b'E', b'L', b'F', 0, 0xff, 0xfe]);
    put("wide.toml", &[0xff, 0xfe, b'[', 0, b'd', 0]);
    put("large.toml", &b"# a remark that goes on and on\n".repeat(340_000));
    put("zeros.toml", &[0; 100]);
    fs::create_dir(shop.path().join("folder")).unwrap();
    for (name, says) in [
        ("empty.toml", "is empty"),
        ("blank.toml", "is empty"),
        ("mark.toml", "is empty"),
        ("binary.toml", "is not UTF-8 text"),
        ("wide.toml", "is not UTF-8 text"),
        ("large.toml", "is larger than 1 MiB"),
        ("folder", "is a folder"),
        ("nowhere.toml", "is not there"),
        ("nowhere/driver.toml", "is not there"),
    ] {
        let ended = shop.tries(&["excursion", name]);
        let sentence = ended.sentence(2);
        assert!(sentence.starts_with(&format!("cornerset: {name} {says}; accepted: a driver file")), "{sentence}");
    }
    for name in ["zeros.toml", "empty.toml/driver.toml", "a\u{1b}[31m.toml"] {
        shop.tries(&["excursion", name]).sentence(2);
    }
    // Standard input is named as such.
    let ended = run(shop.command().args(["excursion", "-"]), b"");
    assert!(ended.sentence(2).starts_with("cornerset: standard input is empty; accepted: "), "{ended:?}");
    let ended = run(shop.command().args(["excursion", "-"]), b"[driver]\nfs_hz = -1\n");
    assert!(ended.sentence(2).starts_with("cornerset: standard input: fs_hz: `-1` is not positive"), "{ended:?}");
    if cfg!(target_os = "linux") {
        assert!(shop.tries(&["excursion", "/dev/zero"]).sentence(2).contains("larger than 1 MiB"));
    }
}

/// A file that may not be read.
#[cfg(unix)]
#[test]
fn a_file_that_may_not_be_read() {
    use std::os::unix::fs::PermissionsExt;

    let shop = Shop::new();
    let path = shop.path().join("driver.toml");
    fs::write(&path, file(&[])).unwrap();
    fs::set_permissions(&path, fs::Permissions::from_mode(0o000)).unwrap();
    // Whoever may do everything may read all the same.
    if fs::read(&path).is_err() {
        assert!(shop.tries(&["excursion", "driver.toml"]).sentence(2).contains("driver.toml may not be read"));
    }
}

#[test]
fn brackets_without_end() {
    for text in [
        format!("x = {}", "[".repeat(10_000)),
        format!("[driver]\nfs_hz = {}{}", "[".repeat(10_000), "]".repeat(10_000)),
        format!("[driver]\nfs_hz = {}", "{ a = ".repeat(10_000)),
        format!("[{}]", vec!["driver"; 10_000].join(".")),
        format!("[driver]\n{} = 1", vec!["a"; 10_000].join(".")),
        "[driver]\n".repeat(10_000),
        format!("[driver]\n{}", (0..10_000).map(|number| format!("x{number} = 1\n")).collect::<String>()),
        format!("[driver]\nname = \"{}\"", "x".repeat(1_000_000)),
        format!("[driver]\nfs_hz = {}", "9".repeat(100_000)),
        format!("[driver]\nfs_hz = 0.{}1", "0".repeat(100_000)),
    ] {
        let ended = tries(text.as_bytes());
        ended.sentence(2);
        assert_eq!(ended.stderr.lines().count(), 1);
    }
}

/// Values at both ends of their ranges, all at once: an answer of finite numbers, whatever it is.
#[test]
fn the_ends_of_the_ranges() {
    let ends = [
        [
            ("fs_hz", "5"),
            ("qes", "0.05"),
            ("qms", "0.1"),
            ("vas_l", "0.1"),
            ("sd_cm2", "1"),
            ("re_ohm", "0.1"),
            ("le_mh", "0"),
        ],
        [
            ("fs_hz", "300"),
            ("qes", "20"),
            ("qms", "100"),
            ("vas_l", "5000"),
            ("sd_cm2", "10000"),
            ("re_ohm", "100"),
            ("le_mh", "100"),
        ],
    ];
    let boxes = [("0.1", "5"), ("20000", "200")];
    let drives = [("1", "0.25", "1"), ("20000", "100", "150")];
    for driver in ends {
        for (xmax, xmech) in [("0.1", "400"), ("200", "200")] {
            for kind in ["\"sealed\"", "\"vented\"", "\"free-air\""] {
                for (volume, tuning) in boxes {
                    for (power, load, lowest) in drives {
                        let mut changes: Vec<_> = driver.iter().map(|(key, value)| ("driver", *key, *value)).collect();
                        changes.extend([("driver", "xmax_mm", xmax), ("driver", "xmech_mm", xmech)]);
                        changes.extend([
                            ("box", "kind", kind),
                            ("box", "volume_l", volume),
                            ("box", "tuning_hz", tuning),
                        ]);
                        changes.extend([
                            ("drive", "power_w", power),
                            ("drive", "load_ohm", load),
                            ("drive", "lowest_hz", lowest),
                        ]);
                        let text = file(&changes);
                        let shop = Shop::new();
                        fs::write(shop.path().join("driver.toml"), &text).unwrap();
                        let document = shop.tries(&["excursion", "driver.toml", "--json", "-o", "page.svg"]);
                        assert_eq!(document.code, Some(0), "{document:?}\n{text}");
                        let screen = shop.tries(&["excursion", "driver.toml"]);
                        let page = fs::read_to_string(shop.path().join("page.svg")).unwrap();
                        for shown in [&screen.stdout, &page] {
                            assert!(!shown.contains("NaN") && !shown.contains(" inf"), "{shown}\n{text}");
                        }
                        assert!(
                            screen.stdout.lines().all(|line| line.len() <= 80 || line.starts_with("  driver")),
                            "{}",
                            screen.stdout
                        );
                    }
                }
            }
        }
    }
}
