//! Section 8 of the design: two sessions on one bench at once are both kept, and the chain stays whole.

use std::thread;

use serde_json::Value;

use crate::common::lines::Lines;
use crate::common::{Shop, read_json};
use crate::events::Driver;

/// Every record of a shop in the order of the chain, which is whole.
#[track_caller]
fn chain(shop: &Shop) -> Vec<Value> {
    let mut records: Vec<Value> = shop.records().iter().map(|path| read_json(path)).collect();
    records.sort_by_key(|record| record["sequence"].as_u64());
    for (index, record) in records.iter().enumerate() {
        assert_eq!(record["sequence"], index + 1);
        let before = index.checked_sub(1).map_or(Value::Null, |before| records[before]["sign_off"]["digest"].clone());
        assert_eq!(record["previous"], before, "number {}", index + 1);
        assert_eq!(record["bench"], records[0]["bench"]);
    }
    records
}

#[test]
fn two_sessions_line_by_line_in_turn() {
    let shop = Shop::new();
    let arguments = ["set", "--script", "-", "--json"];
    let mut one = Driver::start(&shop, &arguments);
    let mut other = Driver::start(&shop, &arguments);
    let scripts =
        [Lines::required().with("job", "one"), Lines::required().with("job", "other").with("reading", "5.70")];
    for ((id, first), (_, second)) in scripts[0].pairs().iter().zip(scripts[1].pairs()) {
        one.say(&format!("{id}: {first}"));
        other.say(&format!("{id}: {second}"));
        if id == "reading" {
            assert_eq!(one.until("reading")["typed"], "5.66");
            assert_eq!(other.until("reading")["typed"], "5.70");
        }
    }
    assert_eq!((one.end(), other.end()), (Some(0), Some(0)));
    let records = chain(&shop);
    let mut jobs: Vec<&str> = records.iter().map(|record| record["job"].as_str().unwrap()).collect();
    jobs.sort_unstable();
    assert_eq!(jobs, ["one", "other"]);
}

#[test]
fn many_sessions_at_once() {
    const SESSIONS: usize = 8;
    let shop = Shop::new();
    thread::scope(|scope| {
        for index in 0..SESSIONS {
            let shop = &shop;
            scope.spawn(move || {
                let lines = Lines::required().with("job", &format!("Work order {index}"));
                shop.script(&lines.text()).expect(0);
            });
        }
    });
    assert_eq!(chain(&shop).len(), SESSIONS);
    assert_eq!(shop.journals().len(), 0);
}
