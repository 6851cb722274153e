//! Sound files: written whole or not at all, where a person named them, or for a player alone.

use std::fs::{self, File};
use std::io::{self, BufWriter, ErrorKind, Read, Write};
use std::path::{Path, PathBuf};

use tempfile::TempPath;

use super::disk::make_folder;
use super::page::{OF_A_STORE, of_store, write_page_with};
use super::{StoreError, error::shown};
use crate::tone::{Samples, Sound};

/// So many samples are worked out at once; a signal is heeded between blocks.
const BLOCK: usize = 32 * 1024;

/// Writes a sound as a WAV file that a person named, in the place of one that is there, and says where it is.
///
/// # Errors
/// Where it cannot be written, or `stop` said so meanwhile; then what was there stays as it was.
pub fn write_sound(path: &Path, sound: &Sound, stop: &dyn Fn() -> bool) -> Result<PathBuf, StoreError> {
    let mut stopped = false;
    let written = write_page_with(path, |out| {
        let written = wav(out, sound, stop);
        stopped = written.as_ref().is_err_and(|error| error.kind() == ErrorKind::Interrupted);
        written
    });
    if stopped { Err(StoreError::Stopped) } else { written }
}

/// Writes a sound as a temporary WAV file, which is gone when the answer is dropped.
///
/// # Errors
/// As [`write_sound`].
pub fn temporary_sound(sound: &Sound, stop: &dyn Fn() -> bool) -> Result<TempPath, StoreError> {
    let folder = temporary_folder();
    let failed = |why| StoreError::Page { path: folder.clone(), why };
    let file = tempfile::Builder::new().prefix("tone-").suffix(".wav").tempfile_in(&folder).map_err(failed)?;
    let mut out = BufWriter::new(file.as_file());
    match wav(&mut out, sound, stop).and_then(|()| out.flush()) {
        Err(error) if error.kind() == ErrorKind::Interrupted => Err(StoreError::Stopped),
        Err(error) => Err(failed(error)),
        Ok(()) => {
            drop(out);
            Ok(file.into_temp_path())
        }
    }
}

/// Where temporary files go.
pub fn temporary_folder() -> PathBuf {
    std::env::temp_dir()
}

fn wav(out: &mut BufWriter<&File>, sound: &Sound, stop: &dyn Fn() -> bool) -> io::Result<()> {
    let format = sound.format();
    let (channels, bytes) = (usize::from(format.channels.count()), usize::from(format.depth.bits() / 8));
    out.write_all(&head(sound))?;
    let (mut samples, mut block) = (Samples::of(sound), vec![0; BLOCK]);
    let mut packed = Vec::with_capacity(BLOCK * channels * bytes);
    loop {
        if stop() {
            return Err(ErrorKind::Interrupted.into());
        }
        let count = samples.fill(&mut block);
        packed.clear();
        for sample in &block[..count] {
            for _ in 0..channels {
                packed.extend(&sample.to_le_bytes()[..bytes]);
            }
        }
        out.write_all(&packed)?;
        if count < block.len() {
            break;
        }
    }
    // A chunk of RIFF has an even number of bytes.
    if format.data_bytes(sound.frames()) % 2 == 1 { out.write_all(&[0]) } else { Ok(()) }
}

/// The 44 bytes before the samples: RIFF, a `fmt ` chunk of plain PCM, and the head of the `data` chunk (Multimedia Programming
/// Interface and Data Specifications 1.0, IBM and Microsoft, 1991; from memory).
///
/// The longer head that Microsoft asks for above 16 bit says nothing more of one or two channels, and there are players and
/// libraries that do not know it; all take 24 bit with this one.
fn head(sound: &Sound) -> Vec<u8> {
    const PCM: u16 = 1;
    const FORMAT_BYTES: u32 = 16;
    let format = sound.format();
    let (rate, frame) = (format.rate.per_second(), format.frame_bytes() as u32);
    // No sound is larger than a file can be.
    let data = format.data_bytes(sound.frames()) as u32;
    let riff = (sound.file_bytes() - 8) as u32;
    let mut head = Vec::with_capacity(44);
    head.extend(b"RIFF");
    head.extend(riff.to_le_bytes());
    head.extend(b"WAVEfmt ");
    head.extend(FORMAT_BYTES.to_le_bytes());
    head.extend(PCM.to_le_bytes());
    head.extend(format.channels.count().to_le_bytes());
    head.extend(rate.to_le_bytes());
    head.extend((rate * frame).to_le_bytes());
    head.extend((frame as u16).to_le_bytes());
    head.extend(format.depth.bits().to_le_bytes());
    head.extend(b"data");
    head.extend(data.to_le_bytes());
    head
}

/// Makes a folder for files that a person asked for, and says where it is.
///
/// # Errors
/// Where it cannot be made, or would be in a store.
pub fn folder_of_sounds(path: &Path) -> Result<PathBuf, StoreError> {
    let failed = |why| StoreError::Page { path: path.to_owned(), why };
    let at = place(path).map_err(failed)?;
    // As a file in it would be looked at.
    if of_store(&at.join("x")).is_some() {
        return Err(failed(io::Error::other(OF_A_STORE)));
    }
    if at.exists() && !at.is_dir() {
        return Err(failed(io::Error::other("it is there already and is no folder")));
    }
    make_folder(&at).map_err(|error| match error {
        StoreError::Disk { why, .. } => failed(why),
        other => other,
    })?;
    Ok(at)
}

/// The names of what is in a folder; none where there is no folder.
///
/// # Errors
/// Where it cannot be read.
pub fn names_in(folder: &Path) -> Result<Vec<String>, StoreError> {
    let failed = |why| StoreError::Page { path: folder.to_owned(), why };
    let entries = match fs::read_dir(folder) {
        Err(error) if error.kind() == ErrorKind::NotFound => return Ok(vec![]),
        other => other.map_err(failed)?,
    };
    let mut names = entries
        .map(|entry| entry.map(|entry| entry.file_name().to_string_lossy().into_owned()))
        .collect::<io::Result<Vec<String>>>()
        .map_err(failed)?;
    names.sort();
    Ok(names)
}

/// How a file begins, as text; nothing where it cannot be read.
pub fn head_of(path: &Path) -> String {
    const HEAD: u64 = 200;
    let mut head = Vec::new();
    let _ = File::open(path).and_then(|file| file.take(HEAD).read_to_end(&mut head));
    String::from_utf8_lossy(&head).into_owned()
}

/// The bytes that are free for this user where a file would be; `None` where the system does not say.
pub fn free_space(path: &Path) -> Option<u64> {
    let at = place(path).ok()?;
    let there = at.ancestors().find(|ancestor| ancestor.is_dir())?;
    free_in(there)
}

#[cfg(unix)]
fn free_in(folder: &Path) -> Option<u64> {
    let system = rustix::fs::statvfs(folder).ok()?;
    // Some network drives say nothing of their size.
    (system.f_blocks > 0).then(|| system.f_bavail.saturating_mul(system.f_frsize))
}

#[cfg(not(unix))]
const fn free_in(_folder: &Path) -> Option<u64> {
    None
}

/// Where a path leads, links followed as far as it is there.
fn place(path: &Path) -> io::Result<PathBuf> {
    let path = std::path::absolute(path)?;
    let there = path.ancestors().find(|ancestor| fs::symlink_metadata(ancestor).is_ok());
    match there {
        Some(there) => Ok(match path.strip_prefix(there) {
            Ok(rest) if rest.as_os_str().is_empty() => fs::canonicalize(there)?,
            Ok(rest) => fs::canonicalize(there)?.join(rest),
            Err(_) => path,
        }),
        None => Ok(path),
    }
}

/// A path for people: harmless to a terminal.
pub fn path_shown(path: &Path) -> String {
    shown(path)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{FullScale, Hertz, Seconds};
    use crate::tone::{Channels, Depth, Format, Rate};

    fn sound(depth: Depth, channels: Channels) -> Sound {
        let format = Format { rate: Rate::USUAL, depth, channels };
        Sound::new(format, FullScale::new(-6.0), &[Hertz::new(27.0)], Seconds::new(0.5)).unwrap()
    }

    #[test]
    fn a_file_is_as_large_as_was_said_and_is_read_back() {
        let folder = tempfile::tempdir().unwrap();
        for depth in [Depth::Sixteen, Depth::TwentyFour] {
            for channels in [Channels::Mono, Channels::Stereo] {
                let sound = sound(depth, channels);
                let path = write_sound(&folder.path().join("tone.wav"), &sound, &|| false).unwrap();
                assert_eq!(fs::metadata(&path).unwrap().len(), sound.file_bytes());
                let mut reader = hound::WavReader::open(&path).unwrap();
                let read: Vec<i32> = reader.samples().map(Result::unwrap).collect();
                let mut made = vec![0; sound.frames() as usize];
                Samples::of(&sound).fill(&mut made);
                let every: Vec<i32> = made.iter().flat_map(|one| vec![*one; channels.count().into()]).collect();
                assert!(read == every, "{depth:?} {channels:?}");
            }
        }
        assert_eq!(names_in(folder.path()).unwrap(), ["tone.wav"], "no temporary file stays");
    }

    #[test]
    fn a_file_that_is_stopped_leaves_what_was_there() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("tone.wav");
        fs::write(&path, "before").unwrap();
        let stopped = write_sound(&path, &sound(Depth::Sixteen, Channels::Mono), &|| true);
        assert!(matches!(stopped, Err(StoreError::Stopped)), "{stopped:?}");
        assert_eq!(fs::read(&path).unwrap(), b"before");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
        assert!(temporary_sound(&sound(Depth::Sixteen, Channels::Mono), &|| true).is_err());
    }

    #[test]
    fn a_folder_of_a_store_takes_no_tones() {
        let folder = tempfile::tempdir().unwrap();
        fs::create_dir(folder.path().join("records")).unwrap();
        fs::write(folder.path().join("bench.toml"), "").unwrap();
        for name in ["records", "records/new/tones", "keys"] {
            assert!(folder_of_sounds(&folder.path().join(name)).is_err(), "{name}");
        }
        assert!(!folder.path().join("keys").exists());
        let beside = folder_of_sounds(&folder.path().join("tones/new")).unwrap();
        assert!(beside.is_dir());
        assert!(folder_of_sounds(&folder.path().join("bench.toml")).is_err());
        assert!(free_space(&beside.join("not/there.wav")).is_none_or(|free| free > 0));
    }
}
