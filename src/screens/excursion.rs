//! Cone travel on one screen: is the filter needed, which corners there are, what each does, and the curves.

use super::choices::{TRAVEL_COLUMNS, choices, curve_in_numbers, given};
use super::line::{Emphasis, Line, Screen};
use super::plot::{AROUND, plot};
use crate::displacement::{Analysis, CurvePoint, Enclosure, Peak, TENTH, up_to_tenth};
use crate::quantity::show;
use crate::quantity::text::visible;

/// Lines of a usual window, less the one in which the next command is typed.
const WINDOW: usize = 23;
/// Rows of the drawing, at least and at most.
const ROWS: [usize; 2] = [7, 11];
/// An analysis, and what belongs to it.
#[derive(Debug, Clone, Copy)]
pub struct Excursion<'a> {
    /// The analysis.
    pub analysis: &'a Analysis,
    /// The driver's name.
    pub name: Option<&'a str>,
    /// What was taken for granted, and what was given to no purpose.
    pub remarks: &'a [String],
}

/// Whether the filter is needed and where: in a few words, and in full sentences.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Answer {
    /// Good news, an answer, or a warning.
    pub emphasis: Emphasis,
    /// The few words.
    pub headline: String,
    /// The sentences.
    pub sentences: Vec<String>,
}

impl Excursion<'_> {
    /// Everything on one screen.
    pub fn screen(self, screen: Screen) -> Vec<Line> {
        let head = self.head(screen);
        let choices = choices(self.analysis).lines(TRAVEL_COLUMNS, screen);
        let notes = self.notes(screen);
        let taken = head.len() + choices.len() + notes.len();
        let curves = if screen.is_plain() {
            curve_in_numbers(self.analysis).lines(usize::MAX, screen)
        } else {
            let rows = WINDOW.saturating_sub(taken + AROUND).clamp(ROWS[0], ROWS[1]);
            plot(self.analysis, rows, screen)
        };
        // Empty lines are for where there is room, or where all will not stand in the window anyway.
        let spare = WINDOW.checked_sub(taken + curves.len()).unwrap_or(usize::MAX);
        let mut lines = head;
        for (part, wants) in [(choices, 2), (curves, 1), (notes, 3)] {
            if spare >= wants && !part.is_empty() {
                lines.push(Line::empty());
            }
            lines.extend(part);
        }
        lines
    }

    /// The answer, and what it was asked of.
    fn head(self, screen: Screen) -> Vec<Line> {
        let Answer { emphasis, headline, sentences } = self.answer();
        let mut lines = screen.paragraph(0, emphasis, &headline);
        lines.extend(sentences.iter().flat_map(|sentence| screen.paragraph(0, Emphasis::Plain, sentence)));
        lines.extend(screen.row(if self.name.is_some() { "driver" } else { "mounted" }, &visible(&self.subject())));
        lines.extend(screen.row("drive", &self.drive()));
        lines
    }

    /// What should be known: damage louder than the rest.
    fn notes(self, screen: Screen) -> Vec<Line> {
        let damage = self.analysis.damage().into_iter().flat_map(|text| screen.item("!! ", Emphasis::Warn, &text));
        let others = self.analysis.cautions().into_iter().chain(self.remarks.iter().cloned());
        damage.chain(others.flat_map(|text| screen.item("! ", Emphasis::Warn, &visible(&text)))).collect()
    }

    /// Whether the filter is needed, and where.
    pub fn answer(self) -> Answer {
        let analysis = self.analysis;
        if !analysis.is_needed() {
            return self.not_needed();
        }
        let alignment = analysis.setup.alignment;
        let or_higher = if alignment.has_hump() { "" } else { " or higher" };
        let (emphasis, headline) = match (analysis.above_tuning, analysis.lowest_safe) {
            (Some(_), _) => {
                let cure = match analysis.unfiltered.over_xmax_below {
                    Some(_) => "NEEDED, and LESS DRIVE as well",
                    None => "LESS DRIVE, not the filter",
                };
                (Emphasis::Warn, format!("{cure}: {}", analysis.at_most()))
            }
            (None, Some(safe)) => {
                let corner = show::hertz(up_to_tenth(safe.corner));
                (Emphasis::Strong, format!("NEEDED: {alignment}, corner at {corner}{or_higher}"))
            }
            (None, None) => (Emphasis::Warn, format!("NEEDED, BUT NOT ENOUGH: {alignment} at any corner")),
        };
        let mut sentences = vec![self.without_filter()];
        sentences.extend(self.as_given());
        Answer { emphasis, headline, sentences }
    }

    fn not_needed(self) -> Answer {
        let Analysis { setup, unfiltered, .. } = self.analysis;
        let headline = match setup.enclosure {
            Enclosure::Sealed { .. } => "NOT NEEDED at this drive: the air in the sealed box holds the cone",
            Enclosure::Vented { .. } | Enclosure::FreeAir => "NOT NEEDED at this drive: the cone keeps within Xmax",
        };
        let volts = show::step_at_or_below(self.analysis.highest_drive_at(unfiltered.peak), TENTH);
        let travel = self.analysis.travel(unfiltered.peak);
        let sentence = format!(
            "At most it travels {travel}, at {}. Xmax, {}, takes {} ({}).",
            show::hertz(unfiltered.peak.at),
            show::millimetres(setup.driver.xmax),
            show::volts(volts, TENTH),
            show::watts(volts.power_into(setup.drive.load)),
        );
        let sentences = [Some(sentence), self.as_given()].into_iter().flatten().collect();
        Answer { emphasis: Emphasis::Good, headline: headline.to_owned(), sentences }
    }

    /// What the cone does with the filter out.
    fn without_filter(self) -> String {
        let Analysis { setup, unfiltered, .. } = self.analysis;
        let xmax = show::millimetres(setup.driver.xmax);
        let peak = self.travel(unfiltered.peak);
        let is_past = |point: &CurvePoint| point.unfiltered > setup.driver.xmax;
        match unfiltered.over_xmax_below {
            Some(below) if self.analysis.curve(1).first().is_some_and(is_past) => {
                format!("Filter out, the cone passes Xmax ({xmax}) below {}: {peak}.", show::hertz(below))
            }
            _ => format!("Filter out, the cone passes Xmax ({xmax}): {peak}."),
        }
    }

    /// Whether the corner that was given holds the cone.
    fn as_given(self) -> Option<String> {
        let given = given(self.analysis)?;
        let holds = if given.within_xmax { "holds the cone" } else { "DOES NOT HOLD the cone" };
        Some(format!("The corner as given, {}, {holds}: {}.", show::hertz(given.corner), self.travel(given.peak)))
    }

    /// A travel and where: `46.7 mm at 10.0 Hz`.
    fn travel(self, peak: Peak) -> String {
        format!("{} at {}", self.analysis.travel(peak), show::hertz(peak.at))
    }

    /// What is looked at: the driver and what it is mounted in.
    pub fn subject(self) -> String {
        let mounted = match self.analysis.setup.enclosure {
            Enclosure::FreeAir => "in free air".to_owned(),
            Enclosure::Sealed { volume, .. } => format!("in a sealed box of {}", show::litres(volume)),
            Enclosure::Vented { volume, tuning, .. } => {
                format!("in a vented box of {}, tuned to {}", show::litres(volume), show::hertz(tuning))
            }
        };
        self.name.map_or_else(|| mounted.clone(), |name| format!("{name}, {mounted}"))
    }

    /// How hard it is driven, and how low.
    pub fn drive(self) -> String {
        let Analysis { setup, drive, .. } = self.analysis;
        format!(
            "{} ({} into {}), programme down to {}",
            show::volts(*drive, TENTH),
            show::watts(setup.drive.power),
            show::ohms(setup.drive.load),
            show::hertz(setup.drive.lowest)
        )
    }
}
