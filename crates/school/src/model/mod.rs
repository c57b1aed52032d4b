//! What the school keeps, as values: the shapes that the store returns and that the pages read.
//!
//! Ids are UUIDv7 in text; times are RFC 3339 UTC text; seconds `_s` count from the recording's first
//! sample; numbers are in the units of their names.

mod aircraft;
mod audit;
mod entry;
mod lesson;
mod people;
mod picture;
mod recording;
mod standard;
mod word;

pub use aircraft::*;
pub use audit::*;
pub use entry::*;
pub use lesson::*;
pub use people::*;
pub use picture::*;
pub use recording::*;
pub use standard::*;
pub use word::*;
