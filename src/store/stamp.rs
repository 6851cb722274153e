//! Whether a file or a folder is still what it was, by what the system says of it.
//!
//! A change within the same tick of the file system's clock would leave the same stamp. So a stamp counts only where what it
//! speaks of was last changed some time before it was looked at; until then nothing is known of it.

use std::fs::Metadata;
use std::time::{Duration, SystemTime};

/// The coarsest clock of a common file system ticks every two seconds.
const TICK: Duration = Duration::from_secs(3);

/// When it was changed, how large it is and which one it is, in one number.
#[cfg(unix)]
pub(super) fn stamp(metadata: &Metadata) -> u64 {
    use std::os::unix::fs::MetadataExt;
    // The time of the last change of the entry too, which nobody sets back: a copy that keeps times is another file.
    let seconds = [metadata.mtime(), metadata.mtime_nsec(), metadata.ctime(), metadata.ctime_nsec()];
    sum(seconds.into_iter().map(i64::cast_unsigned).chain([metadata.ino(), metadata.size()]))
}

/// When it was changed and how large it is, in one number.
#[cfg(not(unix))]
pub(super) fn stamp(metadata: &Metadata) -> u64 {
    let times = [metadata.modified(), metadata.created()].map(|time| {
        time.ok().and_then(|time| time.duration_since(SystemTime::UNIX_EPOCH).ok()).map_or(0, |since| {
            since.as_secs().wrapping_mul(1_000_000_000).wrapping_add(u64::from(since.subsec_nanos()))
        })
    });
    sum(times.into_iter().chain([metadata.len()]))
}

/// The stamp, where it can be relied on by who began to look at this time of the same file system.
pub(super) fn settled(metadata: &Metadata, began: SystemTime) -> Option<u64> {
    changed(metadata).and_then(|at| at.checked_add(TICK)).is_some_and(|at| at < began).then(|| stamp(metadata))
}

/// When it, or its entry, was changed last.
fn changed(metadata: &Metadata) -> Option<SystemTime> {
    let modified = metadata.modified().ok()?;
    #[cfg(unix)]
    {
        use std::os::unix::fs::MetadataExt;
        let entry = Duration::from_secs(u64::try_from(metadata.ctime()).ok()?);
        // A second has begun that is not counted in whole ones.
        SystemTime::UNIX_EPOCH.checked_add(entry + Duration::from_secs(1)).map(|entry| entry.max(modified))
    }
    #[cfg(not(unix))]
    Some(modified)
}

fn sum(numbers: impl Iterator<Item = u64>) -> u64 {
    fnv(numbers.flat_map(u64::to_le_bytes))
}

/// FNV-1a, 64 bit: plenty for telling apart what nobody chose.
fn fnv(bytes: impl Iterator<Item = u8>) -> u64 {
    const BASIS: u64 = 0xcbf2_9ce4_8422_2325;
    const PRIME: u64 = 0x0100_0000_01b3;
    bytes.fold(BASIS, |hash, byte| (hash ^ u64::from(byte)).wrapping_mul(PRIME))
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::fs;

    /// The published vectors of FNV-1a, 64 bit, of nothing, of `a` and of `foobar` (draft-eastlake-fnv, from memory).
    #[test]
    fn the_sum_is_as_published() {
        let published = [("", 0xcbf2_9ce4_8422_2325), ("a", 0xaf63_dc4c_8601_ec8c), ("foobar", 0x8594_4171_f739_67e8)];
        for (text, hash) in published {
            assert_eq!(fnv(text.bytes()), hash, "{text}");
        }
    }

    #[test]
    fn what_has_just_changed_is_not_settled() {
        let folder = tempfile::tempdir().unwrap();
        let (path, earlier) = (folder.path().join("file"), SystemTime::now() - Duration::from_secs(60));
        fs::write(&path, "1").unwrap();
        let first = fs::metadata(&path).unwrap();
        // Even a file system whose clock ticks every two seconds has gone on by then.
        for tick in [0, 1, 2] {
            let began = first.modified().unwrap() + Duration::from_secs(tick);
            assert_eq!(settled(&first, began), None, "{tick}");
        }
        assert_eq!(settled(&first, SystemTime::now() + Duration::from_secs(60)), Some(stamp(&first)));
        // A time that nothing comes after, where the file system has it.
        let last = SystemTime::UNIX_EPOCH.checked_add(Duration::from_secs(i64::MAX as u64)).unwrap();
        if fs::File::open(&path).unwrap().set_modified(last).is_ok() {
            assert_eq!(settled(&fs::metadata(&path).unwrap(), SystemTime::now()), None);
        }
        fs::write(&path, "12").unwrap();
        assert_ne!(stamp(&fs::metadata(&path).unwrap()), stamp(&first), "another size");
        fs::File::open(&path).unwrap().set_modified(earlier).unwrap();
        let set_back = fs::metadata(&path).unwrap();
        assert_eq!(settled(&set_back, SystemTime::now()).is_none(), cfg!(unix), "its entry was changed a moment ago");
    }
}
