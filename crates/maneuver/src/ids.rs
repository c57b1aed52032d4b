//! Kinds and directions as JSON: their stable ids.

use crate::{Direction, Kind};
use serde::de::{Deserialize, Deserializer, Error};
use serde::{Serialize, Serializer};

impl Serialize for Kind {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.id())
    }
}

impl<'de> Deserialize<'de> for Kind {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let id = String::deserialize(deserializer)?;
        Kind::from_id(&id).ok_or_else(|| {
            D::Error::custom(format!(
                "kind '{id}' is not known; write the id of a maneuver, e.g. power_off_stall"
            ))
        })
    }
}

impl Serialize for Direction {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.id())
    }
}

impl<'de> Deserialize<'de> for Direction {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let id = String::deserialize(deserializer)?;
        Direction::from_id(&id).ok_or_else(|| {
            D::Error::custom(format!(
                "direction '{id}' is not known; write left, right, straight, left_right, right_left or none"
            ))
        })
    }
}
