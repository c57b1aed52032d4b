//! Rules near the ground: a contact is what it is.

use super::Opinion;
use crate::Kind;
use crate::features::{ContactKind, Features};

/// One opinion for each contact; a landing and a power-off 180 are told apart by the power alone.
pub fn opinions(features: &Features) -> Vec<Opinion> {
    let one = |contact: &crate::features::Contact| match contact.kind {
        ContactKind::LiftOff => Opinion {
            kind: Kind::Takeoff,
            start_s: contact.roll_s,
            end_s: contact.at_s + 60.0,
        },
        ContactKind::LowPass => Opinion {
            kind: Kind::GoAround,
            start_s: contact.at_s - 10.0,
            end_s: contact.at_s + 40.0,
        },
        ContactKind::Touchdown => {
            let glide = features.window(contact.at_s - 70.0, contact.at_s - 10.0);
            let idle = glide.max(&features.power) < 0.2;
            let kind = if idle {
                Kind::PowerOff180
            } else {
                Kind::Landing
            };
            Opinion {
                kind,
                start_s: contact.at_s - 90.0,
                end_s: contact.at_s + 9.0,
            }
        }
    };
    features.contacts.iter().map(one).collect()
}
