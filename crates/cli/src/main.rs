//! The `proofwing` command.
fn main() {}
