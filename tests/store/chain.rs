//! The chain of a bench's records: each names the one before, whatever happened to the file that remembers its head.

use std::fs;
use std::path::Path;
use std::sync::Barrier;

use cornerset::record::{Record, digest};
use cornerset::session::{Opened, State};
use cornerset::store::{FileJournal, read_record};

use crate::support::{Shop, work};

/// Every record of a store, in the order of the chain, which must be whole.
fn whole_chain(shop: &Shop) -> Vec<Record> {
    let mut records: Vec<Record> =
        shop.store.records().unwrap().iter().map(|path| read_record(path).unwrap()).collect();
    records.sort_by_key(|record| record.sequence);
    let mut previous = None;
    for (index, record) in records.iter().enumerate() {
        assert_eq!(record.sequence, index as u64 + 1);
        assert_eq!(record.previous, previous);
        assert_eq!(record.sign_off.digest, digest(record).unwrap());
        previous = Some(record.sign_off.digest.clone());
    }
    records
}

#[test]
fn each_record_names_the_one_before() {
    let shop = Shop::new();
    for _ in 0..3 {
        shop.closed();
    }
    assert_eq!(whole_chain(&shop).len(), 3);
}

#[test]
fn eight_sessions_that_close_at_once_make_one_chain() {
    let shop = Shop::new();
    let sessions: Vec<(State, FileJournal)> = (0..8).map(|_| shop.complete()).collect();
    let start = Barrier::new(sessions.len());
    std::thread::scope(|scope| {
        for (state, journal) in sessions {
            let (shop, start) = (&shop, &start);
            scope.spawn(move || {
                start.wait();
                shop.store.close(&state, journal).unwrap();
            });
        }
    });
    assert_eq!(whole_chain(&shop).len(), 8);
    assert_eq!(shop.store.open_sessions().unwrap(), []);
}

/// Closes three sessions, does something to the store, and closes a fourth.
fn fourth_after(harm: impl Fn(&Shop, &[Vec<u8>])) {
    let shop = Shop::new();
    let mut kept = Vec::new();
    for _ in 0..3 {
        shop.closed();
        kept.push(fs::read(shop.chain_path()).unwrap());
    }
    harm(&shop, &kept);
    let closed = shop.closed();
    assert_eq!((closed.record.sequence, closed.skipped.len()), (4, 0));
    assert_eq!(whole_chain(&shop).len(), 4);
}

#[test]
fn the_chain_goes_on_without_its_file_and_with_an_old_or_damaged_one() {
    fourth_after(|_, _| {});
    fourth_after(|shop, _| fs::remove_file(shop.chain_path()).unwrap());
    fourth_after(|shop, kept| fs::write(shop.chain_path(), &kept[0]).unwrap());
    fourth_after(|shop, kept| fs::write(shop.chain_path(), &kept[1]).unwrap());
    fourth_after(|shop, kept| fs::write(shop.chain_path(), &kept[2][..100]).unwrap());
    fourth_after(|shop, _| fs::write(shop.chain_path(), b"").unwrap());
    fourth_after(|shop, kept| {
        let text = String::from_utf8(kept[2].clone()).unwrap();
        fs::write(shop.chain_path(), text.replace("\"sequence\": 3", "\"sequence\": 7")).unwrap();
    });
}

/// The store as a crash leaves it after the claim and before the record: the journal is there, the record is not.
fn cut_off_before_the_record(shop: &Shop) -> State {
    let (state, journal) = shop.complete();
    let bytes = shop.journal_bytes(journal.id());
    let closed = shop.store.close(&state, journal).unwrap();
    fs::remove_file(closed.path).unwrap();
    fs::write(shop.journal_path(&state.opened().id), bytes).unwrap();
    state
}

#[test]
fn a_claim_whose_session_was_put_away_counts_for_nothing() {
    let shop = Shop::new();
    shop.closed();
    let state = cut_off_before_the_record(&shop);
    shop.store.put_away(&state.opened().id).unwrap();
    assert_eq!(shop.closed().record.sequence, 2);
    assert_eq!(whole_chain(&shop).len(), 2);
}

#[test]
fn a_claim_whose_close_was_cut_off_counts_for_nothing() {
    for before in 0..3 {
        let shop = Shop::new();
        for _ in 0..before {
            shop.closed();
        }
        let state = cut_off_before_the_record(&shop);
        assert_eq!(shop.closed().record.sequence, before + 1);
        let resumed = shop.store.resume(&state.opened().id).unwrap();
        let closed = shop.store.close(&resumed.state, resumed.journal).unwrap();
        assert_eq!(closed.record.sequence, before + 2);
        assert_eq!(whole_chain(&shop).len() as u64, before + 2);

        let shop = Shop::new();
        for _ in 0..before {
            shop.closed();
        }
        let state = cut_off_before_the_record(&shop);
        let resumed = shop.store.resume(&state.opened().id).unwrap();
        let closed = shop.store.close(&resumed.state, resumed.journal).unwrap();
        assert_eq!(closed.record.sequence, before + 1);
        assert_eq!(whole_chain(&shop).len() as u64, before + 1);
    }
}

#[test]
fn a_record_that_was_taken_away_leaves_a_gap() {
    let shop = Shop::new();
    let [_, second, third] = [shop.closed(), shop.closed(), shop.closed()];
    fs::remove_file(&third.path).unwrap();
    let fourth = shop.closed();
    assert_eq!((fourth.record.sequence, fourth.record.previous), (4, Some(third.record.sign_off.digest)));
    fs::remove_file(&second.path).unwrap();
    assert_eq!(shop.closed().record.sequence, 5);
    for path in shop.store.records().unwrap() {
        fs::remove_file(path).unwrap();
    }
    assert_eq!(shop.closed().record.sequence, 6);
}

#[test]
fn a_record_that_was_changed_keeps_its_place_and_is_named() {
    for (from, to) in [("Van 12", "Van 13"), ("\"sequence\": 3", "\"sequence\": 2"), ("{", "")] {
        let shop = Shop::new();
        let [_, _, third] = [shop.closed(), shop.closed(), shop.closed()];
        let text = fs::read_to_string(&third.path).unwrap();
        fs::write(&third.path, text.replacen(from, to, 1)).unwrap();
        let fourth = shop.closed();
        assert_eq!((fourth.record.sequence, fourth.record.previous), (4, Some(third.record.sign_off.digest)));
        assert_eq!(fourth.skipped, [third.path]);
    }
}

#[test]
fn a_record_that_cannot_be_read_is_passed_over_and_named() {
    let shop = Shop::new();
    let first = shop.closed();
    let folder = first.path.parent().unwrap();
    let unreadable = folder.join("01900000-0000-7000-8000-000000000000.json");
    fs::write(&unreadable, b"{").unwrap();
    let second = shop.closed();
    assert_eq!(second.skipped, [unreadable]);
    assert_eq!((second.record.sequence, second.record.previous), (2, Some(first.record.sign_off.digest)));
    assert_eq!(shop.closed().record.sequence, 3);
}

fn copy_into(shop: &Shop, record: &Path) {
    let folder = shop.store.root().join("records").join("2026");
    fs::create_dir_all(&folder).unwrap();
    fs::copy(record, folder.join(record.file_name().unwrap())).unwrap();
}

#[test]
fn records_of_another_bench_are_no_part_of_the_chain() {
    let (shop, other) = (Shop::new(), Shop::new());
    for _ in 0..3 {
        copy_into(&shop, &other.closed().path);
    }
    let first = shop.closed();
    assert_eq!((first.record.sequence, first.record.previous), (1, None));
    copy_into(&shop, &other.closed().path);
    let second = shop.closed();
    assert_eq!((second.record.sequence, second.record.previous), (2, Some(first.record.sign_off.digest)));
    assert_eq!(second.skipped.len(), 0);
}

#[test]
fn a_bench_of_another_name_begins_a_chain_of_its_own() {
    let shop = Shop::new();
    let [_, second] = [shop.closed(), shop.closed()];
    let close_on = |bench: &str| {
        let opened = Opened { bench: bench.to_owned(), ..shop.opened() };
        let (mut state, mut journal) = shop.store.open_session(opened).unwrap();
        work(&mut state, &mut journal, usize::MAX).unwrap();
        shop.store.close(&state, journal).unwrap().record
    };
    let other = close_on("upstairs");
    assert_eq!((other.sequence, other.previous), (1, None));
    let third = close_on(&second.record.bench);
    assert_eq!((third.sequence, third.previous), (3, Some(second.record.sign_off.digest)));
    assert_eq!(close_on("upstairs").sequence, 2);
}
