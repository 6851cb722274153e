//! The simulated bench as a person sees it.

use super::line::{Emphasis, Line, Screen, WIDEST};
use crate::meter::Tolerance;
use crate::plan::Plan;
use crate::practice::{Bench, PlainRule, Sheet, Trap};
use crate::quantity::{Hertz, Percent, ranges, show};

/// Columns inside the panel's frame.
const PANEL: usize = 54;
/// Columns of the dial from one print's to the next whole number's place.
const DIAL_STEP: usize = 4;
/// Where the dial begins.
const DIAL_FROM: usize = 6;
/// Columns inside the display.
const DISPLAY: usize = 24;
/// Where the words beside the display begin.
const BESIDE: usize = DISPLAY + 6;
/// A trap that moves the corner by less, in per cent, is not worth a word.
const WORTH_A_WORD: f64 = 1.0;
/// The traps that are told make the whole error to within this share.
const ADDS_UP: f64 = 0.005;
/// Decimals of their factors, the fewest with which their product comes out.
const DECIMALS: [usize; 4] = [2, 3, 4, 5];
/// More slips than these are counted only.
const MOST_SLIPS: usize = 5;

/// The bench as it stands: the job, the amplifier's panel, the meter with its display, the source; and what can be typed.
pub fn bench_panel(bench: &Bench, screen: Screen) -> Vec<Line> {
    let sheet = bench.sheet();
    let mut lines = vec![Line::strong(format!("Practice bench, {}, seed {}", bench.level().word(), bench.seed()))];
    let job = format!(
        "The job: low cut of a vented box tuned to {}, by the rule `three-quarters`. Gain is set; no speakers.",
        show::hertz(sheet.tuning)
    );
    lines.extend(screen.paragraph(0, Emphasis::Plain, &job));
    if screen.is_plain() || screen.width() < PANEL + 4 {
        lines.extend(in_words(bench, screen));
    } else {
        lines.extend(drawn(bench, screen));
    }
    lines.extend(screen.item("Source: ", Emphasis::Plain, &source(bench)));
    let switch = if sheet.has_switch { "`in`, `out`, " } else { "" };
    let text = format!(
        "At any prompt: `turn 4.2` (the dial), `play {}`, `volume 12`, {switch}`look` (at the meter again), `panel` (all of this).",
        show::exact_hertz(sheet.tones.nearest(Hertz::new(31.0))).trim_end_matches(" Hz")
    );
    lines.extend(screen.paragraph(0, Emphasis::Faint, &text));
    lines
}

/// Panel and meter as a drawing.
fn drawn(bench: &Bench, screen: Screen) -> Vec<Line> {
    let sheet = bench.sheet();
    let edge = format!("+{}+", "=".repeat(PANEL + 2));
    let switch = match (sheet.has_switch, bench.is_in()) {
        (false, _) => "always in",
        (true, true) => "[IN]  out",
        (true, false) => " in  [OUT]",
    };
    let mut rows = vec![
        spread(&sheet.amplifier, &volume(bench)),
        spread(&format!("low cut: {}", sheet.label), switch),
        if sheet.has_switch { String::new() } else { spread("", &mark_in_words(sheet)) },
    ];
    rows.extend(dial(bench));
    let mut lines = vec![Line::plain(edge.clone())];
    lines.extend(rows.into_iter().map(|row| Line::plain(format!("| {row:<PANEL$} |"))));
    lines.push(Line::plain(edge));
    lines.extend(display_drawn(bench, screen));
    lines
}

/// The display, with what the meter's manual says beside it; below it in a narrow window.
fn display_drawn(bench: &Bench, screen: Screen) -> Vec<Line> {
    let edge = |corner: char| format!("  {corner}{}{corner}", "-".repeat(DISPLAY));
    let shown = format!("  |{:^DISPLAY$}|", display(bench));
    let mut rows = [edge('.'), shown, edge('\'')];
    let words = format!("Meter, AC volts: {}", meter_in_words(bench.sheet()));
    let mut below = vec![];
    if screen.width() == WIDEST {
        let beside = Screen::new(WIDEST - BESIDE, true).paragraph(0, Emphasis::Plain, &words);
        for (row, line) in rows.iter_mut().zip(&beside) {
            *row = format!("{row:<BESIDE$}{}", line.text);
        }
        below.extend(beside.into_iter().skip(rows.len()));
    } else {
        below = screen.paragraph(0, Emphasis::Plain, &words);
    }
    let emphasis = [Emphasis::Plain, Emphasis::Strong, Emphasis::Plain];
    rows.into_iter().zip(emphasis).map(|(text, emphasis)| Line { text, emphasis }).chain(below).collect()
}

/// The same, a row each.
fn in_words(bench: &Bench, screen: Screen) -> Vec<Line> {
    let sheet = bench.sheet();
    let prints: Vec<String> = sheet
        .prints
        .iter()
        .map(|print| format!("{} at {}", show::exact_hertz(print.corner), show::figures(print.dial)))
        .collect();
    let switch =
        if sheet.has_switch { standing(bench).to_owned() } else { format!("always in; {}", mark_in_words(sheet)) };
    let mut lines = screen.row("amplifier", &format!("{}, {}", sheet.amplifier, volume(bench)));
    lines.extend(screen.row("low cut", &format!("{}; {switch}", sheet.label)));
    lines.extend(screen.row("dial", &format!("{}; the knob at {}", show::list_and(&prints), pointer(bench))));
    lines.extend(screen.row("AC volts", &meter_in_words(sheet)));
    lines.extend(screen.row("display", &display(bench)));
    lines
}

/// The dial: its prints, its scale, and the pointer.
fn dial(bench: &Bench) -> Vec<String> {
    let last = ranges::DIAL.high as usize;
    let column = |dial: f64| DIAL_FROM + (dial * DIAL_STEP as f64).round() as usize;
    let mut prints = "  Hz".to_owned();
    let mut ticks = vec!['-'; last * DIAL_STEP + 1];
    for print in &bench.sheet().prints {
        let text = show::exact_hertz(print.corner).trim_end_matches(" Hz").to_owned();
        let at = column(print.dial);
        ticks[at - DIAL_FROM] = '|';
        put(&mut prints, at.saturating_sub((text.len() - 1) / 2), &text);
    }
    let mut numbers = "dial".to_owned();
    for number in 0..=last {
        put(&mut numbers, column(number as f64), &number.to_string());
    }
    let mut knob = "knob".to_owned();
    put(&mut knob, column(bench.dial()), &format!("^ {}", pointer(bench)));
    let scale = format!("{}{}", " ".repeat(DIAL_FROM), ticks.into_iter().collect::<String>());
    vec![prints, scale, numbers, knob]
}

/// Puts a text at a column, or after what stands there already.
fn put(row: &mut String, column: usize, text: &str) {
    let gap = column.saturating_sub(row.len()).max(usize::from(row.len() > column));
    row.push_str(&" ".repeat(gap));
    row.push_str(text);
}

/// Two texts at the ends of a row of the panel.
fn spread(left: &str, right: &str) -> String {
    let gap = PANEL.saturating_sub(left.len() + right.len()).max(1);
    format!("{left}{}{right}", " ".repeat(gap))
}

fn volume(bench: &Bench) -> String {
    format!("volume {} of {}", bench.volume(), ranges::VOLUME_STEP.high)
}

/// Where the knob points.
fn pointer(bench: &Bench) -> String {
    let text = format!("{:.2}", bench.dial());
    text.strip_suffix('0').unwrap_or(&text).to_owned()
}

const fn standing(bench: &Bench) -> &'static str {
    if bench.is_in() { "switched in" } else { "switched out" }
}

/// What the display shows: one number, or those that are seen one after the other.
fn display(bench: &Bench) -> String {
    format!("{} V", bench.shown().join("  "))
}

/// What a reference with the filter in rests on.
fn mark_in_words(sheet: &Sheet) -> String {
    format!("lowest mark good to {}", show::percent(sheet.mark_tolerance))
}

fn meter_in_words(sheet: &Sheet) -> String {
    let meter = sheet.meter;
    let scale = show::volts(meter.full_scale(), meter.spec.resolution);
    let step = meter.spec.resolution.volts();
    let range = if meter.range_held {
        format!("held on {scale}, step {step} V")
    } else {
        format!("changes range by itself; the reference on {scale}, step {step} V")
    };
    let accuracy = meter.accuracy();
    let (low, high) = (meter.band_low.hz(), meter.band_high.hz());
    format!("{} counts; {range}. {accuracy} from {low:.0} to {high:.0} Hz.", meter.counts)
}

fn source(bench: &Bench) -> String {
    let plays = bench.tone().map_or("no tone plays".to_owned(), |tone| format!("{} plays", show::exact_hertz(tone)));
    let has = match bench.sheet().tones.list() {
        None => format!("any tone, {}", ranges::TONE.accepted()),
        Some(list) => {
            let tones: Vec<String> = list.iter().map(|tone| tone.hz().to_string()).collect();
            format!("it has {} Hz", show::list_and(&tones))
        }
    };
    format!("{plays}; {has}.")
}

/// What a move led to: where the knob, the tone and the switch stand, and the meter's display, in two or three lines.
pub fn bench_moved(bench: &Bench, screen: Screen) -> Vec<Line> {
    let tone = bench.tone().map_or("no tone".to_owned(), show::exact_hertz);
    let filter = if bench.sheet().has_switch { format!("filter {}, ", standing(bench)) } else { String::new() };
    let stands = format!("knob at {}, {filter}{tone}, {}", pointer(bench), volume(bench));
    let shown = bench.shown();
    let text = match shown.as_slice() {
        [one] if one.parse::<f64>().is_err() => format!("{one}   (past the end of the range: volume down)"),
        [one] => format!("{one} V"),
        several => format!("{} V   (one after the other)", several.join("   ")),
    };
    let mark = if screen.is_plain() { "  meter: " } else { "  METER >>>  " };
    let mut lines = screen.paragraph(2, Emphasis::Plain, &stands);
    lines.extend(screen.item(mark, Emphasis::Strong, &text));
    lines
}

/// How it really stood, told when the session has ended: the learner's own corner and the slips that were found in the
/// session, then the filter, the turns, and where the plain rule would have left the knob and why.
///
/// `slips` are sentences, the worst first; `left` are those about what no slip explains.
pub fn bench_truth(bench: &Bench, plan: &Plan, slips: &[String], left: &[String], screen: Screen) -> Vec<Line> {
    let wanted = plan.inputs.corner.corner();
    let (truth, rule) = (bench.truth(), bench.plain_rule(wanted));
    let mut lines = vec![Line::empty(), Line::strong("How this bench really stands")];
    let (is_within, result) = result(bench, plan);
    let emphasis = if is_within { Emphasis::Good } else { Emphasis::Warn };
    lines.extend(screen.paragraph(0, emphasis, &result));
    for slip in slips.iter().take(MOST_SLIPS) {
        lines.extend(screen.item("  - ", Emphasis::Plain, slip));
    }
    if slips.len() > MOST_SLIPS {
        lines.push(Line::plain(format!("  and {} more", slips.len() - MOST_SLIPS)));
    }
    for sentence in left {
        lines.extend(screen.paragraph(0, Emphasis::Plain, sentence));
    }
    let filter = match truth.mislabelled {
        Some(label) => format!("{}. The label is wrong: it says {label}.", truth.alignment),
        None if bench.sheet().label.family.is_none() => format!("{}; no family was printed.", truth.alignment),
        None => format!("{}, as the label says.", truth.alignment),
    };
    lines.extend(screen.row("filter", &filter));
    lines.extend(screen.row("wanted", &show::exact_hertz(wanted)));
    lines.extend(screen.row("corner", &off(truth.corner, wanted)));
    lines.extend(screen.row("turns", &show::plural(truth.turns, "turn")));
    lines.extend(screen.row("the plain rule", &off(rule.corner, wanted)));
    lines.extend(screen.paragraph(0, Emphasis::Plain, &plain_rule(bench, &rule, wanted)));
    lines
}

/// Corners nearer to each other than this share are one.
const SAME_CORNER: f64 = 1e-3;

fn off(corner: Hertz, wanted: Hertz) -> String {
    format!("{:.2} Hz ({} off)", corner.hz(), show::signed_percent(corner.error_against(wanted)))
}

/// The learner's own result, and whether it is within the tolerance: a level is taken at the setting tone.
fn result(bench: &Bench, plan: &Plan) -> (bool, String) {
    let (truth, inputs) = (bench.truth(), &plan.inputs);
    let wanted = inputs.corner.corner();
    let level = |corner: Hertz| truth.alignment.response(inputs.tone, corner).down().db();
    let (is_within, tolerance) = match inputs.tolerance {
        Tolerance::Corner(share) => (truth.error(wanted).percent().abs() <= share.percent(), show::percent(share)),
        Tolerance::Level(share) => ((level(truth.corner) - level(wanted)).abs() <= share.db(), show::decibels(share)),
    };
    let place = if is_within { "within" } else { "outside" };
    let own = format!("{} off, {place} the tolerance of {tolerance}", show::signed_percent(truth.error(wanted)));
    let job = bench.sheet().wanted();
    if (wanted.hz() / job.hz() - 1.0).abs() < SAME_CORNER {
        return (is_within, format!("Your corner: {own}."));
    }
    let text = format!(
        "Your corner: {} off the {} of the job. Of the {} that you asked for: {own}.",
        show::signed_percent(truth.error(job)),
        show::exact_hertz(job),
        show::exact_hertz(wanted)
    );
    (false, text)
}

/// What the plain rule does here, and which traps it falls into. Shares of a corner multiply, so where there are several they
/// are told as factors, with as many decimals as it takes for their product to be the whole that is told.
fn plain_rule(bench: &Bench, rule: &PlainRule, wanted: Hertz) -> String {
    let rule_says = format!(
        "The plain rule plays {}, brings the volume to about 7.5 V (here {}), and turns the knob until 0.707 of that is left \
         ({}).",
        show::exact_hertz(rule.tone),
        show::volts(rule.reference, rule.step),
        show::volts(rule.goal(), rule.step)
    );
    let (told, factors) = told_traps(rule, wanted);
    let reasons: Vec<String> = told.iter().map(|(trap, _)| reason(bench, rule, *trap, wanted)).collect();
    match reasons.as_slice() {
        [] => format!(
            "{rule_says} Here that is right: this filter is half a power down at its corner, and nothing else misleads."
        ),
        [one] => format!("{rule_says} Here {one} ({}).", show::signed_percent(told[0].1)),
        several => {
            let each: Vec<String> =
                several.iter().zip(&factors).map(|(reason, factor)| format!("{reason} (x\u{a0}{factor})")).collect();
            let whole = rule.corner.hz() / wanted.hz();
            format!("{rule_says} Here {}. These multiply: {} = {whole:.2}.", each.join("; "), factors.join(" x "))
        }
    }
}

/// The traps that are told, the worst first, and their factors as they are written.
fn told_traps(rule: &PlainRule, wanted: Hertz) -> (Vec<(Trap, Percent)>, Vec<String>) {
    let mut traps = rule.traps.to_vec();
    traps.sort_by(|(_, one), (_, other)| other.percent().abs().total_cmp(&one.percent().abs()));
    let whole = rule.corner.hz() / wanted.hz();
    let worth = traps.iter().filter(|(_, moves)| moves.percent().abs() >= WORTH_A_WORD).count();
    for count in worth..=traps.len() {
        let told = &traps[..count];
        let together: f64 = told.iter().map(|(_, moves)| 1.0 + moves.fraction()).product();
        if (together / whole - 1.0).abs() > ADDS_UP {
            continue;
        }
        for decimals in DECIMALS {
            let factors: Vec<String> =
                told.iter().map(|(_, moves)| format!("{:.decimals$}", 1.0 + moves.fraction())).collect();
            let product: f64 = factors.iter().filter_map(|factor| factor.parse::<f64>().ok()).product();
            if count < 2 || format!("{product:.2}") == format!("{whole:.2}") {
                return (told.to_vec(), factors);
            }
        }
    }
    (traps, vec![])
}

fn reason(bench: &Bench, rule: &PlainRule, trap: Trap, wanted: Hertz) -> String {
    let truth = bench.truth();
    match trap {
        Trap::Filter => {
            let down = truth.alignment.response(wanted, wanted).down();
            let level = if down.db() < 0.0 {
                format!("{:.2} dB up", -down.db())
            } else {
                format!("{} down", show::decibels(down))
            };
            format!("the filter is {level} at its corner, not 3.01 dB down")
        }
        Trap::Tone => format!("the source has no {}", show::exact_hertz(wanted)),
        Trap::StayedIn => format!(
            "its reference was read with the filter in, at its lowest mark, where the corner is really {}",
            show::hertz(truth.lowest)
        ),
        Trap::Meter if rule.range_changed => {
            "the meter changed range between reference and reading, and its ranges disagree".to_owned()
        }
        Trap::Meter => "the meter's last digit rounds".to_owned(),
        Trap::Stop => "the knob came to its stop".to_owned(),
    }
}
