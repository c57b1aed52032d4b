//! The forms that a standard may have a task of its own for, and a briefing may ask for.

use crate::Kind;

/// Kinds that may be flown in it, its id (as in [`crate::Variant::name`]), and its name for people.
///
/// The tasks are those of FAA-S-ACS-6C, 7B and 25: short- and soft-field takeoffs and landings, the forward slip
/// to a landing, and the demonstration stalls. Crosswind and no-flap are forms that instructors ask for.
pub const VARIANTS: &[(&[Kind], &str, &str)] = &[
    (
        &[Kind::Takeoff, Kind::Landing],
        "short_field",
        "short field",
    ),
    (&[Kind::Takeoff, Kind::Landing], "soft_field", "soft field"),
    (&[Kind::Takeoff, Kind::Landing], "crosswind", "crosswind"),
    (&[Kind::Landing], "no_flap", "no flap"),
    (&[Kind::Landing], "forward_slip", "forward slip"),
    (
        &[Kind::PowerOffStall, Kind::PowerOnStall],
        "cross_controlled",
        "crossed controls",
    ),
    (
        &[Kind::PowerOffStall, Kind::PowerOnStall],
        "elevator_trim",
        "elevator trim",
    ),
    (
        &[
            Kind::PowerOffStall,
            Kind::PowerOnStall,
            Kind::AcceleratedStall,
        ],
        "secondary",
        "secondary stall",
    ),
];

/// The known form of an id, if a maneuver of the kind may be flown in it; without a kind, any known form.
#[must_use]
pub fn variant(kind: Option<Kind>, id: &str) -> Option<&'static str> {
    VARIANTS
        .iter()
        .find(|(kinds, known, _)| *known == id && kind.is_none_or(|kind| kinds.contains(&kind)))
        .map(|(_, known, _)| *known)
}

/// Ids of the forms that a kind may be flown in; without a kind, all.
#[must_use]
pub fn variants_of(kind: Option<Kind>) -> Vec<&'static str> {
    VARIANTS
        .iter()
        .filter(|(kinds, _, _)| kind.is_none_or(|kind| kinds.contains(&kind)))
        .map(|(_, id, _)| *id)
        .collect()
}

/// Name of a form for people; empty for one that is not known.
#[must_use]
pub fn variant_words(id: &str) -> &'static str {
    VARIANTS
        .iter()
        .find(|(_, known, _)| *known == id)
        .map_or("", |(_, _, words)| words)
}
