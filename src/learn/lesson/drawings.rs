//! Small drawings in characters: bars side by side, a ruler in octaves, curves over a frequency axis.

use crate::quantity::{Decibels, Hertz, show};
use crate::screens::share as place_on_axis;

/// How wide a screen must be for long bars.
const WIDE: usize = 70;

/// Decibels, and what each leaves of the volts and of the power, as bars; numbers alone on a plain screen.
///
/// ```text
///   down   volts                       power
///   3 dB   0.708 ##############        0.501 ##########
/// ```
pub(super) fn ladder(levels: &[f64], width: usize, plain: bool) -> Vec<String> {
    let longest = match (plain, width >= WIDE) {
        (true, _) => 0,
        (false, true) => 24,
        (false, false) => 16,
    };
    let bar = |share: f64| "#".repeat((share * longest as f64).round() as usize);
    let row = |down: &str, volts: &str, volts_bar: &str, power: &str, power_bar: &str| {
        format!("  {down:>5}   {volts:<5} {volts_bar:<longest$}   {power:<5} {power_bar}")
    };
    let mut lines = vec![row("down", "volts", "", "power", "")];
    lines.extend(levels.iter().map(|level| {
        let volts = Decibels::new(*level).down_ratio();
        let power = volts * volts;
        let down = format!("{level:.0} dB");
        row(&down, &format!("{volts:.3}"), &bar(volts), &format!("{power:.3}"), &bar(power))
    }));
    lines
}

/// A mark on a ruler.
pub(super) struct Mark {
    pub at: Hertz,
    /// What stands below it.
    pub label: String,
    /// Whether label and frequency end at the mark instead of starting there.
    pub ends_here: bool,
}

/// A ruler on which every octave is as long as any other; a list on a plain screen.
///
/// ```text
///   18.0         25.5     27.0         36.0 Hz
///   |---------------|-----|---------------|
///   x 0.5    x 0.7071     x 0.75     tuning
/// ```
pub(super) fn ruler(marks: &[Mark], width: usize, plain: bool) -> Vec<String> {
    if plain {
        return marks.iter().map(|mark| format!("  {:>7}  {}", show::hertz(mark.at), mark.label)).collect();
    }
    let (Some(low), Some(high)) = (marks.first(), marks.last()) else {
        return vec![];
    };
    const LEFT: usize = 3;
    const RIGHT: usize = 10;
    let columns = width - LEFT - RIGHT;
    let place = |mark: &Mark| LEFT + (place_on_axis(mark.at, low.at, high.at) * columns as f64).round() as usize;
    let (mut above, mut scale, mut below) = (vec![], vec![' '; LEFT], vec![]);
    scale.resize(LEFT + columns + 1, '-');
    for mark in marks {
        let at = place(mark);
        scale[at] = '|';
        let frequency = show::hertz(mark.at);
        for (line, text) in [(&mut above, frequency.trim_end_matches(" Hz")), (&mut below, mark.label.as_str())] {
            write(line, if mark.ends_here { at + 1 - text.len() } else { at }, text);
        }
    }
    above.extend(" Hz".chars());
    [above, scale, below].map(String::from_iter).to_vec()
}

/// Writes a text at a column, blanks before it.
fn write(line: &mut Vec<char>, at: usize, text: &str) {
    if line.len() < at {
        line.resize(at, ' ');
    }
    for (offset, character) in text.chars().enumerate() {
        match line.get_mut(at + offset) {
            Some(cell) => *cell = character,
            None => line.push(character),
        }
    }
}

/// A curve: its character and its value at a frequency.
pub(super) type Curve<'a> = (char, &'a dyn Fn(Hertz) -> f64);

/// Curves over a logarithmic frequency axis.
pub(super) struct Plot<'a> {
    /// The value at the top, and at the bottom.
    pub top: f64,
    pub bottom: f64,
    /// How far labels on the left are apart.
    pub step: f64,
    /// Rows from one label to the next.
    pub rows_a_step: usize,
    /// Frequencies below the axis, the lowest first, the highest last.
    pub axis: &'a [Hertz],
    /// A limit to draw across, with its label.
    pub limit: Option<(f64, String)>,
    /// The curves; a later one covers an earlier one.
    pub curves: &'a [Curve<'a>],
}

impl Plot<'_> {
    /// The plot, its axis last.
    pub fn lines(&self, width: usize) -> Vec<String> {
        const LEFT: usize = 6;
        const RIGHT: usize = 6;
        let columns = width.min(WIDE) - LEFT - RIGHT;
        let (Some(low), Some(high)) = (self.axis.first(), self.axis.last()) else {
            return vec![];
        };
        let steps = ((self.bottom - self.top).abs() / self.step).round() as usize;
        let rows = steps * self.rows_a_step;
        let row = |value: f64| ((value - self.top) / (self.bottom - self.top) * rows as f64).round();
        let mut cells = vec![vec![' '; columns + 1]; rows + 1];
        if let Some((limit, label)) = &self.limit {
            let line = &mut cells[row(*limit) as usize];
            line.fill('-');
            let start = line.len() - label.len();
            write(line, start, label);
        }
        let at = |column: usize| Hertz::new(low.hz() * (high.hz() / low.hz()).powf(column as f64 / columns as f64));
        for (character, value) in self.curves {
            for (column, row) in (0..=columns).map(|column| (column, row(value(at(column))))) {
                if row >= 0.0 && row <= rows as f64 {
                    cells[row as usize][column] = *character;
                }
            }
        }
        let mut lines: Vec<String> = (0..=rows)
            .map(|row| {
                let label = if row.is_multiple_of(self.rows_a_step) {
                    let share = row as f64 / rows as f64;
                    format!("{:>LEFT$}|", show::figures(self.top + (self.bottom - self.top) * share))
                } else {
                    format!("{:>LEFT$}|", "")
                };
                label + &String::from_iter(&cells[row])
            })
            .collect();
        let (mut marks, mut names) = (vec![' '; LEFT], vec![]);
        marks.resize(LEFT + 2 + columns, '-');
        marks[LEFT] = '+';
        for at in self.axis {
            let column = LEFT + 1 + (place_on_axis(*at, *low, *high) * columns as f64).round() as usize;
            marks[column] = '+';
            let name = show::figures(at.hz());
            write(&mut names, column - name.len() / 2, &name);
        }
        names.extend(" Hz".chars());
        lines.push(String::from_iter(marks));
        lines.push(String::from_iter(names));
        lines
    }
}
