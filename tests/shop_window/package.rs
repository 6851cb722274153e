//! What a package holds.
