//! What several pages say in the same words.

use super::Entry;

pub(super) const DONE: (u8, &str) = (0, "Done.");
pub(super) const REFUSED: (u8, &str) = (
    2,
    "An option or a value is refused. One sentence on standard error names it, says what was given and what is accepted.",
);
pub(super) const NOT_KEPT: (u8, &str) =
    (3, "The store, a file or standard output cannot be read or written. The message names it and says what to do.");
pub(super) const INTERRUPTED: (u8, &str) = (130, "Left before its end, or interrupted by a signal.");
pub(super) const SESSION_KEPT: (u8, &str) =
    (130, "Paused or interrupted. The session is kept, and `--resume` goes on where it stood.");

pub(super) const STORE: Entry = (
    "~/.local/share/cornerset",
    "The store, unless `--store` or CORNERSET_STORE names another folder. On macOS it is `Library/Application Support/cornerset` \
     in the home folder, on Windows `cornerset\\data` in the roaming application data. The paths below lie in it.",
);
pub(super) const OPEN: Entry = (
    "open/ID.ndjson",
    "The journal of a session that is not closed: a line for each answer, on disk before the next question is asked.",
);
pub(super) const AWAY: Entry = ("away/ID.ndjson", "The journal of a session that was put away unfinished.");
pub(super) const RECORDS: Entry =
    ("records/YYYY/ID.json", "A record, in the year of its sign-off. It is written once and never changed.");
pub(super) const BENCH: Entry = ("bench.toml", "The name of the bench.");
pub(super) const CHAIN: Entry =
    ("chain.json", "The head of the bench's chain of records, by which an audit sees that the newest is gone.");
pub(super) const KEYS: Entry = (
    "keys/NAME, keys/NAME.pub",
    "A technician's private key, readable by its owner only (mode 0600), and its public half.",
);
pub(super) const SIGNERS: Entry =
    ("allowed_signers", "Whose keys are trusted, in the format that ssh-keygen(1) describes under ALLOWED SIGNERS.");
pub(super) const GEAR: Entry =
    ("gear.json", "What was answered last time for known gear. A convenience: it can be removed.");
pub(super) const ORDER: Entry = (
    "list.cache",
    "The order of the records by sign-off, in a store of more than 200. It is made anew where it is gone; no audit looks at it.",
);
pub(super) const PRACTICE: Entry =
    ("practice/", "A store of its own, with the same files, for sessions at a simulated bench.");
pub(super) const LEARNERS: Entry = ("learners/NAME.json", "What a learner did in lessons and drills.");
pub(super) const LOCK: Entry =
    (".lock", "Locked while a record is closed, or a file beside it is written that is no cache. It holds nothing.");
pub(super) const NO_STORE: Entry = ("~/.local/share/cornerset", "The store. This command neither reads nor writes it.");

pub(super) const IN_STORE: Entry = ("CORNERSET_STORE", "The store, where `--store` is not given.");
pub(super) const DATA_HOME: Entry = (
    "XDG_DATA_HOME, HOME",
    "Where the store is when neither `--store` nor CORNERSET_STORE says so: `cornerset` in XDG_DATA_HOME, an absolute path, else \
     in `.local/share` in HOME.",
);
pub(super) const NO_COLOR: Entry = ("NO_COLOR", "Set, and not empty: no colour.");
pub(super) const TERM: Entry = ("TERM", "Not set, or `dumb`: no colour.");
pub(super) const COLUMNS: Entry = ("COLUMNS", "The width of `--help` where it does not go to a terminal, 80 at most.");
pub(super) const TZ: Entry = (
    "TZ",
    "The time zone. Times are kept with their offset from UTC, so another zone changes how they look and not when they were.",
);
pub(super) const THREADS: Entry = ("RAYON_NUM_THREADS", "How many processors are taken. Not set: all of them.");
pub(super) const ASKPASS: Entry =
    ("SSH_ASKPASS", "A program that asks for a key's passphrase where there is no terminal, as for ssh(1).");
pub(super) const ASKPASS_REQUIRE: Entry =
    ("SSH_ASKPASS_REQUIRE", "`prefer` or `force`: that program is asked even at a terminal. `never`: it is not asked.");
pub(super) const AGENT: Entry = (
    "SSH_AUTH_SOCK",
    "The agent that holds a key of which only the public half is named. ssh-keygen(1) and ssh-add(1) read it.",
);
pub(super) const PATH: Entry = ("PATH", "Where ssh-keygen(1) and ssh-add(1) are looked for.");
pub(super) const TMPDIR: Entry = (
    "TMPDIR",
    "Where a record lies, under no name, while ssh-keygen(1) signs it with a key that an agent or a security key holds.",
);
/// Of what holds signatures against times in a trust list.
pub(super) const TZ_OF_LIST: Entry = (
    "TZ",
    "The time zone. Records have their times with the offset from UTC, so another zone changes nothing of them; a time in a trust \
     list that does not end in `Z` is one of this zone, and moves with it.",
);

/// Of every command that shows something.
pub(super) fn shown() -> Vec<Entry> {
    vec![NO_COLOR, TERM, COLUMNS]
}

/// Of every command that uses the store.
pub(super) fn stored() -> Vec<Entry> {
    vec![IN_STORE, DATA_HOME, NO_COLOR, TERM, COLUMNS]
}

/// Of every command that may sign.
pub(super) fn signed() -> Vec<Entry> {
    vec![IN_STORE, DATA_HOME, NO_COLOR, TERM, COLUMNS, TZ, ASKPASS, ASKPASS_REQUIRE, AGENT, PATH]
}
