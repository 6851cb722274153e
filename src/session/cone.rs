//! What driver and box say of the corner, where both are known.

use super::question::Question;
use super::state::State;
use super::words::{Answer, UNKNOWN};
use crate::displacement::{Analysis, Enclosure, Fields, up_to_tenth};
use crate::filter::{Alignment, Rule};
use crate::quantity::text::accept_line;
use crate::quantity::{Hertz, Refusal, ranges, show};

/// The longest line that describes a driver and its box, in characters.
const LONGEST: usize = 2000;

/// A driver and a vented box may be told before the tuning is; this only stands in for it while the rest is checked.
const STANDS_IN: Hertz = Hertz::new(35.0);

impl State {
    /// What a line of keys means, or that nothing is known.
    pub(super) fn driver_answer(typed: &str) -> Result<Answer, Refusal> {
        let typed = typed.trim();
        if typed.eq_ignore_ascii_case(UNKNOWN) {
            return Ok(Answer::Word(UNKNOWN));
        }
        let typed = accept_line("driver", typed, LONGEST)?;
        let fields = Fields::from_line(&typed)?;
        if let Some(key) = fields.key_of_filter() {
            let problem = "belongs to the filter, which is asked for by itself";
            return Err(Refusal::new("driver", key, problem, "the keys of driver, box and drive"));
        }
        let vented_without_tuning = fields.text("kind") == Some("vented") && fields.text("tuning_hz").is_none();
        let complete = if vented_without_tuning { with_tuning(fields, STANDS_IN) } else { fields };
        complete.name()?;
        complete.setup()?;
        Ok(Answer::Text(typed))
    }

    fn fields(&self) -> Option<Fields> {
        Fields::from_line(self.text(Question::Driver)?).ok()
    }

    /// Driver and box as one line, where they are known, with the tuning that was answered.
    pub fn driver(&self) -> Option<String> {
        let fields = self.fields()?;
        let tuning = self.tuning().filter(|_| !self.box_is_closed());
        Some(match tuning {
            Some(tuning) => with_tuning(fields, tuning).driver_and_box(),
            None => self.text(Question::Driver)?.to_owned(),
        })
    }

    /// The tuning as the driver file has it, as it would be typed.
    pub(super) fn tuning_of_driver(&self) -> Option<String> {
        let fields = self.fields()?;
        match fields.text("kind") {
            Some("vented") => fields.text("tuning_hz").map(str::to_owned),
            _ => Some(UNKNOWN.to_owned()),
        }
    }

    /// What driver and box say of the filter in use, and of the corner in use where there is one. A filter that is not
    /// known yet is taken for a Butterworth, 24 dB/octave where its slope is unknown too.
    pub fn excursion(&self) -> Option<Analysis> {
        let in_use = self.plan().map(|plan| plan.inputs.alignment).or_else(|| self.alignment());
        self.excursion_with(in_use.unwrap_or_else(|| Alignment::usual(self.slope().flatten())))
    }

    /// The same for another filter.
    pub fn excursion_with(&self, alignment: Alignment) -> Option<Analysis> {
        let fields = self.fields()?;
        let is_vented = fields.text("kind") == Some("vented");
        let fields = match self.tuning() {
            Some(tuning) => with_tuning(fields, tuning),
            // A tuning that the person does not believe in says nothing of the box.
            None if is_vented && self.tuning_is_unknown() => return None,
            None => fields,
        };
        let mut setup = fields.setup().ok()?;
        setup.alignment = alignment;
        setup.corner = self.corner().map(|choice| choice.corner());
        Some(self.analyses.of(setup, |setup| Analysis::of(setup.clone())))
    }

    /// What a plan must say of the cone, the gravest first: damage, a corner that does not hold it, a drive that is too much.
    pub(super) fn cone_doubts(&self, alignment: Alignment) -> Vec<String> {
        let Some(analysis) = self.excursion_with(alignment).filter(|analysis| analysis.setup.corner.is_some()) else {
            return vec![];
        };
        let damage = analysis.filtered.filter(|choice| choice.within_xmech == Some(false));
        let damage = damage.and_then(|_| analysis.damage());
        [damage, analysis.corner_falls_short(), analysis.less_drive()].into_iter().flatten().collect()
    }

    /// Whether the usual rule's corner is known not to protect the cone, and another one would.
    pub(super) fn rule_falls_short(&self) -> bool {
        self.excursion().is_some_and(|analysis| {
            let usual = analysis.by_rule(Rule::ThreeQuarters);
            // Where the hump above the tuning is the limit, a higher corner is the wrong cure.
            let by_corner = analysis.lowest_safe.is_some() && analysis.above_tuning.is_none();
            usual.is_some_and(|choice| !choice.within_xmax) && by_corner
        })
    }

    /// The lowest safe corner as it would be typed, rounded up.
    pub(super) fn safe_corner(&self) -> Option<String> {
        let corner = up_to_tenth(self.excursion()?.lowest_safe?.corner).hz().max(ranges::CORNER.low);
        ranges::CORNER.contains(corner).then(|| show::full_hertz(Hertz::new(corner)))
    }

    /// Whether driver and box were told and the box has no port, so that no tuning belongs to it.
    pub fn box_is_closed(&self) -> bool {
        self.fields()
            .and_then(|fields| fields.enclosure().ok())
            .is_some_and(|enclosure| matches!(enclosure, Enclosure::Sealed { .. } | Enclosure::FreeAir))
    }
}

/// The tuning that was answered counts, not the one in the file.
fn with_tuning(fields: Fields, tuning: Hertz) -> Fields {
    fields.with("tuning_hz", tuning.hz().to_string())
}
