//! What is kept, and what is left of it when the file was torn.

use std::fs;

use cornerset::session::{Journal, State, Stop};

use crate::support::{Shop, lines_of, work};

#[test]
fn a_session_that_was_left_is_the_same_when_it_is_taken_up_again() {
    let shop = Shop::new();
    let (state, journal) = shop.complete();
    assert_eq!(state.next(), None);
    drop(journal);
    let resumed = shop.store.resume(&state.opened().id).unwrap();
    assert_eq!(resumed.state, state);
    assert_eq!(resumed.dropped_bytes, 0);
    assert_eq!(resumed.journal.path(), shop.journal_path(&state.opened().id));
}

#[test]
fn it_can_be_left_after_any_entry() {
    let shop = Shop::new();
    let (whole, _) = shop.complete();
    for entries in 0..whole.log().len() {
        let (state, journal) = shop.session_of(entries);
        drop(journal);
        let mut resumed = shop.store.resume(&state.opened().id).unwrap();
        assert_eq!(resumed.state, state);
        work(&mut resumed.state, &mut resumed.journal, usize::MAX).unwrap();
        assert_eq!(resumed.state.log(), whole.log());
    }
}

#[test]
fn the_file_has_a_header_and_a_line_for_each_entry() {
    let shop = Shop::new();
    let (state, journal) = shop.session_of(12);
    let lines = lines_of(&shop.journal_bytes(journal.id()));
    assert_eq!(lines.len(), 13);
    let header: serde_json::Value = serde_json::from_slice(&lines[0]).unwrap();
    let opened = state.opened();
    for (key, value) in [("format", "cornerset-journal"), ("id", &opened.id), ("bench", &opened.bench)] {
        assert_eq!(header[key], value);
    }
    assert_eq!(header["version"], 1);
    for (index, entry) in state.log().iter().enumerate() {
        let line: serde_json::Value = serde_json::from_slice(&lines[index + 1]).unwrap();
        assert_eq!(line["line"], index + 2);
        assert_eq!(line["entry"], serde_json::to_value(entry).unwrap());
    }
}

/// The states after 0, 1, ... entries.
fn states(shop: &Shop, entries: usize) -> (Vec<State>, Vec<u8>) {
    let (state, mut journal) = shop.store.open_session(shop.opened()).unwrap();
    let mut states = vec![state.clone()];
    let mut state = state;
    for entry in 1..=entries {
        assert_eq!(work(&mut state, &mut journal, entry), Err(Stop::Interrupted));
        states.push(state.clone());
    }
    let bytes = shop.journal_bytes(journal.id());
    (states, bytes)
}

#[test]
fn a_journal_cut_anywhere_gives_its_complete_lines_and_reports_the_rest() {
    let shop = Shop::new();
    let (states, bytes) = states(&shop, 5);
    let id = &states[0].opened().id;
    let path = shop.journal_path(id);
    for length in 0..=bytes.len() {
        let cut = &bytes[..length];
        fs::write(&path, cut).unwrap();
        let complete = cut.iter().filter(|byte| **byte == b'\n').count();
        let good = cut.iter().rposition(|byte| *byte == b'\n').map_or(0, |last| last + 1);
        match shop.store.resume(id) {
            Err(error) => {
                assert_eq!(complete, 0, "{length}: {error}");
                assert!(error.is_storage() && error.to_string().contains("holds no complete line"), "{error}");
                assert_eq!(fs::read(&path).unwrap(), cut);
            }
            Ok(resumed) => {
                assert_eq!(resumed.state, states[complete - 1], "{length}");
                assert_eq!(resumed.dropped_bytes, (length - good) as u64, "{length}");
                assert_eq!(fs::read(&path).unwrap(), &bytes[..good], "{length}");
            }
        }
    }
}

#[test]
fn whatever_follows_the_last_line_end_is_dropped_and_the_session_goes_on() {
    let shop = Shop::new();
    let (whole, _) = shop.complete();
    let tails: [Vec<u8>; 5] =
        [vec![0; 4096], vec![0xFF; 3], b"{\"line\":".to_vec(), vec![b' '; 3 << 20], b"\r".to_vec()];
    for tail in tails {
        let (state, journal) = shop.session_of(7);
        drop(journal);
        let id = &state.opened().id;
        let good = shop.journal_bytes(id);
        fs::write(shop.journal_path(id), [good.as_slice(), &tail].concat()).unwrap();
        let mut resumed = shop.store.resume(id).unwrap();
        assert_eq!((&resumed.state, resumed.dropped_bytes), (&state, tail.len() as u64));
        work(&mut resumed.state, &mut resumed.journal, usize::MAX).unwrap();
        drop(resumed.journal);
        let again = shop.store.resume(id).unwrap();
        assert_eq!((again.state.log(), again.dropped_bytes), (whole.log(), 0));
    }
}

#[test]
fn a_store_that_is_removed_is_noticed_before_anything_is_written() {
    let shop = Shop::new();
    let (mut state, mut journal) = shop.session_of(9);
    let path = shop.journal_path(journal.id());
    fs::remove_dir_all(shop.store.root()).unwrap();
    let Err(Stop::NotKept(message)) = work(&mut state, &mut journal, 12) else { panic!("it was kept") };
    let message = message.to_string();
    assert!(message.contains(path.to_str().unwrap()) && message.contains("removed or replaced"), "{message}");
    assert_eq!(state.log().len(), 9);
    assert!(!shop.store.root().exists());
}

#[test]
fn a_journal_that_is_replaced_or_changed_is_noticed() {
    let shop = Shop::new();
    let (state, mut journal) = shop.session_of(9);
    let path = shop.journal_path(journal.id());
    let bytes = fs::read(&path).unwrap();
    fs::rename(&path, path.with_extension("old")).unwrap();
    fs::write(&path, &bytes).unwrap();
    let entry = state.log()[0].clone();
    let message = journal.append(&entry).unwrap_err().to_string();
    assert!(message.contains("removed or replaced"), "{message}");
    let message = journal.append(&entry).unwrap_err().to_string();
    assert!(message.contains("failed before"), "{message}");
    assert_eq!(fs::read(&path).unwrap(), bytes);
    drop(journal);

    let mut resumed = shop.store.resume(&state.opened().id).unwrap();
    fs::write(&path, [bytes.as_slice(), b"x"].concat()).unwrap();
    let message = resumed.journal.append(&entry).unwrap_err().to_string();
    assert!(message.contains("changed by another program"), "{message}");
}
