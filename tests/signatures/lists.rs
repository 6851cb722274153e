//! The trust list says what `ssh-keygen -Y verify` says of the same list, name and time.

use std::path::PathBuf;

use chrono::{DateTime, FixedOffset, NaiveDate, NaiveDateTime};
use cornerset::session::Moment;
use cornerset::signature::{AllowedSigners, Listing, NAMESPACE, PublicKey, allowed_line, principal_of};

use proptest::prelude::*;

use crate::keygen::Desk;

const RECORD: &[u8] = b"{\"corner_hz\":31.5}";

/// A zone as OpenSSH is told of it, and as the list is.
#[derive(Clone, Copy)]
struct Zone {
    word: &'static str,
    local: fn(NaiveDateTime) -> Option<DateTime<FixedOffset>>,
}

const UTC: Zone = Zone { word: "UTC", local: |clock| at_offset(clock, 0) };

/// Half past five east, without a summer time.
const EAST: Zone = Zone { word: "XST-5:30", local: |clock| at_offset(clock, 5 * 3600 + 1800) };

/// Eight west, without a summer time.
const WEST: Zone = Zone { word: "XST8", local: |clock| at_offset(clock, -8 * 3600) };

/// One hour east, two from the last Sunday of March to that of October: in 2026 the 29th and the 25th.
const SUMMER: Zone = Zone {
    word: "CET-1CEST,M3.5.0,M10.5.0/3",
    local: |clock| {
        let change =
            |month, day, hour| NaiveDate::from_ymd_opt(2026, month, day).unwrap().and_hms_opt(hour, 0, 0).unwrap();
        if (change(3, 29, 2)..change(3, 29, 3)).contains(&clock) {
            return None;
        }
        let summer = (change(3, 29, 3)..change(10, 25, 3)).contains(&clock);
        at_offset(clock, if summer { 7200 } else { 3600 })
    },
};

fn at_offset(clock: NaiveDateTime, seconds: i32) -> Option<DateTime<FixedOffset>> {
    clock.and_local_timezone(FixedOffset::east_opt(seconds)?).single()
}

/// A moment, from `YYYYMMDDHHMMSS` in UTC.
fn moment(time: &str) -> Moment {
    let clock = NaiveDateTime::parse_from_str(time, "%Y%m%d%H%M%S").unwrap();
    Moment::new(clock.and_utc().fixed_offset())
}

/// A key, a signature by it, and a list that both sides are asked about.
struct Bench {
    desk: Desk,
    key: PublicKey,
    other: PublicKey,
    signature: PathBuf,
}

impl Bench {
    fn new() -> Option<Self> {
        let desk = Desk::new()?;
        let (_, key) = desk.key("key", "", &["-t", "ed25519"]);
        let (_, other) = desk.key("other", "", &["-t", "ecdsa", "-b", "256"]);
        let armoured = desk.sign("key", NAMESPACE, &[], RECORD);
        let signature = desk.write("record.sig", armoured);
        Some(Self { key: PublicKey::parse(&key).unwrap(), other: PublicKey::parse(&other).unwrap(), desk, signature })
    }

    /// `KEY` and `OTHER` in a list are the keys.
    fn list(&self, list: &str) -> String {
        list.replace("KEY", &self.key.line()).replace("OTHER", &self.other.line())
    }

    fn ours(&self, list: &str, name: &str, time: &str, zone: Zone) -> Listing {
        AllowedSigners::parse(&self.list(list), &zone.local).0.judge(&self.key, name, moment(time))
    }

    /// Whether `ssh-keygen` takes the name as it is or as a principal.
    fn theirs(&self, list: &str, name: &str, time: &str, zone: Zone) -> bool {
        let list = self.desk.write("list", self.list(list));
        let principal = principal_of(name);
        let ask = |name: &str| self.desk.verifies(&list, zone.word, name, &format!("{time}Z"), &self.signature, RECORD);
        ask(name) || (principal != name && ask(&principal))
    }

    /// Both say the same. Whether it is yes.
    #[track_caller]
    fn agree(&self, list: &str, name: &str, time: &str, zone: Zone) -> bool {
        let ours = self.ours(list, name, time, zone);
        let theirs = self.theirs(list, name, time, zone);
        assert_eq!(ours == Listing::Listed, theirs, "{list:?} {name:?} {time} {}: {ours:?}", zone.word);
        theirs
    }
}

const NOON: &str = "20260301120000";

#[test]
fn names_are_matched_as_openssh_matches_them() {
    let Some(bench) = Bench::new() else { return };
    let principals = [
        "ada",
        "Ada",
        "ada,bo",
        "bo,ada",
        "bo",
        "*",
        "a*",
        "*a",
        "a?a",
        "???",
        "????",
        "**a**",
        "a*d*a*",
        "!ada",
        "*,!ada",
        "!ada,*",
        "!a*,ada",
        "!bo,a*",
        "!!ada",
        "a!da",
        "ada,",
        ",ada",
        ",",
        "ada,,bo",
        "\"ada\"",
        "\"ada,bo\"",
        "\"Ada L.,ada-l\"",
        "\"Ada L.\"",
        "\"Ada *\"",
        "\"#1,ada\"",
        "ada#1",
        "ada-l",
        "ada@bench",
        "*@bench",
        "ada@*,!ada@attic",
        "j\u{f6}rg",
        "j?rg",
        "j??rg",
        "\u{6771}*",
        "ada\\,bo",
        "[a]da",
        "\"\"",
    ];
    let names = ["ada", "bo", "Ada L.", "ada@bench", "ada@attic", "j\u{f6}rg", "\u{6771}\u{4eac}", "#1"];
    let mut yes = 0;
    for principal in principals {
        for name in names {
            yes += usize::from(bench.agree(&format!("{principal} KEY\n"), name, NOON, UTC));
        }
    }
    assert!(yes > 50 && yes < principals.len() * names.len() - 100, "{yes}");
}

#[test]
fn options_are_read_as_openssh_reads_them() {
    let Some(bench) = Bench::new() else { return };
    let options = [
        "namespaces=\"cornerset-record\"",
        "NameSpaces=\"cornerset-record\"",
        "namespaces=\"cornerset-*\"",
        "namespaces=\"file,cornerset-record\"",
        "namespaces=\"file, cornerset-record\"",
        "namespaces=\"file\"",
        "namespaces=\"Cornerset-record\"",
        "namespaces=\"*,!cornerset-record\"",
        "namespaces=\"*,!file\"",
        "namespaces=\"!file\"",
        "namespaces=\"\"",
        "namespaces=\"a\\\"b,cornerset-record\"",
        "namespaces=\"cornerset?record\"",
        "namespaces=\" cornerset-record\"",
        "namespaces=cornerset-record",
        "namespaces=\"cornerset-record",
        "namespaces=\"cornerset-record\"x",
        "namespaces = \"cornerset-record\"",
        "namespaces=\"file\",namespaces=\"cornerset-record\"",
        "namespace=\"cornerset-record\"",
        "namespaces",
        "cert-authority",
        "Cert-Authority",
        "cert-authority,namespaces=\"cornerset-record\"",
        "namespaces=\"cornerset-record\",cert-authority",
        "no-touch-required",
        "verify-required",
        "valid-after=\"20260301\"",
        "valid-before=\"20260301\"",
        "valid-after=\"20260101\",valid-before=\"20270101\"",
        "valid-before=\"20270101\",valid-after=\"20260101\"",
        "Valid-After=\"20260101\",VALID-BEFORE=\"20270101\",namespaces=\"cornerset-record\"",
        "valid-after=\"20270101\",valid-before=\"20260101\"",
        "valid-after=\"20260301\",valid-before=\"20260301\"",
        "valid-after=\"20250101\",valid-after=\"20260101\"",
        "valid-before=\"20270101\",valid-before=\"20280101\"",
        "valid-after=20260101",
        "valid-after=\"\"",
        "valid-after=\"2026\"",
        "valid-after=\"2026010112\"",
        "valid-after=\"2026010112000\"",
        "valid-after=\"20261301\"",
        "valid-after=\"20260132\"",
        "valid-after=\"202601012400\"",
        "valid-after=\"202601012360\"",
        "valid-after=\"2026-01-01\"",
        "valid-after=\"tomorrow\"",
        "valid-after=\"19700101Z\"",
        "valid-after=\"19700102Z\"",
        "valid-after=\"19690101Z\"",
        "valid-before=\"19690101Z\"",
        "valid-after=\"20260101ZZ\"",
        "valid-after=\"20260101z\"",
        "valid-after=\"Z\"",
        "valid-after=\"+2026101\"",
        "valid-after=\"20260101\",",
        "valid-after=\"20260101\" ,valid-before=\"20270101\"",
        "valid-after=\"20260101\", valid-before=\"20270101\"",
        "valid-after=\"20260101\";valid-before=\"20270101\"",
        "valid-after=\"20260101\"valid-before=\"20270101\"",
    ];
    let mut yes = 0;
    for option in options {
        for time in ["20251231235959", "20260301000000", NOON, "20270101000001"] {
            yes += usize::from(bench.agree(&format!("ada {option} KEY\n"), "ada", time, UTC));
            // A line that cannot be used hides no other.
            if time == NOON {
                assert!(bench.agree(&format!("ada {option} KEY\nada KEY\n"), "ada", time, UTC));
            }
        }
    }
    assert!(yes > 20, "{yes}");
}

#[test]
fn both_ends_of_a_time_are_those_of_openssh() {
    let Some(bench) = Bench::new() else { return };
    let times = ["20260601", "202606011230", "20260601123015", "20261201", "202612010059"];
    for zone in [UTC, EAST, WEST] {
        for time in times {
            for suffix in ["", "Z"] {
                let mut ends = vec![];
                for option in ["valid-after", "valid-before"] {
                    let list = format!("ada {option}=\"{time}{suffix}\" KEY\n");
                    // The second itself, and those around it, as the list reads it.
                    let padded = format!("{time:0<14}");
                    let clock = NaiveDateTime::parse_from_str(&padded, "%Y%m%d%H%M%S").unwrap();
                    let zone_of_time = if suffix == "Z" { UTC } else { zone };
                    let end = (zone_of_time.local)(clock).unwrap().to_utc();
                    for second in -1..=1 {
                        let at = end + chrono::Duration::seconds(second);
                        ends.push(bench.agree(&list, "ada", &at.format("%Y%m%d%H%M%S").to_string(), zone));
                    }
                }
                assert_eq!(ends, [false, true, true, true, true, false], "{time}{suffix} {}", zone.word);
            }
        }
    }
}

/// OpenSSH takes a time without `Z` for one by the winter clock, in summer, too. Nothing is taken here that it refuses,
/// and in summer the end is an hour earlier: by the clock on the wall.
#[test]
fn in_summer_the_stricter_reading_counts() {
    let Some(bench) = Bench::new() else { return };
    for (time, month) in [("202607011200", 7), ("202602011200", 2)] {
        let day = NaiveDate::from_ymd_opt(2026, month, 1).unwrap();
        let mut wider = 0;
        for minutes in (8 * 60..14 * 60).step_by(30) {
            let at = day.and_hms_opt(0, 0, 0).unwrap() + chrono::Duration::minutes(minutes);
            let at = at.format("%Y%m%d%H%M%S").to_string();
            bench.agree(&format!("ada valid-after=\"{time}\" KEY\n"), "ada", &at, SUMMER);
            let list = format!("ada valid-before=\"{time}\" KEY\n");
            let ours = bench.ours(&list, "ada", &at, SUMMER) == Listing::Listed;
            let theirs = bench.theirs(&list, "ada", &at, SUMMER);
            assert!(theirs || !ours, "{time} {at}");
            wider += i32::from(theirs && !ours);
        }
        assert_eq!(wider, if month == 7 { 2 } else { 0 });
    }
    let (list, warnings) = AllowedSigners::parse(&bench.list("ada valid-after=\"202603290230\" KEY"), &SUMMER.local);
    assert_eq!(list.judge(&bench.key, "ada", moment(NOON)), Listing::Stranger);
    assert_eq!(
        warnings,
        ["line 1 is not used: `202603290230` is not a time as YYYYMMDD or YYYYMMDDHHMM[SS], with Z for UTC"]
    );
}

#[test]
fn lines_are_read_as_openssh_reads_them() {
    let Some(bench) = Bench::new() else { return };
    let lists = [
        "",
        "\n\n",
        "# ada KEY\n",
        "   # ada KEY\n",
        "#ada KEY\nada KEY\n",
        "ada KEY",
        "ada KEY\n",
        "ada KEY\r\n",
        "ada\tKEY\n",
        "ada   \t KEY   \n",
        "  ada KEY\n",
        "\tada KEY\n",
        "ada KEY a comment of words\n",
        "ada KEY # comment\n",
        "ada KEY \"comment\n",
        "ada namespaces=\"cornerset-record\"\tKEY\n",
        "ada namespaces=\"cornerset-record\"   KEY\n",
        "ada \t namespaces=\"cornerset-record\" \t KEY\n",
        "ada namespaces=\"a b\",valid-after=\"20200101\" KEY\n",
        "ada namespaces=\"a b,cornerset-record\" KEY\n",
        "ada\n",
        "KEY\n",
        "ada \n",
        "ada namespaces=\"cornerset-record\"\n",
        "ada namespaces=\"cornerset-record\" \n",
        "ada OTHER\n",
        "ada OTHER\nada KEY\n",
        "bo KEY\nada KEY\n",
        "ada KEY\nbo KEY\n",
        "bo KEY\nada OTHER\n",
        "bogus\nada KEY\n",
        "bogus line of words\nada KEY\n",
        "ada foo KEY\nada KEY\n",
        "ada KEY=\n",
        "ada ssh-rsa AAAA\nada KEY\n",
        "ada ssh-ed25519 AAAA\nada KEY\n",
        "ada ssh-ed25519\nada KEY\n",
        "ada ssh-foo AAAA\nada KEY\n",
        "ada SSH-ED25519 AAAA\n",
        "\"ada KEY\nada KEY\n",
        "\"ada KEY\n",
        "ada\" KEY\n",
        "\"bo\",ada KEY\n",
        "\"bo\" ada KEY\n",
        "ada namespaces=\"cornerset-record KEY\nada KEY\n",
        "ada KEYx\n",
        "ada -KEY\n",
        "ada KEY KEY\n",
        "ada KEY\nada cert-authority KEY\n",
        "ada valid-before=\"20200101\" KEY\nada KEY\n",
        "ada namespaces=\"file\" KEY\nada KEY\n",
        "ada\u{a0}KEY\n",
        "ada KEY\u{a0}\n",
        "ada KEY\u{2003}comment\n",
        "\u{a0}ada KEY\n",
        "ada \u{a0} KEY\n",
        "\rada KEY\n",
        " \r ada KEY\n",
        "ada KEY\r\r\n",
        "ada KEY \r",
        "\r#\nada KEY\n",
        "\r\nada KEY\r\n",
        "\u{feff}ada KEY\n",
        "\u{feff}# comment\nada KEY\n",
        "ada\0 KEY\nada KEY\n",
        "a\\\nda KEY\n",
    ];
    let mut yes = 0;
    for list in lists {
        yes += usize::from(bench.agree(list, "ada", NOON, UTC));
    }
    assert!(yes > 20, "{yes}");
    // A kind of key that is not taken is told of, and hides no other.
    for kind in [&["-t", "rsa", "-b", "2048"][..], &["-t", "ecdsa", "-b", "384"]] {
        let name = kind.join("");
        let (_, public) = bench.desk.key(&name, "", kind);
        let list = format!("ada {public}ada KEY\n");
        assert!(bench.agree(&list, "ada", NOON, UTC));
        let (_, warnings) = AllowedSigners::parse(&bench.list(&list), &UTC.local);
        assert!(warnings[0].starts_with("line 1 is not used: its key is a key of kind "), "{warnings:?}");
    }
}

/// What OpenSSH reads and this list does not, on purpose: each can hide what a line says from who reads it.
#[test]
fn where_the_list_is_stricter() {
    let Some(bench) = Bench::new() else { return };
    let stricter = [
        // Quotes that do not stand around all of the names, or nothing between them and the key.
        ("\"ada\"KEY\n", "ada"),
        ("a\"da\" KEY\n", "ada"),
        // Options that are empty.
        ("ada ,namespaces=\"cornerset-record\" KEY\n", "ada"),
        ("ada namespaces=\"cornerset-record\",,valid-after=\"20200101\" KEY\n", "ada"),
        // Times that no calendar has, that are not in digits, or for which there is a usual way.
        ("ada valid-before=\"20270230Z\" KEY\n", "ada"),
        ("ada valid-before=\"20270101000060Z\" KEY\n", "ada"),
        ("ada valid-before=\"2027 1 1Z\" KEY\n", "ada"),
        ("ada valid-before=\"20270101UTC\" KEY\n", "ada"),
        // Characters that cannot be seen, in the middle of a line.
        ("ada\u{1} KEY\n", "ada\u{1}"),
        ("ada\rKEY\n", "ada"),
        ("ada KEY\0\n", "ada"),
        ("\u{feff}ada KEY\n", "\u{feff}ada"),
        // A pattern that refuses one way of writing a name refuses the other, too.
        ("*,!ada-l KEY\n", "Ada L."),
        ("\"*,!Ada L.\" KEY\n", "Ada L."),
    ];
    for (list, name) in stricter {
        assert!(bench.theirs(list, name, NOON, UTC), "{list:?}");
        assert_ne!(bench.ours(list, name, NOON, UTC), Listing::Listed, "{list:?}");
    }
    let long = format!("ada KEY {}\n", "x".repeat(16 * 1024));
    assert!(bench.theirs(&long, "ada", NOON, UTC));
    assert_eq!(bench.ours(&long, "ada", NOON, UTC), Listing::Stranger);
    let big = format!("ada KEY\n{}", "# a comment\n".repeat(100_000));
    assert!(bench.theirs(&big, "ada", NOON, UTC));
    assert_eq!(bench.ours(&big, "ada", NOON, UTC), Listing::Stranger);
}

/// Lists put together by chance, from parts that work and parts that do not.
#[test]
fn lists_put_together_by_chance_say_the_same() {
    let Some(bench) = Bench::new() else { return };
    let names = ["ada", "bo", "ada,bo", "*", "!bo,*", "!ada,*", "a?a", "\"Ada L.,ada-l\"", "c", "\"ada\""];
    let options = [
        "",
        "",
        "namespaces=\"cornerset-record\" ",
        "namespaces=\"file\" ",
        "valid-after=\"20260301120000Z\" ",
        "valid-before=\"20260301120000Z\" ",
        "valid-after=\"202603011200\" ",
        "valid-before=\"202603011200\" ",
        "valid-after=\"20260301\",namespaces=\"corner*\" ",
        "cert-authority ",
        "nothing=\"1\" ",
        "valid-after=\"x\" ",
    ];
    let keys = ["KEY", "KEY", "OTHER", "KEY comment", "AAAA"];
    // A multiplicative generator of 31 bits, so that every run sees the same lists.
    let mut state = 20_260_301_u64;
    let mut pick = |count: usize| {
        state = state * 48_271 % 2_147_483_647;
        usize::try_from(state).unwrap() % count
    };
    let mut yes = 0;
    for _ in 0..300 {
        let mut list = String::new();
        for _ in 0..=pick(3) {
            let line = [names[pick(names.len())], " ", options[pick(options.len())], keys[pick(keys.len())], "\n"];
            list.push_str(&line.concat());
        }
        let name = ["ada", "bo", "Ada L."][pick(3)];
        let time = ["20260301115959", NOON, "20260301120001", "20260301063000"][pick(4)];
        // A pattern that refuses either way of writing a name is stricter: see above.
        let zone = [UTC, EAST, WEST][pick(3)];
        yes += usize::from(bench.agree(&list, name, time, zone));
    }
    assert!(yes > 60 && yes < 240, "{yes}");
}

/// A line that works, with a few characters written over: what is taken here is taken there.
#[test]
fn nothing_is_listed_here_that_openssh_refuses() {
    let Some(bench) = Bench::new() else { return };
    let lines = vec![
        "\"ada,bo c\" namespaces=\"x,cornerset-record\",valid-after=\"20260101Z\" KEY\n",
        "ada,!bo valid-before=\"20270101\",namespaces=\"*\" KEY\nbo OTHER\n",
        "a*,bo \t KEY comment\n",
    ];
    let edit = (0..90_usize, "[ \t\r\u{a0}\u{1}\",!*?=\\\\Z#1a-]|KEY|\r\n", 0..3_usize);
    let edits = prop::collection::vec(edit, 1..4);
    proptest!(cases(1000), |(line in prop::sample::select(lines), edits in edits)| {
        let mut list: Vec<char> = line.chars().collect();
        for (place, with, over) in &edits {
            let at = place % list.len();
            list.splice(at..(at + over).min(list.len()), with.chars());
        }
        let list: String = list.into_iter().collect();
        if bench.ours(&list, "ada", NOON, EAST) == Listing::Listed {
            prop_assert!(bench.theirs(&list, "ada", NOON, EAST), "{list:?}");
        }
    });
}

#[test]
fn any_name_is_written_so_that_it_is_read() {
    let Some(bench) = Bench::new() else { return };
    proptest!(cases(60), |(name in "[^\0]{1,40}|[ -~]{1,12}")| {
        let list = allowed_line(&name, &bench.key, None, None);
        let (signers, warnings) = AllowedSigners::parse(&list, &UTC.local);
        prop_assert!(warnings.is_empty(), "{warnings:?}");
        prop_assert_eq!(signers.judge(&bench.key, &name, moment(NOON)), Listing::Listed);
        prop_assert!(bench.theirs(&list, &name, NOON, UTC), "{list}");
        prop_assert!(bench.theirs(&list, &principal_of(&name), NOON, UTC), "{list}");
        prop_assert_ne!(signers.judge(&bench.key, &format!("x{name}"), moment(NOON)), Listing::Listed);
    });
}

fn cases(count: u32) -> ProptestConfig {
    ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(count) }
}

#[test]
fn the_best_answer_of_several_lines_counts() {
    let Some(bench) = Bench::new() else { return };
    let (after, before) = (moment("20270101000000"), moment("20250101000000"));
    let not_yet = "ada valid-after=\"20270101Z\" KEY\n";
    let no_longer = "ada valid-before=\"20250101Z\" KEY\n";
    let earlier = "ada valid-before=\"20240101Z\" KEY\n";
    let purpose = "ada namespaces=\"file\" KEY\n";
    let cases = [
        ("ada OTHER\n".to_owned(), Listing::Stranger),
        ("bo,\"c KEY\n\"bo, c\" KEY\nd KEY\n".to_owned(), Listing::OtherName("bo, c, d".to_owned())),
        (purpose.to_owned(), Listing::OtherNamespace),
        (format!("bo KEY\n{purpose}"), Listing::OtherNamespace),
        (format!("{purpose}{not_yet}"), Listing::NotYet(after)),
        (format!("{earlier}{purpose}{no_longer}"), Listing::NoLonger(before)),
        (format!("{not_yet}{earlier}"), Listing::NotYet(after)),
        (format!("bo KEY\n{purpose}{not_yet}{no_longer}ada KEY\n"), Listing::Listed),
    ];
    for (list, listing) in cases {
        assert_eq!(bench.ours(&list, "ada", NOON, UTC), listing, "{list}");
    }
}

#[test]
fn lines_that_cannot_be_used_are_told_of() {
    let Some(bench) = Bench::new() else { return };
    let list = "# ours\nada cert-authority KEY\nada\nada foo=\"\u{202e}x\" KEY\n\"ada KEY\nada namespaces=\"a KEY\nada valid-after=\"1\" KEY\nada KEY\n";
    let (signers, warnings) = AllowedSigners::parse(&bench.list(list), &UTC.local);
    assert_eq!(signers.judge(&bench.key, "ada", moment(NOON)), Listing::Listed);
    assert_eq!(
        warnings,
        [
            "line 2 is not used: certificates are not used here",
            "line 3 is not used: it holds no key",
            "line 4 is not used: `foo` is not an option that OpenSSH knows",
            "line 5 is not used: a quote is not closed",
            "line 6 is not used: a quote is not closed",
            "line 7 is not used: `1` is not a time as YYYYMMDD or YYYYMMDDHHMM[SS], with Z for UTC",
        ]
    );
    let (_, warnings) = AllowedSigners::parse(&"x\n".repeat(60), &UTC.local);
    assert_eq!((warnings.len(), warnings.last().unwrap().as_str()), (51, "10 more lines are not used"));
}

#[test]
fn a_line_that_is_written_is_read_on_both_sides() {
    let Some(bench) = Bench::new() else { return };
    let names = [
        "Ada L.",
        "ada",
        "J\u{f6}rg M\u{fc}ller",
        "\u{6771}\u{4eac} 1",
        "#1",
        "O'Neil",
        " ada ",
        "a\\b",
        "Ada, L.",
        "Ada \"A\" L.",
        "A*",
        "!ada",
        "who?",
        "...",
        "ada\u{200b}l",
        "-",
    ];
    let (after, before) = (moment("20260201000000"), moment("20260401101112"));
    for name in names {
        let list = allowed_line(name, &bench.key, Some(after), Some(before));
        let (_, warnings) = AllowedSigners::parse(&list, &UTC.local);
        assert!(warnings.is_empty(), "{warnings:?}");
        for (time, listed) in
            [("20260131235959", false), ("20260201000000", true), ("20260401101112", true), ("20260401101113", false)]
        {
            for zone in [UTC, WEST] {
                assert_eq!(bench.agree(&list, name, time, zone), listed, "{list}");
            }
        }
        assert!(!bench.agree(&list, "somebody else", NOON, UTC));
        // The exact name is there wherever patterns can say it.
        let file = bench.desk.write("list", &list);
        let exact = bench.desk.verifies(&file, "UTC", name, "20260301Z", &bench.signature, RECORD);
        let sayable = !name.contains([',', '"', '*', '?', '!', '\\', '\u{200b}']);
        assert_eq!(exact, sayable && (name != "..." || list.contains("...")), "{name}: {list}");
        let principal = principal_of(name);
        assert!(bench.desk.verifies(&file, "UTC", &principal, "20260301Z", &bench.signature, RECORD), "{list}");
    }
    assert_eq!(
        allowed_line("Ada L.", &bench.key, None, Some(before)),
        bench.list("\"Ada L.,ada-l\" namespaces=\"cornerset-record\",valid-before=\"20260401101112Z\" KEY")
    );
}
