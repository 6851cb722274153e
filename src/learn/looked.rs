//! One voltage that was typed, held against what the meter showed and what it would have shown.

use crate::practice::{Bench, Expected, Standing};
use crate::quantity::{Hertz, Volts, show};

/// Tones nearer to each other than this share are one.
const TONE: f64 = 1e-3;
/// A knob within so much of its mark stands there.
const DIAL: f64 = 0.02;

/// How the filter should stand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Filtered {
    /// Out.
    Out,
    /// In, the knob at a mark: where on the dial, and the corner that it really has there.
    AtMark(f64, Hertz),
    /// In: where the dial stands, and the corner.
    In(f64, Hertz),
}

impl Filtered {
    /// At the print that is called so; at the lowest one where no print is.
    pub fn at_mark(bench: &Bench, mark: Hertz) -> Self {
        let dial = Self::mark_on_dial(bench, mark);
        Self::AtMark(dial, bench.corner_at(dial))
    }

    /// Where the print that is called so stands on the dial; the lowest one where no print is.
    pub fn mark_on_dial(bench: &Bench, mark: Hertz) -> f64 {
        let sheet = bench.sheet();
        sheet.prints.iter().find(|print| print.corner == mark).map_or(sheet.lowest_mark().dial, |print| print.dial)
    }

    const fn corner(self) -> Option<Hertz> {
        match self {
            Self::Out => None,
            Self::AtMark(_, corner) | Self::In(_, corner) => Some(corner),
        }
    }
}

/// How things should stand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Needed {
    pub tone: Hertz,
    pub filter: Filtered,
    pub volume: u32,
}

/// A voltage that was typed.
pub(super) struct Value<'a> {
    pub name: String,
    pub volts: Volts,
    pub needed: Needed,
    /// How the bench stood, the last one when it was typed; never empty.
    pub looks: Vec<&'a Bench>,
}

/// What was missed, as a sentence, and what should have been typed.
pub(super) struct Miss {
    pub what: String,
    pub right: Volts,
}

/// What was not as it should be, and how the sentence about the right way begins.
struct Cause(String, &'static str);

impl Value<'_> {
    /// What was missed; `None` where what was typed is what would rightly have been read, however it came about.
    pub fn missed(&self) -> Option<Miss> {
        let now: &Bench = self.looks.last()?;
        let Needed { tone, filter, volume } = self.needed;
        let right = now.expected(Standing { tone, corner: filter.corner(), volume });
        let is_seen = |bench: &&Bench| shows(bench).is_some_and(|shown| shown.is(self.volts));
        let is_right = |bench: &&Bench| self.causes(bench).is_empty();
        // A knob with play that was away and came back stands where it should.
        let is_there = |bench: &Bench| match filter {
            Filtered::In(dial, _) => (bench.dial() - dial).abs() <= DIAL,
            Filtered::Out | Filtered::AtMark(..) => true,
        };
        let mut looks = self.looks.iter().copied().rev();
        if right.is(self.volts) || looks.clone().any(|bench| is_right(&bench) && is_seen(&bench) && is_there(bench)) {
            return None;
        }
        let seen = looks.clone().find(is_seen);
        let rightly = looks.find(is_right);
        let look = seen.or(rightly).unwrap_or(now);
        let mut causes = self.causes(look);
        let typed = format!("typed {}", show::volts(self.volts, right.step));
        if causes.is_empty() && seen.is_some() {
            let what = format!(
                "{}: {typed}, which the meter showed with the knob at {}; at {} it showed {right}.",
                self.name,
                show::figures(look.dial()),
                show::figures(now.dial())
            );
            return Some(Miss { what, right: right.volts });
        }
        if seen.is_none() {
            let shown = look.tone().map_or("nothing".to_owned(), |_| format!("{} V", look.shown().join(" ")));
            causes.insert(0, Cause(format!("{typed}, the meter showed {shown}"), ""));
        }
        let what = match causes.as_slice() {
            [Cause(what, "")] => format!("{}: {what}.", self.name),
            [Cause(what, then)] => format!("{}: {what}; {then} {right}.", self.name),
            several => {
                let whats: Vec<&str> = several.iter().map(|cause| cause.0.as_str()).collect();
                format!("{}: {}; rightly read it would have shown {right}.", self.name, whats.join(", "))
            }
        };
        Some(Miss { what, right: right.volts })
    }

    /// What was not as it should be at a look.
    fn causes(&self, look: &Bench) -> Vec<Cause> {
        let Needed { tone, filter, volume } = self.needed;
        let mut causes = vec![];
        match look.tone() {
            None => causes.push(Cause("no tone was playing".to_owned(), "with it the meter would have shown")),
            Some(played) if (played.hz() / tone.hz()).ln().abs() > TONE => {
                let what = format!("read at {} instead of {}", show::exact_hertz(played), show::exact_hertz(tone));
                causes.push(Cause(what, "there it would have shown"));
            }
            Some(_) => {}
        }
        causes.extend(match filter {
            Filtered::Out if look.is_in() => {
                Some(Cause("read with the filter in".to_owned(), "out it would have shown"))
            }
            Filtered::In(..) if !look.is_in() => {
                Some(Cause("read with the filter out".to_owned(), "in it would have shown"))
            }
            Filtered::AtMark(..) if !look.is_in() => {
                Some(Cause("read with the filter out".to_owned(), "in, at its mark, it would have shown"))
            }
            Filtered::AtMark(dial, _) if (look.dial() - dial).abs() > DIAL => {
                let what = format!("read with the knob at {}, not at its mark", show::figures(look.dial()));
                Some(Cause(what, "there it would have shown"))
            }
            _ => None,
        });
        if look.volume() != volume {
            let what = format!("read at volume {}, where volume {volume} belongs to it", look.volume());
            causes.push(Cause(what, "there it would have shown"));
        }
        causes
    }
}

/// What the meter showed at a look; `None` while no tone played.
fn shows(look: &Bench) -> Option<Expected> {
    Some(look.expected(look.standing()?))
}
