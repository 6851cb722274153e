//! What is asked: numbers that can be, all of them given, and words that can be told apart.

use std::collections::{BTreeMap, BTreeSet};

use cornerset::chance::Chance;
use cornerset::learn::{Answer, Exercise, Figures, Form, Said, Skill, forms_of};
use cornerset::quantity::ranges::{self, Range};

/// Questions of every form, by head and with a calculator.
pub fn many(seeds: u64) -> impl Iterator<Item = Exercise> {
    Form::ALL.into_iter().flat_map(move |form| {
        (0..seeds).flat_map(move |seed| {
            [Figures::Two, Figures::Three].map(|figures| form.exercise(figures, &mut Chance::of(seed, 0)))
        })
    })
}

#[test]
fn every_skill_has_forms_and_every_form_a_word_of_its_own() {
    assert!(Form::ALL.len() >= 24);
    let words: BTreeSet<&str> = Form::ALL.iter().map(|form| form.word()).collect();
    assert_eq!(words.len(), Form::ALL.len());
    for form in Form::ALL {
        assert_eq!(Form::from_word(form.word()), Some(form));
    }
    for skill in Skill::ALL {
        assert!(forms_of(skill).count() >= 2, "{skill:?}");
        assert_eq!(Skill::from_word(&skill.word().to_uppercase()), Some(skill));
    }
}

/// The field of the one table of ranges that a name of a given number belongs to; `None` for one that is no field.
fn range(name: &str) -> Option<Range> {
    Some(match name {
        "reference_v" => ranges::REFERENCE,
        "reading_v" | "target_v" | "low_v" | "high_v" | "guard_v" => ranges::READING,
        "tuning_hz" => ranges::TUNING,
        "corner_hz" | "safe_corner_hz" | "first_corner_hz" | "second_corner_hz" => ranges::CORNER,
        "tone_hz" | "low_hz" | "high_hz" | "frequency_hz" => ranges::TONE,
        "mark_hz" => ranges::MARK,
        "lowest_hz" => ranges::LOWEST,
        "q" => ranges::Q,
        "power_w" => ranges::RATED_POWER,
        "load_ohm" => ranges::LOAD,
        "accuracy_percent" => ranges::METER_ACCURACY,
        "digits" => ranges::METER_DIGITS,
        "resolution_v" => ranges::METER_RESOLUTION,
        "tolerance_percent" => ranges::TOLERANCE_PERCENT,
        "down_db"
        | "travel_mm"
        | "ratio"
        | "octaves"
        | "order"
        | "slope_db_per_octave"
        | "first_slope_db_per_octave"
        | "second_slope_db_per_octave"
        | "counts"
        | "range_v"
        | "band_starts_hz"
        | "droop_percent"
        | "upper"
        | "case"
        | "sealed"
        | "butterworth"
        | "linkwitz_riley"
        | "bessel" => return None,
        unknown => panic!("{unknown} is no name of a number"),
    })
}

#[test]
fn no_number_lies_outside_the_ranges() {
    for exercise in many(200) {
        for (name, value) in &exercise.given {
            assert!(value.is_finite());
            if let Some(range) = range(name) {
                assert!(range.contains(*value), "{name} {value}: {exercise:#?}");
            }
        }
    }
}

/// The numbers in a text.
fn numbers(text: &str) -> Vec<f64> {
    text.split(|character: char| !character.is_ascii_digit() && character != '.')
        .map(|part| part.trim_matches('.'))
        .filter(|part| !part.is_empty())
        .map(|part| part.parse().unwrap())
        .collect()
}

#[test]
fn a_question_says_no_number_that_is_not_given_and_hides_none_that_matters() {
    for exercise in many(200) {
        let said = numbers(&exercise.ask);
        for number in &said {
            let given = exercise.given.iter().any(|(_, value)| value == number);
            assert!(given, "{number}: {exercise:#?}");
        }
        for (name, value) in &exercise.given {
            let flag = ["upper", "case", "sealed", "butterworth", "linkwitz_riley", "bessel"].contains(name);
            assert!(flag || said.contains(value), "{name}: {exercise:#?}");
        }
        assert!(exercise.ask.is_ascii() && !exercise.ask.contains('!'), "{}", exercise.ask);
        let worked_everywhere = [("tuning_hz", 40.0), ("safe_corner_hz", 30.0), ("reference_v", 10.0)];
        assert!(worked_everywhere.iter().all(|example| !exercise.given.contains(example)), "{}", exercise.ask);
    }
}

/// The working ends where the answer is: one of its numbers is the answer, to at least three figures.
#[test]
fn the_working_leads_to_the_answer() {
    for exercise in many(200) {
        assert!(!exercise.working.is_empty());
        assert!(exercise.working.iter().all(|line| line.is_ascii() && !line.contains('!')), "{exercise:#?}");
        let text = exercise.working.join("; ");
        if let Answer::Number { value, .. } = exercise.answer {
            let there = numbers(&text).into_iter().any(|number| (number / value - 1.0).abs() < 0.002);
            assert!(there, "{exercise:#?}");
        }
    }
}

#[test]
fn words_have_one_right_answer_and_say_why_each_other_is_wrong() {
    for exercise in many(100) {
        let Answer::Word { right, of } = exercise.answer else { continue };
        assert!(of.contains(&right));
        assert_eq!(of.iter().collect::<BTreeSet<_>>().len(), of.len());
        for word in of.iter().filter(|word| **word != right) {
            let told = exercise.mistakes.iter().filter(|mistake| mistake.gives == Said::Word(word)).count();
            assert_eq!(told, 1, "{word}: {exercise:#?}");
        }
    }
}

/// Each answer of a form comes up, so that none can be learnt by heart: every word, and many numbers.
#[test]
fn answers_vary() {
    let mut words: BTreeMap<Form, BTreeSet<&str>> = BTreeMap::new();
    let mut asks: BTreeMap<Form, BTreeSet<String>> = BTreeMap::new();
    for exercise in many(120) {
        asks.entry(exercise.form).or_default().insert(exercise.ask);
        if let Answer::Word { right, of } = exercise.answer {
            let seen = words.entry(exercise.form).or_default();
            seen.insert(right);
            if exercise.form != Form::SafeBench {
                assert!(seen.is_subset(&of.iter().copied().collect()));
            }
        }
    }
    for (form, seen) in words {
        assert!(seen.len() >= if form == Form::Verdict { 4 } else { 2 }, "{form:?}: {seen:?}");
    }
    for (form, asks) in asks {
        assert!(asks.len() >= 8, "{form:?} has {} questions", asks.len());
    }
}

#[test]
fn the_same_seed_asks_the_same() {
    assert!(many(20).eq(many(20)));
}
