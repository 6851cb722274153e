//! The bench's screens, at 80 and at 60 columns and plain, against `snapshots/`.

use cornerset::practice::{Bench, Level, Move};
use cornerset::quantity::Hertz;
use cornerset::quantity::text::visible;
use cornerset::screens::{Line, Screen, bench_moved, bench_panel, bench_truth};

use crate::assert_screen;

/// The most rows that leave room for a prompt in a window of 24, at 80 columns and at 60.
const MOST_ROWS: [usize; 2] = [20, 23];

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
        for level in Level::ALL {
            let bench = moved(level, 421);
            for (title, lines) in [
                ("opened", bench_panel(&Bench::new(level, 421), screen)),
                ("after some moves", bench_panel(&bench, screen)),
                ("moved", bench_moved(&bench, screen)),
                ("the truth", bench_truth(&bench, bench.sheet().wanted(), screen)),
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
                    text(&bench_truth(&bench, Hertz::new(27.0), screen), columns);
                    bench.make(Move::Volume(30)).unwrap();
                    bench.make(Move::Turn(10.0)).unwrap();
                    text(&bench_panel(&bench, screen), columns);
                }
            }
        }
    }
}
