//! What a figure over the ground is flown by: where the aircraft was, how fast and which way over the ground, and
//! the wind that it had to be held against.

use super::circle;
use super::motion::Motion;
use super::sheet::Sheet;
use super::wave::Wave;
use flight::Origin;

/// Wind under which its direction means nothing to a pilot, m/s (5 kt; common practice, no source).
const FELT_MPS: f64 = 2.57;
/// Neighboring errors of a path last about so long, s: a correction is flown in some ten seconds.
pub const ALIKE_S: f64 = 10.0;

/// The motion over the ground around one maneuver; angles rad from true north.
pub struct Ground {
    /// East of the flight's origin, m.
    pub east: Wave,
    /// North of it, m.
    pub north: Wave,
    /// Speed, m/s.
    pub speed: Wave,
    /// Track, unwrapped.
    pub track: Wave,
    /// The wind of the maneuver, where it is known.
    pub wind: Option<Wind>,
    /// 1-σ of a point beside its neighbors, m.
    pub sigma_m: f64,
    /// Origin of the positions.
    pub origin: Origin,
}

/// A wind, by where it blows to.
#[derive(Clone, Copy, Debug)]
pub struct Wind {
    /// To the east, m/s.
    pub east_mps: f64,
    /// To the north, m/s.
    pub north_mps: f64,
    /// 1-σ of each of the two, m/s.
    pub sigma_mps: f64,
    /// Origin.
    pub origin: Origin,
}

impl Wind {
    /// Speed, m/s.
    #[must_use]
    pub fn speed_mps(&self) -> f64 {
        self.east_mps.hypot(self.north_mps)
    }
    /// The direction of flight with the wind straight behind, rad.
    #[must_use]
    pub fn downwind_rad(&self) -> f64 {
        self.east_mps.atan2(self.north_mps)
    }
    /// 1-σ of the direction, rad.
    #[must_use]
    pub fn direction_sigma_rad(&self) -> f64 {
        self.sigma_mps.atan2(self.speed_mps())
    }
    /// Whether there is enough of it to speak of upwind and downwind.
    #[must_use]
    pub fn is_felt(&self) -> bool {
        self.speed_mps() > FELT_MPS.max(1.5 * self.sigma_mps)
    }
}

impl Ground {
    /// From the positions; `None` where there are none.
    #[must_use]
    pub fn new(motion: &Motion, from_s: f64, to_s: f64) -> Option<Ground> {
        let flight = motion.flight;
        let cut = |series| Wave::cut_option(flight, series, motion.cut_s.0, motion.cut_s.1);
        let (east, north) = (cut(flight.east.as_ref()), cut(flight.north.as_ref()));
        if !east.is_known() || !north.is_known() {
            return None;
        }
        let path = motion.path(from_s, to_s)?;
        let (fast_east, fast_north) = (east.rate(2.0), north.rate(2.0));
        let recorded = cut(flight.track.as_ref());
        let track = if recorded.is_known() {
            recorded
        } else {
            fast_east.with(&fast_north, f64::atan2)
        };
        let wind = wind_of(motion, from_s, to_s)
            .or_else(|| wind_by_circle(&fast_east, &fast_north, from_s, to_s));
        Some(Ground {
            speed: fast_east.with(&fast_north, f64::hypot),
            track: track.unwrapped(),
            east,
            north,
            wind,
            sigma_m: path.sigma_m,
            origin: path.origin,
        })
    }

    /// Position at a moment, m east and north.
    #[must_use]
    pub fn at(&self, time_s: f64) -> (f64, f64) {
        (self.east.at(time_s), self.north.at(time_s))
    }

    /// Times and positions in a stretch.
    pub fn points(&self, from_s: f64, to_s: f64) -> impl Iterator<Item = (f64, (f64, f64))> + '_ {
        self.east
            .between(from_s, to_s)
            .map(|(time_s, east)| (time_s, (east, self.north.at(time_s))))
            .filter(|(_, (_, north))| north.is_finite())
    }

    /// Mean track over the ground in a stretch by where it led, rad; NaN where it led nowhere.
    #[must_use]
    pub fn course(&self, from_s: f64, to_s: f64) -> f64 {
        let (a, b) = (self.at(from_s), self.at(to_s));
        let (east, north) = (b.0 - a.0, b.1 - a.1);
        if east.hypot(north) > 1.0 {
            east.atan2(north)
        } else {
            f64::NAN
        }
    }

    /// Angle between the nose and the track at a moment by wind and track, rad, the nose to the right positive; zero
    /// where the wind is not known.
    #[must_use]
    pub fn crab(&self, time_s: f64) -> f64 {
        let Some(wind) = self.wind else { return 0.0 };
        let (track, speed) = (self.track.at(time_s), self.speed.at(time_s));
        let east = speed * track.sin() - wind.east_mps;
        let north = speed * track.cos() - wind.north_mps;
        air::units::wrap_pi(east.atan2(north) - track)
    }

    /// Writes the wind, and how far from straight downwind it was entered.
    pub fn write_wind(&self, entry_s: f64, sheet: &mut Sheet) {
        const NAMES: [&str; 3] = ["wind_speed", "wind_from", "entry_off_downwind"];
        let Some(wind) = self.wind else {
            for name in NAMES {
                sheet.missing(name, "the wind is not known");
            }
            return;
        };
        let sigma = wind.sigma_mps;
        sheet.fact("wind_speed", wind.speed_mps(), "m/s", sigma, wind.origin);
        if !wind.is_felt() {
            sheet.missing("wind_from", "there was next to no wind");
            sheet.does_not_apply("entry_off_downwind");
            return;
        }
        let sigma = wind.direction_sigma_rad();
        let from = air::units::wrap_tau(wind.downwind_rad() + std::f64::consts::PI);
        sheet.fact("wind_from", from, "rad", sigma, wind.origin);
        let off = air::units::wrap_pi(self.track.at(entry_s) - wind.downwind_rad()).abs();
        // Where the turn is begun the track is known to a few degrees.
        let sigma = sigma.hypot(3.0_f64.to_radians());
        sheet.fact("entry_off_downwind", off, "rad", sigma, wind.origin);
    }
}

/// The flight's own wind over the maneuver.
fn wind_of(motion: &Motion, from_s: f64, to_s: f64) -> Option<Wind> {
    let flight = motion.flight;
    let cut = |series| Wave::cut_option(flight, series, motion.cut_s.0, motion.cut_s.1);
    let east = cut(flight.wind_east.as_ref()).mean(from_s, to_s);
    let north = cut(flight.wind_north.as_ref()).mean(from_s, to_s);
    let (sigma, origin) = motion.quality(flight.wind_east.as_ref(), 0.5 * (from_s + to_s));
    (east.is_finite() && north.is_finite()).then_some(Wind {
        east_mps: east,
        north_mps: north,
        sigma_mps: if sigma.is_finite() { sigma } else { 1.5 },
        origin: origin.max(Origin::Derived),
    })
}

/// At one airspeed the velocities over the ground lie on a circle about the wind.
fn wind_by_circle(east: &Wave, north: &Wave, from_s: f64, to_s: f64) -> Option<Wind> {
    let velocities: Vec<(f64, f64)> = east
        .between(from_s, to_s)
        .map(|(time_s, east)| (east, north.at(time_s)))
        .collect();
    let found = circle::fit(&velocities)?;
    let separate = ((to_s - from_s) / ALIKE_S).max(1.0);
    let sigma_mps = (2.0 * found.rms_m / separate.sqrt()).hypot(0.3);
    // A circle that is not the size of a light aircraft's speed came out of an arc too short.
    let sane = (15.0..150.0).contains(&found.radius_m) && sigma_mps < 3.0;
    sane.then_some(Wind {
        east_mps: found.east_m,
        north_mps: found.north_m,
        sigma_mps,
        origin: Origin::Derived,
    })
}
