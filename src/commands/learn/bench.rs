//! `cornerset learn bench`: the guided session on a simulated bench.

use clap::Args;
use serde::Serialize;

use super::learner::{Learner, LearnerOption};
use super::seed::SeedOption;
use crate::commands::common::Common;
use crate::commands::error::{CommandError, Exit, told};
use crate::commands::session_options::{Place, SessionOptions};
use crate::commands::words::one_of;
use crate::filter::Family;
use crate::learn;
use crate::plan::Plan;
use crate::practice::{Bench, Level};
use crate::quantity::text::{shell_word, visible};
use crate::quantity::{Hertz, Percent, Refusal, Volts};
use crate::screens;
use crate::session::State;
use crate::terminal::{Simulated, Voice};

/// The guided session on a simulated bench: turn its knob, read its meter, and learn how it really stood
///
/// Besides the answers, `turn 4.2` turns the knob, `play 27` plays a tone, `volume 12` sets the volume, `in` and `out`
/// switch the filter, `look` reads the meter again and `panel` shows the bench. In a script such a line is `bench: turn
/// 4.2`. Records of practice say so in what is signed, lie in a store of their own (`practice` in the store) and never
/// count in an audit. They are signed off by name, unless --key names a key.
#[derive(Debug, Args, Default)]
#[command(mut_arg("seed", |seed| seed.help(SEED)), mut_arg("key", |key| key.help(KEY)))]
pub(in crate::commands) struct BenchSession {
    /// How hard it is: friendly, usual, awkward or nasty [default: friendly]
    #[arg(long, value_name = "LEVEL", conflicts_with = "resume", value_parser = |typed: &str| one_of(typed, &Level::ALL, Level::word))]
    level: Option<Level>,
    #[command(flatten)]
    seed: SeedOption,
    #[command(flatten)]
    session: SessionOptions,
    #[command(flatten)]
    pub(super) learner: LearnerOption,
}

/// Of a bench; what the option says elsewhere is about questions.
const SEED: &str = "A number from 1 to 9999 that everything random comes from: the same level and number, the same bench [default: any]";

/// At a bench no key is taken unasked.
const KEY: &str = "The OpenSSH key that signs off: a private key, or the public half of one that an agent or a security key \
                   holds [default: none, the name stands alone]";

/// How the bench really stood, as an event.
#[derive(Debug, Serialize)]
struct TruthEvent {
    event: &'static str,
    level: &'static str,
    seed: u64,
    family: Family,
    slope_db_per_octave: u32,
    q: Option<f64>,
    wanted_hz: Hertz,
    corner_hz: Hertz,
    error_percent: Percent,
    /// The corner that the job asks for, and how far off it is.
    job_corner_hz: Hertz,
    job_error_percent: Percent,
    turns: usize,
    /// What the learner did that was not as the session took it, a sentence each, the worst first.
    slips: Vec<String>,
    plain_rule: PlainRuleEvent,
}

/// Where the plain rule would have left the knob.
#[derive(Debug, Serialize)]
struct PlainRuleEvent {
    tone_hz: Hertz,
    reference_v: Volts,
    corner_hz: Hertz,
    error_percent: Percent,
}

impl BenchSession {
    /// At the keyboard, a bench of this level, with whatever else is usual.
    pub fn of(level: Level) -> Self {
        Self { level: Some(level), ..Self::default() }
    }

    pub fn run(&self, learner: &LearnerOption, common: &Common, voice: &Voice) -> Result<Exit, CommandError> {
        if let (Some(seed), Some(_)) = (self.seed.given(), &self.session.resume) {
            let accepted = "--resume alone: a session goes on at the bench at which it was opened";
            return Err(Refusal::new("seed", seed, "comes with --resume", accepted).into());
        }
        let store = common.open_store()?;
        let learner =
            if self.session.script.is_some() { learner.named(&store)? } else { learner.last(&store, voice)? };
        self.set(learner.as_ref(), common, voice)
    }

    /// Sets this bench, and keeps how it went.
    pub fn set(&self, learner: Option<&Learner>, common: &Common, voice: &Voice) -> Result<Exit, CommandError> {
        let store = common.open_store()?;
        // A file that is damaged is found out before the work and not after it.
        learner.map(Learner::progress).transpose()?;
        let named =
            learner.map_or_else(String::new, |learner| format!(" --learner {}", shell_word(&visible(learner.name()))));
        let bench = Bench::new(self.level.unwrap_or(Level::Friendly), self.seed.seed()?);
        let place = Place {
            command: format!("learn bench{named}"),
            common,
            voice,
            store: store.practice(),
            simulated: Some(bench),
        };
        let Some(ended) = self.session.run(&place)? else {
            return Ok(Exit::Interrupted);
        };
        if !matches!(ended.exit, Exit::Done | Exit::Findings) {
            return Ok(ended.exit);
        }
        let Some((bench, plan)) = stood(&ended.state) else {
            return Ok(ended.exit);
        };
        let wanted = plan.inputs.corner.corner();
        // What is kept is held against the job, whatever was asked for.
        let job = bench.sheet().wanted();
        if let Some(learner) = learner {
            learner.tried(&bench, job)?;
        }
        let slips: Vec<String> = learn::slips(&ended.state).iter().map(ToString::to_string).collect();
        let said = if voice.style().json {
            voice.event(&truth(&bench, wanted, slips))
        } else {
            let left = learn::left(&ended.state);
            voice.print(&screens::bench_truth(&bench, plan, &slips, &left, voice.screen()))
        };
        told(said, ended.exit)
    }
}

/// The bench as it was left, and what was planned for it.
fn stood(state: &State) -> Option<(Bench, &Plan)> {
    Some((Simulated::of(state)?.into_bench(), state.plan()?))
}

fn truth(bench: &Bench, wanted: Hertz, slips: Vec<String>) -> TruthEvent {
    let (truth, plain) = (bench.truth(), bench.plain_rule(wanted));
    TruthEvent {
        event: "truth",
        level: bench.level().word(),
        seed: bench.seed(),
        family: truth.alignment.family(),
        slope_db_per_octave: truth.alignment.slope().db_per_octave(),
        q: truth.alignment.q(),
        wanted_hz: wanted,
        corner_hz: truth.corner,
        error_percent: truth.corner.error_against(wanted),
        job_corner_hz: bench.sheet().wanted(),
        job_error_percent: truth.corner.error_against(bench.sheet().wanted()),
        turns: truth.turns,
        slips,
        plain_rule: PlainRuleEvent {
            tone_hz: plain.tone,
            reference_v: plain.reference,
            corner_hz: plain.corner,
            error_percent: plain.corner.error_against(wanted),
        },
    }
}
