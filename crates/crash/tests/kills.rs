//! A short run of the program in the ordinary tests; the whole one is `cargo run -p crash`.

use std::process::Command;

#[test]
fn prop_what_was_acknowledged_survives_being_killed() {
    let output = Command::new(env!("CARGO_BIN_EXE_crash"))
        .arg("30")
        .output()
        .unwrap();
    let words = String::from_utf8_lossy(&output.stdout);
    assert!(
        output.status.success(),
        "{words}{}",
        String::from_utf8_lossy(&output.stderr)
    );
    assert!(words.contains("none lost"), "{words}");
    // A run in which nothing was acknowledged would prove nothing.
    let acknowledged: u64 = words
        .split(" acts acknowledged")
        .next()
        .and_then(|before| before.rsplit(' ').next())
        .and_then(|number| number.parse().ok())
        .unwrap();
    assert!(acknowledged > 100, "{words}");
}
