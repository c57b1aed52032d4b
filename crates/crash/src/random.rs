//! Random numbers that a seed repeats (SplitMix64, Steele, Lea and Flood 2014).

use crate::Outcome;

/// A seed from the operating system.
pub fn fresh_seed() -> Outcome<u64> {
    let mut bytes = [0; 8];
    getrandom::fill(&mut bytes)?;
    Ok(u64::from_le_bytes(bytes) >> 16)
}

/// The numbers of a seed.
pub struct Random(pub u64);

impl Random {
    /// The next number below `limit`, which is not 0.
    pub fn below(&mut self, limit: u64) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        (mixed ^ (mixed >> 31)) % limit
    }
}
