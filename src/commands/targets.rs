//! `cornerset targets`: tone, target volts and windows without a session.

use clap::Args;

use super::error::{CommandError, Exit};
use super::filter_options;
use super::meter_options::MeterOptions;
use super::plan_options::{PlanOptions, required};
use crate::corner::{Reading, Reference};
use crate::meter::Tolerance;
use crate::plan::{Inputs, Plan, TargetsDocument, planning};
use crate::quantity::{Hertz, Refusal, entry, ranges};
use crate::screens;
use crate::terminal::Voice;

/// Tone, target volts and windows without a session
#[derive(Debug, Args)]
pub(super) struct Targets {
    #[command(flatten)]
    plan: PlanOptions,
    /// The reference voltage: what the meter reads with the filter out; a span or repeats are taken too
    #[arg(long, value_name = "V", allow_hyphen_values = true)]
    reference: Option<String>,
    /// The filter could not be taken out: the mark at which it stood when the reference was read
    #[arg(long, value_name = "HZ", allow_hyphen_values = true)]
    reference_mark: Option<String>,
    /// How far the print of that mark may be off [default: 5 %]
    #[arg(long, value_name = "PERCENT", allow_hyphen_values = true)]
    mark_uncertainty: Option<String>,
    /// The tone that is played [default: the corner, or three quarters of it where the filter has a hump]
    #[arg(long, value_name = "HZ", allow_hyphen_values = true)]
    tone: Option<String>,
    /// How far off it may be: a share of the corner (3%) or a level (0.5dB) [default: 3%]
    #[arg(long, value_name = "TOLERANCE", allow_hyphen_values = true)]
    tolerance: Option<String>,
    /// Print every formula with its numbers
    #[arg(long)]
    show_working: bool,
    #[command(flatten)]
    meter: MeterOptions,
}

impl Targets {
    pub fn run(&self, voice: &Voice) -> Result<Exit, CommandError> {
        let plan = Plan::new(self.inputs()?)?;
        if voice.style().json {
            voice.document(&TargetsDocument::from(&plan))?;
            return Ok(Exit::Done);
        }
        let screen = voice.screen();
        let mut lines = screens::targets_table(&plan, screen);
        if self.show_working {
            lines.extend(screens::working(&planning(&plan), screen));
        }
        voice.print(&lines)?;
        Ok(Exit::Done)
    }

    fn inputs(&self) -> Result<Inputs, Refusal> {
        let alignment = self.plan.alignment()?;
        let corner = self.plan.corner()?;
        let reference = required("reference", self.reference.as_deref(), "--reference with a voltage")?;
        let reading = Reading::from(&entry::parse_repeats_or_span(reference, &ranges::REFERENCE)?);
        let mark = filter_options::mark(self.reference_mark.as_deref(), self.mark_uncertainty.as_deref())?;
        let tone = match self.tone.as_deref() {
            Some(text) => Hertz::new(entry::parse(text, &ranges::TONE)?),
            None => Inputs::default_tone(alignment, corner.corner()),
        };
        Ok(Inputs {
            corner,
            alignment,
            reference: Reference { reading, mark },
            tone,
            tolerance: self.tolerance.as_deref().map_or(Ok(Tolerance::USUAL), Tolerance::parse)?,
            meter: self.meter.spec()?,
            range_held: !self.meter.range_changes,
        })
    }
}
