//! A session closed: the record on disk, and what a crash or a failing disk leaves.

use std::fs;

use cornerset::record::{Signer, is_intact};
use cornerset::session::State;
use cornerset::signature::{KeyKind, SigningKey};
use cornerset::store::{Closing, StoreError, read_record};
use serde_json::Value;
use sha2::{Digest, Sha256};

use crate::support::{Shop, work, work_from};

#[test]
fn a_record_is_written_in_the_year_of_its_sign_off_and_the_journal_goes() {
    let shop = Shop::new();
    let (state, journal) = shop.complete();
    let id = state.opened().id.clone();
    let closed = shop.store.close(&state, journal).unwrap();
    assert!(closed.path.is_absolute());
    assert_eq!(closed.path, shop.store.root().join("records").join("2026").join(format!("{id}.json")));
    assert_eq!(closed.skipped, Vec::<std::path::PathBuf>::new());
    assert!(!shop.journal_path(&id).exists());
    assert_eq!(shop.store.open_sessions().unwrap(), []);

    let record = read_record(&closed.path).unwrap();
    assert_eq!(record, closed.record);
    assert!(is_intact(&record));
    assert_eq!((record.sequence, &record.previous, record.job.as_str()), (1, &None, "Van 12"));
    assert_eq!(record.log, state.log());
    let text = fs::read_to_string(&closed.path).unwrap();
    assert!(text.starts_with("{\n  \"format\": \"cornerset-record\",\n") && text.ends_with("}\n"));

    let names: Vec<_> = fs::read_dir(closed.path.parent().unwrap()).unwrap().collect();
    assert_eq!(names.len(), 1, "{names:?}");
    assert_eq!(shop.store.records().unwrap().as_slice(), std::slice::from_ref(&closed.path));
    assert_eq!(shop.store.find_record(&id[..13]).unwrap(), closed.path);
    assert_eq!(shop.store.find_record(&id[30..]).unwrap(), closed.path);
    assert!(matches!(shop.store.find_record("dead-dead").unwrap_err(), StoreError::NoRecord { .. }));
}

#[cfg(unix)]
#[test]
fn a_record_can_be_read_by_those_who_can_read_an_ordinary_file() {
    use std::os::unix::fs::PermissionsExt;
    let shop = Shop::new();
    let closed = shop.closed();
    let ordinary = shop.folder.path().join("ordinary");
    fs::write(&ordinary, b"").unwrap();
    let mode = |path| fs::metadata(path).unwrap().permissions().mode();
    assert_eq!(mode(&closed.path), mode(&ordinary));
}

#[test]
fn the_year_is_that_of_the_place() {
    for (start, year) in [("2025-12-31T23:59:00-08:00", "2025"), ("2026-01-01T00:01:00+13:00", "2026")] {
        let shop = Shop::new();
        let (mut state, mut journal) = shop.store.open_session(shop.opened()).unwrap();
        work_from(&mut state, &mut journal, usize::MAX, start).unwrap();
        let closed = shop.store.close(&state, journal).unwrap();
        assert_eq!(closed.path.parent().unwrap().file_name().unwrap(), year);
    }
}

/// RFC 8785 for what a record holds: keys that sort by their bytes, and numbers without an exponent.
fn canonical(value: &Value) -> String {
    let joined = |parts: Vec<String>| parts.join(",");
    match value {
        Value::Object(map) => {
            let mut keys: Vec<&String> = map.keys().collect();
            keys.sort();
            format!("{{{}}}", joined(keys.iter().map(|key| format!("\"{key}\":{}", canonical(&map[*key]))).collect()))
        }
        Value::Array(list) => format!("[{}]", joined(list.iter().map(canonical).collect())),
        Value::Number(number) => format!("{}", number.as_f64().unwrap()),
        other => other.to_string(),
    }
}

#[test]
fn the_digest_is_that_of_the_canonical_form_worked_out_another_way() {
    let shop = Shop::new();
    let closed = shop.closed();
    let mut value: Value = serde_json::from_slice(&fs::read(&closed.path).unwrap()).unwrap();
    let sign_off = value["sign_off"].as_object_mut().unwrap();
    let digest = sign_off.remove("digest").unwrap();
    assert_eq!(sign_off.remove("signature"), Some(Value::Null));
    assert_eq!(digest, format!("sha256:{:x}", Sha256::digest(canonical(&value))));
}

#[test]
fn a_session_that_is_not_complete_or_not_the_journals_is_not_closed() {
    let shop = Shop::new();
    let (state, journal) = shop.session_of(9);
    let error = shop.store.close(&state, journal).unwrap_err();
    assert!(matches!(error, StoreError::NotComplete { .. }) && !error.is_storage(), "{error}");

    let (complete, journal) = shop.complete();
    let (other, other_journal) = shop.complete();
    let error = shop.store.close(&complete, other_journal).unwrap_err();
    assert!(matches!(error, StoreError::NotTheJournal { .. }), "{error}");
    drop(journal);
    assert_eq!(shop.store.records().unwrap().len(), 0);
    assert_eq!(shop.store.open_sessions().unwrap().len(), 3);
    resume_and_close(&shop, &other);
}

fn resume_and_close(shop: &Shop, state: &State) {
    let resumed = shop.store.resume(&state.opened().id).unwrap();
    assert_eq!(resumed.state, *state);
    shop.store.close(&resumed.state, resumed.journal).unwrap();
}

#[test]
fn a_record_is_never_rewritten() {
    let shop = Shop::new();
    let (state, journal) = shop.complete();
    let id = &state.opened().id;
    let folder = shop.store.root().join("records").join("2026");
    fs::create_dir_all(&folder).unwrap();
    let path = folder.join(format!("{id}.json"));
    fs::write(&path, b"someone's").unwrap();
    let error = shop.store.close(&state, journal).unwrap_err();
    assert!(error.is_storage() && error.to_string().contains("never rewritten"), "{error}");
    assert_eq!(fs::read(&path).unwrap(), b"someone's");
    assert!(shop.journal_path(id).exists());
    fs::remove_file(&path).unwrap();
    resume_and_close(&shop, &state);
}

#[test]
fn a_close_cut_off_after_its_record_is_finished_at_the_next_look() {
    let look: [fn(&Shop, &str); 2] = [
        |shop, id| match shop.store.resume(id).unwrap_err() {
            StoreError::AlreadyClosed { path, .. } => assert!(path.exists()),
            error => panic!("{error}"),
        },
        |shop, _| assert_eq!(shop.store.open_sessions().unwrap(), []),
    ];
    for look in look {
        let shop = Shop::new();
        let (state, journal) = shop.complete();
        let id = &state.opened().id;
        let bytes = shop.journal_bytes(id);
        let closed = shop.store.close(&state, journal).unwrap();
        fs::write(shop.journal_path(id), bytes).unwrap();
        look(&shop, id);
        assert!(!shop.journal_path(id).exists());
        assert_eq!(read_record(&closed.path).unwrap(), closed.record);
        let error = shop.store.resume(id).unwrap_err();
        assert!(matches!(error, StoreError::AlreadyClosed { .. }) && !error.is_storage(), "{error}");
    }
}

#[test]
fn a_journal_stays_where_its_record_is_not_whole() {
    let shop = Shop::new();
    let (state, journal) = shop.complete();
    let id = &state.opened().id;
    let bytes = shop.journal_bytes(id);
    let closed = shop.store.close(&state, journal).unwrap();
    let whole = fs::read_to_string(&closed.path).unwrap();
    for record in [whole.replace("Van 12", "Van 13"), whole[..whole.len() / 2].to_owned()] {
        fs::write(shop.journal_path(id), &bytes).unwrap();
        fs::write(&closed.path, record).unwrap();
        let error = shop.store.resume(id).unwrap_err();
        assert!(matches!(error, StoreError::Record { .. }) && error.is_storage(), "{error}");
        let listed = shop.store.open_sessions().unwrap();
        assert!(listed[0].problem.is_some() && listed[0].complete, "{listed:?}");
        assert_eq!(shop.journal_bytes(id), bytes);
    }
}

#[test]
fn a_session_stays_open_where_the_disk_refuses_its_record() {
    for in_the_way in ["records", "records/2026", "chain.json", ".lock"] {
        let shop = Shop::new();
        let (state, journal) = shop.complete();
        let path = shop.store.root().join(in_the_way);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        let _ = fs::remove_file(&path);
        if in_the_way.starts_with("records") {
            fs::write(&path, b"a file").unwrap();
        } else {
            fs::create_dir(&path).unwrap();
            fs::write(path.join("x"), b"").unwrap();
        }
        let error = shop.store.close(&state, journal).unwrap_err();
        let message = error.to_string();
        assert!(error.is_storage() && message.contains(in_the_way), "{in_the_way}: {message}");
        assert!(message.contains(&format!("session {} can be resumed", state.opened().id)), "{message}");
        assert!(shop.store.open_sessions().is_ok_and(|open| open.len() == 1) || in_the_way == "records");
        if path.is_dir() {
            fs::remove_dir_all(&path).unwrap()
        } else {
            fs::remove_file(&path).unwrap()
        }
        resume_and_close(&shop, &state);
    }
}

/// A link to itself stands for a disk that does not give what is there: nothing else that a test can make fails when it is
/// read and would be replaced all the same.
#[cfg(unix)]
#[test]
fn a_memory_that_the_disk_does_not_give_is_not_written_over() {
    let shop = Shop::new();
    shop.closed();
    let aside = shop.folder.path().join("chain.json");
    fs::rename(shop.chain_path(), &aside).unwrap();
    std::os::unix::fs::symlink("chain.json", shop.chain_path()).unwrap();
    let (state, journal) = shop.complete();
    let error = shop.store.close(&state, journal).unwrap_err();
    assert!(error.is_storage() && error.to_string().contains("cannot read "), "{error}");
    assert!(shop.chain_path().is_symlink(), "it is as it was");
    fs::rename(aside, shop.chain_path()).unwrap();
    resume_and_close(&shop, &state);
}

#[test]
fn a_store_that_is_gone_at_the_end_is_noticed() {
    let shop = Shop::new();
    let (mut state, mut journal) = shop.store.open_session(shop.opened()).unwrap();
    work(&mut state, &mut journal, usize::MAX).unwrap();
    fs::rename(shop.store.root(), shop.folder.path().join("elsewhere")).unwrap();
    let error = shop.store.close(&state, journal).unwrap_err();
    assert!(matches!(error, StoreError::Gone { .. }) && error.is_storage(), "{error}");
    fs::remove_dir_all(shop.store.root()).unwrap();
    fs::rename(shop.folder.path().join("elsewhere"), shop.store.root()).unwrap();
    resume_and_close(&shop, &state);
}

/// Says that it signs with one key, and signs with another; or makes what is no signature.
struct Impostor {
    says: SigningKey,
    signs: Option<SigningKey>,
}

impl Signer for Impostor {
    fn fingerprint(&self) -> String {
        self.says.public().fingerprint()
    }

    fn sign(&mut self, bytes: &[u8]) -> Result<String, String> {
        self.signs.as_ref().map_or_else(|| Ok("no signature".to_owned()), |key| key.sign(bytes))
    }
}

#[test]
fn a_signature_that_is_not_by_the_named_key_is_not_taken() {
    let key = || SigningKey::generate(KeyKind::Ed25519, "").unwrap();
    for (signs, says) in [(Some(key()), "another key signed"), (None, "is not good")] {
        let shop = Shop::new();
        let (state, journal) = shop.complete();
        let signer = Impostor { says: key(), signs };
        let closing = Closing { signer: Some(Box::new(signer)), progress: &|_, _| {}, stop: &|| false };
        let refused = shop.store.close_with(&state, journal, closing).unwrap_err();
        assert!(matches!(&refused, StoreError::NotSigned { why } if why.contains(says)), "{refused}");
        assert_eq!(shop.store.records().unwrap(), [""; 0].map(std::path::PathBuf::from));
        assert_eq!(shop.store.open_sessions().unwrap().len(), 1, "the session is still open");
    }
}

/// Another program keeps the store locked: whoever waits can be stopped, and nothing is written.
#[test]
fn waiting_for_a_locked_store_can_be_stopped() {
    let shop = Shop::new();
    let (state, journal) = shop.complete();
    let lock = fs::File::create(shop.store.root().join(".lock")).unwrap();
    lock.lock().unwrap();
    let looks = std::cell::Cell::new(0);
    let stop = || {
        looks.set(looks.get() + 1);
        looks.get() > 3
    };
    let closing = Closing { signer: None, progress: &|_, _| {}, stop: &stop };
    let stopped = shop.store.close_with(&state, journal, closing).unwrap_err();
    assert!(matches!(stopped, StoreError::Stopped), "{stopped}");
    assert_eq!(shop.store.open_sessions().unwrap().len(), 1);
}
