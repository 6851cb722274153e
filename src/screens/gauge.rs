//! A text gauge: where a reading stands in its window.
//!
//! ```text
//!          5.34 V       5.66 V      5.97 V
//! ............[--(---------+--------)--]............
//!                       ^ 5.60 V
//! ```
//!
//! `[` `]` the window, `(` `)` the accept zone, `+` the target, `^` the reading, `<` or `>` off the scale.

use crate::meter::{AcceptZone, Window};
use crate::quantity::{Volts, show};

/// What a gauge shows.
pub struct Gauge {
    /// The window.
    pub window: Window,
    /// The accept zone in it.
    pub accept: AcceptZone,
    /// The target.
    pub target: Volts,
    /// The reading.
    pub reading: Volts,
    /// The meter's display step.
    pub step: Volts,
}

/// The share of the scale on either side of the window.
const MARGIN: f64 = 0.25;

impl Gauge {
    /// Three lines of this many columns.
    pub fn lines(&self, columns: usize) -> Vec<String> {
        let (low, high) = (self.window.low.volts(), self.window.high.volts());
        let margin = (high - low) * MARGIN / (1.0 - 2.0 * MARGIN);
        let (start, end) = (low - margin, high + margin);
        let last = columns.saturating_sub(1);
        let place = |volts: Volts| {
            let share = (volts.volts() - start) / (end - start);
            ((share * last as f64).round().max(0.0) as usize).min(last)
        };
        let mut scale = vec!['.'; columns];
        let (from, to) = (place(self.window.low), place(self.window.high));
        scale[from..=to].fill('-');
        if let AcceptZone::Between(low, high) = self.accept {
            scale[place(low)] = '(';
            scale[place(high)] = ')';
        }
        scale[place(self.target)] = '+';
        scale[from] = '[';
        scale[to] = ']';
        let labels = [
            (from, show::low_limit(self.window.low, self.step)),
            (place(self.target), show::volts(self.target, self.step)),
            (to, show::high_limit(self.window.high, self.step)),
        ];
        vec![
            labelled(&labels, columns),
            scale.into_iter().collect(),
            self.pointer(columns, start, end, self.pointed(place(self.reading), from, to)),
        ]
    }

    /// The place of the reading, moved out of the window where it is outside by less than a column.
    fn pointed(&self, place: usize, from: usize, to: usize) -> usize {
        if self.reading < self.window.low {
            place.min(from.saturating_sub(1))
        } else if self.reading > self.window.high {
            place.max(to + 1)
        } else {
            place.clamp(from, to)
        }
    }

    fn pointer(&self, columns: usize, start: f64, end: f64, at: usize) -> String {
        let reading = show::volts(self.reading, self.step);
        if self.reading.volts() > end {
            return format!("{:>columns$}", format!("{reading} >"));
        }
        if self.reading.volts() < start {
            return format!("< {reading}");
        }
        if at + 2 + reading.len() < columns {
            format!("{}^ {reading}", " ".repeat(at))
        } else {
            format!("{}{reading} ^", " ".repeat(at.saturating_sub(reading.len() + 1)))
        }
    }
}

/// Labels centred over their places, none over another; a label without room is left out.
fn labelled(labels: &[(usize, String)], columns: usize) -> String {
    let mut line = String::new();
    let mut before = "";
    for (place, label) in labels {
        if label == before {
            continue;
        }
        before = label;
        let start = place.saturating_sub(label.len() / 2).min(columns.saturating_sub(label.len()));
        if line.is_empty() || start > line.len() {
            line.push_str(&" ".repeat(start - line.len()));
            line.push_str(label);
        }
    }
    line
}

#[cfg(test)]
mod tests {
    use super::*;

    fn gauge(reading: f64) -> Vec<String> {
        let window = Window { low: Volts::new(5.333), high: Volts::new(5.972) };
        let accept = window.guarded(Volts::new(0.07));
        Gauge { window, accept, target: Volts::new(5.657), reading: Volts::new(reading), step: Volts::new(0.01) }
            .lines(50)
    }

    #[test]
    fn a_reading_in_the_window() {
        assert_eq!(
            gauge(5.6),
            [
                "         5.34 V       5.66 V      5.97 V",
                "............[--(---------+--------)--]............",
                "                      ^ 5.60 V",
            ]
        );
    }

    #[test]
    fn a_reading_off_the_scale_at_either_end() {
        assert_eq!(gauge(7.9)[2], format!("{:>50}", "7.90 V >"));
        assert_eq!(gauge(1.0)[2], "< 1.00 V");
        for volts in [0.0, 5.0, 6.25, 6.35, 300.0] {
            assert!(gauge(volts).iter().all(|line| line.len() <= 50));
        }
    }
}
