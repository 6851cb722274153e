//! What the lessons say, against what others print: handbooks, standards, the README, the plan of a session.

use std::fs;
use std::path::Path;

use cornerset::corner::{Reading, Reference};
use cornerset::filter::{Alignment, Family, Rule, Slope};
use cornerset::learn::Lesson;
use cornerset::meter::{MeterSpec, Tolerance};
use cornerset::plan::{CornerChoice, Inputs, Plan};
use cornerset::quantity::{Hertz, Percent, Volts, show};
use cornerset::screens::Screen;
use cornerset::session::CAUTIONS;

use crate::screens::text;

/// A screen of a lesson, its steps counted from 1.
fn shown(lesson: Lesson, step: usize, plain: bool) -> String {
    text(&(lesson.steps()[step - 1].shown)(Screen::new(80, plain)))
}

/// Words with single blanks between.
fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The whole lesson in one line.
fn whole(lesson: Lesson) -> String {
    let steps = 1..=lesson.steps().len();
    flat(&steps.map(|step| shown(lesson, step, true)).collect::<String>())
}

/// The cells of a table's row that starts with this name.
fn row(text: &str, name: &str) -> Vec<String> {
    let line =
        text.lines().find(|line| line.trim_start().starts_with(name)).unwrap_or_else(|| panic!("{name}: {text}"));
    line.trim_start()[name.len()..]
        .split("  ")
        .map(str::trim)
        .filter(|cell| !cell.is_empty())
        .map(str::to_owned)
        .collect()
}

/// Decibels and voltage ratios as any handbook's table has them (from memory: 1 dB 0.891, 3 dB 0.708, 6 dB 0.501, 12 dB
/// 0.251, 20 dB 0.1); the powers are 0.794, 0.501, 0.251, 0.063.
#[test]
fn decibels_are_those_of_the_handbooks() {
    let table = shown(Lesson::Ratio, 1, false);
    for (db, ratio) in [("1 dB", "0.891"), ("3 dB", "0.708"), ("6 dB", "0.501"), ("12 dB", "0.251"), ("20 dB", "0.100")]
    {
        assert_eq!(row(&table, &format!("{db} "))[0], ratio);
    }
    let ladder = shown(Lesson::Ratio, 2, true);
    for (db, power) in [("1 dB", "0.794"), ("3 dB", "0.501"), ("6 dB", "0.251"), ("12 dB", "0.063")] {
        assert_eq!(row(&ladder, db)[1], power);
    }
}

/// A bar is as long as its share of the longest, to half a character.
#[test]
fn bars_are_as_long_as_their_shares() {
    for width in [80, 60] {
        let ladder = text(&(Lesson::Ratio.steps()[1].shown)(Screen::new(width, false)));
        let rows: Vec<&str> = ladder.lines().filter(|line| line.contains('#')).collect();
        assert_eq!(rows.len(), 9);
        let cells = |line: &str| {
            let words: Vec<String> = line.split_whitespace().skip(2).map(str::to_owned).collect();
            [(words[0].clone(), words[1].len()), (words[2].clone(), words[3].len())]
        };
        let longest = cells(rows[0])[0].1 as f64;
        for (share, bar) in rows.iter().flat_map(|line| cells(line)) {
            let share: f64 = share.parse().unwrap();
            assert!((share * longest - bar as f64).abs() <= 0.5 + 0.0005 * longest, "{share}: {bar} of {longest}");
        }
    }
}

/// On the ruler a true half octave is the middle of the octave, and x 0.75 stands where its logarithm says, 1 - 0.415.
#[test]
fn the_ruler_is_one_of_octaves() {
    for width in [80, 60] {
        let ruler = text(&(Lesson::Octave.steps()[1].shown)(Screen::new(width, false)));
        let scale = ruler.lines().find(|line| line.contains("|--")).unwrap();
        let marks: Vec<f64> = scale.match_indices('|').map(|(at, _)| at as f64).collect();
        let [low, half, three_quarters, high] = marks[..] else { panic!("{scale}") };
        let length = high - low;
        assert!(((half - low) / length - 0.5).abs() <= 0.6 / length, "{scale}");
        assert!(((three_quarters - low) / length - (1.0 - 0.415)).abs() <= 0.6 / length, "{scale}");
    }
}

/// The curves of a drawing at round places: a Butterworth of 24 dB/octave starts at 24 dB an octave below its corner and
/// ends at 0 an octave above; the cone's is lowest about the tuning.
#[test]
fn curves_stand_where_they_should() {
    let slope = shown(Lesson::Slope, 1, false);
    let rows: Vec<&str> = slope.lines().filter(|line| line.get(6..7) == Some("|")).collect();
    assert_eq!(rows.len(), 9);
    assert!(rows[8].starts_with("    24|*") && rows[0].ends_with('*'), "{slope}");
    // 12 dB/octave is 12.3 dB down there, at the row of 12 dB.
    assert!(rows[4].starts_with("    12|o"), "{slope}");
    let cone = shown(Lesson::Cone, 1, false);
    let rows: Vec<&str> = cone.lines().filter(|line| line.get(6..7) == Some("|")).collect();
    let axis = cone.lines().find(|line| line.contains("++-")).unwrap();
    let tuning = axis.match_indices('+').map(|(at, _)| at).nth(4).unwrap();
    let lowest = rows.iter().rposition(|row| row.contains('o')).unwrap();
    assert_eq!(rows[lowest].as_bytes()[tuning], b'o', "{cone}");
}

/// What the README says of the rule of thumb is what the lesson on traps shows.
#[test]
fn the_traps_are_those_of_the_readme() {
    let readme = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md")).unwrap();
    let said = |bench: &str| {
        let line = readme.lines().find(|line| line.starts_with(&format!("| {bench}"))).unwrap();
        line.split('|').nth(2).unwrap().trim().to_owned()
    };
    let (families, stays_in) = (shown(Lesson::Traps, 1, true), shown(Lesson::Traps, 2, true));
    assert_eq!(row(&families, "Butterworth 24")[0], said("Butterworth, filter out"));
    assert_eq!(row(&families, "Linkwitz-Riley 24")[0], said("Linkwitz-Riley 24"));
    assert_eq!(row(&families, "Linkwitz-Riley 12")[0], said("Linkwitz-Riley 12"));
    assert_eq!(row(&stays_in, "Butterworth 12")[2], said("Butterworth 12 dB/octave that stays in"));
    // To correct the reference alone ends where the rule of thumb does with the filter out: farther off.
    for slope in ["Linkwitz-Riley 24", "Linkwitz-Riley 12"] {
        let off = |cell: &String| (cell.trim_end_matches(" Hz").parse::<f64>().unwrap() - 27.0).abs();
        assert!(off(&row(&families, slope)[0]) > off(&row(&stays_in, slope)[2]));
    }
}

/// The plan of a session at this bench: window, accept zone, and the gauge that the README shows.
#[test]
fn window_and_gauge_are_those_of_a_session() {
    let plan = Plan::new(Inputs {
        corner: CornerChoice::by_rule(Hertz::new(36.0), Rule::ThreeQuarters).unwrap(),
        alignment: Alignment::new(Family::Butterworth, Slope::new(24).unwrap()).unwrap(),
        reference: Reference { reading: Reading::steady(Volts::new(8.0)), mark: None },
        tone: Hertz::new(27.0),
        tolerance: Tolerance::Corner(Percent::new(3.0)),
        meter: MeterSpec::USUAL,
        range_held: true,
    })
    .unwrap();
    let (setting, step) = (&plan.setting, MeterSpec::USUAL.resolution);
    let lesson = whole(Lesson::Tolerance);
    let low = show::low_limit(setting.window.low, step);
    let high = show::high_limit(setting.window.high, step);
    assert!(lesson.contains(&format!("leaves {high}")) && lesson.contains(&format!("leaves {low}")), "{lesson}");
    let accept_low = show::low_limit(setting.accept.low().unwrap(), step);
    let accept_high = show::high_limit(setting.accept.high().unwrap(), step);
    assert!(lesson.contains(&format!("{accept_low} to {accept_high}")), "{lesson}");
    for (reading, verdict) in [("5.66 V", "inside"), ("5.95 V", "borderline"), ("6.21 V", "above")] {
        let volts: f64 = reading.trim_end_matches(" V").parse().unwrap();
        assert_eq!(plan.judge(Reading::steady(Volts::new(volts))).verdict.word(), verdict);
        assert!(lesson.contains(&format!("{reading} {verdict}")), "{lesson}");
    }
    let readme = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md")).unwrap();
    let gauge = readme.lines().find(|line| line.contains("[--(")).unwrap();
    for step in 1..=3 {
        assert!(shown(Lesson::Tolerance, step, false).contains(gauge.trim()), "{gauge}");
    }
}

/// Tones are preferred frequencies where the lesson says that they are at hand (ISO 266: 20, 25, 31.5 Hz).
#[test]
fn tones_at_hand_are_preferred_ones() {
    let traps = shown(Lesson::Traps, 3, true);
    for tone in ["20.0 Hz", "25.0 Hz", "31.5 Hz"] {
        assert!(!row(&traps, tone).is_empty());
    }
}

/// Every caution of a session stands in the lesson on safety, word for word.
#[test]
fn cautions_are_those_of_a_session() {
    let safety = whole(Lesson::Safety);
    for caution in CAUTIONS {
        assert!(safety.contains(&flat(caution)), "{caution}");
    }
}

/// The figures of the project's own scenario, and no other: never 40 Hz, 30 Hz and 10 V.
#[test]
fn the_scenario_is_our_own() {
    for lesson in Lesson::ALL {
        let said = whole(lesson);
        let asked: String = lesson.steps().iter().map(|step| step.exercise.ask.clone()).collect();
        for foreign in [" 40 Hz", " 40.0 Hz", " 30 Hz", " 30.0 Hz", " 10 V", " 10.00 V"] {
            assert!(!said.contains(foreign) && !asked.contains(foreign), "{}: {foreign}", lesson.word());
        }
    }
}
