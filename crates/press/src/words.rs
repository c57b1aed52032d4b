//! Numbers and names as a pilot reads them: units, rounding by σ, times, ids in plain words.

use standard::{Mark, Verdict};

/// The word of a mark.
#[must_use]
pub fn mark(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Met => "met",
        Verdict::NotMet => "not met",
        Verdict::TooClose => "too close",
        Verdict::NotRecorded => "not recorded",
        Verdict::ForInstructor => "for instructor",
    }
}

/// Decimals that a number deserves: down to the first figure of its σ (the second where the first is a 1), so
/// that 26.4° ± 2.1° reads 26° ± 2°. Without a σ the unit decides.
#[must_use]
pub fn decimals(sigma: Option<f64>, unit: &str) -> usize {
    let Some(sigma) = sigma.filter(|sigma| sigma.is_finite() && *sigma > 0.0) else {
        return match unit {
            "g" => 2,
            "s" | "deg/s" => 1,
            _ => 0,
        };
    };
    let power = sigma.log10().floor();
    let first = sigma / 10_f64.powf(power);
    // 1.04 would read 1.0: the second figure says nothing then.
    let wanted = -power
        + if (1.05..1.95).contains(&first) {
            1.0
        } else {
            0.0
        };
    let most: f64 = match unit {
        "g" => 3.0,
        "s" | "deg/s" => 2.0,
        "ft" | "rpm" | "ft/min" => 0.0,
        _ => 1.0,
    };
    wanted.clamp(0.0, most) as usize
}

/// A number with thousands commas and a true minus; never "−0".
#[must_use]
pub fn number(value: f64, decimals: usize) -> String {
    if !value.is_finite() {
        return "unknown".to_owned();
    }
    let text = format!("{:.decimals$}", value.abs());
    let (whole, fraction) = text.split_once('.').unwrap_or((&text, ""));
    let mut grouped = String::new();
    for (index, digit) in whole.chars().enumerate() {
        if index > 0 && (whole.len() - index) % 3 == 0 {
            grouped.push(',');
        }
        grouped.push(digit);
    }
    let negative = value < 0.0 && text.bytes().any(|byte| (b'1'..=b'9').contains(&byte));
    let sign = if negative { "−" } else { "" };
    if fraction.is_empty() {
        format!("{sign}{grouped}")
    } else {
        format!("{sign}{grouped}.{fraction}")
    }
}

/// The unit as it stands after a number, with the space it needs.
#[must_use]
pub fn unit(unit: &str) -> String {
    match unit {
        "" | "1" => String::new(),
        "deg" => "°".to_owned(),
        "deg/s" => "°/s".to_owned(),
        "%" | "percent" => "\u{A0}%".to_owned(),
        "degC" => "\u{A0}°C".to_owned(),
        other => format!("\u{A0}{other}"),
    }
}

/// `3,815 ft`, `26°`.
#[must_use]
pub fn with_unit(value: f64, decimals: usize, of: &str) -> String {
    format!("{}{}", number(value, decimals), unit(of))
}

/// `220 ± 8 ft`, `26° ± 2°`; without a σ just the number.
#[must_use]
pub fn with_sigma(value: f64, sigma: Option<f64>, of: &str) -> String {
    let places = decimals(sigma, of);
    let Some(sigma) = sigma.filter(|sigma| sigma.is_finite() && *sigma > 0.0) else {
        return with_unit(value, places, of);
    };
    // A σ that rounds to nothing would read as certainty: the number stands alone then.
    let small = number(sigma, places);
    if !small.bytes().any(|byte| (b'1'..=b'9').contains(&byte)) {
        return with_unit(value, places, of);
    }
    let degree = if of.starts_with("deg") {
        unit("deg")
    } else {
        String::new()
    };
    let tail = unit(of);
    if of == "deg" {
        format!(
            "{}{degree}\u{A0}±\u{A0}{small}{degree}",
            number(value, places)
        )
    } else {
        format!("{}\u{A0}±\u{A0}{small}{tail}", number(value, places))
    }
}

/// Whether the numbers of a mark are points of the compass.
#[must_use]
pub fn is_compass(mark: &Mark) -> bool {
    mark.unit == "deg"
        && mark.criterion.contains("heading")
        && mark
            .target
            .is_some_and(|target| (0.0..=360.0).contains(&target))
}

/// Difference from the target in the mark's unit, across north where it is a heading.
#[must_use]
pub fn deviation(mark: &Mark) -> Option<f64> {
    let difference = mark.worst? - mark.target?;
    let compass = mark.unit == "deg" && mark.criterion.contains("heading");
    Some(if compass {
        difference - 360.0 * (difference / 360.0).round()
    } else {
        difference
    })
}

/// Worst value in words: `26° ± 2° right`, `19 ± 2 kt slow`, `0.055 ± 0.008 g`.
#[must_use]
pub fn worst(mark: &Mark, left_turn: bool) -> Option<String> {
    let worst = mark.worst.filter(|worst| worst.is_finite())?;
    let side = |off: f64, plus: &str, minus: &str| {
        let size = with_sigma(off.abs(), mark.sigma, &mark.unit);
        let zero = number(off.abs(), decimals(mark.sigma, &mark.unit))
            .bytes()
            .all(|byte| !(b'1'..=b'9').contains(&byte));
        if zero {
            size
        } else {
            format!("{size} {}", if off > 0.0 { plus } else { minus })
        }
    };
    if mark.criterion.starts_with("bank") {
        return Some(with_sigma(worst.abs(), mark.sigma, &mark.unit));
    }
    let Some(off) = deviation(mark).filter(|off| off.is_finite()) else {
        return Some(with_sigma(worst, mark.sigma, &mark.unit));
    };
    let unit = mark.unit.as_str();
    Some(match mark.criterion.as_str() {
        name if name.contains("rollout") => {
            let past = if left_turn { -off } else { off };
            side(past, "past", "short")
        }
        name if name.contains("heading") && unit == "deg" => side(off, "right", "left"),
        name if name.contains("altitude") && unit == "ft" => side(off, "high", "low"),
        name if name.contains("airspeed") && unit == "kt" => side(off, "fast", "slow"),
        _ => with_sigma(worst, mark.sigma, unit),
    })
}

/// Target and limits in words: `063° ± 10°`, `up to 0.05 g, assumed`, `at least 1,500 ft`.
#[must_use]
pub fn limits(mark: &Mark) -> String {
    let of = mark.unit.as_str();
    let say = |value: f64| plain(value, of);
    let name = |value: f64| {
        if is_compass(mark) {
            format!("{:03.0}°", value.rem_euclid(360.0))
        } else {
            say(value)
        }
    };
    // Bank is asked for in degrees of bank, whichever way the turn goes.
    let sign =
        if mark.criterion.starts_with("bank") && mark.target.is_some_and(|target| target < 0.0) {
            -1.0
        } else {
            1.0
        };
    let flipped = if sign < 0.0 {
        (
            mark.target.map(|v| -v),
            mark.high.map(|v| -v),
            mark.low.map(|v| -v),
        )
    } else {
        (mark.target, mark.low, mark.high)
    };
    let text = match flipped {
        (Some(target), Some(low), Some(high)) => {
            let (down, up) = (target - low, high - target);
            if (up - down).abs() < 1e-6 * up.abs().max(1.0) {
                if of == "deg" {
                    format!("{}\u{A0}±\u{A0}{}", name(target), say(up))
                } else {
                    format!("{}\u{A0}±\u{A0}{}", bare(target), say(up))
                }
            } else {
                format!("{}, +{}\u{A0}/\u{A0}−{}", name(target), say(up), bare(down))
            }
        }
        (_, Some(low), Some(high)) => format!("{} to {}", bare(low), say(high)),
        (_, None, Some(high)) if of == "s" => format!("within {}", say(high)),
        (_, None, Some(high)) => format!("up to {}", say(high)),
        (_, Some(low), None) => format!("at least {}", say(low)),
        (Some(target), None, None) => name(target),
        (None, None, None) => String::new(),
    };
    let origin = match mark.limit_origin.as_str() {
        "assumed" => "assumed",
        "briefed" => "briefed",
        "aircraft_file" => "aircraft file",
        _ => "",
    };
    match (text.is_empty(), origin.is_empty()) {
        (true, _) => String::new(),
        (false, true) => text,
        (false, false) => format!("{text}, {origin}"),
    }
}

/// A limit with as many decimals as it needs, at most three.
#[must_use]
pub fn plain(value: f64, of: &str) -> String {
    format!("{}{}", bare(value), unit(of))
}

/// The number of [`plain`] without its unit.
#[must_use]
pub fn bare(value: f64) -> String {
    for places in 0..if value.abs() >= 100.0 { 1 } else { 3 } {
        let scale = 10_f64.powi(places);
        if ((value * scale).round() / scale - value).abs() < 1e-6 {
            return number(value, places as usize);
        }
    }
    // Targets taken from the flight carry noise that nobody wants to read.
    if value.abs() >= 10.0 {
        number(value, 0)
    } else {
        number(value, 2)
    }
}

/// Sentences for setting: a number stays with its unit and its ±, on one line.
#[must_use]
pub fn tidy(text: &str) -> String {
    const UNITS: [&str; 16] = [
        "ft", "ft,", "ft.", "ft;", "kt", "kt,", "kt.", "kt;", "s", "s,", "s.", "s;", "rpm", "g",
        "min", "ft/min",
    ];
    let words: Vec<&str> = text.split_whitespace().collect();
    let mut out = String::with_capacity(text.len() + 8);
    for (index, word) in words.iter().enumerate() {
        let before = index
            .checked_sub(1)
            .and_then(|before| words.get(before))
            .copied()
            .unwrap_or("");
        let number = before.ends_with(|last: char| last.is_ascii_digit());
        let holds = *word == "±" || before == "±" || (number && UNITS.contains(word));
        if index > 0 {
            out.push(if holds { '\u{A0}' } else { ' ' });
        }
        out.push_str(word);
    }
    out
}

/// [`tidy`], ending in a full stop unless it ends in another mark.
#[must_use]
pub fn sentence(text: &str) -> String {
    let tidy = tidy(text);
    if tidy.is_empty() || tidy.ends_with(['.', '?', '!', ':', '…']) {
        tidy
    } else {
        format!("{tidy}.")
    }
}

/// A snake_case id in plain words.
#[must_use]
pub fn plain_id(id: &str) -> String {
    let known = match id {
        "altitude" => "altitude",
        "bank_max_20" => "bank over 20°",
        "rollout_heading" => "roll-out",
        "min_altitude_agl" => "height above ground",
        "clearing_turns" => "clearing turns",
        "recovery_after_full_stall" => "recovery after the full stall",
        "recovery_as_specified" => "recovery as specified",
        "recovery_prompt" => "prompt recovery",
        "power_prompt" => "prompt power",
        "power_percent" => "power set",
        "no_secondary_stall" => "second stall",
        "no_stall_warning" => "stall warning",
        "coordination" => "ball",
        "descent_established" => "settled descent",
        "flap_extension_speed" => "flap speed",
        "flaps_in_steps" => "flaps up in steps",
        "flaps_retracted" => "flaps up at the end",
        "pitch_up_smooth" => "smooth pull",
        "climb_not_delayed" => "climb without delay",
        "setup_start" => "setup begins",
        "flap_down" => "flaps down",
        "flap_up" => "flaps up",
        "descent_stable" => "descent settled",
        "idle" => "power idle",
        "power_set" => "power set",
        "pitch_up" => "pull begins",
        "first_cue" => "first cue",
        "full_stall" => "full stall",
        "recovery_start" => "recovery begins",
        "full_power" => "full power",
        "secondary_stall" => "second stall",
        "positive_climb" => "climb begins",
        "vy_reached" => "best climb speed",
        "first_indication" => "first indication",
        "setup" => "set up",
        _ => "",
    };
    if known.is_empty() {
        id.replace('_', " ").replace("gnss", "GNSS")
    } else {
        known.to_owned()
    }
}

/// First letter in upper case.
#[must_use]
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// `PA.VII.B.S6` → `S6`.
#[must_use]
pub fn element_short(code: &str) -> &str {
    code.rsplit('.').next().unwrap_or(code)
}

/// The flight's clock: UTC where the recording says it, else time from the first sample.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Watch {
    /// UTC of the first sample, s since 1970.
    pub start_unix_s: Option<f64>,
}

impl Watch {
    fn seconds(self, at_s: f64) -> i64 {
        let at_s = if at_s.is_finite() { at_s } else { 0.0 };
        match self.start_unix_s.filter(|start| start.is_finite()) {
            Some(start) => ((start + at_s).round() as i64).rem_euclid(86_400),
            None => (at_s.round() as i64).max(0),
        }
    }
    /// `14:06:25` (hours of the day, or hours since the first sample).
    #[must_use]
    pub fn hms(self, at_s: f64) -> String {
        let s = self.seconds(at_s);
        format!("{:02}:{:02}:{:02}", s / 3600, s / 60 % 60, s % 60)
    }
    /// `14:06`.
    #[must_use]
    pub fn hm(self, at_s: f64) -> String {
        let s = self.seconds(at_s);
        format!("{:02}:{:02}", s / 3600, s / 60 % 60)
    }
    /// `06:25`, minutes and seconds of the hour.
    #[must_use]
    pub fn ms(self, at_s: f64) -> String {
        let s = self.seconds(at_s);
        format!("{:02}:{:02}", s / 60 % 60, s % 60)
    }
    /// `UTC`, or what the times count from.
    #[must_use]
    pub fn zone(self) -> &'static str {
        if self.start_unix_s.is_some() {
            "UTC"
        } else {
            "from the first sample"
        }
    }
    /// `4 September 2025`. Civil date from days: Howard Hinnant, "chrono-Compatible Low-Level Date Algorithms", 2021.
    #[must_use]
    pub fn date(self) -> Option<String> {
        const MONTHS: [&str; 12] = [
            "January",
            "February",
            "March",
            "April",
            "May",
            "June",
            "July",
            "August",
            "September",
            "October",
            "November",
            "December",
        ];
        let start = self.start_unix_s.filter(|start| start.is_finite())?;
        let days = (start / 86_400.0).floor() as i64 + 719_468;
        let era = days.div_euclid(146_097);
        let day_of_era = days.rem_euclid(146_097);
        let year_of_era =
            (day_of_era - day_of_era / 1460 + day_of_era / 36_524 - day_of_era / 146_096) / 365;
        let day_of_year = day_of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
        let shifted = (5 * day_of_year + 2) / 153;
        let day = day_of_year - (153 * shifted + 2) / 5 + 1;
        let month = if shifted < 10 {
            shifted + 3
        } else {
            shifted - 9
        };
        let year = year_of_era + era * 400 + i64::from(month <= 2);
        let name = MONTHS.get(usize::try_from(month - 1).ok()?)?;
        Some(format!("{day} {name} {year}"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Rounding examples of the look: 26° ± 2°, 0.055 ± 0.008 g, 2.3 ± 0.4°/s, 220 ± 8 ft.
    #[test]
    fn prop_rounding_follows_sigma() {
        let tidy = |text: String| text.replace('\u{A0}', " ");
        assert_eq!(tidy(with_sigma(26.4, Some(2.1), "deg")), "26° ± 2°");
        assert_eq!(
            tidy(with_sigma(0.0553, Some(0.0078), "g")),
            "0.055 ± 0.008 g"
        );
        assert_eq!(tidy(with_sigma(2.34, Some(0.42), "deg/s")), "2.3 ± 0.4°/s");
        assert_eq!(tidy(with_sigma(3812.4, Some(8.0), "ft")), "3,812 ± 8 ft");
        assert_eq!(tidy(with_sigma(-0.2, Some(12.0), "ft")), "0 ± 12 ft");
        assert_eq!(with_sigma(f64::NAN, None, "ft"), "unknown\u{A0}ft");
    }

    /// 1 756 994 683 s is 2025-09-04T14:04:43Z; 951 782 400 s is 29 February 2000. Source: POSIX.1-2017, 4.16
    /// "Seconds Since the Epoch", worked by hand from its formula.
    #[test]
    fn val_posix_dates() {
        let watch = Watch {
            start_unix_s: Some(1_756_994_683.0),
        };
        assert_eq!(watch.hms(0.0), "14:04:43");
        assert_eq!(watch.date().as_deref(), Some("4 September 2025"));
        assert_eq!(
            Watch {
                start_unix_s: Some(951_782_400.0)
            }
            .date()
            .as_deref(),
            Some("29 February 2000")
        );
    }

    #[test]
    fn prop_a_number_stays_with_its_unit() {
        assert_eq!(
            tidy("down 30 ± 1° for 6 s, 220 ft lower"),
            "down 30\u{A0}±\u{A0}1° for 6\u{A0}s, 220\u{A0}ft lower"
        );
        assert_eq!(sentence("until the wing flies"), "until the wing flies.");
        assert_eq!(sentence("What did you read?"), "What did you read?");
    }

    #[test]
    fn prop_midnight_wraps() {
        let watch = Watch {
            start_unix_s: Some(86_399.0),
        };
        assert_eq!(watch.hms(2.0), "00:00:01");
    }
}
