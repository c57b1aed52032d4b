//! The story of a maneuver: its moments in order, each with the numbers that belong to it.

use crate::convert::tidy;
use crate::document::StoryLine;
use crate::kinds::{self, Shown};
use crate::words::{side, with_unit};
use air::units::{M_PER_FT, MPS_PER_FPM, MPS_PER_KT};
use aircraft::Aircraft;
use flight::{FlapStep, Flight, Series};
use maneuver::{Event, Kind, Maneuver};

/// An event must be this likely to be told as having happened.
const TOLD: f64 = 0.5;

/// Story lines in order of time.
pub(crate) fn story(flight: &Flight, aircraft: &Aircraft, maneuver: &Maneuver) -> Vec<StoryLine> {
    let teller = Teller {
        flight,
        aircraft,
        maneuver,
    };
    let mut lines: Vec<StoryLine> = maneuver
        .events
        .iter()
        .filter(|event| event.probability >= TOLD)
        .filter_map(|event| {
            let text = teller.tell(event)?;
            Some(StoryLine {
                at_s: tidy(event.at_s),
                event: event.name.to_owned(),
                text,
            })
        })
        .collect();
    lines.sort_by(|a, b| a.at_s.total_cmp(&b.at_s));
    lines
}

struct Teller<'a> {
    flight: &'a Flight,
    aircraft: &'a Aircraft,
    maneuver: &'a Maneuver,
}

impl Teller<'_> {
    fn value(&self, series: Option<&Series>, at_s: f64, per_unit: f64) -> Option<f64> {
        let value = series?.at(self.flight.clock.index(at_s)) / per_unit;
        value.is_finite().then_some(value)
    }

    fn knots(&self, at_s: f64) -> Option<String> {
        let value = self.value(self.flight.ias.as_ref(), at_s, MPS_PER_KT)?;
        Some(with_unit(value, 1.0, "kt"))
    }

    fn altitude(&self, at_s: f64) -> Option<String> {
        let value = self.value(self.flight.altitude.as_ref(), at_s, M_PER_FT)?;
        Some(with_unit(value, 10.0, "ft"))
    }

    fn degrees(&self, series: Option<&Series>, at_s: f64) -> Option<f64> {
        self.value(series, at_s, 1_f64.to_radians())
    }

    /// Height above or below that at the stall, e.g. `−120 ft`.
    fn height_since_stall(&self, at_s: f64) -> Option<String> {
        let altitude = self.flight.altitude.as_ref();
        let stall = self
            .maneuver
            .event("full_stall")
            .filter(|event| event.probability >= TOLD)?;
        let change =
            self.value(altitude, at_s, M_PER_FT)? - self.value(altitude, stall.at_s, M_PER_FT)?;
        Some(with_unit(change, 5.0, "ft"))
    }

    fn tell(&self, event: &Event) -> Option<String> {
        let at_s = event.at_s;
        let stall = matches!(
            self.maneuver.kind,
            Kind::PowerOffStall | Kind::PowerOnStall | Kind::AcceleratedStall
        );
        let text = match event.name {
            "setup_start" => join("setup begun", &[self.altitude(at_s), self.knots(at_s)]),
            "flap_down" | "flap_up" => self.flaps(event),
            "descent_stable" => join("descent steady", &[self.knots(at_s)]),
            "idle" => join("power off", &[self.knots(at_s)]),
            "power_set" => join("power set", &[self.power(at_s), self.knots(at_s)]),
            "pitch_up" => join("the stick came back", &[self.knots(at_s)]),
            "first_cue" => join("first cue of the stall", &[self.knots(at_s)]),
            "full_stall" => join("full stall", &[self.knots(at_s), self.altitude(at_s)]),
            "recovery_start" => join("recovery begun", &[self.after("full_stall", at_s)]),
            "full_power" => join("full power", &[self.after("recovery_start", at_s)]),
            "secondary_stall" => join("second stall", &[self.knots(at_s)]),
            "positive_climb" => join(
                "climbing",
                &[
                    self.knots(at_s),
                    self.height_since_stall(at_s)
                        .map(|height| format!("{height} from the stall")),
                ],
            ),
            "vx_reached" => join("VX reached", &[self.knots(at_s)]),
            "vy_reached" => join("VY reached", &[self.knots(at_s)]),
            "roll_in" => join("rolled in", &[self.altitude(at_s), self.knots(at_s)]),
            "bank_established" => self.banked("bank established", at_s),
            "roll_out_start" => self.banked("roll-out begun", at_s),
            "wings_level" => join("wings level", &[self.altitude(at_s), self.knots(at_s)]),
            "established" if !stall => join(
                "slow flight established",
                &[self.altitude(at_s), self.knots(at_s)],
            ),
            "recovery_input" => join("recovery begun", &[self.knots(at_s)]),
            name => {
                let (_, words, shown) = kinds::words_of(self.maneuver.kind)?
                    .events
                    .iter()
                    .find(|(event, _, _)| *event == name)?;
                let figures: Vec<Option<String>> = shown
                    .iter()
                    .map(|figure| self.shown(*figure, at_s))
                    .collect();
                join(words, &figures)
            }
        };
        Some(text)
    }

    fn shown(&self, figure: Shown, at_s: f64) -> Option<String> {
        match figure {
            Shown::Altitude => self.altitude(at_s),
            Shown::Height => {
                let feet = self.value(self.flight.agl.as_ref(), at_s, M_PER_FT)?;
                Some(format!("{} above ground", with_unit(feet, 10.0, "ft")))
            }
            Shown::Speed => self.knots(at_s),
            Shown::Bank => {
                let bank = self.degrees(self.flight.bank.as_ref(), at_s)?;
                Some(format!(
                    "{} {}",
                    with_unit(bank.abs(), 1.0, "deg"),
                    side(bank)
                ))
            }
            Shown::Heading => {
                let heading = self.degrees(self.flight.heading.as_ref(), at_s)?
                    - self.flight.variation_rad.to_degrees();
                // North is 360 to a pilot.
                let whole = (heading.rem_euclid(360.0) - 0.5).rem_euclid(360.0) + 0.5;
                Some(format!("heading {whole:03.0}°"))
            }
            Shown::Sink => {
                let fpm = self.value(self.flight.climb.as_ref(), at_s, MPS_PER_FPM)?;
                Some(format!(
                    "{} {}",
                    with_unit(fpm.abs(), 50.0, "ft/min"),
                    if fpm < 0.0 { "down" } else { "up" }
                ))
            }
        }
    }

    fn banked(&self, what: &str, at_s: f64) -> String {
        let bank = self.degrees(self.flight.bank.as_ref(), at_s);
        let words =
            bank.map(|bank| format!("{} {}", with_unit(bank.abs(), 1.0, "deg"), side(bank)));
        join(what, &[words, self.knots(at_s)])
    }

    fn power(&self, at_s: f64) -> Option<String> {
        let share = self.value(self.flight.power.as_ref(), at_s + 2.0, 0.01)?;
        Some(format!("{} of full power", with_unit(share, 3.0, "%")))
    }

    /// Seconds since another event.
    fn after(&self, name: &str, at_s: f64) -> Option<String> {
        let other = self
            .maneuver
            .event(name)
            .filter(|event| event.probability >= TOLD)?;
        let seconds = at_s - other.at_s;
        let words = if name == "full_stall" {
            "after the stall"
        } else {
            "after the recovery began"
        };
        (seconds >= 0.05).then(|| format!("{} {words}", with_unit(seconds, 0.2, "s")))
    }

    /// `flaps 20→30 at 71 kt, limit 85`.
    fn flaps(&self, event: &Event) -> String {
        let step = self.step(event.at_s);
        let movement = step.map_or_else(
            || {
                if event.name == "flap_down" {
                    "flaps down".to_owned()
                } else {
                    "flaps up".to_owned()
                }
            },
            |step| {
                format!(
                    "flaps {:.0}→{:.0}",
                    self.detent_deg(step.from_rad),
                    self.detent_deg(step.to_rad)
                )
            },
        );
        let at = self
            .knots(event.at_s)
            .map_or(String::new(), |knots| format!(" at {knots}"));
        let limit = step
            .filter(|step| step.to_rad > step.from_rad)
            .and_then(|step| self.aircraft.nearest_detent(step.to_rad))
            .and_then(|detent| self.aircraft.flap_limit_mps(detent))
            .map_or(String::new(), |limit| {
                format!(", limit {:.0}", limit / MPS_PER_KT)
            });
        let inferred = if event.origin == flight::Origin::Measured {
            ""
        } else {
            " (inferred)"
        };
        format!("{movement}{at}{limit}{inferred}")
    }

    /// The detent's own angle where a recorded one is that near, degrees: sensors read 0.6 for up.
    fn detent_deg(&self, angle_rad: f64) -> f64 {
        const NEAR_RAD: f64 = 0.05;
        let detent = self
            .aircraft
            .nearest_detent(angle_rad)
            .and_then(|index| self.aircraft.flaps.get(index));
        let angle = detent
            .map(|detent| detent.angle_rad)
            .filter(|angle| (angle - angle_rad).abs() < NEAR_RAD);
        angle.unwrap_or(angle_rad).to_degrees()
    }

    fn step(&self, at_s: f64) -> Option<&FlapStep> {
        let steps = &self.flight.flaps.as_ref()?.steps;
        steps
            .iter()
            .filter(|step| (step.at_s - at_s).abs() < 2.0)
            .min_by(|a, b| (a.at_s - at_s).abs().total_cmp(&(b.at_s - at_s).abs()))
    }
}

fn join(what: &str, figures: &[Option<String>]) -> String {
    let known: Vec<&str> = figures.iter().flatten().map(String::as_str).collect();
    if known.is_empty() {
        what.to_owned()
    } else {
        format!("{what}, {}", known.join(", "))
    }
}
