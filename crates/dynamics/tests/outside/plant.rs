//! One way to fly either of the two.

use dynamics::outside::{Earth, Outside, Told};
use dynamics::{Airframe, Controls, Felt, Flying, State, Surfaces, Weather};
use std::path::PathBuf;

/// Step of both, s: the other library's default.
pub const STEP_S: f64 = 1.0 / 120.0;

/// The other library, or a loud word.
pub fn outside(name: &str, airframe: &Airframe, earth: Earth) -> Option<Outside> {
    let Some(python) = std::env::var_os("PROOFWING_TEST_JSBSIM") else {
        eprintln!(
            "SKIPPED {name}: PROOFWING_TEST_JSBSIM is not set; run .ci/jsbsim cargo test --workspace --test outside"
        );
        return None;
    };
    let folder =
        PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(format!("outside-{name}-{earth:?}"));
    let plant = Outside::start(&PathBuf::from(python), &folder, airframe, STEP_S, earth);
    Some(plant.expect("the outside library flies"))
}

/// What is compared.
#[derive(Clone, Copy, Debug)]
pub struct Seen {
    pub t: f64,
    pub tas: f64,
    pub alpha: f64,
    pub pitch: f64,
    pub bank: f64,
    pub pitch_rate: f64,
    pub lift: f64,
}

/// Either of the two.
pub trait Fly {
    fn begin(&mut self, state: &State, surfaces: &Surfaces);
    fn step(&mut self, controls: &Controls) -> Seen;
}

/// Ours, the ground far below.
pub struct Ours<'a>(pub Flying<'a>, f64);

impl<'a> Ours<'a> {
    pub fn new(airframe: &'a Airframe, weather: &'a Weather) -> Ours<'a> {
        let state = State::level(1000.0, 0.0, 50.0);
        Ours(
            Flying::new(airframe, weather, state, &Controls::default(), 1),
            0.0,
        )
    }
}

impl Fly for Ours<'_> {
    fn begin(&mut self, state: &State, surfaces: &Surfaces) {
        self.0.state = *state;
        self.0.surfaces = *surfaces;
        self.1 = 0.0;
    }

    fn step(&mut self, controls: &Controls) -> Seen {
        let felt: Felt = self.0.step(controls, STEP_S);
        self.1 += STEP_S;
        let lift = felt.lift;
        seen(
            self.1,
            &self.0.state,
            felt.flow.tas_mps,
            felt.flow.alpha_rad,
            lift,
        )
    }
}

/// Theirs.
pub struct Theirs(pub Outside, pub f64);

impl Fly for Theirs {
    fn begin(&mut self, state: &State, surfaces: &Surfaces) {
        self.0.put(state, surfaces).expect("a state is set");
        self.1 = 0.0;
    }

    fn step(&mut self, controls: &Controls) -> Seen {
        let told: Told = self.0.step(controls).expect("a step");
        self.1 += STEP_S;
        seen(self.1, &told.state, told.tas_mps, told.alpha_rad, told.lift)
    }
}

fn seen(t: f64, state: &State, tas: f64, alpha: f64, lift: f64) -> Seen {
    let [bank, pitch, _] = state.attitude();
    Seen {
        t,
        tas,
        alpha,
        pitch,
        bank,
        pitch_rate: state.rates()[1],
        lift,
    }
}
