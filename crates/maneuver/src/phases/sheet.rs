//! Collects what is found about one maneuver.

use crate::{Bounds, Event, Fact, Maneuver, Phase, SetBy, Span, Variant};
use flight::Origin;
use std::collections::BTreeMap;

/// A maneuver under construction.
pub struct Sheet {
    maneuver: Maneuver,
    bounds: Bounds,
}

impl Sheet {
    /// Starts from what the decoder found.
    pub fn new(span: &Span) -> Sheet {
        Sheet {
            maneuver: Maneuver {
                kind: span.kind,
                direction: span.direction,
                start_s: span.start_s,
                end_s: span.end_s,
                // Log-odds to odds; the decoder calibrates its score, this only carries it on.
                confidence: 1.0 / (1.0 + (-span.score.clamp(-30.0, 30.0)).exp()),
                agreement: span.agreement,
                set_by: SetBy::Program,
                phases: Vec::new(),
                events: Vec::new(),
                facts: BTreeMap::new(),
                missing: BTreeMap::new(),
                variants: Vec::new(),
            },
            bounds: span.bounds,
        }
    }

    /// Sets the refined bounds; bounds that make no sense, or that were given, are left as they were.
    pub fn bounds(&mut self, start_s: f64, end_s: f64) {
        if self.bounds == Bounds::Sought
            && start_s.is_finite()
            && end_s.is_finite()
            && start_s < end_s
        {
            self.maneuver.start_s = start_s;
            self.maneuver.end_s = end_s;
        }
    }

    /// Direction, where the motion shows it better than the decoder.
    pub fn direction(&mut self, direction: crate::Direction) {
        self.maneuver.direction = direction;
    }

    /// Adds a figure; one that is not known is left out.
    pub fn fact(
        &mut self,
        name: &'static str,
        value: f64,
        unit: &'static str,
        sigma: f64,
        origin: Origin,
    ) {
        if value.is_finite() {
            self.maneuver.facts.insert(
                name,
                Fact {
                    value,
                    unit,
                    sigma,
                    origin,
                },
            );
        }
    }

    /// Says why a figure is not known.
    pub fn missing(&mut self, name: &'static str, why: &'static str) {
        self.maneuver.missing.insert(name, why);
    }

    /// Takes back that a figure is not known.
    pub fn known(&mut self, name: &'static str) {
        self.maneuver.missing.remove(name);
    }

    /// Says that a figure has no meaning in this one.
    pub fn does_not_apply(&mut self, name: &'static str) {
        self.missing(name, crate::DOES_NOT_APPLY);
    }

    /// Says in which form it was flown.
    pub fn variant(&mut self, name: &'static str, probability: f64, why: &'static str) {
        self.maneuver.variants.push(Variant {
            name,
            probability,
            why,
        });
    }

    /// Adds an event that surely happened.
    pub fn event(&mut self, name: &'static str, at_s: f64, sigma_s: f64, origin: Origin) {
        self.event_full(name, at_s, sigma_s, origin, 1.0, None);
    }

    /// Adds an event with its probability and a figure.
    pub fn event_full(
        &mut self,
        name: &'static str,
        at_s: f64,
        sigma_s: f64,
        origin: Origin,
        probability: f64,
        value: Option<Fact>,
    ) {
        if at_s.is_finite() {
            self.maneuver.events.push(Event {
                name,
                at_s,
                sigma_s,
                value,
                origin,
                probability,
            });
        }
    }

    /// Adds a phase; an empty one is left out.
    pub fn phase(&mut self, name: &'static str, start_s: f64, end_s: f64) {
        if start_s.is_finite() && end_s.is_finite() && end_s > start_s {
            self.maneuver.phases.push(Phase {
                name,
                start_s,
                end_s,
            });
        }
    }

    /// Adds phases that follow each other: each runs to the next known boundary.
    pub fn phases_in_order(&mut self, boundaries: &[(&'static str, f64)], end_s: f64) {
        let known: Vec<(&'static str, f64)> = boundaries
            .iter()
            .copied()
            .filter(|(_, at)| at.is_finite())
            .collect();
        let mut floor = f64::NEG_INFINITY;
        for (place, (name, at)) in known.iter().enumerate() {
            let start = at.max(floor);
            let end = known
                .get(place + 1)
                .map_or(end_s, |(_, next)| *next)
                .max(start);
            self.phase(name, start, end);
            floor = end;
        }
    }

    /// Events in order of time, and done. Within given bounds nothing reaches outside.
    pub fn finish(mut self) -> Maneuver {
        if self.bounds == Bounds::Given {
            self.keep_inside();
        }
        self.maneuver
            .events
            .sort_by(|a, b| a.at_s.total_cmp(&b.at_s));
        self.maneuver
    }
}

impl Sheet {
    /// Drops what lies outside the bounds; the first part begins with the maneuver and the last ends with it.
    fn keep_inside(&mut self) {
        let Maneuver { start_s, end_s, .. } = self.maneuver;
        self.maneuver
            .events
            .retain(|event| (start_s..=end_s).contains(&event.at_s));
        let phases = &mut self.maneuver.phases;
        for phase in phases.iter_mut() {
            phase.start_s = phase.start_s.clamp(start_s, end_s);
            phase.end_s = phase.end_s.clamp(start_s, end_s);
        }
        phases.retain(|phase| phase.end_s > phase.start_s);
        if let Some(first) = phases
            .iter_mut()
            .min_by(|a, b| a.start_s.total_cmp(&b.start_s))
        {
            first.start_s = start_s;
        }
        if let Some(last) = phases.iter_mut().max_by(|a, b| a.end_s.total_cmp(&b.end_s)) {
            last.end_s = end_s;
        }
    }
}

/// The worse of two origins: a number is as good as the poorest thing it rests on.
pub fn poorer(a: Origin, b: Origin) -> Origin {
    a.max(b)
}
