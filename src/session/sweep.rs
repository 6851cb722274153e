//! The check after setting: is the filter what it was taken for?

use super::state::{FitInputs, Found, State};
use crate::corner::{Fit, NoFit, Pair, SharedReference};
use crate::filter::Alignment;
use crate::plan::{Inputs, Plan, still_open};
use crate::quantity::Decibels;

/// A fit that misses its readings by more than this says little of any filter: a whole dB is several times what a meter
/// within its specification adds at these levels.
pub const POOR_FIT: Decibels = Decibels::new(1.0);

/// What the sweep says.
#[derive(Debug, Clone, PartialEq)]
pub enum SweepSays {
    /// No sweep was made, or it could not be fitted for want of readings.
    Nothing,
    /// No filter fits the readings.
    NoFilterFits,
    /// The filter that fits best, and whether it is the one in use: `Some(true)` where it is and fits well, `Some(false)` where the
    /// readings tell the one in use apart from it, `None` where they cannot tell.
    Fits(Box<Fit>, Option<bool>),
}

impl SweepSays {
    /// The fit, where there is one.
    pub fn fit(&self) -> Option<&Fit> {
        match self {
            Self::Fits(fit, _) => Some(fit),
            Self::Nothing | Self::NoFilterFits => None,
        }
    }

    /// Whether the filter in use is confirmed.
    pub const fn confirmed(&self) -> Option<bool> {
        match self {
            Self::Nothing => None,
            Self::NoFilterFits => Some(false),
            Self::Fits(_, confirmed) => *confirmed,
        }
    }
}

impl State {
    /// The plan for the filter that the sweep found, where that is another than the one in use: with the same reference, at
    /// the same tone, for the same corner.
    pub fn refitted(&self) -> Option<(Found, Plan)> {
        if !self.accepted() {
            return None;
        }
        let SweepSays::Fits(fit, Some(false)) = self.sweep() else {
            return None;
        };
        if fit.rms_residual > POOR_FIT {
            return None;
        }
        let alignment = self.as_told(&fit);
        let others: Vec<Alignment> = fit.open().filter(|other| *other != alignment).collect();
        let inputs = Inputs { alignment, ..self.plan()?.inputs };
        let mut plan = Plan::new(inputs).ok()?;
        let doubt = still_open(alignment, &others, inputs.corner.corner(), inputs.tone);
        let doubts: Vec<String> = self.cone_doubts(alignment).into_iter().chain(doubt).collect();
        plan.warnings.splice(0..0, doubts);
        Some((Found { alignment, others }, plan))
    }

    /// The last reading and those of the sweep, and the reference that they share.
    pub(super) fn sweep_with_setting(&self) -> Option<(Vec<Pair>, SharedReference)> {
        let inputs = self.plan()?.inputs;
        let setting = Pair { tone: inputs.tone, reading: self.last_reading()?.judged.reading, reference: None };
        let shared = SharedReference { reading: inputs.reference.reading, tone: inputs.tone };
        Some(([setting].into_iter().chain(self.swept()).collect(), shared))
    }

    /// What the sweep says of the filter, fitted together with the last reading: the knob has not moved since.
    pub fn sweep(&self) -> SweepSays {
        let (Some(plan), Some((pairs, shared))) = (self.plan(), self.sweep_with_setting()) else {
            return SweepSays::Nothing;
        };
        if self.swept().is_empty() {
            return SweepSays::Nothing;
        }
        let inputs = &plan.inputs;
        let own = Some(inputs.alignment).filter(|alignment| alignment.q().is_some());
        let (mark, meter) = (inputs.reference.mark, inputs.meter);
        match self.fit(FitInputs { pairs, shared: Some(shared), mark, meter, own }) {
            Ok(fit) => {
                let confirmed = if fit.alignment == inputs.alignment {
                    // A fit that misses its readings confirms nothing.
                    (fit.rms_residual <= POOR_FIT).then_some(true)
                } else if fit.told_apart_from(inputs.alignment) == Some(false) {
                    None
                } else {
                    Some(false)
                };
                SweepSays::Fits(Box::new(fit), confirmed)
            }
            Err(NoFit::NoCorner) => SweepSays::NoFilterFits,
            Err(NoFit::TooFew | NoFit::OneTone | NoFit::NoReference) => SweepSays::Nothing,
        }
    }
}
