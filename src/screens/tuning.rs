//! A box's tuning: what was found, and the questions, explanations and cautions on the way to it.

use super::columns::{Row, Table};
use super::line::{Emphasis, Line, Screen};
use crate::plan::HAZARDOUS;
use crate::quantity::text::visible;
use crate::quantity::{Centimetres, Hertz, Watts, ranges, show};
use crate::tuning::{
    Budget, Dialogue, Found, Hookup, ImpedanceTuning, NoTuning, Opening, PortTuning, Step, ToneReading, VentedBox, Why,
    progress,
};

/// What was found, with where it comes from and what to mind.
pub fn tuning(found: &Found, screen: Screen) -> Vec<Line> {
    let mut lines = match found {
        Found::Dimensions(vented, said) => from_dimensions(vented, said, screen),
        Found::Impedance(hookup, said) => from_impedance(hookup, said, screen),
    };
    let warnings = match found {
        Found::Dimensions(_, said) => &said.warnings,
        Found::Impedance(_, said) => &said.warnings,
    };
    for warning in warnings {
        lines.extend(screen.item("! ", Emphasis::Warn, warning));
    }
    lines
}

/// How the tuning was found, in one line for a log.
pub fn tuning_account(found: &Found) -> String {
    let from = match found {
        Found::Dimensions(vented, _) => format!("dimensions: {}", the_box(vented)),
        Found::Impedance(hookup, said) => {
            format!("impedance: {}, {}", the_sweep(hookup, said), the_curve(said))
        }
    };
    format!("Tuning {} from {from}.", with_uncertainty(found)).replace('\u{a0}', " ")
}

/// What was found, in short, for someone who has just seen it all.
pub fn tuning_taken(found: &Found, screen: Screen) -> Vec<Line> {
    [screen.paragraph(0, Emphasis::Strong, &tuning_account(found)), tuning_use(found, screen)].concat()
}

/// What to do with it; nothing where no session takes it.
pub fn tuning_use(found: &Found, screen: Screen) -> Vec<Line> {
    if !ranges::TUNING.contains(found.tuning().hz()) {
        return vec![];
    }
    let text = format!("Use it: `cornerset set`, tuning {:.1}.", found.tuning().hz());
    screen.paragraph(0, Emphasis::Plain, &text)
}

fn with_uncertainty(found: &Found) -> String {
    format!("{:.1} +- {:.1} Hz", found.tuning().hz(), found.uncertainty().hz())
}

fn from_dimensions(vented: &VentedBox, said: &PortTuning, screen: Screen) -> Vec<Line> {
    let found = Found::Dimensions(*vented, said.clone());
    let mut lines = vec![Line::strong(format!("tuning {}, from dimensions", with_uncertainty(&found)))];
    let ends = Centimetres::new(said.effective_length.cm() - vented.length.cm());
    let air = format!(
        "{} of port and {} for its two ends, {} in all",
        length(vented.length),
        length(ends),
        length(said.effective_length)
    );
    lines.extend(screen.row("box", &the_box(vented)));
    lines.extend(screen.row("moving air", &air));
    lines.extend(screen.row("uncertainty", &parts(&said.budget)));
    lines
}

fn from_impedance(hookup: &Hookup, said: &ImpedanceTuning, screen: Screen) -> Vec<Line> {
    let found = Found::Impedance(*hookup, said.clone());
    let mut lines = vec![Line::strong(format!("tuning {}, from impedance", with_uncertainty(&found)))];
    lines.extend(screen.row("readings", &the_sweep(hookup, said)));
    lines.extend(screen.row("curve", &the_curve(said)));
    lines.extend(screen.row("uncertainty", &parts(&said.budget)));
    lines.extend(screen.paragraph(
        0,
        Emphasis::Plain,
        "Plausible where the minimum is the voice coil's dc resistance or little more.",
    ));
    lines.extend(screen.paragraph(
        0,
        Emphasis::Faint,
        "A leak in the box puts the minimum up to 2 % off the true tuning, and the coil's inductance puts it below. The \
         uncertainty covers both; neither is corrected.",
    ));
    lines
}

/// `48 l, 2 round ports 7.5 cm x 22 cm, 1 flanged end`.
fn the_box(vented: &VentedBox) -> String {
    let count = vented.ports as usize;
    let ports = match vented.opening {
        Opening::Round(diameter) => {
            format!("{} {} x {}", show::plural(count, "round port"), length(diameter), length(vented.length))
        }
        Opening::Slot(one, other) => {
            let slots = show::plural(count, "slot");
            format!("{slots} {} x {}, {} long", length(one), length(other), length(vented.length))
        }
    };
    let ends = show::plural(vented.flanged_ends as usize, "flanged end");
    format!("{}\u{a0}l, {ports}, {ends}", number(vented.volume.litres()))
}

/// `11 tones, 47 ohm in series with 2 V`.
fn the_sweep(hookup: &Hookup, said: &ImpedanceTuning) -> String {
    format!(
        "{}, {} ohm in series with {} V",
        show::plural(said.tones, "tone"),
        number(hookup.series.ohms()),
        number(hookup.source.volts())
    )
}

/// `minimum 4.31 ohm, peaks near 18.1 and 51.1 Hz`.
fn the_curve(said: &ImpedanceTuning) -> String {
    format!(
        "minimum {}, peaks near {:.1} and {:.1} Hz",
        show::ohms(said.minimum),
        said.lower_peak.hz(),
        said.upper_peak.hz()
    )
}

fn parts(budget: &Budget) -> String {
    let parts: Vec<String> =
        budget.parts().iter().map(|part| format!("{} {:.1} %", part.what, part.share.percent())).collect();
    format!("{} (each k = 2)", show::list_and(&parts))
}

fn length(length: Centimetres) -> String {
    format!("{}\u{a0}cm", number(length.cm()))
}

/// A number that was given, with at most two decimals.
fn number(value: f64) -> String {
    let text = format!("{value:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// The first lines of the dialogue.
pub fn tuning_opening(screen: Screen) -> Vec<Line> {
    let mut lines = vec![Line::strong("The tuning of a vented box")];
    lines.extend(screen.paragraph(
        0,
        Emphasis::Faint,
        "Enter takes what stands in brackets.  ?\u{a0}explain  <\u{a0}back  q\u{a0}leave",
    ));
    lines
}

/// What a session says once a tuning is taken: how well a corner can be known by it, and what must be put back.
pub fn tuning_in_session(found: &Found, screen: Screen) -> Vec<Line> {
    let share = found.uncertainty().hz() / found.tuning().hz() * 100.0;
    let text = format!(
        "The tuning is known to +-{:.1} Hz ({share:.0} %): a corner that follows from it by rule is known no better.",
        found.uncertainty().hz()
    );
    let mut lines = vec![Line::empty()];
    lines.extend(screen.paragraph(0, Emphasis::Plain, &text));
    if matches!(found, Found::Impedance(..)) {
        let text = "Before you go on: the tone off, the level down, the resistor out, the box disconnected.";
        lines.extend(screen.item("! ", Emphasis::Warn, text));
    }
    lines
}

/// The last lines where the dialogue was left before its end.
pub fn tuning_left(screen: Screen) -> Vec<Line> {
    let text = "Left without a tuning. If a tone is playing, turn the level down.";
    [vec![Line::empty()], screen.paragraph(0, Emphasis::Strong, text)].concat()
}

/// The prompt of a step, the default in brackets, cut to so many columns.
pub fn tuning_prompt(step: &Step, default: Option<&str>, default_columns: usize) -> String {
    let word = step.word();
    let Some(default) = default else {
        return word.to_owned();
    };
    let cut: String = default.chars().take(default_columns).collect();
    let more = if cut.len() < default.len() { "..." } else { "" };
    format!("{word} [{cut}{more}]")
}

/// What stands above the prompt.
pub fn tuning_question(dialogue: &Dialogue, step: &Step, screen: Screen) -> Vec<Line> {
    let mut lines = vec![Line::empty()];
    let connected = dialogue.readings();
    match step {
        Step::Caution => lines.extend(cautions(screen)),
        Step::Reading { tone, why } => {
            if let Some((hookup, readings)) = &connected {
                lines.extend(so_far(hookup, readings, screen));
            }
            let text = format!("Play {}: {}.", show::tone(*tone), purpose_of(*why));
            lines.extend(screen.paragraph(0, Emphasis::Strong, &text));
        }
        Step::Again(why) => lines.extend(nothing_found(why, screen)),
        Step::Take(found) => {
            lines.extend(tuning(found, screen));
            let text = "Enter takes it; `<` goes back to the last answer.";
            lines.extend(screen.paragraph(0, Emphasis::Plain, text));
        }
        step => lines.extend(screen.paragraph(0, Emphasis::Plain, purpose(step))),
    }
    lines
}

/// What a step is for, in one short line.
const fn purpose(step: &Step) -> &'static str {
    match step {
        Step::Method => "By `dimensions` of box and port, or by `impedance`, with meter and resistor?",
        Step::Volume => "The net volume of the box in litres; also `1.7 ft3`.",
        Step::Port => "Is the port `round`, or a `slot`?",
        Step::PortDiameter => "The inner diameter of the port in cm; also `4 in` or `102 mm`.",
        Step::Slot => "The inner sides of the slot in cm, as `4x28`.",
        Step::PortLength => "The length of the port in cm.",
        Step::Ports => "How many such ports has the box?",
        Step::FlangedEnds => "How many of a port's two ends lie flush in a wall: 0, 1 or 2?",
        Step::SeriesResistor => "The series resistor in ohm: ten times the voice coil's dc resistance or more.",
        Step::Source => "The source in volts, read ahead of the resistor with the box connected.",
        Step::MeterResolution => "One step of the meter's last digit on the range in use, in volts.",
        Step::Caution | Step::Reading { .. } | Step::Again(_) | Step::Take(_) => "",
    }
}

const fn purpose_of(why: Why) -> &'static str {
    match why {
        Why::First => "the first of several tones",
        Why::Higher => "higher, until both peaks are passed",
        Why::Lower => "lower, until the lower peak is passed",
        Why::OnePeak => "to see whether one peak is two",
        Why::Minimum => "closer to the minimum",
    }
}

/// What to set up before the first reading, and what the readings show after that.
fn so_far(hookup: &Hookup, readings: &[ToneReading], screen: Screen) -> Vec<Line> {
    let source = number(hookup.source.volts());
    let Some(last) = readings.last() else {
        let mut lines = screen.paragraph(
            0,
            Emphasis::Plain,
            &format!(
                "The resistor takes {}. Keep the source at {source} V ahead of it at every tone: an amplifier's \
                 low-cut filter, if it stays in, leaves less at low tones. Then move the meter across the box's \
                 terminals and type what it shows, in V.",
                power(hookup.most_power())
            ),
        );
        if hookup.source > HAZARDOUS {
            let text = format!(
                "The source is above {:.0} V rms and hazardous to touch; a volt or two does the same job.",
                HAZARDOUS.volts()
            );
            lines.extend(screen.item("! ", Emphasis::Warn, &text));
        }
        return lines;
    };
    let shown = progress(hookup, readings);
    let peaks: Vec<String> = shown.peaks.iter().map(|peak| format!("{:.1}", peak.hz())).collect();
    let learned = match (peaks.as_slice(), shown.minimum) {
        ([], _) => "no peak passed yet".to_owned(),
        ([one], _) => format!("one peak passed, near {one} Hz"),
        (_, Some(minimum)) => {
            format!("peaks near {} Hz, the minimum near {:.1} Hz", show::list_and(&peaks), minimum.hz())
        }
        (_, None) => format!("peaks near {} Hz", show::list_and(&peaks)),
    };
    let text = format!(
        "{} at {}: {}; {learned}.",
        show::volts(last.reading.volts, hookup.meter.resolution),
        show::tone(last.tone),
        show::ohms(hookup.impedance(last.reading.volts))
    );
    screen.paragraph(0, Emphasis::Faint, &text)
}

/// A power, where less than a tenth of a watt is not worth telling.
fn power(power: Watts) -> String {
    const LITTLE: Watts = Watts::new(0.1);
    if power < LITTLE { format!("less than {}", show::watts(LITTLE)) } else { show::watts(power) }
}

fn nothing_found(why: &NoTuning, screen: Screen) -> Vec<Line> {
    let mut lines = screen.item("! ", Emphasis::Warn, &format!("No tuning: {}.", why.problem()));
    let helps = match why {
        NoTuning::OnePeak(_) | NoTuning::LowerPeakBelow(_) | NoTuning::UpperPeakAbove(_) => {
            "If the box has a port, `dimensions` goes that way instead.".to_owned()
        }
        why => format!("What helps: {}.", why.remedy()),
    };
    lines.extend(screen.paragraph(0, Emphasis::Plain, &helps));
    let from = if why.is_of_the_hookup() { "again from the series resistor" } else { "the readings again" };
    let text = format!("Enter starts {from}; `<` goes back to the last reading; `q` leaves.");
    lines.extend(screen.paragraph(0, Emphasis::Plain, &text));
    lines
}

/// What can hurt someone or something while impedance is measured.
const CAUTIONS: [&str; 7] = [
    "This measurement needs the driver connected, in its box: the resistor goes between one terminal of the amplifier \
     and one of the box; the other two are joined. Nothing else hangs on that output.",
    "The resistor has ten times the voice coil's dc resistance or more and is rated for the power it takes.",
    "The level is all the way down before a tone is played. A volt or two at the source is enough: bring it up with \
     the meter, never by ear.",
    "More than 30 V rms is hazardous to touch, and amplifier outputs reach it. Hands off bare terminals while a tone \
     plays.",
    "A bridged output has no ground side: clip the meter across the two terminals, and connect no grounded instrument.",
    "A low tone moves a cone far before it is heard. If the resistor is shorted or slips off, the box gets the whole \
     level.",
    "The maker's manual, local codes and licensed practice come before anything this program says.",
];

fn cautions(screen: Screen) -> Vec<Line> {
    let mut lines = vec![Line::strong("Before anything is connected")];
    for (index, caution) in CAUTIONS.iter().enumerate() {
        lines.extend(screen.item(&format!("  {}. ", index + 1), Emphasis::Plain, caution));
    }
    lines.extend(screen.paragraph(0, Emphasis::Strong, "Type `understood` when all of this holds."));
    lines
}

/// What `?` says to a step.
pub fn tuning_help(dialogue: &Dialogue, step: &Step, screen: Screen) -> Vec<Line> {
    let mut lines = vec![Line::empty()];
    for paragraph in explanation(step).split('\n') {
        lines.extend(screen.paragraph(2, Emphasis::Plain, paragraph));
    }
    if let (Step::Reading { .. } | Step::Again(_) | Step::Take(_), Some((hookup, readings))) =
        (step, dialogue.readings())
    {
        lines.extend(table(&hookup, readings, screen));
    }
    lines
}

/// The readings by their tones.
fn table(hookup: &Hookup, readings: &[ToneReading], screen: Screen) -> Vec<Line> {
    if readings.is_empty() {
        return vec![];
    }
    let mut sorted = readings.to_vec();
    sorted.sort_by(|one, other| one.tone.hz().total_cmp(&other.tone.hz()));
    let row = |one: &ToneReading| Row {
        cells: vec![
            show::tone(one.tone),
            show::volts(one.reading.volts, hookup.meter.resolution),
            show::ohms(hookup.impedance(one.reading.volts)),
        ],
        emphasis: Emphasis::Plain,
    };
    let headings = ["tone", "across the box", "impedance"].map(str::to_owned).to_vec();
    Table { headings, rows: sorted.iter().map(row).collect() }.lines(3, screen)
}

const fn explanation(step: &Step) -> &'static str {
    match step {
        Step::Method => {
            "Dimensions are quick and good to 3 or 4 %, where every one of them is known and the box is no odd one. \
             Impedance is measured on the box as it is: about a dozen tones, a resistor in series, the meter across the \
             box's terminals. It finds the same within a few per cent, whatever the port looks like inside."
        }
        Step::Volume => {
            "The air inside: outer volume less walls, driver, bracing and the port itself. 3 % of volume is 1.5 % of \
             tuning."
        }
        Step::Port => "A slot is a port with straight sides, often along a wall. It counts as the circle of its area.",
        Step::PortDiameter => {
            "Of the opening, inside the tube. A flare at an end adds a little area and a little length."
        }
        Step::Slot => "Two sides with an x between; a unit on one of them serves both: `1.5 x 11 in`.",
        Step::PortLength => {
            "Along the middle of the port, from one opening to the other, round every bend; for a mere hole, the \
             thickness of the wall."
        }
        Step::Ports => "Ports of the same size. Their areas add; each has ends of its own.",
        Step::FlangedEnds => {
            "Air moves beyond the ends of a port too: by 0.82 of its radius at an end flush in a wall, by 0.61 at one \
             that stands free. A tube in the baffle has one of each. A slot along a wall is nearer to two."
        }
        Step::Caution => "Every line of the page matters. Type `understood`.",
        Step::SeriesResistor => {
            "It makes the source's current nearly constant, so that the volts across the box follow its impedance. For \
             a voice coil of 4 ohm take 47 ohm or more. Its exact value does not move the tuning; it matters for the \
             ohms that are shown."
        }
        Step::Source => {
            "Between the amplifier's terminals, ahead of the resistor. A volt or two; more where the meter's last digit \
             is coarse."
        }
        Step::MeterResolution => {
            "A display of 0.412 V has steps of 0.001 V. The finer the range, the fewer tones are needed: use the \
             millivolt range where there is one."
        }
        Step::Reading { .. } => {
            "Volts across the box's terminals: `0.412`, `412 mV`, `0.408..0.415` where the digits hunt. At another tone \
             than the one asked for: `27=0.412`. `<` takes the last reading back.\nA vented box has two peaks with a \
             minimum between, which is its tuning. Coarse tones find the peaks, close ones the minimum."
        }
        Step::Again(_) => "Started again, every tone is asked for anew. `dimensions` asks for box and port instead.",
        Step::Take(_) => "`yes` takes it. `<` goes back to the last answer, with all others kept.",
    }
}

/// The line that a log keeps of an answer: its word and what was typed, at its tone where it has one.
pub fn tuning_note(step: &Step, typed: &str) -> String {
    let at = |tone: &Hertz| format!(" at {}", show::tone(*tone));
    let tone = match step {
        Step::Reading { tone, .. } if !typed.contains('=') => at(tone),
        _ => String::new(),
    };
    format!("{}{tone}: {}", step.word(), visible(typed))
}
