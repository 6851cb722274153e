//! Every question: the right answer is right, every named mistake is wrong and is told by its name.

use cornerset::chance::Chance;
use cornerset::learn::{Answer, Exercise, Figures, Judgement, Lesson, Said, Skill};
use cornerset::screens::Screen;

use crate::screens::{lessons, text};

/// Every question with its place.
fn exercises() -> Vec<(String, Exercise)> {
    lessons()
        .flat_map(|(lesson, steps)| {
            steps
                .into_iter()
                .enumerate()
                .map(move |(number, step)| (format!("{} {}", lesson.word(), number + 1), step.exercise))
        })
        .collect()
}

/// What somebody types who says this, to one figure more than is asked for.
fn typed(said: &Said) -> String {
    match said {
        Said::Number(value) => format!("{value:.6}"),
        Said::Word(word) => (*word).to_owned(),
    }
}

#[test]
fn the_right_answer_is_right_however_it_is_typed() {
    for (place, exercise) in exercises() {
        let right = |typed: &str| assert_eq!(exercise.judge(typed), Ok(Judgement::Right), "{place}: {typed}");
        right(&exercise.right());
        match &exercise.answer {
            Answer::Number { value, quantity, .. } => {
                right(&format!("{value}"));
                right(&format!("{value} {}", quantity.unit()));
                // The working ends with the answer, as a person would type it from there.
                let figures = exercise.right();
                let number = figures.split(' ').next().unwrap().trim_end_matches('0').trim_end_matches('.');
                assert!(exercise.working.iter().any(|line| line.contains(number)), "{place}: {number}");
            }
            Answer::Word { right: word, of } => {
                right(&word.to_uppercase());
                assert!(of.contains(word) && of.len() > 1, "{place}");
            }
        }
    }
}

#[test]
fn a_named_mistake_is_wrong_and_is_told_by_its_name() {
    for (place, exercise) in exercises() {
        assert!(!exercise.mistakes.is_empty(), "{place}");
        for (index, mistake) in exercise.mistakes.iter().enumerate() {
            for typed in [typed(&mistake.gives), exercise.say(&mistake.gives)] {
                let judged = exercise.judge(&typed);
                assert_eq!(judged, Ok(Judgement::Wrong(Some(index))), "{place}: {typed}: {}", mistake.name);
            }
            assert!(mistake.name.ends_with('.') && mistake.name.is_ascii() && !mistake.name.contains('!'), "{place}");
        }
    }
}

/// No answer and no mistake is so near to another that one figure decides which it was.
#[test]
fn answers_and_mistakes_lie_apart() {
    for (place, exercise) in exercises() {
        let Answer::Number { value, .. } = exercise.answer else { continue };
        let mut values = vec![value];
        values.extend(exercise.mistakes.iter().map(|mistake| match mistake.gives {
            Said::Number(value) => value,
            Said::Word(word) => panic!("{place}: {word} is no number"),
        }));
        for (index, one) in values.iter().enumerate() {
            for other in &values[index + 1..] {
                assert!((one / other - 1.0).abs() > 0.01, "{place}: {one} and {other}");
            }
        }
    }
}

#[test]
fn every_wrong_word_has_its_reason() {
    for (place, exercise) in exercises() {
        let Answer::Word { right, of } = exercise.answer else { continue };
        for word in of.iter().filter(|word| **word != right) {
            assert!(exercise.mistakes.iter().any(|mistake| mistake.gives == Said::Word(word)), "{place}: {word}");
        }
        assert!(of.iter().all(|word| exercise.ask.to_lowercase().contains(*word)), "{place}: {}", exercise.ask);
    }
}

/// Another wrong number is wrong, and nobody is told a mistake that was not made; what is no answer is none.
#[test]
fn other_answers_are_wrong_without_a_name_and_nonsense_is_no_answer() {
    for (place, exercise) in exercises() {
        for nonsense in ["", "perhaps", "3 bananas"] {
            assert!(exercise.judge(nonsense).is_err(), "{place}: {nonsense}");
        }
        if let Answer::Number { value, .. } = exercise.answer {
            let other = value * 1.0321;
            if exercise
                .mistakes
                .iter()
                .all(|mistake| !matches!(mistake.gives, Said::Number(gives) if (gives / other - 1.0).abs() < 0.01))
            {
                assert_eq!(exercise.judge(&format!("{other}")), Ok(Judgement::Wrong(None)), "{place}: {other}");
            }
        }
    }
}

/// A question that its own screen answers checks nothing.
#[test]
fn no_screen_gives_its_question_away() {
    for (lesson, steps) in lessons() {
        for (number, step) in steps.iter().enumerate() {
            let Answer::Number { .. } = step.exercise.answer else { continue };
            let shown = text(&(step.shown)(Screen::new(80, false)));
            let right = step.exercise.right();
            let given_away = shown
                .split_whitespace()
                .any(|word| word.trim_matches(|c: char| !c.is_ascii_digit()) == right.split(' ').next().unwrap());
            // At any corner a Butterworth 24 is 24.1 dB down an octave below: to see that is the question.
            assert!(!given_away || (lesson, number) == (Lesson::Slope, 0), "{} {}: {right}", lesson.word(), number + 1);
        }
    }
}

/// The questions of the lessons cover the mistakes that everybody makes, each named.
#[test]
fn the_usual_mistakes_are_among_them() {
    let names: Vec<String> = exercises()
        .iter()
        .flat_map(|(_, exercise)| exercise.mistakes.iter().map(|mistake| mistake.name.clone()))
        .collect();
    for usual in ["10 log", "upside down", "tuning", "3 thousandths", "0.707", "digits"] {
        assert!(names.iter().any(|name| name.contains(usual)), "{usual}");
    }
}

/// After a wrong answer another question of the same form is asked: one that trains what the lesson is about, with other
/// numbers, answered in the same way.
#[test]
fn another_question_of_the_same_form_trains_the_same() {
    let mut chance = Chance::of(17, 0);
    for (lesson, steps) in lessons() {
        for step in steps {
            let form = step.exercise.form;
            let trains =
                |skills: &[Skill]| assert!(skills.contains(&form.skill()), "{}: {}", lesson.word(), form.word());
            match lesson {
                Lesson::Ratio => trains(&[Skill::Ratio, Skill::Power]),
                Lesson::Octave => trains(&[Skill::Octave]),
                Lesson::Slope => trains(&[Skill::Slope, Skill::Traps]),
                Lesson::Cone => trains(&[Skill::Cone, Skill::Ratio]),
                Lesson::Meter => trains(&[Skill::Meter]),
                Lesson::Tolerance => trains(&[Skill::Window]),
                Lesson::Traps => trains(&[Skill::Traps]),
                Lesson::Safety => trains(&[Skill::Safety, Skill::Power]),
            }
            let fresh = form.exercise(Figures::Three, &mut chance);
            assert_eq!(fresh.form, form);
            assert_ne!(fresh.ask, step.exercise.ask);
            let is_number = |exercise: &Exercise| matches!(exercise.answer, Answer::Number { .. });
            assert_eq!(is_number(&fresh), is_number(&step.exercise), "{}: {}", form.word(), fresh.ask);
        }
    }
}
