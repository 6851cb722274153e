//! Tones that are asked for by themselves.

use clap::Args;

use crate::commands::plan_options::PlanOptions;
use crate::quantity::entry::{self, Typed};
use crate::quantity::text::visible;
use crate::quantity::{Hertz, Refusal, ranges, show};
use crate::tone::{Purpose, stepped};

/// Tones, as the options give them.
#[derive(Debug, Args)]
#[command(next_help_heading = "Tones by themselves")]
pub(super) struct TonesWanted {
    /// The tone; several make one file, one after the other (`--hz 27 54` checks a slope)
    #[arg(
        long,
        value_name = "HZ",
        num_args = 1..,
        allow_negative_numbers = true,
        conflicts_with_all = ["sweep", "tuning", "rule", "corner", "slope", "family", "q", "tone"]
    )]
    hz: Vec<String>,
    /// A stepped sweep in one file, from the high end down to the low one
    #[arg(
        long,
        value_name = "LOW..HIGH",
        allow_hyphen_values = true,
        conflicts_with_all = ["tuning", "rule", "corner", "slope", "family", "q", "tone"]
    )]
    sweep: Option<String>,
    /// Tones of the sweep to the octave [default: 3]
    #[arg(long, value_name = "N", allow_hyphen_values = true, conflicts_with_all = ["hz", "session", "tuning", "corner"])]
    per_octave: Option<String>,
    /// How often the tones of the file come round [default: 1]
    #[arg(long, value_name = "N", allow_hyphen_values = true, conflicts_with_all = ["session", "tuning", "corner"])]
    rounds: Option<String>,
}

impl TonesWanted {
    /// The tones in their order, and for each what it is for: nothing that is known here.
    ///
    /// # Errors
    /// Where a value is refused.
    pub fn parsed(&self) -> Result<(Vec<Hertz>, Vec<Vec<Purpose>>), Refusal> {
        let once = match &self.sweep {
            Some(text) => self.stepped(text)?,
            None => self
                .hz
                .iter()
                .map(|text| entry::parse(text, &ranges::TONE.named("hz")).map(Hertz::new))
                .collect::<Result<Vec<Hertz>, Refusal>>()?,
        };
        let rounds = self.rounds.as_deref().map_or(Ok(1.0), |text| entry::parse(text, &ranges::ROUNDS))?;
        let tones = once.repeat(rounds as usize);
        let purposes = vec![vec![]; tones.len()];
        Ok((tones, purposes))
    }

    /// What may be meant otherwise: a decimal comma between what looks like two tones.
    pub fn remarks(&self) -> impl Iterator<Item = String> {
        let with_comma = self.hz.iter().filter(|text| text.contains(','));
        with_comma.filter_map(|text| {
            let tone = Hertz::new(entry::parse(text, &ranges::TONE).ok()?);
            let (text, tone) = (visible(text), show::exact_hertz(tone));
            Some(format!(
                "`{text}` is one tone, {tone}: the comma is a decimal comma. Several tones stand apart: --hz 27 54."
            ))
        })
    }

    fn stepped(&self, text: &str) -> Result<Vec<Hertz>, Refusal> {
        let range = ranges::TONE.named("sweep");
        let per_octave = self.per_octave.as_deref().map_or(Ok(3.0), |text| entry::parse(text, &ranges::PER_OCTAVE))?;
        match entry::parse_repeats_or_span(text, &range)? {
            Typed::Span { low, high } => Ok(stepped(Hertz::new(low), Hertz::new(high), per_octave as u32)),
            Typed::One(_) | Typed::Repeats(_) => {
                Err(Refusal::new("sweep", text, "is no span", format!("LOW..HIGH, both {}", range.accepted())))
            }
        }
    }

    /// Refuses a command that names no tone at all.
    ///
    /// # Errors
    /// Says what names one.
    pub fn refuse_nothing(&self, plan: &PlanOptions, tone: Option<&str>) -> Result<(), Refusal> {
        if !self.hz.is_empty() || self.sweep.is_some() {
            return Ok(());
        }
        let of_tones =
            [("per-octave", &self.per_octave, "--sweep with it"), ("rounds", &self.rounds, "--hz or --sweep with it")];
        for (field, given, with) in of_tones {
            if let Some(given) = given {
                return Err(Refusal::new(field, given, "is given without tones", with));
            }
        }
        let of_plan = [
            ("rule", plan.rule.as_deref(), "--tuning with it"),
            ("slope", plan.slope.as_deref(), "--tuning or --corner with it"),
            ("family", plan.family.as_deref(), "--tuning or --corner, and --slope, with it"),
            ("q", plan.q.as_deref(), "--tuning or --corner, and --slope, with it"),
            ("tone", tone, "--tuning or --corner, and --slope, with it, or --hz for a tone by itself"),
        ];
        match of_plan.into_iter().find_map(|(field, given, with)| given.map(|given| (field, given, with))) {
            Some((field, given, with)) => Err(Refusal::new(field, given, "is given without a plan", with)),
            None => Err(Refusal::new(
                "hz",
                "",
                "was given",
                "--hz with one tone or several, --sweep LOW..HIGH, --for with a session's id, or --tuning or --corner, and --slope",
            )),
        }
    }
}
