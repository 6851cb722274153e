//! The tones at which a filter is checked once it stands right.

use crate::corner::{Evidence, Fit, Pair, Reading, SharedReference, playable};
use crate::filter::Alignment;
use crate::plan::Inputs;
use crate::quantity::{Hertz, ranges};

/// As many as a session asks for, at least and at most.
const LEAST: usize = 2;
const MOST: usize = 3;
/// Where every other filter is told apart already, a tone this far below the corner, as a share of it, confirms.
const BELOW: f64 = 0.7;
/// And after one below it, one this far above.
const ABOVE: f64 = 1.4;

/// The tones that the sweep of a session names, one after the other, where the filter is what its label says and stands right.
///
/// Each reading is worked out as that filter leaves it and held against every other filter, as in a session; so a session
/// whose readings come out as they should names exactly these.
pub fn checking_tones(inputs: &Inputs) -> Vec<Hertz> {
    let (alignment, corner) = (inputs.alignment, inputs.corner.corner());
    let reference = inputs.reference;
    let open = reference.true_volts(alignment, inputs.tone);
    let read = |tone: Hertz| Reading::steady(open.times(alignment.response(tone, corner).ratio()));
    // With a mark the knob would have to move for a reference of its own.
    let own = reference.mark.is_none().then_some(Reading::steady(open));
    let shared = Some(SharedReference { reading: reference.reading, tone: inputs.tone });
    let (mark, meter) = (reference.mark, inputs.meter);
    let besides = Some(alignment).filter(|alignment| alignment.q().is_some());
    let mut pairs = vec![Pair { tone: inputs.tone, reading: read(inputs.tone), reference: None }];
    let mut tones: Vec<Hertz> = vec![];
    while tones.len() < MOST {
        if tones.len() >= LEAST {
            let fit = Fit::of(&pairs, shared, mark, meter, Alignment::candidates().chain(besides));
            if fit.map_or(true, |fit| fit.open().count() < 2) {
                break;
            }
        }
        let evidence = Evidence { pairs: &pairs, shared, mark, meter };
        let telling = evidence.telling_tone((alignment, corner), Alignment::candidates());
        let tone = match telling.filter(|telling| !telling.tells.is_empty()) {
            Some(telling) => telling.tone,
            None if tones.len() >= LEAST => break,
            None => {
                let beside = if tones.iter().any(|tone| *tone < inputs.tone) { ABOVE } else { BELOW };
                playable(Hertz::new((corner.hz() * beside).clamp(ranges::TONE.low, ranges::TONE.high)))
            }
        };
        pairs.push(Pair { tone, reading: read(tone), reference: own });
        tones.push(tone);
    }
    tones
}
