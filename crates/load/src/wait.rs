//! Waiting times that differ between clients and are the same in every run.

use std::thread;
use std::time::{Duration, Instant};

/// A small generator of waiting times.
pub struct Wait(u64);

impl Wait {
    /// One for a client.
    pub fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1)
    }

    /// Sleeps between two times, ms, but never past the end.
    pub fn between(&mut self, least_ms: u64, most_ms: u64, end: Instant) {
        // xorshift64 (Marsaglia, 2003): even enough to keep clients apart.
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        let wait = Duration::from_millis(least_ms + self.0 % (most_ms - least_ms).max(1));
        thread::sleep(wait.min(end.saturating_duration_since(Instant::now())));
    }
}
