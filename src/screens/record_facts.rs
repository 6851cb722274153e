//! What a record says, in sentences and in pairs: for the summary, the screen and the page. Nothing here is made harmless
//! yet; whoever shows it does that.

use super::line::Emphasis;
use super::plan::{accept_text, meter_text, tolerance_text, window_text};
use super::when::span;
use crate::filter::Alignment;
use crate::meter::{AcceptZone, MeterSpec, Tolerance, Verdict, Window};
use crate::quantity::show;
use crate::record::{FamilyFrom, Record};
use crate::session::EntryMode;

/// The corner with its uncertainty: `corner 27.0 +- 0.2 Hz`.
pub fn corner_said(record: &Record) -> String {
    let outcome = &record.outcome;
    match (outcome.corner_hz, outcome.corner_uncertainty_hz) {
        (Some(corner), Some(uncertainty)) => {
            format!("corner {:.1} +- {:.1} Hz", corner.hz(), uncertainty.hz().max(0.05))
        }
        (Some(corner), None) => format!("corner {}", show::hertz(corner)),
        (None, _) => "no single corner".to_owned(),
    }
}

/// The job, the corner and the verdict, which for above and below speaks of the voltage.
pub(super) fn verdict_line(record: &Record) -> String {
    let verdict = record.outcome.verdict;
    let word = verdict.word().to_uppercase();
    let volts = if matches!(verdict, Verdict::Above | Verdict::Below) { " in volts" } else { "" };
    let but = doubt(record).map_or_else(String::new, |(words, _)| format!(", {words}"));
    format!("{}: {}, {word}{volts}{but}", crate::quantity::text::visible(&record.job), corner_said(record))
}

/// Good news where it stands inside, of a filter that is what it was taken for.
pub fn verdict_emphasis(record: &Record) -> Emphasis {
    let is_good = record.outcome.verdict == Verdict::Inside && doubt(record).is_none();
    if is_good { Emphasis::Good } else { Emphasis::Warn }
}

/// Why a verdict may hold and the corner stand elsewhere all the same: in a few words, and in a sentence.
pub fn doubt(record: &Record) -> Option<(&'static str, &'static str)> {
    if record.outcome.family_confirmed == Some(false) {
        return Some((
            "BUT THE FILTER IS ANOTHER",
            "The filter is not what it was taken for, by readings at other tones: the corner stands elsewhere than this says.",
        ));
    }
    (record.filter.family_from == FamilyFrom::Guess).then_some((
        "BUT THE FILTER IS A GUESS",
        "Nobody knew the family of the filter, and nothing was read to find it out: the corner may stand elsewhere.",
    ))
}

/// The verdict in sentences for whoever does not know the words.
pub fn verdict_sentences(record: &Record) -> String {
    let verdict = match record.outcome.verdict {
        Verdict::Inside => "The last reading stands inside the tolerance, and by more than what the meter may be off.",
        Verdict::Borderline => {
            "Accepted borderline: the last reading stands inside the tolerance, but by less than what the meter may be off."
        }
        Verdict::Above => {
            "Accepted outside the tolerance: the last reading was too many volts, so the corner stands lower than wanted."
        }
        Verdict::Below => {
            "Accepted outside the tolerance: the last reading was too few volts, so the corner stands higher than wanted."
        }
    };
    doubt(record).map_or_else(|| verdict.to_owned(), |(_, sentence)| format!("{verdict} {sentence}"))
}

/// How far off it may be; `None` where the record names none.
fn tolerance(record: &Record) -> Option<Tolerance> {
    let plan = &record.plan;
    plan.tolerance_percent.map(Tolerance::Corner).or(plan.tolerance_db.map(Tolerance::Level))
}

/// The wanted corner and its tolerance: `27.0 Hz +- 3 %`.
pub fn wanted(record: &Record) -> String {
    let tolerance = tolerance(record).map_or_else(String::new, tolerance_text);
    format!("{} +- {tolerance}", show::hertz(record.plan.corner_hz))
}

/// The filter that the target was worked out for; `None` where the record names one that does not exist.
pub fn alignment(record: &Record) -> Option<Alignment> {
    match record.filter.q {
        Some(q) => Some(Alignment::second_order(q)),
        None => Alignment::new(record.filter.family, record.filter.slope_db_per_octave).ok(),
    }
}

/// The filter, and where its family comes from.
pub(super) fn filter(record: &Record) -> String {
    let filter = match record.filter.q {
        Some(q) => Alignment::second_order(q).to_string(),
        None => format!("{} {}", record.filter.family, record.filter.slope_db_per_octave),
    };
    match record.filter.family_from {
        FamilyFrom::Answer => filter,
        FamilyFrom::Fit => format!("{filter}, found by readings"),
        FamilyFrom::Guess => format!("{filter}, A GUESS: nobody knew the family"),
    }
}

/// How far the cone travels with the wanted corner; `None` where driver and box are unknown.
pub(super) fn cone_travels(record: &Record) -> Option<String> {
    let enclosure = &record.enclosure;
    let past = if enclosure.within_xmax == Some(false) { ", PAST XMAX" } else { "" };
    let (peak, at, xmax) = (enclosure.peak_mm?, enclosure.peak_hz?, enclosure.xmax_mm?);
    Some(format!("{} at {}, Xmax {}{past}", show::millimetres(peak), show::hertz(at), show::millimetres(xmax)))
}

/// What the sweep says of the filter in use, in a few words.
pub(super) fn sweep_says(record: &Record) -> Option<&'static str> {
    match record.outcome.family_confirmed {
        Some(true) => Some("fits the filter in use best"),
        Some(false) => Some("says that the filter is another"),
        None if record.outcome.fit.is_some() => Some("cannot tell whether the filter is the one in use"),
        None => None,
    }
}

/// The filter that the sweep fits, with its corner.
pub fn fit_sentence(record: &Record) -> Option<String> {
    let says = sweep_says(record)?;
    let Some(fit) = &record.outcome.fit else {
        return Some(format!("The sweep {says}; no filter fits its readings."));
    };
    Some(format!(
        "The sweep {says}. Accepted reading and sweep together fit {} {} with a corner of {:.2} Hz; their scatter leaves it \
         uncertain by {:.2} Hz (one standard error).",
        fit.family,
        fit.slope_db_per_octave,
        fit.corner_hz.hz(),
        fit.corner_standard_error_hz.hz()
    ))
}

/// Who signed off, and for whom.
pub fn signed_by(record: &Record) -> String {
    if record.is_signed_by_technician() {
        record.sign_off.name.clone()
    } else {
        format!("{} for {}", record.sign_off.name, record.technician)
    }
}

/// The place of a record in the chain of its bench.
pub(super) fn place(record: &Record) -> String {
    format!("{} number {}", record.bench, record.sequence)
}

/// Who and when, with what: names and what belongs to each.
pub fn circumstances(record: &Record) -> Vec<(&'static str, String)> {
    let mut pairs = vec![
        ("technician", record.technician.clone()),
        ("when", span(record.opened_at, record.closed_at)),
        ("amplifier", format!("{}; {}", record.amplifier.name, gain(record))),
        (
            "filter",
            format!(
                "{}; {}{}",
                filter(record),
                if record.filter.bypass { "can be taken out" } else { "cannot be taken out" },
                dial(record)
            ),
        ),
    ];
    let meter = &record.meter;
    let spec = MeterSpec { accuracy: meter.accuracy_percent, digits: meter.digits, resolution: meter.resolution_v };
    pairs.push(("meter", format!("{}: {}", meter.name, meter_text(spec, meter.range_held))));
    let tuning = record.enclosure.tuning_hz;
    pairs.push((
        "box",
        tuning.map_or_else(|| "tuning unknown".to_owned(), |hz| format!("tuned to {}", show::hertz(hz))),
    ));
    pairs.extend(record.enclosure.driver.iter().map(|driver| ("driver", driver.clone())));
    pairs.extend(cone_travels(record).map(|travels| ("cone travels", travels)));
    // That a script typed it is said louder.
    let typed = if record.entry == EntryMode::Keyboard { ", typed at the keyboard" } else { "" };
    pairs.push(("record", format!("{}, {}{typed}", place(record), record.tool)));
    pairs
}

/// What the print at the knob says, and how far off that is.
fn dial(record: &Record) -> String {
    let Some(mark) = record.filter.dial_mark_hz else {
        return String::new();
    };
    let off = record.outcome.corner_hz.map(|corner| format!(" ({})", show::signed_percent(mark.error_against(corner))));
    format!("; its print says {}{}", show::hertz(mark), off.unwrap_or_default())
}

fn gain(record: &Record) -> String {
    let amplifier = &record.amplifier;
    match (amplifier.gain_set_before, amplifier.rated_power_w, amplifier.load_ohm) {
        (true, ..) => "gain set before the session".to_owned(),
        (false, Some(power), Some(load)) => {
            format!("gain set first, for {} into {}", show::watts(power), show::ohms(load))
        }
        (false, ..) => "gain set first".to_owned(),
    }
}

/// The target: what was played, from which reference, and which volts count as right.
pub fn target(record: &Record) -> Vec<(&'static str, String)> {
    let plan = &record.plan;
    let setting = &plan.setting;
    let step = plan.meter_resolution_v;
    let rule = match (plan.rule, plan.tuning_hz) {
        (Some(rule), Some(tuning)) => format!("; {rule} of the tuning, {}", show::hertz(tuning)),
        _ => String::new(),
    };
    let reference = show::volts(plan.reference_v, step);
    let reference = match plan.reference_mark_hz {
        None => format!("{reference}, read with the filter out"),
        Some(mark) => format!(
            "{reference}, read with the filter at its {} mark{}; {} with the filter reckoned out",
            show::hertz(mark),
            plan.mark_uncertainty_percent.map_or_else(String::new, |share| format!(" (+- {})", show::percent(share))),
            show::volts(plan.true_reference_v, step)
        ),
    };
    let mut pairs = vec![
        ("wanted", format!("{}{rule}", wanted(record))),
        ("tone", show::tone(setting.tone_hz)),
        ("reference", reference),
        ("target", format!("{}, {} down", show::volts(setting.target_v, step), show::decibels(setting.down_db))),
    ];
    if let Some(tolerance) = tolerance(record) {
        let window = Window { low: setting.low_v, high: setting.high_v };
        let corners = (setting.corner_low_hz, setting.corner_high_hz);
        pairs.push(("window", window_text(window, tolerance, corners, step)));
    }
    let accept = match (setting.accept_low_v, setting.accept_high_v) {
        (Some(low), Some(high)) => AcceptZone::Between(low, high),
        _ => AcceptZone::Empty,
    };
    pairs.push(("accept", accept_text(accept, step)));
    pairs
}

/// When the cautions were acknowledged, in one line.
pub fn cautions_sentence(record: &Record) -> String {
    let Some(last) = record.cautions.iter().map(|caution| caution.acknowledged_at).max() else {
        return "NO CAUTION WAS ACKNOWLEDGED before the tones were played.".to_owned();
    };
    format!(
        "{} acknowledged, at {}.",
        show::plural(record.cautions.len(), "caution"),
        super::when::second(last, record.opened_at)
    )
}
