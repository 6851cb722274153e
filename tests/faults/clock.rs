//! The clock is set back in mid-session. The program has no hook for it: a library before the system's does it (`shim.c`).
//!
//! What is right: what was typed keeps its order, each entry has the time that the clock showed, and that the clock went
//! back is said, at once on the screen and by the audit for good. Nothing makes up a time.

use std::collections::BTreeSet;
use std::sync::Mutex;

use serde_json::Value;

use crate::common::read_json;
use crate::oracle::{as_told, undisturbed};
use crate::shim::{library, under_shim};
use crate::strikes::{spread, strike_all};
use crate::trial::{Start, Trial};

#[test]
fn the_clock_is_set_back_between_readings() {
    let Some(library) = library() else { return };
    // A look at the clock for every entry, and a few more.
    let places = spread(46, 10, 2);
    let unseen = Mutex::new(BTreeSet::new());
    strike_all("the clock is set back by an hour", &places, |look| {
        let trial = Trial::new(Start::New);
        let struck = under_shim(&trial, library, "FAULT_CLOCK", &format!("{look}:-3600"));
        assert_eq!(struck.code, Some(0), "{struck:?}");
        let path =
            trial.shop.records().into_iter().find(|path| read_json(path)["job"] != "the one before").expect("a record");
        let record = read_json(&path);
        assert_eq!(as_told(&record), *undisturbed(), "the same, in the same order");
        let told = struck.told();
        assert_eq!(Some(&told), record["log"].as_array(), "as it was told");
        let times: Vec<&str> = std::iter::once(&record["opened_at"])
            .chain(told.iter().map(|entry| &entry["at"]))
            .map(|at| at.as_str().expect("a time"))
            .collect();
        let back = times.windows(2).filter(|pair| pair[1] < pair[0]).count();
        if back == 0 {
            unseen.lock().expect("a sound lock").insert(*look);
        }
        let said = struck.stderr.matches("The clock of this computer was set back").count();
        let audit = trial.shop.run(&["--json", "audit"]);
        let report: Value = audit.json();
        let findings = report["findings"].as_array().expect("a list");
        let found = findings.iter().filter(|finding| finding["kind"] == "times-backwards").count();
        assert_eq!((found, said), (back, back), "{times:?} {report} {}", struck.stderr);
        assert_eq!(audit.code, Some(i32::from(back > 0)), "{report}");
        for broken in ["altered", "unreadable", "missing", "unsigned", "unknown_signer", "recomputed_differently"] {
            assert_eq!(report[broken], serde_json::json!([]), "{report}");
        }
    });
    // Three looks come up to the time at which the session is opened: set back by then, it is seen nowhere; later, it is.
    let unseen = unseen.into_inner().expect("a sound lock");
    assert!(unseen.iter().all(|look| *look <= 3), "not seen where it was set back at {unseen:?}");
}
