//! The simulated bench as a person sees it.

use super::line::{Line, Screen};
use crate::practice::Bench;
use crate::quantity::Hertz;

/// The bench as it stands: the job, the amplifier's panel, the meter with its display, the source; and what can be typed.
pub fn bench_panel(_bench: &Bench, _screen: Screen) -> Vec<Line> {
    unimplemented!()
}

/// What a move led to: where the knob, the tone and the switch stand, and the meter's display, in two or three lines.
pub fn bench_moved(_bench: &Bench, _screen: Screen) -> Vec<Line> {
    unimplemented!()
}

/// How it really stood, told when the session has ended: the filter, the corner, its error, the turns, and where the plain
/// rule would have left the knob and why.
pub fn bench_truth(_bench: &Bench, _wanted: Hertz, _screen: Screen) -> Vec<Line> {
    unimplemented!()
}
