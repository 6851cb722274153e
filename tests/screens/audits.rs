//! Audits on a screen.

use cornerset::audit::{Audit, Chain, Kind, Weight};
use cornerset::screens::{self, Screen};

use crate::common::audits::{clean, everything, finding};
use crate::play::{page, pages, text};

/// With findings of these kinds only.
fn only(kinds: &[Kind]) -> Audit {
    let mut audit = everything();
    audit.findings.retain(|finding| kinds.contains(&finding.kind));
    audit
}

#[test]
fn audits() {
    let stores = ["/shop/records".to_owned()];
    pages("audit", |screen| {
        let shown = |audit: &Audit| screens::audit(audit, &stores, screen);
        vec![
            page("nothing out of line", shown(&clean())),
            page("no records", shown(&Audit::default())),
            page("something of every kind", shown(&everything())),
        ]
    });
}

/// The first line counts what is broken and what is to be looked at; what is only to know is not out of line.
#[test]
fn the_result_stands_in_the_first_line() {
    let first = |audit: &Audit| screens::audit(audit, &[], Screen::new(80, false))[0].text.clone();
    assert_eq!(first(&clean()), "NOTHING OUT OF LINE in 41 records of 1 bench");
    assert_eq!(first(&Audit::default()), "NO RECORDS HERE");
    assert_eq!(first(&only(&[Kind::Unsigned])), "NOTHING OUT OF LINE in 214 records of 2 benches");
    assert_eq!(first(&only(&[Kind::Altered])), "1 THING BROKEN in 214 records of 2 benches");
    assert_eq!(first(&only(&[Kind::Missing])), "6 THINGS BROKEN in 214 records of 2 benches");
    assert_eq!(first(&only(&[Kind::TooFast])), "NOTHING BROKEN, 1 THING TO LOOK AT in 214 records of 2 benches");
    let count = |weight| everything().findings.iter().filter(|one| one.kind.weight() == weight).count();
    let (broken, look) = (count(Weight::Broken), count(Weight::Outstanding));
    assert_eq!(first(&everything()), format!("{broken} THINGS BROKEN, {look} TO LOOK AT in 214 records of 2 benches"));
}

/// Ten of a kind are named, or twelve where two are left; numbers that follow each other stand as a range.
#[test]
fn long_lists_are_cut_and_say_so() {
    let shown = |count: u64| {
        let audit = Audit { findings: (0..count).map(|one| finding(Kind::Rewritten, one, "")).collect(), ..clean() };
        let text = text(&screens::audit(&audit, &[], Screen::new(80, false)), 80);
        (text.matches("Work order").count(), text.contains(&format!("and {} more: --json has all", count.max(10) - 10)))
    };
    assert_eq!(shown(10), (10, false));
    assert_eq!(shown(12), (12, false));
    assert_eq!(shown(13), (10, true));
    assert_eq!(shown(47), (10, true));
    let missing = text(&screens::audit(&only(&[Kind::Missing]), &[], Screen::new(80, false)), 80);
    for holds in ["bench-a1b2c3: numbers 42 to 45\n", "bench-a1b2c3: number 51\n", "bench-d4e5f6: number 52\n"] {
        assert!(missing.contains(holds), "{missing}");
    }
}

/// The end of the numbers is no number to add one to.
#[test]
fn numbers_at_the_end_of_their_range_are_shown() {
    let findings = vec![finding(Kind::Missing, u64::MAX, ""), finding(Kind::Missing, u64::MAX - 1, "")];
    let text = text(&screens::audit(&Audit { findings, ..clean() }, &[], Screen::new(80, false)), 80);
    assert!(text.contains("numbers 18446744073709551614 to 18446744073709551615"), "{text}");
}

/// Text of records in an audit is made harmless, and nothing of it is wider than the screen.
#[test]
fn hostile_text_is_harmless() {
    let hostile = "\u{1b}[2J\u{202e}\u{7}".repeat(40);
    let mut audit = everything();
    for finding in &mut audit.findings {
        (finding.job, finding.detail) = (Some(hostile.clone()), hostile.clone());
        finding.id.iter_mut().chain(&mut finding.bench).for_each(|text| text.clone_from(&hostile));
    }
    audit.chains.push(Chain { bench: hostile.clone(), ..audit.chains[0].clone() });
    for group in audit.technicians.iter_mut().chain(&mut audit.amplifiers).chain(&mut audit.meters) {
        group.name.clone_from(&hostile);
    }
    audit.warnings.push(hostile.clone());
    for width in [60, 80] {
        text(&screens::audit(&audit, &[], Screen::new(width, false)), width);
    }
}
