//! What in a whole record stands out: each with what exactly, as a sentence.

use chrono::TimeDelta;

use super::kind::Kind;
use crate::meter::Verdict;
use crate::plan::HAZARDOUS;
use crate::quantity::entry::{Typed, parse_repeats_or_span};
use crate::quantity::{Volts, ranges, show};
use crate::record::{FamilyFrom, Record};
use crate::session::{EntryMode, LogEntry, Moment, Question};

/// No hand turns a knob, lets a meter settle and types in less. Common practice, no source.
const QUICKEST_TURN: TimeDelta = TimeDelta::seconds(1);
/// How near a multiple of the display step a reading must be, in steps: far above the last digit of the arithmetic.
const ON_A_STEP: f64 = 1e-6;

/// What stands out, the kinds in the order of [`Kind`].
pub(super) fn outstanding(record: &Record) -> Vec<(Kind, String)> {
    let mut found: Vec<(Kind, String)> = [
        (Kind::TimesBackwards, times_backwards(record)),
        (Kind::PastXmax, past_xmax(record)),
        (Kind::FilterIsAnother, filter_is_another(record)),
        (Kind::AcceptedOutside, accepted(record, &[Verdict::Above, Verdict::Below])),
        (Kind::AcceptedBorderline, accepted(record, &[Verdict::Borderline])),
        (Kind::FamilyGuessed, family_guessed(record)),
        (Kind::HighReference, high_reference(record)),
        (Kind::CautionMissing, caution_missing(record)),
        (Kind::MoreDigits, more_digits(record)),
        (Kind::TooFast, too_fast(record)),
        (Kind::OtherName, other_name(record)),
    ]
    .into_iter()
    .filter_map(|(kind, detail)| Some((kind, detail?)))
    .collect();
    found.sort_by_key(|(kind, _)| *kind);
    found
}

/// Every time in a record in the order in which it was written down, with what it is the time of. The sign-off is in the
/// log; a key that was not at hand may have it taken up again after that.
fn times(record: &Record) -> impl Iterator<Item = (Moment, &'static str)> {
    let opened = (record.opened_at, "opening");
    std::iter::once(opened).chain(record.log.iter().map(|entry| (entry.at(), entry.event())))
}

fn times_backwards(record: &Record) -> Option<String> {
    let times: Vec<(Moment, &'static str)> = times(record).collect();
    let (earlier, later) = times.windows(2).map(|two| (two[0], two[1])).find(|(one, next)| next.0 < one.0)?;
    Some(format!("The {} of {} is logged after the {} of {}.", later.1, later.0, earlier.1, earlier.0))
}

fn past_xmax(record: &Record) -> Option<String> {
    let part = &record.enclosure;
    let (peak, at, xmax) = (part.peak_mm?, part.peak_hz?, part.xmax_mm?);
    (part.within_xmax == Some(false)).then(|| {
        format!(
            "The cone travels {} at {}; Xmax is {}.",
            show::millimetres(peak),
            show::hertz(at),
            show::millimetres(xmax)
        )
    })
}

fn filter_is_another(record: &Record) -> Option<String> {
    let outcome = &record.outcome;
    (outcome.family_confirmed == Some(false)).then(|| match &outcome.fit {
        Some(fit) => format!(
            "Taken for {} {}, the readings fit {} {} with its corner at {}{}.",
            record.filter.family,
            record.filter.slope_db_per_octave,
            fit.family,
            fit.slope_db_per_octave,
            show::hertz(fit.corner_hz),
            because(record)
        ),
        None => format!("No filter fits the readings at other tones{}.", because(record)),
    })
}

fn accepted(record: &Record, verdicts: &[Verdict]) -> Option<String> {
    let reading = record.accepted_reading().filter(|reading| verdicts.contains(&reading.verdict))?;
    let (setting, step) = (&record.plan.setting, record.plan.meter_resolution_v);
    Some(format!(
        "{} at {}, {} in volts; window {} to {}{}.",
        show::volts(reading.volts, step),
        show::tone(reading.tone_hz),
        reading.verdict,
        show::low_limit(setting.low_v, step),
        show::high_limit(setting.high_v, step),
        because(record)
    ))
}

/// The reason that was given.
fn because(record: &Record) -> String {
    record.outcome.reason.as_ref().map_or_else(String::new, |reason| format!("; reason given: {reason}"))
}

fn family_guessed(record: &Record) -> Option<String> {
    (record.filter.family_from == FamilyFrom::Guess)
        .then(|| format!("{} {} was taken for it.", record.filter.family, record.filter.slope_db_per_octave))
}

fn high_reference(record: &Record) -> Option<String> {
    let reference = record.plan.reference_v;
    (reference > HAZARDOUS)
        .then(|| format!("{:.1} V, where {:.0} V rms is hazardous to touch.", reference.volts(), HAZARDOUS.volts()))
}

fn caution_missing(record: &Record) -> Option<String> {
    let acknowledged = |question: Question| {
        record.log.iter().any(|entry| matches!(entry, LogEntry::Caution(caution) if caution.question == question))
    };
    if !acknowledged(Question::Caution) || record.cautions.is_empty() {
        return Some("The page of cautions was not acknowledged.".to_owned());
    }
    let hazardous = record.plan.reference_v > HAZARDOUS;
    (hazardous && !acknowledged(Question::ReferenceConfirmed))
        .then(|| "The caution about the reference was not acknowledged.".to_owned())
}

/// Readings on the range that was held, finer than its display step.
fn more_digits(record: &Record) -> Option<String> {
    if !record.plan.range_held {
        return None;
    }
    let step = record.plan.meter_resolution_v;
    let readings = record.readings().map(|reading| (&reading.typed, &ranges::READING));
    let references = record.log.iter().filter_map(|entry| match entry {
        LogEntry::Reference(reference) => Some((&reference.typed, &ranges::REFERENCE)),
        _ => None,
    });
    let mut finer = readings.chain(references).filter(|(typed, range)| {
        parse_repeats_or_span(typed, range).is_ok_and(|typed| values(&typed).iter().any(|volts| !is_on(*volts, step)))
    });
    let (first, _) = finer.next()?;
    let more = finer.count();
    let others = if more == 0 { String::new() } else { format!(", and {}", show::plural(more, "more")) };
    Some(format!("`{first}`{others}, where the meter shows steps of {} V.", step.volts()))
}

fn values(typed: &Typed) -> Vec<f64> {
    match typed {
        Typed::One(value) => vec![*value],
        Typed::Span { low, high } => vec![*low, *high],
        Typed::Repeats(values) => values.clone(),
    }
}

fn is_on(volts: f64, step: Volts) -> bool {
    let steps = volts / step.volts();
    (steps - steps.round()).abs() <= ON_A_STEP * steps.abs().max(1.0)
}

/// A script takes no time to turn a knob; that it was one is another finding.
fn too_fast(record: &Record) -> Option<String> {
    if record.entry == EntryMode::Script {
        return None;
    }
    let readings: Vec<_> = record.readings().collect();
    let quick = |two: &&[&crate::session::ReadingEntry]| {
        let between = two[1].at.time() - two[0].at.time();
        (TimeDelta::zero()..QUICKEST_TURN).contains(&between)
    };
    let two = readings.windows(2).find(quick)?;
    let millis = (two[1].at.time() - two[0].at.time()).num_milliseconds();
    Some(format!("Readings {} and {} were typed {:.2} s apart.", two[0].number, two[1].number, millis as f64 / 1000.0))
}

fn other_name(record: &Record) -> Option<String> {
    let (name, technician) = (&record.sign_off.name, &record.technician);
    (!record.is_signed_by_technician()).then(|| format!("{name} signed off for {technician}."))
}
