//! Every question as it is put, and what `?` says to it.

use cornerset::screens::{self, Line, Screen};
use cornerset::session::{Ask, Question, State};

use crate::common::lines::Lines;
use crate::play::{ask, opened, page, pages, play};

/// A session in which the question is next, or as good as next.
fn state_for(question: Question) -> State {
    let plain = Lines::required();
    let lines = match question {
        Question::Q => plain.with("slope", "12").with("family", "second-order").before("caution"),
        Question::Corner => plain.with("rule", "own").before("caution"),
        Question::ReferenceMark | Question::MarkUncertainty => {
            plain.with("bypass", "no").with("reference-mark", "18").before("reference-mark")
        }
        Question::RatedPower | Question::Load => plain.with("gain", "no").before("reference"),
        Question::Explore => plain.with("family", "unknown").before("reference"),
        Question::ReferenceConfirmed => plain.with("reference", "33").before("reading"),
        Question::Accept => plain.before("accept"),
        Question::Sweep | Question::Note | Question::SignOff => plain.before("sign-off"),
        Question::Reason => plain.with("reading", "6.30").before("sign-off"),
        Question::Reading => plain.before("reading"),
        Question::Reference | Question::Gain => plain.before("reference"),
        _ => plain.before("caution"),
    };
    play(&lines)
}

fn put(state: &State, ask: &Ask, screen: Screen) -> Vec<Line> {
    let mut lines = screens::question(state, ask, screen);
    lines.push(Line::plain(format!("{}:", screens::prompt(ask, 40))));
    lines
}

#[test]
fn every_question_with_its_prompt() {
    pages("questions", |screen| {
        Question::ALL
            .into_iter()
            .map(|question| {
                let state = state_for(question);
                page(question.word(), put(&state, &ask(&state, question), screen))
            })
            .collect()
    });
}

#[test]
fn questions_that_depend_on_what_was_answered() {
    let plain = Lines::required();
    let at = |lines: Lines, question: Question, screen: Screen| {
        let state = play(&lines);
        put(&state, &ask(&state, question), screen)
    };
    let marked = plain.clone().with("bypass", "no").with("reference-mark", "18");
    pages("questions-in-context", |screen| {
        vec![
            page("the first question of all", {
                let state = opened();
                put(&state, &ask(&state, Question::Job), screen)
            }),
            page(
                "family where the slope is unknown",
                at(plain.clone().with("slope", "unknown").before("caution"), Question::Family, screen),
            ),
            page(
                "family at 30 dB/octave",
                at(plain.clone().with("slope", "30").before("caution"), Question::Family, screen),
            ),
            page(
                "rule where the tuning is unknown",
                at(plain.clone().with("tuning", "unknown").with("rule", "own").before("rule"), Question::Rule, screen),
            ),
            page(
                "tone off the half octave",
                at(plain.clone().with("rule", "half-octave").before("caution"), Question::Tone, screen),
            ),
            page("reference at a mark", at(marked.clone().before("reference"), Question::Reference, screen)),
            page("a second reading", at(plain.clone().before("accept"), Question::Reading, screen)),
            page(
                "a second exploring reading",
                at(
                    plain.clone().with("family", "unknown").with("explore", "20=2.31/8").before("reference"),
                    Question::Explore,
                    screen,
                ),
            ),
            page(
                "accepting what is not inside",
                at(plain.clone().with("reading", "6.30").before("accept"), Question::Accept, screen),
            ),
            page(
                "sign-off with the filter that stays in",
                at(marked.clone().with("reference", "7.85").before("sign-off"), Question::SignOff, screen),
            ),
            page("back at an earlier question", {
                let state = play(&plain.clone().and("reading", "5.70").before("accept"));
                let default = state.typed(Question::Tuning).map(|typed| typed.to_string());
                put(&state, &Ask { default, revisited: true, ..ask(&state, Question::Tuning) }, screen)
            }),
            page("a default that is longer than a prompt", {
                let state = play(&plain.clone().before("tuning"));
                let default = Some("Bench amplifier 2, the one with the cracked corner and no label".to_owned());
                put(&state, &Ask { default, ..ask(&state, Question::Amplifier) }, screen)
            }),
        ]
    });
}

#[test]
fn what_a_question_mark_says() {
    pages("help", |screen| {
        Question::ALL.into_iter().map(|question| page(question.word(), screens::help(question, screen))).collect()
    });
}
