//! What comes back when, and what comes first.

use std::collections::BTreeSet;

use cornerset::learn::{Drill, Figures, Form, IN_A_ROW, Judgement, Outcome, Progress, Quiz, Skill, Standing};

fn new(seed: u64, skills: &[Skill]) -> Drill {
    Drill::new(seed, skills, Figures::Three, &Progress::new("A. Sample"))
}

fn right(drill: &mut Drill) -> Outcome {
    let right = drill.exercise().unwrap().right();
    let outcome = drill.answer(&right).unwrap();
    assert_eq!(outcome.judgement, Judgement::Right);
    outcome
}

fn wrong(drill: &mut Drill) -> Outcome {
    let exercise = drill.exercise().unwrap();
    let said = exercise.say(&exercise.mistakes[0].gives);
    let outcome = drill.answer(&said).unwrap();
    assert_eq!(outcome.judgement, Judgement::Wrong(Some(0)));
    outcome
}

/// Answers rightly until this form comes up again; gives how many others came first.
fn others_until(drill: &mut Drill, form: Form) -> usize {
    for others in 0..200 {
        if drill.exercise().unwrap().form == form {
            return others;
        }
        right(drill);
    }
    panic!("{form:?} never came back");
}

#[test]
fn what_was_missed_comes_back_with_other_numbers_and_leaves_when_it_was_right_twice() {
    for seed in 0..100 {
        let mut drill = new(seed, &[]);
        for _ in 0..seed % 5 {
            right(&mut drill);
        }
        let missed = wrong(&mut drill);
        let form = missed.exercise.form;
        assert!(missed.first && missed.comes_back);
        let others = others_until(&mut drill, form);
        assert!((2..=3).contains(&others), "{others} others");
        assert!(drill.came_back());
        assert_ne!(drill.exercise().unwrap().ask, missed.exercise.ask);
        let back = right(&mut drill);
        assert!(!back.first && back.comes_back);
        let others = others_until(&mut drill, form);
        assert!((6..=8).contains(&others), "{others} others");
        let again = right(&mut drill);
        assert!(!again.first && !again.comes_back);
        let others = others_until(&mut drill, form);
        assert!(others > 15, "{form:?} came again after {others}");
        assert!(!drill.came_back());
    }
}

#[test]
fn missed_again_starts_over() {
    for seed in 0..50 {
        let mut drill = new(seed, &[]);
        let form = wrong(&mut drill).exercise.form;
        others_until(&mut drill, form);
        right(&mut drill);
        others_until(&mut drill, form);
        assert!(wrong(&mut drill).comes_back);
        assert!((2..=3).contains(&others_until(&mut drill, form)));
        assert!(right(&mut drill).comes_back);
        assert!((6..=8).contains(&others_until(&mut drill, form)));
        assert!(!right(&mut drill).comes_back);
    }
}

#[test]
fn many_misses_are_all_asked_again() {
    let mut drill = new(3, &[]);
    let missed: BTreeSet<Form> = (0..6).map(|_| wrong(&mut drill).exercise.form).collect();
    let mut back = BTreeSet::new();
    for _ in 0..20 {
        let outcome = right(&mut drill);
        if !outcome.first {
            back.insert(outcome.exercise.form);
        }
    }
    assert!(back.is_superset(&missed), "{missed:?} against {back:?}");
}

#[test]
fn the_same_form_never_comes_twice_running_and_only_what_was_wanted() {
    for skills in [&[][..], &[Skill::Safety], &[Skill::Cone, Skill::Power], &[Skill::Window]] {
        for seed in 0..20 {
            let mut drill = new(seed, skills);
            let mut last = None;
            for number in 0..120 {
                assert_eq!(drill.number(), number + 1);
                let form = drill.exercise().unwrap().form;
                assert_ne!(Some(form), last);
                assert!(skills.is_empty() || skills.contains(&form.skill()));
                last = Some(form);
                // Some are missed, in a pattern that has nothing to do with the form.
                if (number as u64 * 7 + seed) % 5 < 2 {
                    wrong(&mut drill)
                } else {
                    right(&mut drill)
                };
            }
        }
    }
}

/// Who misses everything, or nearly everything, still sees every kind of question: no two running come back where there is a
/// fresh one, and what is fresh is asked in turn.
#[test]
fn who_misses_everything_sees_every_kind() {
    for seed in 0..20 {
        let mut drill = new(seed, &[]);
        let (mut forms, mut last) = (BTreeSet::new(), false);
        for number in 0..2 * Form::ALL.len() {
            forms.insert(drill.exercise().unwrap().form);
            // Where every kind waits to come back, there is nothing fresh.
            let came_back = drill.came_back();
            assert!(!(last && came_back) || forms.len() == Form::ALL.len(), "question {number}");
            last = came_back;
            wrong(&mut drill);
        }
        assert!(forms.len() >= Form::ALL.len() - 1, "{} kinds", forms.len());
    }
}

/// What takes a calculator is not asked by head, and a skill holds without it.
#[test]
fn by_head_nothing_is_asked_that_takes_a_calculator() {
    let mut drill = Drill::new(4, &[Skill::Slope], Figures::Two, &Progress::new("A. Sample"));
    let forms: BTreeSet<Form> = (0..60).map(|_| right(&mut drill).exercise.form).collect();
    assert!(!forms.contains(&Form::VoltsOfQ) && forms.len() == 5, "{forms:?}");
    assert!(drill.progress().holds(Skill::Slope));
    let mut progress = drill.progress().clone();
    progress.note(Form::VoltsOfQ, true);
    assert!(!progress.holds(Skill::Slope));
}

#[test]
fn every_form_comes_up_before_any_comes_again() {
    let mut drill = new(11, &[]);
    let forms: BTreeSet<Form> = (0..Form::ALL.len()).map(|_| right(&mut drill).exercise.form).collect();
    assert_eq!(forms.len(), Form::ALL.len());
}

#[test]
fn what_is_new_or_weak_comes_before_what_holds() {
    let mut progress = Progress::new("A. Sample");
    let open = [Form::VoltsOfDown, Form::WhichWay, Form::LimitInVolts, Form::Hazard];
    for form in Form::ALL.into_iter().filter(|form| !open.contains(form)) {
        (0..IN_A_ROW).for_each(|_| progress.note(form, true));
    }
    progress.note(Form::WhichWay, false);
    let mut drill = Drill::new(5, &[], Figures::Two, &progress);
    let first: BTreeSet<Form> = (0..4).map(|_| right(&mut drill).exercise.form).collect();
    assert_eq!(first, BTreeSet::from(open));
    let second: BTreeSet<Form> = (0..4).map(|_| right(&mut drill).exercise.form).collect();
    assert_eq!(second, BTreeSet::from(open));
    assert!(Form::ALL.iter().all(|form| drill.progress().standing(*form) == Standing::Holds));
    assert!(!open.contains(&drill.exercise().unwrap().form));
}

#[test]
fn the_same_seed_and_answers_are_the_same_drill_and_a_refusal_changes_nothing() {
    let run = |refused: bool| {
        let mut drill = new(99, &[]);
        let mut asks = vec![];
        for number in 0..60 {
            asks.push(drill.exercise().unwrap().ask.clone());
            if refused {
                assert!(drill.answer("what").is_err());
                assert_eq!(drill.number(), number + 1);
            }
            if number % 3 == 0 {
                wrong(&mut drill)
            } else {
                right(&mut drill)
            };
        }
        (asks, drill.score().clone(), drill.progress().clone())
    };
    assert_eq!(run(false), run(true));
    let mut other = new(98, &[]);
    assert_ne!(run(false).0[..5], (0..5).map(|_| right(&mut other).exercise.ask).collect::<Vec<_>>()[..]);
}

#[test]
fn the_score_counts_first_tries_and_what_came_back_apart() {
    for seed in 0..20 {
        let mut drill = new(seed, &[]);
        let (mut first, mut back, mut named) = ((0, 0), (0, 0), 0);
        for number in 0..80 {
            let outcome = if number % 4 == 1 { wrong(&mut drill) } else { right(&mut drill) };
            let counts = if outcome.first { &mut first } else { &mut back };
            counts.0 += 1;
            counts.1 += u64::from(outcome.judgement == Judgement::Right);
            named += u64::from(outcome.judgement != Judgement::Right);
        }
        let all = drill.score().all();
        assert_eq!((all.first.asked, all.first.right), first);
        assert_eq!((all.back.asked, all.back.right), back);
        let mistakes = drill.score().mistakes();
        assert_eq!(mistakes.iter().map(|(_, count)| count).sum::<u64>(), named);
        assert!(mistakes.windows(2).all(|pair| pair[0].1 >= pair[1].1));
        let asked: u64 = Form::ALL.iter().map(|form| drill.progress().tries(*form).asked).sum();
        assert_eq!(asked, first.0);
        let next = drill.score().next(drill.progress()).unwrap();
        let share = |skill: Skill| {
            let (_, score) = drill.score().skills().find(|(other, _)| *other == skill).unwrap();
            score.first.right as f64 / score.first.asked as f64
        };
        assert!(drill.score().skills().all(|(skill, _)| share(next) <= share(skill)));
    }
}
