//! `cornerset key`: a signing key made, shown, trusted. Keys that OpenSSH made are used as they are.

use std::path::{Path, PathBuf};

use clap::{Args, Subcommand, ValueHint};
use serde::Serialize;
use zeroize::Zeroizing;

use super::common::Common;
use super::dates::parse_start;
use super::error::{CommandError, Exit, signals_refused};
use super::words::one_of;
use crate::quantity::show;
use crate::quantity::text::{NAME_MAX, accept_line, visible};
use crate::screens::{Emphasis, Line};
use crate::session::Moment;
use crate::signature::{KeyKind, PublicKey, SigningKey, allowed_line, principal_of};
use crate::store::{End, Store, Trusted, read_key, write_key};
use crate::terminal::{Asker, Interrupts, NoPassphrase, Voice};

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
    #[arg(value_name = "NAME or FILE", value_hint = ValueHint::FilePath)]
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
    /// Valid from then on: the start of a day such as 2026-03-05, or a time with its offset; `none` for any time before
    /// [default: as the list has it]
    #[arg(long, value_name = "TIME", value_parser = parse_end)]
    valid_after: Option<End>,
    /// Valid until then: the first day on which it signs no longer, such as 2026-12-01, or a time with its offset; `none` for
    /// no end [default: as the list has it]
    #[arg(long, value_name = "TIME", value_parser = parse_end)]
    valid_before: Option<End>,
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

fn parse_kind(typed: &str) -> Result<KeyKind, String> {
    one_of(typed, &KeyKind::ALL, KeyKind::word)
}

fn parse_end(typed: &str) -> Result<End, String> {
    if typed.trim() == "none" {
        return Ok(End::Open);
    }
    parse_start(typed).map(End::At).map_err(|accepted| format!("{accepted}, or `none`"))
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
            let text = format!(
                "there is a key at {} already, and a key is never replaced; `cornerset key show` shows it, -o FILE makes \
                 another one elsewhere",
                visible(&path.to_string_lossy())
            );
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
        let mut done = vec![format!("A key for {}, made just now.", visible(&name))];
        let mut warnings = vec![];
        if passphrase.is_none() {
            warnings.push("The key has no passphrase: whoever can read the file can sign with it.".to_owned());
        }
        if self.no_trust {
            warnings.push("The trust list does not have it: `cornerset key trust` adds it.".to_owned());
        } else {
            // The key is made, whatever becomes of the list.
            match store.trust(&name, &public, [None, None]) {
                Ok(trusted) => told(&trusted, &mut done, &mut warnings),
                Err(error) => warnings.push(format!("It is on no trust list: {error}; `cornerset key trust` adds it.")),
            }
        }
        print(&done, vec![Shown::of(&public, &name, &path)], warnings, voice)
    }
}

/// What became of the trust list.
fn told(trusted: &Trusted, done: &mut Vec<String>, warnings: &mut Vec<String>) {
    let list = visible(&trusted.path.to_string_lossy());
    done.push(if trusted.replaced.is_empty() {
        let what = if trusted.was_there { "The trust list has it already" } else { "Added to the trust list" };
        format!("{what}: {list}")
    } else {
        let before: Vec<String> = trusted.replaced.iter().map(|line| format!("`{}`", visible(line))).collect();
        format!("In the trust list, in the place of {}: {list}", show::list_and(&before))
    });
    for other in &trusted.others {
        warnings.push(format!("The trust list has this key for {} as well.", visible(other)));
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
        let (mut keys, mut warnings) = (vec![], vec![]);
        for path in paths {
            let public = match read_key(&path) {
                Ok(key) => key.public(),
                // One bad file hides no other.
                Err(error) if self.key.is_none() => {
                    warnings.push(format!("{error}."));
                    continue;
                }
                Err(error) => return Err(error.into()),
            };
            let comment = public.comment().to_owned();
            let stem = || path.file_stem().unwrap_or_default().to_string_lossy().into_owned();
            let name = self.name.clone().unwrap_or(if comment.trim().is_empty() { stem() } else { comment });
            keys.push(Shown::of(&public, &name, &path));
        }
        if keys.is_empty() {
            warnings.push("The store has no keys: `cornerset key new NAME` makes one.".to_owned());
        }
        print(&[], keys, warnings, voice)
    }
}

impl Trust {
    fn run(&self, store: &Store, voice: &Voice) -> Result<Exit, CommandError> {
        let name = accept_line("name", &self.name, NAME_MAX)?;
        if let (Some(End::At(from)), Some(End::At(until))) = (self.valid_after, self.valid_before)
            && until <= from
        {
            let text = format!(
                "valid-before: `{}` is not after valid-after, {}; accepted: a later time",
                until.minute(),
                from.minute()
            );
            return Err(CommandError::Usage(text));
        }
        let public = read_key(&self.key)?.public();
        let trusted = store.trust(&name, &public, [self.valid_after, self.valid_before])?;
        let (mut done, mut warnings) = (vec![format!("A key of {}.", visible(&name))], vec![]);
        let at = |moment: Moment| format!("{} (UTC {})", moment.minute(), moment.time().format("%:z"));
        done.push(match trusted.times {
            [None, None] => "It signs at any time.".to_owned(),
            [Some(from), None] => format!("It signs from {} on.", at(from)),
            [None, Some(until)] => format!("It signs until {}.", at(until)),
            [Some(from), Some(until)] => format!("It signs from {} until {}.", at(from), at(until)),
        });
        let kept = match trusted.kept {
            [false, false] => None,
            [true, false] => Some("The start is the one that the list had; `--valid-after none` takes it away."),
            [false, true] => Some("The end is the one that the list had; `--valid-before none` takes it away."),
            [true, true] => Some(
                "Both times are those that the list had; `--valid-after none` and `--valid-before none` take them away.",
            ),
        };
        done.extend(kept.map(str::to_owned));
        told(&trusted, &mut done, &mut warnings);
        let shown = Shown { allowed_signers_line: trusted.line, ..Shown::of(&public, &name, &self.key) };
        print(&done, vec![shown], warnings, voice)
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
    let interrupts = Interrupts::listen().map_err(signals_refused)?;
    let ask = |prompt: &str| {
        asker.ask(voice, &interrupts, prompt).map_err(|why| match why {
            NoPassphrase::Interrupted => CommandError::Interrupted,
            why => refused(&why),
        })
    };
    for _ in 0..TRIES {
        let passphrase = ask("new passphrase")?;
        let problem = if passphrase.is_empty() {
            "An empty passphrase is none; --no-passphrase makes a key without."
        } else if asker != Asker::Person || *ask("the same again")? == *passphrase {
            return Ok(passphrase);
        } else {
            "The two differ."
        };
        voice.show(&voice.screen().item("! ", Emphasis::Warn, problem));
    }
    Err(refused(&"none was chosen"))
}

fn print(done: &[String], keys: Vec<Shown>, warnings: Vec<String>, voice: &Voice) -> Result<Exit, CommandError> {
    if voice.style().json {
        voice.document(&Document { keys, warnings })?;
        return Ok(Exit::Done);
    }
    let screen = voice.screen();
    let mut lines: Vec<Line> = done.iter().flat_map(|text| screen.paragraph(0, Emphasis::Strong, text)).collect();
    for key in &keys {
        lines.extend(screen.row("name", &visible(&key.name)));
        lines.extend(screen.row("kind", &key.kind));
        let row = screen.row("fingerprint", &key.fingerprint);
        // Whole, so that it can be compared and copied.
        if row.len() == 1 {
            lines.extend(row);
        } else {
            lines.push(Line::plain("  fingerprint"));
            lines.push(Line::plain(format!("  {}", key.fingerprint)));
        }
        lines.push(Line::plain(format!("  {}", visible(&key.path))));
        lines.push(Line::plain("  and its line for a trust list:"));
        lines.push(Line::plain(visible(&key.allowed_signers_line)));
    }
    for warning in &warnings {
        lines.extend(screen.item("! ", Emphasis::Warn, warning));
    }
    voice.print(&lines)?;
    Ok(Exit::Done)
}
