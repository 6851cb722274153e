//! `cornerset man`: the manual, a page for every command.

mod notes;
mod page;
mod roff;

use std::path::{Path, PathBuf};

use clap::{Args, Command, CommandFactory, ValueHint};
use serde::Serialize;

use self::page::{Page, own_commands};
use super::arguments::Arguments;
use super::error::{CommandError, Exit, told};
use crate::quantity::text::visible;
use crate::store::{folder_for_files, path_shown, write_page};
use crate::terminal::Voice;

/// The manual: prints the page of a command, or writes every page into a folder
///
/// A page is text in the man macros. `cornerset man targets | man -l -` shows one; with -o all of them go into a folder, one
/// file for each command, in the place of older ones.
#[derive(Debug, Args)]
pub(super) struct Man {
    /// The command whose page is printed, such as `targets` or `records list` [default: the program as a whole]
    #[arg(value_name = "COMMAND", conflicts_with = "output")]
    command: Vec<String>,
    /// The folder into which every page is written
    #[arg(short, long, value_name = "DIR", value_hint = ValueHint::DirPath)]
    output: Option<PathBuf>,
}

/// What `--json` prints of one page.
#[derive(Serialize)]
struct PageDocument<'a> {
    page: String,
    text: &'a str,
    warnings: [String; 0],
}

/// What `--json` prints of a folder.
#[derive(Serialize)]
struct FolderDocument {
    folder: String,
    pages: Vec<String>,
    warnings: [String; 0],
}

impl Man {
    pub fn run(&self, voice: &Voice) -> Result<Exit, CommandError> {
        let mut root = Arguments::command();
        root.build();
        match &self.output {
            Some(folder) => write_all(folder, &root, voice),
            None => self.print(&root, voice),
        }
    }

    fn print(&self, root: &Command, voice: &Voice) -> Result<Exit, CommandError> {
        let words: Vec<&str> = self.command.iter().flat_map(|words| words.split_whitespace()).collect();
        let named =
            words.iter().try_fold(root, |command, word| own_commands(command).find(|known| known.get_name() == *word));
        let page = Page::of(named.ok_or_else(|| unknown(&words))?);
        if voice.style().json {
            voice.document(&PageDocument { page: page.file_name(), text: &page.text, warnings: [] })?;
        } else {
            voice.bytes(page.text.as_bytes())?;
        }
        Ok(Exit::Done)
    }
}

fn unknown(words: &[&str]) -> CommandError {
    let words = visible(&words.join(" "));
    CommandError::Usage(format!(
        "command: `{words}` is no command; accepted: one that `cornerset --help` lists, or its own"
    ))
}

fn write_all(folder: &Path, root: &Command, voice: &Voice) -> Result<Exit, CommandError> {
    let folder = folder_for_files(folder)?;
    let mut paths = vec![];
    for page in pages_of(root) {
        paths.push(write_page(&folder.join(page.file_name()), page.text.as_bytes())?);
    }
    let said = if voice.style().json {
        let pages = paths.iter().map(|path| path.to_string_lossy().into_owned()).collect();
        voice.document(&FolderDocument { folder: folder.to_string_lossy().into_owned(), pages, warnings: [] })
    } else {
        voice.print(&voice.screen().row("pages", &format!("{} in {}", paths.len(), path_shown(&folder))))
    };
    told(said, Exit::Done)
}

/// The page of a command and of all below it.
fn pages_of(command: &Command) -> Vec<Page> {
    let below = own_commands(command).flat_map(pages_of);
    std::iter::once(Page::of(command)).chain(below).collect()
}
