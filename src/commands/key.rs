//! `cornerset key`: a signing key made, shown, trusted. Keys that OpenSSH made are used as they are.

use std::path::{Path, PathBuf};

use chrono::{DateTime, Local, NaiveDate, NaiveTime};
use clap::{Args, Subcommand};
use serde::Serialize;
use zeroize::Zeroizing;

use super::common::Common;
use super::error::{CommandError, Exit};
use crate::quantity::text::{NAME_MAX, accept_line, visible};
use crate::screens::{Emphasis, Line};
use crate::session::Moment;
use crate::signature::{KeyKind, PublicKey, SigningKey, allowed_line, principal_of};
use crate::store::{Store, read_key, write_key};
use crate::terminal::{Asker, Voice};

/// So often a new passphrase is asked for.
const TRIES: usize = 3;

/// Makes, shows or trusts a signing key; keys that ssh-keygen made are used as they are
#[derive(Debug, Args)]
pub(super) struct Key {
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    New(New),
    Show(Show),
    Trust(Trust),
}

/// Makes a key for a technician in the store's `keys` folder, and adds it to the store's trust list
#[derive(Debug, Args)]
struct New {
    /// The name that signs off, as the session asks for it
    #[arg(value_name = "NAME")]
    name: String,
    /// ed25519 or ecdsa-p256
    #[arg(long, value_name = "KIND", default_value = "ed25519", value_parser = parse_kind)]
    kind: KeyKind,
    /// No passphrase: whoever can read the file can sign
    #[arg(long)]
    no_passphrase: bool,
    /// Leave the trust list as it is
    #[arg(long)]
    no_trust: bool,
    /// Where the private key goes, its public half beside it [default: the store's `keys` folder]
    #[arg(short, long, value_name = "FILE")]
    output: Option<PathBuf>,
}

/// Shows keys: fingerprint, public half, and the line for a trust list
#[derive(Debug, Args)]
struct Show {
    /// A technician's name, or a key file [default: every key in the store]
    #[arg(value_name = "NAME or FILE")]
    key: Option<String>,
    /// The name that signs with the key, for its line in a trust list [default: the key's comment]
    #[arg(long, value_name = "NAME")]
    name: Option<String>,
}

/// Adds a key to the store's trust list, `allowed_signers`
#[derive(Debug, Args)]
struct Trust {
    /// The key file, public or private
    #[arg(value_name = "FILE")]
    key: PathBuf,
    /// The name that signs off with it
    #[arg(long, value_name = "NAME")]
    name: String,
    /// Valid from then on: the start of a day such as 2026-03-05, or a time with its offset
    #[arg(long, value_name = "TIME", value_parser = parse_time)]
    valid_after: Option<Moment>,
    /// Valid until then
    #[arg(long, value_name = "TIME", value_parser = parse_time)]
    valid_before: Option<Moment>,
}

/// A key as it is shown.
#[derive(Serialize)]
struct Shown {
    name: String,
    principal: String,
    kind: String,
    fingerprint: String,
    public_key: String,
    allowed_signers_line: String,
    path: String,
}

#[derive(Serialize)]
struct Document {
    keys: Vec<Shown>,
    warnings: Vec<String>,
}

/// The start of a day by this machine's clock, or a moment.
fn parse_time(typed: &str) -> Result<Moment, String> {
    let typed = typed.trim();
    if let Ok(day) = NaiveDate::parse_from_str(typed, "%Y-%m-%d") {
        let start = day.and_time(NaiveTime::MIN).and_local_timezone(Local).earliest();
        return start.map(|start| Moment::new(start.fixed_offset())).ok_or_else(|| "no such time here".to_owned());
    }
    DateTime::parse_from_rfc3339(typed)
        .map(Moment::new)
        .map_err(|_| "accepted: a day such as 2026-03-05, or a time with its offset".to_owned())
}

fn parse_kind(typed: &str) -> Result<KeyKind, String> {
    typed.parse()
}

impl Key {
    pub fn run(&self, common: &Common, voice: &Voice) -> Result<Exit, CommandError> {
        let store = common.open_store()?;
        match &self.command {
            Command::New(new) => new.run(&store, voice),
            Command::Show(show) => show.run(&store, voice),
            Command::Trust(trust) => trust.run(&store, voice),
        }
    }
}

impl New {
    fn run(&self, store: &Store, voice: &Voice) -> Result<Exit, CommandError> {
        let name = accept_line("name", &self.name, NAME_MAX)?;
        let path = self.output.clone().unwrap_or_else(|| store.key_path(&name));
        if path.exists() {
            let text =
                format!("there is a key at {} already, and a key is never replaced", visible(&path.to_string_lossy()));
            return Err(CommandError::Usage(text));
        }
        let passphrase = if self.no_passphrase { None } else { Some(new_passphrase(voice)?) };
        let failed = |why: String| CommandError::Storage(format!("the key cannot be made: {why}"));
        let key = SigningKey::generate(self.kind, &name).map_err(failed)?;
        let text = key.file_text(passphrase.as_ref().map(|passphrase| passphrase.as_str())).map_err(failed)?;
        let public = key.public();
        if self.output.is_none() {
            store.make_keys_folder()?;
        }
        write_key(&path, &text, &format!("{} {name}", public.line()))?;
        let mut warnings = vec![];
        if passphrase.is_none() {
            warnings.push("The key has no passphrase: whoever can read the file can sign with it.".to_owned());
        }
        let shown = Shown::of(&public, &name, &path);
        if self.no_trust {
            warnings.push("The trust list does not have it: `cornerset key trust` adds it.".to_owned());
        } else {
            store.trust(&shown.allowed_signers_line)?;
        }
        print(vec![shown], warnings, voice)
    }
}

impl Show {
    fn run(&self, store: &Store, voice: &Voice) -> Result<Exit, CommandError> {
        let paths = match &self.key {
            None => store.public_keys()?,
            Some(key) if Path::new(key).is_file() => vec![PathBuf::from(key)],
            Some(name) => vec![store.key_of(name).ok_or_else(|| {
                let text = format!(
                    "`{}` is no key file, and the store has no key of that name; accepted: a key file, or a name for which \
                     `cornerset key new` made one",
                    visible(name)
                );
                CommandError::Usage(text)
            })?],
        };
        let mut keys = vec![];
        for path in paths {
            let public = read_key(&path)?.public();
            let comment = public.comment().to_owned();
            let stem = || path.file_stem().unwrap_or_default().to_string_lossy().into_owned();
            let name = self.name.clone().unwrap_or(if comment.trim().is_empty() { stem() } else { comment });
            keys.push(Shown::of(&public, &name, &path));
        }
        let warnings = if keys.is_empty() {
            vec!["The store has no keys: `cornerset key new NAME` makes one.".to_owned()]
        } else {
            vec![]
        };
        print(keys, warnings, voice)
    }
}

impl Trust {
    fn run(&self, store: &Store, voice: &Voice) -> Result<Exit, CommandError> {
        let name = accept_line("name", &self.name, NAME_MAX)?;
        let public = read_key(&self.key)?.public();
        let mut shown = Shown::of(&public, &name, &self.key);
        shown.allowed_signers_line = allowed_line(&name, &public, self.valid_after, self.valid_before);
        store.trust(&shown.allowed_signers_line)?;
        print(vec![shown], vec![], voice)
    }
}

impl Shown {
    fn of(public: &PublicKey, name: &str, path: &Path) -> Self {
        Self {
            name: name.to_owned(),
            principal: principal_of(name),
            kind: public.kind(),
            fingerprint: public.fingerprint(),
            public_key: public.line(),
            allowed_signers_line: allowed_line(name, public, None, None),
            path: path.to_string_lossy().into_owned(),
        }
    }
}

/// Asks for a new passphrase, twice where a person types it.
fn new_passphrase(voice: &Voice) -> Result<Zeroizing<String>, CommandError> {
    let refused = |why: &dyn std::fmt::Display| {
        CommandError::Usage(format!("the key needs a passphrase, and {why}; --no-passphrase makes one without"))
    };
    let asker = Asker::find().map_err(|why| refused(&why))?;
    for _ in 0..TRIES {
        let passphrase = asker.ask(voice, "new passphrase").map_err(|why| refused(&why))?;
        let problem = if passphrase.is_empty() {
            "An empty passphrase is none."
        } else if asker != Asker::Person
            || *asker.ask(voice, "the same again").map_err(|why| refused(&why))? == *passphrase
        {
            return Ok(passphrase);
        } else {
            "The two differ."
        };
        voice.show(&voice.screen().item("! ", Emphasis::Warn, problem));
    }
    Err(refused(&"none was chosen"))
}

fn print(keys: Vec<Shown>, warnings: Vec<String>, voice: &Voice) -> Result<Exit, CommandError> {
    if voice.style().json {
        voice.document(&Document { keys, warnings })?;
        return Ok(Exit::Done);
    }
    let screen = voice.screen();
    let mut lines = vec![];
    for key in &keys {
        lines.push(Line::strong(visible(&key.name)));
        lines.extend(screen.row("kind", &key.kind));
        lines.extend(screen.row("fingerprint", &key.fingerprint));
        lines.extend(screen.row("file", ""));
        lines.push(Line::plain(format!("  {}", visible(&key.path))));
        lines.extend(screen.row("trust line", ""));
        lines.push(Line::plain(visible(&key.allowed_signers_line)));
    }
    for warning in &warnings {
        lines.extend(screen.item("! ", Emphasis::Warn, warning));
    }
    voice.print(&lines)?;
    Ok(Exit::Done)
}
