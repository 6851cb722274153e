//! A question as it is put: what it is for in a short line, and its prompt with the default in brackets.

use super::closing::put_back;
use super::cone::cone_says;
use super::line::{Emphasis, Line, Screen};
use super::tones::{explore, next_tone, set_again, sweep};
use crate::filter::Family;
use crate::meter::Verdict;
use crate::quantity::text::visible;
use crate::quantity::{Hertz, entry, ranges, show};
use crate::session::{Ask, CAUTIONS, POOR_FIT, Question, State, SweepSays, UNKNOWN};

/// What stands above the prompt.
pub fn question(state: &State, ask: &Ask, screen: Screen) -> Vec<Line> {
    let mut lines = put(state, ask, screen);
    if ask.revisited
        && ask.question < Question::Reading
        && let Some((first, last)) = state.counting_readings()
    {
        let readings =
            if first == last { format!("reading {first} counts") } else { format!("readings {first} to {last} count") };
        let text = format!("Enter keeps it. With another answer, {readings} no longer.");
        lines.extend(screen.item("! ", Emphasis::Warn, &text));
    }
    lines
}

fn put(state: &State, ask: &Ask, screen: Screen) -> Vec<Line> {
    match ask.question {
        Question::Caution => cautions(screen),
        Question::ReferenceConfirmed => high_reference(state, screen),
        Question::Reference => reference(state, screen),
        Question::Family => family(state, screen),
        Question::Reason => reason(state, screen),
        Question::Rule => rule(state, screen),
        Question::Corner => corner(state, screen),
        Question::SetAgain => set_again(state, screen),
        Question::Explore => explore(state, screen),
        Question::Accept => accept(state, screen),
        Question::Reading if state.has_begun(Question::Reading) => vec![Line::empty()],
        Question::Reading => knob(state, screen),
        Question::Sweep if state.has_begun(Question::Sweep) => next_tone(state, Question::Sweep, screen),
        Question::Sweep => sweep(state, screen),
        Question::Tuning => tuning(state, screen),
        question => {
            let mut lines = if question == Question::SignOff { put_back(state, screen) } else { vec![] };
            lines.push(Line::empty());
            lines.extend(screen.paragraph(0, Emphasis::Plain, purpose(question)));
            lines
        }
    }
}

/// The prompt, with the default in brackets as a person would write it, cut to so many columns.
pub fn prompt(ask: &Ask, default_columns: usize) -> String {
    match &ask.default {
        Some(default) if !ask.question.guards() => {
            let shown = shown_default(ask.question, default);
            let cut: String = shown.chars().take(default_columns).collect();
            let more = if cut.len() < shown.len() { "..." } else { "" };
            format!("{} [{cut}{more}]", ask.question)
        }
        _ => ask.question.to_string(),
    }
}

/// A default in full is as typed; here a tone is rounded.
fn shown_default(question: Question, default: &str) -> String {
    match (question, entry::parse(default, &ranges::TONE)) {
        (Question::Tone, Ok(hertz)) => show::tone(Hertz::new(hertz)),
        _ => visible(default),
    }
}

/// What a question is for, in one short line.
fn purpose(question: Question) -> &'static str {
    match question {
        Question::Job => "Which job is this? The record is filed under it.",
        Question::Technician => "Who turns the knob?",
        Question::Amplifier => "Which amplifier? Its filter is remembered under this name.",
        Question::Meter => "Which meter?",
        Question::MeterAccuracy => "The meter's AC volts accuracy in % of reading, from its manual.",
        Question::MeterDigits => "The digits that its accuracy adds, as in +-(1.0 % + 5 digits).",
        Question::MeterResolution => "One step of the last digit on the range in use, in volts.",
        Question::Driver => {
            "The driver and its box: the name of a driver file, `values` to type them one by one, or `unknown`."
        }
        Question::Slope => "The slope of the filter in dB/octave: 6, 12, 18, 24 ... 48; or `unknown`.",
        Question::Q => "The Q of the second-order filter.",
        Question::Bypass => "Can the filter be taken out, by a switch or by taking its signal elsewhere?",
        Question::ReferenceMark => "The mark the knob is turned down to while the reference is read, in Hz.",
        Question::MarkUncertainty => "How far off the print of that mark may be, in %.",
        Question::Tone => "The test tone you play, in Hz.",
        Question::Tolerance => "How far off it may be: a share of the corner (3 %), or a level (0.5 dB).",
        Question::RangeHeld => "Will the meter stay on one range, from the reference to the last reading?",
        Question::Gain => "Is the amplifier's gain set? Gain comes before the filter.",
        Question::RatedPower => "The amplifier's rated power in W, to set the gain by; or `unknown`.",
        Question::Load => "The load in ohm; or `unknown`.",
        Question::DialMark => "What does the print at the knob say where it stands now, in Hz? Enter if it has none.",
        Question::Note => "A note for the record.",
        Question::SignOff => "Sign off: type your name.",
        Question::Caution
        | Question::Tuning
        | Question::Family
        | Question::Rule
        | Question::Corner
        | Question::Explore
        | Question::SetAgain
        | Question::Reading
        | Question::Reason
        | Question::ReferenceConfirmed
        | Question::Reference
        | Question::Accept
        | Question::Sweep => "",
    }
}

fn tuning(state: &State, screen: Screen) -> Vec<Line> {
    let mut lines = vec![Line::empty()];
    let text =
        "The tuning of the box in Hz; `unknown` to find it. Or a driver file, or `values`, to work out the corner.";
    lines.extend(screen.paragraph(0, Emphasis::Plain, text));
    for (dialogue, word) in [("tuning", UNKNOWN), ("driver", "values")] {
        if !state.on_the_way(dialogue).is_empty() {
            let text = format!("What you typed for the {dialogue} is kept: `{word}` goes on there.");
            lines.extend(screen.paragraph(0, Emphasis::Strong, &text));
        }
    }
    lines
}

fn family(state: &State, screen: Screen) -> Vec<Line> {
    let text = match state.slope().flatten() {
        None => "The filter's family: with the slope, it is found out by readings (`unknown`).".to_owned(),
        Some(slope) => {
            let words: Vec<&str> = Family::at(slope).map(Family::word).chain([UNKNOWN]).collect();
            format!(
                "The filter's family. At {slope}: {}. A label proves nothing: `{UNKNOWN}` finds out first, with two or \
                 three tones.",
                show::list_or(&words)
            )
        }
    };
    let mut lines = vec![Line::empty()];
    lines.extend(screen.paragraph(0, Emphasis::Plain, &text));
    lines
}

fn rule(state: &State, screen: Screen) -> Vec<Line> {
    let text = if state.tuning_is_unknown() {
        "Where the corner goes: without a tuning, only a corner of your own (`own`)."
    } else {
        "Where the corner goes: three-quarters, half-octave or octave, or `own`."
    };
    let mut lines = cone_says(state, screen);
    lines.push(Line::empty());
    lines.extend(screen.paragraph(0, Emphasis::Plain, text));
    lines
}

fn corner(state: &State, screen: Screen) -> Vec<Line> {
    let safe = state.excursion().is_some_and(|analysis| analysis.lowest_safe.is_some());
    let text = if safe {
        "The corner of your own, in Hz; the lowest that keeps this cone within Xmax is offered."
    } else {
        "The corner of your own, in Hz."
    };
    let mut lines = vec![Line::empty()];
    lines.extend(screen.paragraph(0, Emphasis::Plain, text));
    lines
}

fn cautions(screen: Screen) -> Vec<Line> {
    let mut lines = vec![Line::empty(), Line::strong("Before a probe touches anything")];
    for (index, caution) in CAUTIONS.iter().enumerate() {
        lines.extend(screen.item(&format!("  {}. ", index + 1), Emphasis::Plain, caution));
    }
    lines.extend(screen.paragraph(0, Emphasis::Strong, "Type `understood` when all of this holds."));
    lines
}

fn high_reference(state: &State, screen: Screen) -> Vec<Line> {
    let text = state.high_reference().unwrap_or_default();
    let mut lines = vec![Line::empty()];
    lines.extend(screen.item("! ", Emphasis::Warn, &text));
    lines.extend(screen.paragraph(0, Emphasis::Plain, "Go on with it? `no` asks for the reference again."));
    lines
}

fn reference(state: &State, screen: Screen) -> Vec<Line> {
    let tone = state.tone().map_or_else(String::new, show::tone);
    let filter = match state.mark() {
        None => "the filter out".to_owned(),
        Some(mark) => format!("the knob at its {} mark", show::hertz(mark.at)),
    };
    let mut lines = vec![Line::empty()];
    lines.extend(screen.paragraph(
        0,
        Emphasis::Strong,
        &format!("Play {tone} with {filter}. Bring the level to a low, round reading, then leave it alone."),
    ));
    let held = if state.range_held() == Some(true) { " Hold the meter on this range." } else { "" };
    let text = format!("What does the meter read, in V? This is the reference.{held}");
    lines.extend(screen.paragraph(0, Emphasis::Plain, &text));
    lines
}

fn knob(state: &State, screen: Screen) -> Vec<Line> {
    let filter = match state.mark() {
        None => "Switch the filter in and leave the level alone.",
        Some(_) => "Leave the level alone.",
    };
    let mut lines = vec![Line::empty()];
    lines.extend(screen.paragraph(
        0,
        Emphasis::Strong,
        &format!("{filter} Turn the knob and type what the meter shows; `?` lists what else can be typed."),
    ));
    lines
}

fn reason(state: &State, screen: Screen) -> Vec<Line> {
    let mut why = vec![];
    if let Some(taken) = state.last_reading().filter(|taken| taken.judged.verdict != Verdict::Inside) {
        why.push(format!("The accepted reading is {}.", taken.judged.verdict));
    }
    if state.filter_is_another() {
        let says = match state.sweep() {
            SweepSays::NoFilterFits => "No filter fits the sweep.",
            SweepSays::Fits(fit, _) if fit.rms_residual > POOR_FIT => "No filter fits the sweep well.",
            _ => "The sweep says that the filter is another.",
        };
        why.push(says.to_owned());
    }
    let mut lines = vec![Line::empty()];
    lines.extend(screen.paragraph(0, Emphasis::Plain, &format!("{} Why may it stay as it is?", why.join(" "))));
    lines
}

fn accept(state: &State, screen: Screen) -> Vec<Line> {
    let mut lines = vec![Line::empty()];
    if let (Some(taken), Some(plan)) = (state.last_reading(), state.plan()) {
        let step = plan.inputs.meter.resolution;
        let verdict = taken.judged.verdict;
        let reason = if verdict == Verdict::Inside { "" } else { " Accepting it needs a reason." };
        lines.extend(screen.paragraph(
            0,
            Emphasis::Strong,
            &format!(
                "Accept reading {} ({}, {})?{reason}",
                taken.number,
                show::volts(taken.judged.reading.volts, step),
                verdict
            ),
        ));
    }
    lines.extend(screen.paragraph(0, Emphasis::Plain, "`yes`; or `no`, or a reading, for another turn of the knob."));
    lines
}
