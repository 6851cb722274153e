//! The tables of `targets` and `corner`.

use cornerset::corner::{Fit, Pair, RatioForm, Reading, Reference, corner_from_reading};
use cornerset::filter::{Alignment, Family, Slope};
use cornerset::meter::MeterSpec;
use cornerset::quantity::{Hertz, Volts};
use cornerset::screens::{self, Line, Screen};

use crate::common::lines::Lines;
use crate::play::{page, pages, play};

#[test]
fn targets() {
    let plain = || Lines::required().before("reading");
    let cases = [
        ("as usual", plain()),
        (
            "a fine meter",
            plain().with("meter-resolution", "0.001").with("meter-accuracy", "0.5").with("meter-digits", "3"),
        ),
        ("a coarse meter", plain().with("meter-resolution", "0.1")),
        ("no points", plain().with("reference", "0.2")),
        ("6 dB/octave at a low corner", plain().with("slope", "6").with("rule", "own").with("corner", "6")),
    ];
    pages("targets", |screen| {
        let table = |lines: &Lines| screens::targets_table(play(lines).plan().expect("a plan"), screen);
        cases.iter().map(|(name, lines)| page(name, table(lines))).collect()
    });
}

fn one(alignment: Alignment, volts: f64, screen: Screen) -> Vec<Line> {
    let reference = Reference { reading: Reading::steady(Volts::new(8.0)), mark: None };
    let (tone, reading) = (Hertz::new(27.0), Reading::steady(Volts::new(volts)));
    let meter = MeterSpec::USUAL;
    let said = corner_from_reading(alignment, tone, reading, reference, tone, meter, RatioForm::CommonGain);
    screens::corner_table(&said, &alignment.to_string(), screen)
}

fn fit(pairs: &[(f64, f64)], candidates: Vec<Alignment>, screen: Screen) -> Vec<Line> {
    let volts = |volts| Reading::steady(Volts::new(volts));
    let pairs: Vec<Pair> = pairs
        .iter()
        .map(|(tone, read)| Pair { tone: Hertz::new(*tone), reading: volts(*read), reference: Some(volts(8.0)) })
        .collect();
    screens::fit_table(&Fit::of(&pairs, None, None, MeterSpec::USUAL, candidates).expect("a fit"), screen)
}

#[test]
fn corners() {
    let butterworth = Alignment::new(Family::Butterworth, Slope::new(24).unwrap()).unwrap();
    pages("corner", |screen| {
        let readings = [(20.0, 2.31), (27.0, 5.66), (38.0, 7.75)];
        let many: Vec<(f64, f64)> = readings.into_iter().cycle().take(18).collect();
        vec![
            page("one reading", one(butterworth, 5.66, screen)),
            page("two corners", one(Alignment::second_order(1.2), 8.5, screen)),
            page("several readings", fit(&readings, Alignment::candidates().collect(), screen)),
            page("one filter asked for", fit(&readings, vec![butterworth], screen)),
            page("many readings", fit(&many, vec![butterworth], screen)),
        ]
    });
}
