//! Differences of what stands over the maneuvers.

use super::Difference;
use crate::document::Debrief;
use crate::words::{sentence, with_unit};

pub(super) fn differences(old: &Debrief, new: &Debrief) -> Vec<Difference> {
    let mut all = Vec::new();
    let standard =
        |document: &Debrief| format!("{}, {}", document.standard.title, document.standard.edition);
    all.extend(changed(
        "standard",
        "the standard",
        standard(old),
        standard(new),
    ));
    all.extend(changed(
        "aircraft",
        "the aircraft",
        old.aircraft.name.clone(),
        new.aircraft.name.clone(),
    ));
    let (was, is) = (&old.aircraft.speeds_kt, &new.aircraft.speeds_kt);
    let names = is
        .keys()
        .chain(was.keys().filter(|name| !is.contains_key(*name)));
    for name in names {
        let shown = |speeds: &std::collections::BTreeMap<String, f64>| {
            speeds
                .get(name)
                .map_or("not known".to_owned(), |knots| with_unit(*knots, 0.1, "kt"))
        };
        all.extend(changed("speed", &title(name), shown(was), shown(is)));
    }
    all
}

fn changed(what: &str, name: &str, before: String, after: String) -> Option<Difference> {
    (before != after).then(|| Difference {
        maneuver: None,
        start_s: None,
        what: what.to_owned(),
        element: None,
        criterion: None,
        sentence: sentence(&format!("{name} was {before}, now {after}")),
        before,
        after,
    })
}

/// `VS1`, `best glide speed`.
fn title(name: &str) -> String {
    if name.starts_with('v') {
        name.to_uppercase()
    } else {
        format!("{} speed", name.replace('_', " "))
    }
}
