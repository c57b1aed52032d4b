//! The built-in demo: one lesson of stalls in an invented trainer, flown by the flight model (`docs/flight-model.md`).

use std::io::Read as _;

/// The recording as the recorder wrote it, gzipped.
pub const RECORDING: &[u8] = include_bytes!("../../../data/demo/lesson.csv.gz");
/// Its name in messages and on the pages.
pub const RECORDING_NAME: &str = "demo lesson.csv.gz";
/// The aircraft file.
pub const AIRCRAFT: &str = include_str!("../../../data/aircraft/demo.toml");
/// What was briefed.
pub const BRIEFED: &str = include_str!("../../../data/demo/briefed.toml");
/// Terrain below the demo's practice area, ft.
pub const TERRAIN_FT: f64 = 900.0;

/// The recording's text.
///
/// # Errors
/// When the embedded file is damaged, which would be our own mistake.
pub fn recording_text() -> Result<String, String> {
    let mut text = String::new();
    flate2::read::GzDecoder::new(RECORDING)
        .read_to_string(&mut text)
        .map_err(|error| format!("the demo recording is damaged: {error}"))?;
    Ok(text)
}
