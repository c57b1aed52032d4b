//! From abeam the threshold to the end of the roll: with power, onto a short or a soft field, from a slip, or power off all the
//! way (AFH ch. 9).

use super::field::Form;
use super::pattern::{self, BANK, BASE_M, HEIGHT_M, OUT_M, Pattern};
use super::takeoff::rolling;
use crate::goal::{Goal, Nose, Power, Wings};
use crate::log::Flown;
use crate::pilot::{Pilot, Seen};
use crate::runway::{Line, follow};
use crate::speeds::Speeds;
use air::units::{M_PER_FT, wrap_pi};

/// How it is flown.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Landing {
    /// Approach speed, m/s.
    pub speed: f64,
    /// The same and what is too much of it.
    pub flown_speed: f64,
    /// Last flap detent.
    pub detent: usize,
    /// First flap so much above VFE, m/s; 0 = below it.
    pub flaps_over: f64,
    /// Where it shall touch down past the threshold, m.
    pub point: f64,
    /// So much above the glide path, m.
    pub high: f64,
    /// What the runway asks for.
    pub form: Form,
    /// It is aimed so far beyond the point, m.
    pub long: f64,
    /// The nose comes down with the main wheels.
    pub nose_falls: bool,
}

/// Height of the eyes when the wheels touch: what a glide path to the runway ends at, m.
const ON_WHEELS_M: f64 = 1.1;
/// The flare begins here, m above the wheels' height.
const FLARE_M: f64 = 7.0;
/// The round-out carries it about so far past the end of the glide path, m (tried out on the model).
const FLOAT_M: f64 = 20.0;

/// What is left of the way to the aim point over downwind, base and final, m.
fn left_to_go(seen: &Seen, pattern: &Pattern, leg: usize, aim: f64) -> f64 {
    let upwind = pattern.upwind();
    let along = upwind.along(seen.place);
    let across = upwind.across(seen.place).abs();
    match leg {
        0 => (BASE_M + along).max(0.0) + OUT_M + BASE_M + aim,
        1 => across + BASE_M + aim,
        _ => aim - along,
    }
}

/// Where the approach is: 0 downwind, 1 base, 2 final; the moments of its turns go into the truth.
pub(super) struct Legs {
    pub leg: usize,
    pub behind: f64,
}

impl Legs {
    pub fn line(&self, pattern: &Pattern) -> Line {
        match self.leg {
            0 => pattern.downwind(),
            1 => pattern.base(self.behind),
            _ => pattern.upwind(),
        }
    }

    pub fn see(&mut self, seen: &Seen, pattern: &Pattern, flown: &mut Flown) {
        let upwind = pattern.upwind();
        let lead = pattern::lead(seen);
        if self.leg == 0 && upwind.along(seen.place) < -self.behind + lead {
            self.leg = 1;
            flown.moment("base", seen.t);
        } else if self.leg == 1 && upwind.across(seen.place).abs() < lead {
            self.leg = 2;
            flown.moment("final_turn", seen.t);
        } else if self.leg == 2
            && seen.bank.abs() < 0.08
            && wrap_pi(seen.track - upwind.course).abs() < 0.12
        {
            flown.moment("final", seen.t);
        }
    }
}

/// Lowers the flaps step by step as the legs go by.
pub(super) fn flaps(p: &mut Pilot, wanted: usize, limit: f64, flown: &mut Flown) {
    let angle = p.airframe().flaps.get(wanted).map_or(0.0, |f| f.angle_rad);
    if angle > p.controls.flap_rad + 1e-9 && p.seen.ias < limit {
        p.controls.flap_rad = angle;
        flown.moment(format!("flap_down_{wanted}"), p.seen.t);
    }
}

/// The approach from abeam the threshold down to a height on final. The glide path is one slope over the ground all the way.
pub fn approach(
    pilot: &mut Pilot,
    speeds: &Speeds,
    pattern: &Pattern,
    how: &Landing,
    to_agl: f64,
    flown: &mut Flown,
) {
    flown.moment("downwind_abeam", pilot.seen.t);
    let aim = how.point + how.long - FLOAT_M;
    let mut legs = Legs {
        leg: 0,
        behind: BASE_M,
    };
    let slope = HEIGHT_M / left_to_go(&pilot.seen, pattern, 0, aim).max(1000.0);
    let limit = if how.flaps_over > 0.0 {
        speeds.vfe + how.flaps_over
    } else {
        speeds.vfe - 2.0
    };
    pilot.fly(400.0, |p| {
        legs.see(&p.seen, pattern, flown);
        flaps(p, (legs.leg + 1).min(how.detent), limit, flown);
        let speed = match legs.leg {
            0 => 1.2 * how.speed,
            1 => 1.1 * how.speed + 0.5 * (how.flown_speed - how.speed),
            _ => how.flown_speed,
        };
        let wanted = slope * left_to_go(&p.seen, pattern, legs.leg, aim) + ON_WHEELS_M + how.high;
        let climb = -slope * p.seen.groundspeed + 0.12 * (wanted - p.seen.agl);
        let bank = if legs.leg == 2 { 0.4 } else { BANK };
        let wings = follow(&p.seen, &legs.line(pattern), bank, 0.0);
        let power = Power::Climb(climb.clamp(-6.0, 0.5));
        (p.seen.agl > to_agl || legs.leg < 2).then(|| Goal::new(Nose::Speed(speed), wings, power))
    });
}

/// The wing into the wind and the nose along the runway.
fn wing_down(seen: &Seen, line: &Line) -> Wings {
    let drift = seen.groundspeed * (seen.track - line.course).sin();
    let bank = -0.012 * line.across(seen.place) - 0.06 * drift;
    Wings::Crossed {
        bank: bank.clamp(-0.15, 0.15),
        heading: line.course,
    }
}

/// Flare, touchdown and roll on an ordinary runway.
pub fn land(pilot: &mut Pilot, pattern: &Pattern, flown: &mut Flown) {
    land_as(pilot, pattern, Form::Normal, false, flown);
}

/// Power that stays on to a soft field, share of the throttle's travel: it carries the last foot.
const CARRIES: f64 = 0.12;

/// Flare, touchdown and roll: on a short field the brakes at once, on a soft one a touch of power and the nose held up as long as
/// the elevator can (`nose_falls`: it is not).
fn land_as(pilot: &mut Pilot, pattern: &Pattern, form: Form, nose_falls: bool, flown: &mut Flown) {
    let line = pattern.upwind();
    let mut throttle = pilot.controls.throttle;
    let mut touched = f64::NAN;
    let mut hold = pilot.seen.pitch;
    pilot.fly(60.0, |p| {
        let above = p.seen.agl - ON_WHEELS_M;
        if p.seen.on_ground {
            touched = p.seen.t;
            return None;
        }
        let (off, least) = match form {
            Form::Normal => (0.006, 0.0),
            Form::Short => (0.012, 0.0),
            Form::Soft => (0.004, CARRIES),
        };
        throttle = (throttle - off).max(least.min(throttle));
        // The sink goes with the height: an exponential round-out, and held off at the end of it.
        let sink = (0.36 * above + 0.25).clamp(0.3, 7.0);
        let off = (-sink - p.seen.climb) / p.seen.tas.max(20.0);
        hold = (hold + 0.02 * 1.8 * off).clamp(-0.2, 0.19);
        let nose = Nose::Pitch((hold + 1.5 * off).clamp(-0.2, 0.19));
        let wings = wing_down(&p.seen, &line);
        Some(Goal::new(nose, wings, Power::Throttle(throttle)).at_rate(0.2))
    });
    flown.moment("touchdown", touched);
    let place = line.along(pilot.seen.place);
    flown
        .numbers
        .insert("touchdown_distance_ft", (place / M_PER_FT).round());
    let mut pitch = pilot.seen.pitch;
    // Standing on three wheels the nose points below the horizon: whoever lets it fall goes past that.
    let (rate, least) = if nose_falls {
        (0.3, -0.08)
    } else {
        (4_f64.to_radians(), 0.0)
    };
    pilot.fly(60.0, |p| {
        let since = p.seen.t - touched;
        let (falls, from, brakes) = match form {
            Form::Normal => (0.03, 3.0, 0.5),
            Form::Short => (0.3, 0.8, 1.0),
            // It keeps moving: the brakes come where the soft part ends.
            Form::Soft if nose_falls => (0.3, 15.0, 0.4),
            Form::Soft => (0.0, 15.0, 0.4),
        };
        pitch = (pitch - 0.02 * falls).max(least);
        p.controls.brakes = if since > from { brakes } else { 0.0 };
        if since > 8.0 {
            flown.end_s = p.seen.t;
        }
        let nose = if since < if form == Form::Soft { 12.0 } else { 4.0 } {
            Nose::Pitch(pitch)
        } else {
            Nose::Still
        };
        (p.seen.groundspeed > 1.0 || since < 9.0)
            .then(|| Goal::new(nose, rolling(&p.seen, &line), Power::Throttle(0.0)).at_rate(rate))
    });
    if flown.end_s < touched {
        flown.end_s = pilot.seen.t;
    }
}

/// A landing with power.
pub fn fly(pilot: &mut Pilot, speeds: &Speeds, pattern: &Pattern, how: &Landing) -> Flown {
    let mut flown = begin("landing", pilot, pattern, how);
    approach(
        pilot,
        speeds,
        pattern,
        how,
        ON_WHEELS_M + FLARE_M,
        &mut flown,
    );
    land_as(pilot, pattern, how.form, how.nose_falls, &mut flown);
    flown
}

/// What the truth says of any of them.
pub(super) fn begin(kind: &'static str, pilot: &Pilot, pattern: &Pattern, how: &Landing) -> Flown {
    let mut flown = Flown::new(kind, pilot.seen.t);
    flown.direction = Some(if pattern.side > 0.0 { "right" } else { "left" });
    flown.asked.insert("target_ias", how.speed);
    flown
        .numbers
        .insert("pattern_altitude_agl", HEIGHT_M / M_PER_FT);
    flown
        .numbers
        .insert("point_ft", (how.point / M_PER_FT).round());
    if let Some(form) = how.form.id() {
        flown.words.insert("form", form);
    }
    flown
}

/// A slip on final: the wing `wing` (−1 left, +1 right) low, the nose the other way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Slip {
    /// Which wing is low.
    pub wing: f64,
    /// Bank, rad.
    pub bank: f64,
}

/// The wing low, and the nose so far to the other side that the track stays on the line: `nose` is what the feet have
/// found so far, rad from the line, zero at first.
pub(super) fn slipping(seen: &Seen, line: &Line, slip: &Slip, nose: &mut f64) -> Wings {
    if *nose == 0.0 {
        *nose = -0.10 * slip.wing;
    }
    let off = (seen.track - line.course).sin() + 0.002 * line.across(seen.place);
    *nose = (*nose - 0.02 * 0.6 * off).clamp(-0.45, 0.45);
    Wings::Crossed {
        bank: slip.wing * slip.bank,
        heading: line.course + *nose,
    }
}

/// A final that is too high, the slip that loses the height, and the landing: the truths of both.
pub fn slipped(
    pilot: &mut Pilot,
    speeds: &Speeds,
    pattern: &Pattern,
    how: &Landing,
    slip: &Slip,
) -> [Flown; 2] {
    let mut landing = begin("landing", pilot, pattern, how);
    landing.words.insert("form", "forward_slip");
    let line = pattern.upwind();
    // Flaps up and far above the glide path: nothing but a slip brings it down.
    let high = Landing {
        detent: 0,
        high: 80.0,
        ..*how
    };
    approach(pilot, speeds, pattern, &high, 180.0, &mut landing);
    let (aim, from) = (how.point - FLOAT_M, pilot.seen.height);
    let mut flown = Flown::new("forward_slip", pilot.seen.t);
    flown.direction = Some(if slip.wing > 0.0 { "right" } else { "left" });
    flown.moment("slip_start", pilot.seen.t);
    let mut nose = 0.0;
    let steep = 4.5_f64.to_radians().tan();
    pilot.fly(40.0, |p| {
        let wanted = steep * (aim - line.along(p.seen.place)) + ON_WHEELS_M;
        let more = p.seen.height > wanted.min(from) && p.seen.agl > 30.0;
        more.then(|| {
            Goal::new(
                Nose::Speed(how.flown_speed),
                slipping(&p.seen, &line, slip, &mut nose),
                Power::Throttle(0.0),
            )
        })
    });
    flown.moment("slip_end", pilot.seen.t);
    flown.end_s = pilot.seen.t;
    let slope = (pilot.seen.agl - ON_WHEELS_M) / (aim - line.along(pilot.seen.place)).max(150.0);
    pilot.fly(90.0, |p| {
        flaps(p, how.detent, speeds.vfe - 2.0, &mut landing);
        let wanted = slope * (aim - line.along(p.seen.place)) + ON_WHEELS_M;
        let climb = -slope * p.seen.groundspeed + 0.12 * (wanted - p.seen.agl);
        (p.seen.agl > ON_WHEELS_M + FLARE_M).then(|| {
            Goal::new(
                Nose::Speed(how.flown_speed),
                follow(&p.seen, &line, 0.3, 0.0),
                Power::Climb(climb.clamp(-6.0, 0.5)),
            )
        })
    });
    land(pilot, pattern, &mut landing);
    [landing, flown]
}
