//! Dates to days and back.
//!
//! Proleptic Gregorian calendar, days since 1970-01-01. Source of the method: Edward G. Richards,
//! "Calendars", in *Explanatory Supplement to the Astronomical Almanac*, 3rd ed. (2013), ch. 15.

/// Days since 1970-01-01 of a civil date; `None` when the date does not exist.
pub fn days_from_civil(year: i32, month: i32, day: i32) -> Option<i64> {
    if !(1..=12).contains(&month) || day < 1 || day > days_in_month(year, month) {
        return None;
    }
    let (y, m) = (i64::from(year), i64::from(month));
    let a = (14 - m) / 12;
    let y = y + 4800 - a;
    let m = m + 12 * a - 3;
    let julian_day =
        i64::from(day) + (153 * m + 2) / 5 + 365 * y + y / 4 - y / 100 + y / 400 - 32_045;
    Some(julian_day - 2_440_588)
}

/// Year, month, day of a day number.
pub fn civil_from_days(days: i64) -> (i64, i64, i64) {
    let f = days + 2_440_588 + 1401 + (((4 * (days + 2_440_588) + 274_277) / 146_097) * 3) / 4 - 38;
    let e = 4 * f + 3;
    let g = (e % 1461) / 4;
    let h = 5 * g + 2;
    let day = (h % 153) / 5 + 1;
    let month = (h / 153 + 2) % 12 + 1;
    let year = e / 1461 - 4716 + (14 - month) / 12;
    (year, month, day)
}

fn days_in_month(year: i32, month: i32) -> i32 {
    match month {
        4 | 6 | 9 | 11 => 30,
        2 if year % 4 == 0 && (year % 100 != 0 || year % 400 == 0) => 29,
        2 => 28,
        _ => 31,
    }
}

/// ISO 8601 in UTC, to the millisecond.
pub fn iso_utc(unix_s: f64) -> String {
    if !unix_s.is_finite() || unix_s.abs() > 1e11 {
        return String::new();
    }
    #[allow(clippy::cast_possible_truncation)]
    let ms = (unix_s * 1000.0).round() as i64;
    let (days, ms) = (ms.div_euclid(86_400_000), ms.rem_euclid(86_400_000));
    let (year, month, day) = civil_from_days(days);
    let (hour, minute, second, ms) = (ms / 3_600_000, ms / 60_000 % 60, ms / 1000 % 60, ms % 1000);
    let fraction = if ms == 0 {
        String::new()
    } else {
        format!(".{ms:03}")
    };
    format!("{year:04}-{month:02}-{day:02}T{hour:02}:{minute:02}:{second:02}{fraction}Z")
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Unix time 1,000,000,000 was 2001-09-09T01:46:40Z, 1,234,567,890 was 2009-02-13T23:31:30Z, and
    /// 2000 was a leap year (POSIX.1-2017, "Seconds Since the Epoch"; common practice).
    #[test]
    fn val_known_instants() {
        assert_eq!(iso_utc(1_000_000_000.0), "2001-09-09T01:46:40Z");
        assert_eq!(iso_utc(1_234_567_890.5), "2009-02-13T23:31:30.500Z");
        assert_eq!(days_from_civil(2000, 2, 29), Some(11_016));
        assert_eq!(days_from_civil(2100, 2, 29), None);
    }

    #[test]
    fn prop_days_come_back() {
        for days in (-30_000..60_000).step_by(17) {
            let (year, month, day) = civil_from_days(days);
            let narrow = |value: i64| i32::try_from(value).unwrap();
            assert_eq!(
                days_from_civil(narrow(year), narrow(month), narrow(day)),
                Some(days)
            );
        }
    }
}
