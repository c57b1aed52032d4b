//! What the runway asks of a takeoff or a landing.

/// A form of both (AFH, FAA-H-8083-3C, ch. 6 and 9).
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Form {
    /// Long and hard.
    #[default]
    Normal,
    /// Short: all of it is used, and an obstacle stands at its end.
    Short,
    /// Soft: the wheels are to carry as little for as short as they can.
    Soft,
}

impl Form {
    /// As the debrief calls it; none for the ordinary one.
    #[must_use]
    pub fn id(self) -> Option<&'static str> {
        match self {
            Form::Normal => None,
            Form::Short => Some("short_field"),
            Form::Soft => Some("soft_field"),
        }
    }
}
