//! Options that describe the meter.

use clap::Args;

use crate::meter::MeterSpec;
use crate::quantity::{Percent, Refusal, Volts, entry, ranges};

/// The meter, as the options give it.
#[derive(Debug, Args)]
#[command(next_help_heading = "Meter")]
pub(super) struct MeterOptions {
    /// Accuracy in % of reading [default: 1.0 %]
    #[arg(long, value_name = "PERCENT", allow_hyphen_values = true)]
    meter_accuracy: Option<String>,
    /// Digits that the accuracy adds [default: 5]
    #[arg(long, value_name = "N", allow_hyphen_values = true)]
    meter_digits: Option<String>,
    /// One step of the last digit, in volts [default: 0.01 V]
    #[arg(long, value_name = "V", allow_hyphen_values = true)]
    meter_resolution: Option<String>,
    /// The meter may change range between reference and reading, so its gain error does not cancel
    #[arg(long)]
    pub range_changes: bool,
}

impl MeterOptions {
    /// The specification.
    ///
    /// # Errors
    /// Where a value is refused.
    pub fn spec(&self) -> Result<MeterSpec, Refusal> {
        let usual = MeterSpec::USUAL;
        let number = |given: &Option<String>, range| given.as_deref().map(|text| entry::parse(text, range)).transpose();
        Ok(MeterSpec {
            accuracy: number(&self.meter_accuracy, &ranges::METER_ACCURACY)?.map_or(usual.accuracy, Percent::new),
            digits: number(&self.meter_digits, &ranges::METER_DIGITS)?.map_or(usual.digits, |digits| digits as u32),
            resolution: number(&self.meter_resolution, &ranges::METER_RESOLUTION)?.map_or(usual.resolution, Volts::new),
        })
    }
}
