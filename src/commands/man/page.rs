//! A manual page of a command: what the command line says of it, and its notes.

use clap::{Arg, Command};

use super::notes::Notes;
use super::roff::{Roff, bold, slanted};

/// The day on which the pages were last read through.
const DATE: &str = "2026-11-26";

/// A page, under the name by which it is found.
#[derive(Debug)]
pub(super) struct Page {
    pub name: String,
    pub text: String,
}

impl Page {
    /// The page of a command that is built.
    pub fn of(command: &Command) -> Self {
        let name = command.get_display_name().unwrap_or(command.get_name()).to_owned();
        let notes = Notes::of(&name);
        let mut roff = Roff::default();
        roff.title(&name, DATE, concat!("cornerset ", env!("CARGO_PKG_VERSION")));
        roff.section("NAME");
        roff.name(&name, &in_the_middle(&about(command)));
        roff.section("SYNOPSIS");
        roff.synopsis(&name.replace('-', " "), &synopsis(command));
        roff.section("DESCRIPTION");
        roff.paragraphs(&description(command, &notes));
        commands(&mut roff, command);
        options(&mut roff, command);
        let exits = notes.exits.iter().map(|&(code, meaning)| (bold(&code.to_string()), meaning));
        items(&mut roff, "EXIT STATUS", exits);
        items(&mut roff, "FILES", notes.files.iter().map(|&(path, what)| (slanted(path), what)));
        items(&mut roff, "ENVIRONMENT", notes.environment.iter().map(|&(name, meaning)| (bold(name), meaning)));
        if !notes.examples.is_empty() {
            roff.section("EXAMPLES");
            roff.examples(notes.examples);
        }
        let others = see_also(command, &name, &notes);
        if !others.is_empty() {
            roff.section("SEE ALSO");
            roff.paragraphs(&others);
        }
        Self { name, text: roff.into_text() }
    }

    /// The name of its file.
    pub fn file_name(&self) -> String {
        format!("{}.1", self.name)
    }
}

/// A section of terms, each already marked up, and what they mean; left out where there are none.
fn items(roff: &mut Roff, section: &str, items: impl Iterator<Item = (String, &'static str)>) {
    let mut items = items.peekable();
    if items.peek().is_some() {
        roff.section(section);
    }
    items.for_each(|(term, meaning)| roff.item(&term, meaning));
}

fn about(command: &Command) -> String {
    command.get_about().map(ToString::to_string).unwrap_or_default()
}

/// As it stands after the name, where no sentence begins.
fn in_the_middle(text: &str) -> String {
    let mut characters = text.chars();
    let first = characters.next().map(|first| first.to_lowercase().to_string()).unwrap_or_default();
    first + characters.as_str()
}

/// The longer help without its first line, which is the name's, and what the notes add.
fn description(command: &Command, notes: &Notes) -> String {
    let long = command.get_long_about().map(ToString::to_string).unwrap_or_default();
    let rest = long.split_once("\n\n").map(|(_, rest)| rest.to_owned());
    let paragraphs: Vec<String> =
        rest.into_iter().chain(notes.description.iter().map(|&text| text.to_owned())).collect();
    paragraphs.join("\n\n")
}

/// Its arguments, those that must be given without brackets, the common options last.
fn synopsis(command: &Command) -> Vec<String> {
    let is_common = |argument: &&Arg| argument.get_help_heading() == Some(EVERYWHERE);
    let shown: Vec<&Arg> = shown(command).filter(|argument| !is_help(argument)).collect();
    let options = shown.iter().copied().filter(|argument| !argument.is_positional() && !is_common(argument));
    let common = shown.iter().copied().filter(is_common);
    let arguments = options.chain(common).chain(shown.iter().copied().filter(|argument| argument.is_positional()));
    let mut parts: Vec<String> = arguments.map(|argument| bracketed(argument, &in_synopsis(argument))).collect();
    if command.has_subcommands() {
        let named = slanted("COMMAND");
        parts.push(if command.is_subcommand_required_set() { named } else { format!("[{named}]") });
    }
    parts
}

fn bracketed(argument: &Arg, text: &str) -> String {
    if argument.is_required_set() { text.to_owned() } else { format!("[{text}]") }
}

fn in_synopsis(argument: &Arg) -> String {
    let value = value(argument);
    let named = argument.get_short().map(|short| bold(&format!("-{short}")));
    match named.or_else(|| argument.get_long().map(|long| bold(&format!("--{long}")))) {
        // The blank between an option and its value is none at which a line ends.
        Some(option) => [option, value].into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join("\\ "),
        None => value,
    }
}

/// What stands for a value; empty for a switch.
fn value(argument: &Arg) -> String {
    let takes = argument.get_num_args().is_some_and(|count| count.takes_values());
    let names = argument.get_value_names().unwrap_or_default();
    let name = names.iter().map(ToString::to_string).collect::<Vec<_>>().join(" ");
    let is_several = argument.get_num_args().is_some_and(|count| count.max_values() > 1);
    match (takes || argument.is_positional(), is_several) {
        (false, _) => String::new(),
        // The dots end no sentence, after which readers set two blanks.
        (true, true) => format!("{}...\\&", slanted(&name)),
        (true, false) => slanted(&name),
    }
}

const EVERYWHERE: &str = "Everywhere";

fn is_help(argument: &Arg) -> bool {
    ["help", "version"].contains(&argument.get_id().as_str())
}

fn shown(command: &Command) -> impl Iterator<Item = &Arg> {
    command.get_arguments().filter(|argument| !argument.is_hide_set())
}

fn commands(roff: &mut Roff, command: &Command) {
    let mut commands = own_commands(command).peekable();
    if commands.peek().is_none() {
        return;
    }
    roff.section("COMMANDS");
    for known in commands {
        let page = known.get_display_name().unwrap_or(known.get_name());
        roff.item(&bold(known.get_name()), &format!("{}. See {page}(1).", about(known)));
    }
}

/// The commands of a command, without the one that prints their help.
pub(super) fn own_commands(command: &Command) -> impl Iterator<Item = &Command> {
    command.get_subcommands().filter(|known| known.get_name() != "help" && !known.is_hide_set())
}

/// Options under the headings that the help has, those of every command last.
fn options(roff: &mut Roff, command: &Command) {
    roff.section("OPTIONS");
    let (positional, named): (Vec<&Arg>, Vec<&Arg>) = shown(command).partition(|argument| argument.is_positional());
    let (free, under): (Vec<&Arg>, Vec<&Arg>) =
        named.into_iter().partition(|argument| argument.get_help_heading().is_none());
    positional.iter().chain(&free).for_each(|argument| option(roff, argument));
    let mut headings: Vec<&str> = vec![];
    for heading in under.iter().filter_map(|argument| argument.get_help_heading()) {
        if !headings.contains(&heading) {
            headings.push(heading);
        }
    }
    headings.sort_by_key(|heading| *heading == EVERYWHERE);
    for heading in headings {
        roff.part(heading);
        under
            .iter()
            .filter(|argument| argument.get_help_heading() == Some(heading))
            .for_each(|argument| option(roff, argument));
    }
}

fn option(roff: &mut Roff, argument: &Arg) {
    let short = argument.get_short().map(|short| bold(&format!("-{short}")));
    let long = argument.get_long().map(|long| bold(&format!("--{long}")));
    let names: Vec<String> = short.into_iter().chain(long).collect();
    let value = value(argument);
    let term = [names.join(", "), value].into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join(" ");
    let help = argument.get_long_help().or(argument.get_help()).map(ToString::to_string).unwrap_or_default();
    let help = if is_help(argument) { help.split(" (see").next().unwrap_or_default().to_owned() } else { help };
    let default: Vec<String> =
        argument.get_default_values().iter().map(|value| value.to_string_lossy().into_owned()).collect();
    let is_switch = !argument.get_num_args().is_some_and(|count| count.takes_values());
    // Where the help hides it, the help says it in words.
    let is_said = is_switch || default.is_empty() || argument.is_hide_default_value_set();
    let default = if is_said { String::new() } else { format!(" [default: {}]", default.join(" ")) };
    roff.item(&term, &format!("{help}{default}"));
}

/// Pages of this program, and of others.
fn see_also(command: &Command, name: &str, notes: &Notes) -> String {
    let above = name.rsplit_once('-').map(|(above, _)| above.to_owned());
    let below = own_commands(command).filter_map(Command::get_display_name).map(str::to_owned);
    let others = notes.see_also.iter().map(|&page| page.to_owned());
    let pages: Vec<String> = above.into_iter().chain(below).chain(others).collect();
    let named: Vec<String> = pages.iter().map(|page| format!("`{page}`(1)")).collect();
    named.join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_command_without_notes_has_a_page_without_their_sections() {
        let mut command = Command::new("other").about("Does something").long_about("Does something\n\nAnd more.");
        command.build();
        let Page { text, .. } = Page::of(&command);
        let sections: Vec<&str> = text.lines().filter_map(|line| line.strip_prefix(".SH ")).collect();
        assert_eq!(sections, ["\"NAME\"", "\"SYNOPSIS\"", "\"DESCRIPTION\"", "\"OPTIONS\""]);
    }
}
