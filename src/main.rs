//! scaffold
fn main() {}
