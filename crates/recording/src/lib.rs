//! From bytes to a [`Recording`]: channels in SI on the recorder's own clock, and an account of
//! everything that was odd. No file is opened here; the caller hands over the bytes.

mod channel;
pub use channel::*;
