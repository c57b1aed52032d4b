//! From bytes to text files: gzip, zip, byte order marks and UTF-16, known by their first bytes.

use std::borrow::Cow;
use std::io::Read;

use crate::error::{Cause, ReadError};
use crate::options::ReadOptions;
use crate::report::Notes;

/// One text inside the bytes that were handed over.
pub struct Member<'a> {
    /// Name for messages.
    pub name: String,
    /// `plain`, `gzip`, `zip (member NAME)`.
    pub container: String,
    /// UTF-8 (or bytes that nearly are).
    pub bytes: Cow<'a, [u8]>,
    /// What it was written in.
    pub encoding: &'static str,
    /// What was odd about the container.
    pub notes: Notes,
}

/// Unpacks as many times as it takes (a zip of gzips), at most this deep.
const DEPTH_MAX: u32 = 3;

/// Every text in the bytes.
///
/// # Errors
/// Archives that are damaged from the start or too large.
pub fn open<'a>(
    name: &str,
    bytes: &'a [u8],
    options: &ReadOptions,
) -> Result<Vec<Member<'a>>, ReadError> {
    let budget = options.unpacked_bytes_max.min(
        (bytes.len() as u64)
            .saturating_mul(options.ratio_max)
            .max(16 << 20),
    );
    let mut out = Vec::new();
    unpack(
        name,
        Cow::Borrowed(bytes),
        "plain".to_owned(),
        budget,
        options,
        0,
        &mut out,
    )?;
    Ok(out)
}

fn unpack<'a>(
    name: &str,
    bytes: Cow<'a, [u8]>,
    container: String,
    budget: u64,
    options: &ReadOptions,
    depth: u32,
    out: &mut Vec<Member<'a>>,
) -> Result<(), ReadError> {
    let fail = |cause| ReadError {
        file: name.to_owned(),
        line: 0,
        column: 0,
        cause,
    };
    if depth <= DEPTH_MAX && bytes.starts_with(&[0x1f, 0x8b]) {
        let (text, broken) = gunzip(&bytes, budget, options).map_err(fail)?;
        let before = out.len();
        unpack(
            name,
            Cow::Owned(text),
            "gzip".to_owned(),
            budget,
            options,
            depth + 1,
            out,
        )?;
        if let (Some(what), Some(member)) = (broken, out.get_mut(before)) {
            member.notes.add(
                0,
                0,
                what,
                "read as far as it unpacks; copy the file again to get the rest",
            );
        }
        return Ok(());
    }
    if depth <= DEPTH_MAX && bytes.starts_with(b"PK\x03\x04") {
        return unzip(name, &bytes, budget, options, depth, out);
    }
    let (bytes, encoding) = to_utf8(bytes);
    out.push(Member {
        name: name.to_owned(),
        container,
        bytes,
        encoding,
        notes: Notes::default(),
    });
    Ok(())
}

fn too_large(options: &ReadOptions) -> Cause {
    Cause::TooLarge {
        limit_mib: options.unpacked_bytes_max >> 20,
        ratio: options.ratio_max,
    }
}

/// Unpacks a gzip stream of one or several members; a stream that breaks off gives what came before.
fn gunzip(
    bytes: &[u8],
    budget: u64,
    options: &ReadOptions,
) -> Result<(Vec<u8>, Option<String>), Cause> {
    let guess = bytes.len().saturating_mul(4).min(1 << 28);
    let mut text = Vec::with_capacity(guess);
    let mut stream = flate2::bufread::MultiGzDecoder::new(bytes).take(budget.saturating_add(1));
    let outcome = stream.read_to_end(&mut text);
    if text.len() as u64 > budget {
        return Err(too_large(options));
    }
    match outcome {
        Ok(_) => Ok((text, None)),
        Err(error) if text.is_empty() => Err(Cause::Archive(error.to_string())),
        Err(error) => Ok((text, Some(format!("the gzip stream breaks off ({error})")))),
    }
}

fn unzip<'a>(
    name: &str,
    bytes: &[u8],
    budget: u64,
    options: &ReadOptions,
    depth: u32,
    out: &mut Vec<Member<'a>>,
) -> Result<(), ReadError> {
    let fail = |cause| ReadError {
        file: name.to_owned(),
        line: 0,
        column: 0,
        cause,
    };
    let mut archive = zip::ZipArchive::new(std::io::Cursor::new(bytes))
        .map_err(|error| fail(Cause::Archive(error.to_string())))?;
    let mut left = budget;
    let mut broken = Vec::new();
    for index in 0..archive.len().min(1000) {
        let mut file = match archive.by_index(index) {
            Ok(file) => file,
            Err(error) => {
                broken.push(format!("member {} of the zip: {error}", index + 1));
                continue;
            }
        };
        let member = file.name().map_or_else(
            |_| format!("member {}", index + 1),
            |name| name.into_owned(),
        );
        if file.is_dir() || is_clutter(&member) {
            continue;
        }
        let mut text = Vec::new();
        let outcome = file
            .by_ref()
            .take(left.saturating_add(1))
            .read_to_end(&mut text);
        if text.len() as u64 > left {
            return Err(fail(too_large(options)));
        }
        left -= text.len() as u64;
        if let Err(error) = outcome {
            broken.push(format!("{member} in the zip breaks off ({error})"));
        }
        if text.is_empty() {
            continue;
        }
        let full = format!("{name}:{member}");
        let how = format!("zip (member {member})");
        unpack(&full, Cow::Owned(text), how, left, options, depth + 1, out)?;
    }
    if let Some(first) = out.first_mut() {
        for what in broken {
            first.notes.add(
                0,
                0,
                what,
                "read as far as it unpacks; copy the file again to get the rest",
            );
        }
    } else if let Some(what) = broken.into_iter().next() {
        return Err(fail(Cause::Archive(what)));
    }
    Ok(())
}

/// Files that an archiver adds by itself.
fn is_clutter(member: &str) -> bool {
    member.starts_with("__MACOSX/")
        || member
            .rsplit('/')
            .next()
            .is_some_and(|file| file.starts_with('.'))
}

/// How UTF-16 is to be read: byte order, its name, bytes of the mark.
type Utf16 = (fn([u8; 2]) -> u16, &'static str, usize);

/// Takes a byte order mark off and turns UTF-16 into UTF-8.
fn to_utf8(bytes: Cow<'_, [u8]>) -> (Cow<'_, [u8]>, &'static str) {
    if bytes.starts_with(&[0xef, 0xbb, 0xbf]) {
        let rest = match bytes {
            Cow::Borrowed(all) => Cow::Borrowed(all.get(3..).unwrap_or_default()),
            Cow::Owned(all) => Cow::Owned(all.get(3..).unwrap_or_default().to_vec()),
        };
        return (rest, "UTF-8 with mark");
    }
    let order: Option<Utf16> = match bytes.get(..2) {
        Some([0xff, 0xfe]) => Some((u16::from_le_bytes, "UTF-16 little-endian", 2)),
        Some([0xfe, 0xff]) => Some((u16::from_be_bytes, "UTF-16 big-endian", 2)),
        _ => without_mark(&bytes),
    };
    let Some((decode, encoding, skip)) = order else {
        return (bytes, "UTF-8");
    };
    let units = bytes
        .get(skip..)
        .unwrap_or_default()
        .chunks_exact(2)
        .map(|pair| {
            decode([
                pair.first().copied().unwrap_or(0),
                pair.get(1).copied().unwrap_or(0),
            ])
        });
    let mut text = String::with_capacity(bytes.len() / 2);
    text.extend(char::decode_utf16(units).map(|letter| letter.unwrap_or('\u{fffd}')));
    (Cow::Owned(text.into_bytes()), encoding)
}

/// UTF-16 without a mark: in text of digits every other byte is zero from the start.
fn without_mark(bytes: &[u8]) -> Option<Utf16> {
    let head = bytes.get(..bytes.len().min(256))?;
    if head.len() < 16 {
        return None;
    }
    let zeros = |parity: usize| {
        head.iter()
            .skip(parity)
            .step_by(2)
            .filter(|&&byte| byte == 0)
            .count()
    };
    let half = head.len() / 2;
    if zeros(1) > half * 9 / 10 && zeros(0) == 0 {
        Some((u16::from_le_bytes, "UTF-16 little-endian", 0))
    } else if zeros(0) > half * 9 / 10 && zeros(1) == 0 {
        Some((u16::from_be_bytes, "UTF-16 big-endian", 0))
    } else {
        None
    }
}
