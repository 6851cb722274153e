//! Stores that cannot be: exit code 3 and the path, and what was logged is kept.

use std::fs;
use std::path::Path;

use crate::common::Shop;
use crate::common::lines::Lines;
use crate::support::{Ended, run};

/// A scripted session in this store.
fn session_in(shop: &Shop, store: impl AsRef<std::ffi::OsStr>) -> Ended {
    run(shop.command().arg("--store").arg(store).args(["set", "--script", "-"]), Lines::required().text().as_bytes())
}

#[track_caller]
fn fails_with(ended: &Ended, path: &Path) {
    let sentence = ended.sentence(3);
    assert!(sentence.contains(path.to_str().unwrap()), "{} in: {sentence}", path.display());
}

#[test]
fn a_store_that_is_in_the_way_of_something() {
    let shop = Shop::new();
    let file = shop.path().join("file");
    fs::write(&file, "not a folder").unwrap();
    fails_with(&session_in(&shop, &file), &file);
    fails_with(&session_in(&shop, file.join("store")), &file.join("store"));
    fails_with(&session_in(&shop, "file"), &file);
    assert_eq!(fs::read(&file).unwrap(), b"not a folder");
    for part in ["open", "bench.toml"] {
        let store = shop.path().join(format!("store-{part}"));
        fs::create_dir(&store).unwrap();
        if part == "open" {
            fs::write(store.join(part), "").unwrap();
        } else {
            fs::create_dir(store.join(part)).unwrap();
        }
        fails_with(&session_in(&shop, &store), &store.join(part));
    }
}

#[cfg(target_os = "linux")]
#[test]
fn a_store_where_no_folder_can_be_made() {
    let shop = Shop::new();
    fails_with(&session_in(&shop, "/proc/cornerset/store"), Path::new("/proc/cornerset"));
    fails_with(&session_in(&shop, "/dev/null/store"), Path::new("/dev/null/store"));
}

/// The bench's name that cannot be used: bad input, and the file is named.
#[test]
fn a_bench_without_a_name() {
    for text in [
        "",
        "x = 1\n",
        "name = 5\n",
        "name = \"\"\n",
        "name = \"a\\u001b[31m\"\n",
        "name = \"two\\nlines\"\n",
        "\u{1B}[31m",
    ] {
        let shop = Shop::new();
        fs::create_dir(shop.store()).unwrap();
        let bench = shop.store().join("bench.toml");
        fs::write(&bench, text).unwrap();
        let ended = session_in(&shop, shop.store());
        assert!(ended.sentence(2).contains(bench.to_str().unwrap()), "{text}: {ended:?}");
        assert_eq!(fs::read(&bench).unwrap(), text.as_bytes());
    }
}

/// What is in the way of the record is found at the end: the session is kept, and goes on once the way is free.
#[test]
fn a_record_that_cannot_be_written_is_written_later() {
    let shop = Shop::new();
    fs::create_dir(shop.store()).unwrap();
    let records = shop.store().join("records");
    fs::write(&records, "").unwrap();
    let ended = session_in(&shop, shop.store());
    fails_with(&ended, &records);
    let journals = shop.journals();
    assert_eq!(journals.len(), 1);
    let id = journals[0].file_stem().unwrap().to_str().unwrap().to_owned();
    assert!(ended.stderr.contains(&format!("set --resume {}", &id[..13])), "{}", ended.stderr);
    fs::remove_file(&records).unwrap();
    let again = run(shop.command().args(["set", "--resume", &id, "--script", "-"]), b"");
    assert_eq!(again.code, Some(0), "{again:?}");
    assert_eq!((shop.journals().len(), shop.records().len()), (0, 1));
}

/// A folder that may not be written to.
#[cfg(unix)]
#[test]
fn a_store_that_may_not_be_written() {
    use std::os::unix::fs::PermissionsExt;

    let shop = Shop::new();
    fs::create_dir(shop.store()).unwrap();
    fs::set_permissions(shop.store(), fs::Permissions::from_mode(0o555)).unwrap();
    // Whoever may do everything may write all the same.
    if fs::write(shop.store().join("probe"), "").is_err() {
        let ended = session_in(&shop, shop.store());
        fails_with(&ended, &shop.store());
    }
    fs::set_permissions(shop.store(), fs::Permissions::from_mode(0o755)).unwrap();
}

/// A folder whose name is not UTF-8 is a folder like any other.
#[cfg(target_os = "linux")]
#[test]
fn a_store_whose_name_is_no_text() {
    use std::os::unix::ffi::OsStrExt;

    let shop = Shop::new();
    let store = shop.path().join(std::ffi::OsStr::from_bytes(b"st\xff\x1bore"));
    for arguments in [&["set", "--script", "-"][..], &["--json", "set", "--script", "-"]] {
        let mut command = shop.command();
        command.arg("--store").arg(&store).args(arguments);
        let ended = run(&mut command, Lines::required().text().as_bytes());
        assert_eq!(ended.code, Some(0), "{ended:?}");
    }
    assert!(store.join("records").is_dir());
}

/// A limit on the size of files ends a write with an error, not the program; what was logged before it is kept.
#[test]
fn a_limit_on_the_size_of_files() {
    let shop = Shop::new();
    let script = shop.path().join("session.script");
    std::fs::write(&script, Lines::required().text()).unwrap();
    let mut command = std::process::Command::new("sh");
    command
        .arg("-c")
        .arg(format!("ulimit -f 4; exec {} set --script session.script", crate::common::PROGRAM))
        .env_clear()
        .env("HOME", shop.path())
        .env("CORNERSET_STORE", shop.store())
        .current_dir(shop.path());
    let ended = crate::common::Ran::of(&mut command);
    assert_eq!(ended.code, Some(3), "{ended:?}");
    assert!(ended.stderr.contains("too large") || ended.stderr.contains("limit"), "{ended:?}");
    assert_eq!(shop.journals().len(), 1, "the session stays open");
}
