//! The commands that work something out, without a session.

use super::Notes;
use super::shared::*;

pub(super) fn notes(page: &str) -> Option<Notes> {
    Some(match page {
        "cornerset-targets" => Notes {
            description: &[
                "From the box's tuning, or a corner of your own, from the filter and from the reference voltage: which tone to \
                 play, the volts that the meter shows once the knob stands right, how wide it may miss (the window), and how wide \
                 for a reading that the meter itself can be sure of (accept). Below that, for the filter once it stands right, the \
                 tones at which it is 1, 3, 6, 10, 12, 20 and 24 dB down, with their volts.",
                "The rules take the corner from the tuning: `three-quarters` of it, `half-octave` below it (0.707), or an `octave` \
                 below it (a half). A decibel figure is against the reference with the filter out; where it stayed in at a mark, \
                 its share is taken off first.",
                "A filter is described by its family and its slope. 3.01 dB down at the corner holds for `butterworth`; a \
                 `linkwitz-riley` is 6.02 dB down there, and a `second-order` filter is as far down as its Q says.",
            ],
            exits: vec![DONE, REFUSED, NOT_KEPT],
            files: vec![NO_STORE],
            environment: shown(),
            examples: &[
                (
                    "A box tuned to 36 Hz, a Butterworth filter of 24 dB/octave, 8.00 V with the filter out:",
                    "cornerset targets --tuning 36 --slope 24 --reference 8",
                ),
                (
                    "The same with each formula and its numbers:",
                    "cornerset targets --tuning 36 --slope 24 --reference 8 --show-working",
                ),
                (
                    "A corner of your own on a Linkwitz-Riley filter, to within half a decibel, for a program:",
                    "cornerset targets --corner 27 --family linkwitz-riley --slope 24 \\\n    \
                 --reference 8 --tolerance 0.5dB --json",
                ),
                (
                    "A filter that cannot be taken out and stood at its 18 Hz mark:",
                    "cornerset targets --tuning 36 --slope 12 \\\n    \
                 --reference 8 --reference-mark 18",
                ),
            ],
            see_also: &["cornerset-corner", "cornerset-set", "cornerset-tone"],
        },
        "cornerset-corner" => Notes {
            description: &[
                "A reading is `TONE=VOLTS`, in hertz and volts: `27=5.31`. With `/REFERENCE` it brings the volts that were read at \
                 the same tone with the filter out: `20=2.29/8.03`.",
                "The uncertainty of one corner is the meter's (k = 2); a fit gives the standard error of its least squares as \
                 well, and the other filters that the readings leave open.",
            ],
            exits: vec![
                (0, "Done: one corner."),
                (1, "A single reading that allows more than one corner, as it can on a filter with a hump."),
                (
                    2,
                    "An option or a value is refused, or no corner explains the reading. One sentence on standard error says why.",
                ),
                NOT_KEPT,
            ],
            files: vec![NO_STORE],
            environment: shown(),
            examples: &[
                (
                    "What one reading means on a Butterworth filter of 24 dB/octave:",
                    "cornerset corner --family butterworth --slope 24 \\\n    \
                 --reference 8 27=5.31",
                ),
                (
                    "Three tones, each with its reference: where the corner is, and which filter it is:",
                    "cornerset corner 20=2.29/8.03 27=5.66/8.00 38=7.75/7.98",
                ),
            ],
            see_also: &["cornerset-targets", "cornerset-set"],
        },
        "cornerset-excursion" => Notes {
            description: &[
                "Lengths are in mm, peak, one way; power is what the amplifier would give into the load, from which its volts \
                 follow. `needed` is what the answer turns on: whether the cone passes Xmax with the filter out.",
            ],
            exits: vec![DONE, REFUSED, NOT_KEPT],
            files: vec![
                (
                    "/usr/share/doc/cornerset/examples/driver-and-box.toml",
                    "A driver file that explains every key, where the Debian package put it. In the sources it is \
                  `sample-sessions/driver-and-box.toml`.",
                ),
                NO_STORE,
            ],
            environment: shown(),
            examples: &[
                ("The analysis of a driver file:", "cornerset excursion driver-and-box.toml"),
                (
                    "With another drive, and as a page:",
                    "cornerset excursion driver-and-box.toml \\\n    \
                 --power 250 --load 4 -o cone.html",
                ),
            ],
            see_also: &["cornerset-tuning", "cornerset-targets"],
        },
        "cornerset-tuning" => Notes {
            description: &[
                "The frequency at which box and port resonate, with how well it is known. The volume is the net one: what driver, \
                 port and bracing take up is off it. Dimensions without a unit are litres and cm.",
                "By impedance the tuning is the minimum between the two peaks of a vented box. What the meter shows across the \
                 box's terminals is given as `HZ=VOLTS`, tone by tone.",
            ],
            exits: vec![DONE, REFUSED, NOT_KEPT, INTERRUPTED],
            files: vec![NO_STORE],
            environment: shown(),
            examples: &[
                ("From the box and its port:", "cornerset tuning --volume 52 --port-diameter 10.2 --port-length 24"),
                (
                    "Two equal slots, in inches, for a program:",
                    "cornerset tuning --volume '1.8 ft3' --slot '1.5 in x 11 in' \\\n    \
                 --ports 2 --port-length '20 in' --json",
                ),
                ("The program asks, at a terminal:", "cornerset tuning"),
            ],
            see_also: &["cornerset-excursion", "cornerset-set"],
        },
        "cornerset-tone" => Notes {
            description: &[
                "Frequencies are in hertz, lengths in seconds, the level in dB below full scale (dBFS). A file that has the name is \
                 replaced. The folder after `-o` with `--all` belongs to one plan: tones of another one in it are refused.",
                "What plays through a player that is installed is the same file.",
            ],
            exits: vec![
                DONE,
                (
                    2,
                    "An option or a value is refused, or there is no player. One sentence on standard error says which.",
                ),
                NOT_KEPT,
                INTERRUPTED,
            ],
            files: vec![STORE, OPEN, RECORDS],
            environment: [
                stored(),
                vec![
                    ("PATH", "Where pw-play(1), paplay(1), aplay(1) and afplay are looked for."),
                    ("TMPDIR", "Where a tone lies while `--play` plays it and `-o` is not given."),
                ],
            ]
            .concat(),
            examples: &[
                ("A tone of 27 Hz for one minute:", "cornerset tone --hz 27 -o 27-hz.wav"),
                (
                    "Every tone of a plan, ten seconds each, for a stick or a phone:",
                    "cornerset tone --tuning 36 --slope 24 --all --seconds 10 -o tones",
                ),
                (
                    "Back and forth between two tones, to check a slope:",
                    "cornerset tone --hz 27 54 --rounds 3 --seconds 10 -o slope.wav",
                ),
                ("The tone of a session:", "cornerset tone --for ID -o tone.wav"),
            ],
            see_also: &["cornerset-set", "cornerset-targets"],
        },
        _ => return None,
    })
}
