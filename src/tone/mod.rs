//! Test tones as samples: exact frequency, exact level, fades, dither; and the tones that a plan needs.
//!
//! - The phase of every sample is worked out from its own number, never summed up: see [`Passage`] for what is left of error.
//! - A level in dBFS is that of AES17 (from memory): 0 dBFS is the rms level of a sine whose positive peak just reaches
//!   positive full scale, the sample 2^(bits-1) - 1.
//! - Dither is triangular, within one step of the last bit, added before rounding: then the mean and the power of the
//!   rounding error do not depend on the tone (Lipshitz, Wannamaker and Vanderkooy, "Quantization and Dither: A Theoretical
//!   Survey", JAES 40, 1992; from memory). Its total error has a variance of a quarter of a step squared.

mod checks;
mod format;
mod names;
mod of_plan;
mod passage;
mod room;
mod samples;
mod sound;
mod sweep;
mod track;

pub use checks::checking_tones;
pub use format::{Channels, Depth, Format, Rate};
pub use names::{TRACK_LIST, file_name, is_own_name};
pub use of_plan::{ASSUMED_REFERENCE, PlanTone, Purpose, share_of_reference, tones_of};
pub use passage::Passage;
pub use room::check_room;
pub use samples::Samples;
pub use sound::Sound;
pub use sweep::stepped;
pub use track::{Track, tracks_of};
