//! Cone travel as a page, and as a drawing alone.

use super::html;
use super::svg::{self, Anchor, Axes, GAP, RIGHT, TEXT};
use crate::displacement::{Analysis, Enclosure, HIGHEST, up_to_tenth};
use crate::quantity::{Hertz, show};
use crate::screens::{Answer, Excursion, choices, curve_in_numbers, drawn_corner, reach};

/// A blank at which no line ends.
const NO_BREAK: &str = "\u{a0}";
/// Points of a curve: finer than any screen shows.
const CURVE_STEPS: usize = 400;

/// Everything on one page.
pub fn excursion(excursion: Excursion<'_>) -> String {
    let analysis = excursion.analysis;
    let Answer { emphasis, headline, sentences } = excursion.answer();
    let class = html::word_of(emphasis).unwrap_or_default();
    let mut body = html::element("p", "over", "Cone travel");
    body.push_str(&html::element("h1", "", &title(excursion)));
    body.push_str(&format!(
        "<div class=\"answer {class}\">\n<p><strong>{}</strong></p>\n{}</div>\n",
        html::escape(&headline),
        sentences.iter().map(|sentence| html::element("p", "", sentence)).collect::<String>()
    ));
    if let Some(damage) = analysis.damage() {
        body.push_str(&html::element("p", "alarm", &damage));
    }
    let cautions = [analysis.cautions(), excursion.remarks.to_vec()].concat();
    if !cautions.is_empty() {
        body.push_str(&html::list(&cautions));
    }
    body.push_str(&format!("<figure>\n{}</figure>\n", svg::drawing(TITLE, &description(excursion), &curves(analysis))));
    body.push_str(&html::element("h2", "", "Corners, and what each does"));
    body.push_str(&html::table("", "", &choices(analysis)));
    body.push_str(&html::element("h2", "", "What it was worked out from"));
    body.push_str(&html::pairs(&given(excursion)));
    body.push_str(&html::element("p", "", METHOD));
    body.push_str(&html::element("h2", "", "The curves in numbers"));
    body.push_str(&html::table("narrow", "", &curve_in_numbers(analysis)));
    html::page(&format!("Cone travel: {}", title(excursion)), &body)
}

/// The drawing alone.
pub fn excursion_drawing(excursion: Excursion<'_>) -> String {
    let below = [excursion.answer().headline, excursion.drive()];
    svg::document(&title(excursion), &below, &description(excursion), &curves(excursion.analysis))
}

/// What is looked at, as a title.
fn title(excursion: Excursion<'_>) -> String {
    excursion.name.map_or_else(|| format!("A driver {}", excursion.subject()), |_| excursion.subject())
}

/// What the drawing shows, in words.
fn description(excursion: Excursion<'_>) -> String {
    let Answer { headline, sentences, .. } = excursion.answer();
    let analysis = excursion.analysis;
    let driver = &analysis.setup.driver;
    let mut limits = format!("Xmax is {}", show::millimetres(driver.xmax));
    if let Some(xmech) = driver.xmech {
        limits.push_str(&format!(", Xmech {}", show::millimetres(xmech)));
    }
    let filtered = analysis.filtered.zip(drawn_corner(analysis)).map(|(choice, corner)| {
        let (travel, at) = (analysis.travel(choice.peak), show::hertz(choice.peak.at));
        format!(" With the corner at {} it travels {travel} at most, at {at}.", show::hertz(corner))
    });
    format!("{headline}. {}{} {limits}.", sentences.join(" "), filtered.unwrap_or_default())
}

const TITLE: &str = "Cone travel against frequency";

/// How the numbers come about.
const METHOD: &str = "Travel is the peak one way, from the circuit of driver and box (Small, J. Audio Eng. Soc. 20, 1972, \
                      and 21, 1973) at the drive voltage, times the response of the filter.";

/// Everything that went into it.
fn given(excursion: Excursion<'_>) -> Vec<(&'static str, String)> {
    let setup = &excursion.analysis.setup;
    let driver = &setup.driver;
    let parameters = [
        Some(format!("Fs {}", show::hertz(driver.fs))),
        Some(format!("Qes {}", show::figures(driver.qes))),
        Some(format!("Qms {}", show::figures(driver.qms))),
        Some(format!("Qts {}", show::figures(driver.qts()))),
        Some(format!("Vas {}", show::litres(driver.vas))),
        Some(format!("Sd {} cm2", show::figures(driver.sd.cm2()))),
        Some(format!("Re {}", show::ohms(driver.re))),
        (driver.le.mh() > 0.0).then(|| format!("Le {} mH", show::figures(driver.le.mh()))),
        Some(format!("Xmax {}", show::millimetres(driver.xmax))),
        driver.xmech.map(|xmech| format!("Xmech {}", show::millimetres(xmech))),
    ];
    let parameters: Vec<String> = parameters.into_iter().flatten().map(|one| one.replace(' ', NO_BREAK)).collect();
    let leakage = |q: f64| format!("leakage Q {}", show::figures(q));
    let mounted = match setup.enclosure {
        Enclosure::FreeAir => "none: free air".to_owned(),
        Enclosure::Sealed { volume, leakage_q } => {
            format!("sealed, {}, {}", show::litres(volume), leakage_q.map_or_else(|| "no leak".to_owned(), leakage))
        }
        Enclosure::Vented { volume, tuning, leakage_q } => {
            format!("vented, {}, tuned to {}, {}", show::litres(volume), show::hertz(tuning), leakage(leakage_q))
        }
    };
    let corner = setup.corner.map_or_else(String::new, |corner| format!(", corner {}", show::hertz(corner)));
    vec![
        ("Driver", parameters.join(", ")),
        ("Box", mounted),
        ("Drive", excursion.drive()),
        ("Filter", format!("{}{corner}", setup.alignment)),
    ]
}

/// A frequency and the travel there in mm.
type Point = (Hertz, f64);

/// The curves in their axes, with the limits and the lowest safe corner.
fn curves(analysis: &Analysis) -> String {
    let curve = analysis.curve(CURVE_STEPS);
    let axes = Axes::to(analysis.setup.drive.lowest, HIGHEST, reach(analysis, &curve).mm());
    let out: Vec<Point> = curve.iter().map(|point| (point.at, point.unfiltered.mm())).collect();
    let filtered: Vec<Point> = curve.iter().filter_map(|point| Some((point.at, point.filtered?.mm()))).collect();
    let mut drawing = axes.grid("mm");
    drawing.push_str(&limits(analysis, axes));
    drawing.push_str(&axes.curve("one", out.iter().copied()));
    if !filtered.is_empty() {
        drawing.push_str(&axes.curve("two", filtered.iter().copied()));
    }
    if let Some(safe) = analysis.lowest_safe {
        let corner = up_to_tenth(safe.corner);
        drawing.push_str(&axes.mark(corner, &format!("lowest safe corner {}", show::hertz(corner))));
    }
    drawing.push_str(&out_label(axes, &out));
    drawing.push_str(&in_label(axes, &filtered));
    drawing
}

/// The name of the curve with the filter out, after it begins to fall for good.
fn out_label(axes: Axes, curve: &[Point]) -> String {
    let top = curve.iter().map(|(_, travel)| *travel).fold(0.0, f64::max).min(axes.top);
    let last_high = curve.iter().rev().find(|(_, travel)| *travel >= 0.9 * top);
    last_high.map_or_else(String::new, |(at, travel)| {
        axes.label("of-one", Anchor::Start, [axes.x(*at) + GAP, axes.y(*travel)], "filter out")
    })
}

/// The name of the curve with the filter in: before its rise where there is room, else after its fall, else below its end.
fn in_label(axes: Axes, curve: &[Point]) -> String {
    const NAME: &str = "filter in";
    let peak = curve.iter().map(|(_, travel)| *travel).fold(0.0, f64::max);
    let is_high = |(_, travel): &&Point| *travel >= peak / 2.0;
    let place = |(at, travel): &Point| [axes.x(*at), axes.y(*travel)];
    let (Some([rise_x, rise_y]), Some([fall_x, fall_y])) =
        (curve.iter().find(is_high).map(place), curve.iter().rev().find(is_high).map(place))
    else {
        return String::new();
    };
    let room = GAP + svg::width(NAME);
    if rise_x - room > axes.x(axes.low) {
        axes.label("of-two", Anchor::End, [rise_x - GAP, rise_y], NAME)
    } else if fall_x + room < RIGHT {
        axes.label("of-two", Anchor::Start, [fall_x + GAP, fall_y], NAME)
    } else {
        axes.label("of-two", Anchor::End, [RIGHT, fall_y + TEXT + GAP], NAME)
    }
}

/// Xmax and Xmech across the drawing, named at the right end, where no curve is high.
fn limits(analysis: &Analysis, axes: Axes) -> String {
    let driver = &analysis.setup.driver;
    let name = |name: &str, limit| format!("{name} {}", show::millimetres(limit));
    let xmech = driver.xmech.filter(|xmech| xmech.mm() <= axes.top);
    let xmax_at = axes.y(driver.xmax.mm());
    let is_close = xmech.is_some_and(|xmech| xmax_at - axes.y(xmech.mm()) < TEXT + GAP);
    let xmax_label_at = if is_close { xmax_at + TEXT } else { xmax_at - GAP };
    let mut limits = axes.level("dashes", driver.xmax.mm());
    limits.push_str(&axes.label("", Anchor::End, [RIGHT, xmax_label_at], &name("Xmax", driver.xmax)));
    if let Some(xmech) = xmech {
        limits.push_str(&axes.level("dots", xmech.mm()));
        let at = [RIGHT, axes.y(xmech.mm()) - GAP];
        limits.push_str(&axes.label("", Anchor::End, at, &name("Xmech", xmech)));
    }
    limits
}
