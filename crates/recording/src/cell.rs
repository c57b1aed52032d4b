//! One cell of a table: a number, a date, a time of day, or text.

use crate::vocabulary::VOCABULARY;

/// What a cell says.
#[derive(Clone, Debug, PartialEq)]
pub enum Cell {
    /// Nothing, or a word for nothing (`null`, `NaN`, `---`).
    Blank,
    /// A number.
    Number(f64),
    /// Date and time of day.
    DateTime(Date, f64, Option<i32>),
    /// Date alone.
    Date(Date),
    /// Time of day, s since midnight, and the offset from UTC in s when it is written with it.
    Clock(f64, Option<i32>),
    /// Offset from UTC, s.
    Offset(i32),
    /// N, E: +1; S, W: −1; in a cell of its own.
    Hemisphere(f64),
    /// Anything else.
    Text,
}

/// Three numbers of a date in the order in which they are written; which is the day shows only over
/// the whole file (see `clock`). A month that is written as a word is put first as 1000 + month.
pub type Date = [i32; 3];

/// 10^0 … 10^22, all exact in an f64.
const POWERS: [f64; 23] = [
    1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16,
    1e17, 1e18, 1e19, 1e20, 1e21, 1e22,
];

/// Reads a plain decimal number at `at` and says where it ends. `None`: not plain, take the slow way.
///
/// A mantissa below 2⁵³ and a power of ten up to 10²² are both exact, so that their quotient is the
/// correctly rounded value (Clinger, "How to read floating point numbers accurately", 1990).
#[inline]
pub fn scan_number(bytes: &[u8], mut at: usize, decimal: u8) -> Option<(f64, usize)> {
    let mut negative = false;
    match bytes.get(at) {
        Some(b'-') => {
            negative = true;
            at += 1;
        }
        Some(b'+') => at += 1,
        _ => {}
    }
    let start = at;
    let mut mantissa = 0_u64;
    while let Some(digit) = bytes.get(at).map(|byte| byte.wrapping_sub(b'0'))
        && digit < 10
    {
        mantissa = mantissa.wrapping_mul(10).wrapping_add(u64::from(digit));
        at += 1;
    }
    let mut digits = at - start;
    let mut places = 0;
    if bytes.get(at) == Some(&decimal) {
        at += 1;
        let start = at;
        while let Some(digit) = bytes.get(at).map(|byte| byte.wrapping_sub(b'0'))
            && digit < 10
        {
            mantissa = mantissa.wrapping_mul(10).wrapping_add(u64::from(digit));
            at += 1;
        }
        places = at - start;
        digits += places;
    }
    if digits == 0 || digits > 15 {
        return None;
    }
    let power = POWERS.get(places)?;
    #[allow(clippy::cast_precision_loss)]
    let value = mantissa as f64 / power;
    Some((if negative { -value } else { value }, at))
}

/// What a cell says, the slow way. Outer blanks do not matter.
pub fn classify(cell: &[u8], decimal: u8) -> Cell {
    let cell = trim(cell);
    if cell.is_empty() {
        return Cell::Blank;
    }
    if let Some((value, end)) = scan_number(cell, 0, decimal)
        && end == cell.len()
    {
        return Cell::Number(value);
    }
    let Ok(text) = std::str::from_utf8(cell) else {
        return Cell::Text;
    };
    if is_no_value(text) {
        return Cell::Blank;
    }
    if let Some(value) = long_number(text, decimal) {
        return Cell::Number(value);
    }
    if let Some(cell) = date_or_time(text) {
        return cell;
    }
    if let Some(value) = flag_word(text) {
        return Cell::Number(value);
    }
    if let Some(cell) = hemisphere(text, decimal) {
        return cell;
    }
    number_with_unit(text, decimal).map_or(Cell::Text, Cell::Number)
}

/// Without outer blanks.
pub fn trim(cell: &[u8]) -> &[u8] {
    cell.trim_ascii()
}

fn is_no_value(text: &str) -> bool {
    let folded = text.trim_matches(['-', '.', '*', '_', '#', '?', ' ', ':', '"', '\'']);
    folded.is_empty()
        || [
            "nan", "null", "none", "n/a", "na", "nil", "inf", "nosoln", "no soln", "invalid",
            "void", "unknown", "#n/a",
        ]
        .iter()
        .any(|word| folded.eq_ignore_ascii_case(word))
        || folded.len() >= 2 && folded.bytes().all(|byte| byte == b'x' || byte == b'X')
}

/// Exponents, many digits.
fn long_number(text: &str, decimal: u8) -> Option<f64> {
    let first = *text.as_bytes().first()?;
    if !(first.is_ascii_digit() || matches!(first, b'+' | b'-' | b'.' | b',')) {
        return None;
    }
    let text = text.strip_prefix('+').unwrap_or(text);
    let value = if decimal == b',' && text.contains(',') {
        fast_float2::parse::<f64, _>(text.replace(',', ".")).ok()?
    } else {
        fast_float2::parse::<f64, _>(text).ok()?
    };
    value.is_finite().then_some(value)
}

/// Words that switches are logged with.
fn flag_word(text: &str) -> Option<f64> {
    const ON: [&str; 8] = ["on", "true", "yes", "active", "down", "ein", "ja", "warn"];
    const OFF: [&str; 7] = ["off", "false", "no", "inactive", "up", "aus", "nein"];
    let is = |list: &[&str]| list.iter().any(|word| text.eq_ignore_ascii_case(word));
    if is(&ON) {
        Some(1.0)
    } else if is(&OFF) {
        Some(0.0)
    } else {
        None
    }
}

/// `N47.5`, `47.5 N`, `47°30.5'N`, `47 30 30 N`, and a letter alone.
fn hemisphere(text: &str, decimal: u8) -> Option<Cell> {
    let sign_of = |letter: char| match letter.to_ascii_uppercase() {
        'N' | 'E' => Some(1.0),
        'S' | 'W' => Some(-1.0),
        _ => None,
    };
    let (sign, rest) = if let Some(sign) = text.chars().next().and_then(sign_of) {
        (sign, text.get(1..)?)
    } else if let Some(sign) = text.chars().next_back().and_then(sign_of) {
        (sign, text.get(..text.len() - 1)?)
    } else if text.contains('°') {
        (1.0, text)
    } else {
        return None;
    };
    let rest = rest.trim();
    if rest.is_empty() {
        return Some(Cell::Hemisphere(sign));
    }
    let parts: Vec<&str> = rest
        .split(['°', '\'', '"', '′', '″', ' ', ':'])
        .filter(|part| !part.is_empty())
        .collect();
    if parts.len() > 3 {
        return None;
    }
    let mut value = 0.0;
    for (part, scale) in parts.iter().zip([1.0, 60.0, 3600.0]) {
        value += long_number(part, decimal)?.abs() / scale;
    }
    let negative = rest.starts_with('-');
    Some(Cell::Number(if negative {
        -sign * value
    } else {
        sign * value
    }))
}

/// `123 kt`, `12.5°C`, `"85%"`.
fn number_with_unit(text: &str, decimal: u8) -> Option<f64> {
    let (value, end) = scan_number(text.as_bytes(), 0, decimal)?;
    let rest = text.get(end..)?.trim();
    (rest.len() <= 8 && VOCABULARY.unit(rest).is_some()).then_some(value)
}

/// Dates and times in any usual writing.
fn date_or_time(text: &str) -> Option<Cell> {
    let first = *text.as_bytes().first()?;
    if !(first.is_ascii_digit() || matches!(first, b'+' | b'-') || first.is_ascii_alphabetic()) {
        return None;
    }
    if let Some(offset) = offset_cell(text) {
        return Some(Cell::Offset(offset));
    }
    if let Some((date, rest)) = leading_date(text) {
        let rest = rest.trim_start_matches(['T', 't', ' ', ',', '_']);
        if rest.is_empty() {
            return Some(Cell::Date(date));
        }
        let (seconds, offset) = clock(rest)?;
        return Some(Cell::DateTime(date, seconds, offset));
    }
    // "14:04:43 2025-09-04"
    if let Some((head, tail)) = text.split_once(' ')
        && let Some((date, "")) = leading_date(tail.trim())
        && let Some((seconds, offset)) = clock(head)
    {
        return Some(Cell::DateTime(date, seconds, offset));
    }
    clock(text).map(|(seconds, offset)| Cell::Clock(seconds, offset))
}

/// `2025-09-04`, `04.09.2025`, `9/4/25`, `4-Sep-2025`, and what follows.
fn leading_date(text: &str) -> Option<(Date, &str)> {
    let bytes = text.as_bytes();
    let mut at = 0;
    let mut parts = [0_i32; 3];
    let mut mark = 0_u8;
    let mut month = false;
    for index in 0..3 {
        let start = at;
        if bytes.get(at).is_some_and(u8::is_ascii_alphabetic) {
            while bytes.get(at).is_some_and(u8::is_ascii_alphabetic) {
                at += 1;
            }
            *parts.get_mut(index)? = 1000 + month_of(text.get(start..at)?)?;
            month = true;
        } else {
            while bytes.get(at).is_some_and(u8::is_ascii_digit) {
                at += 1;
            }
            if at == start || at - start > 4 {
                return None;
            }
            let value: i32 = text.get(start..at)?.parse().ok()?;
            // A year of four digits that looks like a month word cannot be: years are 1900 to 2199.
            *parts.get_mut(index)? = if at - start == 4 {
                value + 10_000
            } else {
                value
            };
        }
        if index < 2 {
            let next = *bytes.get(at)?;
            let fits = match next {
                b'-' | b'/' | b'.' => true,
                b' ' | b',' => month || bytes.get(at + 1).is_some_and(u8::is_ascii_alphabetic),
                _ => false,
            };
            if !fits || (mark != 0 && mark != next && !month) {
                return None;
            }
            mark = next;
            at += 1;
            while bytes.get(at) == Some(&b' ') {
                at += 1;
            }
        }
    }
    let rest = text.get(at..)?;
    // "12.5.2" followed by more digits or a point is a version, not a date.
    if rest.starts_with(|letter: char| letter.is_ascii_digit() || letter == '.') {
        return None;
    }
    Some((parts, rest))
}

fn month_of(word: &str) -> Option<i32> {
    const MONTHS: [&[&str]; 12] = [
        &["jan"],
        &["feb"],
        &["mar", "mrz"],
        &["apr"],
        &["may", "mai"],
        &["jun"],
        &["jul"],
        &["aug"],
        &["sep"],
        &["oct", "okt"],
        &["nov"],
        &["dec", "dez"],
    ];
    let word = word.to_ascii_lowercase();
    let index = MONTHS
        .iter()
        .position(|names| names.iter().any(|name| word.starts_with(name)))?;
    i32::try_from(index + 1).ok()
}

/// `14:04:43.1`, `14:04`, `2:04:43 PM`, `14:04:43Z`, `14:04:43+02:00`, `23:41.5` (minutes, seconds).
fn clock(text: &str) -> Option<(f64, Option<i32>)> {
    let bytes = text.as_bytes();
    let mut at = 0;
    let mut parts = [0.0_f64; 3];
    let mut count = 0;
    let mut fraction = false;
    while count < 3 {
        let start = at;
        while bytes.get(at).is_some_and(u8::is_ascii_digit) {
            at += 1;
        }
        if at == start || at - start > 4 {
            return None;
        }
        let mut value: f64 = text.get(start..at)?.parse().ok()?;
        if count > 0 && matches!(bytes.get(at), Some(b'.' | b',')) {
            let start = at + 1;
            at = start;
            while bytes.get(at).is_some_and(u8::is_ascii_digit) {
                at += 1;
            }
            let digits = text.get(start..at)?;
            if !digits.is_empty() {
                value += format!("0.{digits}").parse::<f64>().ok()?;
            }
            fraction = true;
        }
        *parts.get_mut(count)? = value;
        count += 1;
        if fraction || bytes.get(at) != Some(&b':') {
            break;
        }
        at += 1;
    }
    if count < 2 {
        return None;
    }
    let [a, b, c] = parts;
    let mut seconds = if count == 2 && fraction {
        a * 60.0 + b
    } else {
        a * 3600.0 + b * 60.0 + c
    };
    if b >= 60.0 || c >= 61.0 || (count == 3 && a > 24.0) {
        return None;
    }
    let mut rest = text.get(at..)?.trim();
    for (word, afternoon) in [("am", false), ("pm", true)] {
        if let Some(tail) = rest.get(..2).filter(|head| head.eq_ignore_ascii_case(word)) {
            let hour = (seconds / 3600.0).floor();
            if hour > 12.0 {
                return None;
            }
            seconds += match (afternoon, hour >= 12.0) {
                (true, false) => 43_200.0,
                (false, true) => -43_200.0,
                _ => 0.0,
            };
            rest = rest.get(tail.len()..)?.trim();
        }
    }
    if rest.is_empty() {
        return Some((seconds, None));
    }
    offset_cell(rest).map(|offset| (seconds, Some(offset)))
}

/// `Z`, `UTC`, `+02:00`, `-0500`, `UTC+2`: s east of Greenwich. A plain number is not an offset.
fn offset_cell(text: &str) -> Option<i32> {
    let mut rest = text.trim();
    let mut named = false;
    for word in ["UTC", "GMT", "Z"] {
        if let Some(head) = rest.get(..word.len())
            && head.eq_ignore_ascii_case(word)
        {
            rest = rest.get(word.len()..)?.trim();
            named = true;
            break;
        }
    }
    if rest.is_empty() {
        return named.then_some(0);
    }
    let sign = match rest.as_bytes().first()? {
        b'+' => 1,
        b'-' => -1,
        _ => return None,
    };
    let digits = rest.get(1..)?;
    let (hours, minutes) = if let Some((hours, minutes)) = digits.split_once(':') {
        (hours, minutes)
    } else if digits.len() == 4 {
        digits.split_at_checked(2)?
    } else if named && digits.len() <= 2 {
        (digits, "0")
    } else {
        return None;
    };
    let minutes = minutes.split(':').next()?;
    if ![hours, minutes]
        .iter()
        .all(|part| part.bytes().all(|byte| byte.is_ascii_digit()))
    {
        return None;
    }
    let hours: i32 = hours.parse().ok()?;
    let minutes: i32 = minutes.parse().ok()?;
    (hours <= 15 && minutes < 60).then(|| sign * (hours * 3600 + minutes * 60))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(text: &str) -> Cell {
        classify(text.as_bytes(), b'.')
    }

    #[test]
    fn numbers() {
        assert_eq!(of(" -81.7763604 "), Cell::Number(-81.776_360_4));
        assert_eq!(of("+12"), Cell::Number(12.0));
        assert_eq!(of("-1.2345E+02"), Cell::Number(-123.45));
        assert_eq!(
            of("0.1234567890123456789"),
            Cell::Number(0.123_456_789_012_345_68)
        );
        assert_eq!(classify(b"-12,5", b','), Cell::Number(-12.5));
        assert_eq!(of("85 %"), Cell::Number(85.0));
        assert_eq!(of("ON"), Cell::Number(1.0));
        for text in ["", "  ", "NaN", "---", "null", "XXXX", "NoSoln", "--:--"] {
            assert_eq!(of(text), Cell::Blank, "{text}");
        }
    }

    #[test]
    fn times() {
        let date = [12_025, 9, 4];
        assert_eq!(
            of("2025-09-04T14:04:43.100Z"),
            Cell::DateTime(date, 50_683.1, Some(0))
        );
        assert_eq!(
            of("2025-09-04 14:04:43"),
            Cell::DateTime(date, 50_683.0, None)
        );
        assert_eq!(
            of("2025-09-04T14:04:43+02:00"),
            Cell::DateTime(date, 50_683.0, Some(7200))
        );
        assert_eq!(of("04.09.2025"), Cell::Date([4, 9, 12_025]));
        assert_eq!(of("9/4/25"), Cell::Date([9, 4, 25]));
        assert_eq!(of("4-Sep-2025"), Cell::Date([4, 1009, 12_025]));
        assert_eq!(of("14:04:43"), Cell::Clock(50_683.0, None));
        assert_eq!(of("2:04:43 PM"), Cell::Clock(50_683.0, None));
        assert_eq!(of("12:04:43 AM"), Cell::Clock(283.0, None));
        assert_eq!(of("14:04:43 +0100"), Cell::Clock(50_683.0, Some(3600)));
        assert_eq!(of("23:41.5"), Cell::Clock(1421.5, None));
        assert_eq!(of("-05:00"), Cell::Offset(-18_000));
        // Found by fuzzing: more hours than a number of seconds can hold.
        assert_eq!(of("+999999999:00"), Cell::Text);
    }

    #[test]
    fn positions_with_letters() {
        assert_eq!(of("N47.5"), Cell::Number(47.5));
        assert_eq!(of("47°30'S"), Cell::Number(-47.5));
        assert_eq!(of("W"), Cell::Hemisphere(-1.0));
    }
}
