//! What the pilot holds at a moment. A maneuver is a function from what is seen to the next goal.

/// What the stick does fore and aft.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Nose {
    /// Pitch attitude, rad.
    Pitch(f64),
    /// Indicated airspeed by pitch, m/s.
    Speed(f64),
    /// Height above the reference by pitch, m.
    Height(f64),
    /// Rate of climb by pitch, m/s.
    Climb(f64),
    /// Angle of attack, rad: pull to the edge and no further.
    Alpha(f64),
    /// The stick moves back so much of its travel per second.
    Back(f64),
    /// The stick stays where it is.
    Still,
}

/// What the stick does sideways.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Wings {
    /// Bank, rad, + right.
    Bank(f64),
    /// Heading, rad, with at most 20° of bank.
    Heading(f64),
    /// Bank by the stick, heading by the pedals, rad: a slip, or rolling on a runway.
    Crossed {
        /// Bank, + right.
        bank: f64,
        /// Heading.
        heading: f64,
    },
    /// Hands off.
    Free,
}

/// What the throttle does.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Power {
    /// Throttle, 0…1.
    Throttle(f64),
    /// Indicated airspeed by power, m/s.
    Speed(f64),
    /// Height by power (behind the power curve), m.
    Height(f64),
    /// Rate of climb by power, m/s.
    Climb(f64),
}

/// All of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Goal {
    /// Stick fore and aft.
    pub nose: Nose,
    /// Stick sideways.
    pub wings: Wings,
    /// Throttle.
    pub power: Power,
    /// Rudder beyond what keeps the ball in the middle, share of travel: a foot that is wrong.
    pub foot: f64,
    /// Greatest pitch rate that is asked for, rad/s.
    pub pitch_rate: f64,
}

impl Goal {
    /// Wings on a heading, coordinated.
    #[must_use]
    pub fn new(nose: Nose, wings: Wings, power: Power) -> Goal {
        Goal {
            nose,
            wings,
            power,
            foot: 0.0,
            pitch_rate: 4_f64.to_radians(),
        }
    }

    /// With a wrong foot.
    #[must_use]
    pub fn foot(mut self, share: f64) -> Goal {
        self.foot = share;
        self
    }

    /// With a brisker hand.
    #[must_use]
    pub fn at_rate(mut self, radps: f64) -> Goal {
        self.pitch_rate = radps;
        self
    }
}
