//! A disk of 64 KiB that fills: a tmpfs of its own, filled up to the last page before the session begins.
//!
//! It is mounted in a private name space, where that may be done; the program goes there by the holder's `/proc/PID/root`.

use std::fs;
use std::io::{BufRead, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};

use crate::common::outside;
use crate::strikes::strike_all;
use crate::trial::{Start, Struck, Trial};

/// A small disk, as long as this lives.
pub struct Small {
    holder: Child,
    /// Its top, as it is reached from outside.
    pub top: PathBuf,
}

impl Small {
    /// A disk of so many KiB; `None` where none may be mounted.
    pub fn new(beside: &Path, size: usize) -> Option<Self> {
        let mount = beside.join("disk");
        fs::create_dir(&mount).expect("a folder");
        let script = format!("mount -t tmpfs -o size={size}k,mode=755 none \"$1\" && echo mounted && exec sleep 600");
        for options in [&["-m"][..], &["-r", "-m"]] {
            let mut command = Command::new("unshare");
            command.args(options).args(["sh", "-c", &script, "sh"]).arg(&mount);
            let Ok(mut holder) = command.stdin(Stdio::null()).stdout(Stdio::piped()).stderr(Stdio::null()).spawn()
            else {
                return None;
            };
            let mut said = String::new();
            let _ = BufReader::new(holder.stdout.take().expect("a pipe")).read_line(&mut said);
            if said == "mounted\n" {
                let top = Path::new("/proc")
                    .join(holder.id().to_string())
                    .join("root")
                    .join(mount.strip_prefix("/").expect("an absolute path"));
                return Some(Self { holder, top });
            }
            let _ = holder.wait();
        }
        None
    }

    /// Whether one may be mounted here.
    pub fn is_possible() -> bool {
        let folder = tempfile::tempdir().expect("a folder");
        outside::allows(
            "a private mount (unshare -m, as root or in a user name space)",
            Self::new(folder.path(), 64).is_some(),
        )
    }

    /// Its mount made read-only, or writable again.
    pub fn remount(&self, mount: &Path, how: &str) {
        let mut command = Command::new("nsenter");
        command
            .arg("-t")
            .arg(self.holder.id().to_string())
            .args(["-m", "mount", "-o", &format!("remount,{how}")])
            .arg(mount);
        assert!(command.status().expect("nsenter runs").success(), "remounted");
    }
}

impl Drop for Small {
    fn drop(&mut self) {
        let _ = self.holder.kill();
        let _ = self.holder.wait();
    }
}

#[test]
fn a_disk_of_64_kib_that_fills() {
    const SIZE: usize = 64;
    const PAGE: usize = 4;
    if !Small::is_possible() {
        return;
    }
    // What is left when the session begins, in pages; three are taken by the key and the trust list.
    let places: Vec<usize> = (0..=SIZE / PAGE - 3).collect();
    strike_all("a disk of 64 KiB that fills", &places, |free| {
        let trial = Trial::new(Start::New);
        let small = Small::new(trial.shop.path(), SIZE).expect("mounted a moment ago");
        trial.move_to(&small.top.join("store"));
        let filler = small.top.join("filler");
        fs::write(&filler, vec![0; (SIZE / PAGE - 3 - free) * PAGE * 1024]).expect("room for the filler");
        let struck = Struck::of(&mut trial.session());
        // The bench's name, the journal, the chain and the record take ten pages.
        if *free < 10 {
            struck.says_what_failed(&trial, "the disk is full");
        } else {
            assert_eq!(struck.code, Some(0), "{struck:?}");
        }
        fs::remove_file(&filler).expect("space is made");
        trial.survives(&struck);
    });
}
