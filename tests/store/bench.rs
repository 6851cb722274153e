//! The name of the bench, and known gear.

use std::fs;

use cornerset::session::{Memory, Opened};
use cornerset::store::Store;

use crate::support::{OPENED_AT, Shop, moment, work};

#[test]
fn a_bench_has_one_name_from_the_first_question_on() {
    let shop = Shop::new();
    let names: Vec<String> = std::thread::scope(|scope| {
        let threads: Vec<_> = (0..8).map(|_| scope.spawn(|| shop.store.bench().unwrap())).collect();
        threads.into_iter().map(|thread| thread.join().unwrap()).collect()
    });
    assert!(names.iter().all(|name| *name == names[0]), "{names:?}");
    let suffix = names[0].strip_prefix("bench-").unwrap();
    assert!(suffix.len() == 6 && suffix.chars().all(|c| c.is_ascii_hexdigit()), "{suffix}");
    assert_ne!(Shop::new().store.bench().unwrap(), names[0]);

    fs::write(shop.store.root().join("bench.toml"), "# ours\nname = \"Müller & Söhne, 2\"\n").unwrap();
    assert_eq!(shop.store.bench().unwrap(), "Müller & Söhne, 2");
}

#[test]
fn a_name_that_cannot_be_used_is_refused_with_its_path() {
    let shop = Shop::new();
    let path = shop.folder.path().join("store").join("bench.toml");
    fs::create_dir(path.parent().unwrap()).unwrap();
    let long = format!("name = \"{}\"", "x".repeat(121));
    let bad =
        ["", "name = ", "name = \"\"", "name = 3", "name = \"\\u001b[2J\"", "name = \"a\\nb\"", &long, "nmae = \"x\""];
    for text in bad {
        fs::write(&path, text).unwrap();
        let error = shop.store.bench().unwrap_err();
        let message = error.to_string();
        assert!(message.contains(path.to_str().unwrap()) && !error.is_storage(), "{text}: {message}");
        assert!(!message.chars().any(char::is_control), "{message:?}");
        assert_eq!(fs::read_to_string(&path).unwrap(), text);
    }
    fs::write(&path, b"name = \"\xFF\"").unwrap();
    assert!(shop.store.bench().unwrap_err().to_string().contains("UTF-8"));
    fs::write(&path, vec![b'#'; 70_000]).unwrap();
    assert!(shop.store.bench().unwrap_err().is_storage());
}

#[test]
fn gear_is_remembered_and_a_damaged_memory_is_an_empty_one() {
    let shop = Shop::new();
    assert_eq!(shop.store.memory(), Memory::default());
    let (state, _) = shop.complete();
    shop.store.remember(&state, moment(OPENED_AT));
    let memory = shop.store.memory();
    assert_eq!(memory.gear.len(), 1);
    assert_eq!(memory.gear[0].technician, "A. Example");

    let path = shop.store.root().join("gear.json");
    fs::write(&path, b"{").unwrap();
    assert_eq!(shop.store.memory(), Memory::default());
    shop.store.remember(&state, moment(OPENED_AT));
    assert_eq!(shop.store.memory(), memory);
    fs::remove_file(&path).unwrap();
    fs::create_dir(&path).unwrap();
    shop.store.remember(&state, moment(OPENED_AT));
    assert_eq!(shop.store.memory(), Memory::default());
}

#[test]
fn the_gear_of_a_simulated_bench_is_not_remembered() {
    let shop = Shop::new();
    let opened = Opened { practice: true, ..shop.opened() };
    let (mut state, mut journal) = shop.store.open_session(opened).unwrap();
    work(&mut state, &mut journal, usize::MAX).unwrap();
    shop.store.remember(&state, moment(OPENED_AT));
    assert_eq!(shop.store.memory(), Memory::default());
    assert!(shop.store.close(&state, journal).unwrap().record.practice);
}

#[test]
fn a_store_has_an_absolute_path() {
    assert!(Store::at("here").root().is_absolute());
    assert!(Store::at("").root().is_absolute());
    assert!(Store::default_dir().unwrap().ends_with("cornerset"));
}
