//! "Did you mean": the nearest known name to a mistyped one.

/// Other words that people use for an entry, and its stem in our file (common practice, no source).
const ALSO_CALLED: &[(&str, &str)] = &[
    ("vs", "vs1"),
    ("vso", "vs0"),
    ("vsi", "vs1"),
    ("vg", "best_glide"),
    ("vbg", "best_glide"),
    ("glide", "best_glide"),
    ("vref", "approach"),
    ("vapp", "approach"),
    ("vr", "rotate"),
    ("vo", "va"),
    ("weight", "reference"),
    ("weight", "mass"),
    ("gross", "maximum"),
    ("mtow", "maximum"),
    ("max", "maximum"),
    ("power", "rated_power"),
    ("hp", "rated_power"),
    ("prop", "propeller"),
    ("vfe", "limit"),
    ("speed", "limit"),
    ("deg", "angle"),
    ("detents", "flaps"),
    ("notches", "flaps"),
    ("masses", "mass"),
    ("weights", "mass"),
    ("type", "name"),
];

/// Units that people append; a right stem with a wrong unit is still nearly right.
const UNITS: &[&str] = &[
    "kias", "kcas", "ktas", "kts", "kt", "knots", "mph", "kmh", "mps", "lbs", "lb", "kg", "hp",
    "kw", "rpm", "degrees", "deg", "ft2", "m2", "sqft", "ft", "m", "s",
];

/// The known name that `wrong` most likely stands for, or `None` when nothing is near.
pub(crate) fn nearest<'a>(wrong: &str, known: &'a [String]) -> Option<&'a str> {
    let wrong = wrong.trim().to_lowercase().replace(['-', ' '], "_");
    let wrong_stem = stem(&wrong);
    let mut best: Option<(usize, &str)> = None;
    for candidate in known {
        let candidate_stem = stem(candidate);
        let also = ALSO_CALLED
            .iter()
            .any(|(word, meant)| *word == wrong_stem && *meant == candidate_stem);
        let distance = if wrong_stem == candidate_stem || also {
            // Of several units of the same stem, the spelled one is nearest, then the first listed.
            usize::from(wrong != *candidate)
        } else {
            edits(&wrong, candidate).min(edits(wrong_stem, candidate_stem) + 1)
        };
        if best.is_none_or(|(least, _)| distance < least) {
            best = Some((distance, candidate));
        }
    }
    let allowed = (wrong.chars().count() / 3).clamp(1, 3);
    best.filter(|(distance, _)| *distance <= allowed)
        .map(|(_, name)| name)
}

fn stem(name: &str) -> &str {
    for unit in UNITS {
        if let Some(stem) = name
            .strip_suffix(unit)
            .and_then(|rest| rest.strip_suffix('_'))
            && !stem.is_empty()
        {
            return stem;
        }
    }
    name
}

/// Edit distance that counts a swap of neighbors as one (Damerau, *A technique for computer
/// detection and correction of spelling errors*, 1964, restricted form).
fn edits(a: &str, b: &str) -> usize {
    let a: Vec<char> = a.chars().take(64).collect();
    let b: Vec<char> = b.chars().take(64).collect();
    let width = b.len() + 1;
    let mut cost = vec![0; (a.len() + 1) * width];
    for i in 0..=a.len() {
        for j in 0..=b.len() {
            cost[i * width + j] = if i == 0 || j == 0 {
                i + j
            } else {
                let change = usize::from(a[i - 1] != b[j - 1]);
                let mut least = (cost[(i - 1) * width + j] + 1)
                    .min(cost[i * width + j - 1] + 1)
                    .min(cost[(i - 1) * width + j - 1] + change);
                if i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1] {
                    least = least.min(cost[(i - 2) * width + j - 2] + 1);
                }
                least
            };
        }
    }
    cost.last().copied().unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn known(names: &[&str]) -> Vec<String> {
        names.iter().map(ToString::to_string).collect()
    }

    #[test]
    fn edit_distance_of_known_pairs() {
        // Textbook pair: kitten to sitting takes three; a swap of neighbors takes one.
        assert_eq!(edits("kitten", "sitting"), 3);
        assert_eq!(edits("kais", "kias"), 1);
        assert_eq!(edits("", "abc"), 3);
    }

    #[test]
    fn names_are_found_by_typo_unit_and_other_word() {
        let names = known(&[
            "vs0_kias",
            "vs1_kias",
            "vs1_kmh",
            "best_glide_kias",
            "approach_kias",
        ]);
        assert_eq!(nearest("vs1_kais", &names), Some("vs1_kias"));
        assert_eq!(nearest("vs1_kts", &names), Some("vs1_kias"));
        assert_eq!(nearest("VSO_KIAS", &names), Some("vs0_kias"));
        assert_eq!(nearest("vbg_kias", &names), Some("best_glide_kias"));
        assert_eq!(nearest("aproach-kias", &names), Some("approach_kias"));
        assert_eq!(nearest("tire_pressure", &names), None);
    }
}
