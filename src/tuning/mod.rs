//! Fifth floor: a box's tuning, from its dimensions or from what a meter reads across its terminals.

mod budget;
mod curve;
mod dialogue;
mod guide;
mod hookup;
mod impedance;
mod minimum;
mod port;

pub use budget::{Budget, Part};
pub use dialogue::{Dialogue, Found, Step, Taken, UNDERSTOOD};
pub use guide::{MOST_TONES, Next, Progress, Why, next, progress};
pub use hookup::{Hookup, ToneReading};
pub use impedance::{ImpedanceTuning, NoTuning, check_below_source, display_step};
pub use port::{FLANGED_END, FREE_END, Opening, PortTuning, VentedBox};
