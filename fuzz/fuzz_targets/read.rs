//! Any bytes at all: the reader answers with recordings or with an error, and never panics.
#![no_main]

use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    let options = recording::ReadOptions { unpacked_bytes_max: 1 << 20, ..Default::default() };
    if let Ok(read) = recording::read("fuzz", bytes, &options) {
        check(&read);
    }
});

/// What holds for every recording that is read.
fn check(read: &recording::Read) {
    assert!(!read.recordings.is_empty());
    for recording in &read.recordings {
        assert!(recording.time_s.windows(2).all(|pair| pair[0] < pair[1]), "time does not rise");
        assert!(recording.time_s.iter().all(|second| second.is_finite()));
        for channel in &recording.channels {
            assert_eq!(channel.values.len(), recording.time_s.len());
            assert!(channel.values.iter().all(|value| !value.is_infinite()));
            assert!((0.0..=1.0).contains(&channel.confidence));
        }
    }
}
