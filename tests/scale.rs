//! Beyond one machine: `src/manual/audit_spark.py` on a local Spark, held to what was done to the records, to DuckDB with the
//! same SQL, and to `cornerset audit`; exports by shop and month read by Spark and DuckDB. `.ci/scale` does the same with
//! 200,000 records.

#[path = "../benches/shop_records/maker/mod.rs"]
#[allow(dead_code, reason = "the example uses the rest")]
mod maker;
#[path = "common/outside.rs"]
mod outside;

use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};

use maker::damage::Wanted;
use maker::{Order, written};
use tempfile::TempDir;

const PROGRAM: &str = env!("CARGO_BIN_EXE_cornerset");

fn has_spark() -> bool {
    outside::needs("PySpark", outside::runs("python3", &["-c", "import pyspark, duckdb"]))
        && outside::needs("Java", outside::runs("java", &["-version"]))
}

fn order(records: usize, shops: usize) -> Order {
    let damage = Wanted { tampered: 14, removed: 6, foreign: 5, doubled: 4 };
    Order { records, shops, months: 5, seed: 11, unsigned_percent: 2.0, outside_percent: 3.0, damage }
}

fn python(script: &str, arguments: &[&Path]) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/scale").join(script);
    let ran = Command::new("python3").arg("-B").arg(path).args(arguments).stdin(Stdio::null()).output().unwrap();
    let (out, error) = (String::from_utf8_lossy(&ran.stdout), String::from_utf8_lossy(&ran.stderr));
    assert!(ran.status.success(), "{out}\n{error}");
}

#[test]
fn an_audit_on_spark_names_the_same_records() {
    if !has_spark() {
        return;
    }
    let folder = TempDir::new().unwrap();
    let at = |name: &str| folder.path().join(name);
    let order = order(2000, 6);
    let out = fs::File::create(at("records.ndjson")).unwrap();
    let trust = fs::File::create(at("allowed_signers")).unwrap();
    let report = written::lines(&order, out, trust).unwrap();
    fs::write(at("ends.ndjson"), report.ends.concat()).unwrap();
    fs::write(at("report.json"), serde_json::to_vec(&report).unwrap()).unwrap();
    written::stores(&order, &at("stores")).unwrap();
    python("check.py", &[folder.path(), Path::new("--program"), Path::new(PROGRAM)]);
}

#[test]
fn exports_by_shop_and_month_are_read_by_spark_and_duckdb() {
    if !has_spark() {
        return;
    }
    let folder = TempDir::new().unwrap();
    let order = Order { damage: Wanted::default(), ..order(300, 3) };
    written::stores(&order, &folder.path().join("stores")).unwrap();
    python("exports.py", &[folder.path(), Path::new("--program"), Path::new(PROGRAM)]);
}
