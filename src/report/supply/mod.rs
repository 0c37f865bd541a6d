//! An air supply: duty, lifts, blower, shifts, depth, energy, parts.

mod chain;
mod gas;
mod json;
mod sources;
mod tables;
mod text;

pub use chain::SupplyChain;
pub use gas::SupplyGases;
pub use sources::supply_sources;
#[cfg(feature = "sheet")]
pub(super) use {tables::shift_notes, text::orifice_law};

use crate::Model;
use crate::caution::Caution;
use crate::error::Error;
use crate::need::RoomNeed;
use crate::references::Reference;
use crate::riser::Riser;
use crate::sizing::Problem;
use crate::spread::{Evidence, Spread};
use crate::supply::blower::{Requirement, Specification};
use crate::supply::{AirSide, BestDepth, SolvedSupply, Supply, best_depths};
use crate::transfer::{GasTerms, LiftGases};
use crate::units::{AbsolutePressure, Length, Power, Pressure, VolumeRate, base};

/// An air supply solved, with the spread of each lift and the depth of least power.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct SupplyReport {
    /// What was asked.
    pub supply: Supply,
    /// The answer.
    pub solved: SolvedSupply,
    /// How sure each lift's water flow is; none for a lift without air.
    pub spreads: Vec<Option<Spread>>,
    /// Depths of least power, where a duty and limits were given.
    pub depths: Option<Depths>,
    /// What was assumed for want of a key, as key and value.
    pub assumptions: Vec<(String, String)>,
    /// Gases of the water, where something is known of them.
    pub gases: Option<SupplyGases>,
    /// What the animals need, where that is known.
    pub need: Option<RoomNeed>,
    /// Cautions beside those of the solution.
    pub cautions: Vec<Caution>,
}

/// Depths of least power against the plant as it is.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Depths {
    /// The best, each at its best depth.
    pub best: Vec<BestDepth>,
    /// What was supposed of the air side: what this plant has.
    pub air_side: AirSide,
    /// Power of the plant at the same terms.
    pub present: Specification,
    /// Water that the plant lifts with it.
    pub present_water: VolumeRate,
}

impl Depths {
    /// Power for the water lifted, over that of the plant, less one.
    #[must_use]
    pub fn against_present(&self, one: &BestDepth, duty: VolumeRate) -> f64 {
        let each = |power: Power, water: VolumeRate| power.value / water.value;
        each(one.best.adiabatic_power, duty)
            / each(self.present.adiabatic_power, self.present_water)
            - 1.0
    }
}

impl SupplyReport {
    /// Solves everything; with a sizing problem also the depth of least power.
    ///
    /// # Errors
    /// As [`Supply::solve`] and [`best_depths`].
    pub fn of(
        supply: Supply,
        problem: Option<&Problem>,
        assumptions: Vec<(String, String)>,
    ) -> Result<Self, Error> {
        let solved = supply.solve()?;
        let evidence = Evidence::on(model(&supply));
        let pairs = solved.manifold.risers().iter();
        let spreads = pairs
            .zip(&solved.running.split.branches)
            .map(|(riser, branch)| {
                let some = branch.air.kg_per_s() > 0.0;
                some.then(|| Spread::of(riser, branch.air, &evidence))
                    .transpose()
            })
            .collect::<Result<_, Error>>()?;
        let depths = problem
            .map(|problem| Depths::of(&supply, &solved, problem))
            .transpose()?;
        Ok(Self {
            supply,
            solved,
            spreads,
            depths,
            assumptions,
            gases: None,
            need: None,
            cautions: Vec::new(),
        })
    }

    /// With what is known of the gases of the water; `rise` is how far it can stand above the submergence.
    ///
    /// # Errors
    /// As [`SupplyGases::of`].
    pub fn with_gas(mut self, terms: &GasTerms, rise: Length) -> Result<Self, Error> {
        let gases = SupplyGases::of(&self.solved, terms, rise)?;
        let deepest = gases.deepest().map(LiftGases::cautions);
        // With those of the solution, so that the design sheet has them too.
        self.solved.cautions.extend(deepest.unwrap_or_default());
        self.gases = Some(gases);
        Ok(self)
    }

    /// With what the animals need.
    #[must_use]
    pub fn with_need(mut self, need: Option<RoomNeed>) -> Self {
        if need.is_some() {
            self.cautions.push(Caution::MeansOfTheDay);
        }
        self.need = need;
        self
    }

    /// From the animals to the power; none without a need.
    #[must_use]
    pub fn chain(&self) -> Option<SupplyChain<'_>> {
        Some(SupplyChain {
            need: self.need.as_ref()?,
            supply: &self.supply,
            solved: &self.solved,
        })
    }

    /// Every caution: of the solution, and those beside it.
    pub fn all_cautions(&self) -> impl Iterator<Item = &Caution> {
        self.solved.cautions.iter().chain(&self.cautions)
    }

    /// The model of the lifts.
    #[must_use]
    pub fn model(&self) -> Model {
        model(&self.supply)
    }

    /// The sources behind the numbers.
    #[must_use]
    pub fn sources(&self) -> Vec<Reference> {
        supply_sources(&self.supply)
    }

    /// The spread of all lifts' water together: the sum of theirs, since what the physics leaves open is the
    /// same for all.
    #[must_use]
    pub fn whole_spread(&self) -> Option<Spread> {
        let mut known = self.spreads.iter().flatten();
        let first = *known.next()?;
        Some(known.fold(first, |mut sum, spread| {
            sum.low += spread.low;
            sum.high += spread.high;
            sum
        }))
    }
}

fn model(supply: &Supply) -> Model {
    let risers = supply.plant.manifold.risers();
    risers.first().map_or_else(Model::default, Riser::model)
}

impl Depths {
    fn of(supply: &Supply, solved: &SolvedSupply, problem: &Problem) -> Result<Self, Error> {
        let duty = &solved.duty;
        let intake = duty.intake;
        let running = duty.manifold.water_running(&supply.plant.design)?;
        let deepest = |pressures: &mut dyn Iterator<Item = AbsolutePressure>| -> Pressure {
            let rises = pressures.map(|pressure| pressure - intake.pressure);
            rises.fold(
                base(0.0),
                |most: Pressure, rise| {
                    if rise > most { rise } else { most }
                },
            )
        };
        let water = deepest(&mut running.into_iter());
        let rest = deepest(&mut duty.manifold.water_at_rest().into_iter());
        let spent = duty.running_rise - water;
        let loss = if spent > base(0.0) { spent } else { base(0.0) };
        let air_side = AirSide {
            intake,
            loss,
            efficiency: supply.plant.efficiency,
        };
        let present = Requirement {
            air: duty.air,
            intake,
            pressure_rise: loss + if rest > water { rest } else { water },
            margin: base(0.0),
            efficiency: supply.plant.efficiency,
        };
        let branches = &duty.manifold.header().branches;
        let lifts = duty.manifold.risers().iter().zip(&supply.plant.design);
        let mut present_water = VolumeRate::default();
        for ((riser, air), _) in lifts.zip(branches).filter(|(_, branch)| branch.open) {
            present_water += riser.operate(*air)?.water_flow();
        }
        Ok(Self {
            best: best_depths(problem, &air_side)?,
            air_side,
            present: present.specification()?,
            present_water,
        })
    }
}
