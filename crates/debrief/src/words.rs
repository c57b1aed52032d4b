//! Numbers, times and names in words. Rounding follows the uncertainty: no digit that σ does not carry.

use maneuver::{Direction, Kind, Maneuver};

/// Decimals, or a coarser step, that a 1-σ leaves meaningful.
fn step(sigma: f64) -> f64 {
    match sigma {
        s if !s.is_finite() => 1.0,
        s if s < 0.03 => 0.01,
        s if s < 0.4 => 0.1,
        s if s < 6.0 => 1.0,
        s if s < 15.0 => 5.0,
        s if s < 60.0 => 10.0,
        _ => 50.0,
    }
}

/// A number rounded as its σ allows, with thousands separated: `3,480`, `1.4`.
pub(crate) fn number(value: f64, sigma: f64) -> String {
    let step = step(sigma);
    let rounded = (value / step).round() * step;
    let digits = if step < 0.05 {
        2
    } else {
        usize::from(step < 0.5)
    };
    let text = format!("{:.digits$}", rounded.abs());
    let (whole, fraction) = text.split_once('.').unwrap_or((&text, ""));
    let mut grouped = String::new();
    for (index, digit) in whole.chars().enumerate() {
        if index > 0 && (whole.len() - index).is_multiple_of(3) {
            grouped.push(',');
        }
        grouped.push(digit);
    }
    let zero = rounded == 0.0;
    let sign = if rounded < 0.0 && !zero { "−" } else { "" };
    let point = if fraction.is_empty() {
        String::new()
    } else {
        format!(".{fraction}")
    };
    format!("{sign}{grouped}{point}")
}

/// A number with its unit: `26°`, `213 ft`, `1.4 s`.
pub(crate) fn with_unit(value: f64, sigma: f64, unit: &str) -> String {
    let sigma = match unit {
        // Nobody reads hundredths of a foot, a knot or a degree.
        "ft" | "kt" | "deg" | "%" => sigma.max(0.5),
        "deg/s" | "s" => sigma.max(0.1),
        _ => sigma,
    };
    format!("{}{}", number(value, sigma), suffix(unit))
}

/// A number with its unit and 1-σ, both to the same place: `26 ± 2°`, `1.0 ± 0.8 s`.
pub(crate) fn with_sigma(value: f64, sigma: f64, unit: &str) -> String {
    if !sigma.is_finite() || sigma <= 0.0 {
        return with_unit(value, f64::NAN, unit);
    }
    let whole = matches!(unit, "ft" | "kt" | "deg" | "%");
    let place = match sigma {
        s if s >= 0.95 || whole => sigma.max(0.5),
        s if s >= 0.095 => 0.1,
        _ => 0.01,
    };
    let own = number(sigma.max(if whole { 1.0 } else { 0.0 }), place.min(5.9));
    format!("{} ± {own}{}", number(value, place), suffix(unit))
}

/// A limit or another number that is exact: no more decimals than it has.
pub(crate) fn exact(value: f64, unit: &str) -> String {
    let decimals = if value.fract() == 0.0 { 1.0 } else { 0.01 };
    let text = number(value, decimals);
    let text = if text.contains('.') {
        text.trim_end_matches('0')
    } else {
        &text
    };
    format!("{text}{}", suffix(unit))
}

/// A unit as it follows a number.
pub(crate) fn suffix(unit: &str) -> String {
    match unit {
        "" | "1" | "steps" => String::new(),
        "deg" => "°".to_owned(),
        "deg/s" => "°/s".to_owned(),
        "%" => " percent".to_owned(),
        other => format!(" {other}"),
    }
}

/// Title for people: `Power-off stall, straight ahead`.
pub(crate) fn title(maneuver: &Maneuver) -> String {
    let name = maneuver.kind.title();
    let stall = matches!(
        maneuver.kind,
        Kind::PowerOffStall | Kind::PowerOnStall | Kind::AcceleratedStall
    );
    match (stall, maneuver.direction) {
        (true, Direction::Straight | Direction::None) => format!("{name}, straight ahead"),
        (true, Direction::Left) => format!("{name}, turning left"),
        (true, Direction::Right) => format!("{name}, turning right"),
        (false, Direction::Left) => format!("{name} to the left"),
        (false, Direction::Right) => format!("{name} to the right"),
        (_, Direction::LeftRight) => format!("{name}, left then right"),
        (_, Direction::RightLeft) => format!("{name}, right then left"),
        (false, Direction::Straight | Direction::None) => name.to_owned(),
    }
}

/// How sure, in a word: until calibrated on real flights a percentage would promise too much.
pub(crate) fn confidence(value: f64) -> &'static str {
    match value {
        c if c >= 0.95 => "certain",
        c if c >= 0.75 => "likely",
        _ => "possible",
    }
}

/// `left` or `right` of a signed angle.
pub(crate) fn side(value: f64) -> &'static str {
    if value < 0.0 { "left" } else { "right" }
}

/// A sentence with a capital and a full stop.
pub(crate) fn sentence(text: &str) -> String {
    let text = text.trim();
    let mut characters = text.chars();
    let Some(first) = characters.next() else {
        return String::new();
    };
    let end = if text.ends_with(['.', '?', '!']) {
        ""
    } else {
        "."
    };
    format!("{}{}{end}", first.to_uppercase(), characters.as_str())
}

/// UTC as ISO 8601, to the second. Civil date from days after Howard Hinnant, "chrono-Compatible
/// Low-Level Date Algorithms" (2013), `civil_from_days`.
pub(crate) fn iso_utc(unix_s: f64) -> Option<String> {
    if !unix_s.is_finite() || unix_s.abs() > 4e11 {
        return None;
    }
    let seconds = unix_s.round() as i64;
    let (days, of_day) = (seconds.div_euclid(86_400), seconds.rem_euclid(86_400));
    let shifted = days + 719_468;
    let era = shifted.div_euclid(146_097);
    let day_of_era = shifted.rem_euclid(146_097);
    let year_of_era =
        (day_of_era - day_of_era / 1_460 + day_of_era / 36_524 - day_of_era / 146_096) / 365;
    let day_of_year = day_of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
    let month_index = (5 * day_of_year + 2) / 153;
    let day = day_of_year - (153 * month_index + 2) / 5 + 1;
    let month = if month_index < 10 {
        month_index + 3
    } else {
        month_index - 9
    };
    let year = year_of_era + era * 400 + i64::from(month <= 2);
    let (hour, minute, second) = (of_day / 3_600, of_day / 60 % 60, of_day % 60);
    Some(format!(
        "{year:04}-{month:02}-{day:02}T{hour:02}:{minute:02}:{second:02}Z"
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// POSIX: 1,000,000,000 s is 2001-09-09T01:46:40Z (a well-known instant, from memory).
    #[test]
    fn val_iso_utc() {
        assert_eq!(iso_utc(1e9).as_deref(), Some("2001-09-09T01:46:40Z"));
        assert_eq!(iso_utc(0.0).as_deref(), Some("1970-01-01T00:00:00Z"));
        assert_eq!(
            iso_utc(951_782_400.0).as_deref(),
            Some("2000-02-29T00:00:00Z")
        );
        assert_eq!(iso_utc(f64::NAN), None);
    }

    #[test]
    fn regress_rounding_follows_sigma() {
        assert_eq!(with_unit(26.4, 2.0, "deg"), "26°");
        assert_eq!(with_unit(1.43, 0.2, "s"), "1.4 s");
        assert_eq!(with_unit(3478.0, 12.0, "ft"), "3,480 ft");
        assert_eq!(with_unit(-0.2, 2.0, "deg"), "0°");
        assert_eq!(with_sigma(212.9, 8.0, "ft"), "215 ± 8 ft");
        assert_eq!(with_sigma(26.4, 2.2, "deg"), "26 ± 2°");
        assert_eq!(with_sigma(1.03, 0.8, "s"), "1.0 ± 0.8 s");
        assert_eq!(with_sigma(0.061, 0.008, "g"), "0.06 ± 0.01 g");
        assert_eq!(exact(5.0, "deg/s"), "5°/s");
        assert_eq!(exact(0.05, "g"), "0.05 g");
        assert_eq!(exact(1500.0, "ft"), "1,500 ft");
    }
}
