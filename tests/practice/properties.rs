//! What holds of every bench.

use cornerset::chance::Chance;
use cornerset::filter::{Alignment, Family, Slope};
use cornerset::practice::{Bench, Level, Move, Tones, Trap};
use cornerset::quantity::Hertz;
use proptest::prelude::*;

const SEEDS: u64 = 1000;

fn every() -> impl Iterator<Item = Bench> {
    Level::ALL.into_iter().flat_map(|level| (0..SEEDS).map(move |seed| Bench::new(level, seed)))
}

fn after(bench: &Bench, moves: &[Move]) -> Bench {
    let mut bench = bench.clone();
    for a_move in moves {
        bench.make(*a_move).unwrap();
    }
    bench
}

#[test]
fn the_corner_rises_with_the_dial_and_the_wanted_one_has_room_at_both_ends() {
    for bench in every() {
        let wanted = bench.sheet().wanted().hz();
        let corners: Vec<f64> = (0..=100)
            .map(|tenths| after(&bench, &[Move::Turn(f64::from(tenths) / 10.0)]).truth().corner.hz())
            .collect();
        let (first, last) = (corners[0], corners[100]);
        assert!(first < 0.8 * wanted && 1.25 * wanted < last, "{first} {wanted} {last} {:?}", bench.seed());
        // From 0 up, so backlash has been taken up one way.
        let up: Vec<f64> = {
            let mut bench = after(&bench, &[Move::Turn(0.0)]);
            let place = |tenths: i32| f64::from(tenths) / 10.0;
            (0..=100)
                .map(|tenths| {
                    bench.make(Move::Turn(place(tenths))).unwrap();
                    bench.truth().corner.hz()
                })
                .collect()
        };
        assert!(up.is_sorted_by(|one, other| one < other), "{:?} {}", bench.level(), bench.seed());
    }
}

#[test]
fn every_sheet_holds_what_a_session_asks_for_and_nothing_that_is_not_so() {
    let (mut even, mut all) = (0, 0);
    for bench in every() {
        let (sheet, truth, level) = (bench.sheet(), bench.truth(), bench.level());
        let tuning = sheet.tuning.hz();
        assert!((25.0..=45.0).contains(&tuning) && tuning != 40.0 && (tuning * 2.0).fract() == 0.0);
        assert!((sheet.wanted().hz() - 0.75 * tuning).abs() < 1e-12);
        assert!(sheet.prints.is_sorted_by(|one, other| one.corner < other.corner && one.dial < other.dial));
        assert!(sheet.lowest_mark().corner < sheet.wanted());
        assert_eq!(sheet.has_switch, level <= Level::Usual);
        assert_eq!(sheet.tones == Tones::Any, level == Level::Friendly);
        assert_eq!(truth.mislabelled.is_some(), level == Level::Nasty);
        match (sheet.label.alignment(), truth.mislabelled) {
            (Some(label), None) => assert_eq!(label, truth.alignment),
            (Some(label), Some(wrong)) => assert_eq!(label, wrong),
            (None, _) => assert_eq!(sheet.label.slope, truth.alignment.slope()),
        }
        if !sheet.has_switch {
            // The manual's promise of the lowest mark holds.
            let off = truth.lowest.error_against(sheet.lowest_mark().corner).percent().abs();
            assert!(off <= sheet.mark_tolerance.percent(), "{off} {level:?} {}", bench.seed());
            // A filter that nobody names can still be found.
            assert!(sheet.label.family.is_some() || Alignment::candidates().any(|one| one == truth.alignment));
        }
        even += usize::from(
            (after(&bench, &[Move::Turn(5.0)]).truth().corner.hz()
                / (sheet.prints[0].corner.hz() * sheet.prints[4].corner.hz()).sqrt()
                - 1.0)
                .abs()
                < 0.02,
        );
        all += 1;
    }
    assert!(even * 4 < all, "dials are not even: {even} of {all} are");
}

/// It starts low and safe, and a reference of 6 to 9 V can be had at any tone down to 20 Hz, the filter out or at its mark.
#[test]
fn the_volume_starts_low_and_a_round_reference_can_be_had() {
    let mut hazardous = 0;
    for bench in every() {
        let tone = bench.sheet().tones.nearest(bench.sheet().wanted());
        let taken_out = if bench.sheet().has_switch { Move::Out } else { Move::Turn(0.0) };
        let bench = after(&bench, &[taken_out, Move::Play(tone)]);
        assert!(bench.truth().output.volts() < 2.5, "{}", bench.truth().output.volts());
        let volts = |step: u32| after(&bench, &[Move::Volume(step)]).truth().output.volts();
        assert!((0..=30).any(|step| (6.0..=9.0).contains(&volts(step))), "{:?} {}", bench.level(), bench.seed());
        hazardous += usize::from(volts(30) > 30.0);
    }
    assert!(hazardous > 100, "full volume is hazardous on some benches: {hazardous}");
}

/// `+-(accuracy % of reading + digits)` is true inside the band, on every range, each digit that is seen.
#[test]
fn the_printed_specification_is_true_inside_the_band() {
    let mut looks = 0;
    for bench in every() {
        let meter = bench.sheet().meter;
        for (tone, volume) in [(meter.band_low.hz(), 15), (63.0, 26), (100.0, 20), (200.0, 22)] {
            let tone = bench.sheet().tones.nearest(Hertz::new(tone));
            if tone < meter.band_low {
                continue;
            }
            let moves = [Move::Turn(0.5), Move::Play(tone), Move::Volume(volume)];
            let bench = after(&bench, &moves);
            let output = bench.truth().output.volts();
            for text in bench.shown().iter().filter(|text| *text != "OL") {
                let shown: f64 = text.parse().unwrap();
                let step = 0.1_f64.powi(text.split_once('.').unwrap().1.len() as i32);
                let limit = meter.spec.accuracy.fraction() * shown + f64::from(meter.spec.digits) * step;
                assert!(
                    (shown - output).abs() <= limit + 1e-9,
                    "{text} of {output}: {:?} {}",
                    bench.level(),
                    bench.seed()
                );
                looks += 1;
            }
        }
    }
    assert!(looks > 10_000, "{looks}");
}

#[test]
fn digits_stand_still_or_hunt() {
    for bench in every() {
        let tone = bench.sheet().tones.nearest(Hertz::new(25.0));
        let bench = after(&bench, &[Move::Play(tone), Move::Volume(20), Move::Turn(0.0)]);
        assert_eq!(bench.shown().len(), if bench.level() <= Level::Usual { 1 } else { 3 });
        assert_eq!(bench.shown(), bench.shown(), "the same until the next move");
    }
    let hunts = (0..50).filter(|seed| {
        let bench = Bench::new(Level::Nasty, *seed);
        let tone = bench.sheet().tones.nearest(Hertz::new(25.0));
        let bench = after(&bench, &[Move::Play(tone), Move::Volume(20), Move::Turn(0.0)]);
        bench.shown() != after(&bench, &[Move::Look]).shown()
    });
    assert!(hunts.count() > 40, "a look advances the digits");
}

#[test]
fn what_is_refused_changes_nothing_and_says_what_to_do() {
    let usual = Bench::new(Level::Usual, 421);
    let nasty = Bench::new(Level::Nasty, 421);
    for (bench, a_move, words) in [
        (&usual, Move::Play(Hertz::new(27.0)), "25 Hz or 31.5 Hz"),
        (&usual, Move::Play(Hertz::new(f64::NAN)), "5 to 200 Hz"),
        (&nasty, Move::Play(Hertz::new(1000.0)), "5 to 200 Hz"),
        (&usual, Move::Turn(10.01), "0 to 10"),
        (&usual, Move::Turn(-0.1), "0 to 10"),
        (&usual, Move::Turn(f64::NAN), "0 to 10"),
        (&usual, Move::Volume(31), "0 to 30"),
        (&nasty, Move::Out, "its lowest mark, 18 Hz"),
    ] {
        let mut after = bench.clone();
        let refusal = after.make(a_move).unwrap_err().to_string();
        assert!(refusal.contains(words), "{refusal}");
        assert_eq!(after, *bench, "{a_move:?}");
    }
}

/// A level is not another one with the same seed, and a seed not another seed.
#[test]
fn benches_differ() {
    let sheets: Vec<String> = every().map(|bench| format!("{:?}{:?}", bench.sheet(), bench.truth())).collect();
    let mut different = sheets.clone();
    different.sort();
    different.dedup();
    assert_eq!(different.len(), sheets.len());
}

/// The plain rule done by hand on a bench whose digits stand still ends where it is said to: the knob is turned to the highest
/// place where the display still shows 0.707 of the reference, to a step of the display and a hundredth of the dial.
#[test]
fn the_plain_rule_is_what_a_hand_would_do() {
    for (level, seed) in
        [Level::Friendly, Level::Usual].into_iter().flat_map(|level| (0..100).map(move |seed| (level, seed)))
    {
        let bench = Bench::new(level, seed);
        let wanted = bench.sheet().wanted();
        let rule = bench.plain_rule(wanted);
        let shown = |bench: &Bench| bench.shown()[0].parse().unwrap_or(f64::INFINITY);
        let out = after(&bench, &[Move::Out, Move::Play(rule.tone)]);
        let near = |step: &u32| (shown(&after(&out, &[Move::Volume(*step)])) - rule.reference.volts()).abs();
        let volume = (0..=30).min_by(|one, other| near(one).total_cmp(&near(other))).unwrap();
        let set = after(&out, &[Move::Volume(volume)]);
        assert_eq!(shown(&set), (rule.reference.volts() * 100.0).round() / 100.0);
        let goal = std::f64::consts::FRAC_1_SQRT_2 * shown(&set);
        let at = |hundredths: u32| after(&set, &[Move::In, Move::Turn(f64::from(hundredths) / 100.0)]);
        let (mut low, mut high) = (0, 1000);
        while high - low > 1 {
            let middle = (low + high) / 2;
            if shown(&at(middle)) >= goal { low = middle } else { high = middle }
        }
        let (low, high) = (at(low).truth().corner.hz(), at(high).truth().corner.hz());
        // A display step of 5 V is 0.2 %, which is 0.4 % of the corner at 6 dB/octave, less at steeper slopes.
        let by_hand = rule.corner.hz();
        assert!(low * 0.995 <= by_hand && by_hand <= high * 1.005, "{low} {by_hand} {high} {level:?} {seed}");
    }
}

/// What the traps do is the whole error; a Linkwitz-Riley 24 set to 0.707 stands at (sqrt 2 - 1)^(1/4) = 0.8022 of the
/// wanted corner (algebra).
#[test]
fn the_traps_are_the_whole_error() {
    let linkwitz_riley = Alignment::new(Family::LinkwitzRiley, Slope::new(24).unwrap()).unwrap();
    let mut seen = 0;
    for bench in every() {
        let wanted = bench.sheet().wanted();
        let rule = bench.plain_rule(wanted);
        let together: f64 = rule.traps.iter().map(|(_, moves)| 1.0 + moves.fraction()).product();
        assert!((together - rule.corner.hz() / wanted.hz()).abs() < 1e-9);
        if bench.truth().alignment == linkwitz_riley {
            let (trap, moves) = rule.traps[0];
            assert_eq!(trap, Trap::Filter);
            assert!((moves.fraction() + 1.0 - 0.802_243).abs() < 1e-6);
            seen += 1;
        }
    }
    assert!(seen > 20);
}

fn some_moves() -> impl Strategy<Value = Vec<Move>> {
    let a_move = prop_oneof![
        (-1.0..11.0).prop_map(Move::Turn),
        (3.0..220.0).prop_map(|hz| Move::Play(Hertz::new(hz))),
        (0u32..35).prop_map(Move::Volume),
        Just(Move::In),
        Just(Move::Out),
        Just(Move::Look),
    ];
    prop::collection::vec(a_move, 0..30)
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    /// The same level, seed and moves are the same bench, refused moves or not.
    #[test]
    fn a_bench_is_a_function_of_its_moves(seed in any::<u64>(), level in 0usize..4, moves in some_moves()) {
        let [mut one, mut other] = [(); 2].map(|()| Bench::new(Level::ALL[level], seed));
        for a_move in &moves {
            let before = one.clone();
            let made = one.make(*a_move);
            if made.is_ok() {
                other.make(*a_move).unwrap();
            } else {
                prop_assert_eq!(&one, &before);
            }
        }
        prop_assert_eq!(one.shown(), other.shown());
        prop_assert_eq!(one, other);
    }
}

/// The chance of a bench's parts is not that of another purpose: its first numbers, so that a seed that was given to a class
/// stays the same bench.
#[test]
fn a_seed_stays_the_same_bench() {
    let bits = Chance::of(421, Level::Usual as u64).bits();
    let bench = Bench::new(Level::Usual, 421);
    let (sheet, truth) = (bench.sheet(), bench.truth());
    assert_eq!(
        format!(
            "{bits:016x} {} {} {} {:.6}",
            sheet.tuning.hz(),
            truth.alignment,
            sheet.lowest_mark().corner.hz(),
            truth.corner.hz()
        ),
        "36689677cda78564 29 Bessel 18 dB/octave 12 23.079230"
    );
}
