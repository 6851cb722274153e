//! Someone who does what the session asks, at a made-up amplifier.

use cornerset::chance::Chance;
use cornerset::quantity::{Hertz, Refusal};
use cornerset::session::{Advice, Ask, LogEntry, Notes, Operator, Question, Reply, State, Stop};

use super::amplifier::Amplifier;

/// The names that stand in a session of the pool until a record gets its own.
pub const JOB: &str = "a job";
pub const TECHNICIAN: &str = "a technician";
pub const AMPLIFIER: &str = "an amplifier";

const NOTES: [&str; 6] = [
    "knob marked with a paint dot",
    "owner wants the panel left open",
    "filter switch is stiff",
    "second channel set the same by ear, to be checked",
    "fan is noisy, no fault found",
    "label half gone, slope read from the board",
];
const STRIKES: [&str; 3] = ["decimal point missed", "probe slipped", "read before it had settled"];
const REASONS: [&str; 3] = [
    "the knob is at its upper stop",
    "the customer will bring it back with another box",
    "as near as this knob can be set",
];

/// A technician during one session.
pub struct Technician {
    amplifier: Amplifier,
    chance: Chance,
    tuning: f64,
    /// Volts at the output with the filter out.
    unfiltered: f64,
    /// Where the knob goes, as corners against the wanted one; the last is where it stays.
    turns: Vec<f64>,
    /// The reading that is mistyped and struck, from 0.
    slip: Option<usize>,
    /// Whether the last reading was that one.
    to_strike: bool,
    /// Readings as numbered by the session.
    numbered: usize,
    turned: usize,
    explored: usize,
    sweeps: usize,
    swept: usize,
    noted: bool,
}

impl Technician {
    /// For one session; `astray` leaves the knob where it should not be.
    pub fn new(amplifier: Amplifier, mut chance: Chance, astray: bool) -> Self {
        // Three readings are usual; twenty are patience. By our own guess, no source.
        let count = 3 + (17.99 * chance.unit().powi(3)) as usize;
        let first = 0.25 * chance.triangular();
        let mut turns: Vec<f64> = (0..count)
            .map(|turn| {
                let left = first * (1.0 - turn as f64 / (count - 1) as f64).powi(2);
                1.0 + left * chance.between(0.8, 1.2) + 0.004 * chance.triangular()
            })
            .collect();
        let stays = if astray { [0.9, 0.93, 1.08][chance.below(3)] } else { 1.0 + 0.001 * chance.triangular() };
        turns[count - 1] = stays;
        Self {
            amplifier,
            tuning: (2.0 * chance.between(27.0, 46.0)).round() / 2.0,
            unfiltered: chance.between(6.4, 9.2),
            slip: (chance.unit() < 0.12).then(|| chance.below(count - 1)),
            to_strike: false,
            numbered: 0,
            turned: 0,
            explored: 0,
            sweeps: if chance.unit() < 0.35 { 2 + chance.below(2) } else { 0 },
            swept: 0,
            noted: chance.unit() < 0.25,
            turns,
            chance,
        }
    }

    fn shown(&self, volts: f64) -> String {
        format!("{volts:.*}", self.amplifier.meter.places)
    }

    fn wanted(state: &State) -> Hertz {
        state.plan().expect("a plan before readings").inputs.corner.corner()
    }

    fn pair(&mut self, tone: Hertz, corner: Hertz) -> String {
        // The source's level wanders a little from tone to tone; with its own reference that does not matter.
        let unfiltered = self.unfiltered * (1.0 + 0.01 * self.chance.triangular());
        let volts = self.shown(self.amplifier.volts(unfiltered, tone, corner));
        format!("{}={volts}/{}", tone.hz(), self.shown(self.amplifier.reference(unfiltered, tone)))
    }

    fn explore(&mut self, state: &State) -> Reply {
        let (Advice::Play(proposal), true) = (state.advice(Question::Explore), self.explored < 5) else {
            return Reply::Done;
        };
        self.explored += 1;
        let tone = Hertz::new((2.0 * proposal.tone.hz()).round() / 2.0);
        Reply::Typed(self.pair(tone, Hertz::new(self.tuning * 0.8)))
    }

    fn reading(&mut self, state: &State) -> Reply {
        if std::mem::take(&mut self.to_strike) {
            return Reply::Typed(format!("strike {} {}", self.numbered, self.chance.one_of(&STRIKES)));
        }
        let Some(turn) = self.turns.get(self.turned).copied() else { return Reply::Done };
        let plan = state.plan().expect("a plan before readings");
        let volts = self.amplifier.volts(self.unfiltered, plan.inputs.tone, Self::wanted(state).times(turn));
        self.numbered += 1;
        if self.slip == Some(self.turned) {
            (self.slip, self.to_strike) = (None, true);
            return Reply::Typed(self.shown(volts * 10.0));
        }
        self.turned += 1;
        let one = self.shown(volts);
        let digit = 10_f64.powi(-(self.amplifier.meter.places as i32));
        Reply::Typed(match self.chance.below(12) {
            0 => format!("{}..{}", self.shown(volts - digit), self.shown(volts + digit)),
            1 => format!("{one} {} {one}", self.shown(volts + digit)),
            _ => one,
        })
    }

    fn sweep(&mut self, state: &State) -> Reply {
        if self.swept == self.sweeps {
            return Reply::Done;
        }
        let tone = match state.advice(Question::Sweep) {
            Advice::Play(proposal) => proposal.tone,
            _ => return Reply::Done,
        };
        self.swept += 1;
        let stays = Self::wanted(state).times(self.turns[self.turns.len() - 1]);
        Reply::Typed(self.pair(Hertz::new((2.0 * tone.hz()).round() / 2.0), stays))
    }
}

impl Operator for Technician {
    fn reply(&mut self, state: &State, ask: &Ask, _: &mut dyn Notes) -> Result<Reply, Stop> {
        let meter = self.amplifier.meter;
        let typed = |text: &str| Reply::Typed(text.to_owned());
        Ok(match ask.question {
            Question::Job => typed(JOB),
            Question::Technician | Question::SignOff => typed(TECHNICIAN),
            Question::Amplifier => typed(AMPLIFIER),
            Question::Meter => typed(meter.name),
            Question::MeterAccuracy => typed(meter.accuracy),
            Question::MeterDigits => typed(meter.digits),
            Question::MeterResolution => typed(meter.resolution),
            Question::Tuning => Reply::Typed(self.tuning.to_string()),
            Question::Slope => Reply::Typed(self.amplifier.filter.slope().db_per_octave().to_string()),
            Question::Family if self.amplifier.family_printed => typed(self.amplifier.filter.family().word()),
            Question::Family => typed("unknown"),
            Question::Bypass if self.amplifier.mark.is_some() => typed("no"),
            Question::ReferenceMark => Reply::Typed(self.amplifier.mark.map_or(0.0, Hertz::hz).to_string()),
            // A shallow filter moves little for a turn of its knob: the shops ask less of it.
            Question::Tolerance if self.amplifier.filter.slope().db_per_octave() < 18 => typed("5 %"),
            Question::Caution => typed("understood"),
            Question::Gain if self.amplifier.gain.is_some() => typed("no"),
            Question::RatedPower => Reply::Typed(self.amplifier.gain.map_or(0, |gain| gain.0).to_string()),
            Question::Load => Reply::Typed(self.amplifier.gain.map_or(0, |gain| gain.1).to_string()),
            Question::Explore => self.explore(state),
            Question::Reference => {
                let tone = state.tone().expect("a tone before the reference");
                Reply::Typed(self.shown(self.amplifier.reference(self.unfiltered, tone)))
            }
            Question::Reading => self.reading(state),
            Question::Accept | Question::ReferenceConfirmed => typed("yes"),
            Question::Sweep => self.sweep(state),
            Question::DialMark if self.chance.unit() < 0.5 => {
                Reply::Typed((Self::wanted(state).hz() * self.amplifier.dial_error).round().to_string())
            }
            Question::Reason => Reply::Typed((*self.chance.one_of(&REASONS)).to_owned()),
            Question::Note if self.noted => Reply::Typed((*self.chance.one_of(&NOTES)).to_owned()),
            _ => Reply::Default,
        })
    }

    fn refused(&mut self, _: &Ask, refusal: &Refusal) -> Result<(), Stop> {
        Err(Stop::Input(refusal.to_string()))
    }

    fn logged(&mut self, _: &State, _: &LogEntry) -> Result<(), Stop> {
        Ok(())
    }
}
