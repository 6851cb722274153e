//! The command line as a whole, and its way from arguments to an exit code.

use std::ffi::OsString;
use std::io::{self, Write};

use clap::error::ErrorKind;
use clap::{CommandFactory, Parser, Subcommand};

use super::audit::Audit;
use super::common::Common;
use super::completions::Completions;
use super::corner::Corner;
use super::error::{CommandError, Exit};
use super::excursion::Excursion;
use super::key::Key;
use super::learn::Learn;
use super::man::Man;
use super::records::Records;
use super::set::Set;
use super::targets::Targets;
use super::tone::Tone;
use super::tuning::Tuning;
use crate::quantity::show::list_or;
use crate::quantity::text::visible;
use crate::terminal::{OutputError, Style, Voice};

/// Sets the low-cut corner of a subwoofer amplifier with a test tone and a meter
///
/// Without a command the guided session opens: it asks what it needs, says which tone to play and what the meter should
/// read, follows the knob reading by reading, and saves a signed-off record.
#[derive(Debug, Parser)]
#[command(name = "cornerset", version, max_term_width = 80)]
pub struct Arguments {
    #[command(subcommand)]
    command: Option<Command>,
    #[command(flatten)]
    common: Common,
}

#[derive(Debug, Subcommand)]
enum Command {
    Set(Set),
    Targets(Targets),
    Corner(Corner),
    Excursion(Excursion),
    Tuning(Tuning),
    Tone(Tone),
    Learn(Learn),
    Records(Records),
    Audit(Audit),
    Key(Key),
    Completions(Completions),
    Man(Man),
}

/// Runs the program with these arguments, the first being its own name.
pub fn run(arguments: impl IntoIterator<Item = OsString>) -> Exit {
    let arguments: Vec<OsString> = arguments.into_iter().collect();
    if let Some(sentence) = not_text(&arguments) {
        complain(&sentence);
        return Exit::Usage;
    }
    let command = command_of(&arguments);
    let parsed = match Arguments::try_parse_from(arguments) {
        Ok(parsed) => parsed,
        Err(error) => return usage(&error, &command),
    };
    let common = parsed.common;
    let voice = Voice::new(Style { plain: common.plain, json: common.json });
    let result = match parsed.command {
        None => Set::default().run(&common, &voice),
        Some(Command::Set(set)) => set.run(&common, &voice),
        Some(Command::Targets(targets)) => targets.run(&voice),
        Some(Command::Corner(corner)) => corner.run(&voice),
        Some(Command::Excursion(excursion)) => excursion.run(&voice),
        Some(Command::Tuning(tuning)) => tuning.run(&voice),
        Some(Command::Tone(tone)) => tone.run(&common, &voice),
        Some(Command::Learn(learn)) => learn.run(&common, &voice),
        Some(Command::Records(records)) => records.run(&common, &voice),
        Some(Command::Audit(audit)) => audit.run(&common, &voice),
        Some(Command::Key(key)) => key.run(&common, &voice),
        Some(Command::Completions(completions)) => completions.run(&voice),
        Some(Command::Man(man)) => man.run(&voice),
    };
    result.unwrap_or_else(|error| {
        // Where nobody reads the output any more there is nobody to tell.
        if !matches!(error, CommandError::Output(OutputError::Closed)) {
            complain(&error.to_string());
        }
        error.exit()
    })
}

/// The command that was named, and its own, with a blank after each; empty where none was.
fn command_of(arguments: &[OsString]) -> String {
    let root = Arguments::command();
    let (mut known, mut named) = (&root, String::new());
    for argument in arguments.iter().skip(1) {
        if let Some(command) = known.find_subcommand(argument) {
            named.push_str(&format!("{} ", command.get_name()));
            known = command;
        }
    }
    named
}

/// The commands that a command has, as they are typed.
fn commands_of(command: &str) -> String {
    let root = Arguments::command();
    let named = command.split_whitespace().try_fold(&root, |known, word| known.find_subcommand(word));
    let commands = named.into_iter().flat_map(clap::Command::get_subcommands).map(|known| known.get_name().to_owned());
    let typed: Vec<String> = commands.map(|name| format!("`cornerset {command}{name}`")).collect();
    list_or(&typed)
}

/// Help and version go to standard output; a mistake becomes one sentence on standard error.
fn usage(error: &clap::Error, command: &str) -> Exit {
    if !error.use_stderr() {
        let _ = write!(io::stdout(), "{}", error.render());
        return Exit::Done;
    }
    if error.kind() == ErrorKind::DisplayHelpOnMissingArgumentOrSubcommand {
        complain(&format!("{command}needs to be told what; accepted: {}", commands_of(command)));
        return Exit::Usage;
    }
    let text = error.render().to_string();
    let sentence: Vec<&str> = text.lines().take_while(|line| !line.trim().is_empty()).map(str::trim).collect();
    complain(&format!("{}; see `cornerset {command}--help`", sentence.join(" ").trim_start_matches("error: ")));
    Exit::Usage
}

/// The first argument that is not text, with its option; paths may be any bytes.
fn not_text(arguments: &[OsString]) -> Option<String> {
    const PATHS: [&str; 5] = ["store", "script", "output", "key", "allowed-signers"];
    /// What stands before a path that no long option names.
    const BEFORE_A_PATH: [&str; 2] = ["-o", "excursion"];
    let index = arguments.iter().skip(1).position(|argument| argument.to_str().is_none())? + 1;
    let argument = arguments[index].to_string_lossy();
    let (option, value) = match (argument.strip_prefix("--"), arguments[index - 1].to_str()) {
        (Some(option), _) => option.split_once('=').unwrap_or((option, "")),
        (None, Some(before)) => (before.strip_prefix("--").unwrap_or("argument"), argument.as_ref()),
        (None, None) => ("argument", argument.as_ref()),
    };
    let is_path = arguments[index - 1].to_str().is_some_and(|before| BEFORE_A_PATH.contains(&before));
    (!is_path && !PATHS.contains(&option)).then(|| format!("{option}: `{value}` is not UTF-8 text; accepted: text"))
}

/// Says what is wrong, long words cut and nothing in it that a terminal would act on.
fn complain(sentence: &str) {
    let words: Vec<String> = visible(sentence).split(' ').map(cut).collect();
    let sentence = format!("cornerset: {}", words.join(" "));
    // One line for programs, lines that end between words for people.
    let lines = Voice::new(Style::default()).columns().map_or_else(
        || vec![sentence.as_str().into()],
        |columns| {
            let options = textwrap::Options::new(columns).word_splitter(textwrap::WordSplitter::NoHyphenation);
            textwrap::wrap(&sentence, options.break_words(false))
        },
    );
    let _ = writeln!(io::stderr(), "{}", lines.join("\n"));
}

fn cut(word: &str) -> String {
    const LONGEST: usize = 300;
    if word.chars().count() <= LONGEST {
        return word.to_owned();
    }
    let start: String = word.chars().take(LONGEST).collect();
    format!("{start}...")
}
