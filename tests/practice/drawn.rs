//! The bench's screens, at 80 and at 60 columns and plain, against `snapshots/`.

use cornerset::corner::{Mark, Reading, Reference};
use cornerset::filter::{Alignment, Rule};
use cornerset::meter::Tolerance;
use cornerset::plan::{CornerChoice, Inputs, Plan};
use cornerset::practice::{Bench, Level, Move};
use cornerset::quantity::Volts;
use cornerset::quantity::text::visible;
use cornerset::screens::{Line, Screen, bench_moved, bench_panel, bench_truth};

use crate::assert_screen;

/// The most rows that leave room for a prompt in a window of 24, at 80 columns and at 60.
const MOST_ROWS: [usize; 2] = [20, 23];

/// The plan of someone who believes the label of a bench.
pub fn plan(bench: &Bench) -> Plan {
    let sheet = bench.sheet();
    let usual = Alignment::usual(Some(sheet.label.slope));
    let corner = CornerChoice::by_rule(sheet.tuning, Rule::ThreeQuarters).unwrap();
    let mark = Mark { at: sheet.lowest_mark().corner, uncertainty: sheet.mark_tolerance };
    Plan::new(Inputs {
        corner,
        alignment: sheet.label.alignment().unwrap_or(usual),
        reference: Reference { reading: Reading::steady(Volts::new(8.0)), mark: (!sheet.has_switch).then_some(mark) },
        tone: corner.corner().times(0.6),
        tolerance: Tolerance::USUAL,
        meter: sheet.meter.spec,
        range_held: sheet.meter.range_held,
    })
    .unwrap()
}

/// As text: no line is wider than its screen, holds what acts on a terminal, or ends with a blank.
fn text(lines: &[Line], columns: usize) -> String {
    for Line { text, .. } in lines {
        assert!(text.chars().count() <= columns, "{columns} columns: {text}");
        assert!(text.is_ascii(), "{text}");
        assert_eq!(visible(text), *text);
        assert_eq!(text.trim_end(), text, "no blank at the end");
    }
    lines.iter().map(|line| format!("{}\n", line.text)).collect()
}

fn moved(level: Level, seed: u64) -> Bench {
    let mut bench = Bench::new(level, seed);
    let tone = bench.sheet().tones.nearest(bench.sheet().wanted());
    for a_move in [Move::Play(tone), Move::Volume(18), Move::Turn(4.27)] {
        bench.make(a_move).unwrap();
    }
    bench
}

#[test]
fn screens() {
    for (name, columns, plain) in [("80", 80, false), ("60", 60, false), ("plain", 80, true)] {
        let screen = Screen::new(columns, plain);
        let mut page = String::new();
        let left = ["No slip was found. What is left: the meter's digits and ranges (+0.4 %).".to_owned()];
        let slips: Vec<String> =
            (1..=6).map(|number| format!("Reading {number}: typed 4.07 V, the meter showed 3.99 V.")).collect();
        for level in Level::ALL {
            let bench = moved(level, 421);
            for (title, lines) in [
                ("opened", bench_panel(&Bench::new(level, 421), screen)),
                ("after some moves", bench_panel(&bench, screen)),
                ("moved", bench_moved(&bench, screen)),
                ("the truth", bench_truth(&bench, &plan(&bench), &[], &left, screen)),
                ("the truth after slips", bench_truth(&bench, &plan(&bench), &slips, &[], screen)),
            ] {
                page.push_str(&format!("== {}, {title}\n{}", level.word(), text(&lines, columns)));
            }
        }
        assert_screen!(format!("screen-practice-{name}"), page);
    }
}

/// Every bench fits: no row too wide, no panel too high, for any of many seeds.
#[test]
fn every_bench_fits_its_window() {
    for level in Level::ALL {
        for seed in 0..400 {
            for columns in [60, 80] {
                for plain in [false, true] {
                    let screen = Screen::new(columns, plain);
                    let mut bench = moved(level, seed);
                    let panel = bench_panel(&bench, screen);
                    text(&panel, columns);
                    assert!(
                        panel.len() <= MOST_ROWS[usize::from(columns < 80)],
                        "{} of {columns}:\n{}",
                        panel.len(),
                        text(&panel, columns)
                    );
                    let news = bench_moved(&bench, screen);
                    assert!((2..=3).contains(&news.len()), "{news:#?}");
                    text(&news, columns);
                    text(&bench_truth(&bench, &plan(&bench), &[], &[], screen), columns);
                    bench.make(Move::Volume(30)).unwrap();
                    bench.make(Move::Turn(10.0)).unwrap();
                    text(&bench_panel(&bench, screen), columns);
                }
            }
        }
    }
}

/// What is said of the plain rule adds up: the factors that are told, multiplied as they are printed, are the whole that is
/// printed, which is the error; a cause that is told alone is the error to half a per cent.
#[test]
fn the_causes_that_are_told_make_the_whole_error() {
    let [mut none, mut one, mut several] = [0; 3];
    for level in Level::ALL {
        for seed in 1..=250 {
            let bench = Bench::new(level, seed);
            let whole = bench.plain_rule(bench.sheet().wanted()).corner.hz() / bench.sheet().wanted().hz();
            let lines = bench_truth(&bench, &plan(&bench), &[], &[], Screen::new(80, false));
            let said = lines.iter().map(|line| line.text.trim()).collect::<Vec<_>>().join(" ");
            let (_, said) = said.split_once(" of that is left ").expect("the plain rule is told");
            if let Some((causes, product)) = said.split_once(" These multiply: ") {
                let (factors, told) = product.split_once(" = ").expect("what they make");
                let factors: Vec<&str> = factors.split(" x ").collect();
                let product: f64 = factors.iter().map(|factor| factor.parse::<f64>().unwrap()).product();
                assert_eq!(format!("{product:.2}."), told, "{level:?} {seed}: {said}");
                assert!((product - whole).abs() <= 0.01, "{level:?} {seed}: {said} of {whole}");
                assert!(factors.iter().all(|factor| causes.contains(&format!("(x {factor})"))), "{said}");
                several += 1;
            } else if let Some((_, share)) = said.rsplit_once('(').filter(|_| said.ends_with(" %).")) {
                let share: f64 = share.trim_end_matches(" %).").parse().unwrap();
                assert!((1.0 + share / 100.0 - whole).abs() <= 0.006 * whole, "{level:?} {seed}: {said} of {whole}");
                one += 1;
            } else {
                assert!((whole - 1.0).abs() <= 0.005, "{level:?} {seed}: {said} of {whole}");
                none += 1;
            }
        }
    }
    assert!(none > 200 && one > 100 && several > 400, "{none} {one} {several}");
}
