//! The record: everything that was asked, read and decided, in one document.

use serde::{Deserialize, Serialize};

use super::canonical::{NotCanonical, digest};
use crate::displacement::Analysis;
use crate::filter::{Family, Slope};
use crate::meter::Verdict;
use crate::plan::PlanDocument;
use crate::quantity::{Hertz, Millimetres, Ohms, Percent, Volts, Watts};
use crate::session::{EntryMode, LogEntry, Moment, Question, State};

/// The name of the format.
pub const FORMAT: &str = "cornerset-record";

/// The version of the format. A reader refuses another one.
///
/// - 1: the first.
pub const VERSION: u32 = 1;

/// What every sign-off states.
pub const STATEMENT: &str = "The readings in this record are what the meter showed.";
/// What a sign-off without a key states besides.
const WITHOUT_A_KEY: &str = "Signed off by typed name, without a key.";
/// What a sign-off with a key states besides, before its fingerprint.
const WITH_THE_KEY: &str = "Signed off with the key ";

/// The record of one session.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Record {
    /// Always [`FORMAT`].
    pub format: String,
    /// See [`VERSION`].
    pub version: u32,
    /// UUID version 7.
    pub id: String,
    /// Who typed.
    pub entry: EntryMode,
    /// Whether the readings come from a simulated bench; such a record never counts.
    pub practice: bool,
    /// The bench, whose records form a chain.
    pub bench: String,
    /// The place in the chain, from 1.
    pub sequence: u64,
    /// The digest of the record before; null for the first.
    pub previous: Option<String>,
    /// The program and its version.
    pub tool: String,
    /// When the session was opened.
    pub opened_at: Moment,
    /// When it was signed off.
    pub closed_at: Moment,
    /// The job.
    pub job: String,
    /// The technician.
    pub technician: String,
    /// The amplifier.
    pub amplifier: AmplifierPart,
    /// The filter as it was taken.
    pub filter: FilterPart,
    /// The meter.
    pub meter: MeterPart,
    /// The box.
    #[serde(rename = "box")]
    pub enclosure: BoxPart,
    /// All inputs and every target.
    pub plan: PlanDocument,
    /// The cautions that were acknowledged.
    pub cautions: Vec<CautionPart>,
    /// Everything that happened, in order.
    pub log: Vec<LogEntry>,
    /// How it ended.
    pub outcome: OutcomePart,
    /// Who stands for it.
    pub sign_off: SignOffPart,
}

/// The amplifier.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AmplifierPart {
    /// As named.
    pub name: String,
    /// Whether its gain was set before the session; if not, the session gave the voltage to set it by.
    pub gain_set_before: bool,
    /// Rated power, where it was given to set the gain by.
    pub rated_power_w: Option<Watts>,
    /// Load, where it was given.
    pub load_ohm: Option<Ohms>,
}

/// The filter as it was taken for the plan.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FilterPart {
    /// The family.
    pub family: Family,
    /// The slope.
    pub slope_db_per_octave: Slope,
    /// The Q of a second-order filter; null else.
    pub q: Option<f64>,
    /// Whether the family was answered, fitted to readings, or only guessed.
    pub family_from: FamilyFrom,
    /// Whether it can be taken out.
    pub bypass: bool,
    /// What the print at the knob says where it was left; null where it has none or nobody looked.
    pub dial_mark_hz: Option<Hertz>,
}

/// Where the family comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum FamilyFrom {
    /// As answered.
    Answer,
    /// Fitted to readings, before the knob was set or when it was set again.
    Fit,
    /// Unknown, and Butterworth taken for it.
    Guess,
}

/// The meter.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MeterPart {
    /// As named.
    pub name: String,
    /// Share of reading.
    pub accuracy_percent: Percent,
    /// Steps of the last digit.
    pub digits: u32,
    /// One display step.
    pub resolution_v: Volts,
    /// Whether it stayed on one range.
    pub range_held: bool,
}

/// The box.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BoxPart {
    /// The tuning; null where it is unknown.
    pub tuning_hz: Option<Hertz>,
    /// Driver, box and drive as the keys of a driver file on one line; null where they are unknown.
    pub driver: Option<String>,
    /// Whether this driver in this box needs the filter; null where that is unknown.
    pub filter_needed: Option<bool>,
    /// The lowest corner of the filter in use that keeps the cone within Xmax; null where none is known, needed or enough.
    pub lowest_safe_corner_hz: Option<Hertz>,
    /// The farthest that the cone travels, one way, with the wanted corner; null where driver and box are unknown.
    pub peak_mm: Option<Millimetres>,
    /// Where.
    pub peak_hz: Option<Hertz>,
    /// The linear limit of travel; null where driver and box are unknown.
    pub xmax_mm: Option<Millimetres>,
    /// Whether it keeps within that; null where driver and box are unknown.
    pub within_xmax: Option<bool>,
    /// The most drive at which it would, with the wanted corner; null where driver and box are unknown.
    pub highest_drive_v: Option<Volts>,
}

/// A caution that was acknowledged.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CautionPart {
    /// The text.
    pub text: String,
    /// When.
    pub acknowledged_at: Moment,
}

/// How the session ended.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OutcomePart {
    /// The verdict on the last reading.
    pub verdict: Verdict,
    /// The corner that it says; null where it is not one.
    pub corner_hz: Option<Hertz>,
    /// Expanded uncertainty of that corner, k = 2.
    pub corner_uncertainty_hz: Option<Hertz>,
    /// What the sweep fits; null without one.
    pub fit: Option<FitPart>,
    /// Whether the sweep confirms the filter in use; null where it cannot tell.
    pub family_confirmed: Option<bool>,
    /// Why it was accepted all the same.
    pub reason: Option<String>,
}

/// What the sweep fits.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FitPart {
    /// The corner.
    pub corner_hz: Hertz,
    /// Its standard error.
    pub corner_standard_error_hz: Hertz,
    /// The family.
    pub family: Family,
    /// The slope.
    pub slope_db_per_octave: Slope,
}

/// Who stands for the record.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SignOffPart {
    /// The name as typed.
    pub name: String,
    /// When.
    pub at: Moment,
    /// What the name stands for.
    pub statement: String,
    /// Of the canonical form without this key and the next.
    pub digest: String,
    /// An OpenSSH signature over the same bytes; null without a key.
    pub signature: Option<String>,
}

/// The place of a record in its bench's chain.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ChainLink {
    /// From 1.
    pub sequence: u64,
    /// The digest of the record before.
    pub previous: Option<String>,
}

impl Record {
    /// The record of a complete session.
    ///
    /// # Errors
    /// Where the session is not complete, or a number cannot be written.
    pub fn of(state: &State, link: ChainLink) -> Result<Self, NotCanonical> {
        Self::stating(state, link, None)
    }

    /// The record of a complete session that the key with this fingerprint is about to sign: it says so itself, so that
    /// the signature cannot be taken off unseen.
    ///
    /// # Errors
    /// As [`Record::of`].
    pub fn for_key(state: &State, link: ChainLink, fingerprint: &str) -> Result<Self, NotCanonical> {
        Self::stating(state, link, Some(fingerprint))
    }

    fn stating(state: &State, link: ChainLink, key: Option<&str>) -> Result<Self, NotCanonical> {
        let mut record = Self::without_digest(state, link, key).ok_or(NotCanonical::NotComplete)?;
        record.sign_off.digest = digest(&record)?;
        Ok(record)
    }

    /// The fingerprint of the key that the record says it is signed with.
    pub fn key_stated(&self) -> Option<&str> {
        self.sign_off.statement.strip_prefix(STATEMENT)?.trim_start().strip_prefix(WITH_THE_KEY)
    }

    /// The record of a complete session for a key, or for none, before it has a digest; `None` where the session is not
    /// complete.
    pub fn without_digest(state: &State, link: ChainLink, key: Option<&str>) -> Option<Self> {
        let opened = state.opened();
        let plan = state.plan()?;
        let (name, at) = state.signed_off()?;
        let alignment = plan.inputs.alignment;
        let stated = key.map_or_else(|| WITHOUT_A_KEY.to_owned(), |fingerprint| format!("{WITH_THE_KEY}{fingerprint}"));
        let statement = format!("{STATEMENT} {stated}");
        Some(Self {
            format: FORMAT.to_owned(),
            version: VERSION,
            id: opened.id.clone(),
            entry: state.entry_mode(),
            practice: opened.practice,
            bench: opened.bench.clone(),
            sequence: link.sequence,
            previous: link.previous,
            tool: opened.tool.clone(),
            opened_at: opened.at,
            closed_at: at,
            job: state.job()?.to_owned(),
            technician: state.technician()?.to_owned(),
            amplifier: AmplifierPart {
                name: state.amplifier()?.to_owned(),
                gain_set_before: !state.comes_up(Question::Load),
                rated_power_w: state.rated_power(),
                load_ohm: state.load(),
            },
            filter: FilterPart {
                family: alignment.family(),
                slope_db_per_octave: alignment.slope(),
                q: alignment.q(),
                family_from: match state.family()? {
                    _ if state.found().is_some() => FamilyFrom::Fit,
                    Some(_) => FamilyFrom::Answer,
                    None if state.explored().is_empty() => FamilyFrom::Guess,
                    None => FamilyFrom::Fit,
                },
                bypass: plan.inputs.reference.mark.is_none(),
                dial_mark_hz: state.dial_mark(),
            },
            meter: MeterPart {
                name: state.meter_name()?.to_owned(),
                accuracy_percent: plan.inputs.meter.accuracy,
                digits: plan.inputs.meter.digits,
                resolution_v: plan.inputs.meter.resolution,
                range_held: plan.inputs.range_held,
            },
            enclosure: enclosure(state),
            plan: plan.into(),
            cautions: cautions(state.log()),
            log: state.log().to_vec(),
            outcome: outcome(state)?,
            sign_off: SignOffPart { name: name.to_owned(), at, statement, digest: String::new(), signature: None },
        })
    }
}

/// Every caution that was acknowledged: the page item by item, others whole.
fn cautions(log: &[LogEntry]) -> Vec<CautionPart> {
    log.iter()
        .filter_map(|entry| match entry {
            LogEntry::Caution(caution) if !caution.typed.to_lowercase().starts_with('n') => Some(caution),
            _ => None,
        })
        .flat_map(|caution| {
            caution.text.lines().map(|text| CautionPart { text: text.to_owned(), acknowledged_at: caution.at })
        })
        .collect()
}

fn enclosure(state: &State) -> BoxPart {
    let analysis = state.excursion();
    let choice = analysis.as_ref().and_then(|analysis| analysis.filtered);
    let peak = choice.map(|choice| choice.peak);
    BoxPart {
        tuning_hz: state.tuning(),
        driver: state.driver(),
        filter_needed: analysis.as_ref().map(Analysis::is_needed),
        lowest_safe_corner_hz: analysis.as_ref().and_then(|analysis| analysis.lowest_safe).map(|choice| choice.corner),
        peak_mm: peak.map(|peak| Millimetres::new(peak.value)),
        peak_hz: peak.map(|peak| peak.at),
        xmax_mm: analysis.as_ref().map(|analysis| analysis.setup.driver.xmax),
        within_xmax: choice.map(|choice| choice.within_xmax),
        highest_drive_v: analysis.as_ref().zip(peak).map(|(analysis, peak)| analysis.highest_drive_at(peak)),
    }
}

fn outcome(state: &State) -> Option<OutcomePart> {
    let last = state.last_reading()?.judged;
    let sweep = state.sweep();
    Some(OutcomePart {
        verdict: last.verdict,
        corner_hz: last.corners.single(),
        corner_uncertainty_hz: last.corner_uncertainty,
        fit: sweep.fit().map(|fit| FitPart {
            corner_hz: fit.corner,
            corner_standard_error_hz: fit.standard_error,
            family: fit.alignment.family(),
            slope_db_per_octave: fit.alignment.slope(),
        }),
        family_confirmed: sweep.confirmed(),
        reason: state.reason().map(str::to_owned),
    })
}
