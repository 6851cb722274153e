//! `records export --partition`: a file for each shop and month, which no later export leaves half, or stale beside others.

use std::fs;
use std::path::{Path, PathBuf};

use crate::common::lines::Lines;
use crate::common::{Ran, Shop, read_json};

/// Two records by two technicians.
fn shop() -> Shop {
    let shop = Shop::new();
    for technician in ["A. Sample", "B. Sample"] {
        let lines = Lines::required().with("technician", technician).with("sign-off", technician);
        shop.script(&lines.text()).expect(0);
    }
    shop
}

fn export(shop: &Shop, rows: &str, format: &str, options: &[&str]) -> Ran {
    let arguments = ["records", "export", "--rows", rows, "--format", format, "--partition", "-o", "lake"];
    shop.run(&[&arguments[..], options].concat())
}

fn files(folder: &Path) -> Vec<PathBuf> {
    let entries = fs::read_dir(folder).into_iter().flatten().map(|entry| entry.unwrap().path());
    let mut files: Vec<PathBuf> =
        entries.flat_map(|path| if path.is_dir() { files(&path) } else { vec![path] }).collect();
    files.sort();
    files
}

#[test]
fn one_table_takes_no_other_tables_place() {
    let shop = shop();
    let lake = shop.path().join("lake");
    let month = read_json(&shop.records()[0])["closed_at"].as_str().unwrap()[..7].to_owned();
    let first_cells = || -> Vec<String> {
        let paths = files(&lake);
        assert!(paths.iter().all(|path| path.parent().unwrap().ends_with(format!("month={month}"))), "{paths:?}");
        paths.iter().map(|path| fs::read_to_string(path).unwrap().lines().next().unwrap().to_owned()).collect()
    };
    export(&shop, "readings", "csv", &[]).expect(0);
    let readings = first_cells();
    assert!(readings.len() == 1 && readings[0].contains("volts"), "{readings:?}");
    export(&shop, "sessions", "csv", &[]).expect(0);
    export(&shop, "pairs", "csv", &[]).expect(0);
    let all = first_cells();
    assert_eq!((all.len(), all[1] == readings[0]), (3, true), "{all:?}");
    let names: Vec<String> = files(&lake)
        .iter()
        .map(|path| path.strip_prefix(&lake).unwrap().iter().next().unwrap().to_str().unwrap().to_owned())
        .collect();
    assert_eq!(names, ["pairs", "readings", "sessions"]);
}

#[test]
fn a_month_is_written_whole_or_not_at_all() {
    let shop = shop();
    export(&shop, "sessions", "ndjson", &[]).expect(0);
    let path = files(&shop.path().join("lake"))[0].clone();
    let whole = fs::read_to_string(&path).unwrap();
    assert_eq!(whole.lines().count(), 2);
    let closed = read_json(&shop.records()[0])["closed_at"].as_str().unwrap().to_owned();
    for options in [
        ["--technician", "A. Sample"],
        ["--amplifier", "*"],
        ["--job", "*"],
        ["--verdict", "inside"],
        ["--since", "2026-05-02"],
        ["--until", "2026-05-30"],
        ["--since", &closed],
        ["--until", &closed],
    ] {
        let ran = export(&shop, "sessions", "ndjson", &options).expect(2);
        let name = options[0].trim_start_matches('-');
        assert!(ran.stderr.contains(&format!("{name}: a file of `--partition` is replaced whole")), "{}", ran.stderr);
        assert_eq!(fs::read_to_string(&path).unwrap(), whole, "{options:?}");
    }
    let month = &closed[..7];
    let ran = export(&shop, "sessions", "ndjson", &["--since", month, "--until", month, "--json"]).expect(0).json();
    assert_eq!((ran["files"].as_u64(), ran["rows"].as_u64()), (Some(1), Some(2)));
    let ran = export(&shop, "sessions", "ndjson", &["--since", "2020-05-01", "--until", "2020-05-31", "--json"]);
    assert_eq!(ran.expect(0).json()["files"], 0);
    assert_eq!(fs::read_to_string(&path).unwrap(), whole);
}

#[test]
fn a_file_of_another_format_is_in_the_way() {
    let shop = shop();
    let lake = shop.path().join("lake");
    export(&shop, "sessions", "csv", &[]).expect(0);
    let csv = files(&lake);
    let ran = export(&shop, "sessions", "ndjson", &[]).expect(2);
    assert!(ran.stderr.contains("part-0.csv is of another format"), "{}", ran.stderr);
    assert_eq!(files(&lake), csv);
    // In a month that is not written now, too.
    let month = csv[0].parent().unwrap();
    fs::rename(month, month.with_file_name("month=2020-01")).unwrap();
    export(&shop, "sessions", "ndjson", &[]).expect(2);
    // Another table has its own.
    export(&shop, "readings", "ndjson", &[]).expect(0);
    fs::remove_dir_all(lake.join("sessions")).unwrap();
    export(&shop, "sessions", "ndjson", &[]).expect(0);
}

/// A record of another bench is no secret addition to that one's table.
#[test]
fn records_of_several_benches_are_told_of() {
    let shop = shop();
    let none = export(&shop, "sessions", "csv", &["--json"]).expect(0).json();
    assert_eq!(none["warnings"].as_array().unwrap().len(), 0, "{none}");
    let other = self::shop();
    let path = other.records()[0].clone();
    fs::copy(&path, shop.records()[0].with_file_name(path.file_name().unwrap())).unwrap();
    let told = export(&shop, "sessions", "csv", &["--json"]).expect(0).json();
    assert_eq!(told["files"], 2);
    assert!(told["warnings"][0].as_str().unwrap().contains("records of 2 benches"), "{told}");
}
