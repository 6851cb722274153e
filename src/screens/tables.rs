//! Tables for people: `targets` and `corner`.

use super::columns::{Row, Table};
use super::line::{Emphasis, Line, Screen};
use super::plan::{inwards, plan as plan_page};
use crate::corner::{CornerSaid, Fit};
use crate::filter::Corners;
use crate::meter::AcceptZone;
use crate::plan::Plan;
use crate::quantity::{Volts, show};

/// The plan and every dB-down point.
pub fn targets_table(plan: &Plan, screen: Screen) -> Vec<Line> {
    let step = plan.inputs.meter.resolution;
    let mut lines: Vec<Line> = plan_page(plan, screen).into_iter().skip(1).collect();
    if plan.points.is_empty() {
        return lines;
    }
    let rows = plan.points.iter().map(|point| {
        [
            format!("{:.0} dB", point.down.db()),
            format!("{:.2} Hz", point.tone.hz()),
            show::volts(point.target, step),
            range(point.window.low, point.window.high, step),
            match point.accept {
                AcceptZone::Between(low, high) => range(low, high, step),
                AcceptZone::Empty => "none".to_owned(),
            },
        ]
    });
    lines.push(Line::empty());
    lines.extend(table(["down", "tone", "target", "window", "accept"], rows).lines(4, screen));
    lines.extend(screen.paragraph(
        0,
        Emphasis::Faint,
        "The points check a filter that stands right. At another tone than the reference's the meter's whole error \
         counts, and its droop at low tones comes on top.",
    ));
    lines
}

/// A table of plain rows.
fn table<const N: usize>(headings: [&str; N], rows: impl Iterator<Item = [String; N]>) -> Table {
    let row = |cells: [String; N]| Row { cells: cells.to_vec(), emphasis: Emphasis::Plain };
    Table { headings: headings.map(str::to_owned).to_vec(), rows: rows.map(row).collect() }
}

/// Two limits in one cell.
fn range(low: Volts, high: Volts, step: Volts) -> String {
    inwards(low, high, step)
        .map_or_else(|| "none".to_owned(), |(low, high)| format!("{}..{high}", low.trim_end_matches(" V")))
}

/// What one reading says.
pub fn corner_table(said: &CornerSaid, filter: &str, screen: Screen) -> Vec<Line> {
    match said.corners {
        Corners::One(corner) => {
            let uncertainty = said.uncertainty.map_or(String::new(), |u| format!(" +- {:.2}", u.hz()));
            screen.paragraph(
                0,
                Emphasis::Strong,
                &format!("corner {:.2}{uncertainty} Hz on a {filter} filter", corner.hz()),
            )
        }
        Corners::Two(low, high) => screen.paragraph(
            0,
            Emphasis::Warn,
            &format!(
                "corner {} or {}: on the hump of a {filter} filter one reading cannot tell which; a lower tone can",
                show::hertz(low),
                show::hertz(high)
            ),
        ),
        Corners::None => vec![],
    }
}

/// What several readings say.
pub fn fit_table(fit: &Fit, screen: Screen) -> Vec<Line> {
    let mut lines = screen.paragraph(
        0,
        Emphasis::Strong,
        &format!("{}, corner {:.2} +- {:.2} Hz", fit.alignment, fit.corner.hz(), fit.uncertainty.hz()),
    );
    let residuals: Vec<String> =
        fit.residuals.iter().map(|residual| format!("{:+.2}", (residual.db() * 100.0).round() / 100.0 + 0.0)).collect();
    lines.extend(screen.row("residuals", &format!("{} dB; rms {:.3} dB", residuals.join(" "), fit.rms_residual.db())));
    lines.extend(screen.row("scatter", &format!("standard error of the corner {:.2} Hz", fit.standard_error.hz())));
    if fit.alternatives.is_empty() {
        return lines;
    }
    lines.push(Line::empty());
    let rows = fit.alternatives.iter().map(|other| {
        [
            other.alignment.to_string(),
            other.corner.map_or_else(|| "none".to_owned(), show::hertz),
            show::decibels(other.rms_residual),
            if other.told_apart { "yes" } else { "NO" }.to_owned(),
        ]
    });
    lines.extend(table(["other filters", "corner", "rms", "told apart"], rows).lines(4, screen));
    lines
}
