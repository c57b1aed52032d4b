//! What a person who mistyped a name is told.

use maneuver::{Kind, variant, variant_words, variants_of};

/// What is wrong with the name of a form, and how to mend it; `also` are further words that would be right.
pub(crate) fn unknown_variant(kind: Option<Kind>, word: &str, also: &[&str]) -> (String, String) {
    let mut known = variants_of(kind);
    known.extend(also);
    let of_another = variant(None, word).is_some();
    let what = match kind {
        Some(kind) if of_another => {
            let words = variant_words(word);
            format!("variant '{word}' ({words}) is no form of {}", kind.id())
        }
        _ => format!("variant '{word}' is not known"),
    };
    (what, one_of(word, &known))
}

/// `did you mean short_field? Write one of short_field, soft_field`.
pub(crate) fn one_of(word: &str, known: &[&str]) -> String {
    if known.is_empty() {
        return "take the line out".to_owned();
    }
    let all = known.join(", ");
    match nearest(word, known) {
        Some(near) => format!("did you mean {near}? Write one of {all}"),
        None => format!("write one of {all}"),
    }
}

/// The known name that a mistyped one most likely stands for; none when nothing is near.
fn nearest<'a>(word: &str, known: &[&'a str]) -> Option<&'a str> {
    let word = word.trim().to_lowercase().replace(['-', ' '], "_");
    let allowed = (word.chars().count() / 3).clamp(1, 3);
    known
        .iter()
        .map(|name| (edits(&word, name), *name))
        .filter(|(distance, _)| *distance <= allowed)
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, name)| name)
}

/// Letters to insert, take out or exchange (Levenshtein 1966).
fn edits(from: &str, to: &str) -> usize {
    let to: Vec<char> = to.chars().collect();
    let mut row: Vec<usize> = (0..=to.len()).collect();
    for (index, letter) in from.chars().enumerate() {
        let mut next = vec![index + 1];
        let mut left = index + 1;
        for ((other, above), corner) in to.iter().zip(row.iter().skip(1)).zip(&row) {
            left = (above + 1)
                .min(left + 1)
                .min(corner + usize::from(letter != *other));
            next.push(left);
        }
        row = next;
    }
    row.last().copied().unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Levenshtein's own measure: kitten to sitting is three.
    #[test]
    fn val_edits() {
        assert_eq!(edits("kitten", "sitting"), 3);
        assert_eq!(edits("", "abc"), 3);
        assert_eq!(
            nearest("short-feild", &["soft_field", "short_field"]),
            Some("short_field")
        );
        assert_eq!(nearest("loop", &["soft_field"]), None);
    }
}
