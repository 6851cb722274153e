//! Records, the audit, keys.

use super::shared::*;
use super::{Entry, Notes};

const NOT_AS_SIGNED: (u8, &str) = (
    1,
    "Done, but the record is not as it was signed off, its signature is not good, or the trust list speaks against it.",
);

pub(super) fn notes(page: &str) -> Option<Notes> {
    let of_records: Vec<Entry> = vec![STORE, RECORDS, SIGNERS];
    let of_keys: Vec<Entry> = vec![STORE, KEYS, SIGNERS, LOCK];
    Some(match page {
        "cornerset-records" => Notes {
            description: &[
                "A record is one JSON file, written once: every input, the targets, every reading as it was typed, struck ones too, \
                 and the digest of its canonical form (RFC 8785, SHA-256). A record is named by its id, by at least 4 characters of \
                 the start or the end of it, or as a file.",
            ],
            exits: vec![DONE, NOT_AS_SIGNED, REFUSED, NOT_KEPT],
            files: of_records,
            environment: stored(),
            examples: &[
                ("The records of the store:", "cornerset records list"),
                ("One of them, reading by reading:", "cornerset records show ID"),
            ],
            see_also: &["cornerset-audit", "cornerset-set"],
        },
        "cornerset-records-list" => Notes {
            description: &[
                "For each record the time of its sign-off, the corner in hertz, the verdict, the job, the technician and whether a \
                 trusted key signed it.",
            ],
            exits: vec![DONE, REFUSED, NOT_KEPT],
            files: vec![STORE, RECORDS, ORDER, SIGNERS],
            environment: [stored(), vec![TZ_OF_LIST, THREADS]].concat(),
            examples: &[
                (
                    "What one technician signed off in a month:",
                    "cornerset records list --technician 'A. Sample' \\\n    \
                 --since 2026-10 --until 2026-10",
                ),
                (
                    "Settings that were accepted with too many volts, for a program:",
                    "cornerset records list --verdict above --json",
                ),
            ],
            see_also: &["cornerset-records-show"],
        },
        "cornerset-records-show" => Notes {
            description: &["With `--json` it is the record itself, with its path and how it stands."],
            exits: vec![DONE, NOT_AS_SIGNED, REFUSED, NOT_KEPT],
            files: of_records,
            environment: stored(),
            examples: &[("A record, by its id or the start of it:", "cornerset records show ID")],
            see_also: &["cornerset-records-list", "cornerset-records-report"],
        },
        "cornerset-records-report" => Notes {
            description: &["The page needs no network and no other file. One that has the name is replaced."],
            exits: vec![DONE, NOT_AS_SIGNED, REFUSED, NOT_KEPT],
            files: of_records,
            environment: stored(),
            examples: &[("A page for the customer:", "cornerset records report ID -o page.html")],
            see_also: &["cornerset-records-show"],
        },
        "cornerset-records-export" => Notes {
            description: &[
                "Every column has its unit in its name: `_hz`, `_v`, `_db`. Text that a spreadsheet would take for a formula is \
                 made harmless in CSV.",
            ],
            exits: vec![DONE, REFUSED, NOT_KEPT],
            files: vec![
                STORE,
                RECORDS,
                (
                    "/usr/share/doc/cornerset/columns.md",
                    "What every column means, where the Debian package put it. In the sources it is `src/export/columns.md`.",
                ),
            ],
            environment: [stored(), vec![TZ]].concat(),
            examples: &[
                ("Every reading, for a spreadsheet:", "cornerset records export --format csv -o readings.csv"),
                (
                    "A row for each record, to another program:",
                    "cornerset records export --format ndjson --rows sessions -o -",
                ),
                (
                    "A file for each shop and month, below a folder that many shops may share:",
                    "cornerset records export --format parquet --partition -o lake",
                ),
            ],
            see_also: &["cornerset-records-list"],
        },
        "cornerset-records-canonical" => Notes {
            description: &[
                "Nobody needs this program to check a signature: any other one for RFC 8785 makes the same bytes of the record, \
                 once `sign_off.digest` and `sign_off.signature` are taken out of it.",
            ],
            exits: vec![
                DONE,
                (1, "The bytes are printed, but the record is not as it was signed off."),
                REFUSED,
                NOT_KEPT,
            ],
            files: of_records,
            environment: stored(),
            examples: &[
                ("The SHA-256 of a record, which is its digest:", "cornerset records canonical ID | sha256sum"),
                (
                    "Its signature checked by OpenSSH, `record.sig` being `sign_off.signature` of the record:",
                    "cornerset records canonical ID > record.bytes\n\
                  ssh-keygen -Y verify -f allowed_signers -I a-sample \\\n    \
                  -n cornerset-record -s record.sig < record.bytes",
                ),
            ],
            see_also: &["cornerset-audit", "ssh-keygen", "sha256sum"],
        },
        "cornerset-audit" => Notes {
            description: &[
                "A record that is altered, missing, twice there or unreadable is named, and so is a signature that is not trusted. \
                 The chain of a bench shows a record that is gone; what it cannot show, and what nobody can find out from records, \
                 is that the meter was not what was typed.",
                "Every audit prints the digest of the last record of each chain. One that was noted where nobody of the bench can \
                 change it shows later, with `--witness`, whether the store was put back to an older state.",
                "`--stream` takes a record a line and gives a verdict a line, in constant memory; it looks at each record alone, \
                 so not at chains.",
            ],
            exits: vec![
                (0, "Nothing but unsigned records and copies was found."),
                (1, "Something was found."),
                REFUSED,
                NOT_KEPT,
            ],
            files: vec![STORE, RECORDS, CHAIN, SIGNERS],
            environment: [stored(), vec![TZ_OF_LIST, THREADS]].concat(),
            examples: &[
                ("The store:", "cornerset audit"),
                (
                    "Two stores with the list of the shop's manager, as a page:",
                    "cornerset audit bench-1 bench-2 \\\n    \
                 --allowed-signers allowed_signers -o audit.html",
                ),
                (
                    "Records as a stream, a line each:",
                    "cat records.ndjson |\n    \
                 cornerset audit --stream --allowed-signers allowed_signers",
                ),
            ],
            see_also: &["cornerset-records", "cornerset-key", "ssh-keygen"],
        },
        "cornerset-key" => Notes {
            description: &[
                "Keys are Ed25519 or ECDSA P-256. One that ssh-keygen(1) made is used as it is with `cornerset set --key`; so is one \
                 that an agent or a security key holds, by its public half.",
            ],
            exits: vec![DONE, REFUSED, NOT_KEPT, INTERRUPTED],
            files: of_keys,
            environment: signed(),
            examples: &[
                ("The keys of the store:", "cornerset key show"),
                ("A key for a technician, which asks for a passphrase:", "cornerset key new 'R. Example'"),
            ],
            see_also: &["cornerset-set", "cornerset-audit", "ssh-keygen", "ssh-agent"],
        },
        "cornerset-key-new" => Notes {
            description: &[
                "The passphrase is asked for at the terminal, or through SSH_ASKPASS. A key is never replaced.",
            ],
            exits: vec![DONE, REFUSED, NOT_KEPT, INTERRUPTED],
            files: of_keys,
            environment: vec![IN_STORE, DATA_HOME, NO_COLOR, TERM, COLUMNS, ASKPASS, ASKPASS_REQUIRE],
            examples: &[
                ("A key that a passphrase protects:", "cornerset key new 'R. Example'"),
                ("One without, to try it out:", "cornerset --store try-out key new 'R. Example' --no-passphrase"),
            ],
            see_also: &["cornerset-key-trust", "ssh-keygen"],
        },
        "cornerset-key-show" => Notes {
            description: &["The fingerprint is the one that `ssh-keygen -l` shows: ask its owner for it in person."],
            exits: vec![DONE, REFUSED, NOT_KEPT],
            files: of_keys,
            environment: stored(),
            examples: &[
                ("Every key of the store:", "cornerset key show"),
                ("A technician's, for a program:", "cornerset key show 'A. Sample' --json"),
            ],
            see_also: &["cornerset-key-trust", "ssh-keygen"],
        },
        "cornerset-key-trust" => Notes {
            description: &[
                "A line that this command wrote for the same key and name is replaced, and an end that is not named stays as it \
                 was there; other lines stay.",
            ],
            exits: vec![DONE, REFUSED, NOT_KEPT],
            files: vec![STORE, SIGNERS, LOCK],
            environment: [stored(), vec![TZ]].concat(),
            examples: &[
                ("A key, from now on:", "cornerset key trust my-key.pub --name 'A. Sample'"),
                (
                    "The same, until the end of November:",
                    "cornerset key trust my-key.pub --name 'A. Sample' \\\n    \
                 --valid-before 2026-12-01",
                ),
            ],
            see_also: &["cornerset-key-show", "ssh-keygen"],
        },
        _ => return None,
    })
}
