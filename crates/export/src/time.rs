//! Instants as text: RFC 3339, UTC, to the millisecond.

/// Greatest second that is taken for an instant: the year 9999, the last that RFC 3339 can write.
const LAST_UNIX_S: f64 = 253_402_300_799.0;

/// Year, month, day and milliseconds of the day; `None` when the number is no instant from the years 0 to
/// 9999. Civil date from days after Howard Hinnant, "chrono-Compatible Low-Level Date Algorithms" (2013),
/// `civil_from_days`.
pub(crate) fn civil(unix_s: f64) -> Option<(i64, i64, i64, i64)> {
    if !(-62_167_219_200.0..=LAST_UNIX_S).contains(&unix_s) {
        return None;
    }
    let milliseconds = (unix_s * 1_000.0).round() as i64;
    let (days, of_day) = (
        milliseconds.div_euclid(86_400_000),
        milliseconds.rem_euclid(86_400_000),
    );
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
    Some((year, month, day, of_day))
}

/// `2025-05-08T20:17:24.300Z`; without a fraction on whole seconds.
pub(crate) fn utc(unix_s: f64) -> Option<String> {
    let (year, month, day, of_day) = civil(unix_s)?;
    let (second, milli) = (of_day / 1_000, of_day % 1_000);
    let (hour, minute, second) = (second / 3_600, second / 60 % 60, second % 60);
    let fraction = if milli == 0 {
        String::new()
    } else {
        format!(".{milli:03}")
    };
    Some(format!(
        "{year:04}-{month:02}-{day:02}T{hour:02}:{minute:02}:{second:02}{fraction}Z"
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// POSIX: 1,000,000,000 s is 2001-09-09T01:46:40Z (a well-known instant, from memory); RFC 3339
    /// section 5.8 has 1985-04-12T23:20:50.52Z, which is 482,196,050.52 s.
    #[test]
    fn val_utc() {
        assert_eq!(utc(1e9).as_deref(), Some("2001-09-09T01:46:40Z"));
        assert_eq!(
            utc(482_196_050.52).as_deref(),
            Some("1985-04-12T23:20:50.520Z")
        );
        assert_eq!(
            utc(951_782_399.999_6).as_deref(),
            Some("2000-02-29T00:00:00Z")
        );
        assert_eq!(utc(f64::NAN), None);
        assert_eq!(utc(1e300), None);
    }
}
