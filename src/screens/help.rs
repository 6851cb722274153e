//! What `?` says to each question: why it is asked, what is accepted, where to find the answer.

use super::line::{Emphasis, Line, Screen};
use crate::session::Question;

/// The explanation of a question.
pub fn help(question: Question, screen: Screen) -> Vec<Line> {
    let mut lines = vec![Line::empty()];
    for paragraph in text(question).split('\n') {
        lines.extend(screen.paragraph(2, Emphasis::Plain, paragraph));
    }
    if question == Question::Reading {
        for (typed, meaning) in KNOB_WORDS {
            lines.extend(screen.row(typed, meaning));
        }
    }
    lines
}

/// What can be typed while the knob is turned.
const KNOB_WORDS: [(&str, &str); 9] = [
    ("5.66", "a reading in volts; also `5,66` or `5660 mV`"),
    ("5.61..5.70", "the digits hunt: lowest and highest"),
    ("5.61 5.64", "several readings: their mean is taken"),
    ("strike 2 why", "strikes reading 2; it stays in the record"),
    ("Enter", "done turning: on to accepting"),
    ("w", "the working: of the target, or of the last reading"),
    ("! text", "a note for the record"),
    ("<", "back to the reference; `< tuning` to the tuning"),
    ("q", "pause; nothing is lost"),
];

fn text(question: Question) -> &'static str {
    match question {
        Question::Job => {
            "A customer, a vehicle, a work order: whatever you will look for when the record is needed again."
        }
        Question::Technician => "The person at the bench. The record is signed off by name at the end.",
        Question::Amplifier => {
            "Model, and serial number if you like. Next time the same name brings back its slope, family and marks."
        }
        Question::Meter => {
            "The meter's name or inventory number. Next time the same name brings back its accuracy and step."
        }
        Question::MeterAccuracy => {
            "From the AC volts table of the meter's manual, for the lowest band it gives: +-(1.0 % + 5 digits) means 1. \
             Below 40 or 45 Hz many meters promise nothing; the reference and the target are read at the same tone, so \
             that share cancels in their ratio."
        }
        Question::MeterDigits => "From the same line of the manual: +-(1.0 % + 5 digits) means 5. 0 is an answer.",
        Question::MeterResolution => {
            "How much the last digit on the display is worth on the range you will use: a display of 5.66 V has steps \
             of 0.01 V. A finer range makes the accept zone wider."
        }
        Question::Tuning => {
            "The frequency at which the port, not the cone, makes the sound: from the maker's sheet or the builder. The \
             rules put the corner below it. `unknown` finds it from the box and its port or with the meter, or goes on with a \
             corner of your own. The name of a driver file, or `values`, works out what the cone does.\nA sealed box has no tuning, and in most \
             of them the air spring holds the cone without a filter: answer `unknown`, and take the corner that the \
             driver's maker asks for."
        }
        Question::Driver => {
            "With the driver's Thiele/Small parameters, the box and the drive, the cone's travel is worked out: whether \
             the filter is needed, and the lowest corner that protects the cone. `values` asks for them one by one; a \
             driver file holds them for the next time (`cornerset excursion --help`)."
        }
        Question::SetAgain => {
            "The readings at several tones say which filter it is. The target for that filter differs, and so does the \
             corner at which the knob stands now. The reference holds; only the knob is turned again."
        }
        Question::Slope => {
            "How steeply the filter falls far below its corner, from the amplifier's manual: 12 and 24 dB/octave are \
             the usual ones. `unknown` is found out with a few readings."
        }
        Question::Family => {
            "The shape around the corner, from the amplifier's manual. It matters more than anything else: at its \
             corner a Butterworth is 3.01 dB down, a Linkwitz-Riley 6.02 dB. `unknown` lets you find out with two or \
             three readings, or takes Butterworth and says how far off that can be."
        }
        Question::Q => {
            "The Q printed at the knob or in the manual: 0.707 is Butterworth, above that the filter has a hump."
        }
        Question::Rule => {
            "three-quarters: tuning x 0.75, the trade's half octave.\nhalf-octave: tuning x 0.7071, the true one.\n\
             octave: tuning x 0.5, for steep slopes where the driver's displacement allows it.\nown: a corner that you \
             know better."
        }
        Question::Corner => "The corner that the maker of the driver asks for, or that a displacement curve gives.",
        Question::Bypass => {
            "The reference must be read without the filter. Where it cannot be taken out it is turned down as low as it \
             goes, and what it still takes off is reckoned out."
        }
        Question::ReferenceMark => {
            "The number printed where the knob stands when it is turned all the way down. It must lie below the wanted \
             corner. Where it only says MIN, take the lowest corner that the manual gives."
        }
        Question::MarkUncertainty => {
            "Printed marks are rarely exact; 5 % is usual. It widens what is uncertain about the target."
        }
        Question::Tone => {
            "Play what you have: the target follows from the tone that is played. At the corner, or a little below, a \
             reading says most; far above the corner it says next to nothing."
        }
        Question::Tolerance => {
            "A share of the corner is what protects the cone: 3 % of 27 Hz is 0.8 Hz. +-0.5 dB is about +-3 % of the \
             corner at 24 dB/octave and +-6 % at 12."
        }
        Question::RangeHeld => {
            "Press the range key so that the meter cannot change range by itself: then its gain error is the same in \
             both readings and cancels. `no` counts the whole error twice."
        }
        Question::Caution => {
            "Amplifier outputs can hurt and low tones can ruin drivers. The whole word is asked for on purpose."
        }
        Question::Gain => {
            "The filter is set at a low level, but the gain knob changes that level: set it first. `no` works out the \
             voltage for the rated power and load."
        }
        Question::RatedPower => "From the maker's manual, for the load that will be connected, e.g. 450 W.",
        Question::Load => "The impedance that the amplifier will drive, all speakers together, e.g. 2 ohm.",
        Question::Explore => {
            "Each line is a tone, the volts where the knob stands, and the reference: the volts at the same tone with the \
             filter out, `20=1.83/8.02`. Where it cannot be taken out, the reference is read with the knob down at its \
             mark, and the knob then comes back to its place; but for that it must not move. The tones named are those \
             that tell best; others are taken too. `strike 2 mistyped` strikes the second. Enter ends the list."
        }
        Question::Reference => {
            "The voltage that counts as 0 dB; half of it is 6 dB down, 0.708 of it is 3 dB down. Something low and round such as 8 V is easy to reckon with and \
             plenty for the meter. Hunting digits may be typed as a span, `7.96..8.03`, or as repeats, `7.98 8.01 8.00`."
        }
        Question::ReferenceConfirmed => {
            "A lower level sets the filter just as well, and is safer to touch and to hear."
        }
        Question::Reading => "What the meter shows now, with the filter in and the tone playing:",
        Question::Accept => {
            "The knob stays as it stands now. What is not inside needs a reason, which the record keeps."
        }
        Question::Sweep => {
            "Two or three more readings show whether family and slope are what the label says; the tones named tell best. A \
             reference of its own for each tone is best: meters droop at low tones. It is read with the filter out, or \
             where that cannot be with the knob down at its mark, and the knob then comes back to its place. \
             `strike 1 mistyped` strikes the first."
        }
        Question::DialMark => {
            "Dials are rarely exact. The number noted here is held against the corner that was measured, so that you learn how \
             far off this amplifier's print is. It changes no target and no verdict."
        }
        Question::Reason => "The record keeps it beside the verdict, for whoever looks at it later.",
        Question::Note => "Anything worth knowing later. Enter leaves it out.",
        Question::SignOff => {
            "Your name stands for the readings above. The record is then written once and never changed."
        }
    }
}
