//! What people read: the options, the list of a folder, the screens.

use std::fs;

use cornerset::quantity::{Decibels, FullScale, Hertz, Seconds};
use cornerset::screens::{self, Screen};
use cornerset::tone::{Channels, Depth, Format, PlanTone, Purpose, Rate, tracks_of};

use crate::common::{Ran, Shop};

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
fn a_short_file_lasts_some_tenths_of_a_second() {
    let shop = Shop::new();
    let ran = shop.run(&["tone", "--hz", "27", "--seconds", "0.5", "-o", "short.wav"]).expect(0);
    assert!(ran.stdout.contains("44.1 kB, 0.5 s\n"), "{ran:?}");
}

#[test]
fn the_list_of_a_folder() {
    let shop = Shop::new();
    let plan = ["--tuning", "36", "--slope", "24", "--family", "linkwitz-riley"];
    let ran = shop.run(&[&["tone", "--all", "-o", "tones", "--seconds", "30"][..], &plan].concat()).expect(0);
    crate::assert_screen!("screen-tones-80", both(&shop, &ran));
    crate::assert_screen!("track-list", fs::read_to_string(shop.path().join("tones/track-list.txt")).unwrap());
}

/// In a narrow window a file is its name, its tone and what it is for, and nothing runs over the edge.
#[test]
fn a_narrow_window() {
    let tones = [
        PlanTone { tone: Hertz::new(27.0), purposes: vec![Purpose::Set, Purpose::Down(Decibels::new(3.0))] },
        PlanTone { tone: Hertz::new(120.55), purposes: vec![Purpose::Down(Decibels::new(10.0))] },
    ];
    let format = Format { rate: Rate::USUAL, depth: Depth::TwentyFour, channels: Channels::Stereo };
    let tracks = tracks_of(&tones, format, FullScale::new(-12.5), Seconds::new(5.0)).unwrap();
    let screen = Screen::new(60, false);
    let mut lines = screens::tone_table(&tracks, screen);
    lines.extend(screens::tone_file(&tracks[2], true, screen));
    let text: Vec<String> = lines.into_iter().map(|line| line.text).collect();
    assert!(text.iter().all(|line| line.chars().count() <= 60), "{text:#?}");
    crate::assert_screen!("screen-tones-60", text.join("\n"));
}
