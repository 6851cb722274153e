//! Sound files: written whole or not at all, where a person named them, or for a player alone.

use std::fs::File;
use std::io::{self, BufWriter, ErrorKind, Write};
use std::path::{Path, PathBuf};

use tempfile::TempPath;

use super::StoreError;
use super::folder::temporary_folder;
use super::page::write_page_with;
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
    let (rate, frame) = (format.rate.per_second(), format.data_bytes(1) as u32);
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

#[cfg(test)]
mod tests {
    use std::fs;

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
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1, "no temporary file stays");
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
}
