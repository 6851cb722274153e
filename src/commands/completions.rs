//! `cornerset completions`: the scripts with which shells complete the command line.

use clap::builder::PossibleValuesParser;
use clap::{Args, CommandFactory, ValueHint};
use clap_complete::{Shell, generate};
use serde::Serialize;

use super::arguments::Arguments;
use super::error::{CommandError, Exit};
use super::words::one_of;
use crate::export::{Format, Rows};
use crate::filter::{Family, Rule};
use crate::learn::{Lesson, Skill};
use crate::meter::Verdict;
use crate::practice::Level;
use crate::signature::KeyKind;
use crate::terminal::Voice;

const SHELLS: [Shell; 5] = [Shell::Bash, Shell::Zsh, Shell::Fish, Shell::Elvish, Shell::PowerShell];

/// Prints the script with which a shell completes commands, options and files
///
/// The shell reads the script where it looks for completions: the manual page says where that is for each, and the Debian
/// package has put it there already.
#[derive(Debug, Args)]
pub(super) struct Completions {
    /// bash, zsh, fish, elvish or powershell
    #[arg(value_name = "SHELL", value_parser = |typed: &str| one_of(typed, &SHELLS, word))]
    shell: Shell,
}

/// What `--json` prints.
#[derive(Serialize)]
struct Document<'a> {
    shell: &'static str,
    script: &'a str,
    warnings: [String; 0],
}

impl Completions {
    pub fn run(&self, voice: &Voice) -> Result<Exit, CommandError> {
        // Into memory first: the generator takes a closed pipe for a fault of its own.
        let mut script = Vec::new();
        generate(self.shell, &mut with_words(Arguments::command()), "cornerset", &mut script);
        if voice.style().json {
            let script = &String::from_utf8_lossy(&script);
            voice.document(&Document { shell: word(self.shell), script, warnings: [] })?;
        } else {
            voice.bytes(&script)?;
        }
        Ok(Exit::Done)
    }
}

const fn word(shell: Shell) -> &'static str {
    match shell {
        Shell::Bash => "bash",
        Shell::Zsh => "zsh",
        Shell::Fish => "fish",
        Shell::Elvish => "elvish",
        // The list of shells is open; those above are all that SHELLS has.
        _ => "powershell",
    }
}

/// The command with the words that its options take, and without names of files where a number or a name is wanted. The options
/// themselves refuse in sentences of their own.
fn with_words(command: clap::Command) -> clap::Command {
    let ids: Vec<String> = command.get_arguments().map(|argument| argument.get_id().to_string()).collect();
    let names: Vec<String> = command.get_subcommands().map(|command| command.get_name().to_owned()).collect();
    let command = ids.into_iter().fold(command, |command, id| match words_of(&id) {
        words if words.is_empty() => command.mut_arg(&id, |argument| {
            let is_free = argument.get_action().takes_values() && argument.get_value_hint() == ValueHint::Unknown;
            if is_free { argument.value_hint(ValueHint::Other) } else { argument }
        }),
        words => command.mut_arg(&id, |argument| argument.value_parser(PossibleValuesParser::new(words))),
    });
    names.into_iter().fold(command, |command, name| command.mut_subcommand(&name, with_words))
}

/// What an argument takes, where it is one of a few words; else nothing.
fn words_of(argument: &str) -> Vec<&'static str> {
    match argument {
        "family" => Family::ALL.map(Family::word).to_vec(),
        "rule" => Rule::ALL.map(Rule::word).to_vec(),
        "slope" => SLOPES.to_vec(),
        "verdict" => Verdict::ALL.map(Verdict::word).to_vec(),
        "format" => Format::ALL.map(Format::word).to_vec(),
        "rows" => Rows::ALL.map(Rows::word).to_vec(),
        "kind" => KeyKind::ALL.map(KeyKind::word).to_vec(),
        "level" => Level::ALL.map(Level::word).to_vec(),
        "skill" => Skill::ALL.map(Skill::word).to_vec(),
        "lesson" => Lesson::ALL.map(Lesson::word).to_vec(),
        "bits" => vec!["16", "24"],
        "shell" => SHELLS.map(word).to_vec(),
        "command" => COMMANDS.to_vec(),
        _ => vec![],
    }
}

/// The words of commands, each of which `man` takes.
const COMMANDS: [&str; 24] = [
    "audit",
    "bench",
    "canonical",
    "completions",
    "corner",
    "drill",
    "excursion",
    "export",
    "forget",
    "key",
    "learn",
    "lesson",
    "list",
    "man",
    "new",
    "progress",
    "records",
    "report",
    "set",
    "show",
    "targets",
    "tone",
    "trust",
    "tuning",
];

/// In dB/octave.
const SLOPES: [&str; 8] = ["6", "12", "18", "24", "30", "36", "42", "48"];

#[cfg(test)]
mod tests {
    use super::*;
    use crate::filter::Slope;

    #[test]
    fn the_slopes_are_those_that_are_taken() {
        assert_eq!(SLOPES.map(|slope| Slope::new(slope.parse().unwrap()).unwrap()), Slope::ALL);
    }

    #[test]
    fn the_words_of_commands_are_those_that_there_are() {
        fn names(command: &clap::Command) -> Vec<String> {
            let below = command.get_subcommands().filter(|known| !known.is_hide_set());
            below.flat_map(|known| [vec![known.get_name().to_owned()], names(known)].concat()).collect()
        }
        let mut known = names(&Arguments::command());
        known.sort();
        known.dedup();
        assert_eq!(COMMANDS.to_vec(), known);
    }

    /// A renamed field would lose its words without a sound.
    #[test]
    fn every_list_of_words_belongs_to_an_argument() {
        fn ids(command: &clap::Command) -> Vec<String> {
            let own = command.get_arguments().map(|argument| argument.get_id().to_string());
            own.chain(command.get_subcommands().flat_map(ids)).collect()
        }
        let known = ids(&Arguments::command());
        let lists = [
            "family", "rule", "slope", "verdict", "format", "rows", "kind", "level", "skill", "lesson", "bits",
            "shell", "command",
        ];
        for list in lists {
            assert!(known.iter().any(|id| id == list) && !words_of(list).is_empty(), "{list}");
        }
    }
}
