//! The corners to choose from and what each does, and the curves in numbers: tables for the screen and for the page.

use super::axes::preferred_frequencies;
use super::columns::{Row, Table};
use super::line::Emphasis;
use crate::displacement::{Analysis, Choice, Cone, FilterIn, HIGHEST, Peak, up_to_tenth};
use crate::quantity::{Decibels, Hertz, Millimetres, show};

/// The columns of the choices that a narrow screen keeps together: which corner, and how far the cone travels.
pub(super) const TRAVEL_COLUMNS: usize = 5;
/// What stands where there is nothing to say.
const NOTHING: &str = "-";

/// The corners to choose from, and what each does: the filter out, the lowest safe one, each rule's, the one given.
pub fn choices(analysis: &Analysis) -> Table {
    let has_tuning = analysis.setup.enclosure.tuning().is_some();
    let mut headings = vec!["choice", "corner", "travels", "at", "in Xmax"];
    headings.extend(has_tuning.then_some("loss at tuning"));
    headings.push("-3 dB");
    let row = |name: &str, corner, peak: Peak, held: Held, loss: Option<Decibels>, half_power| {
        let travel = in_column(analysis, peak.value, held);
        let mut cells = vec![name.to_owned(), frequency(corner), travel, show::hertz(peak.at), held.word().to_owned()];
        cells.extend(has_tuning.then(|| loss.map_or_else(|| NOTHING.to_owned(), show::decibels)));
        cells.push(frequency(half_power));
        Row { cells, emphasis: if held == Held::PastXmech { Emphasis::Warn } else { Emphasis::Plain } }
    };
    let of = |name: &str, corner: Hertz, choice: &Choice| {
        let held = Held::of(choice.within_xmax, choice.within_xmech);
        row(name, Some(corner), choice.peak, held, choice.loss_at_tuning, choice.half_power)
    };
    let out = &analysis.unfiltered;
    let held = Held::of(!analysis.is_needed(), out.within_xmech);
    let mut rows = vec![row("filter out", None, out.peak, held, None, out.half_power)];
    rows.extend(analysis.lowest_safe.iter().map(|safe| {
        let row = of("lowest safe", up_to_tenth(safe.corner), safe);
        Row { emphasis: Emphasis::Strong, ..row }
    }));
    rows.extend(analysis.rules.iter().map(|(rule, choice)| of(rule.word(), choice.corner, choice)));
    rows.extend(given(analysis).map(|choice| of("as given", choice.corner, choice)));
    Table { headings: headings.into_iter().map(str::to_owned).collect(), rows }
}

/// Whether the cone is held.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Held {
    Within,
    PastXmax,
    PastXmech,
}

impl Held {
    fn of(within_xmax: bool, within_xmech: Option<bool>) -> Self {
        match (within_xmax, within_xmech) {
            (_, Some(false)) => Self::PastXmech,
            (true, _) => Self::Within,
            (false, _) => Self::PastXmax,
        }
    }

    const fn word(self) -> &'static str {
        match self {
            Self::Within => "yes",
            Self::PastXmax => "NO",
            Self::PastXmech => "PAST XMECH",
        }
    }
}

/// A travel with the same decimals as all in its column; one past a limit is never shown as within it.
fn in_column(analysis: &Analysis, travel_mm: f64, held: Held) -> String {
    let driver = &analysis.setup.driver;
    let decimals = if driver.xmax < Millimetres::new(5.0) { 2 } else { 1 };
    let shown = format!("{travel_mm:.decimals$}");
    let passed = match held {
        Held::Within => None,
        Held::PastXmax => Some(driver.xmax),
        Held::PastXmech => driver.xmech,
    };
    let reads_within = |limit: Millimetres| shown.parse::<f64>().is_ok_and(|shown| shown <= limit.mm());
    if passed.is_some_and(reads_within) { format!("over {shown} mm") } else { format!("{shown} mm") }
}

fn frequency(frequency: Option<Hertz>) -> String {
    frequency.map_or_else(|| NOTHING.to_owned(), show::hertz)
}

/// The corner that was given, and what it does.
pub(super) fn given(analysis: &Analysis) -> Option<&Choice> {
    analysis.filtered.as_ref().filter(|_| analysis.setup.corner.is_some())
}

/// The corner that the curve is drawn with, as it is shown: a lowest safe one rounded up.
pub fn drawn_corner(analysis: &Analysis) -> Option<Hertz> {
    let drawn = analysis.filtered?;
    Some(if Some(drawn) == analysis.lowest_safe { up_to_tenth(drawn.corner) } else { drawn.corner })
}

/// The curves in numbers, at the lowest frequency of the programme and at every preferred one above it.
pub fn curve_in_numbers(analysis: &Analysis) -> Table {
    let setup = &analysis.setup;
    let lowest = setup.drive.lowest;
    let cone = Cone::new(&setup.driver, setup.enclosure, setup.drive);
    let corner = drawn_corner(analysis);
    let preferred = preferred_frequencies(lowest, HIGHEST).into_iter().filter(|frequency| *frequency > lowest);
    let travel = |filter: FilterIn, at: Hertz| in_column(analysis, cone.travel(at, filter).mm(), Held::Within);
    let rows = std::iter::once(lowest).chain(preferred).map(|at| {
        let mut cells = vec![show::exact_hertz(at), travel(None, at)];
        cells.extend(analysis.filtered.map(|choice| travel(Some((setup.alignment, choice.corner)), at)));
        Row { cells, emphasis: Emphasis::Plain }
    });
    let mut headings = vec!["travel at".to_owned(), "filter out".to_owned()];
    headings.extend(corner.map(|corner| format!("filter in, {}", show::hertz(corner))));
    Table { headings, rows: rows.collect() }
}
