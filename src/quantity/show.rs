//! How quantities, counts and lists are shown to people. Plain ASCII; each form exists here once.
//!
//! Files and `--json` carry full precision; what is rounded here is only for eyes. What is no number, as where a record was
//! changed and its voltages make no ratio, is shown as `?`.

use super::{Decibels, FullScale, Hertz, Litres, Millimetres, Ohms, Percent, Seconds, Volts, Watts};

/// The most decimals that a display step is looked at for: a microvolt.
const MOST_DECIMALS: usize = 6;

/// How near to a whole number of steps a value counts as standing on it: an absolute part and a share, both far above
/// the rounding of binary arithmetic (2.2e-16 an operation) and far below anything that a meter shows.
const ON_STEP: f64 = 1e-9;
const ON_STEP_SHARE: f64 = 1e-13;

/// A frequency: one decimal, or two where the value was given to two: `27.0 Hz`, `26.25 Hz`.
pub fn hertz(frequency: Hertz) -> String {
    let hz = frequency.hz();
    let hundredths = hz * 100.0;
    let given_to_two =
        (hundredths - hundredths.round()).abs() < 1e-6 && fixed(hz, 2).ends_with(|last: char| last != '0');
    format!("{} Hz", fixed(hz, if given_to_two { 2 } else { 1 }))
}

/// A frequency where the last digit matters, as in a refusal: up to four decimals: `26.996 Hz`.
pub fn exact_hertz(frequency: Hertz) -> String {
    let text = fixed(frequency.hz(), 4);
    format!("{} Hz", text.trim_end_matches('0').trim_end_matches('.'))
}

/// A frequency as it would be typed, to the nanohertz, without the rounding of binary arithmetic: `26.475 Hz`.
pub fn full_hertz(frequency: Hertz) -> String {
    format!("{} Hz", trimmed(fixed(frequency.hz(), 9)))
}

/// A frequency to be dialled in: two decimals unless the last is a nought: `27.0 Hz`, `38.27 Hz`.
pub fn tone(frequency: Hertz) -> String {
    let text = fixed(frequency.hz(), 2);
    format!("{} Hz", text.strip_suffix('0').unwrap_or(&text))
}

/// A voltage with as many decimals as the meter's display step has: step 0.01 V gives `5.66 V`.
pub fn volts(voltage: Volts, step: Volts) -> String {
    format!("{} V", fixed(voltage.volts(), decimals_of(step)))
}

/// The lower end of a window as the meter can show it: rounded up, so that what is shown lies inside.
pub fn low_limit(limit: Volts, step: Volts) -> String {
    volts(step_at_or_above(limit, step), step)
}

/// The upper end of a window as the meter can show it: rounded down, so that what is shown lies inside.
pub fn high_limit(limit: Volts, step: Volts) -> String {
    volts(step_at_or_below(limit, step), step)
}

/// The lowest voltage on the meter's display that is not below `limit`.
pub fn step_at_or_above(limit: Volts, step: Volts) -> Volts {
    on_step(limit, step, f64::ceil)
}

/// The highest voltage on the meter's display that is not above `limit`.
pub fn step_at_or_below(limit: Volts, step: Volts) -> Volts {
    on_step(limit, step, f64::floor)
}

/// A level difference with two decimals: `3.01 dB`.
pub fn decibels(level: Decibels) -> String {
    format!("{} dB", fixed(level.db(), 2))
}

/// A share with at most two decimals: `3 %`, `0.5 %`.
pub fn percent(share: Percent) -> String {
    format!("{} %", trimmed(fixed(share.percent(), 2)))
}

/// A change in per cent with its sign and one decimal: `-19.6 %`, `+8.6 %`, `0.0 %`.
pub fn signed_percent(change: Percent) -> String {
    let text = fixed(change.percent(), 1);
    let sign = if text.starts_with('-') || text == "0.0" || text == NO_NUMBER { "" } else { "+" };
    format!("{sign}{text} %")
}

/// A power to three significant figures: `16 W`, `1.2 kW`.
pub fn watts(power: Watts) -> String {
    let text = three_figures(power.watts());
    if text.parse::<f64>().is_ok_and(|rounded| rounded >= 1000.0) {
        format!("{} kW", three_figures(power.watts() / 1000.0))
    } else {
        format!("{text} W")
    }
}

/// A resistance to three significant figures: `4 ohm`, `0.25 ohm`.
pub fn ohms(resistance: Ohms) -> String {
    format!("{} ohm", three_figures(resistance.ohms()))
}

/// Cone travel to three significant figures: `14 mm`, `8.25 mm`.
pub fn millimetres(travel: Millimetres) -> String {
    format!("{} mm", three_figures(travel.mm()))
}

/// A volume to three significant figures: `48 l`, `49.6 l`.
pub fn litres(volume: Litres) -> String {
    format!("{} l", three_figures(volume.litres()))
}

/// A level against full scale, as it would be typed: `-6 dBFS`.
pub fn full_scale(level: FullScale) -> String {
    format!("{} dBFS", trimmed(fixed(level.dbfs(), 4)))
}

/// A length of time, as it would be typed: `60 s`, `2.5 s`.
pub fn seconds(time: Seconds) -> String {
    format!("{} s", trimmed(fixed(time.seconds(), 4)))
}

/// A length of time as a player's display has it: `0:27`, `61:05`.
pub fn minutes(time: Seconds) -> String {
    let whole = time.seconds() as u64;
    format!("{}:{:02}", whole / 60, whole % 60)
}

/// The size of a file, in powers of ten as disks are sold: `5.29 MB`.
pub fn bytes(count: u64) -> String {
    let count = count as f64;
    match count {
        _ if count >= 999.5e6 => format!("{} GB", three_figures(count / 1e9)),
        _ if count >= 999.5e3 => format!("{} MB", three_figures(count / 1e6)),
        _ => format!("{} kB", three_figures(count / 1e3)),
    }
}

/// A number to three significant figures, without a unit: `0.42`, `490`.
pub fn figures(value: f64) -> String {
    three_figures(value)
}

/// A filter's slope: `24 dB/octave`.
pub fn slope(db_per_octave: u32) -> String {
    format!("{db_per_octave} dB/octave")
}

/// A count with its noun, which must take a plain `s`: `1 reading`, `3 readings`.
pub fn plural(count: usize, noun: &str) -> String {
    format!("{count} {noun}{}", if count == 1 { "" } else { "s" })
}

/// `a`, `a and b`, `a, b and c`; empty for no items.
pub fn list_and<S: AsRef<str>>(items: &[S]) -> String {
    list(items, "and")
}

/// `a`, `a or b`, `a, b or c`; empty for no items.
pub fn list_or<S: AsRef<str>>(items: &[S]) -> String {
    list(items, "or")
}

fn list<S: AsRef<str>>(items: &[S], word: &str) -> String {
    let items: Vec<&str> = items.iter().map(AsRef::as_ref).collect();
    match items.split_last() {
        None => String::new(),
        Some((last, [])) => (*last).to_owned(),
        Some((last, others)) => format!("{} {word} {last}", others.join(", ")),
    }
}

/// What stands in the place of a number that is none.
const NO_NUMBER: &str = "?";

/// A number with a fixed count of decimals, without a minus before nought.
fn fixed(value: f64, decimals: usize) -> String {
    if !value.is_finite() {
        return NO_NUMBER.to_owned();
    }
    let text = format!("{value:.decimals$}");
    match text.strip_prefix('-') {
        Some(size) if size.bytes().all(|byte| matches!(byte, b'0' | b'.')) => size.to_owned(),
        _ => text,
    }
}

/// Decimals that end in noughts, without them.
fn trimmed(text: String) -> String {
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

/// Three significant figures without trailing noughts.
fn three_figures(value: f64) -> String {
    let size = value.abs();
    let decimals = match size {
        _ if size >= 99.95 => 0,
        _ if size >= 9.995 => 1,
        _ if size >= 0.9995 => 2,
        _ if size >= 0.099_95 => 3,
        _ => MOST_DECIMALS,
    };
    trimmed(fixed(value, decimals))
}

/// How many decimals a meter with this display step shows; two where the step is none.
fn decimals_of(step: Volts) -> usize {
    let step = step.volts();
    if !step.is_finite() || step <= 0.0 {
        return 2;
    }
    let mut scaled = step;
    for decimals in 0..MOST_DECIMALS {
        if (scaled - scaled.round()).abs() < 1e-6 * scaled {
            return decimals;
        }
        scaled *= 10.0;
    }
    MOST_DECIMALS
}

/// `limit` moved by `rounding` to a whole number of steps, unless it stands on one already.
fn on_step(limit: Volts, step: Volts, rounding: fn(f64) -> f64) -> Volts {
    let count = limit.over(step);
    if !count.is_finite() || step.volts() <= 0.0 {
        return limit;
    }
    let nearest = count.round();
    let noise = ON_STEP + ON_STEP_SHARE * count.abs();
    let whole = if (count - nearest).abs() <= noise { nearest } else { rounding(count) };
    // The product carries binary noise of its own; the decimals that the display shows do not.
    let decimals = decimals_of(step);
    let value = step.volts() * whole;
    Volts::new(format!("{value:.decimals$}").parse().unwrap_or(value))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::quantity::{entry, ranges};

    const HUNDREDTH: Volts = Volts::new(0.01);

    #[test]
    fn frequencies() {
        assert_eq!(hertz(Hertz::new(27.0)), "27.0 Hz");
        assert_eq!(hertz(Hertz::new(26.25)), "26.25 Hz");
        assert_eq!(hertz(Hertz::new(35.0 * 0.75)), "26.25 Hz");
        assert_eq!(hertz(Hertz::new(21.7123)), "21.7 Hz");
        assert_eq!(hertz(Hertz::new(0.1 + 0.2)), "0.3 Hz");
        assert_eq!(tone(Hertz::new(38.2719)), "38.27 Hz");
        assert_eq!(tone(Hertz::new(27.0)), "27.0 Hz");
    }

    #[test]
    fn volts_show_what_the_meter_shows() {
        let cases = [
            (5.6569, 0.01, "5.66 V"),
            (5.6569, 0.001, "5.657 V"),
            (5.6569, 0.1, "5.7 V"),
            (5.6569, 1.0, "6 V"),
            (5.6569, 0.05, "5.66 V"),
            (5.6569, 0.25, "5.66 V"),
            (5.6569, 0.000_001, "5.656900 V"),
            (-0.001, 0.01, "0.00 V"),
            (5.6569, 0.0, "5.66 V"),
        ];
        for (value, step, text) in cases {
            assert_eq!(volts(Volts::new(value), Volts::new(step)), text);
        }
    }

    #[test]
    fn limits_are_rounded_inwards_and_stay_where_they_stand() {
        assert_eq!(low_limit(Volts::new(5.651), HUNDREDTH), "5.66 V");
        assert_eq!(high_limit(Volts::new(5.659), HUNDREDTH), "5.65 V");
        // 5.66 / 0.01 is not 566 in binary, and neither is 0.1 + 0.2 the number 0.3.
        for value in [5.66, 0.29, 0.57, 1.1, 8.2, 0.1 + 0.2, 566.0 * 0.01] {
            let text = format!("{value:.2} V");
            assert_eq!(low_limit(Volts::new(value), HUNDREDTH), text);
            assert_eq!(high_limit(Volts::new(value), HUNDREDTH), text);
        }
        assert_eq!(low_limit(Volts::new(5.61), Volts::new(0.05)), "5.65 V");
        assert_eq!(high_limit(Volts::new(5.61), Volts::new(0.05)), "5.60 V");
        assert_eq!(high_limit(Volts::new(0.004), HUNDREDTH), "0.00 V");
        assert_eq!(step_at_or_above(Volts::new(1.0), Volts::new(0.0)).volts(), 1.0);
    }

    #[test]
    fn levels_shares_powers_and_loads() {
        assert_eq!(decibels(Decibels::new(3.0103)), "3.01 dB");
        assert_eq!(decibels(Decibels::new(-0.001)), "0.00 dB");
        assert_eq!(percent(Percent::new(3.0)), "3 %");
        assert_eq!(percent(Percent::new(0.5)), "0.5 %");
        assert_eq!(percent(Percent::new(20.0)), "20 %");
        assert_eq!(signed_percent(Percent::new(-19.63)), "-19.6 %");
        assert_eq!(signed_percent(Percent::new(8.6)), "+8.6 %");
        assert_eq!(signed_percent(Percent::new(-0.04)), "0.0 %");
        assert_eq!(watts(Watts::new(16.0)), "16 W");
        assert_eq!(watts(Watts::new(1200.0)), "1.2 kW");
        assert_eq!(watts(Watts::new(999.7)), "1 kW");
        assert_eq!(watts(Watts::new(20_000.0)), "20 kW");
        assert_eq!(watts(Watts::new(12.345)), "12.3 W");
        assert_eq!(ohms(Ohms::new(4.0)), "4 ohm");
        assert_eq!(ohms(Ohms::new(0.25)), "0.25 ohm");
        assert_eq!(ohms(Ohms::new(100.0)), "100 ohm");
        assert_eq!(slope(24), "24 dB/octave");
    }

    #[test]
    fn levels_times_and_sizes_of_files() {
        assert_eq!(full_scale(FullScale::new(-6.0)), "-6 dBFS");
        assert_eq!(full_scale(FullScale::new(-0.1)), "-0.1 dBFS");
        assert_eq!(seconds(Seconds::new(60.0)), "60 s");
        assert_eq!(seconds(Seconds::new(2.5)), "2.5 s");
        assert_eq!(minutes(Seconds::new(61.0)), "1:01");
        assert_eq!(minutes(Seconds::new(3725.0)), "62:05");
        assert_eq!(bytes(88_244), "88.2 kB");
        assert_eq!(bytes(5_292_044), "5.29 MB");
        assert_eq!(bytes(4_294_967_295), "4.29 GB");
    }

    #[test]
    fn what_is_no_number_is_shown_as_none() {
        assert_eq!(decibels(Volts::new(-1.0).down_from(Volts::new(1.0))), "? dB");
        assert_eq!(signed_percent(Hertz::new(1.0).error_against(Hertz::new(0.0))), "? %");
        assert_eq!(volts(Volts::new(f64::INFINITY), HUNDREDTH), "? V");
        assert_eq!(watts(Watts::new(f64::NAN)), "? W");
    }

    #[test]
    fn counts_and_lists() {
        assert_eq!(plural(0, "reading"), "0 readings");
        assert_eq!(plural(1, "reading"), "1 reading");
        assert_eq!(plural(3, "reading"), "3 readings");
        assert_eq!(list_and::<&str>(&[]), "");
        assert_eq!(list_and(&["a"]), "a");
        assert_eq!(list_and(&["a", "b"]), "a and b");
        assert_eq!(list_and(&["a", "b", "c"]), "a, b and c");
        assert_eq!(list_or(&["a".to_owned(), "b".to_owned(), "c".to_owned()]), "a, b or c");
    }

    proptest! {
        #[test]
        fn a_shown_voltage_reads_back_within_half_a_step(value in 0.1f64..200.0, exponent in 0i32..=6) {
            let step = 10f64.powi(-exponent);
            let text = volts(Volts::new(value), Volts::new(step));
            let back = entry::parse(&text, &ranges::READING).unwrap_or(0.0);
            prop_assert!((back - value).abs() <= step / 2.0 + 1e-9, "{} became {}", value, text);
        }

        #[test]
        fn limits_never_leave_the_window(
            value in 0.1f64..200.0,
            step in prop::sample::select(vec![1e-6, 1e-3, 0.01, 0.05, 0.1, 1.0]),
        ) {
            let (limit, step) = (Volts::new(value), Volts::new(step));
            let noise = 1e-9;
            let (above, below) = (step_at_or_above(limit, step).volts(), step_at_or_below(limit, step).volts());
            prop_assert!(above >= value - noise && above < value + step.volts() + noise);
            prop_assert!(below <= value + noise && below > value - step.volts() - noise);
        }

        #[test]
        fn anything_can_be_shown(value in any::<f64>(), step in any::<f64>()) {
            for text in [
                hertz(Hertz::new(value)), tone(Hertz::new(value)), volts(Volts::new(value), Volts::new(step)),
                low_limit(Volts::new(value), Volts::new(step)), high_limit(Volts::new(value), Volts::new(step)),
                decibels(Decibels::new(value)), percent(Percent::new(value)), signed_percent(Percent::new(value)),
                watts(Watts::new(value)), ohms(Ohms::new(value)),
            ] {
                prop_assert!(text.is_ascii());
                prop_assert!(!text.contains("NaN") && !text.contains("inf"), "{}", text);
            }
        }
    }
}
