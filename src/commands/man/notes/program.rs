//! The program as a whole, the guided session, and what belongs to the installation.

use super::Notes;
use super::shared::*;

pub(super) fn notes(page: &str) -> Option<Notes> {
    Some(match page {
        "cornerset" => Notes {
            description: &[
                "The low-cut filter (infrasonic filter, high-pass) of a subwoofer amplifier keeps tones below the box's tuning from \
                 the driver. What is printed at its knob may be off. With a test tone and a \
                 multimeter that shows volts it is set by measurement: the volts at the tone, against the volts with the filter \
                 out, say where the corner stands.",
                "Numbers are typed as people write them: `27`, `27 Hz`, `5,66`, `5660 mV`, `5.61..5.70` where the digits hunt, \
                 `5.61 5.64 5.66` for repeats.",
                "Amplifier outputs reach voltages that are hazardous to touch, and a low tone at full level ruins drivers and \
                 hearing. The maker's manual, local codes and licensed practice come before anything that this program says.",
            ],
            exits: vec![
                DONE,
                (
                    1,
                    "Findings: a setting that is not inside its window, a corner that is not one, an audit that found something, a question that was \
                     not right at the first try.",
                ),
                REFUSED,
                NOT_KEPT,
                (130, "Paused or interrupted. A session is kept."),
            ],
            files: vec![STORE, OPEN, AWAY, RECORDS, BENCH, CHAIN, GEAR, ORDER, KEYS, SIGNERS, PRACTICE, LEARNERS, LOCK],
            environment: [
                signed(),
                vec![
                    (
                        "TMPDIR",
                        "Where a tone lies while `tone --play` plays it and nothing keeps it, and a record while ssh-keygen(1) \
                         signs it.",
                    ),
                    (
                        "RAYON_NUM_THREADS",
                        "How many processors an audit and a list of records take. Not set: all of them.",
                    ),
                ],
            ]
            .concat(),
            examples: &[
                ("The guided session, at a terminal:", "cornerset"),
                (
                    "The tone, the target and the window for a box that is tuned to 36 Hz:",
                    "cornerset targets --tuning 36 --slope 24 --reference 8",
                ),
                ("Every record checked:", "cornerset audit"),
            ],
            see_also: &["ssh-keygen"],
        },
        "cornerset-set" => Notes {
            description: &[
                "It asks for the job, the gear, the box's tuning and the filter's slope, says which tone to play, takes the \
                 reference voltage with the filter out, and answers each reading while the knob is turned: the verdict, the corner \
                 that the knob stands at now, which way to turn, and how much of the turn is left. A sweep at a few more tones then \
                 shows whether the filter is what its label says. The sign-off closes the record.",
                "At every prompt Enter takes what stands in brackets, `?` explains the question, `<` goes back, `!` adds a note \
                 and `q` pauses. A reading that is shown as logged is on disk.",
                "Answers can come from a script instead, a file of lines `id: answer`. A question that has a default may be \
                 left out. With `--script -` the next line is read only when it is needed, so another program can lead the session \
                 and read each verdict; `--json` gives it one event a line.",
                "The verdict is `inside` only where the meter's own uncertainty leaves no doubt; `borderline` where it does; \
                 `above` and `below` speak of the voltage.",
            ],
            exits: vec![
                (0, "The record is written, and the setting is inside its window."),
                (
                    1,
                    "The record is written, but what was accepted is not inside its window, or the sweep says that the filter is \
                     not what it was taken for.",
                ),
                (2, "An option or an answer of a script is refused, or nobody can be asked. The session stays open."),
                (
                    3,
                    "The store cannot be written. What was shown as logged is there, the message says what to do, and `--resume` \
                     goes on.",
                ),
                SESSION_KEPT,
            ],
            files: vec![STORE, OPEN, AWAY, RECORDS, BENCH, CHAIN, GEAR, KEYS, SIGNERS, LOCK],
            environment: [signed(), vec![TMPDIR]].concat(),
            examples: &[
                (
                    "A session at the keyboard that shows every formula with its numbers:",
                    "cornerset set --show-working",
                ),
                (
                    "The answers of a script, into a store of its own:",
                    "cornerset --store try-out set --script answers.script",
                ),
                ("A session that was left, taken up again:", "cornerset set --resume ID"),
                ("Signed with a key that ssh-keygen made:", "cornerset set --key my-key --script answers.script"),
            ],
            see_also: &["cornerset-targets", "cornerset-records", "cornerset-key", "ssh-keygen"],
        },
        "cornerset-completions" => Notes {
            description: &[
                "bash reads `~/.local/share/bash-completion/completions/cornerset`, if the package `bash-completion` is installed. \
                 zsh reads `_cornerset` in a folder of its fpath, before compinit runs. fish reads \
                 `~/.config/fish/completions/cornerset.fish`. elvish takes the script at the end of its `rc.elv`, PowerShell at \
                 the end of the file that `$PROFILE` names.",
                "Words of options such as `--family` are completed too, and names of files and folders where one is wanted.",
            ],
            exits: vec![DONE, REFUSED, NOT_KEPT],
            files: vec![NO_STORE],
            environment: vec![COLUMNS],
            examples: &[
                (
                    "For bash:",
                    "mkdir -p ~/.local/share/bash-completion/completions\n\
                  cornerset completions bash \\\n    \
                  > ~/.local/share/bash-completion/completions/cornerset",
                ),
                (
                    "For zsh, where `~/.zsh/completions` is in the fpath:",
                    "mkdir -p ~/.zsh/completions\n\
                  cornerset completions zsh > ~/.zsh/completions/_cornerset",
                ),
                (
                    "For fish:",
                    "mkdir -p ~/.config/fish/completions\n\
                  cornerset completions fish \\\n    \
                  > ~/.config/fish/completions/cornerset.fish",
                ),
            ],
            see_also: &["cornerset-man", "bash"],
        },
        "cornerset-man" => Notes {
            description: &[
                "A file that is there already under the name of a page is replaced; nothing else in the folder is touched. The \
                 folder is made where it is missing. It may not be one of a store.",
            ],
            exits: vec![DONE, REFUSED, NOT_KEPT],
            files: vec![
                ("/usr/local/share/man/man1", "The folder in which man(1) finds the pages of programs that a system's owner installs."),
                (
                    "~/.local/share/man/man1",
                    "The same for one person; it is looked at where `~/.local/bin` is in that person's PATH.",
                ),
                NO_STORE,
            ],
            environment: shown(),
            examples: &[
                ("The page of one command:", "cornerset man records list"),
                (
                    "Every page, where man(1) finds it for one person:",
                    "cornerset man -o ~/.local/share/man/man1\nexport PATH=\"$HOME/.local/bin:$PATH\"",
                ),
            ],
            see_also: &["cornerset-completions", "man"],
        },
        _ => return None,
    })
}
