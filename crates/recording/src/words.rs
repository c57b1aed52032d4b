//! A header cell taken apart: its words, and the unit that is written in it.

use crate::vocabulary::{Unit, VOCABULARY, fold};

/// One header cell, understood as far as words go.
#[derive(Clone, Debug, Default)]
pub struct HeaderWords {
    /// Folded words in order.
    pub words: Vec<String>,
    /// The unit that is written in brackets or in a units row.
    pub unit: Option<Unit>,
    /// A last word that may be a unit or may be a word ("lateral g", "alt_ft").
    pub trailing_unit: Option<(Unit, usize)>,
}

/// Takes a header cell and its cell in the units row (may be empty) apart.
pub fn split_header(name: &str, unit_cell: &str) -> HeaderWords {
    let mut out = HeaderWords::default();
    let (outside, brackets) = split_brackets(name);
    let mut outside = outside.trim();
    if brackets.is_empty() {
        // "Altitude - ft", "Speed/kt", "IAS;kt", "Alt, m".
        for mark in [" - ", "/", ";", ",", ":", "-"] {
            if let Some((left, right)) = outside.split_once(mark)
                && !left.trim().is_empty()
                && let Some(unit) = VOCABULARY.unit(right.trim())
            {
                out.unit = Some(unit.clone());
                outside = left;
                break;
            }
        }
    }
    push_words(&mut out.words, outside);
    for text in brackets.iter().map(String::as_str).chain([unit_cell]) {
        read_unit_text(&mut out, text);
    }
    if out.unit.is_none() {
        out.trailing_unit = trailing_unit(&out.words);
    }
    out
}

/// "ft msl", "deg true", "kt", "UTC": the unit, and what else is said as further words.
fn read_unit_text(out: &mut HeaderWords, text: &str) {
    let text = text
        .trim()
        .trim_start_matches('#')
        .trim()
        .trim_matches(['[', ']', '(', ')']);
    if text.is_empty() || is_time_pattern(text) {
        return;
    }
    let cuts = text
        .char_indices()
        .filter(|(_, letter)| letter.is_whitespace());
    let mut ends: Vec<usize> = cuts.map(|(at, _)| at).collect();
    ends.push(text.len());
    for &end in ends.iter().rev() {
        let (Some(head), Some(tail)) = (text.get(..end), text.get(end..)) else {
            continue;
        };
        if let Some(unit) = VOCABULARY.unit(head) {
            out.unit.get_or_insert_with(|| unit.clone());
            push_words(&mut out.words, tail);
            return;
        }
    }
    push_words(&mut out.words, text);
}

/// `dd.mm.yyyy`, `hh:mm:ss` and the like: a pattern, neither words nor a unit.
fn is_time_pattern(text: &str) -> bool {
    let letters = text.chars().filter(|letter| letter.is_alphabetic()).count();
    letters >= 4
        && text.chars().all(|letter| {
            !letter.is_alphabetic() || "ymdhsafz".contains(letter.to_ascii_lowercase())
        })
        && text.chars().any(|letter| !letter.is_alphabetic())
}

fn split_brackets(name: &str) -> (String, Vec<String>) {
    let mut outside = String::new();
    let mut inside = Vec::new();
    let mut depth = 0_usize;
    for letter in name.chars() {
        match letter {
            '[' | '(' | '{' => {
                if depth == 0 {
                    inside.push(String::new());
                }
                depth += 1;
            }
            ']' | ')' | '}' => {
                depth = depth.saturating_sub(1);
                outside.push(' ');
            }
            other if depth > 0 => {
                if let Some(last) = inside.last_mut() {
                    last.push(other);
                }
            }
            other => outside.push(other),
        }
    }
    (outside, inside)
}

/// Splits at everything that is no letter or digit, at a change from small to capital, and between
/// letters and digits; a word nobody knows is tried as two or three known ones.
fn push_words(words: &mut Vec<String>, text: &str) {
    let mut piece = String::new();
    let letters: Vec<char> = text.chars().collect();
    for (at, &letter) in letters.iter().enumerate() {
        let before = at
            .checked_sub(1)
            .and_then(|before| letters.get(before))
            .copied();
        let after = letters.get(at + 1).copied();
        let keeps = letter.is_alphanumeric() || letter == '%' || letter == '°';
        if !keeps {
            finish(words, &mut piece);
            continue;
        }
        if let Some(before) = before {
            let camel = letter.is_uppercase()
                && (before.is_lowercase()
                    || before.is_uppercase() && after.is_some_and(char::is_lowercase));
            let digits = letter.is_ascii_digit() != before.is_ascii_digit() && piece.len() > 1;
            if camel || digits {
                finish(words, &mut piece);
            }
        }
        piece.push(letter);
    }
    finish(words, &mut piece);
}

fn finish(words: &mut Vec<String>, piece: &mut String) {
    if piece.is_empty() {
        return;
    }
    let word = fold(piece);
    piece.clear();
    if let Some(last) = words.last().filter(|last| last.len() == 1)
        && let joined = format!("{last}{word}")
        && !VOCABULARY.concepts_of(&joined).is_empty()
    {
        // "N" "z", "V" "Spd", "F" "Flow": the camel split went too far.
        words.pop();
        words.push(joined);
        return;
    }
    if VOCABULARY.concepts_of(&word).is_empty()
        && VOCABULARY.unit(&word).is_none()
        && let Some(parts) = split_known(&word, 3)
    {
        words.extend(parts);
        return;
    }
    words.push(word);
}

/// A word as two or three known words, longest first piece first. Pieces have three letters or more, or
/// any word would fall apart ("float" into "FL" and "OAT"); a unit of two letters may stand at the end.
fn split_known(word: &str, pieces: usize) -> Option<Vec<String>> {
    let known = |part: &str| part.len() >= 3 && !VOCABULARY.concepts_of(part).is_empty();
    let ends = |part: &str| known(part) || (part.len() >= 2 && VOCABULARY.unit(part).is_some());
    for cut in (3..word.len()).rev() {
        let (Some(head), Some(tail)) = (word.get(..cut), word.get(cut..)) else {
            continue;
        };
        if !known(head) {
            continue;
        }
        let rest = if ends(tail) {
            Some(vec![tail.to_owned()])
        } else if pieces > 2 {
            split_known(tail, pieces - 1)
        } else {
            None
        };
        if let Some(rest) = rest {
            return Some(std::iter::once(head.to_owned()).chain(rest).collect());
        }
    }
    None
}

/// The unit that the last one to three words spell, and how many words it takes.
fn trailing_unit(words: &[String]) -> Option<(Unit, usize)> {
    for take in (1..=3_usize).rev() {
        let Some(start) = words.len().checked_sub(take).filter(|&start| start > 0) else {
            continue;
        };
        let Some(tail) = words.get(start..) else {
            continue;
        };
        for joint in ["/", "", " "] {
            if let Some(unit) = VOCABULARY.unit(&tail.join(joint)) {
                return Some((unit.clone(), take));
            }
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(name: &str, unit_cell: &str, words: &str, unit: Option<&str>) {
        let split = split_header(name, unit_cell);
        assert_eq!(split.words.join(" "), words, "{name}");
        assert_eq!(
            split.unit.as_ref().map(|unit| unit.id.as_str()),
            unit,
            "{name}"
        );
    }

    #[test]
    fn headers_come_apart() {
        check("alt_gnss [ft]", "", "alt gnss", Some("ft"));
        check("AltBaro [m]", "", "alt baro", Some("m"));
        check("HdgMag", "deg", "hdg mag", Some("deg"));
        check("gnss altitude", "ft msl", "gnss altitude msl", Some("ft"));
        check("Geschw. Grund [km/h]", "", "geschw grund", Some("kmh"));
        check("Außentemperatur (°C)", "", "aussentemperatur", Some("c"));
        check("Vertical Speed - ft/min", "", "vertical speed", Some("fpm"));
        check("GroundSpeed", "", "ground speed", None);
        check("vspeed [fpm]", "", "vspeed", Some("fpm"));
        check("Date", "dd.mm.yyyy", "date", None);
        check("ALTMSL", "", "alt msl", None);
    }

    #[test]
    fn a_last_word_may_be_a_unit() {
        let of = |name: &str| {
            split_header(name, "")
                .trailing_unit
                .map(|(unit, take)| (unit.id, take))
        };
        assert_eq!(of("groundspeed_kt"), Some(("kt".to_owned(), 1)));
        assert_eq!(of("climb_m_s"), Some(("mps".to_owned(), 2)));
        assert_eq!(of("unix_ms"), Some(("ms".to_owned(), 1)));
        assert_eq!(of("temp_deg_c"), Some(("c".to_owned(), 2)));
        assert_eq!(of("pitch"), None);
    }
}
