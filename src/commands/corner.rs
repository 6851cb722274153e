//! `cornerset corner`: which corner, and which filter, do these readings say.

use clap::Args;
use serde::Serialize;

use super::error::{CommandError, Exit};
use super::filter_options;
use super::meter_options::MeterOptions;
use crate::corner::{
    CornerSaid, Evidence, Fit, Mark, Pair, RatioForm, Reading, Reference, SharedReference, TellingTone,
    corner_from_reading, far_above,
};
use crate::filter::{Alignment, Corners, Family, Slope};
use crate::meter::MeterSpec;
use crate::quantity::{Decibels, Hertz, Refusal, Volts, entry, ranges, show};
use crate::screens::{self, Emphasis};
use crate::session::POOR_FIT;
use crate::terminal::Voice;

/// Which corner, and which filter, do these readings say
///
/// One pair gives the corner for the family and slope given. Several are fitted, over every family and slope unless
/// they are given.
#[derive(Debug, Args)]
pub(super) struct Corner {
    /// Readings with the filter in; after a slash the reference at the same tone where it was read there too
    #[arg(value_name = "TONE=VOLTS[/REFERENCE]", required = true, allow_negative_numbers = true)]
    pairs: Vec<String>,
    /// The reference voltage of every pair that has none of its own
    #[arg(long, value_name = "V", allow_hyphen_values = true)]
    reference: Option<String>,
    /// The filter could not be taken out: the mark at which it stood when references were read
    #[arg(long, value_name = "HZ", allow_hyphen_values = true)]
    reference_mark: Option<String>,
    /// The tone at which the reference was read; a fit with a mark needs it
    #[arg(long, value_name = "HZ", allow_hyphen_values = true)]
    reference_tone: Option<String>,
    /// How far the print of that mark may be off [default: 5 %]
    #[arg(long, value_name = "PERCENT", allow_hyphen_values = true)]
    mark_uncertainty: Option<String>,
    /// butterworth, linkwitz-riley, bessel or second-order
    #[arg(long, value_name = "FAMILY", allow_hyphen_values = true)]
    family: Option<String>,
    /// The slope of the filter in dB/octave
    #[arg(long, value_name = "DB", allow_hyphen_values = true)]
    slope: Option<String>,
    /// The Q of a second-order filter
    #[arg(long, value_name = "Q", allow_hyphen_values = true)]
    q: Option<String>,
    #[command(flatten)]
    meter: MeterOptions,
}

/// What is printed with `--json`.
#[derive(Debug, Serialize)]
struct CornerDocument {
    corner_hz: Option<Hertz>,
    corners_hz: Vec<Hertz>,
    corner_uncertainty_hz: Option<Hertz>,
    corner_standard_error_hz: Option<Hertz>,
    family: Family,
    slope_db_per_octave: Slope,
    q: Option<f64>,
    residuals_db: Vec<Decibels>,
    rms_residual_db: Option<Decibels>,
    alternatives: Vec<AlternativeDocument>,
    warnings: Vec<String>,
}

#[derive(Debug, Serialize)]
struct AlternativeDocument {
    family: Family,
    slope_db_per_octave: Slope,
    corner_hz: Option<Hertz>,
    rms_residual_db: Decibels,
    told_apart: bool,
}

/// Everything given, checked.
struct Given {
    pairs: Vec<Pair>,
    reference: Option<Reading>,
    reference_tone: Option<Hertz>,
    mark: Option<Mark>,
    meter: MeterSpec,
}

impl Corner {
    pub fn run(&self, voice: &Voice) -> Result<Exit, CommandError> {
        let given = self.given()?;
        match given.pairs.as_slice() {
            [pair] => self.one(&given, *pair, voice),
            _ => self.fit(&given, voice),
        }
    }

    fn given(&self) -> Result<Given, Refusal> {
        let tone = |text: &str, range| entry::parse(text, &range).map(Hertz::new);
        let reading = |text: &str, range| entry::parse_repeats_or_span(text, &range).map(|typed| Reading::from(&typed));
        let pairs = self
            .pairs
            .iter()
            .map(|text| {
                let (at, volts, reference) = entry::split_pair(text, "reading")?;
                Ok(Pair {
                    tone: tone(at, ranges::TONE)?,
                    reading: reading(volts, ranges::READING)?,
                    reference: reference.map(|text| reading(text, ranges::REFERENCE)).transpose()?,
                })
            })
            .collect::<Result<Vec<_>, Refusal>>()?;
        let reference = self.reference.as_deref().map(|text| reading(text, ranges::REFERENCE)).transpose()?;
        if reference.is_none()
            && let Some(index) = pairs.iter().position(|pair| pair.reference.is_none())
        {
            return Err(Refusal::new(
                "reference",
                self.pairs[index].as_str(),
                "has no reference",
                "--reference with a voltage, or TONE=VOLTS/REFERENCE",
            ));
        }
        Ok(Given {
            pairs,
            reference,
            reference_tone: self
                .reference_tone
                .as_deref()
                .map(|text| tone(text, ranges::TONE.named("reference-tone")))
                .transpose()?,
            mark: filter_options::mark(self.reference_mark.as_deref(), self.mark_uncertainty.as_deref())?,
            meter: self.meter.spec()?,
        })
    }

    fn one(&self, given: &Given, pair: Pair, voice: &Voice) -> Result<Exit, CommandError> {
        let needed =
            |field: &str| Refusal::new(field, "", "was given", "--family and --slope, which one reading needs");
        let slope = filter_options::slope(self.slope.as_deref().ok_or_else(|| needed("slope"))?)?;
        let family = filter_options::family(self.family.as_deref().ok_or_else(|| needed("family"))?)?;
        let alignment = filter_options::alignment(family, slope, self.q.as_deref())?;
        let reading = pair.reference.or(given.reference).ok_or_else(|| needed("reference"))?;
        let reference = Reference { reading, mark: given.mark };
        let reference_tone =
            if pair.reference.is_some() { pair.tone } else { given.reference_tone.unwrap_or(pair.tone) };
        let form = if self.meter.range_changes || reference_tone != pair.tone {
            RatioForm::Full
        } else {
            RatioForm::CommonGain
        };
        let said =
            corner_from_reading(alignment, pair.tone, pair.reading, reference, reference_tone, given.meter, form);
        if said.corners == Corners::None {
            let true_reference = reference.true_volts(alignment, reference_tone);
            return Err(Refusal::new(
                "reading",
                self.pairs[0].as_str(),
                format!("says no corner: {alignment} leaves no such voltage"),
                format!("a reading below {}", show::volts(most(alignment, true_reference), given.meter.resolution)),
            )
            .into());
        }
        let mut warnings: Vec<String> = said
            .corners
            .all()
            .into_iter()
            .flat_map(|corner| [far_above(alignment, pair.tone, corner), out_of_range(corner)])
            .flatten()
            .collect();
        warnings.extend(said.corners.single().zip(said.uncertainty).and_then(|(corner, u)| uncertain(corner, u)));
        let exit = if said.corners.single().is_some() { Exit::Done } else { Exit::Findings };
        if voice.style().json {
            voice.document(&one_document(alignment, &said, warnings))?;
        } else {
            let screen = voice.screen();
            let mut lines = screens::corner_table(&said, &alignment.to_string(), screen);
            for warning in &warnings {
                lines.extend(screen.item("! ", Emphasis::Warn, warning));
            }
            voice.print(&lines)?;
        }
        Ok(exit)
    }

    fn fit(&self, given: &Given, voice: &Voice) -> Result<Exit, CommandError> {
        if given.mark.is_some()
            && given.reference_tone.is_none()
            && given.pairs.iter().any(|pair| pair.reference.is_none())
        {
            let accepted = "--reference-tone, the tone at which the reference was read at the mark";
            return Err(Refusal::new("reference-tone", "", "was given", accepted).into());
        }
        let shared = given
            .reference
            .map(|reading| SharedReference { reading, tone: given.reference_tone.unwrap_or(given.pairs[0].tone) });
        let fit = Fit::of(&given.pairs, shared, given.mark, given.meter, self.candidates()?).map_err(|why| {
            CommandError::Usage(format!(
                "readings: {why}; accepted: readings that fall below the reference towards lower tones"
            ))
        })?;
        let mut warnings: Vec<String> =
            given.pairs.iter().filter_map(|pair| far_above(fit.alignment, pair.tone, fit.corner)).collect();
        warnings.extend(out_of_range(fit.corner));
        warnings.extend(open_question(&fit));
        let evidence = Evidence { pairs: &given.pairs, shared, mark: given.mark, meter: given.meter };
        let others = fit.alternatives.iter().map(|other| other.alignment);
        let is_poor = fit.rms_residual > POOR_FIT;
        warnings.extend(is_poor.then(|| {
            format!(
                "No filter fits these readings well: {} misses them by {} rms. Check tones, range and level.",
                fit.alignment,
                show::decibels(fit.rms_residual)
            )
        }));
        let others = others.filter(|_| !is_poor);
        warnings.extend(evidence.telling_tone((fit.alignment, fit.corner), others).and_then(|tone| one_more(&tone)));
        if voice.style().json {
            voice.document(&fit_document(&fit, warnings))?;
        } else {
            let screen = voice.screen();
            let mut lines = screens::fit_table(&fit, screen);
            for warning in &warnings {
                lines.extend(screen.item("! ", Emphasis::Warn, warning));
            }
            voice.print(&lines)?;
        }
        Ok(Exit::Done)
    }

    /// Every filter that the options leave open.
    fn candidates(&self) -> Result<Vec<Alignment>, Refusal> {
        let family = self.family.as_deref().map(filter_options::family).transpose()?;
        let slope = self.slope.as_deref().map(filter_options::slope).transpose()?;
        if let (Some(family), Some(slope)) = (family, slope) {
            return Ok(vec![filter_options::alignment(family, slope, self.q.as_deref())?]);
        }
        if family == Some(Family::SecondOrder) || self.q.is_some() {
            let slope = slope.unwrap_or(Slope::SECOND_ORDER);
            let family = family.unwrap_or(Family::SecondOrder);
            return Ok(vec![filter_options::alignment(family, slope, self.q.as_deref())?]);
        }
        Ok(Alignment::candidates()
            .filter(|alignment| family.is_none_or(|family| alignment.family() == family))
            .filter(|alignment| slope.is_none_or(|slope| alignment.slope() == slope))
            .collect())
    }
}

fn one_document(alignment: Alignment, said: &CornerSaid, warnings: Vec<String>) -> CornerDocument {
    CornerDocument {
        corner_hz: said.corners.single(),
        corners_hz: said.corners.all(),
        corner_uncertainty_hz: said.uncertainty,
        corner_standard_error_hz: None,
        family: alignment.family(),
        slope_db_per_octave: alignment.slope(),
        q: alignment.q(),
        residuals_db: vec![],
        rms_residual_db: None,
        alternatives: vec![],
        warnings,
    }
}

fn fit_document(fit: &Fit, warnings: Vec<String>) -> CornerDocument {
    CornerDocument {
        corner_hz: Some(fit.corner),
        corners_hz: vec![fit.corner],
        corner_uncertainty_hz: Some(fit.uncertainty),
        corner_standard_error_hz: Some(fit.standard_error),
        family: fit.alignment.family(),
        slope_db_per_octave: fit.alignment.slope(),
        q: fit.alignment.q(),
        residuals_db: fit.residuals.clone(),
        rms_residual_db: Some(fit.rms_residual),
        alternatives: fit
            .alternatives
            .iter()
            .map(|other| AlternativeDocument {
                family: other.alignment.family(),
                slope_db_per_octave: other.alignment.slope(),
                corner_hz: other.corner,
                rms_residual_db: other.rms_residual,
                told_apart: other.told_apart,
            })
            .collect(),
        warnings,
    }
}

/// The most volts that a filter leaves: the reference, or the top of its hump.
fn most(alignment: Alignment, reference: Volts) -> Volts {
    reference.times((1.0 + alignment.least_excess()).sqrt().recip())
}

/// Whether the readings leave the filter open, or its corner.
fn open_question(fit: &Fit) -> Vec<String> {
    let open: Vec<String> = fit.open().skip(1).map(|other| other.to_string()).collect();
    let mut warnings = vec![];
    if !open.is_empty() {
        warnings.push(format!("These readings cannot tell {} from {}.", fit.alignment, show::list_or(&open)));
    }
    warnings.extend(uncertain(fit.corner, fit.uncertainty));
    warnings
}

fn uncertain(corner: Hertz, uncertainty: Hertz) -> Option<String> {
    (uncertainty >= corner)
        .then(|| "The corner is less certain than it is large: this does not say where it is.".to_owned())
}

/// The tone that would help most.
fn one_more(telling: &TellingTone) -> Option<String> {
    let names = |filters: &[Alignment]| show::list_or(&filters.iter().map(ToString::to_string).collect::<Vec<_>>());
    let tone = show::tone(telling.tone);
    match (telling.tells.as_slice(), telling.leaves.as_slice()) {
        ([], _) => None,
        (_, []) => Some(format!("One more reading at {tone}, with a reference of its own, should decide it.")),
        (_, leaves) => Some(format!(
            "One more reading at {tone}, with a reference of its own, tells most: it should leave only {}.",
            names(leaves)
        )),
    }
}

fn out_of_range(corner: Hertz) -> Option<String> {
    (!ranges::CORNER.contains(corner.hz())).then(|| {
        format!("The corner of {} is outside the range of corners, {}.", show::hertz(corner), ranges::CORNER.accepted())
    })
}
