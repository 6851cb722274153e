//! Beyond one machine: the commands of `src/manual/scale.md`, run as they stand there on a local Spark, held to what was done
//! to the records, to DuckDB with the same SQL, and to `cornerset audit`; exports by shop and month read by Spark and DuckDB.
//! `.ci/scale` audits 200,000 records in the same way.

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

#[test]
fn the_commands_of_the_page_name_the_same_records_on_spark_in_duckdb_and_here() {
    let python = outside::needs("PySpark", outside::runs("python3", &["-c", "import pyspark, duckdb"]));
    if !python || !outside::needs("Java", outside::runs("java", &["-version"])) {
        return;
    }
    let folder = TempDir::new().unwrap();
    let damage = Wanted { tampered: 14, removed: 6, foreign: 5, doubled: 4 };
    let order =
        Order { records: 2000, shops: 6, months: 5, seed: 11, unsigned_percent: 2.0, outside_percent: 3.0, damage };
    let report = written::stores(&order, &folder.path().join("stores")).unwrap();
    fs::write(folder.path().join("report.json"), serde_json::to_vec(&report).unwrap()).unwrap();
    let check = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/scale/check.py");
    let mut command = Command::new("python3");
    command.arg("-B").arg(check).arg(folder.path()).arg("--program").arg(env!("CARGO_BIN_EXE_cornerset"));
    let ran = command.stdin(Stdio::null()).output().unwrap();
    let (out, error) = (String::from_utf8_lossy(&ran.stdout), String::from_utf8_lossy(&ran.stderr));
    assert!(ran.status.success(), "{out}\n{error}");
}
