//! `cornerset tuning`: a box's tuning, from its dimensions, from meter readings, or found step by step.

use std::io::{self, IsTerminal};

use clap::Args;
use serde::Serialize;

use super::error::{CommandError, Exit};
use crate::corner::Reading;
use crate::meter::MeterSpec;
use crate::quantity::entry::Typed;
use crate::quantity::ranges::Range;
use crate::quantity::{Centimetres, Hertz, Litres, Ohms, Percent, Refusal, Volts, entry, ranges};
use crate::screens::{self, Line};
use crate::session::Stop;
use crate::terminal::{Interrupts, Voice, find_tuning};
use crate::tuning::{
    Found, Hookup, ImpedanceTuning, Opening, PortTuning, ToneReading, VentedBox, check_below_source, display_step,
};

/// A vented box's tuning, from its dimensions or from meter readings
///
/// Without options it asks for what it needs, at a terminal. By dimensions: --volume, --port-length, and --port-diameter
/// or --slot. By impedance: --impedance, --series-ohm and --source-v, with a series resistor of ten times the voice
/// coil's dc resistance or more and the meter across the box's terminals.
#[derive(Debug, Args)]
pub(super) struct Tuning {
    #[command(flatten)]
    dimensions: Dimensions,
    #[command(flatten)]
    impedance: Impedance,
}

/// The box, as the options give it.
#[derive(Debug, Args)]
#[command(next_help_heading = "By dimensions")]
struct Dimensions {
    /// The net volume of the box, in litres or with its unit (`1.7 ft3`)
    #[arg(long, value_name = "L", allow_hyphen_values = true)]
    volume: Option<String>,
    /// The inner diameter of a round port, in cm or with its unit (`4 in`)
    #[arg(long, value_name = "CM", allow_hyphen_values = true)]
    port_diameter: Option<String>,
    /// The inner sides of a slot port, in cm or with their unit (`1.5 in x 11 in`)
    #[arg(long, value_name = "CMxCM", allow_hyphen_values = true)]
    slot: Option<String>,
    /// The length of a port
    #[arg(long, value_name = "CM", allow_hyphen_values = true)]
    port_length: Option<String>,
    /// How many equal ports [default: 1]
    #[arg(long, value_name = "N", allow_hyphen_values = true)]
    ports: Option<String>,
    /// How many of a port's two ends lie flush in a wall [default: 1]
    #[arg(long, value_name = "N", allow_hyphen_values = true)]
    flanged_ends: Option<String>,
}

/// The sweep, as the options give it. Its meter is one on the millivolt range: the step has another default than elsewhere,
/// and a range that changes would spoil the sweep.
#[derive(Debug, Args)]
#[command(next_help_heading = "By impedance")]
struct Impedance {
    /// Readings across the box's terminals, ten or more tones from below the lower peak to above the upper one
    #[arg(long, value_name = "HZ=VOLTS", num_args = 1.., allow_negative_numbers = true)]
    impedance: Vec<String>,
    /// The resistor in series with the box
    #[arg(long, value_name = "OHM", allow_hyphen_values = true)]
    series_ohm: Option<String>,
    /// The source's volts, ahead of the resistor, the same at every tone
    #[arg(long, value_name = "V", allow_hyphen_values = true)]
    source_v: Option<String>,
    /// The meter's accuracy in % of reading [default: 1.0 %]
    #[arg(long, value_name = "PERCENT", allow_hyphen_values = true)]
    meter_accuracy: Option<String>,
    /// Digits that the accuracy adds [default: 5]
    #[arg(long, value_name = "N", allow_hyphen_values = true)]
    meter_digits: Option<String>,
    /// One step of the last digit, in volts [default: the step that the readings show]
    #[arg(long, value_name = "V", allow_hyphen_values = true)]
    meter_resolution: Option<String>,
}

/// What is printed with `--json`.
#[derive(Debug, Serialize)]
struct DimensionsDocument {
    tuning_hz: Hertz,
    method: &'static str,
    effective_port_length_cm: Centimetres,
    tuning_uncertainty_hz: Hertz,
    warnings: Vec<String>,
}

#[derive(Debug, Serialize)]
struct ImpedanceDocument {
    tuning_hz: Hertz,
    method: &'static str,
    effective_port_length_cm: Option<Centimetres>,
    tuning_uncertainty_hz: Hertz,
    lower_peak_hz: Hertz,
    upper_peak_hz: Hertz,
    minimum_ohm: Ohms,
    warnings: Vec<String>,
}

impl Tuning {
    pub fn run(&self, voice: &Voice) -> Result<Exit, CommandError> {
        let found = match (self.dimensions.first(), self.impedance.first()) {
            (None, None) => return at_keyboard(voice),
            (Some(_), None) => self.dimensions.found()?,
            (None, Some(_)) => self.impedance.found()?,
            (Some((one, given)), Some((other, _))) => {
                return Err(Refusal::new(
                    one,
                    given,
                    format!("belongs to a tuning by dimensions, `{other}` to one by impedance"),
                    "the options of one of the two",
                )
                .into());
            }
        };
        let screen = voice.screen();
        let page = || [screens::tuning(&found, screen), screens::tuning_use(&found, screen)].concat();
        told(&found, voice, page)
    }
}

/// Finds the tuning with the person at the terminal.
fn at_keyboard(voice: &Voice) -> Result<Exit, CommandError> {
    if !io::stdin().is_terminal() || !io::stderr().is_terminal() {
        return Err(CommandError::Usage(
            "tuning: nothing was given; accepted: --volume, --port-length and --port-diameter or --slot; or --impedance, \
             --series-ohm and --source-v; or a terminal, where it is asked for"
                .to_owned(),
        ));
    }
    let interrupts =
        Interrupts::listen().map_err(|error| CommandError::Storage(format!("signals cannot be handled: {error}")))?;
    match find_tuning(&[], voice, &interrupts, &mut |_| Ok(())) {
        Ok(Some(found)) => told(&found, voice, || screens::tuning_taken(&found, voice.screen())),
        Ok(None) | Err(Stop::Interrupted) => {
            voice.show(&screens::tuning_left(voice.screen()));
            Ok(Exit::Interrupted)
        }
        Err(stop) => Err(CommandError::Usage(stop.to_string())),
    }
}

/// Prints what was found: this page, or the document.
fn told(found: &Found, voice: &Voice, page: impl FnOnce() -> Vec<Line>) -> Result<Exit, CommandError> {
    match found {
        _ if !voice.style().json => voice.print(&page())?,
        Found::Dimensions(_, said) => voice.document(&by_dimensions(said))?,
        Found::Impedance(_, said) => voice.document(&by_impedance(said))?,
    }
    Ok(Exit::Done)
}

fn by_dimensions(said: &PortTuning) -> DimensionsDocument {
    DimensionsDocument {
        tuning_hz: said.tuning,
        method: "dimensions",
        effective_port_length_cm: said.effective_length,
        tuning_uncertainty_hz: said.uncertainty,
        warnings: said.warnings.clone(),
    }
}

fn by_impedance(said: &ImpedanceTuning) -> ImpedanceDocument {
    ImpedanceDocument {
        tuning_hz: said.tuning,
        method: "impedance",
        effective_port_length_cm: None,
        tuning_uncertainty_hz: said.uncertainty,
        lower_peak_hz: said.lower_peak,
        upper_peak_hz: said.upper_peak,
        minimum_ohm: said.minimum,
        warnings: said.warnings.clone(),
    }
}

/// An option's name and what was given.
type Given<'a> = (&'static str, &'a str);

/// The first of these options that was given.
fn first<'a>(options: impl IntoIterator<Item = (&'static str, &'a Option<String>)>) -> Option<Given<'a>> {
    options.into_iter().find_map(|(name, given)| Some((name, given.as_deref()?)))
}

fn number(given: Option<&str>, range: Range, needed: &str) -> Result<f64, Refusal> {
    let given = given.ok_or_else(|| Refusal::new(range.field, "", "was given", needed))?;
    entry::parse(given, &range)
}

fn number_or(given: Option<&str>, range: Range, usual: f64) -> Result<f64, Refusal> {
    given.map_or(Ok(usual), |text| entry::parse(text, &range))
}

impl Dimensions {
    fn first(&self) -> Option<Given<'_>> {
        first([
            ("volume", &self.volume),
            ("port-diameter", &self.port_diameter),
            ("slot", &self.slot),
            ("port-length", &self.port_length),
            ("ports", &self.ports),
            ("flanged-ends", &self.flanged_ends),
        ])
    }

    fn found(&self) -> Result<Found, Refusal> {
        const NEEDED: &str = "--volume, --port-length and --port-diameter or --slot";
        let volume = number(self.volume.as_deref(), ranges::BOX_VOLUME.named("volume"), NEEDED)?;
        let opening = match (self.port_diameter.as_deref(), self.slot.as_deref()) {
            (Some(diameter), None) => Opening::Round(Centimetres::new(entry::parse(diameter, &ranges::PORT_DIAMETER)?)),
            (None, Some(slot)) => Opening::parse_slot(slot)?,
            (None, None) => return Err(Refusal::new(ranges::PORT_DIAMETER.field, "", "was given", NEEDED)),
            (Some(_), Some(slot)) => {
                return Err(Refusal::new(ranges::SLOT.field, slot, "comes with a --port-diameter", "one of the two"));
            }
        };
        let vented = VentedBox {
            volume: Litres::new(volume),
            opening,
            length: Centimetres::new(number(self.port_length.as_deref(), ranges::PORT_LENGTH, NEEDED)?),
            ports: number_or(self.ports.as_deref(), ranges::PORTS, 1.0)? as u32,
            flanged_ends: number_or(
                self.flanged_ends.as_deref(),
                ranges::FLANGED_ENDS,
                f64::from(VentedBox::USUAL_FLANGED_ENDS),
            )? as u32,
        };
        Ok(Found::Dimensions(vented, vented.tuning()?))
    }
}

impl Impedance {
    fn first(&self) -> Option<Given<'_>> {
        let readings = self.impedance.first().map(|pair| ("impedance", pair.as_str()));
        readings.or(first([
            ("series-ohm", &self.series_ohm),
            ("source-v", &self.source_v),
            ("meter-accuracy", &self.meter_accuracy),
            ("meter-digits", &self.meter_digits),
            ("meter-resolution", &self.meter_resolution),
        ]))
    }

    fn found(&self) -> Result<Found, CommandError> {
        const NEEDED: &str = "--impedance, --series-ohm and --source-v";
        let series = Ohms::new(number(self.series_ohm.as_deref(), ranges::SERIES_RESISTOR, NEEDED)?);
        let source = Volts::new(number(self.source_v.as_deref(), ranges::SOURCE, NEEDED)?);
        if self.impedance.is_empty() {
            return Err(Refusal::new("impedance", "", "was given", NEEDED).into());
        }
        let mut typed = Vec::with_capacity(self.impedance.len());
        let mut readings = Vec::with_capacity(self.impedance.len());
        for text in &self.impedance {
            let (tone, volts) = pair(text)?;
            let reading = Reading::from(&volts);
            check_below_source(source, reading, text)?;
            typed.push(volts);
            readings.push(ToneReading { tone, reading });
        }
        let hookup = Hookup { source, series, meter: self.meter(&typed)? };
        let said =
            ImpedanceTuning::of(&hookup, &readings).map_err(|why| CommandError::Usage(format!("impedance: {why}")))?;
        Ok(Found::Impedance(hookup, said))
    }

    /// The meter, its display step as the readings show it where nobody says.
    fn meter(&self, typed: &[Typed]) -> Result<MeterSpec, Refusal> {
        let usual = MeterSpec::USUAL;
        let accuracy = number_or(self.meter_accuracy.as_deref(), ranges::METER_ACCURACY, usual.accuracy.percent())?;
        let digits = number_or(self.meter_digits.as_deref(), ranges::METER_DIGITS, f64::from(usual.digits))?;
        let shown = typed.iter().flat_map(numbers).map(Volts::new);
        let resolution = match &self.meter_resolution {
            Some(text) => Volts::new(entry::parse(text, &ranges::METER_RESOLUTION)?),
            None => display_step(shown),
        };
        Ok(MeterSpec { accuracy: Percent::new(accuracy), digits: digits as u32, resolution })
    }
}

/// A tone and what the meter showed.
fn pair(text: &str) -> Result<(Hertz, Typed), Refusal> {
    const ACCEPTED: &str = "HZ=VOLTS, such as 31.5=0.412";
    let (tone, volts, reference) =
        entry::split_pair(text, "impedance").map_err(|refusal| Refusal { accepted: ACCEPTED.to_owned(), ..refusal })?;
    if reference.is_some() {
        return Err(Refusal::new("impedance", text, "has a second reading after the `/`", ACCEPTED));
    }
    let tone = Hertz::new(entry::parse(tone, &ranges::TONE)?);
    Ok((tone, entry::parse_repeats_or_span(volts, &ranges::READING)?))
}

/// Every number of a reading as it was typed.
fn numbers(typed: &Typed) -> Vec<f64> {
    match typed {
        Typed::One(volts) => vec![*volts],
        Typed::Span { low, high } => vec![*low, *high],
        Typed::Repeats(volts) => volts.clone(),
    }
}
