//! Answers judged: the right one right however it is rounded, each known mistake wrong and named, and no answer no answer.

use std::collections::BTreeMap;

use cornerset::chance::Chance;
use cornerset::learn::{Answer, Exercise, Figures, Form, Judgement, Said};
use cornerset::quantity::ranges::Quantity;
use proptest::prelude::*;

use crate::asked::many;

#[test]
fn the_right_answer_is_right_exactly_and_rounded() {
    for exercise in many(200) {
        assert_eq!(exercise.judge(&exercise.right()), Ok(Judgement::Right), "{exercise:#?}");
        if let Answer::Number { value, .. } = exercise.answer {
            let bare = format!("{value:.12}");
            assert_eq!(exercise.judge(&bare), Ok(Judgement::Right), "{bare}: {exercise:#?}");
            assert_eq!(exercise.judge(&bare.replace('.', ",")), Ok(Judgement::Right), "{exercise:#?}");
        }
    }
}

/// A mistake is told exactly, and rounded to the figures that are asked for.
#[test]
fn every_known_mistake_is_wrong_and_named() {
    for exercise in many(200) {
        assert!(!exercise.mistakes.is_empty(), "{exercise:#?}");
        for (place, mistake) in exercise.mistakes.iter().enumerate() {
            let mut said = vec![exercise.say(&mistake.gives)];
            if let Said::Number(value) = mistake.gives {
                said.push(format!("{value:.12}"));
            }
            for said in said {
                assert_eq!(exercise.judge(&said), Ok(Judgement::Wrong(Some(place))), "{said}: {exercise:#?}");
            }
            assert!(mistake.name.is_ascii() && mistake.name.ends_with('.') && !mistake.name.contains('!'));
        }
    }
}

/// Numbers are drawn again where they would leave a mistake out, so that nearly all are there nearly always.
#[test]
fn questions_keep_nearly_all_of_their_mistakes() {
    let mut kept: BTreeMap<Form, Vec<usize>> = BTreeMap::new();
    for exercise in many(200) {
        kept.entry(exercise.form).or_default().push(exercise.mistakes.len());
    }
    for (form, kept) in kept {
        let most = kept.iter().max().unwrap();
        let (sum, all) = (kept.iter().sum::<usize>(), most * kept.len());
        // One sentence is about four words, another about two; a slope of odd order has no sections of second order, and
        // not every slope has another family.
        let differ = matches!(form, Form::SafeBench | Form::OrderOfSlope | Form::VoltsAtTone | Form::CornerOfReading);
        assert!(differ || sum * 100 >= all * 97, "{form:?}: {sum} of {all}");
    }
}

/// By head two figures of the ratio are enough, whether the product is rounded once more or not.
#[test]
fn two_figures_of_the_ratio_are_enough_by_head() {
    for seed in 0..500 {
        let exercise = Form::VoltsOfDown.exercise(Figures::Two, &mut Chance::of(seed, 0));
        let [(_, reference), (_, down)] = exercise.given[..] else { panic!("{exercise:#?}") };
        let ratio: f64 = format!("{:.1e}", 10f64.powf(-down / 20.0)).parse().unwrap();
        let product = reference * ratio;
        for said in [format!("{product:.6}"), exercise.say(&Said::Number(product))] {
            assert_eq!(exercise.judge(&said), Ok(Judgement::Right), "{said}: {exercise:#?}");
        }
    }
}

/// By head decibels are put together: 1 dB leaves 0.89, 3 dB 0.71, 6 dB a half, 20 dB a tenth. What that gives is right.
#[test]
fn decibels_put_together_are_right_by_head() {
    let whole = [2, 3, 4, 6, 7, 9, 12, 14, 18, 20, 26];
    for seed in 0..200 {
        for form in [Form::DownOfRatio, Form::DownOfVolts] {
            let exercise = form.exercise(Figures::Two, &mut Chance::of(seed, 0));
            let right = |db: &i32| exercise.judge(&format!("{db}")) == Ok(Judgement::Right);
            // 0.4 of the volts is 8 dB: 20 dB down and 12 dB up.
            assert!(whole.iter().chain(&[8]).any(right), "{exercise:#?}");
        }
    }
}

/// By head octaves are whole ones and halves.
#[test]
fn octaves_by_head_are_whole_and_halves() {
    for seed in 0..200 {
        let exercise = Form::OctavesBetween.exercise(Figures::Two, &mut Chance::of(seed, 0));
        let right = |octaves: f64| exercise.judge(&format!("{octaves}")) == Ok(Judgement::Right);
        assert!([0.5, 1.0, 1.5, 2.0, 3.0].into_iter().any(right), "{exercise:#?}");
        let exercise = Form::OtherFamily.exercise(Figures::Two, &mut Chance::of(seed, 0));
        let tone = exercise.given.iter().find(|(name, _)| *name == "tone_hz").unwrap().1;
        let slope = exercise.given.iter().find(|(name, _)| *name == "slope_db_per_octave").unwrap().1;
        // What the lesson on traps says of a Linkwitz-Riley that was set as a Butterworth.
        let said = tone * if slope == 12.0 { 0.64 } else { 0.80 };
        assert_eq!(exercise.judge(&format!("{said:.4}")), Ok(Judgement::Right), "{exercise:#?}");
    }
}

fn number(value: f64, quantity: Quantity, figures: Figures) -> Exercise {
    Exercise {
        form: Form::VoltsOfDown,
        ask: String::new(),
        given: vec![],
        answer: Answer::Number { value, quantity, figures },
        working: vec![],
        mistakes: vec![],
    }
}

/// 0.7079 of 8 V: by head with 0.71, 0.708 or 0.7 (which is a percent off); with a calculator only rounded at the end.
#[test]
fn figures_that_were_rounded_on_the_way_are_fair_by_head() {
    let by_head = number(5.6635, Quantity::Voltage, Figures::Two);
    for said in ["5.7", "5.68", "5.66", "5.6", "5,7 V", "5700 mV"] {
        assert_eq!(by_head.judge(said), Ok(Judgement::Right), "{said}");
    }
    for said in ["5.5", "5.8", "6", "5"] {
        assert_eq!(by_head.judge(said), Ok(Judgement::Wrong(None)), "{said}");
    }
    let calculated = number(5.6635, Quantity::Voltage, Figures::Three);
    for said in ["5.66", "5.67", "5.6635", "5.664"] {
        assert_eq!(calculated.judge(said), Ok(Judgement::Right), "{said}");
    }
    for said in ["5.7", "5.68", "5.65", "5.62"] {
        assert_eq!(calculated.judge(said), Ok(Judgement::Nearly), "{said}");
    }
    for said in ["5.6", "5.72", "5.5"] {
        assert_eq!(calculated.judge(said), Ok(Judgement::Wrong(None)), "{said}");
    }
    let share = number(0.2512, Quantity::Plain, Figures::Three);
    assert_eq!(share.judge("0.25"), Ok(Judgement::Nearly));
    assert_eq!(share.judge("0.26"), Ok(Judgement::Wrong(None)));
    assert_eq!(number(0.2512, Quantity::Plain, Figures::Two).judge("0.25"), Ok(Judgement::Right));
}

#[test]
fn a_ratio_a_share_and_a_level_as_people_write_them() {
    let ratio = number(0.7079, Quantity::Plain, Figures::Two);
    for said in ["0.71", "71 %", ".71", "0,71", "71 per cent"] {
        assert_eq!(ratio.judge(said), Ok(Judgement::Right), "{said}");
    }
    assert_eq!(ratio.judge("71"), Ok(Judgement::Wrong(None)));
    let share = number(25.1, Quantity::Share, Figures::Two);
    for said in ["25", "25 %", "0.25"] {
        assert_eq!(share.judge(said), Ok(Judgement::Right), "{said}");
    }
    assert_eq!(share.judge("0.25 %"), Ok(Judgement::Wrong(None)));
    let level = number(3.01, Quantity::Level, Figures::Two);
    for said in ["3", "3.0 dB", "-3 dB", "-3"] {
        assert_eq!(level.judge(said), Ok(Judgement::Right), "{said}");
    }
}

#[test]
fn what_is_no_answer_is_refused_and_says_what_is() {
    let volts = number(5.66, Quantity::Voltage, Figures::Two);
    for (said, words) in [
        ("", "answer: nothing was given; accepted: a number in V"),
        ("no idea", "answer: `no idea` is not a number; accepted: a number in V"),
        ("27 Hz", "answer: `27 Hz` is a frequency; accepted: a number in V"),
        ("-5", "answer: `-5` is negative; accepted: a number in V"),
        ("5.61..5.70", "answer: `5.61..5.70` is a span, where one number is wanted; accepted: a number in V"),
    ] {
        assert_eq!(volts.judge(said).unwrap_err().to_string(), words);
    }
    let way = Form::WhichWay.exercise(Figures::Two, &mut Chance::of(1, 0));
    assert_eq!(
        way.judge("left").unwrap_err().to_string(),
        "answer: `left` is none of the words that are offered; accepted: up or down"
    );
    assert!(way.judge("U").is_ok() && way.judge(" DOWN ").is_ok());
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(500) })]

    #[test]
    fn anything_can_be_typed(typed in any::<String>(), form in prop::sample::select(Form::ALL.to_vec()), seed in 0u64..50) {
        let exercise = form.exercise(Figures::Two, &mut Chance::of(seed, 0));
        if let Err(refusal) = exercise.judge(&typed) {
            prop_assert!(refusal.to_string().starts_with("answer: "));
        }
    }

    #[test]
    fn numbers_and_units_of_any_kind_can_be_typed(
        typed in "[-+]{0,2}[0-9]{0,12}[.,]{0,2}[0-9]{0,12} {0,1}(dB|V|%|Hz|kHz|octaves|dB/octave|digits|oct|)",
        form in prop::sample::select(Form::ALL.to_vec()),
    ) {
        let exercise = form.exercise(Figures::Three, &mut Chance::of(7, 0));
        let judged = exercise.judge(&typed);
        if let (Answer::Word { .. }, Ok(_)) = (&exercise.answer, judged) {
            prop_assert!(false, "{} was taken for a word", typed);
        }
    }
}

/// By head a window comes from the target and a rule: 1 % of the corner is half the order in per cent of the volts.
#[test]
fn the_rule_for_a_window_is_right_by_head() {
    for seed in 0..500 {
        let exercise = Form::WindowEnd.exercise(Figures::Two, &mut Chance::of(seed, 0));
        let given = |name: &str| exercise.given.iter().find(|(other, _)| *other == name).unwrap().1;
        let sign = if given("upper") > 0.5 { 1.0 } else { -1.0 };
        let share = given("slope_db_per_octave") / 12.0 * given("tolerance_percent") / 100.0;
        let said = format!("{:.6}", 0.71 * given("reference_v") * (1.0 + sign * share));
        assert_eq!(exercise.judge(&said), Ok(Judgement::Right), "{said}: {exercise:#?}");
    }
}
