//! The same records through tools from outside.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use cornerset::record::{canonical_bytes, parse_record};
use rayon::prelude::*;

/// So many records are verified one by one.
const SAMPLE: usize = 200;

/// `ssh-keygen -Y verify` on a sample, on every core, and how many those are; its bytes and signatures are made before the clock
/// starts.
pub fn ssh_keygen(store: &Path, files: &[PathBuf]) -> Option<(Duration, usize)> {
    let folder = tempfile::tempdir().expect("a folder");
    let sample: Vec<(PathBuf, PathBuf, String)> = files
        .iter()
        .step_by((files.len() / SAMPLE).max(1))
        .enumerate()
        .map(|(number, file)| {
            let record = parse_record(&fs::read(file).expect("a record")).expect("a record");
            let (bytes, signature) =
                (folder.path().join(number.to_string()), folder.path().join(format!("{number}.sig")));
            fs::write(&bytes, canonical_bytes(&record).expect("a canonical form")).expect("a file");
            fs::write(&signature, record.sign_off.signature.expect("a signature")).expect("a file");
            (bytes, signature, cornerset::signature::principal_of(&record.sign_off.name))
        })
        .collect();
    let start = Instant::now();
    let verified = sample.par_iter().map(|(bytes, signature, name)| {
        let status = Command::new("ssh-keygen")
            .args(["-Y", "verify", "-n", "cornerset-record", "-I", name, "-s"])
            .arg(signature)
            .arg("-f")
            .arg(store.join("allowed_signers"))
            .stdin(fs::File::open(bytes).expect("a file"))
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .status()
            .ok()?;
        assert!(status.success(), "{name}");
        Some(())
    });
    verified.collect::<Option<Vec<()>>>()?;
    Some((start.elapsed(), sample.len()))
}

/// DuckDB's own time for counts and mean corners by technician and verdict, the second of two; `None` where it is not here.
pub fn duckdb(lines: &Path) -> Option<Duration> {
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("benches/audit/count.py");
    let run =
        Command::new("python3").arg("-B").arg(script).arg(lines).output().ok().filter(|run| run.status.success())?;
    let seconds: f64 = String::from_utf8(run.stdout).ok()?.trim().parse().ok()?;
    Some(Duration::from_secs_f64(seconds))
}
