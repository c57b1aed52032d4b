//! How well a reading of a column agrees with the references of the `world`: one function a relation.

use air::units::wrap_pi;

use crate::Quantity;
use crate::sample::{Facts, Fit, Sample, angle_offset, fit, fit_lagged, median};
use crate::vocabulary::{Unit, VOCABULARY};
use crate::world::{Guess, MOVING_MPS, Verdict, World, closeness, known, unit_priors};

/// From the 2nd to the 98th percentile a recorded load factor moves at least this much.
const LOAD_SPREAD_LEAST_G: f64 = 0.01;

impl World {
    /// What the relations say about column `index` as `quantity` with values `si`.
    pub fn judge(&self, sample: &Sample, guess: &Guess<'_>) -> Vec<Verdict> {
        let &Guess {
            index,
            quantity,
            unit,
            facts,
            ref si,
            named,
        } = guess;
        let mut out = Vec::new();
        if facts.distinct == 1 && moves(quantity) {
            out.push(Verdict {
                points: -3.0,
                reason: "never changes".to_owned(),
            });
        }
        match quantity {
            Quantity::GroundSpeed => self.ground_speed_fits(index, si, &mut out),
            Quantity::AirspeedIndicated | Quantity::AirspeedCalibrated | Quantity::AirspeedTrue => {
                self.airspeed_fits(index, si, &mut out);
            }
            Quantity::AltitudeIndicated | Quantity::AltitudePressure | Quantity::AltitudeGnss => {
                self.altitude_fits(sample, guess, named, &mut out);
            }
            Quantity::VerticalSpeed => self.vertical_speed_fits(sample, index, si, &mut out),
            Quantity::TrackTrue
            | Quantity::TrackMagnetic
            | Quantity::HeadingMagnetic
            | Quantity::HeadingTrue => {
                self.direction_fits(index, quantity, si, &mut out);
            }
            Quantity::Bank => self.bank_fits(sample, index, si, &mut out),
            Quantity::Pitch => self.pitch_fits(sample, index, si, &mut out),
            Quantity::YawRate => {
                let turn = self.turn(sample, index);
                relation(
                    fit_lagged(&turn, si),
                    0.7,
                    (0.7, 1.45),
                    "the rate of turn",
                    &mut out,
                );
            }
            Quantity::LoadNormal => self.load_fits(sample, index, unit, facts, si, &mut out),
            Quantity::AngleOfAttack => {
                let inverse: Vec<f64> = self
                    .airspeed
                    .as_ref()
                    .map(|(_, speed)| {
                        speed
                            .iter()
                            .map(|v| {
                                if *v > MOVING_MPS {
                                    1.0 / (v * v)
                                } else {
                                    f64::NAN
                                }
                            })
                            .collect()
                    })
                    .unwrap_or_default();
                if fit_lagged(&inverse, si).correlation > 0.4 {
                    out.push(Verdict {
                        points: 1.5,
                        reason: "grows as the airspeed falls".to_owned(),
                    });
                }
            }
            Quantity::OutsideAirTemperature => {
                if let Some((_, altitude, _)) = self.altitudes.first() {
                    let fit = fit(altitude, si, 0);
                    if fit.correlation < -0.6 && (-0.02..-0.002).contains(&fit.slope) {
                        out.push(Verdict {
                            points: 1.5,
                            reason: "falls with height as air does".to_owned(),
                        });
                    }
                }
            }
            Quantity::FuelFlow | Quantity::ManifoldPressure => {
                if let Some((_, speed)) = self.engine_speed.as_ref().filter(|(at, _)| *at != index)
                    && fit_lagged(speed, si).correlation > 0.6
                {
                    out.push(Verdict {
                        points: 1.0,
                        reason: "goes with the engine speed".to_owned(),
                    });
                }
            }
            _ => {}
        }
        out
    }

    fn ground_speed_fits(&self, _index: usize, si: &[f64], out: &mut Vec<Verdict>) {
        let Some((error, usual)) = closeness(si, &self.position_speed) else {
            return;
        };
        let (points, text) = if error < 0.03 * usual + 0.7 {
            (4.0, "equals the speed over the positions")
        } else if error < 0.08 * usual {
            (0.5, "is near the speed over the positions")
        } else {
            (-4.0, "is not the speed over the positions")
        };
        out.push(Verdict {
            points,
            reason: text.to_owned(),
        });
    }

    fn airspeed_fits(&self, index: usize, si: &[f64], out: &mut Vec<Verdict>) {
        let speed = self.speed(index);
        let Some((error, usual)) = closeness(si, speed) else {
            return;
        };
        let ratios = si
            .iter()
            .zip(speed)
            .filter(|(a, b)| a.is_finite() && **b > MOVING_MPS)
            .map(|(a, b)| a / b)
            .collect();
        let ratio = median(ratios);
        let together = fit_lagged(speed, si).correlation;
        if (0.7..1.4).contains(&ratio) {
            out.push(Verdict {
                points: if together > 0.4 { 2.0 } else { 0.3 },
                reason: format!("is {ratio:.2} times the ground speed, as air and wind allow"),
            });
        } else {
            out.push(Verdict {
                points: -4.0,
                reason: format!("is {ratio:.2} times the ground speed"),
            });
        }
        if known(&self.position_speed) >= 20 && error < 0.01 * usual + 0.3 {
            out.push(Verdict {
                points: -2.5,
                reason: "equals the speed over the positions all along".to_owned(),
            });
        }
    }

    fn altitude_fits(
        &self,
        sample: &Sample,
        guess: &Guess<'_>,
        named: bool,
        out: &mut Vec<Verdict>,
    ) {
        let &Guess {
            index,
            quantity,
            ref si,
            ..
        } = guess;
        let rate = sample.rate(si, 10.0);
        let mut size: Vec<f64> = rate
            .iter()
            .copied()
            .filter(|value| value.is_finite())
            .map(f64::abs)
            .collect();
        size.sort_by(f64::total_cmp);
        if let Some(&high) = size.get(size.len().saturating_sub(1) * 97 / 100) {
            // A light airplane climbs at 2 to 8 m/s; a spiral or an emergency descent reaches 15 to 20.
            let points = match high {
                high if high > 40.0 => -4.0,
                high if high > 17.0 => -1.0,
                high if high > 2.2 => 0.7,
                high if high > 0.9 => 0.3,
                _ => -0.7,
            };
            out.push(Verdict {
                points,
                reason: format!("climbs and descends at up to {high:.1} m/s"),
            });
        }
        let climb = sample.rate(si, 4.0);
        for (other, speed) in &self.vertical_speeds {
            if *other != index {
                relation(
                    fit_lagged(&climb, speed),
                    0.6,
                    (0.7, 1.4),
                    "the vertical speed",
                    out,
                );
                break;
            }
        }
        if let Some((_, other, _)) = self
            .altitudes
            .iter()
            .find(|(at, _, written)| *at != index && *written)
        {
            let fit = fit(other, si, 0);
            if fit.correlation > 0.97 {
                let fits = (0.88..1.14).contains(&fit.slope);
                let (points, text) = if fits {
                    (1.5, "goes with the other altitude")
                } else {
                    (-3.0, "has another scale than the other altitude")
                };
                out.push(Verdict {
                    points,
                    reason: text.to_owned(),
                });
            }
        }
        self.vertical_unit_fits(index, &climb, out);
        if let Some(metric) = self.metric
            && ["ft", "m"].contains(&guess.unit.id.as_str())
        {
            let fits = (guess.unit.id == "m") == metric;
            let reason = if metric {
                "beside metric speeds"
            } else {
                "beside speeds in knots"
            };
            out.push(Verdict {
                points: if fits { 0.6 } else { -0.6 },
                reason: reason.to_owned(),
            });
        }
        let rising = |raw: &[f64]| fit_lagged(&climb, raw).correlation > 0.6;
        let vertical = || {
            self.vertical_speeds
                .iter()
                .chain(&self.vertical_open)
                .filter(|(at, _)| *at != index)
        };
        if !named && vertical().next().is_some() && !vertical().any(|(_, raw)| rising(raw)) {
            out.push(Verdict {
                points: -3.0,
                reason: "no vertical speed goes with it".to_owned(),
            });
        }
        let alone = !self.altitudes.iter().any(|(at, ..)| *at != index);
        match (quantity, self.has_air_data()) {
            (Quantity::AltitudeGnss, false) => out.push(Verdict {
                points: if named { 1.5 } else { 0.3 },
                reason: "no other air data, so the satellites' altitude".to_owned(),
            }),
            (Quantity::AltitudeIndicated, true) if !named => out.push(Verdict {
                points: 0.4,
                reason: "there is an airspeed, so probably a static port".to_owned(),
            }),
            (Quantity::AltitudeIndicated, true) if alone => out.push(Verdict {
                points: 1.0,
                reason: "the only altitude beside an airspeed".to_owned(),
            }),
            _ => {}
        }
    }

    /// With this unit of the altitude, a vertical speed without a unit must come out in some unit too.
    fn vertical_unit_fits(&self, index: usize, climb: &[f64], out: &mut Vec<Verdict>) {
        let open = self.vertical_open.iter().find(|(other, _)| *other != index);
        let Some((_, raw)) = open.filter(|_| self.vertical_speeds.is_empty()) else {
            return;
        };
        let fit = fit_lagged(climb, raw);
        if fit.count < 30 || fit.correlation < 0.6 {
            return;
        }
        let unit = unit_priors(Quantity::VerticalSpeed)
            .iter()
            .find_map(|&(id, prior)| {
                let factor = VOCABULARY.unit(id)?.factor;
                (0.75..1.3)
                    .contains(&(fit.slope * factor))
                    .then_some((id, prior))
            });
        let (points, reason) = match unit {
            Some((id, prior)) => (2.0 * prior, format!("makes the vertical speed {id}")),
            None => (-2.0, "makes the vertical speed no known unit".to_owned()),
        };
        out.push(Verdict { points, reason });
    }

    fn vertical_speed_fits(
        &self,
        sample: &Sample,
        index: usize,
        si: &[f64],
        out: &mut Vec<Verdict>,
    ) {
        // Of several altitudes the one that it follows best: not every guess at an altitude is one.
        let best = self
            .altitudes
            .iter()
            .filter(|(at, ..)| *at != index)
            .map(|(_, altitude, _)| fit_lagged(&sample.rate(altitude, 4.0), si))
            .max_by(|a, b| a.correlation.total_cmp(&b.correlation));
        let Some(smooth) = best.filter(|fit| fit.count >= 30) else {
            return;
        };
        relation(
            smooth,
            0.6,
            (0.7, 1.4),
            "the rate of change of the altitude",
            out,
        );
    }

    fn direction_fits(&self, index: usize, quantity: Quantity, si: &[f64], out: &mut Vec<Verdict>) {
        let speed = self.speed(index);
        let moving = |row: usize| speed.get(row).is_none_or(|speed| *speed > MOVING_MPS);
        let from_track;
        let course: &[f64] = if known(&self.course) >= 20 {
            &self.course
        } else if let Some((_, track)) = self.tracks.iter().find(|(at, _)| *at != index) {
            from_track = track;
            from_track
        } else {
            return;
        };
        let (mean, spread, count) = angle_offset(si, course, moving);
        if count < 20 {
            return;
        }
        self.north_fits(quantity, mean, course, out);
        let (mean_deg, spread_deg) = (mean.to_degrees(), spread.to_degrees());
        let track = matches!(quantity, Quantity::TrackTrue | Quantity::TrackMagnetic);
        let points = if spread_deg > 25.0 {
            -5.0
        } else if track {
            match (spread_deg < 3.5, mean_deg.abs() < 2.0, quantity) {
                (true, true, Quantity::TrackTrue) => 4.0,
                (true, true, _) => 1.5,
                (true, false, Quantity::TrackMagnetic) => 4.0,
                (true, false, _) => -1.0,
                _ => -1.0,
            }
        } else if mean_deg.abs() > 45.0 {
            -3.0
        } else if spread_deg < 0.8 && mean_deg.abs() < 1.0 {
            -0.5
        } else {
            2.5
        };
        out.push(Verdict {
            points,
            reason: format!(
                "differs from the course over the ground by {mean_deg:.0}°, ±{spread_deg:.1}°"
            ),
        });
    }

    fn bank_fits(&self, sample: &Sample, index: usize, si: &[f64], out: &mut Vec<Verdict>) {
        let turn = self.turn(sample, index);
        let speed = self.speed(index);
        let kinematic: Vec<f64> = turn
            .iter()
            .enumerate()
            .map(|(row, rate)| {
                let v = speed.get(row).copied().unwrap_or(f64::NAN);
                if v > MOVING_MPS {
                    (v * rate / air::units::G0_MPS2).atan()
                } else {
                    f64::NAN
                }
            })
            .collect();
        relation(
            fit_lagged(&kinematic, si),
            0.6,
            (0.65, 1.5),
            "the bank that the turns ask for",
            out,
        );
    }

    fn pitch_fits(&self, sample: &Sample, index: usize, si: &[f64], out: &mut Vec<Verdict>) {
        let climb = self.climb(sample, index);
        let speed = self.speed(index);
        let path: Vec<f64> = climb
            .iter()
            .enumerate()
            .map(|(row, climb)| {
                let v = speed.get(row).copied().unwrap_or(f64::NAN);
                if v > MOVING_MPS {
                    (climb / v).clamp(-1.0, 1.0).asin()
                } else {
                    f64::NAN
                }
            })
            .collect();
        let fit = fit_lagged(&path, si);
        if fit.count < 30 {
            return;
        }
        if fit.correlation > 0.35 {
            let points = if (0.3..3.5).contains(&fit.slope) {
                2.5
            } else {
                -3.0
            };
            out.push(Verdict {
                points,
                reason: format!(
                    "goes with the flight path angle (correlation {:.2})",
                    fit.correlation
                ),
            });
        } else if fit.correlation < -0.5 {
            out.push(Verdict {
                points: -3.0,
                reason: "runs against the flight path angle".to_owned(),
            });
        }
    }

    fn load_fits(
        &self,
        sample: &Sample,
        index: usize,
        unit: &Unit,
        facts: &Facts,
        si: &[f64],
        out: &mut Vec<Verdict>,
    ) {
        let middle = facts.median * unit.factor + unit.offset;
        // Engine and air shake any airframe by hundredths of a g, and a takeoff or a turn by more: a
        // column that hardly moves is something else that happens to lie near 1 (common practice).
        let spread = (facts.high - facts.low).abs() * unit.factor.abs();
        let points = if (middle - 1.0).abs() >= 0.12 {
            -4.0
        } else if spread < LOAD_SPREAD_LEAST_G {
            -2.0
        } else {
            2.0
        };
        out.push(Verdict {
            points,
            reason: format!("is {middle:.2} g in the middle"),
        });
        let speed = self.speed(index);
        let needed: Vec<f64> = match &self.bank {
            Some((at, bank)) if *at != index => {
                bank.iter().map(|bank| 1.0 / bank.cos().max(0.2)).collect()
            }
            _ => self
                .turn(sample, index)
                .iter()
                .enumerate()
                .map(|(row, rate)| {
                    let v = speed.get(row).copied().unwrap_or(f64::NAN);
                    if v > MOVING_MPS {
                        (v * rate / air::units::G0_MPS2).hypot(1.0)
                    } else {
                        f64::NAN
                    }
                })
                .collect(),
        };
        let fit = fit_lagged(&needed, si);
        if fit.correlation > 0.4 {
            out.push(Verdict {
                points: 2.0,
                reason: "rises in turns as bank asks for".to_owned(),
            });
        } else if fit.correlation < -0.4 {
            out.push(Verdict {
                points: -3.0,
                reason: "falls in turns".to_owned(),
            });
        }
    }

    /// Whether a heading is true or magnetic: over courses in all directions the wind's drift comes out at
    /// about zero, and what is left against the course is the variation or nothing.
    fn north_fits(&self, quantity: Quantity, mean: f64, course: &[f64], out: &mut Vec<Verdict>) {
        let Some(variation) = self
            .variation
            .filter(|angle| angle.abs() > 4_f64.to_radians())
        else {
            return;
        };
        let (sin, cos, count) = course
            .iter()
            .filter(|angle| angle.is_finite())
            .fold((0.0, 0.0, 0.0), |(s, c, n), angle| {
                (s + angle.sin(), c + angle.cos(), n + 1.0)
            });
        if f64::hypot(sin, cos) > 0.6 * count {
            return;
        }
        let from_magnetic = wrap_pi(mean + variation).abs();
        let from_true = mean.abs();
        let (near, far) = match quantity {
            Quantity::HeadingMagnetic => (from_magnetic, from_true),
            Quantity::HeadingTrue => (from_true, from_magnetic),
            _ => return,
        };
        let degrees = variation.to_degrees();
        if near < 0.6 * far {
            out.push(Verdict {
                points: 1.2,
                reason: format!("as a variation of {degrees:.0}° has it"),
            });
        } else if far < 0.6 * near {
            out.push(Verdict {
                points: -1.2,
                reason: format!("against a variation of {degrees:.0}°"),
            });
        }
    }
}

/// Points for a slope near one, when the series go together at all.
fn relation(fit: Fit, enough: f64, slopes: (f64, f64), with: &str, out: &mut Vec<Verdict>) {
    if fit.count < 30 {
        return;
    }
    let Some(sure) = Some(fit.correlation.abs()).filter(|r| *r > enough) else {
        if fit.correlation.abs() < 0.15 {
            out.push(Verdict {
                points: -1.0,
                reason: format!("does not go with {with}"),
            });
        }
        return;
    };
    let points = if fit.slope >= slopes.0 && fit.slope <= slopes.1 {
        4.0
    } else {
        -4.0
    };
    out.push(Verdict {
        points,
        reason: format!("is {:.2} times {with} (correlation {sure:.2})", fit.slope),
    });
}

/// Quantities that cannot stand still in flight.
fn moves(quantity: Quantity) -> bool {
    matches!(
        quantity,
        Quantity::Latitude
            | Quantity::Longitude
            | Quantity::AltitudeIndicated
            | Quantity::AltitudePressure
            | Quantity::AltitudeGnss
            | Quantity::AirspeedIndicated
            | Quantity::AirspeedCalibrated
            | Quantity::AirspeedTrue
            | Quantity::GroundSpeed
            | Quantity::VerticalSpeed
            | Quantity::Pitch
            | Quantity::Bank
            | Quantity::HeadingMagnetic
            | Quantity::HeadingTrue
            | Quantity::TrackTrue
            | Quantity::TrackMagnetic
            | Quantity::LoadNormal
    )
}
