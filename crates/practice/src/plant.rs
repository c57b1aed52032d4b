//! What moves the airplane under the pilot's hands: our own model, or anything else that can be stepped.

use dynamics::outside::{Lost, Outside};
use dynamics::{Controls, Felt, Flying};

/// Another motion in the place of [`Flying::step`]. Our own model needs none: it is stepped directly.
pub trait Plant {
    /// Begins where `flying` stands.
    ///
    /// # Errors
    /// When it cannot.
    fn begin(&mut self, flying: &Flying<'_>) -> Result<(), Lost>;

    /// One step: moves state, surfaces and time of `flying`, in the air that `flying` meets; what was felt.
    ///
    /// # Errors
    /// When it does not fly any more.
    fn step(
        &mut self,
        flying: &mut Flying<'_>,
        controls: &Controls,
        step_s: f64,
    ) -> Result<Felt, Lost>;
}

impl Plant for Outside {
    fn begin(&mut self, flying: &Flying<'_>) -> Result<(), Lost> {
        Outside::begin(self, flying)
    }

    fn step(
        &mut self,
        flying: &mut Flying<'_>,
        controls: &Controls,
        step_s: f64,
    ) -> Result<Felt, Lost> {
        self.fly(flying, controls, step_s)
    }
}

/// A plant that a pilot flies; none is our own model. No process can be cloned: a clone has none.
#[derive(Default)]
pub(crate) struct Mover<'a>(pub(crate) Option<Box<dyn Plant + 'a>>);

impl Clone for Mover<'_> {
    fn clone(&self) -> Self {
        Mover(None)
    }
}
