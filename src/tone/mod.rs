//! Test tones as samples: exact frequency, exact level, fades, dither.
