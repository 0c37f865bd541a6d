//! The depths of least power for a duty, against a plant as it is.

use super::blower::{Requirement, Specification};
use super::optimum::{AirSide, BestDepth, best_depths};
use super::whole::{SolvedSupply, Supply};
use crate::error::Error;
use crate::sizing::Task;
use crate::units::{AbsolutePressure, Power, Pressure, VolumeRate, base};

/// Depths of least power against the plant as it is.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct PlantDepths {
    /// The best, each at its best depth.
    pub best: Vec<BestDepth>,
    /// What was supposed of the air side: what this plant has.
    pub air_side: AirSide,
    /// Power of the plant at the same terms.
    pub present: Specification,
    /// Water that the plant lifts with it.
    pub present_water: VolumeRate,
}

impl PlantDepths {
    /// Power for the water lifted, over that of the plant, less one.
    #[must_use]
    pub(crate) fn against_present(&self, one: &BestDepth, duty: VolumeRate) -> f64 {
        let each = |power: Power, water: VolumeRate| power.value / water.value;
        each(one.best.adiabatic_power, duty)
            / each(self.present.adiabatic_power, self.present_water)
            - 1.0
    }
}

impl Supply {
    /// The depths of least power for a duty, with the losses between blower and water that this plant has.
    ///
    /// # Errors
    /// As [`best_depths`].
    pub fn depths(&self, solved: &SolvedSupply, problem: &Task) -> Result<PlantDepths, Error> {
        let (plant, duty) = (&self.plant, &solved.duty);
        let intake = duty.intake;
        let larger = |a: Pressure, b: Pressure| if b > a { b } else { a };
        let deepest = |pressures: Vec<AbsolutePressure>| {
            let rises = pressures.into_iter().map(|p| p - intake.pressure);
            rises.fold(base(0.0), larger)
        };
        let water = deepest(duty.manifold.water_running(&plant.design)?);
        let rest = deepest(duty.manifold.water_at_rest());
        let air_side = AirSide {
            intake,
            loss: larger(base(0.0), duty.running_rise - water),
            efficiency: plant.efficiency,
        };
        let present = Requirement {
            air: duty.air,
            intake,
            pressure_rise: air_side.loss + larger(water, rest),
            margin: base(0.0),
            efficiency: plant.efficiency,
        };
        let branches = &duty.manifold.header().branches;
        let lifts = duty.manifold.risers().iter().zip(&plant.design);
        let mut present_water = VolumeRate::default();
        for ((riser, air), _) in lifts.zip(branches).filter(|(_, branch)| branch.open) {
            let predictor = plant.manifold.law().on(riser)?;
            present_water += predictor.operate(*air)?.water_flow();
        }
        Ok(PlantDepths {
            best: best_depths(problem, &air_side)?,
            air_side,
            present: present.specification()?,
            present_water,
        })
    }
}
