//! What a short recovery needs to know of the airplane, per unit of its weight.
//!
//! Along the path (T − D)/W, with u = V/VS1 in equivalent airspeed:
//! D/W = a·u² + b·n²/u² + d·u² (d the flaps'), from C<sub>D</sub> = C<sub>D0</sub> + K·C<sub>L</sub>² (J. D.
//! Anderson, *Aircraft Performance and Design*, 1999, ch. 5), scaled with the stall speed so that no wing area is
//! needed; T/W straight in u between idle and full (J. T. Lowry, *Performance of Light Aircraft*, 1999: the thrust
//! of a fixed-pitch propeller falls with speed; over the range of a recovery a line is enough).

use air::units::G0_MPS2;
use std::f64::consts::FRAC_PI_2;

/// Density at sea level in the standard atmosphere, kg/m³.
pub const SEA_LEVEL_KGPM3: f64 = 1.225;

/// One detent of the flaps.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Detent {
    /// Angle, rad.
    pub angle_rad: f64,
    /// Stall speed, one g, power off, equivalent, m/s.
    pub stall_mps: f64,
    /// Added drag over weight at u = 1.
    pub drag: f64,
}

/// The airplane.
#[derive(Clone, Debug, PartialEq)]
pub struct Airplane {
    /// Detents by angle, the first is flaps up; never empty.
    pub detents: Vec<Detent>,
    /// Drag at no lift over weight at u = 1.
    pub parasite: f64,
    /// Drag by lift over weight at u = 1 and one g.
    pub induced: f64,
    /// Thrust over weight with the throttle open: at u = 1, and by how much it changes for one more u.
    pub full: [f64; 2],
    /// The same with the throttle closed: negative where the propeller brakes.
    pub idle: [f64; 2],
    /// Best rate of climb, equivalent airspeed, m/s.
    pub climb_mps: f64,
}

/// Where the airplane is in a moment.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Moment {
    /// Equivalent airspeed, m/s.
    pub eas_mps: f64,
    /// Load factor.
    pub load: f64,
    /// Flap angle, rad.
    pub flap_rad: f64,
    /// Thrust between idle (0) and full (1).
    pub thrust: f64,
}

impl Airplane {
    /// Stall speed flaps up, m/s equivalent.
    #[must_use]
    pub fn clean_stall_mps(&self) -> f64 {
        self.detents.first().map_or(25.0, |d| d.stall_mps)
    }

    /// Stall speed and added drag at a flap angle, straight between detents.
    #[must_use]
    pub fn flap(&self, angle_rad: f64) -> (f64, f64) {
        let above = self
            .detents
            .partition_point(|detent| detent.angle_rad < angle_rad);
        let lower = above.checked_sub(1).and_then(|k| self.detents.get(k));
        match (lower, self.detents.get(above)) {
            (Some(a), Some(b)) => {
                let part = (angle_rad - a.angle_rad) / (b.angle_rad - a.angle_rad);
                (
                    a.stall_mps + part * (b.stall_mps - a.stall_mps),
                    a.drag + part * (b.drag - a.drag),
                )
            }
            (Some(end), None) | (None, Some(end)) => (end.stall_mps, end.drag),
            (None, None) => (25.0, 0.0),
        }
    }

    /// Thrust over weight.
    #[must_use]
    pub fn thrust(&self, eas_mps: f64, share: f64) -> f64 {
        let u = eas_mps / self.clean_stall_mps();
        let line = |ends: [f64; 2]| ends[0] + ends[1] * (u - 1.0);
        let idle = line(self.idle);
        idle + share * (line(self.full) - idle)
    }

    /// Drag over weight, flow attached.
    #[must_use]
    pub fn drag(&self, moment: &Moment) -> f64 {
        let u2 = (moment.eas_mps / self.clean_stall_mps()).powi(2).max(0.05);
        let (_, flap) = self.flap(moment.flap_rad);
        (self.parasite + flap) * u2 + self.induced * moment.load * moment.load / u2
    }

    /// Thrust less drag over weight: the sine of the angle of climb that it holds, or the acceleration in g.
    #[must_use]
    pub fn excess(&self, moment: &Moment) -> f64 {
        self.thrust(moment.eas_mps, moment.thrust) - self.drag(moment)
    }

    /// The load factor at which the wing lets go.
    #[must_use]
    pub fn greatest_load(&self, eas_mps: f64, flap_rad: f64) -> f64 {
        (eas_mps / self.flap(flap_rad).0).powi(2)
    }
}

/// Change of the angle of the path, rad/s, under a load factor.
#[must_use]
pub fn turning(load: f64, bank_rad: f64, path_rad: f64, tas_mps: f64) -> f64 {
    G0_MPS2 / tas_mps.max(8.0)
        * (load * bank_rad.clamp(-FRAC_PI_2, FRAC_PI_2).cos() - path_rad.cos())
}
