//! What a person may write into a field.

use crate::error::{Result, SchoolError};

/// A line of text for people: trimmed, not empty, at most `longest` characters, no control characters.
pub(crate) fn line(field: &str, what: &str, text: &str, longest: usize) -> Result<String> {
    let text = text.trim();
    if text.is_empty() {
        return Err(SchoolError::invalid(
            field,
            format!("{what} is missing."),
            "Write it in.",
        ));
    }
    if text.chars().count() > longest {
        return Err(SchoolError::invalid(
            field,
            format!("{what} is longer than {longest} characters."),
            "Write it shorter.",
        ));
    }
    if text.chars().any(char::is_control) {
        return Err(SchoolError::invalid(
            field,
            format!("{what} holds a line break or another control character."),
            "Write it in one line.",
        ));
    }
    Ok(text.to_owned())
}

/// A login: lower case; letters a to z, digits and `. _ - @ +`, 2 to 64 characters. Letters that look alike in other
/// alphabets would let one person pass for another.
pub(crate) fn login(text: &str) -> Result<String> {
    let text = line("login", "The login", text, 64)?.to_lowercase();
    let allowed = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || "._-@+".contains(c);
    if text.len() < 2 || !text.chars().all(allowed) {
        return Err(SchoolError::invalid(
            "login",
            format!("`{text}` cannot be a login."),
            "Take 2 to 64 of the letters a to z, digits and . _ - @ +, for instance an e-mail address.",
        ));
    }
    Ok(text)
}

/// What a browser tells of itself, as far as it is fit to be kept.
pub(crate) fn device(text: &str) -> String {
    text.chars()
        .filter(|c| !c.is_control())
        .take(200)
        .collect::<String>()
        .trim()
        .to_owned()
}

/// Elevation below the practice area, ft above sea level: from the Dead Sea shore to the highest summit, rounded
/// outward.
pub(crate) fn terrain_ft(value: f64) -> Result<f64> {
    if (-1500.0..=30_000.0).contains(&value) {
        return Ok(value);
    }
    Err(SchoolError::invalid(
        "terrain_ft",
        format!("{value} ft is no elevation."),
        "Write the elevation of the ground in feet above sea level.",
    ))
}
