//! The plan whose tones are asked for: that of a session, or one that the options give.

use std::path::Path;

use crate::commands::error::CommandError;
use crate::commands::plan_options::PlanOptions;
use crate::commands::records::one::find;
use crate::corner::{Reading, Reference};
use crate::filter::Alignment;
use crate::meter::{MeterSpec, Tolerance};
use crate::plan::{CornerChoice, Inputs};
use crate::quantity::text::visible;
use crate::quantity::{Hertz, Refusal, entry, ranges};
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
        let inputs = record.plan.inputs().ok_or_else(|| {
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
