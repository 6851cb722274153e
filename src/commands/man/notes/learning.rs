//! Learning without an amplifier.

use super::shared::*;
use super::{Entry, Notes};

const FIRST_TRY: (u8, &str) = (1, "Done, and not every first try was right.");
const LEFT: (u8, &str) = (130, "Left before its end, or interrupted. What was answered is kept.");

pub(super) fn notes(page: &str) -> Option<Notes> {
    let files: Vec<Entry> = vec![STORE, LEARNERS, PRACTICE];
    let of_a_learner: Vec<Entry> = vec![STORE, LEARNERS];
    Some(match page {
        "cornerset-learn" => Notes {
            description: &[
                "Eight short lessons, drills that bring back what was missed, and a simulated bench whose knob is set by the real \
                 session. What each learner did is kept in the store, by name.",
            ],
            exits: vec![DONE, FIRST_TRY, REFUSED, NOT_KEPT, LEFT],
            files,
            environment: stored(),
            examples: &[
                ("At a terminal:", "cornerset learn"),
                ("A lesson for one learner:", "cornerset learn lesson ratio --learner 'R. Example'"),
                ("What there is still to learn:", "cornerset learn progress"),
            ],
            see_also: &["cornerset-set"],
        },
        "cornerset-learn-lesson" => Notes {
            description: &[
                "`show` gives the answer and its working, and counts as missed. `q` leaves. What was answered is kept.",
            ],
            exits: vec![(0, "Every question was right at the first try."), FIRST_TRY, REFUSED, NOT_KEPT, LEFT],
            files: of_a_learner,
            environment: stored(),
            examples: &[("The lesson on voltage ratios, at a terminal:", "cornerset learn lesson ratio")],
            see_also: &["cornerset-learn-drill"],
        },
        "cornerset-learn-drill" => Notes {
            description: &[
                "A wrong answer is followed by its working, and by the name of the mistake where it is a known one.",
            ],
            exits: vec![(0, "Every question was right at the first try."), FIRST_TRY, REFUSED, NOT_KEPT, LEFT],
            files: of_a_learner,
            environment: stored(),
            examples: &[(
                "Ten questions, the same ones for a whole class:",
                "cornerset learn drill --skill ratio --seed 36 --count 10",
            )],
            see_also: &["cornerset-learn-lesson"],
        },
        "cornerset-learn-bench" => Notes {
            description: &[
                "Friendly: everything is what it says. Usual: an uneven dial, a knob that is not what its print says, fixed tones, a \
                 label without a family. Awkward: a filter that stays in, a meter that droops below its band and whose digits \
                 hunt. Nasty: all of it, and a label that is wrong. The same level and seed are the same bench.",
            ],
            exits: vec![
                (0, "The record is written, and the setting is inside its window."),
                (
                    1,
                    "The record is written, but what was accepted is not inside its window, or the sweep says that the filter is \
                     not what it was taken for.",
                ),
                REFUSED,
                NOT_KEPT,
                SESSION_KEPT,
            ],
            files: vec![STORE, PRACTICE, LEARNERS],
            environment: [signed(), vec![TMPDIR]].concat(),
            examples: &[
                ("The usual bench number 421, at a terminal:", "cornerset learn bench --level usual --seed 421"),
                (
                    "The same by script, into a store of its own:",
                    "cornerset --store try-out learn bench --level usual --seed 421 \\\n    \
                 --script practice.script",
                ),
            ],
            see_also: &["cornerset-set"],
        },
        "cornerset-learn-progress" => Notes {
            description: &[
                "It names each skill and how it stands, the lessons that were finished, the benches that were tried, and what comes next.",
            ],
            exits: vec![DONE, REFUSED, NOT_KEPT],
            files: of_a_learner,
            environment: stored(),
            examples: &[("Everybody's:", "cornerset learn progress")],
            see_also: &["cornerset-learn-forget"],
        },
        "cornerset-learn-forget" => Notes {
            description: &["The learner's file is removed. Practice records stay."],
            exits: vec![DONE, REFUSED, NOT_KEPT],
            files: of_a_learner,
            environment: stored(),
            examples: &[("What R. Example did:", "cornerset learn forget 'R. Example'")],
            see_also: &["cornerset-learn-progress"],
        },
        _ => return None,
    })
}
