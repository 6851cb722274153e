//! `ssh-keygen` in a folder of its own, with nothing of this machine in its environment.

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use tempfile::TempDir;

use crate::common::outside;

pub struct Desk {
    folder: TempDir,
}

impl Desk {
    /// None where OpenSSH is missing.
    pub fn new() -> Option<Self> {
        let available = outside::runs("ssh", &["-V"]);
        outside::needs("ssh-keygen", available).then(|| Self { folder: TempDir::new().unwrap() })
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub fn write(&self, name: &str, text: impl AsRef<[u8]>) -> PathBuf {
        let path = self.path(name);
        fs::write(&path, text).unwrap();
        path
    }

    pub fn read(&self, name: &str) -> String {
        fs::read_to_string(self.path(name)).unwrap()
    }

    /// A private key file, readable by its owner only, as `ssh-keygen` asks for.
    pub fn write_secret(&self, name: &str, text: &str) -> PathBuf {
        let path = self.write(name, text);
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            fs::set_permissions(&path, fs::Permissions::from_mode(0o600)).unwrap();
        }
        path
    }

    pub fn run(&self, zone: &str, arguments: &[&str], input: &[u8]) -> Output {
        let mut child = Command::new("ssh-keygen")
            .args(arguments)
            .env_clear()
            .env("PATH", std::env::var_os("PATH").unwrap_or_default())
            .env("HOME", self.folder.path())
            .env("TZ", zone)
            .current_dir(self.folder.path())
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        // It may end before it has read everything.
        let _ = child.stdin.take().unwrap().write_all(input);
        child.wait_with_output().unwrap()
    }

    #[track_caller]
    pub fn done(&self, arguments: &[&str], input: &[u8]) -> Output {
        let output = self.run("UTC", arguments, input);
        assert!(output.status.success(), "{arguments:?}: {output:?}");
        output
    }

    /// Makes a key pair; the text of both files.
    pub fn key(&self, name: &str, passphrase: &str, options: &[&str]) -> (String, String) {
        let mut arguments = vec!["-q", "-f", name, "-N", passphrase, "-C", "ada@bench"];
        arguments.extend(options);
        self.done(&arguments, b"");
        (self.read(name), self.read(&format!("{name}.pub")))
    }

    /// The fingerprint as `ssh-keygen -l` shows it.
    pub fn fingerprint(&self, public: &str) -> String {
        let said = String::from_utf8(self.done(&["-l", "-f", public], b"").stdout).unwrap();
        said.split(' ').nth(1).expect("a fingerprint").to_owned()
    }

    /// What `ssh-keygen -Y sign` writes.
    pub fn sign(&self, key: &str, namespace: &str, options: &[&str], message: &[u8]) -> String {
        let mut arguments = vec!["-Y", "sign", "-f", key, "-n", namespace];
        arguments.extend(options);
        String::from_utf8(self.done(&arguments, message).stdout).unwrap()
    }

    /// Whether `ssh-keygen` takes this for a signature of a record, whoever made it.
    pub fn takes(&self, armoured: &str, message: &[u8]) -> bool {
        self.write("taken.sig", armoured);
        let arguments = ["-Y", "check-novalidate", "-n", "cornerset-record", "-s", "taken.sig"];
        self.run("UTC", &arguments, message).status.success()
    }

    /// Whether `ssh-keygen` takes a signature for one by somebody who may sign. Times as it takes them.
    pub fn verifies(&self, list: &Path, zone: &str, name: &str, time: &str, armoured: &Path, message: &[u8]) -> bool {
        let verify_time = format!("-Overify-time={time}");
        let (list, armoured) = (list.to_str().unwrap(), armoured.to_str().unwrap());
        let arguments =
            ["-Y", "verify", "-f", list, "-I", name, "-n", "cornerset-record", &verify_time, "-s", armoured];
        self.run(zone, &arguments, message).status.success()
    }
}

/// Bytes as base64, in lines of so many characters (0: one line), by the general tool of that name.
pub fn base64(bytes: &[u8], width: usize) -> String {
    String::from_utf8(filter("base64", &["-w", &width.to_string()], bytes)).unwrap().trim_end().to_owned()
}

/// The bytes of the base64 between the first and the last line of a file.
pub fn inside(text: &str) -> Vec<u8> {
    let lines: Vec<&str> = text.lines().filter(|line| !line.starts_with("-----")).collect();
    filter("base64", &["-d"], lines.concat().as_bytes())
}

/// Bytes after their length, as every string in OpenSSH's binary formats.
pub fn string(bytes: &[u8]) -> Vec<u8> {
    [&u32::try_from(bytes.len()).unwrap().to_be_bytes()[..], bytes].concat()
}

fn filter(program: &str, arguments: &[&str], input: &[u8]) -> Vec<u8> {
    let mut child = Command::new(program).args(arguments).stdin(Stdio::piped()).stdout(Stdio::piped()).spawn().unwrap();
    child.stdin.take().unwrap().write_all(input).unwrap();
    let output = child.wait_with_output().unwrap();
    assert!(output.status.success(), "{output:?}");
    output.stdout
}
