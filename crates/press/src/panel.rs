//! What is traced: a panel for each quantity that the recording supports, in the units a pilot reads.

use crate::axis::TimeAxis;
use crate::palette::Role;
use crate::sample::{self, Runs};
use crate::svg::{Stroke, dashed, solid};
use crate::words;
use air::units::{G0_MPS2, M_PER_FT, MPS_PER_KT};
use debrief::{Debrief, ManeuverDebrief};
use flight::{Flight, Origin, Series};

/// A line of a panel.
#[derive(Clone, Debug)]
pub struct Line {
    /// Values over x.
    pub runs: Runs,
    /// Ink.
    pub stroke: Stroke,
    /// Own scale (least, greatest), where it differs from the panel's.
    pub scale: Option<(f64, f64)>,
}

/// A number written next to a line.
#[derive(Clone, Debug)]
pub struct Note {
    /// When, s.
    pub t: f64,
    /// Value on the panel's scale.
    pub value: f64,
    /// Words.
    pub words: String,
    /// With a dot on the line.
    pub dot: bool,
    /// Only close to its point, or not at all.
    pub near: bool,
}

/// A panel.
#[derive(Clone, Debug)]
pub struct Panel {
    /// Name of the quantity.
    pub name: &'static str,
    /// Unit and whatever else must be said.
    pub second: String,
    /// Height of the plot, px.
    pub height: f64,
    /// Lines.
    pub lines: Vec<Line>,
    /// Scale: bottom, top.
    pub scale: (f64, f64),
    /// Ticks: value, label.
    pub ticks: Vec<(f64, String)>,
    /// Names of ticks in the right margin.
    pub margin: Vec<(f64, String)>,
    /// Numbers on lines.
    pub notes: Vec<Note>,
}

fn deg(rad: f64) -> f64 {
    rad.to_degrees()
}

fn feet(m: f64) -> f64 {
    m / M_PER_FT
}

fn knots(mps: f64) -> f64 {
    mps / MPS_PER_KT
}

/// Revolutions a minute from rad/s.
fn rpm(radps: f64) -> f64 {
    radps * 60.0 / std::f64::consts::TAU
}

/// Says where a quantity is from when nobody recorded it.
fn origin_words(unit: &str, series: &Series) -> String {
    match series.origin {
        Origin::Measured => unit.to_owned(),
        Origin::Derived => format!("{unit}, derived"),
        Origin::Assumed => format!("{unit}, assumed"),
    }
}

/// Every panel that the recording supports, in the order of a scan.
#[must_use]
pub fn panels(
    debrief: &Debrief,
    maneuver: &ManeuverDebrief,
    flight: &Flight,
    axis: &TimeAxis,
) -> Vec<Panel> {
    let context = Context {
        debrief,
        maneuver,
        flight,
        axis,
    };
    let ball_is_a_ribbon = maneuver
        .marks
        .iter()
        .any(|mark| mark.criterion == "coordination" && mark.ribbon.is_some());
    [
        context.height(),
        context.airspeed(),
        context.pitch(),
        context.bank(),
        context.power(),
        context.flaps_alone(),
        if ball_is_a_ribbon {
            None
        } else {
            context.ball()
        },
    ]
    .into_iter()
    .flatten()
    .collect()
}

struct Context<'a> {
    debrief: &'a Debrief,
    maneuver: &'a ManeuverDebrief,
    flight: &'a Flight,
    axis: &'a TimeAxis,
}

impl Context<'_> {
    fn line(&self, series: &Series, stroke: Stroke, convert: impl Fn(f64) -> f64) -> Option<Line> {
        let runs = sample::runs(self.flight, series, self.axis, convert);
        (!runs.is_empty()).then_some(Line {
            runs,
            stroke,
            scale: None,
        })
    }

    fn event(&self, name: &str) -> Option<f64> {
        self.maneuver
            .events
            .iter()
            .find(|event| event.name == name && event.probability >= 0.5)
            .map(|event| event.at_s)
    }

    /// The break, or what stands for it.
    fn anchor(&self) -> Option<f64> {
        self.event("full_stall").or_else(|| self.event("first_cue"))
    }

    fn note(
        &self,
        series: &Series,
        t: f64,
        convert: impl Fn(f64) -> f64,
        say: impl Fn(f64) -> String,
        dot: bool,
    ) -> Option<Note> {
        let value = convert(sample::at(self.flight, series, t)?);
        Some(Note {
            t,
            value,
            words: say(value),
            dot,
            near: false,
        })
    }

    fn height(&self) -> Option<Panel> {
        let series = self.flight.altitude.as_ref()?;
        let line = self.line(series, solid(Role::Ink, 1.6), feet)?;
        let (least, greatest) = range(&line.runs)?;
        let scale = padded(least, greatest, 120.0);
        let air_data = self
            .flight
            .ias
            .as_ref()
            .is_some_and(|ias| ias.origin == Origin::Measured);
        let unit = if series.origin == Origin::Measured && air_data {
            "ft, indicated"
        } else {
            "ft, GNSS"
        };
        let mut panel = Panel {
            name: "Height",
            second: unit.to_owned(),
            height: 54.0,
            lines: vec![line],
            scale,
            ticks: nice(scale, 3),
            margin: Vec::new(),
            notes: Vec::new(),
        };
        let say = |value: f64| words::number(value, 0);
        if let Some(stall) = self.anchor() {
            panel
                .notes
                .extend(self.note(series, stall, feet, say, true));
            let until = self
                .event("positive_climb")
                .map_or(stall + 20.0, |climb| climb + 1.0)
                .min(self.axis.end());
            if let Some(low) = lowest(self.flight, series, stall, until) {
                panel.notes.extend(self.note(series, low, feet, say, true));
                if let (Some(lost), Some(value)) = (
                    self.maneuver.facts.get("altitude_lost_ft"),
                    sample::at(self.flight, series, low),
                ) {
                    panel.margin.push((
                        feet(value),
                        format!(
                            "{} true loss",
                            words::with_sigma(lost.value, lost.sigma, "ft")
                        ),
                    ));
                }
            }
        }
        Some(panel)
    }

    fn airspeed(&self) -> Option<Panel> {
        let Some(series) = self.flight.ias.as_ref() else {
            return self.ground_speed();
        };
        let line = self.line(series, solid(Role::Ink, 1.6), knots)?;
        let (least, greatest) = range(&line.runs)?;
        let mut scale = padded(least, greatest, 24.0);
        let unit = if series.origin == Origin::Measured {
            "kt, indicated"
        } else {
            "kt, from GNSS and wind"
        };
        let mut ticks = Vec::new();
        let mut margin = Vec::new();
        for (key, name) in [
            ("vfe", "limit, flaps down"),
            ("vy", "best climb"),
            ("vs0", "full-flap stall"),
            ("vs1", "clean stall"),
            ("va", "maneuvering speed"),
        ] {
            let Some(value) = speed(self.debrief, key) else {
                continue;
            };
            if value > least - 5.0 && value < greatest + 5.0 {
                scale = (scale.0.min(value - 2.0), scale.1.max(value + 2.0));
                ticks.push((value, words::number(value, 0)));
                margin.push((value, name.to_owned()));
            }
        }
        let own: Vec<f64> = ticks.iter().map(|(value, _)| *value).collect();
        let far = |value: f64| {
            own.iter()
                .all(|other| (other - value).abs() > (scale.1 - scale.0) * 0.27)
        };
        ticks.extend(nice(scale, 3).into_iter().filter(|(value, _)| far(*value)));
        let mut notes = Vec::new();
        if let Some(stall) = self.anchor() {
            notes.extend(self.note(
                series,
                stall,
                knots,
                |value| words::with_unit(value, 0, "kt"),
                true,
            ));
        }
        Some(Panel {
            name: "Airspeed",
            second: unit.to_owned(),
            height: 48.0,
            lines: vec![line],
            scale,
            ticks,
            margin,
            notes,
        })
    }

    fn ground_speed(&self) -> Option<Panel> {
        let series = self.flight.ground_speed.as_ref()?;
        let line = self.line(series, solid(Role::Ink, 1.6), knots)?;
        let (least, greatest) = range(&line.runs)?;
        let scale = padded(least, greatest, 24.0);
        Some(Panel {
            name: "Ground speed",
            second: "kt; no airspeed recorded".to_owned(),
            height: 46.0,
            lines: vec![line],
            scale,
            ticks: nice(scale, 3),
            margin: Vec::new(),
            notes: Vec::new(),
        })
    }

    fn pitch(&self) -> Option<Panel> {
        let pitch = self
            .flight
            .pitch
            .as_ref()
            .and_then(|series| Some((series, self.line(series, solid(Role::Ink, 1.6), deg)?)));
        let aoa =
            self.flight.aoa.as_ref().and_then(|series| {
                Some((series, self.line(series, solid(Role::Ink2, 0.85), deg)?))
            });
        let (name, second) = match (&pitch, &aoa) {
            (Some((series, _)), Some(_)) => (
                "Pitch",
                format!("{}; thin: angle of attack", origin_words("degrees", series)),
            ),
            (Some((series, _)), None) => ("Pitch", origin_words("degrees", series)),
            (None, Some((series, _))) => ("Angle of attack", origin_words("degrees", series)),
            (None, None) => return None,
        };
        let mut notes = Vec::new();
        let lowest = match (&pitch, self.anchor()) {
            (Some((series, line)), Some(stall)) => {
                let low = line
                    .runs
                    .least
                    .filter(|(t, value)| *t > stall && *value < -3.0);
                low.map(|(t, value)| (*series, t, value))
            }
            _ => None,
        };
        if let Some((series, t, value)) = lowest {
            let words = format!("nose {} low", words::with_unit(-value, 0, "deg"));
            notes.extend(self.note(series, t, deg, |_| words.clone(), false));
        }
        let lines: Vec<Line> = pitch.into_iter().chain(aoa).map(|(_, line)| line).collect();
        let (least, greatest) = joint_range(&lines)?;
        let scale = padded(least.min(0.0), greatest.max(0.0), 16.0);
        Some(Panel {
            name,
            second,
            height: 46.0,
            lines,
            scale,
            ticks: nice_with_zero(scale),
            margin: Vec::new(),
            notes,
        })
    }

    fn bank(&self) -> Option<Panel> {
        let series = self.flight.bank.as_ref()?;
        let line = self.line(series, solid(Role::Ink, 1.6), deg)?;
        let (least, greatest) = range(&line.runs)?;
        let mut notes = Vec::new();
        let extreme = match (line.runs.least, line.runs.greatest) {
            (Some(low), Some(high)) => {
                if -low.1 > high.1 {
                    low
                } else {
                    high
                }
            }
            _ => return None,
        };
        if extreme.1.abs() >= 8.0 {
            let side = if extreme.1 > 0.0 { "right" } else { "left" };
            notes.push(Note {
                t: extreme.0,
                value: extreme.1,
                words: format!("{} {side}", words::with_unit(extreme.1.abs(), 0, "deg")),
                dot: false,
                near: false,
            });
        }
        let scale = padded(least.min(0.0), greatest.max(0.0), 20.0);
        let mut lines = vec![line];
        let mut second = match series.origin {
            Origin::Measured => "degrees, right up".to_owned(),
            _ => "degrees, right up, from the turn".to_owned(),
        };
        if let Some(mut rudder) =
            self.flight.rudder.as_ref().and_then(|rudder| {
                self.line(rudder, solid(Role::Ink2, 0.85), |share| share * 100.0)
            })
        {
            rudder.scale = Some(mirror(scale, 100.0));
            lines.push(rudder);
            second.push_str("; thin: rudder");
        }
        Some(Panel {
            name: "Bank",
            second,
            height: 46.0,
            lines,
            scale,
            ticks: nice_with_zero(scale),
            margin: Vec::new(),
            notes,
        })
    }

    fn power(&self) -> Option<Panel> {
        let stroke = solid(Role::Ink, 1.6);
        let percent = |share: f64| share * 100.0;
        let engine =
            self.flight.engine_speed.as_ref().and_then(|series| {
                Some(("rpm".to_owned(), self.line(series, stroke, rpm)?, 400.0))
            });
        let rated = || {
            self.flight.power.as_ref().and_then(|series| {
                Some((
                    origin_words("% of full", series),
                    self.line(series, stroke, percent)?,
                    40.0,
                ))
            })
        };
        let lever = || {
            self.flight.throttle.as_ref().and_then(|series| {
                Some((
                    "throttle, %".to_owned(),
                    self.line(series, stroke, percent)?,
                    40.0,
                ))
            })
        };
        let (mut second, line, least_span) = engine.or_else(rated).or_else(lever)?;
        let (least, greatest) = range(&line.runs)?;
        let scale = padded(least, greatest, least_span);
        let mut lines = vec![line];
        let mut notes = Vec::new();
        if let Some((flaps, flap_notes, derived)) = self.flap_line(scale) {
            second.push_str(if derived {
                "; dashed: flaps, derived"
            } else {
                "; dashed: flaps, degrees"
            });
            lines.push(flaps);
            notes = flap_notes;
        }
        let name = if lines.len() > 1 {
            "Power, flaps"
        } else {
            "Power"
        };
        Some(Panel {
            name,
            second,
            height: 46.0,
            lines,
            scale,
            ticks: nice(scale, 2),
            margin: Vec::new(),
            notes,
        })
    }

    /// Flaps in a panel of their own, where no power was recorded.
    fn flaps_alone(&self) -> Option<Panel> {
        if self.flight.engine_speed.is_some()
            || self.flight.power.is_some()
            || self.flight.throttle.is_some()
        {
            return None;
        }
        let scale = (-2.0, 42.0);
        let (line, notes, derived) = self.flap_line(scale)?;
        let second = if derived {
            "degrees, derived"
        } else {
            "degrees"
        };
        Some(Panel {
            name: "Flaps",
            second: second.to_owned(),
            height: 30.0,
            lines: vec![line],
            scale,
            ticks: vec![(0.0, "0".to_owned())],
            margin: Vec::new(),
            notes,
        })
    }

    /// Flap angle drawn in the lower nine tenths of a panel, with each new setting written at its step.
    fn flap_line(&self, panel: (f64, f64)) -> Option<(Line, Vec<Note>, bool)> {
        let flaps = self.flight.flaps.as_ref()?;
        let mut line = self.line(&flaps.angle, dashed(Role::Ink2, 1.1), deg)?;
        let (_, most) = range(&line.runs)?;
        let top = most.max(20.0) * 1.35;
        let own = (-0.06 * top, top);
        line.scale = Some(own);
        let map = |angle: f64| panel.0 + (angle - own.0) / (own.1 - own.0) * (panel.1 - panel.0);
        let notes = flaps
            .steps
            .iter()
            .enumerate()
            .filter(|(_, step)| {
                step.at_s >= self.axis.start()
                    && step.at_s <= self.axis.end()
                    && step.probability >= 0.5
            })
            // Of steps in quick succession the last one is written.
            .filter(|(index, step)| {
                flaps.steps.get(index + 1).is_none_or(|next| {
                    (self.axis.clamped(next.at_s) - self.axis.clamped(step.at_s)).abs() > 26.0
                })
            })
            .map(|(_, step)| Note {
                t: step.at_s,
                value: map(deg(step.to_rad)),
                words: words::with_unit(deg(step.to_rad), 0, "deg"),
                dot: false,
                near: true,
            })
            .collect();
        Some((line, notes, flaps.angle.origin != Origin::Measured))
    }

    fn ball(&self) -> Option<Panel> {
        let series = self.flight.lateral.as_ref()?;
        let raw = sample::runs(self.flight, series, self.axis, |value| value);
        // `g` by the model's contract; a value of several units can only be m/s².
        let (least, greatest) = range(&raw)?;
        let per_g = if least.abs().max(greatest.abs()) > 3.0 {
            G0_MPS2
        } else {
            1.0
        };
        let line = self.line(series, solid(Role::Ink, 1.2), |value| value / per_g)?;
        let (least, greatest) = range(&line.runs)?;
        let scale = padded(least.min(0.0), greatest.max(0.0), 0.2);
        Some(Panel {
            name: "Ball",
            second: "sideways g".to_owned(),
            height: 34.0,
            lines: vec![line],
            scale,
            ticks: vec![(0.0, "0".to_owned())],
            margin: Vec::new(),
            notes: Vec::new(),
        })
    }
}

/// A scale whose zero lies where the panel's does, `most` filling the shorter side at half its height.
fn mirror(panel: (f64, f64), most: f64) -> (f64, f64) {
    let unit = panel.1.max(-panel.0).max(1e-6) / most;
    (panel.0 / unit, panel.1 / unit)
}

fn range(runs: &Runs) -> Option<(f64, f64)> {
    Some((runs.least?.1, runs.greatest?.1))
}

fn joint_range(lines: &[Line]) -> Option<(f64, f64)> {
    lines
        .iter()
        .filter_map(|line| range(&line.runs))
        .reduce(|(a, b), (c, d)| (a.min(c), b.max(d)))
}

/// Room above and below, and at least a span that keeps noise from looking like flying.
pub(crate) fn padded(least: f64, greatest: f64, span: f64) -> (f64, f64) {
    let missing = (span - (greatest - least)).max(0.0) / 2.0;
    let margin = (greatest - least).max(span) * 0.08;
    (least - missing - margin, greatest + missing + margin)
}

/// Up to `most` round ticks inside a scale.
#[must_use]
pub fn nice((low, high): (f64, f64), most: usize) -> Vec<(f64, String)> {
    let span = high - low;
    if !(span > 0.0 && span.is_finite()) {
        return Vec::new();
    }
    let mut step = 10_f64.powf((span / most as f64).log10().floor());
    while span / step > most as f64 + 1.6 {
        step *= if (step / 10_f64.powf(step.log10().floor()) - 2.0).abs() < 0.1 {
            2.5
        } else {
            2.0
        };
    }
    let places = if step < 1.0 { 2 } else { 0 };
    let mut ticks = Vec::new();
    let mut value = (low / step).ceil() * step;
    while value <= high && ticks.len() < 12 {
        ticks.push((value, words::number(value, places)));
        value += step;
    }
    ticks
}

/// Zero, and the round number nearest to each end.
fn nice_with_zero((low, high): (f64, f64)) -> Vec<(f64, String)> {
    let mut ticks = vec![(0.0, "0".to_owned())];
    for end in [low, high] {
        let step = if end.abs() >= 20.0 { 10.0 } else { 5.0 };
        let value = (end / step).trunc() * step;
        if value != 0.0 && value.is_finite() {
            ticks.push((value, words::number(value, 0)));
        }
    }
    ticks
}

/// A speed of the aircraft by its letters, whatever the spelling of the key (`vs0`, `vs0_kt`, `Vs0`).
#[must_use]
pub fn speed(debrief: &Debrief, wanted: &str) -> Option<f64> {
    debrief
        .aircraft
        .speeds_kt
        .iter()
        .find(|(key, _)| key.to_lowercase().split('_').next() == Some(wanted))
        .map(|(_, value)| *value)
        .filter(|value| value.is_finite() && *value > 0.0)
}

/// When a series is lowest between two times, s.
fn lowest(flight: &Flight, series: &Series, from: f64, to: f64) -> Option<f64> {
    let (first, last) = (flight.clock.index(from), flight.clock.index(to));
    (first..=last)
        .filter(|index| series.at(*index).is_finite())
        .min_by(|a, b| series.at(*a).total_cmp(&series.at(*b)))
        .map(|index| flight.clock.time_s(index))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prop_nice_ticks_are_few_and_inside() {
        for scale in [
            (3100.0, 3830.0),
            (40.0, 95.0),
            (-31.0, 24.0),
            (0.0, 0.2),
            (3395.0, 3405.0),
        ] {
            let ticks = nice(scale, 3);
            assert!((1..=5).contains(&ticks.len()), "{scale:?} {ticks:?}");
            assert!(
                ticks
                    .iter()
                    .all(|(value, _)| *value >= scale.0 && *value <= scale.1 + 1e-9)
            );
        }
        assert!(nice((1.0, 1.0), 3).is_empty());
        assert!(nice((f64::NAN, 1.0), 3).is_empty());
    }
}
