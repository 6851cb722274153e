//! What people read: the options, the list of a folder, the screens.

use std::fs;

use crate::common::{Ran, Shop};

#[test]
fn help_of_tone() {
    let ran = Shop::new().run(&["tone", "--help"]).expect(0);
    assert!(ran.stderr.is_empty(), "{}", ran.stderr);
    assert!(ran.stdout.lines().all(|line| line.chars().count() <= 80), "{}", ran.stdout);
    crate::assert_screen!("options-tone", ran.stdout);
}

/// A run's two streams, the folder of the run taken out.
fn both(shop: &Shop, ran: &Ran) -> String {
    let folder = fs::canonicalize(shop.path()).unwrap();
    format!("{}\n{}", ran.stderr, ran.stdout).replace(folder.to_str().unwrap(), "[folder]")
}

#[test]
fn what_is_said_of_a_file_of_several_tones() {
    let shop = Shop::new();
    let ran = shop.run(&["tone", "--hz", "27", "54", "--rounds", "2", "--seconds", "40", "-o", "slope.wav"]).expect(0);
    crate::assert_screen!("screen-tone-80", both(&shop, &ran));
}

#[test]
fn the_list_of_a_folder() {
    let shop = Shop::new();
    let plan = ["--tuning", "36", "--slope", "24", "--family", "linkwitz-riley"];
    let ran = shop.run(&[&["tone", "--all", "-o", "tones", "--seconds", "30"][..], &plan].concat()).expect(0);
    crate::assert_screen!("screen-tones-80", both(&shop, &ran));
    crate::assert_screen!("track-list", fs::read_to_string(shop.path().join("tones/track-list.txt")).unwrap());
}
