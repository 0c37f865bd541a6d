//! A measured quantity with all that stands behind it.

use super::budget::{Budget, Contribution, Source};
use super::repeats::Repeats;
use crate::air::{AirFlow, AirState};
use crate::error::Error;
use crate::measurement::{Estimate, Uncertain, propagate};
use crate::units::{MassRate, VolumeRate, base, kilogram_per_second};

/// A measured quantity: value with uncertainty, budget, and the times behind it.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Measured<Q> {
    /// Best estimate and standard uncertainty.
    pub value: Uncertain<Q>,
    /// What the uncertainty is made of.
    pub budget: Budget,
    /// The times; none for a meter.
    pub repeats: Option<Repeats>,
}

impl Measured<MassRate> {
    /// The air flow, without its uncertainty.
    ///
    /// # Examples
    /// See [`DisplacedAir`](super::DisplacedAir).
    #[must_use]
    pub fn air_flow(&self) -> AirFlow {
        AirFlow::from_kg_per_s(self.value.value.get::<kilogram_per_second>())
    }

    /// The air flow as a volume at a state.
    ///
    /// # Errors
    /// Those of the state, as for [`AirFlow::at`].
    ///
    /// # Examples
    /// See [`DisplacedAir`](super::DisplacedAir).
    pub fn volume_rate_at(&self, state: &AirState) -> Result<Uncertain<VolumeRate>, Error> {
        let per_kg = AirFlow::from_kg_per_s(1.0).volume_rate_at(state)?.value;
        Ok(self.value.scaled(|rate| base(rate.value * per_kg)))
    }
}

/// Value, relative contributions and combined uncertainty of a model with named inputs.
///
/// The inputs are independent of each other, so shares add up to one.
pub(super) fn measure<Q>(
    inputs: &[(Source, Estimate)],
    repeats: Option<Repeats>,
    typed: fn(f64) -> Q,
    model: impl Fn(&[f64]) -> f64,
) -> Measured<Q> {
    let estimates: Vec<Estimate> = inputs.iter().map(|(_, estimate)| *estimate).collect();
    let result = propagate(&estimates, &[], model);
    let contributions = inputs
        .iter()
        .zip(&result.contributions)
        .map(|((source, estimate), c)| {
            Contribution::new(*source, c / result.value, estimate.freedom)
        });
    Measured {
        budget: Budget::new(contributions.collect(), repeats.as_ref()),
        value: Uncertain {
            value: typed(result.value),
            standard: typed(result.standard),
            degrees_of_freedom: result.freedom,
        },
        repeats,
    }
}
