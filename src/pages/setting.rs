//! A setting as a drawing: what the filter should do, how far off it may be, and what the meter showed.

use super::svg::{self, Anchor, Axes, BOTTOM, GAP, RIGHT, TEXT, TOP};
use crate::filter::Alignment;
use crate::quantity::{Decibels, Hertz, Volts, show};
use crate::record::Record;
use crate::screens::{Fate, alignment, corner_said, fates, wanted};
use crate::session::{LogEntry, PairEntry, ReadingEntry};

/// Points of a curve: finer than any screen shows.
const CURVE_STEPS: usize = 300;
/// The frequencies that a drawing may hold, far wider than what a session takes.
const DRAWABLE_HZ: [f64; 2] = [0.1, 20_000.0];
/// Room at both ends beyond the outermost tone.
const BEYOND: f64 = 1.6;
/// Half the width of a mark, and of the ends of the bracket.
const MARK: f64 = 5.0;
const BRACKET: f64 = 10.0;
/// Numbers of readings stand at least so far from each other.
const NUMBERS_APART: f64 = 12.0;
/// How far down the axis reaches at least and at most, and how far up at most.
const DOWN_DB: [f64; 2] = [12.0, 60.0];
const UP_DB: f64 = 6.0;

/// What is drawn of a record.
struct Setting<'a> {
    record: &'a Record,
    alignment: Alignment,
    axes: Axes,
    readings: Vec<(&'a ReadingEntry, Fate<'a>)>,
    sweep: Vec<(Hertz, f64)>,
}

/// The drawing; `None` where the numbers of the record, or its filter, make none.
pub(super) fn drawing(record: &Record) -> Option<String> {
    let setting = Setting::of(record)?;
    Some(svg::drawing("Level against frequency", &setting.description(), &setting.body()))
}

impl<'a> Setting<'a> {
    fn of(record: &'a Record) -> Option<Self> {
        let plan = &record.plan;
        let alignment = alignment(record)?;
        let (mut readings, mut sweep) = (vec![], vec![]);
        for (entry, fate) in record.log.iter().zip(fates(&record.log)) {
            match entry {
                LogEntry::Reading(reading) => readings.push((reading, fate)),
                LogEntry::Sweep(pair) if fate == Fate::Counts => {
                    sweep.push((pair.tone_hz, level(pair.volts, true_reference(record, alignment, pair))));
                }
                _ => {}
            }
        }
        let corner = plan.corner_hz;
        let frequencies = || {
            let tones = readings.iter().map(|(reading, _)| reading.tone_hz).chain(sweep.iter().map(|(tone, _)| *tone));
            let named =
                [Some(corner), Some(plan.setting.tone_hz), record.outcome.corner_hz, record.enclosure.tuning_hz];
            tones.chain(named.into_iter().flatten()).map(Hertz::hz)
        };
        let volts = [plan.setting.low_v, plan.setting.high_v, plan.setting.target_v, plan.true_reference_v];
        if frequencies().any(|hz| !(DRAWABLE_HZ[0]..=DRAWABLE_HZ[1]).contains(&hz))
            || volts.iter().any(|volts| volts.volts() <= 0.0)
        {
            return None;
        }
        let low = frequencies().fold(corner.hz() / 2.0, |low, hz| low.min(hz / BEYOND));
        let high = frequencies().fold(corner.hz() * 4.0, |high, hz| high.max(hz * BEYOND));
        let ends = [plan.setting.low_v, plan.setting.high_v].map(|end| level(end, plan.true_reference_v));
        let levels =
            readings.iter().filter(|(_, fate)| *fate == Fate::Counts).map(|(reading, _)| -reading.down_db.db());
        let hump = alignment.least_excess().ln_1p() * -10.0 / std::f64::consts::LN_10;
        let levels: Vec<f64> = levels.chain(sweep.iter().map(|(_, level)| *level)).chain(ends).chain([hump]).collect();
        let deepest = levels.iter().fold(DOWN_DB[0], |deepest, level| deepest.max(-level * 1.05)).min(DOWN_DB[1]);
        let highest = levels.iter().fold(0.0, |highest: f64, level| highest.max(*level)).min(UP_DB);
        let axes = Axes::around(Hertz::new(low), Hertz::new(high), highest, deepest);
        Some(Self { record, alignment, axes, readings, sweep })
    }

    fn body(&self) -> String {
        let plan = &self.record.plan;
        let mut body = self.axes.grid("dB");
        let mut key = vec![];
        if let Some(band) = self.band() {
            body.push_str(&band);
            key.push((Sign::Band, "allowed by the tolerance".to_owned()));
        }
        body.push_str(&self.axes.curve("two", self.response(self.alignment, plan.corner_hz).into_iter()));
        key.push((Sign::Line("two"), format!("wanted: {}", self.alignment)));
        if let Some(fit) = &self.record.outcome.fit
            && let Some(fitted) = self.fitted()
        {
            body.push_str(&self.axes.curve("one", self.response(fitted, fit.corner_hz).into_iter()));
            key.push((Sign::Line("one"), "fitted to sweep".to_owned()));
        }
        if let Some(tuning) = self.record.enclosure.tuning_hz {
            let x = self.axes.x(tuning);
            body.push_str(&svg::line("plumb", [x, TOP], [x, BOTTOM]));
            let label = format!("tuning {}", show::hertz(tuning));
            body.push_str(&self.axes.label("soft", Anchor::Start, [x + GAP, BOTTOM - GAP], &label));
        }
        if let Some(corner) = self.record.outcome.corner_hz {
            body.push_str(&self.axes.mark(corner, &corner_said(self.record)));
        }
        body.push_str(&self.bracket());
        key.push((Sign::Bracket, "tolerance in volts".to_owned()));
        for (tone, level) in &self.sweep {
            body.push_str(&diamond([self.axes.x(*tone), self.axes.y_within(*level).0]));
        }
        body.push_str(&self.readings(&mut key));
        if !self.sweep.is_empty() {
            key.push((Sign::Diamond, "sweep".to_owned()));
        }
        body.push_str(&legend(&key));
        body
    }

    /// Level against frequency of a filter with its corner here.
    fn response(&self, alignment: Alignment, corner: Hertz) -> Vec<(Hertz, f64)> {
        let (low, high) = (self.axes.low.hz(), self.axes.high.hz());
        (0..=CURVE_STEPS)
            .map(|step| Hertz::new(low * (high / low).powf(step as f64 / CURVE_STEPS as f64)))
            .map(|tone| (tone, -alignment.response(tone, corner).down().db()))
            // What is far below the drawing is cut off there, or the numbers grow without bound.
            .map(|(tone, level)| (tone, level.max(-2.0 * DOWN_DB[1])))
            .collect()
    }

    /// The area between the filter at its lowest and at its highest allowed corner.
    fn band(&self) -> Option<String> {
        let plan = &self.record.plan;
        let share = plan.tolerance_percent.map(|share| share.fraction());
        let at = |share: f64| Hertz::new(plan.corner_hz.hz() * (1.0 + share));
        let high = plan.setting.corner_high_hz.or(share.map(at)).filter(|corner| corner.hz() > 0.0)?;
        let low = plan.setting.corner_low_hz.or(share.map(|share| at(-share)));
        let upper = match low.filter(|corner| corner.hz() > 0.0) {
            Some(low) => self.response(self.alignment, low),
            // Any lower corner is allowed: up to the level with the filter out.
            None => vec![(self.axes.low, 0.0), (self.axes.high, 0.0)],
        };
        let lower = self.response(self.alignment, high);
        Some(self.axes.area("band", upper.into_iter().chain(lower.into_iter().rev())))
    }

    /// The filter that the sweep fits.
    fn fitted(&self) -> Option<Alignment> {
        let fit = self.record.outcome.fit.as_ref()?;
        match self.record.filter.q {
            Some(q) if fit.family == self.alignment.family() => Some(Alignment::second_order(q)),
            _ => Alignment::new(fit.family, fit.slope_db_per_octave).ok(),
        }
    }

    /// The window at the tone, upright.
    fn bracket(&self) -> String {
        let plan = &self.record.plan;
        let x = self.axes.x(plan.setting.tone_hz);
        let [low, high] = [plan.setting.low_v, plan.setting.high_v]
            .map(|end| self.axes.y_within(level(end, plan.true_reference_v)).0);
        let end = |y: f64| svg::line("bracket", [x - BRACKET, y], [x + BRACKET, y]);
        format!("{}{}{}", svg::line("bracket", [x, low], [x, high]), end(low), end(high))
    }

    /// The readings: the accepted one filled and named, earlier ones hollow, those that do not count crossed out.
    fn readings(&self, key: &mut Vec<(Sign, String)>) -> String {
        let last = self.record.accepted_reading().map(|reading| reading.number);
        let step = self.record.plan.meter_resolution_v;
        let mut marks = String::new();
        let mut numbers: Vec<(f64, f64, String)> = vec![];
        let (mut hollow, mut crossed, mut full) = (false, false, String::new());
        for (reading, fate) in &self.readings {
            let (y, is_outside) = self.axes.y_within(-reading.down_db.db());
            if is_outside && *fate != Fate::Counts {
                // Most likely the slip for which it was struck; the table has it.
                continue;
            }
            let at = [self.axes.x(reading.tone_hz), y];
            if Some(reading.number) == last {
                full.push_str(&circle("full", at));
                let label = format!("reading {}, accepted: {}", reading.number, show::volts(reading.volts, step));
                full.push_str(&self.axes.label("", Anchor::Start, [at[0] + BRACKET + GAP, y + TEXT], &label));
                continue;
            }
            if *fate == Fate::Counts {
                hollow = true;
                marks.push_str(&circle("hollow", at));
            } else {
                crossed = true;
                marks.push_str(&cross(at));
            }
            let beyond = if is_outside { " (off the scale)" } else { "" };
            numbers.push((y, at[0], format!("{}{beyond}", reading.number)));
        }
        numbers.sort_by(|one, other| one.0.total_cmp(&other.0));
        let mut free = f64::NEG_INFINITY;
        for (y, x, number) in numbers {
            if y >= free {
                free = y + NUMBERS_APART;
                let at = [x - BRACKET - GAP / 2.0, y + 4.5];
                marks.push_str(&svg::text("soft", Anchor::End, at, &number));
            }
        }
        if !full.is_empty() {
            key.push((Sign::Full, "reading accepted".to_owned()));
        }
        if hollow {
            key.push((Sign::Hollow, "readings before it".to_owned()));
        }
        if crossed {
            key.push((Sign::Cross, "struck or set aside".to_owned()));
        }
        format!("{marks}{full}")
    }

    /// What the drawing shows, in words.
    fn description(&self) -> String {
        let record = self.record;
        let plan = &record.plan;
        let step = plan.meter_resolution_v;
        let fit = record.outcome.fit.as_ref().map_or_else(String::new, |fit| {
            format!(" The filter fitted to the sweep has its corner at {}.", show::hertz(fit.corner_hz))
        });
        let sweep = if self.sweep.is_empty() {
            String::new()
        } else {
            format!(" {} at other tones.", show::plural(self.sweep.len(), "reading"))
        };
        let last = record.accepted_reading().map_or_else(String::new, |reading| {
            let [volts, level] =
                [show::volts(reading.volts, step), show::decibels(Decibels::new(-reading.down_db.db()))];
            format!(" The accepted reading is {volts}, a level of {level}.")
        });
        format!(
            "The response of the wanted filter, {} with its corner at {}, with the band that the tolerance allows, and {} at \
             {}.{last}{sweep}{fit}",
            self.alignment,
            wanted(record),
            show::plural(self.readings.len(), "reading"),
            show::tone(plan.setting.tone_hz)
        )
    }
}

/// The level of a voltage against the reference.
fn level(volts: Volts, reference: Volts) -> f64 {
    let level = -volts.down_from(reference).db();
    if level.is_finite() { level } else { -2.0 * DOWN_DB[1] }
}

/// What the meter would have read at the tone of a pair with the filter out.
fn true_reference(record: &Record, alignment: Alignment, pair: &PairEntry) -> Volts {
    match (pair.reference_v, record.plan.reference_mark_hz) {
        (None, _) => record.plan.true_reference_v,
        (Some(own), None) => own,
        (Some(own), Some(mark)) => Volts::new(own.volts() / alignment.response(pair.tone_hz, mark).ratio()),
    }
}

/// What stands for something in the drawing.
#[derive(Debug, Clone, Copy)]
enum Sign {
    Line(&'static str),
    Band,
    Bracket,
    Full,
    Hollow,
    Cross,
    Diamond,
}

/// What the signs mean, in the corner that a high-pass leaves empty.
fn legend(key: &[(Sign, String)]) -> String {
    const ROW: f64 = TEXT + 1.0;
    const SIGN: f64 = 26.0;
    /// Labels of wide letters are wider than the average.
    const ROOM: f64 = 1.08;
    let widest = key.iter().map(|(_, label)| svg::width(label)).fold(0.0, f64::max);
    let left = RIGHT - ROOM * widest - SIGN - GAP;
    let top = BOTTOM - 2.0 * TEXT - ROW * (key.len() - 1) as f64;
    let rows = key.iter().zip(0..).map(|((sign, label), number)| {
        let y = top + ROW * f64::from(number);
        let middle = [left + SIGN / 2.0, y];
        let sign = match sign {
            Sign::Line(class) => {
                format!("<polyline class=\"{class}\" points=\"{left:.1},{y:.1} {:.1},{y:.1}\"/>\n", left + SIGN)
            }
            Sign::Band => format!(
                "<rect class=\"band\" x=\"{left:.1}\" y=\"{:.1}\" width=\"{SIGN}\" height=\"{}\"/>\n",
                y - MARK,
                2.0 * MARK
            ),
            Sign::Bracket => {
                let [x, _] = middle;
                let end = |y: f64| svg::line("bracket", [x - MARK, y], [x + MARK, y]);
                let upright = svg::line("bracket", [x, y - MARK], [x, y + MARK]);
                format!("{upright}{}{}", end(y - MARK), end(y + MARK))
            }
            Sign::Full => circle("full", middle),
            Sign::Hollow => circle("hollow", middle),
            Sign::Cross => cross(middle),
            Sign::Diamond => diamond(middle),
        };
        format!("{sign}{}", svg::text("", Anchor::Start, [left + SIGN + GAP, y + 4.5], label))
    });
    rows.collect()
}

fn circle(class: &str, [x, y]: [f64; 2]) -> String {
    format!("<circle class=\"{class}\" cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"{MARK}\"/>\n")
}

fn cross([x, y]: [f64; 2]) -> String {
    let (left, right, up, down) = (x - MARK, x + MARK, y - MARK, y + MARK);
    format!(
        "<path class=\"cross\" d=\"M{left:.1} {up:.1} L{right:.1} {down:.1} M{left:.1} {down:.1} L{right:.1} {up:.1}\"/>\n"
    )
}

fn diamond([x, y]: [f64; 2]) -> String {
    const HALF: f64 = MARK + 2.0;
    format!(
        "<path class=\"hollow\" d=\"M{x:.1} {:.1} l{HALF} {HALF} l-{HALF} {HALF} l-{HALF} -{HALF} z\"/>\n",
        y - HALF
    )
}
