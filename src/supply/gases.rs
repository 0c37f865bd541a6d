//! Gases of the water of all lifts of a supply.

use super::manifold::{Manifold, Running};
use crate::error::Error;
use crate::transfer::{GasTerms, LiftGases};
use crate::units::{Length, MassPerEnergy, MassRate, Power, base};

/// What all lifts together do to the gases of their water.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct SupplyGases {
    /// Of each lift in the header's order; none of a lift that does not pump.
    pub lifts: Vec<Option<LiftGases>>,
    /// Place of the lift with the largest bound of total gas pressure, the deepest where their mouths are alike; none
    /// where no lift pumps.
    pub deepest: Option<usize>,
    /// Oxygen that the water of all lifts takes up; none without a coefficient.
    pub oxygen_added: Option<MassRate>,
    /// The same for the electric energy, where the power at the wire is known.
    pub oxygen_per_wire_energy: Option<MassPerEnergy>,
    /// The same for the isothermal energy of the air at the points of injection.
    pub oxygen_per_air_energy: Option<MassPerEnergy>,
}

impl Manifold {
    /// Gases of the water of lifts that run; `rise` is how far it can stand above their submergence, and the power that
    /// at the wire, where it is known.
    ///
    /// # Errors
    /// As [`GasTerms::of`].
    pub fn gases(
        &self,
        running: &Running,
        terms: &GasTerms,
        (rise, wire_power): (Length, Option<Power>),
    ) -> Result<SupplyGases, Error> {
        let pairs = self.risers().iter().zip(&running.lifts);
        let lifts: Vec<Option<LiftGases>> = pairs
            .map(|(riser, outcome)| {
                let point = outcome.point();
                point.map(|point| terms.of(riser, point, rise)).transpose()
            })
            .collect::<Result<_, Error>>()?;
        let found = lifts.iter().flatten().filter_map(|lift| lift.transfer);
        let added = found.map(|(_, found)| found.oxygen_added);
        let oxygen_added = added.reduce(|sum, added| sum + added);
        let points = running.lifts.iter().filter_map(|lift| lift.point());
        let air_power = points.fold(base(0.0), |sum: Power, point| sum + point.injection_power);
        let per = |power: Option<Power>| -> Option<MassPerEnergy> {
            let power = power.filter(|power| power.value > 0.0)?;
            Some(base(oxygen_added?.value / power.value))
        };
        Ok(SupplyGases {
            deepest: deepest(&lifts),
            oxygen_per_wire_energy: per(wire_power),
            oxygen_per_air_energy: per(Some(air_power)),
            oxygen_added,
            lifts,
        })
    }
}

impl SupplyGases {
    /// Gases of the deepest lift.
    #[must_use]
    pub(crate) fn of_deepest(&self) -> Option<&LiftGases> {
        self.lifts.get(self.deepest?)?.as_ref()
    }
}

fn deepest(lifts: &[Option<LiftGases>]) -> Option<usize> {
    let running = lifts.iter().enumerate();
    let running = running.filter_map(|(n, lift)| Some((n, lift.as_ref()?.bound)));
    let deepest = running.reduce(|most, next| {
        // No bound is one deeper than any.
        let larger = match (most.1, next.1) {
            (Some(most), Some(next)) => next > most,
            (most, _) => most.is_some(),
        };
        if larger { next } else { most }
    });
    deepest.map(|(n, _)| n)
}
