//! The scripts that made the tables still make them.

use std::process::{Command, Stdio};

use crate::outside;
use crate::table::folder;

fn makes_its_table(script: &str) {
    if !outside::needs("python3 with scipy", outside::runs("python3", &["-c", "import scipy.signal, scipy.optimize"])) {
        return;
    }
    let run = Command::new("python3")
        .arg("-B")
        .arg(folder().join(script))
        .arg("--check")
        .stdin(Stdio::null())
        .output()
        .unwrap();
    let said = [run.stdout, run.stderr].concat();
    assert!(run.status.success(), "{script} --check:\n{}", String::from_utf8_lossy(&said));
}

#[test]
fn filters_are_as_scipy_computes_them_now() {
    makes_its_table("filters.py");
}

#[test]
fn displacements_are_as_scipy_computes_them_now() {
    makes_its_table("displacement.py");
}

#[test]
fn targets_are_as_scipy_computes_them_now() {
    makes_its_table("targets.py");
}

#[test]
fn fits_are_as_scipy_computes_them_now() {
    makes_its_table("fit.py");
}

#[test]
fn single_readings_are_as_scipy_computes_them_now() {
    makes_its_table("one.py");
}

#[test]
fn tunings_are_as_numpy_computes_them_now() {
    makes_its_table("tuning.py");
}
