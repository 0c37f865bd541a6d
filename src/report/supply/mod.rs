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
use crate::supply::blower::{Requirement, Specification};
use crate::supply::{AirSide, BestDepth, SolvedSupply, Supply, best_depths};
use crate::transfer::{GasTerms, LiftGases};
use crate::uncertainty::{Interval, same_rig};
use crate::units::{AbsolutePressure, Length, Power, Pressure, VolumeRate, base};

/// An air supply solved, with the interval of each lift and the depth of least power.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct SupplyReport {
    /// What was asked.
    pub supply: Supply,
    /// The answer.
    pub solved: SolvedSupply,
    /// Where each lift's true water flow lies; none for a lift without air, or at a submergence ratio below 0.4.
    pub intervals: Vec<Option<Interval>>,
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
        let mut intervals = Vec::new();
        let mut cautions: Vec<Caution> = Vec::new();
        let branches = &solved.running.split.branches;
        for (predictor, branch) in solved.manifold.predictors()?.iter().zip(branches) {
            if branch.air.kg_per_s() > 0.0 {
                intervals.push(predictor.predict(branch.air)?.interval);
                for caution in predictor.cautions(branch.air)? {
                    // Of like lifts the first is enough.
                    if !cautions.iter().any(|known| known.code() == caution.code()) {
                        cautions.push(caution);
                    }
                }
            } else {
                intervals.push(None);
            }
        }
        let depths = problem
            .map(|problem| Depths::of(&supply, &solved, problem))
            .transpose()?;
        Ok(Self {
            supply,
            solved,
            intervals,
            depths,
            assumptions,
            gases: None,
            need: None,
            cautions,
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

    /// The interval of all lifts' water together. Lifts of one rig are off together, so theirs are added; different
    /// rigs are independent, so half widths of theirs are combined by root of squares. None when that of a lift with
    /// water is not known.
    #[must_use]
    pub fn whole_interval(&self) -> Option<Interval> {
        let mut rigs: Vec<(&Riser, [f64; 3])> = Vec::new();
        let mut first = None;
        let lifts = self.solved.running.lifts.iter().zip(&self.intervals);
        for (riser, (outcome, interval)) in self.solved.manifold.risers().iter().zip(lifts) {
            let flow = outcome.water_flow();
            let Some(found) = interval else {
                if flow.value > 0.0 {
                    return None;
                }
                continue;
            };
            first.get_or_insert(*found);
            let own = [flow.value, found.low.value, found.high.value];
            match rigs
                .iter_mut()
                .find(|(known, _)| same_rig(known.spec(), riser.spec()))
            {
                Some((_, sum)) => sum.iter_mut().zip(own).for_each(|(sum, own)| *sum += own),
                None => rigs.push((riser, own)),
            }
        }
        let flow: f64 = rigs.iter().map(|(_, sum)| sum[0]).sum();
        let half = |end: usize| {
            let squares = rigs.iter().map(|(_, sum)| (sum[end] - sum[0]).powi(2));
            squares.sum::<f64>().sqrt()
        };
        let mut whole = first?;
        (whole.low, whole.high) = (base(flow - half(1)), base(flow + half(2)));
        Some(whole)
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
            let predictor = supply.plant.manifold.law().on(riser)?;
            present_water += predictor.operate(*air)?.water_flow();
        }
        Ok(Self {
            best: best_depths(problem, &air_side)?,
            air_side,
            present: present.specification()?,
            present_water,
        })
    }
}
