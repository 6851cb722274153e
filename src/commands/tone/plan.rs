//! The plan whose tones are asked for: that of a session, or one that the options give.

use std::path::Path;

use crate::commands::error::CommandError;
use crate::commands::plan_options::PlanOptions;
use crate::commands::records::one::find;
use crate::corner::{Mark, Reading, Reference};
use crate::filter::{Alignment, Family};
use crate::meter::{MeterSpec, Tolerance};
use crate::plan::{CornerChoice, Inputs, PlanDocument};
use crate::quantity::ranges::{self, Range};
use crate::quantity::text::visible;
use crate::quantity::{Hertz, Percent, Refusal, Volts, entry};
use crate::record::{Record, is_intact};
use crate::session::State;
use crate::store::{Looked, Store};
use crate::tone::ASSUMED_REFERENCE;

/// A plan, and where it comes from.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct PlanSource {
    pub inputs: Inputs,
    /// The session's id and job, where it is one's.
    pub session: Option<(String, String)>,
    remarks: Vec<String>,
}

impl PlanSource {
    /// The plan of these options.
    ///
    /// # Errors
    /// Where a value is refused, is missing, or values do not belong together.
    pub fn of_options(options: &PlanOptions, tone: Option<&str>) -> Result<Self, Refusal> {
        let (alignment, corner) = (options.alignment()?, options.corner()?);
        let tone = tone.map(|text| entry::parse(text, &ranges::TONE).map(Hertz::new)).transpose()?;
        let inputs = Self::before_the_reference(corner, alignment, tone, MeterSpec::USUAL);
        Inputs::check_corner(alignment, corner.corner())?;
        Inputs::check_tone(alignment, corner.corner(), inputs.tone)?;
        Ok(Self { inputs, session: None, remarks: vec![] })
    }

    /// The plan of a session: by its id, or by a record file.
    ///
    /// # Errors
    /// Where there is none, or it has no plan yet.
    pub fn of_session(id: &str, store: &Store) -> Result<Self, CommandError> {
        let is_file = Path::new(id).extension().is_some() || Path::new(id).components().count() > 1;
        let looked = if is_file { Looked::Closed(Box::new(find(id, store)?.0)) } else { store.look(id)? };
        Ok(match looked {
            Looked::Open(state) => Self::of_state(id, &state)?,
            Looked::Closed(record) => Self::of_record(id, &record)?,
        })
    }

    /// What of a plan is there before its reference is read.
    fn before_the_reference(
        corner: CornerChoice,
        alignment: Alignment,
        tone: Option<Hertz>,
        meter: MeterSpec,
    ) -> Inputs {
        Inputs {
            corner,
            alignment,
            reference: Reference { reading: Reading::steady(ASSUMED_REFERENCE), mark: None },
            tone: tone.unwrap_or_else(|| Inputs::default_tone(alignment, corner.corner())),
            tolerance: Tolerance::USUAL,
            meter,
            range_held: true,
        }
    }

    fn of_state(id: &str, state: &State) -> Result<Self, Refusal> {
        let lacks = |what: &str| {
            let accepted = format!("a session in which the {what} is answered, or --tuning or --corner, and --slope");
            Refusal::new("for", id, format!("is a session whose {what} is not known yet"), accepted)
        };
        let inputs = match state.plan() {
            Some(plan) => plan.inputs,
            None => {
                let corner = state.corner().ok_or_else(|| lacks("corner"))?;
                let alignment = state.alignment().ok_or_else(|| lacks("filter"))?;
                let meter = state.meter().unwrap_or(MeterSpec::USUAL);
                let mut inputs = Self::before_the_reference(corner, alignment, state.tone(), meter);
                inputs.reference.mark = state.mark();
                inputs
            }
        };
        let session = (state.opened().id.clone(), state.job().unwrap_or_default().to_owned());
        Ok(Self { inputs, session: Some(session), remarks: vec![] })
    }

    fn of_record(id: &str, record: &Record) -> Result<Self, Refusal> {
        let inputs = inputs_of(&record.plan).ok_or_else(|| {
            Refusal::new("for", id, "holds a plan that cannot be", "the id of a session as it was signed off")
        })?;
        let altered = "The record is not as it was signed off: `cornerset records show` says more.".to_owned();
        let remarks = if is_intact(record) { vec![] } else { vec![altered] };
        Ok(Self { inputs, session: Some((record.id.clone(), record.job.clone())), remarks })
    }

    /// What should be known of where it comes from.
    pub fn remarks(&self) -> Vec<String> {
        self.remarks.clone()
    }

    /// Where it comes from, for the track list; nothing where the options gave it.
    pub fn origin(&self) -> Option<String> {
        self.session.as_ref().map(|(id, job)| format!("Session {}: {}", visible(id), visible(job)))
    }
}

/// The inputs of a plan as a record keeps them; `None` where a value is none that a session takes.
fn inputs_of(plan: &PlanDocument) -> Option<Inputs> {
    let within = |range: &Range, value: f64| range.contains(value).then_some(());
    within(&ranges::CORNER, plan.corner_hz.hz())?;
    within(&ranges::TONE, plan.setting.tone_hz.hz())?;
    within(&ranges::REFERENCE, plan.reference_v.volts())?;
    within(&ranges::METER_ACCURACY, plan.meter_accuracy_percent.percent())?;
    within(&ranges::METER_DIGITS, f64::from(plan.meter_digits))?;
    within(&ranges::METER_RESOLUTION, plan.meter_resolution_v.volts())?;
    let alignment = match (plan.family, plan.q) {
        (Family::SecondOrder, Some(q)) => within(&ranges::Q, q).map(|()| Alignment::second_order(q))?,
        (family, _) => Alignment::new(family, plan.slope_db_per_octave).ok()?,
    };
    let mark = match plan.reference_mark_hz {
        Some(at) => {
            within(&ranges::MARK, at.hz())?;
            let uncertainty = plan.mark_uncertainty_percent.unwrap_or(Mark::USUAL_UNCERTAINTY);
            within(&ranges::MARK_UNCERTAINTY, uncertainty.percent())?;
            Some(Mark { at, uncertainty })
        }
        None => None,
    };
    let corner = match (plan.tuning_hz, plan.rule) {
        (Some(tuning), Some(rule)) => CornerChoice::Rule(tuning, rule),
        (tuning, _) => CornerChoice::Own(plan.corner_hz, tuning),
    };
    within(&ranges::CORNER, corner.corner().hz())?;
    Some(Inputs {
        corner,
        alignment,
        reference: Reference { reading: Reading::steady(Volts::new(plan.reference_v.volts())), mark },
        tone: plan.setting.tone_hz,
        tolerance: plan
            .tolerance_percent
            .map_or(Tolerance::USUAL, |share| Tolerance::Corner(Percent::new(share.percent()))),
        meter: MeterSpec {
            accuracy: plan.meter_accuracy_percent,
            digits: plan.meter_digits,
            resolution: plan.meter_resolution_v,
        },
        range_held: plan.range_held,
    })
}
