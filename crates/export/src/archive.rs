//! A zip of finished files: the same files and the same time give the same bytes.

use std::collections::HashSet;
use std::io::{Cursor, Seek, Write};

use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, DateTime, ZipWriter};

use crate::{ExportError, time};

/// Longest name of a member, bytes: every system can unpack it.
const NAME_MAX: usize = 200;

/// Names that one widespread system keeps for devices, whatever the ending.
const DEVICES: [&str; 22] = [
    "con", "prn", "aux", "nul", "com1", "com2", "com3", "com4", "com5", "com6", "com7", "com8",
    "com9", "lpt1", "lpt2", "lpt3", "lpt4", "lpt5", "lpt6", "lpt7", "lpt8", "lpt9",
];

/// Writes the files as members of a zip and gives the writer back.
///
/// Members that are packed already (by their ending) are stored, the rest is deflated. Names are made safe
/// by [`safe_name`]; two that come out alike get a number, so that nothing is lost. Every member carries
/// `at_unix_s` as its time, in UTC (zip knows the years 1980 to 2107 and even seconds; others become the
/// nearest it can say).
///
/// # Errors
/// [`ExportError::Zip`] when the writer fails or a member is beyond what the format can hold.
pub fn zip_into<W: Write + Seek>(
    writer: W,
    files: impl IntoIterator<Item = (String, Vec<u8>)>,
    at_unix_s: f64,
) -> Result<W, ExportError> {
    let failed = |error: zip::result::ZipError| ExportError::Zip(error.to_string());
    let mut archive = ZipWriter::new(writer);
    let mut taken = HashSet::new();
    for (name, bytes) in files {
        let name = unlike(&safe_name(&name), &mut taken);
        let method = if is_packed(&name) {
            CompressionMethod::Stored
        } else {
            CompressionMethod::Deflated
        };
        let options = SimpleFileOptions::default()
            .compression_method(method)
            .last_modified_time(stamp(at_unix_s))
            .unix_permissions(0o644)
            .large_file(bytes.len() >= u32::MAX as usize);
        archive.start_file(name, options).map_err(failed)?;
        archive
            .write_all(&bytes)
            .map_err(|error| ExportError::Zip(error.to_string()))?;
    }
    archive.finish().map_err(failed)
}

/// As [`zip_into`], in memory.
///
/// # Errors
/// As [`zip_into`].
pub fn zip(
    files: impl IntoIterator<Item = (String, Vec<u8>)>,
    at_unix_s: f64,
) -> Result<Vec<u8>, ExportError> {
    zip_into(Cursor::new(Vec::new()), files, at_unix_s).map(Cursor::into_inner)
}

/// A path that can be unpacked anywhere: forward slashes, ASCII letters, digits, `.`, `-`, `_` and inner
/// spaces; no `..`, nothing absolute, no drive, no device, no leading or trailing dot or space. What cannot
/// stay becomes `_`; a name of which nothing is left becomes `file`.
///
/// ```
/// assert_eq!(export::safe_name("../../etc/passwd"), "etc/passwd");
/// assert_eq!(export::safe_name("lessons\\2026-05-08: stalls.pdf"), "lessons/2026-05-08_ stalls.pdf");
/// ```
#[must_use]
pub fn safe_name(name: &str) -> String {
    let parts: Vec<String> = name.split(['/', '\\']).filter_map(safe_part).collect();
    let mut path = parts.join("/");
    if path.len() > NAME_MAX {
        // All is ASCII now: the end, with the ending, tells more than the folders before it.
        path = path.split_off(path.len() - NAME_MAX);
        path = path.trim_start_matches(['/', '.', ' ']).to_owned();
    }
    if path.is_empty() {
        path.push_str("file");
    }
    path
}

fn safe_part(part: &str) -> Option<String> {
    let kept: String = part
        .chars()
        .map(|letter| match letter {
            'A'..='Z' | 'a'..='z' | '0'..='9' | '.' | '-' | '_' | ' ' => letter,
            _ => '_',
        })
        .collect();
    let mut kept = kept.trim_matches(['.', ' ']).to_owned();
    let stem = kept
        .split('.')
        .next()
        .unwrap_or_default()
        .to_ascii_lowercase();
    if DEVICES.contains(&stem.as_str()) {
        kept.insert(0, '_');
    }
    (!kept.is_empty()).then_some(kept)
}

/// The name, or with a number before its ending when it is taken (whatever its case: some systems do not
/// tell them apart).
fn unlike(name: &str, taken: &mut HashSet<String>) -> String {
    let folder = name.rfind('/').map_or(0, |slash| slash + 1);
    let dot = name
        .rfind('.')
        .filter(|dot| *dot > folder)
        .unwrap_or(name.len());
    let (stem, ending) = name.split_at(dot);
    let mut given = name.to_owned();
    let mut number = 2_u64;
    while !taken.insert(given.to_ascii_lowercase()) {
        given = format!("{stem}-{number}{ending}");
        number += 1;
    }
    given
}

/// Whether deflating again would only cost time.
fn is_packed(name: &str) -> bool {
    let ending = name
        .rsplit('.')
        .next()
        .unwrap_or_default()
        .to_ascii_lowercase();
    matches!(
        ending.as_str(),
        "gz" | "zip"
            | "pdf"
            | "png"
            | "jpg"
            | "jpeg"
            | "parquet"
            | "7z"
            | "xz"
            | "zst"
            | "bz2"
            | "kmz"
    )
}

/// The time as zip writes it; the nearest that it can say.
fn stamp(unix_s: f64) -> DateTime {
    let civil = time::civil(unix_s.floor()).and_then(|(year, month, day, of_day)| {
        let second = of_day / 1_000;
        let small = |value: i64| u8::try_from(value).ok();
        DateTime::from_date_and_time(
            u16::try_from(year.clamp(1980, 2107)).ok()?,
            small(month)?,
            small(day)?,
            small(second / 3_600)?,
            small(second / 60 % 60)?,
            small(second % 60)?,
        )
        .ok()
    });
    civil.unwrap_or_default()
}
