//! Every tone of a plan, into a folder.

use std::path::{Path, PathBuf};

use super::file_options::Checked;
use super::plan::PlanSource;
use crate::commands::error::CommandError;
use crate::quantity::text::visible;
use crate::quantity::{Refusal, show};
use crate::screens;
use crate::store::{folder_for_files, free_space, head_of, names_in, remove_page, write_page, write_sound};
use crate::terminal::Interrupts;
use crate::tone::{Sound, TRACK_LIST, Track, check_room, is_own_name, tones_of, tracks_of};

/// What was written.
pub(super) struct Written {
    pub folder: PathBuf,
    pub list: PathBuf,
    pub tracks: Vec<Track>,
}

/// Writes the tones of a plan and their list. An older list goes first and the new one comes last, so a folder that has one is
/// whole, whatever ended the run.
///
/// # Errors
/// Where something in the folder is in the way, the disk has no room, or a file cannot be written.
pub(super) fn write(
    output: &Path,
    source: &PlanSource,
    sound: &Checked,
    interrupts: &Interrupts,
) -> Result<Written, CommandError> {
    let tones = tones_of(&source.inputs);
    let tracks = tracks_of(&tones, sound.format, sound.level, sound.length)?;
    refuse_file_name(output)?;
    refuse_others(output, &tracks)?;
    if let Some(free) = free_space(output) {
        let sounds: Vec<&Sound> = tracks.iter().map(|track| &track.sound).collect();
        check_room(&sounds, free)?;
    }
    let folder = folder_for_files(output)?;
    let list = folder.join(TRACK_LIST);
    remove_page(&list)?;
    for track in &tracks {
        write_sound(&folder.join(&track.name), &track.sound, &|| interrupts.came())?;
    }
    let text = screens::track_list(&source.inputs, source.origin().as_deref(), &tracks);
    let list = write_page(&list, text.as_bytes())?;
    Ok(Written { folder, list, tracks })
}

/// A folder that is named like a file is a mistake: --all was meant to go, or the name.
fn refuse_file_name(output: &Path) -> Result<(), Refusal> {
    if output.extension().is_some_and(|end| end.eq_ignore_ascii_case("wav")) && !output.is_dir() {
        let given = output.to_string_lossy();
        return Err(Refusal::new("output", given, "is the name of a file", "a folder, or no --all"));
    }
    Ok(())
}

/// Refuses a folder in which tones of another plan lie, or a list that is none of ours. What is replaced are files of the very
/// names that are written; nothing else that is there is touched.
fn refuse_others(output: &Path, tracks: &[Track]) -> Result<(), CommandError> {
    if !output.is_dir() {
        return Ok(());
    }
    let names = names_in(output)?;
    let others: Vec<&str> = names
        .iter()
        .map(String::as_str)
        .filter(|name| is_own_name(name) && tracks.iter().all(|track| track.name != *name))
        .collect();
    let given = || output.to_string_lossy().into_owned();
    if let Some(first) = others.first() {
        let and = if others.len() > 1 { format!(" and {} more", others.len() - 1) } else { String::new() };
        let problem = format!("holds tones of another plan ({}{and})", visible(first));
        return Err(Refusal::new("output", given(), problem, "another folder, or this one without them").into());
    }
    let list = names.iter().any(|name| name == TRACK_LIST);
    if list && !head_of(&output.join(TRACK_LIST)).starts_with(screens::TRACK_LIST_TITLE) {
        let problem = format!("holds a {TRACK_LIST} that this program did not write");
        let accepted = show::list_or(&["another folder", "this one without it"]);
        return Err(Refusal::new("output", given(), problem, accepted).into());
    }
    Ok(())
}
