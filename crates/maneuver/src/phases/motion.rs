//! The channels of a flight around one maneuver, cut once.

use super::wave::Wave;
use crate::{Bounds, Span};
use flight::{Fit, Flight, Origin, Series};

/// Waves around a maneuver; an absent quantity is an empty wave.
pub struct Motion<'a> {
    /// The flight.
    pub flight: &'a Flight,
    /// Earliest time that may belong to the maneuver, s.
    pub from_s: f64,
    /// Latest, s.
    pub to_s: f64,
    /// First and last time of the waves, s.
    pub cut_s: (f64, f64),
    /// Altitude that the pilot flew by, m.
    pub altitude: Wave,
    /// True height where known, m: without the altimeter's setting, temperature and port errors.
    pub height: Wave,
    /// Height above ground, m.
    pub agl: Wave,
    /// Climb rate, m/s.
    pub climb: Wave,
    /// Indicated airspeed, m/s.
    pub ias: Wave,
    /// Pitch, rad.
    pub pitch: Wave,
    /// Bank, rad, right positive.
    pub bank: Wave,
    /// Heading, rad, unwrapped.
    pub heading: Wave,
    /// Air-relative track, rad, unwrapped.
    pub air_track: Wave,
    /// Load factor, g.
    pub load: Wave,
    /// Lateral load, g.
    pub lateral: Wave,
    /// Angle of attack, rad.
    pub aoa: Wave,
    /// Lift over greatest lift.
    pub lift_ratio: Wave,
    /// Stall warning.
    pub warning: Wave,
    /// Elevator.
    pub elevator: Wave,
    /// Throttle lever.
    pub throttle: Wave,
    /// Engine speed, rad/s.
    pub engine: Wave,
    /// Manifold pressure, Pa.
    pub manifold: Wave,
    /// Fuel flow, m³/s.
    pub fuel: Wave,
    /// Share of power.
    pub power: Wave,
}

/// The path over the ground in a stretch of time, m east and north of the flight's origin.
pub struct GroundPath {
    /// Points, evenly in time.
    pub points: Vec<(f64, f64)>,
    /// Seconds between them.
    pub step_s: f64,
    /// Time of the first, s.
    pub from_s: f64,
    /// 1-σ of a point beside its neighbors, m.
    pub sigma_m: f64,
    /// Origin.
    pub origin: Origin,
}

/// How far beyond the decoder's bounds the real bounds may lie, s. Its steps are seconds long.
pub const REACH_S: f64 = 10.0;

impl<'a> Motion<'a> {
    /// Cuts every quantity from `before_s` ahead of the span to `after_s` beyond it, but not across a
    /// neighbor's middle.
    pub fn new(
        flight: &'a Flight,
        span: &Span,
        others: &[Span],
        before_s: f64,
        after_s: f64,
    ) -> Motion<'a> {
        let (first_s, last_s) = room(flight, span, others, before_s, after_s);
        let cut =
            |series: &Option<Series>| Wave::cut_option(flight, series.as_ref(), first_s, last_s);
        // What lies around given bounds still helps to read what lies within.
        let (from_s, to_s) = match span.bounds {
            Bounds::Sought => (first_s, last_s),
            Bounds::Given => (span.start_s.max(first_s), span.end_s.min(last_s)),
        };
        Motion {
            flight,
            from_s,
            to_s,
            cut_s: (first_s, last_s),
            altitude: cut(if flight.altitude.is_some() {
                &flight.altitude
            } else {
                &flight.height
            }),
            height: cut(&flight.height),
            agl: cut(&flight.agl),
            climb: cut(&flight.climb),
            ias: cut(&flight.ias),
            pitch: cut(&flight.pitch),
            bank: cut(&flight.bank),
            heading: cut(&flight.heading).unwrapped(),
            air_track: cut(&flight.air_track).unwrapped(),
            load: cut(&flight.load),
            lateral: cut(&flight.lateral),
            aoa: cut(&flight.aoa),
            lift_ratio: cut(&flight.lift_ratio),
            warning: cut(&flight.stall_warning),
            elevator: cut(&flight.elevator),
            throttle: cut(&flight.throttle),
            engine: cut(&flight.engine_speed),
            manifold: cut(&flight.manifold_pressure),
            fuel: cut(&flight.fuel_flow),
            power: cut(&flight.power),
        }
    }

    /// The path over the ground; `None` where no position is known.
    pub fn path(&self, from_s: f64, to_s: f64) -> Option<GroundPath> {
        let (east, north) = (self.flight.east.as_ref()?, self.flight.north.as_ref()?);
        let clock = self.flight.clock;
        let (first, last) = (clock.index(from_s), clock.index(to_s));
        let points: Vec<(f64, f64)> = (first..=last)
            .map(|index| (east.at(index), north.at(index)))
            .filter(|(east, north)| east.is_finite() && north.is_finite())
            .collect();
        let (sigma_m, origin) = self.quality(Some(east), 0.5 * (from_s + to_s));
        (points.len() > 2).then_some(GroundPath {
            points,
            step_s: clock.step_s,
            from_s: clock.time_s(first),
            // A receiver's slow wander moves the whole path; what is left beside it is a meter or two.
            sigma_m: sigma_m.clamp(1.0, 4.0),
            origin,
        })
    }

    /// σ of a series near a time, and its origin.
    pub fn quality(&self, series: Option<&Series>, at_s: f64) -> (f64, Origin) {
        series.map_or((f64::NAN, Origin::Assumed), |series| {
            (
                series.sigma_at(self.flight.clock.index(at_s)),
                series.origin,
            )
        })
    }

    /// σ of a bank near a time, and its origin: an attitude sensor is held to the better part of a degree,
    /// whatever the smoother says (common practice, no source).
    pub fn bank_quality(&self, at_s: f64) -> (f64, Origin) {
        let (sigma, origin) = self.quality(self.flight.bank.as_ref(), at_s);
        (sigma.hypot(0.8_f64.to_radians()), origin)
    }

    /// σ and origin of the altitude in use.
    pub fn altitude_quality(&self, at_s: f64) -> (f64, Origin) {
        self.quality(
            self.flight
                .altitude
                .as_ref()
                .or(self.flight.height.as_ref()),
            at_s,
        )
    }

    /// σ of a *difference* of altitudes, m. Slow errors (altimeter setting, temperature) cancel; what
    /// stays is the reading's noise and rounding and what is not known of the static system's lag
    /// (0.15 s) at the rate of climb.
    pub fn altitude_change_sigma_m(&self, climb_mps: f64) -> f64 {
        let noise = match self.flight.fit {
            Fit::Rich | Fit::Panel | Fit::Sparse => 0.8,
            // GNSS height wanders by a meter or two in half a minute (common practice, no source).
            Fit::GnssAttitude | Fit::Gnss => 2.0,
        };
        let lag = 0.15 * climb_mps.abs().min(30.0);
        (noise * noise + lag * lag).sqrt()
    }

    /// σ of a difference of airspeeds in the same maneuver, m/s.
    pub fn ias_change_sigma_mps(&self) -> f64 {
        match self.flight.ias.as_ref().map(|series| series.origin) {
            Some(Origin::Measured) => 0.35,
            _ => 1.6,
        }
    }
}

/// The room a maneuver may take.
fn room(flight: &Flight, span: &Span, others: &[Span], before_s: f64, after_s: f64) -> (f64, f64) {
    let end_of_flight = flight.clock.time_s(flight.clock.len.saturating_sub(1));
    let mut from_s = (span.start_s - before_s).max(0.0);
    let mut to_s = (span.end_s + after_s).min(end_of_flight);
    let same =
        |other: &Span| other.kind == span.kind && (other.start_s - span.start_s).abs() < 1e-6;
    for other in others.iter().filter(|other| !same(other)) {
        let middle = 0.5 * (other.start_s + other.end_s);
        // The neighbor's bounds may be off as well: give way only a little before its edge.
        if middle < span.start_s {
            from_s = from_s.max((other.end_s - 0.5 * REACH_S).max(middle));
        } else if middle > span.end_s {
            to_s = to_s.min((other.start_s + 0.5 * REACH_S).min(middle));
        }
    }
    (
        from_s.min(span.start_s).max(0.0),
        to_s.max(span.end_s).min(end_of_flight),
    )
}
