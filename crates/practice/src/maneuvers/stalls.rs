//! Stalls: power-off, power-on, accelerated; full or to the first cue, and recovered well or badly.

use crate::goal::{Goal, Nose, Power, Wings};
use crate::log::Flown;
use crate::pilot::{Pilot, Seen};
use crate::speeds::Speeds;

/// Which one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Entry {
    /// Approach configuration, power off.
    PowerOff,
    /// Takeoff configuration, power on.
    PowerOn,
    /// Out of a steep bank, pulled.
    Accelerated,
}

/// How it is flown. All faults at zero is a clean one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stall {
    /// Which one.
    pub entry: Entry,
    /// Bank in the entry, rad, + right; 0 = straight.
    pub bank: f64,
    /// Flap detent.
    pub detent: usize,
    /// A descent before the power comes off, s (power-off); 0 = straight from level flight.
    pub descent_s: f64,
    /// Recover at the first cue instead of the full stall.
    pub at_cue: bool,
    /// Loss of speed in the entry, m/s².
    pub slowing: f64,
    /// Throttle of the entry, 0…1; none = what is usual for the kind.
    pub entry_throttle: Option<f64>,
    /// Held in the stall for so long, s.
    pub held_s: f64,
    /// Full power so late after the unload, s.
    pub late_power_s: f64,
    /// Throttle of the recovery, 0…1: less than one is a recovery with too little power.
    pub recovery_throttle: f64,
    /// Pitch down more than needed, rad.
    pub deep: f64,
    /// The unload is kept for at least so long after the wing flies again, s.
    pub unload_s: f64,
    /// Flaps all at once.
    pub together: bool,
    /// They come up so long after the unload, s,
    pub together_after_s: f64,
    /// or as early as in the unload: so long after it began, s.
    pub together_in_unload_s: Option<f64>,
    /// From one step of the flaps up to the next, s; they move for two or three of it.
    pub step_s: f64,
    /// Flaps stay.
    pub flaps_stay: bool,
    /// Level and faster instead of a climb, s.
    pub level_s: f64,
    /// Pulled again too early, into a second stall.
    pub second: bool,
    /// How briskly the stick comes back into the second stall, share of its travel a second.
    pub second_rate_per_s: f64,
    /// How long the second stall is held, s.
    pub second_held_s: f64,
    /// A wrong foot in the entry, share of travel.
    pub foot: f64,
    /// Whether the setup begins by slowing from cruise.
    pub setup: bool,
    /// First flap so much above VFE, m/s.
    pub flaps_over: f64,
    /// Rate of the pull, rad/s; 0 = as it should be.
    pub abrupt: f64,
    /// Throttle of a power-on entry.
    pub throttle: f64,
    /// The unload goes on until the nose is as low as `deep` says, whatever the speed.
    pub deep_whole: bool,
    /// Pedal kicked in at the break, share of travel, + right.
    pub kick: f64,
}

impl Default for Stall {
    fn default() -> Stall {
        Stall::clean(Entry::PowerOff)
    }
}

impl Stall {
    /// A clean one, full stall.
    #[must_use]
    pub fn clean(entry: Entry) -> Stall {
        Stall {
            entry,
            bank: if entry == Entry::Accelerated {
                0.78
            } else {
                0.0
            },
            detent: if entry == Entry::PowerOff { 3 } else { 0 },
            descent_s: 15.0,
            at_cue: false,
            slowing: 0.6,
            entry_throttle: None,
            held_s: 0.4,
            late_power_s: 0.5,
            recovery_throttle: 1.0,
            deep: 0.0,
            unload_s: 0.5,
            together: false,
            together_after_s: 0.5,
            together_in_unload_s: None,
            step_s: 3.0,
            flaps_stay: false,
            level_s: 0.0,
            second: false,
            second_rate_per_s: 0.5,
            second_held_s: 0.0,
            foot: 0.0,
            setup: true,
            flaps_over: 0.0,
            abrupt: 0.0,
            throttle: 0.85,
            deep_whole: false,
            kick: 0.0,
        }
    }
}

/// The wing shakes so long before it lets go, rad.
const SHAKES_RAD: f64 = 2.625 * std::f64::consts::PI / 180.0;

/// How far back the stick and the trim hold the elevator.
fn stick(pilot: &Pilot) -> f64 {
    pilot.controls.elevator + pilot.controls.trim
}

/// Where the flow stands: the cue at 83 % of the lift, the stall past the critical angle with pitch falling or sinking.
struct Watch {
    peak_pitch: f64,
    slow_alpha: f64,
    stalled: bool,
    cue: bool,
    stop_s: f64,
}

impl Watch {
    fn new() -> Watch {
        Watch {
            peak_pitch: f64::NEG_INFINITY,
            slow_alpha: 0.0,
            stalled: false,
            cue: false,
            stop_s: 0.0,
        }
    }

    fn see(&mut self, pilot: &Pilot, flown: &mut Flown) {
        let seen = &pilot.seen;
        let critical = pilot.airframe().critical_near(seen.flap);
        self.peak_pitch = self.peak_pitch.max(seen.pitch);
        // What is heard and felt is no single gust.
        self.slow_alpha += 0.02 / 0.4 * (seen.alpha - self.slow_alpha);
        if !self.cue && self.slow_alpha > critical - SHAKES_RAD {
            self.cue = true;
            flown.moment("first_cue", seen.t);
        }
        self.stop_s = if stick(pilot) > 0.9 {
            self.stop_s + 0.02
        } else {
            0.0
        };
        let falls = self.peak_pitch - seen.pitch > 1.5_f64.to_radians();
        let sinks = seen.climb < -2.03 && stick(pilot) > 0.5;
        if !self.stalled && seen.alpha > critical && (falls || sinks || self.stop_s > 1.0) {
            self.stalled = true;
            flown.moment("full_stall", seen.t);
        }
    }
}

/// Flies it.
pub fn fly(pilot: &mut Pilot, speeds: &Speeds, how: &Stall) -> Flown {
    let kind = match how.entry {
        Entry::PowerOff => "power_off_stall",
        Entry::PowerOn => "power_on_stall",
        Entry::Accelerated => "accelerated_stall",
    };
    let mut flown = Flown::new(kind, pilot.seen.t);
    flown.direction = Some(match how.bank {
        b if b > 0.05 => "right",
        b if b < -0.05 => "left",
        _ => "straight",
    });
    flown.words.insert(
        "specified_recovery",
        if how.at_cue {
            "first_indication"
        } else {
            "full_stall"
        },
    );
    flown.moment("setup_start", pilot.seen.t);
    let flap = pilot
        .airframe()
        .flaps
        .get(how.detent)
        .map_or(0.0, |flap| flap.angle_rad);
    set_up(pilot, speeds, how, flap, &mut flown);
    let watch = enter(pilot, speeds, how, &mut flown);
    recover(pilot, speeds, how, watch, &mut flown);
    flown.end_s = pilot.seen.t;
    if how.late_power_s > 2.5 {
        flown.faults.push("late_power");
    }
    if how.held_s > 2.0 {
        flown.faults.push("held_too_long");
    }
    if how.at_cue {
        flown.faults.push("recover_at_cue");
    }
    flown
}

fn set_up(pilot: &mut Pilot, speeds: &Speeds, how: &Stall, flap: f64, flown: &mut Flown) {
    let (height, heading) = (pilot.seen.height, pilot.seen.heading);
    let wings = Wings::Heading(heading);
    if how.setup {
        let until = match how.entry {
            Entry::PowerOff => speeds.approach,
            Entry::PowerOn => 1.32 * speeds.vs1,
            Entry::Accelerated => 1.38 * speeds.vs1,
        };
        let mut step = 0;
        let detents: Vec<f64> = pilot
            .airframe()
            .flaps
            .iter()
            .map(|f| f.angle_rad)
            .filter(|a| *a > 0.0 && *a <= flap + 1e-9)
            .collect();
        let mut wait = 0.0;
        pilot.fly(90.0, |p| {
            wait -= 0.02;
            if let Some(angle) = detents.get(step)
                && p.seen.ias
                    < speeds.vfe
                        + if how.flaps_over > 0.0 {
                            how.flaps_over
                        } else {
                            -2.0
                        }
                && wait <= 0.0
            {
                p.controls.flap_rad = *angle;
                step += 1;
                wait = 4.0;
                flown.moment(format!("flap_down_{step}"), p.seen.t);
            }
            (p.seen.ias > until || step < detents.len())
                .then(|| Goal::new(Nose::Height(height), wings, Power::Throttle(0.12)))
        });
    }
    if how.entry == Entry::PowerOff && how.descent_s > 0.0 {
        pilot.hold(
            how.descent_s,
            Goal::new(Nose::Speed(speeds.approach), wings, Power::Climb(-2.5)),
        );
        flown.moment("descent_stable", pilot.seen.t);
    }
}

fn enter(pilot: &mut Pilot, speeds: &Speeds, how: &Stall, flown: &mut Flown) -> Watch {
    let heading = pilot.seen.heading;
    let throttle = match how.entry {
        Entry::PowerOff => 0.0,
        Entry::PowerOn => how.throttle,
        Entry::Accelerated => 0.35,
    };
    let throttle = how.entry_throttle.unwrap_or(throttle);
    flown.moment(
        if how.entry == Entry::PowerOn {
            "power_set"
        } else {
            "idle"
        },
        pilot.seen.t,
    );
    flown.moment("pitch_up", pilot.seen.t + 0.4);
    let mut watch = Watch::new();
    let mut since = f64::NAN;
    let start = pilot.seen.t;
    let pitch0 = pilot.seen.pitch;
    let critical = pilot.airframe().critical_near(pilot.seen.flap);
    let mut pull = pilot.seen.alpha;
    pilot.fly(60.0, |p| {
        watch.see(p, flown);
        let done = if how.at_cue { watch.cue } else { watch.stalled };
        if done && since.is_nan() {
            since = p.seen.t;
        }
        let over = if how.at_cue { 0.3 } else { how.held_s };
        if done && p.seen.t - since >= over {
            return None;
        }
        let t = p.seen.t - start;
        let wings = if how.kick != 0.0 && watch.cue {
            // A wing that drops is not caught by the ailerons of whoever lets it drop.
            Wings::Free
        } else if how.bank == 0.0 {
            Wings::Heading(heading)
        } else {
            Wings::Bank(how.bank)
        };
        let pulls = how.abrupt > 0.0 && !watch.cue;
        let (nose, rate) = match how.entry {
            // The goal runs ahead of the nose by what the loop lags.
            Entry::PowerOff | Entry::PowerOn if pulls => (
                Nose::Pitch((pitch0 + 1.2 * how.abrupt * t).min(0.45)),
                1.2 * how.abrupt,
            ),
            // Up to the attitude that slows at the wanted rate, then back and back until it lets go.
            Entry::PowerOff => {
                if watch.cue || p.seen.ias < 1.03 * speeds.vs0 {
                    (Nose::Back(0.22), 0.1)
                } else {
                    (
                        Nose::Pitch(pitch0 + 0.05 + 0.028 * t * how.slowing / 0.6),
                        0.07,
                    )
                }
            }
            Entry::PowerOn => {
                // Before the break a nose that goes too high is kept down; after it the stick is held back.
                if watch.stalled || (watch.cue && p.seen.pitch < 0.42) {
                    (Nose::Back(0.20), 0.1)
                } else {
                    (
                        Nose::Pitch((pitch0 + 0.03 * t * how.slowing / 0.6).min(0.33)),
                        0.07,
                    )
                }
            }
            Entry::Accelerated => {
                // Roll in with the nose kept up, then tighten until it lets go.
                if p.seen.bank.abs() < 0.75 * how.bank.abs() && t < 6.0 {
                    pull = p.seen.alpha;
                    (Nose::Climb(1.0), 0.25)
                } else if p.seen.alpha > critical - 0.02 {
                    (Nose::Back(0.3), 0.3)
                } else {
                    pull += 0.02 * 0.035 * (how.slowing / 0.6);
                    (Nose::Alpha(pull), 0.4)
                }
            }
        };
        Some(
            Goal::new(nose, wings, Power::Throttle(throttle))
                .at_rate(rate)
                .foot(how.foot + if watch.cue { how.kick } else { 0.0 }),
        )
    });
    watch
}

fn recover(pilot: &mut Pilot, speeds: &Speeds, how: &Stall, watch: Watch, flown: &mut Flown) {
    let began = pilot.seen.t;
    if how.at_cue || !watch.stalled {
        flown.moment("recovery_start", began);
    }
    let mut below = 0.0;
    let full = began + how.late_power_s;
    let low = -0.06
        - how.deep
        - if how.entry == Entry::PowerOff && !how.at_cue {
            0.06
        } else {
            0.0
        };
    let fast = if how.second {
        1.02 * speeds.vs1
    } else {
        1.16 * speeds.vs1
    };
    // Unload until the wing flies again and there is some speed.
    pilot.fly(25.0, |p| {
        let critical = p.airframe().critical_near(p.seen.flap);
        below = if p.seen.alpha < critical {
            below + 0.02
        } else {
            0.0
        };
        if below > 0.3 && !how.at_cue {
            flown.moment("recovery_start", p.seen.t - 0.3);
        }
        let power = power_of(p, how, full, flown);
        if let Some(after) = how.together_in_unload_s
            && p.seen.t - began >= after
            && p.controls.flap_rad > 0.0
        {
            p.controls.flap_rad = 0.0;
            flown.moment("flap_up_1", p.seen.t);
        }
        let high = how.deep_whole && p.seen.pitch > low + 0.02;
        let on = below < how.unload_s || p.seen.ias < fast || high;
        // First the angle of attack, whatever the pitch; then a pitch that lets the speed come.
        let nose = Nose::Pitch(low);
        on.then(|| Goal::new(nose, Wings::Bank(0.0), Power::Throttle(power)).at_rate(0.3))
    });
    let heading = pilot.seen.heading;
    climb_away(pilot, speeds, how, heading, full, flown);
}

/// Throttle of the recovery: what it was until the hand comes, then what the hand gives.
fn power_of(pilot: &Pilot, how: &Stall, full_s: f64, flown: &mut Flown) -> f64 {
    if pilot.seen.t < full_s {
        return pilot.controls.throttle;
    }
    if how.recovery_throttle >= 1.0 {
        flown.moment("full_power", full_s);
    }
    how.recovery_throttle
}

fn climb_away(
    pilot: &mut Pilot,
    speeds: &Speeds,
    how: &Stall,
    heading: f64,
    full: f64,
    flown: &mut Flown,
) {
    let mut detents: Vec<f64> = pilot
        .airframe()
        .flaps
        .iter()
        .map(|f| f.angle_rad)
        .filter(|a| *a < pilot.controls.flap_rad - 1e-9)
        .collect();
    let mut wait = if how.together {
        how.together_after_s
    } else {
        1.0
    };
    let (mut up, mut steps, mut climbing) = (0.0, 0, f64::NAN);
    let start = pilot.seen.t;
    let level_until = start + how.level_s;
    let (mut second, mut again) = (how.second, f64::NAN);
    pilot.fly(60.0, |p| {
        wait -= 0.02;
        let seen: Seen = p.seen;
        let power = power_of(p, how, full, flown);
        let critical = p.airframe().critical_near(seen.flap);
        if second {
            if seen.alpha > critical && again.is_nan() {
                flown.moment("secondary_stall", seen.t);
                again = seen.t;
            }
            let over = if again.is_nan() {
                seen.t - start >= 6.0
            } else {
                seen.t - again >= how.second_held_s
            };
            if !over {
                return Some(Goal::new(
                    Nose::Back(how.second_rate_per_s),
                    Wings::Bank(0.0),
                    Power::Throttle(power),
                ));
            }
            second = false;
        }
        // The first step takes away drag and hardly lift: at once. The others wait for a climb.
        let ready = seen.climb > 0.3 || how.together || steps == 0;
        if !how.flaps_stay
            && wait <= 0.0
            && ready
            && let Some(next) = detents.pop()
        {
            p.controls.flap_rad = if how.together {
                detents.clear();
                0.0
            } else {
                next
            };
            steps += 1;
            wait = how.step_s;
            flown.moment(format!("flap_up_{steps}"), seen.t);
        }
        up = if seen.climb > 1.02 { up + 0.02 } else { 0.0 };
        if up > 1.5 {
            flown.moment("positive_climb", seen.t - 1.5);
            if climbing.is_nan() {
                climbing = seen.t;
            }
        }
        if seen.ias > speeds.vy - 1.0 {
            flown.moment("vy_reached", seen.t);
        }
        let clean = how.flaps_stay || detents.is_empty();
        if clean && seen.t - climbing > 5.0 {
            return None;
        }
        let nose = if seen.alpha > critical - 0.05 {
            Nose::Alpha(critical - 0.07)
        } else if seen.t < level_until {
            Nose::Climb(0.0)
        } else if seen.climb < 2.0 && climbing.is_nan() {
            // To the attitude of a climb, briskly; the speed is looked at once it climbs.
            Nose::Pitch(0.15)
        } else {
            Nose::Speed(speeds.vy)
        };
        Some(Goal::new(nose, Wings::Heading(heading), Power::Throttle(power)).at_rate(0.12))
    });
}
