//! The other library in the place of our own step: the air, the airframe's limits and the book-keeping stay ours.

use super::process::{Lost, Outside, Told};
use crate::aero::Airflow;
use crate::model::{Felt, Flying, limited};
use crate::state::{Controls, Vec3, rotate};

impl Outside {
    /// Puts the library where `flying` stands, in its air. The ground is at height zero there.
    ///
    /// # Errors
    /// When the process is gone or complains.
    pub fn begin(&mut self, flying: &Flying<'_>) -> Result<(), Lost> {
        let height = flying.state.height_m();
        let wind = flying.weather.wind(height);
        self.air(wind, 0.0, flying.weather.density_kgpm3(height))?;
        self.put(&flying.state, &flying.surfaces).map(|_| ())
    }

    /// One step of `flying` by the library's motion: the same wind, the same gusts of the same seed, the same density as
    /// [`Flying::step`] would meet. The step must be the one that the library was started with.
    ///
    /// # Errors
    /// When the process is gone or complains.
    pub fn fly(
        &mut self,
        flying: &mut Flying<'_>,
        controls: &Controls,
        step_s: f64,
    ) -> Result<Felt, Lost> {
        let around = flying.around(step_s);
        let gust = rotate(&flying.state.to_earth(), around.gust.velocity);
        let sum = |axis: usize| around.wind[axis] + gust[axis];
        let wind: Vec3 = [sum(0), sum(1), sum(2)];
        self.air(wind, around.gust.roll_radps, around.density_kgpm3)?;
        let controls = limited(flying.airframe, controls);
        let told = self.step(&controls)?;
        flying.state = told.state;
        flying.surfaces = told.surfaces;
        flying.surfaces.brakes = controls.brakes.clamp(0.0, 1.0);
        flying.time_s += step_s;
        Ok(felt(flying, &told, around.gust.roll_radps))
    }
}

fn felt(flying: &Flying<'_>, told: &Told, roll_radps: f64) -> Felt {
    let [p, q, r] = told.state.rates();
    let spin = told.state.0[13];
    Felt {
        specific_force_g: told.specific_force_g,
        flow: Airflow {
            tas_mps: told.tas_mps,
            alpha_rad: told.alpha_rad,
            beta_rad: told.beta_rad,
            rates: [p - roll_radps, q, r],
            density_kgpm3: told.density_kgpm3,
            height_m: told.state.height_m() - flying.ground_m,
        },
        lift: told.lift,
        thrust_n: told.thrust_n,
        power_share: told.torque_nm.max(0.0) * spin / flying.airframe.engine.rated_w,
        on_ground: told.on_ground,
    }
}
