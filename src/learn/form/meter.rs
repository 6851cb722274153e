//! What a meter shows and how far it can be trusted.

use super::draft::Draft;
use super::numbers::{between, decimal, level, reference, volts};
use crate::chance::Chance;
use crate::learn::exercise::Figures;
use crate::meter::MeterSpec;
use crate::quantity::entry::Typed;
use crate::quantity::ranges::Quantity;
use crate::quantity::{Decibels, Percent, Volts, show};

/// A meter and what it shows.
fn meter_and_reading(figures: Figures, chance: &mut Chance) -> (MeterSpec, f64) {
    const KIND: [f64; 3] = [0.5, 1.0, 2.0];
    const KIND_DIGITS: [u32; 3] = [2, 3, 5];
    const STEPS: [(i32, f64, f64); 3] = [(3, 1.1, 5.9), (2, 5.0, 24.0), (1, 20.0, 59.0)];
    let (accuracy, digits, places, reading) = match figures {
        Figures::Two => (*chance.one_of(&KIND), *chance.one_of(&KIND_DIGITS), 2, reference(figures, chance)),
        Figures::Three => {
            let &(places, low, high) = chance.one_of(&STEPS);
            let accuracy = between(chance, 0.3, 2.5, 1);
            (accuracy, 2 + chance.below(19) as u32, places, between(chance, low, high, places))
        }
    };
    let resolution = Volts::new(decimal(10f64.powi(-places), places));
    (MeterSpec { accuracy: Percent::new(accuracy), digits, resolution }, reading)
}

/// What both questions about a specification say and hold.
struct Specified {
    p: f64,
    d: f64,
    step: f64,
    reading: f64,
    limit: f64,
    told: String,
}

impl Specified {
    fn new(figures: Figures, chance: &mut Chance) -> Self {
        let (meter, reading) = meter_and_reading(figures, chance);
        let (p, d, step) = (meter.accuracy.percent(), f64::from(meter.digits), meter.resolution.volts());
        let shown = show::volts(Volts::new(reading), meter.resolution);
        Self {
            p,
            d,
            step,
            reading,
            limit: meter.accuracy.fraction() * reading + d * step,
            told: format!("A meter of +-({p} % + {d} digits) shows {shown}, in steps of {step} V."),
        }
    }

    fn given(&self) -> [(&'static str, f64); 4] {
        [("accuracy_percent", self.p), ("digits", self.d), ("resolution_v", self.step), ("reading_v", self.reading)]
    }

    fn limit_line(&self) -> String {
        let Self { p, d, step, reading, limit, .. } = self;
        format!("limit = per cent of the reading + digits x step = {p} % x {reading} V + {d} x {step} V = {limit:.5} V")
    }
}

/// What is said where digits count as per cent.
const DIGITS_AS_PER_CENT: &str = "That takes the digits as per cent: a digit is one step of the display.";
/// What is said where only the share counts.
const NO_DIGITS: &str = "The digits are left out: they are added to the share of the reading.";

pub(super) fn limit_in_volts(figures: Figures, chance: &mut Chance) -> Draft {
    let meter = Specified::new(figures, chance);
    let Specified { p, d, step, reading, limit, .. } = meter;
    let ask = format!("{} By how many volts can it be off at most?", meter.told);
    Draft::number(ask, &meter.given(), limit, Quantity::Voltage, figures)
        .working(meter.limit_line())
        .mistake((p + d) / 100.0 * reading, DIGITS_AS_PER_CENT)
        .mistake(p / 100.0 * reading, NO_DIGITS)
        .mistake(d * step, "The share of the reading is left out: it is added to the digits.")
        .mistake(p / 100.0 * reading + 10.0 * d * step, "The digits are counted one place too high.")
}

pub(super) fn limit_in_percent(figures: Figures, chance: &mut Chance) -> Draft {
    let meter = Specified::new(figures, chance);
    let Specified { p, d, step, reading, limit, .. } = meter;
    let share = 100.0 * limit / reading;
    let ask = format!("{} By how many per cent of that reading can it be off at most?", meter.told);
    Draft::number(ask, &meter.given(), share, Quantity::Share, figures)
        .working(meter.limit_line())
        .working(format!("share = limit / reading = {limit:.5} / {reading} = {share:.4} %"))
        .mistake(p + d, DIGITS_AS_PER_CENT)
        .mistake(p, NO_DIGITS)
        .mistake(100.0 * d * step / reading, "The share of the reading is left out: it is added to the digits.")
}

pub(super) fn display_step(figures: Figures, chance: &mut Chance) -> Draft {
    const KIND: [f64; 4] = [2000.0, 4000.0, 5000.0, 6000.0];
    const COUNTS: [f64; 8] = [2200.0, 3200.0, 6600.0, 11000.0, 12000.0, 22000.0, 44000.0, 60000.0];
    let counts = *match figures {
        Figures::Two => chance.one_of(&KIND),
        Figures::Three => chance.one_of(&COUNTS),
    };
    let highest = if counts < 10_000.0 { 3 } else { 4 };
    let places = highest - chance.below(2) as i32;
    let step = decimal(10f64.powi(-places), places);
    let range = decimal(counts * step, places);
    let ask =
        format!("A display has {counts} counts. How many volts is one step of the last digit on its {range} V range?");
    Draft::number(ask, &[("counts", counts), ("range_v", range)], step, Quantity::Voltage, Figures::Two)
        .working(format!("step = range / counts = {range} V / {counts} = {step} V"))
        .mistake(10.0 * step, "That is one place too coarse: it is the step of the next range up.")
        .mistake(step / 10.0, "That is one place too fine: it is the step of the next range down.")
        .mistake(counts / range, "That is counts for each volt: the ratio upside down.")
}

/// The ends between which digits hunt: below 10 V, and an even number of steps apart, so that the middle has three figures.
fn hunting(chance: &mut Chance) -> (f64, f64) {
    let low = between(chance, 4.02, 9.55, 2);
    let half = between(chance, 0.007 * low, 0.02 * low, 2).max(0.04);
    (low, decimal(low + 2.0 * half, 2))
}

fn hunts(low: f64, high: f64) -> String {
    let step = Volts::new(0.01);
    format!(
        "The digits hunt between {} and {}.",
        show::volts(Volts::new(low), step),
        show::volts(Volts::new(high), step)
    )
}

pub(super) fn hunting_middle(_: Figures, chance: &mut Chance) -> Draft {
    let (low, high) = hunting(chance);
    let middle = Typed::Span { low, high }.middle();
    let ask = format!("{} Which voltage is reckoned with?", hunts(low, high));
    // Three figures by head too: with two, the ends could not be told from the middle.
    Draft::number(ask, &[("low_v", low), ("high_v", high)], middle, Quantity::Voltage, Figures::Three)
        .working(format!("middle = (lowest + highest) / 2 = ({low} + {high}) / 2 = {middle:.3} V"))
        .mistake(low, "That is the lowest that was seen: the middle of the span is what counts.")
        .mistake(high, "That is the highest that was seen: the middle of the span is what counts.")
}

pub(super) fn hunting_limit(figures: Figures, chance: &mut Chance) -> Draft {
    let (low, high) = hunting(chance);
    let half = (high - low) / 2.0;
    let ask =
        format!("{} The middle is taken. Within how many volts of it (+-) does the display stay?", hunts(low, high));
    Draft::number(ask, &[("low_v", low), ("high_v", high)], half, Quantity::Voltage, figures)
        .working(format!("+- (highest - lowest) / 2 = ({high} - {low}) / 2 = {half:.4} V"))
        .mistake(high - low, "That is the whole span: about the middle it is half of it to either side.")
        .mistake(f64::midpoint(low, high), "That is the middle itself: asked is how far the display goes from it.")
}

pub(super) fn gain_error(figures: Figures, chance: &mut Chance) -> Draft {
    let reference = reference(figures, chance);
    let droop = match figures {
        Figures::Two => *chance.one_of(&[5.0, 10.0, 20.0]),
        Figures::Three => between(chance, 4.0, 15.0, 1),
    };
    let down = level(figures, chance).max(3.0);
    let reading = decimal(reference * Decibels::new(down).down_ratio(), 2);
    let right = Volts::new(reading).down_from(Volts::new(reference)).db();
    let kept = 1.0 - droop / 100.0;
    let ask = format!(
        "At this low tone a meter shows {droop} % too little. It shows a reference of {} and then, with the filter in and on \
         the same range, {}. How many dB down is the tone in truth?",
        volts(reference),
        volts(reading)
    );
    let given = [("droop_percent", droop), ("reference_v", reference), ("reading_v", reading)];
    Draft::number(ask, &given, right, Quantity::Level, figures)
        .working("Both readings are too low by the same factor, so it cancels in their ratio:")
        .working(format!("dB down = 20 log({reference} / {reading}) = {right:.4} dB"))
        .mistake(
            right - 20.0 * kept.log10(),
            "That corrects the reference alone: both readings are off by the same share.",
        )
        .mistake(
            (right + 20.0 * kept.log10()).abs(),
            "That corrects the second reading alone: both readings are off by the same share.",
        )
        .mistake(right / 2.0, "That is 10 log in place of 20 log: power goes by 10 log, volts by 20 log.")
}

pub(super) fn in_band(figures: Figures, chance: &mut Chance) -> Draft {
    const STARTS: [f64; 4] = [20.0, 25.0, 45.0, 50.0];
    let starts = *chance.one_of(&STARTS);
    let places = i32::from(figures == Figures::Three);
    let tone = if starts > 44.0 || chance.below(2) == 0 {
        between(chance, 0.55 * starts, 0.85 * starts, places)
    } else {
        between(chance, 1.15 * starts, 1.7 * starts, places)
    };
    let ask = format!(
        "The lowest AC band in a meter's manual starts at {starts} Hz. Does its accuracy hold for a tone of {tone} Hz?"
    );
    let of: &[&str] = &["yes", "no"];
    let draft = |right| Draft::word(ask, &[("band_starts_hz", starts), ("tone_hz", tone)], right, of);
    if tone < starts {
        draft("no")
            .working(format!("{tone} Hz < {starts} Hz: below its lowest band a meter promises nothing."))
            .working("On one range, at one tone, the error cancels in the ratio of two readings.")
            .mistaken_word("yes", "That takes a promise from a band for one below it: there the meter may droop.")
    } else {
        draft("yes")
            .working(format!("{tone} Hz > {starts} Hz: the tone lies in the band."))
            .mistaken_word("no", "The tone lies above the start of the band: there the accuracy holds.")
    }
}
