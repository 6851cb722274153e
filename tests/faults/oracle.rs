//! What must hold after any fault.
//!
//! - What was told of is there, to the letter; at most one entry more was kept, which nobody had been told of yet, and none
//!   where it was said not to be kept.
//! - What is there was in the script, once, in its order, or is a default that an undisturbed session takes at that place.
//! - The session goes on to the record of an undisturbed run, signed, in a chain that is whole (`audit`, and OpenSSH's
//!   own `ssh-keygen -Y verify` where it is there).
//! - No half file is left.

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::Stdio;
use std::sync::OnceLock;

use serde_json::{Value, json};

use crate::common::{outside, read_json};
use crate::trial::{Start, Struck, Trial};

impl Trial {
    /// Holds the store after a fault to all of this, and finishes the session.
    #[track_caller]
    pub fn survives(&self, struck: &Struck) {
        assert!(!struck.stderr.contains("panicked"), "{struck:?}");
        let told = struck.told();
        let records = self.new_records();
        let journals = self.shop.journals();
        assert!(records.len() <= 1 && journals.len() <= 1, "{records:?} {journals:?}");
        if let Some(record) = records.first() {
            self.was_closed(record, struck);
        } else if let Some(kept) = journals.first().and_then(|path| kept(path)) {
            assert_ne!(struck.code, Some(0), "no record, and yet well: {struck:?}");
            self.begins_with(&kept, &told);
            // What was said not to be kept is not kept.
            let more = usize::from(!struck.stderr.contains("was not kept"));
            assert!(kept.len() <= told.len() + more, "more was kept than could be: {kept:?}\n{struck:?}");
            let id = journals[0].file_stem().and_then(|stem| stem.to_str()).expect("an id");
            let from = kept.iter().filter(|entry| said(entry).is_some()).count();
            let ended = self.go_on(id, from);
            assert_eq!(ended.code, Some(0), "not resumed: {ended:?}\nafter {struck:?}");
        } else {
            assert!(told.is_empty() && struck.code != Some(0), "nothing is there: {struck:?}");
            // Nothing was logged: the session is begun again.
            let again = Struck::of(&mut self.session());
            assert_eq!(again.code, Some(0), "{again:?}\nafter {struck:?}");
            for torn in journals {
                let refused = self.go_on(torn.file_stem().and_then(|stem| stem.to_str()).expect("an id"), 0);
                assert_eq!(refused.code, Some(3), "{refused:?}");
                assert!(refused.stderr.contains("was cut off as it was opened, and nothing was logged"), "{refused:?}");
                assert!(refused.stderr.contains("remove the file and start a new session"), "{refused:?}");
                fs::remove_file(torn).expect("as the program says");
            }
        }
        self.ended_well();
    }

    /// Goes on with a killed session while others work on the same store.
    #[track_caller]
    pub fn goes_on_among_others(&self, struck: &Struck) {
        let events = struck.events();
        let journal = events.first().map(|session| {
            let id = session["id"].as_str().expect("an id").to_owned();
            (self.shop.store().join("open").join(format!("{id}.ndjson")), id)
        });
        match journal {
            Some((path, id)) if path.exists() => {
                let kept = kept(&path).expect("a head");
                self.begins_with(&kept, &struck.told());
                let from = kept.iter().filter(|entry| said(entry).is_some()).count();
                let ended = self.go_on(&id, from);
                // The record may have been in place, and the journal about to go.
                let is_closed = ended.code == Some(2) && ended.stderr.contains("is closed; its record is");
                assert!(ended.code == Some(0) || is_closed, "{ended:?}\nafter {struck:?}");
            }
            Some((_, id)) => assert!(self.shop.run(&["records", "show", &id]).code == Some(0), "{struck:?}"),
            // Nothing was told of: the session may have been begun or not, and is begun again.
            None => self.begins_again_among_others(),
        }
    }

    /// A session of whose opening nobody was told, among others: it is begun again.
    fn begins_again_among_others(&self) {
        let again = Struck::of(&mut self.session());
        assert_eq!(again.code, Some(0), "{again:?}");
    }

    /// A session whose record is in place counts as closed, whatever became of its journal.
    fn was_closed(&self, record: &Path, struck: &Struck) {
        let record = read_json(record);
        self.begins_with(record["log"].as_array().expect("a log"), &struck.told());
        let id = record["id"].as_str().expect("an id");
        let list = self.shop.run(&["--json", "records", "list"]).expect(0);
        assert!(list.stdout.contains(id), "{list:?}");
        let refused = self.go_on(id, self.lines.len());
        assert_eq!(refused.code, Some(2), "{refused:?}");
        assert!(refused.stderr.contains("is closed; its record is"), "{refused:?}");
    }

    /// What is kept begins with what was told, to the letter; it is how the undisturbed log begins, defaults too, and all that
    /// was typed in it was in the script.
    fn begins_with(&self, kept: &[Value], told: &[Value]) {
        assert_eq!(kept.get(..told.len()), Some(told), "what was told of is not what is kept");
        let log = without_times(kept);
        let whole = undisturbed()["log"].as_array().expect("a log");
        assert_eq!(whole.get(..log.len()), Some(log.as_slice()), "not as without the fault");
        let answers = self.lines.iter().map(|(_, answer)| answer.as_str());
        let typed: Vec<String> = kept.iter().filter_map(said).collect();
        assert!(typed.iter().map(String::as_str).eq(answers.take(typed.len())), "not as in the script: {typed:?}");
    }

    /// One record more than before, as without the fault; the chain is whole; nothing half is left.
    #[track_caller]
    pub fn ended_well(&self) {
        let records = self.new_records();
        assert_eq!(records.len(), 1, "{records:?}");
        let record = read_json(&records[0]);
        assert_eq!(as_told(&record), *undisturbed(), "another record than without the fault");
        let sequence = 1 + u64::from(self.start == Start::Used);
        assert_eq!(record["sequence"], sequence);
        assert_eq!(self.shop.journals(), Vec::<PathBuf>::new());
        let half: Vec<PathBuf> = all_files(&self.shop.store())
            .into_iter()
            .filter(|path| path.extension().is_some_and(|end| end == "part"))
            .collect();
        assert_eq!(half, Vec::<PathBuf>::new(), "a temporary file is left");
        let audit = self.shop.run(&["--json", "audit"]).expect(0).json();
        assert_eq!((&audit["records"], &audit["signed"]), (&json!(sequence), &json!(sequence)), "{audit}");
        self.openssh_agrees(&record);
    }

    /// The signature, as OpenSSH sees it.
    fn openssh_agrees(&self, record: &Value) {
        static IS_HERE: OnceLock<bool> = OnceLock::new();
        if !outside::needs("ssh-keygen", *IS_HERE.get_or_init(|| outside::runs("ssh", &["-V"]))) {
            return;
        }
        let canonical =
            self.shop.command().args(["records", "canonical", record["id"].as_str().expect("an id")]).output();
        let signature = self.shop.path().join("signature");
        fs::write(&signature, record["sign_off"]["signature"].as_str().expect("a signature")).expect("a file");
        let mut verify = std::process::Command::new("ssh-keygen");
        verify
            .args(["-Y", "verify", "-n", "cornerset-record", "-I", "a-sample", "-f"])
            .arg(self.shop.store().join("allowed_signers"));
        verify.arg("-s").arg(&signature).stdin(Stdio::piped()).stdout(Stdio::null()).stderr(Stdio::null());
        let mut verify = verify.spawn().expect("ssh-keygen starts");
        let bytes = canonical.expect("canonical bytes").stdout;
        verify.stdin.take().expect("a pipe").write_all(&bytes).expect("read");
        assert!(verify.wait().expect("an end").success(), "OpenSSH does not take the signature");
    }

    /// Records that were not there at the start.
    fn new_records(&self) -> Vec<PathBuf> {
        let mut records = self.shop.records();
        records.retain(|path| path.extension().is_some_and(|extension| extension == "json"));
        records.retain(|path| read_json(path)["job"] != "the one before");
        records
    }
}

impl Struck {
    /// Ended as storage that failed, with a message that says where, why and what to do.
    #[track_caller]
    pub fn says_what_failed(&self, trial: &Trial, why: &str) {
        let journals = trial.shop.journals();
        self.says_what_failed_of(trial, why, journals.first().map(PathBuf::as_path));
    }

    /// As that; with the journal, where one is left to go on with.
    #[track_caller]
    pub fn says_what_failed_of(&self, trial: &Trial, why: &str, journal: Option<&Path>) {
        assert_eq!(self.code, Some(3), "{self:?}");
        let message =
            self.stderr.lines().rfind(|line| line.starts_with("cornerset: ")).unwrap_or_else(|| panic!("{self:?}"));
        let store = trial.shop.store().display().to_string();
        assert!(message.contains(&store), "the file is not named: {message}");
        assert!(message.contains(why), "`{why}` is not said: {message}");
        let advice = [
            "free some space",
            "make it writable",
            "check the disk",
            "bring it back",
            "put that file back",
            "try again",
        ];
        assert!(advice.iter().any(|advice| message.contains(advice)), "no advice: {message}");
        // A session that is open can be gone on with as it says.
        if let Some(path) = journal.filter(|path| kept(path).is_some()) {
            let id = path.file_stem().and_then(|stem| stem.to_str()).expect("an id");
            let named = message.split("--resume ").nth(1).unwrap_or_else(|| panic!("no command to go on: {message}"));
            let named = named.split_whitespace().next().unwrap_or_default();
            assert!(named.len() > 4 && id.starts_with(named), "{named} and {id}: {message}");
        }
    }
}

/// The entries of a journal, a torn last line left out; `None` where its head is not whole.
pub fn kept(journal: &Path) -> Option<Vec<Value>> {
    let bytes = fs::read(journal).expect("a journal");
    let whole = &bytes[..=bytes.iter().rposition(|byte| *byte == b'\n')?];
    let text = std::str::from_utf8(whole).expect("UTF-8");
    let entries =
        text.lines().skip(1).map(|line| serde_json::from_str::<Value>(line).expect("a whole line")["entry"].take());
    Some(entries.collect())
}

/// What a line of the script said in an entry; nothing where no line did.
pub fn said(entry: &Value) -> Option<String> {
    let text = |key: &str| entry[key].as_str().map(str::to_owned);
    match entry["event"].as_str()? {
        "pause" | "resume" => None,
        _ if entry["default"] == true => None,
        "strike" => Some(format!("strike {} {}", entry["number"], text("reason")?)),
        "note" => text("text"),
        _ => text("typed"),
    }
}

/// A record without what differs from run to run.
pub fn as_told(record: &Value) -> Value {
    let mut record = record.clone();
    let object = record.as_object_mut().expect("an object");
    for key in ["id", "bench", "sequence", "previous", "opened_at", "closed_at"] {
        assert!(object.remove(key).is_some(), "{key}");
    }
    let sign_off = object["sign_off"].as_object_mut().expect("a sign-off");
    for key in ["at", "digest", "signature"] {
        assert!(sign_off.remove(key).is_some_and(|value| value.is_string()), "{key}");
    }
    for caution in object["cautions"].as_array_mut().expect("cautions") {
        caution.as_object_mut().expect("a caution").remove("acknowledged_at");
    }
    object["log"] = Value::Array(without_times(object["log"].as_array().expect("a log")));
    record
}

/// The entries of a log without their times, and without pauses.
fn without_times(log: &[Value]) -> Vec<Value> {
    let mut log = log.to_vec();
    log.retain(|entry| entry["event"] != "resume" && entry["event"] != "pause");
    for entry in &mut log {
        entry.as_object_mut().expect("an entry").remove("at");
    }
    log
}

/// What the session comes to where nothing disturbs it.
pub fn undisturbed() -> &'static Value {
    static RECORD: OnceLock<Value> = OnceLock::new();
    RECORD.get_or_init(|| {
        let trial = Trial::new(Start::New);
        let ran = Struck::of(&mut trial.session());
        assert_eq!(ran.code, Some(0), "{ran:?}");
        let record = as_told(&read_json(&trial.new_records()[0]));
        assert_eq!(record["outcome"]["verdict"], "inside", "{record}");
        let readings = |event: &str| {
            record["log"].as_array().expect("a log").iter().filter(|entry| entry["event"] == event).count()
        };
        assert_eq!((readings("reading"), readings("strike")), (20, 1));
        let typed: Vec<String> = record["log"].as_array().expect("a log").iter().filter_map(said).collect();
        assert!(typed.iter().eq(trial.lines.iter().map(|(_, answer)| answer)), "{typed:?}");
        record
    })
}

pub fn all_files(folder: &Path) -> Vec<PathBuf> {
    let entries = fs::read_dir(folder).expect("a folder").map(|entry| entry.expect("an entry").path());
    entries.flat_map(|path| if path.is_dir() { all_files(&path) } else { vec![path] }).collect()
}
