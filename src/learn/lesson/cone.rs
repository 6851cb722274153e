//! What the cone does below the tuning, and which corner holds it.

use super::Step;
use super::bench::{self, CORNER, TUNING};
use super::drawings::{Curve, Plot};
use super::page::Page;
use super::questions::{Number, Word};
use crate::displacement::{Analysis, Cone, FilterIn, up_to_tenth};
use crate::filter::Rule;
use crate::learn::form::Form;
use crate::quantity::ranges::Quantity;
use crate::quantity::{Decibels, Hertz, Millimetres, show};
use crate::screens::{Line, Screen};

pub(super) const PROMISE: &str = "say why the cone needs a filter";

/// The tone of the tables and of the last question: an octave below the tuning.
const LOW: Hertz = TUNING.times(0.5);

pub(super) fn steps() -> Vec<Step> {
    vec![
        Step { shown: below_tuning, exercise: farther(20.0, 45.0).exercise(), again: farther(36.0, 54.0).exercise() },
        Step {
            shown: with_a_corner,
            exercise: which_way(Rule::Octave.corner(TUNING)).exercise(),
            again: which_way(Hertz::new(32.0)).exercise(),
        },
        Step { shown: how_much, exercise: travel_left(20.0).exercise(), again: travel_left(25.0).exercise() },
    ]
}

/// The cone of the lessons.
fn cone(analysis: &Analysis) -> Cone {
    Cone::new(&analysis.setup.driver, analysis.setup.enclosure, analysis.setup.drive)
}

/// How far it travels at a tone.
fn travel(at: Hertz, filter: FilterIn) -> Millimetres {
    cone(&bench::analysis()).travel(at, filter)
}

/// The filter of the lessons.
fn filter_in(corner: Hertz) -> FilterIn {
    Some((bench::butterworth(24), corner))
}

/// The tones of the tables.
const TONES: [f64; 7] = [12.5, 18.0, 22.5, 27.0, 36.0, 50.0, 80.0];

/// Curves of travel from 10 to 100 Hz, a table of them on a plain screen.
fn curves(page: Page, screen: Screen, filtered: bool) -> Page {
    let analysis = bench::analysis();
    let cone = cone(&analysis);
    let (out, inside) = (|at| cone.travel(at, None).mm(), |at| cone.travel(at, filter_in(CORNER)).mm());
    if screen.is_plain() {
        let row = |hz: f64| {
            let at = Hertz::new(hz);
            [show::tone(at), format!("{:.1} mm", out(at)), format!("{:.1} mm", inside(at))]
        };
        return if filtered {
            page.table(["tone", "filter out", "filter in"], TONES.map(row))
        } else {
            page.table(["tone", "filter out"], TONES.map(row).map(|[tone, out, _]| [tone, out]))
        };
    }
    let both: [Curve; 2] = [('o', &out), ('*', &inside)];
    let plot = Plot {
        top: 40.0,
        bottom: 0.0,
        step: 10.0,
        rows_a_step: 2,
        axis: &[10.0, 18.0, 27.0, 36.0, 50.0, 100.0].map(Hertz::new),
        limit: Some((
            analysis.setup.driver.xmax.mm(),
            format!(" Xmax {}", show::millimetres(analysis.setup.driver.xmax)),
        )),
        curves: if filtered { &both } else { &both[..1] },
    };
    let legend = if filtered { "mm:  o filter out  * filter in" } else { "mm:  o travel of the cone, one way" };
    page.says(legend).drawing(plot.lines(screen.width()))
}

fn below_tuning(screen: Screen) -> Vec<Line> {
    let analysis = bench::analysis();
    let page = Page::first(screen, PROMISE, "Below the tuning nothing holds the cone").says(&format!(
        "A driver (a loudspeaker without its box) that we made up, in a box with a port tuned to {}, driven with \
         {:.1} V:",
        show::hertz(TUNING),
        analysis.drive.volts(),
    ));
    curves(page, screen, false)
        .says(&format!(
            "At the tuning the port does the work and the cone hardly moves: {}. Below, its air just runs in and out \
             and the cone flaps: {} at {}. It may travel Xmax, {}.",
            show::millimetres(travel(TUNING, None)),
            show::millimetres(travel(LOW, None)),
            show::hertz(LOW),
            show::millimetres(analysis.setup.driver.xmax),
        ))
        .done()
}

fn farther(low: f64, high: f64) -> Word {
    let [low, high] = [low, high].map(Hertz::new);
    let [at_low, at_high] = [low, high].map(|at| travel(at, None));
    let place = |at: Hertz| match at {
        at if at == TUNING => "is the tuning, where the air in the port does the work".to_owned(),
        at if at < TUNING => format!("is below the tuning of {}", show::hertz(TUNING)),
        _ => "is above the tuning, where the box holds the cone".to_owned(),
    };
    let (right, other, why) = if at_low > at_high {
        let why =
            "Above the tuning the air in the box pushes back. Below it nothing does, and the cone travels farther.";
        ("lower", "higher", why)
    } else {
        let why = "At the tuning the cone hardly moves: the air in the port does the work.";
        ("higher", "lower", why)
    };
    let line = |at: Hertz, travel| format!("{} {}: {}", show::hertz(at), place(at), show::millimetres(travel));
    Word {
        form: Form::TravelsMore,
        ask: format!(
            "The same volts at {} and at {}. Which tone moves this cone farther, the lower or the higher?",
            show::hertz(low),
            show::hertz(high)
        ),
        given: vec![
            ("tuning_hz", TUNING.hz()),
            ("low_hz", low.hz()),
            ("high_hz", high.hz()),
            ("travel_low_mm", at_low.mm()),
            ("travel_high_mm", at_high.mm()),
        ],
        right,
        of: &["lower", "higher"],
        working: vec![line(low, at_low), line(high, at_high)],
        mistakes: vec![(other, why.to_owned())],
    }
}

fn with_a_corner(screen: Screen) -> Vec<Line> {
    let peak = |corner: Option<Hertz>| {
        let peak = cone(&bench::analysis()).peak(corner.and_then(filter_in));
        (show::millimetres(Millimetres::new(peak.value)), show::hertz(peak.at))
    };
    let (out, out_at) = peak(None);
    let (inside, inside_at) = peak(Some(CORNER));
    let page = Page::new(screen, "What the filter does about it").says(&format!(
        "The same box with a {} filter at {}. Without it the cone travels {out} at most, at {out_at}; with it \
         {inside}, at {inside_at}.",
        bench::butterworth(24),
        show::hertz(CORNER),
    ));
    let corners: Vec<String> = [Rule::Octave, Rule::HalfOctave]
        .map(|rule| {
            let corner = rule.corner(TUNING);
            format!("{} with the corner at {}", peak(Some(corner)).0, show::hertz(corner))
        })
        .to_vec();
    curves(page, screen, true)
        .says(&format!(
            "A lower corner holds it less: {}. Corner up: less bass, less travel; down: more of both.",
            show::list_and(&corners),
        ))
        .done()
}

fn which_way(corner: Hertz) -> Word {
    let analysis = bench::analysis();
    let peak = |corner| show::millimetres(Millimetres::new(cone(&analysis).peak(filter_in(corner)).value));
    let safe = analysis.lowest_safe.map_or(CORNER, |choice| up_to_tenth(choice.corner));
    let (right, other, working, why) = if corner < safe {
        (
            "up",
            "down",
            "a higher corner takes more off every tone below it",
            "A lower corner lets more of the low tones through. Down is for more bass, up is for less travel.",
        )
    } else {
        (
            "down",
            "up",
            "a lower corner leaves more of the low tones, and the cone has room for them",
            "A higher corner takes off still more bass, and the cone is held already.",
        )
    };
    Word {
        form: Form::KnobForCone,
        ask: format!(
            "Wanted is {}, the lowest corner that holds this cone. The knob stands at {}. Must the corner go up or down?",
            show::hertz(safe),
            show::hertz(corner)
        ),
        given: vec![
            ("safe_corner_hz", safe.hz()),
            ("corner_hz", corner.hz()),
            ("tuning_hz", TUNING.hz()),
            ("xmax_mm", analysis.setup.driver.xmax.mm()),
        ],
        right,
        of: &["up", "down"],
        working: vec![
            working.to_owned(),
            format!(
                "at {} the cone travels {}, at {} it is {}",
                show::hertz(corner),
                peak(corner),
                show::hertz(safe),
                peak(safe)
            ),
        ],
        mistakes: vec![(other, why.to_owned())],
    }
}

fn how_much(screen: Screen) -> Vec<Line> {
    let filter = bench::butterworth(24);
    let rows = [TUNING, CORNER, Hertz::new(22.5), LOW].map(|at| {
        let response = filter.response(at, CORNER);
        [
            show::tone(at),
            format!("{:.1} mm", travel(at, None).mm()),
            show::decibels(response.down()),
            bench::share(response.ratio()),
            format!("{:.1} mm", travel(at, filter_in(CORNER)).mm()),
        ]
    });
    Page::new(screen, "Travel goes with the volts")
        .says(&format!(
            "Half the volts, half the travel. So what a filter leaves of the volts is what it leaves of the travel. \
             With the corner at {}:",
            show::hertz(CORNER),
        ))
        .table(["tone", "filter out", "down", "share", "filter in"], rows)
        .says(
            "Above the tuning the cone has another hump. Where that passes Xmax, the cure is less drive and not the \
             filter. A box without a port holds its cone at every tone, and often needs no filter. `cornerset \
             excursion` works it out for a driver and its box.",
        )
        .remember("below the tuning only the filter holds the cone. Corner up: less travel, less bass.")
}

fn travel_left(hz: f64) -> Number {
    let at = Hertz::new(hz);
    // As it is told, to three figures: what is worked out from the question must be the answer.
    let told = |value: f64| show::figures(value).parse::<f64>().unwrap_or(value);
    let out = told(travel(at, None).mm());
    let down = told(bench::butterworth(24).response(at, CORNER).down().db());
    let share = Decibels::new(down).down_ratio();
    let value = out * share;
    Number {
        form: Form::TravelOfDown,
        ask: format!(
            "With the filter out this cone travels {} at {}. The filter takes {down} dB off that tone. How far does \
             the cone travel with it in?",
            show::millimetres(Millimetres::new(out)),
            show::hertz(at)
        ),
        given: vec![("travel_mm", out), ("down_db", down)],
        value,
        quantity: Quantity::Travel,
        working: vec![
            format!("share = 10^(-{down} / 20) = {}", bench::share(share)),
            format!(
                "{} x {} = {}",
                show::millimetres(Millimetres::new(out)),
                bench::share(share),
                show::millimetres(Millimetres::new(value))
            ),
        ],
        mistakes: vec![
            (
                out * share * share,
                "That is 10 log, which is for power. Travel goes with the volts: divide by 20.".to_owned(),
            ),
            (out / share, "The ratio is upside down: the filter makes the cone travel less.".to_owned()),
            ((out - down).abs(), "That takes decibels for millimetres. Decibels are a share.".to_owned()),
        ],
    }
}
