//! Every question: the right answer is right, every named mistake is wrong and is told by its name.

use cornerset::learn::{Answer, Course, Exercise, Form, Judgement, Lesson, Quiz, Said, Skill, Step};
use cornerset::screens::Screen;

use crate::screens::{lessons, text};

/// Every question with its place, those that are asked again among them.
fn exercises() -> Vec<(String, Exercise)> {
    let of_step = |place: String, step: Step| [(format!("{place}, again"), step.again), (place, step.exercise)];
    lessons()
        .flat_map(|(lesson, steps)| {
            let place = move |number: usize| format!("{} {}", lesson.word(), number + 1);
            steps.into_iter().enumerate().flat_map(move |(number, step)| of_step(place(number), step))
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
        // What the cautions say is offered below the question.
        let named = of.iter().all(|word| exercise.ask.to_lowercase().contains(*word));
        assert!(named || exercise.form == Form::SafeBench, "{place}: {}", exercise.ask);
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
            let other = value * 1.0521;
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
            let shown = text(&(step.shown)(Screen::new(80, false)));
            for exercise in [&step.exercise, &step.again] {
                let Answer::Number { .. } = exercise.answer else { continue };
                let right = exercise.right();
                let given_away = shown
                    .split_whitespace()
                    .any(|word| word.trim_matches(|c: char| !c.is_ascii_digit()) == right.split(' ').next().unwrap());
                // At any corner a Butterworth 24 is as far down an octave below: to see that is the question. Decibels in
                // the head stand there because they are learnt there.
                let meant = [(Lesson::Slope, 0), (Lesson::Ratio, 3)].contains(&(lesson, number));
                assert!(!given_away || meant, "{} {}: {right}", lesson.word(), number + 1);
            }
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

/// After a wrong answer the same question is asked with other numbers: one that trains what the lesson is about, answered in
/// the same way, with the answer another one unless it is a word or the same at every corner.
#[test]
fn what_is_asked_again_is_the_same_with_other_numbers() {
    for (lesson, steps) in lessons() {
        for Step { exercise, again, .. } in steps {
            let form = exercise.form;
            let trains =
                |skills: &[Skill]| assert!(skills.contains(&form.skill()), "{}: {}", lesson.word(), form.word());
            match lesson {
                Lesson::Ratio => trains(&[Skill::Ratio, Skill::Power]),
                Lesson::Octave => trains(&[Skill::Octave]),
                Lesson::Slope => trains(&[Skill::Slope, Skill::Traps]),
                Lesson::Cone => trains(&[Skill::Cone]),
                Lesson::Meter => trains(&[Skill::Meter]),
                Lesson::Tolerance => trains(&[Skill::Window]),
                Lesson::Traps => trains(&[Skill::Traps]),
                Lesson::Safety => trains(&[Skill::Safety, Skill::Power]),
            }
            assert_eq!(again.form, form);
            assert_ne!(again.ask, exercise.ask);
            let names = |exercise: &Exercise| exercise.given.iter().map(|(name, _)| *name).collect::<Vec<_>>();
            assert_eq!(names(&again)[0], names(&exercise)[0], "{}", again.ask);
            match (&exercise.answer, &again.answer) {
                (
                    Answer::Number { value, quantity, figures },
                    Answer::Number { value: other, quantity: of, figures: to },
                ) => {
                    assert_eq!((quantity, figures), (of, to), "{}", again.ask);
                    assert!((value / other - 1.0).abs() > 0.01, "{}", again.ask);
                }
                (Answer::Word { .. }, Answer::Word { .. }) => {}
                _ => panic!("{}", again.ask),
            }
        }
    }
}

/// Right: on to the next step. Wrong, or shown: once more with other numbers, whatever comes of it.
#[test]
fn a_course_asks_a_second_time_and_no_third() {
    for (lesson, steps) in lessons() {
        let mut course = Course::new(lesson);
        for (number, step) in steps.iter().enumerate() {
            assert_eq!(course.exercise(), Some(&step.exercise));
            assert!(!course.shown(Screen::new(80, false)).is_empty());
            if number == 0 {
                let told = course.answer(&step.exercise.right()).unwrap();
                assert!(told.first && !told.comes_back && told.judgement == Judgement::Right);
                continue;
            }
            let told = if number % 2 == 0 {
                course.pass().unwrap()
            } else {
                course.answer(&step.exercise.say(&step.exercise.mistakes[0].gives)).unwrap()
            };
            let expected = if number % 2 == 0 { Judgement::Shown } else { Judgement::Wrong(Some(0)) };
            assert!(told.first && !told.comes_back && told.judgement == expected);
            assert_eq!(course.exercise(), Some(&step.again));
            assert!(course.shown(Screen::new(80, false)).is_empty());
            let told = course.pass().unwrap();
            assert!(!told.first && !told.comes_back);
        }
        assert_eq!((course.exercise(), course.score()), (None, (steps.len(), 1)));
        assert!(course.answer("1").is_err() && course.pass().is_none());
    }
}
