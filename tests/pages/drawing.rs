//! The drawing, read back with its own axes.

use cornerset::pages::record_page;
use cornerset::record::Record;

use crate::common::samples::{by_name, sample};

/// What an axis says: places and the values that stand there.
struct Axes {
    upright: Vec<(f64, f64)>,
    along: Vec<(f64, f64)>,
}

fn drawing(record: &Record) -> String {
    let page = record_page(record, &by_name());
    let from = page.find("<svg").expect("a drawing");
    // Word joiners only keep a line from ending.
    page[from..page.find("</svg>").expect("its end")].replace('\u{2060}', "")
}

/// The value of an attribute in an element.
fn attribute(element: &str, name: &str) -> f64 {
    let from = element.find(&format!(" {name}=\"")).unwrap_or_else(|| panic!("{name} in {element}")) + name.len() + 3;
    element[from..].split('"').next().unwrap().parse().unwrap()
}

fn elements<'a>(drawing: &'a str, start: &'a str) -> impl Iterator<Item = &'a str> {
    drawing.lines().filter(move |line| line.starts_with(start))
}

impl Axes {
    /// The labels of the drawing that are numbers: at the left end in decibels, at the lower end in hertz.
    fn of(drawing: &str) -> Self {
        let mut axes = Self { upright: vec![], along: vec![] };
        for label in elements(drawing, "<text class=\"soft\"") {
            let text = label.split('>').nth(1).unwrap().split('<').next().unwrap();
            let Ok(value) = text.parse::<f64>() else {
                continue;
            };
            if label.contains("text-anchor=\"middle\"") {
                axes.along.push((attribute(label, "x"), value));
            } else if attribute(label, "x") < 58.0 {
                // A label stands on its line by its middle, 4.5 below which it is written.
                axes.upright.push((attribute(label, "y") - 4.5, value));
            }
        }
        axes
    }

    fn level(&self, y: f64) -> f64 {
        let ((y0, v0), (y1, v1)) = (self.upright[0], *self.upright.last().unwrap());
        v0 + (y - y0) / (y1 - y0) * (v1 - v0)
    }

    fn hertz(&self, x: f64) -> f64 {
        let ((x0, f0), (x1, f1)) = (self.along[0], *self.along.last().unwrap());
        f0 * (f1 / f0).powf((x - x0) / (x1 - x0))
    }
}

/// Levels are drawn to a tenth of a unit of some 300 for 15 dB or fewer, frequencies to one of some 700 for four octaves.
const LEVEL: f64 = 0.02;
const SHARE: f64 = 0.002;

/// The wanted filter's curve against the textbook: Butterworth, |H|^2 = 1 / (1 + (fc/f)^(2n)); Linkwitz-Riley is two of them
/// (Zverev, Handbook of Filter Synthesis, 1967; Linkwitz, J. Audio Eng. Soc. 24, 1976).
#[test]
fn the_curve_is_the_filter() {
    type Loss = fn(f64) -> f64;
    let cases: [(&str, f64, Loss); 3] = [
        ("plain", 27.0, |ratio| 10.0 * (1.0 + ratio.powi(8)).log10()),
        ("wrong-label", 25.875, |ratio| 20.0 * (1.0 + ratio.powi(4)).log10()),
        ("filter-stays-in", 27.0, |ratio| 10.0 * (1.0 + ratio.powi(4)).log10()),
    ];
    for (name, corner, loss) in cases {
        let drawing = drawing(&sample(name));
        let axes = Axes::of(&drawing);
        let curve = elements(&drawing, "<polyline class=\"two\" clip-path").next().expect("a curve");
        let points = curve.split("points=\"").nth(1).unwrap().split('"').next().unwrap();
        let mut inside = 0;
        for point in points.split(' ') {
            let (x, y) = point.split_once(',').unwrap();
            let (at, level) = (axes.hertz(x.parse().unwrap()), axes.level(y.parse().unwrap()));
            let wanted = -loss(corner / at);
            if wanted > -12.0 {
                inside += 1;
                // Where the curve is steep, a tenth of a unit along is more upright than a tenth of a unit.
                assert!((level - wanted).abs() < LEVEL + 0.06, "{name}: {level} dB at {at} Hz, not {wanted}");
            }
        }
        assert!(inside > 100, "{name}");
    }
}

/// The accepted reading is the one filled circle, at its tone and its level; the sweep's pairs are where they were read.
#[test]
fn marks_stand_where_they_were_read() {
    for name in ["plain", "wrong-label", "filter-stays-in", "cone-decides", "accepted-outside"] {
        let record = sample(name);
        let drawing = drawing(&record);
        let axes = Axes::of(&drawing);
        let json = serde_json::to_value(&record).unwrap();
        let last = json["log"].as_array().unwrap().iter().rfind(|entry| entry["event"] == "reading").unwrap();
        let full: Vec<&str> = elements(&drawing, "<circle class=\"full\"").collect();
        // The second one is the sign in the key.
        assert_eq!(full.len(), 2, "{name}");
        let (at, level) = (axes.hertz(attribute(full[0], "cx")), axes.level(attribute(full[0], "cy")));
        assert!((at / last["tone_hz"].as_f64().unwrap() - 1.0).abs() < SHARE, "{name}: {at} Hz");
        assert!((level + last["down_db"].as_f64().unwrap()).abs() < LEVEL, "{name}: {level} dB");
        let corner = elements(&drawing, "<path class=\"mark\"").next().expect("the corner");
        let x: f64 = corner.split("d=\"M").nth(1).unwrap().split(' ').next().unwrap().parse().unwrap();
        assert!((axes.hertz(x) / json["outcome"]["corner_hz"].as_f64().unwrap() - 1.0).abs() < SHARE, "{name}");
    }
    // `20 = 2.29 / 8.03` and `38 = 7.75 / 7.98`.
    let drawing = drawing(&sample("plain"));
    let axes = Axes::of(&drawing);
    let diamonds: Vec<(f64, f64)> = elements(&drawing, "<path class=\"hollow\"")
        .map(|path| {
            let (x, y) = path.split("d=\"M").nth(1).unwrap().split(" l").next().unwrap().split_once(' ').unwrap();
            // A diamond begins at its upper corner, 7 above its middle.
            (axes.hertz(x.parse().unwrap()), axes.level(y.parse::<f64>().unwrap() + 7.0))
        })
        .collect();
    for ((at, level), (tone, volts, reference)) in diamonds.iter().zip([(20.0, 2.29, 8.03), (38.0, 7.75, 7.98_f64)]) {
        let wanted = 20.0 * f64::log10(volts / reference);
        assert!((at / tone - 1.0).abs() < SHARE && (level - wanted).abs() < LEVEL, "{at} Hz {level} dB, not {wanted}");
    }
    assert_eq!(diamonds.len(), 3, "two pairs and the sign in the key");
}

/// Where the filter stays in, the reference of a pair was read at the mark: a pair of a filter that stands right lies on its
/// curve. Butterworth 12 dB/octave, |H|^2 = 1 / (1 + (fc/f)^4), the mark at 18 Hz and the corner at 27 Hz.
#[test]
fn a_mark_is_reckoned_out_of_pairs() {
    let response = |corner: f64| 1.0 / (1.0 + (corner / 20.0_f64).powi(4)).sqrt();
    let mut json = serde_json::to_value(sample("filter-stays-in")).unwrap();
    let log = json["log"].as_array_mut().unwrap();
    let accepted = log.iter().position(|entry| entry["event"] == "accept").unwrap();
    let at = log[accepted]["at"].clone();
    let (volts, reference) = (8.0 * response(27.0), 8.0 * response(18.0));
    let pair = |volts: f64, reference| {
        serde_json::json!({"event": "sweep", "at": at, "number": 1, "typed": "x", "volts": volts, "tone_hz": 20.0,
            "reference_v": reference})
    };
    let record = |pair: serde_json::Value| {
        let mut json = json.clone();
        json["log"].as_array_mut().unwrap().insert(accepted + 1, pair);
        serde_json::from_value::<Record>(json).unwrap()
    };
    let true_reference = json["plan"]["true_reference_v"].as_f64().unwrap();
    for pair in
        [pair(volts, serde_json::json!(reference)), pair(true_reference * response(27.0), serde_json::Value::Null)]
    {
        let drawing = drawing(&record(pair));
        let path = elements(&drawing, "<path class=\"hollow\"").next().expect("a diamond");
        let y: f64 = path.split(" l").next().unwrap().rsplit(' ').next().unwrap().parse().unwrap();
        let (level, wanted) = (Axes::of(&drawing).level(y + 7.0), 20.0 * response(27.0).log10());
        assert!((level - wanted).abs() < LEVEL, "{level} dB, not {wanted}");
    }
}

/// Shape and label tell marks and lines apart, without their colour.
#[test]
fn the_drawing_needs_no_colour() {
    let drawing = drawing(&sample("wrong-label"));
    for holds in [
        ">wanted: Linkwitz-Riley 24\u{a0}dB/octave</text>",
        ">fitted to sweep</text>",
        ">allowed by the tolerance</text>",
        ">tolerance in volts</text>",
        ">reading accepted</text>",
        ">readings before it</text>",
        ">struck or set aside</text>",
        ">sweep</text>",
        ">reading 4, accepted: 3.76\u{a0}V</text>",
        ">tuning 34.5\u{a0}Hz</text>",
        ">corner 25.8\u{a0}+-\u{a0}0.2\u{a0}Hz</text>",
        "<path class=\"cross\"",
        "<circle class=\"hollow\"",
        "<polygon class=\"band\"",
        "stroke-dasharray:9 5",
    ] {
        assert!(drawing.contains(holds), "{holds}");
    }
}

/// A record whose numbers make no drawing has a page all the same, and it says so.
#[test]
fn numbers_beyond_measure_make_no_drawing() {
    use cornerset::quantity::{Hertz, Volts};
    let with = |change: fn(&mut Record)| {
        let mut record = sample("plain");
        change(&mut record);
        record_page(&record, &by_name())
    };
    let without = [
        with(|record| record.plan.corner_hz = Hertz::new(-1.0)),
        with(|record| record.plan.corner_hz = Hertz::new(1e300)),
        with(|record| record.plan.setting.low_v = Volts::new(0.0)),
        with(|record| record.plan.true_reference_v = Volts::new(-8.0)),
        with(|record| record.filter.family = cornerset::filter::Family::SecondOrder),
    ];
    for page in without {
        assert!(page.contains("The numbers of this record make no drawing.") && !page.contains("<svg"));
    }
    let odd = [
        with(|record| record.plan.setting.corner_low_hz = None),
        with(|record| (record.plan.setting.corner_high_hz, record.plan.tolerance_percent) = (None, None)),
        with(|record| record.outcome.corner_hz = None),
        with(|record| record.filter.q = Some(1e-200)),
        with(|record| record.plan.meter_resolution_v = Volts::new(1e300)),
        with(|record| record.log.clear()),
    ];
    for page in odd {
        for bad in ["NaN", "inf\"", "inf,", "inf "] {
            assert!(!page.contains(bad), "{bad}");
        }
    }
}
