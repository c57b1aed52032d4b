//! Compares debriefs with flights whose truth is known.
fn main() {}
