//! What is known around one stall, and where its middle lies.

use super::critical;
use crate::phases::flaps;
use crate::phases::motion::Motion;
use crate::phases::power::Lever;
use crate::phases::wave::Wave;
use crate::{Kind, Span};
use aircraft::Aircraft;
use flight::{Air, Flight, Origin};

/// Critical angle of attack of a trainer's wing when the aircraft file has none, rad. Published wing
/// sections of light aircraft stall at 14° to 18° (Abbott and von Doenhoff, Theory of Wing Sections, 1959).
const USUAL_CRITICAL_RAD: f64 = 16.0 * std::f64::consts::PI / 180.0;

/// A stall's surroundings.
pub struct Scene<'a> {
    /// Channels.
    pub motion: &'a Motion<'a>,
    /// Aircraft.
    pub aircraft: &'a Aircraft,
    /// What the decoder said.
    pub span: &'a Span,
    /// Power.
    pub lever: Option<Lever>,
    /// Whether the pull to the stall in a steep bank was seen; then the anchor is its moment.
    pub pull_seen: bool,
    /// About when the stall was, s.
    pub anchor_s: f64,
    /// What is not known of that, s.
    pub anchor_sigma_s: f64,
    /// Where to look for it, s.
    pub search_s: (f64, f64),
    /// Angle of attack with the quickest noise off, rad.
    pub aoa: Wave,
    /// 1-σ of it, rad.
    pub aoa_sigma_rad: f64,
    /// Whether a vane was recorded.
    pub vane: bool,
    /// Critical angle of attack with the flaps as they were, rad.
    pub critical_rad: f64,
    /// Whether the aircraft file gave it.
    pub critical_known: bool,
}

impl<'a> Scene<'a> {
    /// Looks around a span.
    pub fn new(motion: &'a Motion<'a>, aircraft: &'a Aircraft, span: &'a Span) -> Scene<'a> {
        let flight = motion.flight;
        let anchor_s = span.anchor_s.filter(|at| at.is_finite());
        let (anchor_s, reach_s) =
            anchor_s.map_or_else(|| (slowest(motion, span), 6.0), |at| (at, 4.0));
        // Where the pull shows, the nose that falls in the roll-in or the roll-out is not looked at.
        let pull_s = pulled(motion, span).filter(|_| span.kind == Kind::AcceleratedStall);
        let (anchor_s, reach_s) = pull_s.map_or((anchor_s, reach_s), |at| (at, 1.5));
        let vane = flight
            .aoa
            .as_ref()
            .is_some_and(|aoa| aoa.origin == Origin::Measured);
        let sigma = motion.quality(flight.aoa.as_ref(), anchor_s).0;
        let floor = aoa_sigma_floor(flight, vane);
        let clean_rad = aircraft.critical_aoa_rad.unwrap_or(USUAL_CRITICAL_RAD);
        let (flap_rad, _) = flaps::angle_at(motion, anchor_s - 1.0);
        let drop = critical::drop(aircraft, clean_rad, flap_rad);
        Scene {
            motion,
            aircraft,
            span,
            lever: Lever::best(motion),
            pull_seen: pull_s.is_some(),
            anchor_s,
            anchor_sigma_s: 0.6 * reach_s,
            search_s: (
                (anchor_s - reach_s).max(motion.from_s),
                (anchor_s + reach_s + 1.0).min(motion.to_s),
            ),
            aoa: motion.aoa.smooth(0.3),
            aoa_sigma_rad: if sigma.is_finite() {
                sigma.max(floor)
            } else {
                floor
            }
            .hypot(drop.sigma_rad),
            vane,
            critical_rad: clean_rad - drop.rad,
            critical_known: aircraft.critical_aoa_rad.is_some(),
        }
    }

    /// Whether there is anything to judge a stall by.
    pub fn can_tell(&self) -> bool {
        self.motion.ias.is_known()
            || self.motion.pitch.is_known()
            || self.motion.altitude.is_known()
    }

    /// Whether an estimated angle of attack can be held against the critical one: the airspeed was measured,
    /// the air was not rough, and the flaps are known well enough.
    pub fn angle_is_sound(&self) -> bool {
        let flight = self.motion.flight;
        let airspeed = flight
            .ias
            .as_ref()
            .is_some_and(|ias| ias.origin == Origin::Measured);
        let out = flaps::out_at(self.motion, self.anchor_s - 1.0);
        let flaps = self.aircraft.has_flaps() == Some(false)
            || (out.is_finite() && !(0.1..=0.9).contains(&out));
        airspeed && flaps && flight.air != Air::Rough
    }

    /// How much wider times are in this air: gusts move pitch, speed and sink alike.
    pub fn air_factor(&self) -> f64 {
        match self.motion.flight.air {
            Air::Calm => 1.0,
            Air::Light => 1.25,
            Air::Rough => 1.8,
        }
    }

    /// Whether an accelerated stall: its signs differ.
    pub fn accelerated(&self) -> bool {
        self.span.kind == Kind::AcceleratedStall
    }
}

/// A vane knows its angle to half a degree; pitch less path has the gust in it.
fn aoa_sigma_floor(flight: &Flight, vane: bool) -> f64 {
    let degrees: f64 = match (vane, flight.air) {
        (true, _) => 0.5,
        (false, Air::Calm) => 0.8,
        (false, Air::Light) => 1.5,
        (false, Air::Rough) => 3.5,
    };
    degrees.to_radians()
}

/// When the wing first had as good as all of its lift in a bank, s. In a stall that is held it may have it again.
fn pulled(motion: &Motion, span: &Span) -> Option<f64> {
    const BANK_RAD: f64 = 28.0 * std::f64::consts::PI / 180.0;
    const AS_GOOD_AS_ALL: f64 = 0.8;
    /// Of the most that was seen, and so long until the top, s.
    const NEARLY: f64 = 0.92;
    const TOP_S: f64 = 1.5;
    let share = motion
        .lift_ratio
        .smooth(1.0)
        .with(&motion.bank.smooth(1.0), |share, bank| {
            if bank.abs() > BANK_RAD { share } else { 0.0 }
        });
    let (_, most) = share
        .highest(span.start_s, span.end_s)
        .filter(|(_, most)| *most > AS_GOOD_AS_ALL)?;
    let first = share.first_beyond(span.start_s, span.end_s, NEARLY * most, true)?;
    share.highest(first, first + TOP_S).map(|(at, _)| at)
}

/// The middle of a stall that nobody marked: the lowest airspeed, else the middle of the span.
fn slowest(motion: &Motion, span: &Span) -> f64 {
    motion
        .ias
        .smooth(1.0)
        .lowest(span.start_s, span.end_s)
        .map_or(0.5 * (span.start_s + span.end_s), |(at, _)| at - 1.0)
}
