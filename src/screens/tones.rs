//! The lists of readings at several tones: what they are for, which tone is named next, and what follows from them.

use super::cone::corner_says;
use super::line::{Emphasis, Line, Screen};
use crate::plan::Plan;
use crate::quantity::{Hertz, show};
use crate::session::{Advice, Proposal, Question, State};

pub(super) fn explore(state: &State, screen: Screen) -> Vec<Line> {
    let mut lines = vec![];
    if !state.has_begun(Question::Explore) {
        let (knob, reference) = match state.mark() {
            None => (
                "put the knob in mid-travel and leave it there",
                "the volts with the filter in, and the volts with it taken out",
            ),
            Some(_) => (
                "choose a place for the knob in mid-travel, and note it so that the knob comes back to it",
                "the volts there, and the volts with the knob down at its mark",
            ),
        };
        let text = format!(
            "Find out what the filter is: {knob}. Two or three tones are named, one after the other; type each as \
             TONE=VOLTS/REFERENCE: {reference}. Enter ends the list."
        );
        lines.push(Line::empty());
        lines.extend(screen.paragraph(0, Emphasis::Plain, &text));
    }
    lines.extend(next_tone(state, Question::Explore, screen));
    lines
}

/// The tone that is named next in a list, and why; nothing where enough is known.
pub(super) fn next_tone(state: &State, list: Question, screen: Screen) -> Vec<Line> {
    let begun = state.has_begun(list);
    let (emphasis, text) = match state.advice(list) {
        Advice::Play(Proposal { tone, likeliest, tells }) => {
            let play = format!("{} {}", if begun { "Next, play" } else { "First, play" }, show::tone(tone));
            let others: Vec<String> = tells.iter().map(ToString::to_string).collect();
            let why = match (likeliest, others.as_slice()) {
                // The sweep alone leaves many filters open, where what was found before leaves one.
                (Some(likeliest), [_, _, _, _, ..]) if list == Question::Sweep && is_found(state) => {
                    format!(", to confirm {likeliest}.")
                }
                (Some(_), [_, _, _, _, ..]) => {
                    format!(", to tell apart the {} filters that are still possible.", others.len() + 1)
                }
                (Some(likeliest), [_, ..]) => format!(", to tell {likeliest} from {}.", show::list_or(&others)),
                _ => ".".to_owned(),
            };
            (Emphasis::Strong, format!("{play}{why}"))
        }
        Advice::Decided => (Emphasis::Plain, "That is enough to tell. Enter ends the list.".to_owned()),
        Advice::Open(open) => {
            let open: Vec<String> = open.iter().map(ToString::to_string).collect();
            let text =
                format!("These readings leave {} open, and one more would not tell them apart.", show::list_and(&open));
            (Emphasis::Plain, format!("{text} Enter ends the list."))
        }
        Advice::NoFit => {
            let text = "No filter fits these readings: check tone, range and level, and strike the wrong one (`strike`, its number, and why).";
            (Emphasis::Warn, text.to_owned())
        }
        Advice::Enough if begun => (Emphasis::Plain, "Enter ends the list.".to_owned()),
        Advice::Enough => return vec![],
    };
    screen.paragraph(0, emphasis, &text)
}

/// Whether exploring, or a sweep before, told one filter from all others, and this sweep says nothing else.
fn is_found(state: &State) -> bool {
    let explored = !state.explored().is_empty() && state.advice(Question::Explore) == Advice::Decided;
    let swept = state.found().is_some_and(|found| found.others.is_empty());
    (explored || swept) && !state.filter_is_another()
}

/// The filter is another: the new target, and whether the knob is set again for it.
pub(super) fn set_again(state: &State, screen: Screen) -> Vec<Line> {
    let mut lines = vec![Line::empty()];
    if let Some((found, plan)) = state.refitted() {
        let (inputs, step) = (&plan.inputs, plan.inputs.meter.resolution);
        let text = format!(
            "Set it again as what it is? For a corner of {} the meter should then read {} at {} ({} to {}).",
            show::hertz(inputs.corner.corner()),
            show::volts(plan.setting.target, step),
            show::tone(inputs.tone),
            show::low_limit(plan.setting.window.low, step),
            show::high_limit(plan.setting.window.high, step),
        );
        lines.extend(screen.paragraph(0, Emphasis::Strong, &text));
        if !found.others.is_empty() {
            let others: Vec<String> = found.others.iter().map(ToString::to_string).collect();
            let text =
                format!("It could be {} as well: `< sweep` and one more tone tell more.", show::list_or(&others));
            lines.extend(screen.item("! ", Emphasis::Warn, &text));
        }
        lines.extend(corner_says(state.excursion_with(found.alignment), screen));
    }
    lines.extend(screen.paragraph(
        0,
        Emphasis::Plain,
        "`yes` goes back to the knob with that target; `no` needs a reason.",
    ));
    lines
}

pub(super) fn sweep(state: &State, screen: Screen) -> Vec<Line> {
    let mut lines = vec![Line::empty()];
    let form = match state.mark() {
        None => "TONE=VOLTS/REFERENCE, the reference read with the filter out at that tone, or TONE=VOLTS",
        Some(_) => "TONE=VOLTS",
    };
    lines.extend(screen.paragraph(
        0,
        Emphasis::Plain,
        &format!(
            "{} Leave the knob, read two or three more tones, and type each as {form}. Enter ends the list.",
            if !state.explored().is_empty() || state.found().is_some() {
                "Does it stand as the filter that was found?"
            } else if state.family() == Some(None) {
                "Is the filter the one that was taken for it?"
            } else {
                "Is the filter what its label says?"
            }
        ),
    ));
    if state.mark().is_some() && !state.has_begun(Question::Sweep) {
        lines.extend(screen.paragraph(0, Emphasis::Plain, &at_the_mark(state)));
    }
    lines.extend(next_tone(state, Question::Sweep, screen));
    if let (Some(plan), Some(proposal)) = (state.plan(), state.proposal(Question::Sweep)) {
        lines.extend(screen.paragraph(0, Emphasis::Faint, &expected(state, plan, proposal.tone)));
    }
    lines
}

/// How a tone gets a reference of its own where the filter stays in: the knob leaves its place for it, and comes back.
fn at_the_mark(state: &State) -> String {
    let back = match (state.plan(), state.last_reading()) {
        (Some(plan), Some(taken)) => format!(
            " until the meter reads {} at {} again",
            show::volts(taken.judged.reading.volts, plan.inputs.meter.resolution),
            show::tone(plan.inputs.tone)
        ),
        _ => String::new(),
    };
    format!(
        "Meters droop at low tones, so surer is TONE=VOLTS/REFERENCE: the reference read at that tone with the knob down at \
         its mark. Then bring the knob back{back}."
    )
}

/// What the filter in use would leave at a tone, standing where the last reading says.
fn expected(state: &State, plan: &Plan, tone: Hertz) -> String {
    let inputs = &plan.inputs;
    let corner = state.last_reading().and_then(|taken| taken.judged.corners.single()).unwrap_or(inputs.corner.corner());
    let volts = plan.true_reference.times(inputs.alignment.response(tone, corner).ratio());
    format!(
        "As it stands, with the same reference, a {} filter leaves {} there.",
        inputs.alignment,
        show::volts(volts, inputs.meter.resolution)
    )
}
