//! Open sessions: found, listed, in use.

use std::fs;

use cornerset::session::Opened;
use cornerset::store::{StoreError, new_id};

use crate::support::{Shop, moment};

#[test]
fn a_session_is_found_by_the_start_or_the_end_of_its_id() {
    let shop = Shop::new();
    let ids = ["01900000-aaaa-7000-8000-0000000000ab", "01900000-bbbb-7000-8000-0000000000cd"];
    for id in ids {
        shop.store.open_session(Opened { id: id.to_owned(), ..shop.opened() }).unwrap();
    }
    for part in [ids[0], "01900000-A", "00ab", "  01900000-aaaa-7000 "] {
        assert_eq!(shop.store.resume(part).unwrap().state.opened().id, ids[0], "{part}");
    }
    let ambiguous = shop.store.resume("0190").unwrap_err();
    assert!(matches!(&ambiguous, StoreError::Ambiguous { ids, .. } if ids.len() == 2), "{ambiguous}");
    let none = shop.store.resume("dead").unwrap_err();
    assert!(none.to_string().contains("no open session"), "{none}");
    for bad in ["", "ab", "../open", "/etc/passwd", "..%2f", "0190\0", "\u{1b}[2J0190"] {
        let error = shop.store.resume(bad).unwrap_err();
        assert!(matches!(error, StoreError::NotAnId { .. }), "{bad}: {error}");
        assert!(!error.to_string().contains('\u{1b}') && !error.is_storage());
    }
    for error in [ambiguous, none] {
        assert!(!error.is_storage());
    }
}

#[test]
fn an_id_that_is_none_or_taken_opens_nothing() {
    let shop = Shop::new();
    for id in ["", "../../x", "0190", "01900000-AAAA-7000-8000-0000000000AB"] {
        let error = shop.store.open_session(Opened { id: id.to_owned(), ..shop.opened() }).unwrap_err();
        assert!(matches!(error, StoreError::NotAnId { .. }), "{id}: {error}");
    }
    let (state, journal) = shop.session_of(3);
    let bytes = shop.journal_bytes(journal.id());
    let error = shop.store.open_session(state.opened().clone()).unwrap_err();
    assert!(error.is_storage() && error.to_string().contains("there already"), "{error}");
    assert_eq!(shop.journal_bytes(journal.id()), bytes);
}

#[test]
fn only_one_program_works_on_a_session() {
    let shop = Shop::new();
    let (state, journal) = shop.session_of(4);
    let id = &state.opened().id;
    let error = shop.store.resume(id).unwrap_err();
    assert!(matches!(error, StoreError::InUse { .. }) && !error.is_storage(), "{error}");
    assert!(shop.store.open_sessions().unwrap()[0].in_use);
    drop(journal);
    assert!(!shop.store.open_sessions().unwrap()[0].in_use);
    let resumed = shop.store.resume(id).unwrap();
    assert!(matches!(shop.store.resume(id).unwrap_err(), StoreError::InUse { .. }));
    drop(resumed);
    shop.store.resume(id).unwrap();
}

#[test]
fn open_sessions_are_listed_the_oldest_first_and_a_bad_one_hides_no_other() {
    let shop = Shop::new();
    assert_eq!(shop.store.open_sessions().unwrap(), []);
    let open_at = |at: &str| {
        let opened = Opened { at: moment(at), ..shop.opened() };
        shop.store.open_session(opened.clone()).unwrap();
        opened.id
    };
    let late = open_at("2026-05-01T08:00:00+02:00");
    let early = open_at("2026-05-01T08:00:00+05:30");
    let (complete, _) = shop.complete();
    let torn = new_id();
    fs::write(shop.journal_path(&torn), b"{\"format\":\"cornerset-jour").unwrap();
    fs::write(shop.store.root().join("open").join("notes.ndjson"), b"not a session").unwrap();

    let listed = shop.store.open_sessions().unwrap();
    assert!(listed[3].in_use && listed[3].problem.is_none(), "so new that another program may be writing it");
    let file = fs::OpenOptions::new().write(true).open(shop.journal_path(&torn)).unwrap();
    file.set_modified(std::time::SystemTime::now() - std::time::Duration::from_secs(60)).unwrap();

    let listed = shop.store.open_sessions().unwrap();
    let ids: Vec<&str> = listed.iter().map(|session| session.id.as_str()).collect();
    assert_eq!(ids, [&complete.opened().id, &early, &late, &torn]);
    assert_eq!(listed[0].job.as_deref(), Some("Van 12"));
    assert_eq!(listed[0].technician.as_deref(), Some("A. Example"));
    assert_eq!((listed[0].readings, listed[0].complete), (2, true));
    assert_eq!((listed[1].readings, listed[1].complete, &listed[1].problem), (0, false, &None));
    assert!(listed[3].problem.as_ref().unwrap().contains("holds no complete line"));
    assert_eq!(fs::read(shop.journal_path(&torn)).unwrap(), b"{\"format\":\"cornerset-jour");
}

#[test]
fn a_folder_that_cannot_be_made_is_a_failure_of_the_storage() {
    let shop = Shop::new();
    let opened = shop.opened();
    fs::write(shop.store.root().join("open"), b"a file").unwrap();
    let error = shop.store.open_session(opened).unwrap_err();
    assert!(error.is_storage(), "{error}");
    assert!(error.to_string().contains("store/open"), "{error}");
    assert!(shop.store.open_sessions().unwrap_err().is_storage());
    assert!(shop.store.resume("0190").unwrap_err().is_storage());
}

#[test]
fn a_session_that_is_put_away_is_listed_no_more_and_stays_on_disk() {
    let shop = Shop::new();
    let (state, journal) = shop.complete();
    let id = state.opened().id.clone();
    assert!(matches!(shop.store.put_away(&id), Err(StoreError::InUse { .. })), "another window has it open");
    let kept = fs::read(journal.path()).unwrap();
    drop(journal);
    let path = shop.store.put_away(&id).unwrap();
    assert_eq!(fs::read(&path).unwrap(), kept);
    assert!(shop.store.open_sessions().unwrap().is_empty());
    assert!(matches!(shop.store.resume(&id), Err(StoreError::NoSession { .. })));
}
