//! What the cone does, and which way the knob protects it.

use super::draft::Draft;
use super::numbers::{between, corner, db_per_octave, decimal, filter, level, tuning};
use super::slope::left;
use crate::chance::Chance;
use crate::filter::{Alignment, Family, Slope};
use crate::learn::exercise::Figures;
use crate::quantity::Decibels;
use crate::quantity::ranges::Quantity;

const YES_NO: &[&str] = &["yes", "no"];

/// How many decimals numbers of this kind have.
const fn decimals(figures: Figures) -> i32 {
    match figures {
        Figures::Two => 0,
        Figures::Three => 1,
    }
}

pub(super) fn travels_more(figures: Figures, chance: &mut Chance) -> Draft {
    let tuning = tuning(figures, chance);
    let places = decimals(figures);
    let mut times = |low: f64, high: f64| between(chance, tuning * low, tuning * high, places);
    let (below, above) = (times(0.55, 0.68), times(1.4, 1.65));
    let (low, high) = *chance.one_of(&[(below, tuning), (tuning, above), (below, above)]);
    let ask = format!(
        "A vented box is tuned to {tuning} Hz. Two tones are played at the same volts: {low} Hz and {high} Hz. At which of \
         the two does the cone travel more?"
    );
    let given = [("tuning_hz", tuning), ("low_hz", low), ("high_hz", high)];
    let of: &[&str] = &["lower", "higher"];
    if low < tuning {
        Draft::word(ask, &given, "lower", of)
            .working(format!("{low} Hz is below the tuning of {tuning} Hz: there the port no longer loads the cone,"))
            .working("air flows freely in and out of it, and only the suspension holds the cone.")
            .mistaken_word(
                "higher",
                "That counts on the port below the tuning: it holds the cone at the tuning and lets it go below.",
            )
    } else {
        Draft::word(ask, &given, "higher", of)
            .working(format!("{low} Hz is the tuning: there the port moves the air and the cone travels least."))
            .mistaken_word("lower", "That takes the tuning for the worst place: there the cone travels least.")
    }
}

/// Two filters and a tone below their corners.
struct Two {
    filters: [Alignment; 2],
    corners: [f64; 2],
    tone: f64,
    /// What each leaves of the volts, with its formula.
    lefts: [(f64, String); 2],
}

impl Two {
    fn new(filters: [Alignment; 2], corners: [f64; 2], tone: f64) -> Self {
        let lefts = [0, 1].map(|place| left(filters[place], corners[place], tone));
        Self { filters, corners, tone, lefts }
    }

    fn drawn(figures: Figures, chance: &mut Chance) -> Self {
        let places = decimals(figures);
        let one = corner(figures, chance);
        let filters = [(); 2].map(|()| filter(Family::Butterworth, 6, 36, chance));
        let other = between(chance, 0.7 * one, 1.35 * one, places);
        Self::new(filters, [one, other], decimal(one * chance.between(0.5, 0.8), places))
    }

    /// The place of the one that leaves less.
    fn better(&self) -> usize {
        usize::from(self.lefts[1].0 < self.lefts[0].0)
    }

    /// Whether the filters differ, and so much that nobody has to guess.
    fn is_fair(&self) -> bool {
        const APART: f64 = 1.15;
        let better = self.better();
        self.filters[0] != self.filters[1] && self.lefts[1 - better].0 > APART * self.lefts[better].0
    }
}

pub(super) fn two_filters(figures: Figures, chance: &mut Chance) -> Draft {
    const DRAWS: usize = 30;
    let certain = || Two::new([12, 24].map(|db| Alignment::usual(Slope::new(db))), [26.0, 26.0], 18.0);
    let two = (0..DRAWS).map(|_| Two::drawn(figures, chance)).find(Two::is_fair).unwrap_or_else(certain);
    let (better, worse) = (two.better(), 1 - two.better());
    let Two { filters, corners, tone, lefts } = two;
    let slopes = filters.map(db_per_octave);
    let ask = format!(
        "The first filter: {} dB/octave, corner at {} Hz. The second: {} dB/octave, corner at {} Hz. Both are \
         Butterworths. Which of them protects the cone more at {tone} Hz?",
        slopes[0], corners[0], slopes[1], corners[1]
    );
    let given = [
        ("first_corner_hz", corners[0]),
        ("first_slope_db_per_octave", slopes[0]),
        ("second_corner_hz", corners[1]),
        ("second_slope_db_per_octave", slopes[1]),
        ("tone_hz", tone),
    ];
    let of: &[&str] = &["first", "second"];
    let name = if corners[worse] > corners[better] {
        "That is the higher corner: at this tone the steeper slope has overtaken it."
    } else if slopes[worse] > slopes[better] {
        "That is the steeper slope: its corner is too low for it to take off more at this tone."
    } else {
        "That filter takes off less: its slope is no steeper, and its corner is no higher."
    };
    Draft::word(ask, &given, of[better], of)
        .working(format!("first:  share left = {} = {:.4}", lefts[0].1, lefts[0].0))
        .working(format!("second: share left = {} = {:.4}", lefts[1].1, lefts[1].0))
        .working("The cone travels in proportion to what is left.")
        .mistaken_word(of[worse], name)
}

pub(super) fn filter_needed(figures: Figures, chance: &mut Chance) -> Draft {
    let tuning = tuning(figures, chance);
    let places = decimals(figures);
    match chance.below(3) {
        0 => {
            let lowest = between(chance, 18.0, 32.0, places);
            let ask = format!(
                "A sealed box gets a programme that reaches down to {lowest} Hz. Does its cone, as a rule, need a low-cut \
                 filter?"
            );
            Draft::word(ask, &[("sealed", 1.0), ("lowest_hz", lowest)], "no", YES_NO)
                .working("A sealed box has no tuning: its air spring holds the cone at every low tone,")
                .working("as long as the drive does not take it past Xmax.")
                .mistaken_word(
                    "yes",
                    "That takes a sealed box for a vented one: there is no port that lets the cone go.",
                )
        }
        1 => {
            let lowest = between(chance, 0.45 * tuning, 0.6 * tuning, places);
            vented(tuning, lowest, "yes")
                .working(format!("{lowest} Hz is below {tuning} Hz: there the port no longer loads the cone."))
                .mistaken_word("no", "That counts on the port below the tuning: there it lets the cone go.")
        }
        _ => {
            let lowest = between(chance, 1.05 * tuning, 1.5 * tuning, places);
            vented(tuning, lowest, "no")
                .working(format!("{lowest} Hz is above {tuning} Hz: nothing in the programme lies below the tuning."))
                .mistaken_word("yes", "Nothing is played below the tuning: only there does the port let the cone go.")
        }
    }
}

fn vented(tuning: f64, lowest: f64, right: &'static str) -> Draft {
    let ask = format!(
        "A vented box is tuned to {tuning} Hz. Its programme reaches down to {lowest} Hz and no lower. Does its cone, as a \
         rule, need a low-cut filter?"
    );
    Draft::word(ask, &[("tuning_hz", tuning), ("lowest_hz", lowest)], right, YES_NO)
}

pub(super) fn travel_of_down(figures: Figures, chance: &mut Chance) -> Draft {
    const KIND: [f64; 6] = [12.0, 16.0, 18.0, 20.0, 24.0, 28.0];
    let travel = match figures {
        Figures::Two => *chance.one_of(&KIND),
        Figures::Three => between(chance, 12.1, 29.9, 1),
    };
    let down = level(figures, chance);
    let ratio = Decibels::new(down).down_ratio();
    let left = travel * ratio;
    let ask = format!(
        "With the filter out a cone travels {travel} mm at a tone. The filter takes {down} dB off that tone. How far does \
         the cone travel with it in?"
    );
    Draft::number(ask, &[("travel_mm", travel), ("down_db", down)], left, Quantity::Travel, figures)
        .working("travel goes with the volts")
        .working(format!("travel left = {travel} x 10^(-{down} / 20) = {travel} x {ratio:.4} = {left:.4} mm"))
        .mistake(
            travel * 10f64.powf(-down / 10.0),
            "That is 10 log in place of 20 log: travel goes with the volts, not with the power.",
        )
        .mistake(travel / ratio, "That is the ratio upside down: the filter makes the cone travel less.")
        .mistake((travel - down).abs(), "That takes dB for millimetres: decibels are a ratio and take off a share.")
}

pub(super) fn knob_for_cone(figures: Figures, chance: &mut Chance) -> Draft {
    let safe = corner(figures, chance);
    let too_low = chance.below(2) == 0;
    let places = decimals(figures);
    let stands = if too_low {
        between(chance, 0.7 * safe, 0.9 * safe, places)
    } else {
        between(chance, 1.15 * safe, 1.5 * safe, places)
    };
    let ask = format!(
        "The lowest corner that keeps the cone within Xmax is {safe} Hz, and that corner is wanted. The knob stands at \
         {stands} Hz. Which way is it turned?"
    );
    let draft = Draft::word(
        ask,
        &[("safe_corner_hz", safe), ("corner_hz", stands)],
        if too_low { "up" } else { "down" },
        &["up", "down"],
    );
    if too_low {
        draft
            .working(format!("{stands} Hz < {safe} Hz: low tones pass, and the cone goes past Xmax. Turn up."))
            .mistaken_word("down", "That lets more of the low tones through: a higher corner protects the cone.")
    } else {
        draft
            .working(format!(
                "{stands} Hz > {safe} Hz: the cone is safe, and bass that it can play is lost. Turn down."
            ))
            .mistaken_word("up", "That takes off still more bass: the cone is safe already.")
    }
}
