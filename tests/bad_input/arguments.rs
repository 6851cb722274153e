//! Arguments that the command line does not have.

use std::ffi::{OsStr, OsString};

use crate::common::Shop;
use crate::support::run;

#[test]
fn what_is_no_command_and_no_option_is_named() {
    let long = "x".repeat(100_000);
    for (arguments, says) in [
        (vec!["bogus"], "bogus"),
        (vec!["--bogus"], "--bogus"),
        (vec!["set", "--bogus"], "--bogus"),
        (vec!["set", "left-over"], "left-over"),
        (vec!["targets", "--tuning"], "--tuning"),
        (vec!["targets", "--tuning", "36", "--tuning", "37"], "--tuning"),
        (vec!["--store"], "--store"),
        (vec!["--store", "", "set"], "--store"),
        (vec!["corner"], "TONE=VOLTS"),
        (vec!["\u{1B}[31mred"], "red"),
        (vec!["targets", "--\u{1B}[31m"], "--"),
        (vec!["\u{202E}"], "<U+202E>"),
        (vec!["two\nlines"], "two"),
        (vec![""], ""),
        (vec![long.as_str()], "xxxx"),
        (vec!["targets", long.as_str()], "xxxx"),
    ] {
        let ended = Shop::new().tries(&arguments);
        let sentence = ended.sentence(2);
        assert!(sentence.contains(says) && ended.stderr.lines().count() == 1, "{sentence}");
    }
}

/// A value that begins with a dash is a value where one is wanted.
#[test]
fn a_value_with_a_dash_names_its_field() {
    for value in ["-5", "-inf", "-nan", "-", "--5", "-5 Hz"] {
        let ended = Shop::new().tries(&["targets", "--slope", "24", "--reference", "8", "--tuning", value]);
        assert!(ended.sentence(2).contains("tuning"), "{value}: {ended:?}");
        let ended =
            Shop::new().tries(&["corner", "--family", "butterworth", "--slope", "24", "27=5", "--reference", value]);
        assert!(ended.sentence(2).contains("reference"), "{value}: {ended:?}");
    }
}

/// Arguments that are not UTF-8: the option is named, the bytes are not shown.
#[cfg(unix)]
#[test]
fn arguments_that_are_no_text() {
    use std::os::unix::ffi::OsStrExt;

    let bytes = OsStr::from_bytes(b"36\xff\x1b[31m");
    for option in ["--tuning", "--reference", "--tone", "--tolerance", "--family", "--meter-digits"] {
        let mut joined = OsString::from(option);
        joined.push("=");
        joined.push(bytes);
        for given in [vec![OsString::from(option), bytes.to_owned()], vec![joined]] {
            let shop = Shop::new();
            let mut command = shop.command();
            command.args(["targets", "--slope", "24"]).args(&given);
            let ended = run(&mut command, b"");
            assert!(ended.sentence(2).contains(option.trim_start_matches("--")), "{option}: {ended:?}");
        }
    }
    for arguments in [&["corner", "--reference", "8"][..], &[], &["set"], &["set", "--resume"]] {
        let shop = Shop::new();
        let mut command = shop.command();
        command.args(arguments).arg(bytes);
        run(&mut command, b"").sentence(2);
    }
}
