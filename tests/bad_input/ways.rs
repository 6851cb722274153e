//! Every way by which a number gets in.

use cornerset::quantity::ranges::{self, Range};

use crate::common::lines::Lines;
use crate::common::{Shop, walk_ids};
use crate::support::{Ended, run};

/// A way in, its range, and the field that a refusal names.
pub struct Way {
    pub name: &'static str,
    pub field: &'static str,
    pub range: Range,
    /// Whether a span or repeats are taken.
    pub several: bool,
    entrance: Entrance,
}

enum Entrance {
    /// Arguments; `{}` stands for the value.
    Arguments(&'static str),
    /// The question of a script, and the answer around the value.
    Question(&'static str, &'static str),
}

/// Every way, by option and by script.
pub fn ways() -> Vec<Way> {
    let option = |name, range: Range, arguments| Way {
        name,
        field: range.field,
        range,
        several: false,
        entrance: Entrance::Arguments(arguments),
    };
    let several = |way: Way| Way { several: true, ..way };
    let named = |way: Way, field| Way { field, ..way };
    let asked = |name, range: Range, around| Way {
        name,
        field: name,
        range,
        several: false,
        entrance: Entrance::Question(name, around),
    };
    vec![
        option("targets --tuning", ranges::TUNING, "targets --slope 24 --reference 8 --tuning={}"),
        option("targets --corner", ranges::CORNER, "targets --slope 24 --reference 8 --corner={}"),
        several(option("targets --reference", ranges::REFERENCE, "targets --tuning 36 --slope 24 --reference={}")),
        option("targets --tone", ranges::TONE, "targets --tuning 36 --slope 24 --reference 8 --tone={}"),
        option(
            "targets --reference-mark",
            ranges::MARK,
            "targets --tuning 36 --slope 24 --reference 8 --reference-mark={}",
        ),
        option(
            "targets --mark-uncertainty",
            ranges::MARK_UNCERTAINTY,
            "targets --tuning 36 --slope 24 --reference 8 --reference-mark 18 --mark-uncertainty={}",
        ),
        option(
            "targets --tolerance",
            ranges::TOLERANCE_PERCENT,
            "targets --tuning 36 --slope 24 --reference 8 --tolerance={}",
        ),
        option("targets --q", ranges::Q, "targets --tuning 36 --slope 12 --family second-order --reference 8 --q={}"),
        option(
            "targets --meter-accuracy",
            ranges::METER_ACCURACY,
            "targets --tuning 36 --slope 24 --reference 8 --meter-accuracy={}",
        ),
        option(
            "targets --meter-digits",
            ranges::METER_DIGITS,
            "targets --tuning 36 --slope 24 --reference 8 --meter-digits={}",
        ),
        option(
            "targets --meter-resolution",
            ranges::METER_RESOLUTION,
            "targets --tuning 36 --slope 24 --reference 8 --meter-resolution={}",
        ),
        several(option(
            "corner --reference",
            ranges::REFERENCE,
            "corner --family butterworth --slope 24 27=5.66 --reference={}",
        )),
        option(
            "corner --reference-mark",
            ranges::MARK,
            "corner --family butterworth --slope 24 --reference 8 27=5.66 --reference-mark={}",
        ),
        named(
            option(
                "corner --reference-tone",
                ranges::TONE,
                "corner --family butterworth --slope 24 --reference 8 27=5.66 --reference-tone={}",
            ),
            "reference-tone",
        ),
        option("corner tone", ranges::TONE, "corner --family butterworth --slope 24 --reference 8 -- {}=5.66"),
        several(option(
            "corner volts",
            ranges::READING,
            "corner --family butterworth --slope 24 --reference 8 -- 27={}",
        )),
        several(option(
            "corner own reference",
            ranges::REFERENCE,
            "corner --family butterworth --slope 24 --reference 8 -- 27=5.66/{}",
        )),
        asked("meter-accuracy", ranges::METER_ACCURACY, "{}"),
        asked("meter-digits", ranges::METER_DIGITS, "{}"),
        asked("meter-resolution", ranges::METER_RESOLUTION, "{}"),
        asked("tuning", ranges::TUNING, "{}"),
        asked("q", ranges::Q, "{}"),
        asked("corner", ranges::CORNER, "{}"),
        asked("reference-mark", ranges::MARK, "{}"),
        asked("mark-uncertainty", ranges::MARK_UNCERTAINTY, "{}"),
        asked("tone", ranges::TONE, "{}"),
        asked("tolerance", ranges::TOLERANCE_PERCENT, "{}"),
        asked("rated-power", ranges::RATED_POWER, "{}"),
        asked("load", ranges::LOAD, "{}"),
        asked("explore", ranges::TONE, "{} = 5.66 / 8"),
        several(asked("explore", ranges::READING, "27 = {} / 8")),
        several(asked("explore", ranges::REFERENCE, "27 = 5.66 / {}")),
        several(asked("reference", ranges::REFERENCE, "{}")),
        several(asked("reading", ranges::READING, "{}")),
        asked("sweep", ranges::TONE, "{} = 5.66"),
        several(asked("sweep", ranges::READING, "20 = {}")),
        several(asked("sweep", ranges::REFERENCE, "20 = 2.31 / {}")),
    ]
}

/// A session in which the question comes up.
fn session_for(question: &str) -> Lines {
    let plain = Lines::required();
    let with_q = || plain.clone().with("slope", "12").with("family", "second-order").with("q", "0.6");
    match question {
        "q" => with_q(),
        "corner" => plain.with("rule", "own").with("corner", "27"),
        "reference-mark" | "mark-uncertainty" => {
            plain.with("bypass", "no").with("reference-mark", "18").with("mark-uncertainty", "5")
        }
        "rated-power" | "load" => plain.with("gain", "no").with("rated-power", "450 W").with("load", "2 ohm"),
        "explore" => plain.with("family", "unknown").with("explore", "20=2.31/8").and("explore", "30=6.74/8"),
        "sweep" => plain.with("sweep", "20=2.31/8"),
        _ => plain,
    }
}

/// A way, ready to be tried again and again.
pub struct Trial<'a> {
    way: &'a Way,
    shop: Shop,
    /// The open session that waits at the question, and what goes on with it.
    session: Option<(String, Lines)>,
}

impl Way {
    /// Opens the session that the way needs.
    pub fn trial(&self) -> Trial<'_> {
        let shop = Shop::new();
        let session = match self.entrance {
            Entrance::Arguments(_) => None,
            Entrance::Question(question, _) => {
                // A refused answer, so that the session waits there even where there is a default.
                let waits = session_for(question).with(question, "none of this is taken");
                let script = format!("{}{question}: none of this is taken\n", waits.before(question).text());
                let ended = shop.plays(script.as_bytes());
                assert_eq!(ended.code, Some(2), "{}: {ended:?}", self.name);
                let id = walk_ids(&shop).pop().expect("an open session");
                Some((id, session_for(question)))
            }
        };
        Trial { way: self, shop, session }
    }

    /// Whether the value stands in a pair, whose own marks it must not hold.
    pub fn is_in_a_pair(&self) -> bool {
        match self.entrance {
            Entrance::Arguments(text) => text.contains("={}=") || text.contains(" -- "),
            Entrance::Question(_, around) => around != "{}",
        }
    }

    /// Whether a word such as `unknown` is taken too.
    pub fn is_a_script(&self) -> bool {
        matches!(self.entrance, Entrance::Question(..))
    }
}

impl Trial<'_> {
    /// Tries a value.
    #[track_caller]
    pub fn with(&self, value: &str) -> Ended {
        match self.way.entrance {
            Entrance::Arguments(text) => {
                let arguments = text.split(' ').map(|word| word.replace("{}", value));
                run(self.shop.command().args(arguments), b"")
            }
            Entrance::Question(question, around) => {
                let (id, _) = self.session.as_ref().expect("a session");
                let line = format!("{question}: {}\n", around.replace("{}", value));
                run(self.shop.command().args(["set", "--resume", id, "--script", "-"]), line.as_bytes())
            }
        }
    }

    /// Ends the session: nothing that was refused has left a trace.
    pub fn finish(self) {
        let (Entrance::Question(question, _), Some((id, lines))) = (&self.way.entrance, &self.session) else {
            return;
        };
        let rest: String = if lines.pairs().iter().any(|(id, _)| id == question) {
            lines.clone().from(question).text()
        } else {
            let order = lines.clone().with(question, "none of this is taken");
            order.from(question).without(question).text()
        };
        let ended = run(self.shop.command().args(["set", "--resume", id, "--script", "-"]), rest.as_bytes());
        assert!(matches!(ended.code, Some(0 | 1)) || ended.stderr.contains("`reason`"), "{}: {ended:?}", self.way.name);
    }
}
