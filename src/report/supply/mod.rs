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

use super::UnitSystem;
use super::number::change;
use crate::Model;
use crate::air::AirFlow;
use crate::caution::Caution;
use crate::error::Error;
use crate::need::RoomNeed;
use crate::references::Reference;
use crate::riser::{OperatingPoint, Riser};
use crate::sizing::Problem;
use crate::supply::blower::{Requirement, Specification};
use crate::supply::{AirSide, BestDepth, SolvedSupply, Supply, best_depths};
use crate::transfer::{GasTerms, LiftGases};
use crate::uncertainty::{Basis, Interval, Predictor, Wanted, same_rig};
use crate::units::{AbsolutePressure, Length, MassRate, Power, Pressure, VolumeRate, base};

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
    /// Whether the lower ends of the intervals meet what the lifts are to give, not the predictions alone.
    pub at_lower_end: bool,
    /// What the doubt about the lifts costs, where it was asked for and every lift can have it.
    pub doubt_cost: Option<DoubtCost>,
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

/// What all open lifts take so that what is promised is met by prediction, and by the lower ends of the intervals:
/// the difference is what bench trials are worth.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
#[non_exhaustive]
pub struct DoubtCost {
    /// Mass rates of dry air: by prediction, by the lower ends.
    pub air: [MassRate; 2],
    /// Powers at the injection points.
    pub injection_power: [Power; 2],
}

impl DoubtCost {
    /// In words.
    #[must_use]
    pub fn words(&self, units: UnitSystem) -> String {
        let air = self
            .air
            .map(|air| AirFlow::from_kg_per_s(air.value).volume_rate_at_20_c());
        let power = self.injection_power[1] - self.injection_power[0];
        format!(
            "costs {} more of air and {} at the injection points ({}): then the lower ends of the intervals meet what the lifts are to give",
            units.air(air[1] - air[0]),
            units.power(power.value),
            change((air[1] / air[0]).value - 1.0),
        )
    }

    fn add(&mut self, both: &[OperatingPoint; 2]) {
        for (n, point) in both.iter().enumerate() {
            self.air[n] += point.air.dry_mass_rate();
            self.injection_power[n] += point.injection_power;
        }
    }
}

/// The operating points that give what a lift is to give, by prediction and by the lower end; none where it cannot.
fn both_ends(
    predictor: &Predictor,
    air: AirFlow,
    wanted: Wanted,
) -> Result<Option<[OperatingPoint; 2]>, Error> {
    let found = predictor.predict(air)?;
    let promised = match (wanted, found.interval) {
        (Wanted::Predicted, _) => found.outcome.water_flow(),
        (Wanted::LowerEnd, Some(interval)) => interval.low,
        (Wanted::LowerEnd, None) => return Ok(None),
    };
    let mut both = Vec::new();
    for which in [Wanted::Predicted, Wanted::LowerEnd] {
        match predictor.air_for(promised, which) {
            Ok(point) => both.push(point),
            Err(error @ Error::NotConverged { .. }) => return Err(error),
            // Above the peak, without air, or without an interval.
            Err(_) => return Ok(None),
        }
    }
    Ok(both.try_into().ok())
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
            at_lower_end: false,
            doubt_cost: None,
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

    /// With what the doubt costs: the air of all open lifts so that what is promised of them is met by the predicted
    /// flows, and by the lower ends of their intervals. Promised is what the design air gives by prediction, or at the
    /// lower end where that is `wanted`.
    ///
    /// # Errors
    /// [`Error::NotConverged`], a defect.
    pub fn with_doubt_cost(mut self, wanted: Wanted) -> Result<Self, Error> {
        self.at_lower_end = wanted == Wanted::LowerEnd;
        let plant = &self.supply.plant;
        let branches = &plant.manifold.header().branches;
        let mut sum = DoubtCost::default();
        let mut known: Vec<(Predictor, AirFlow, [OperatingPoint; 2])> = Vec::new();
        let predictors = plant.manifold.predictors()?.into_iter().zip(&plant.design);
        for ((predictor, air), branch) in predictors.zip(branches) {
            if !branch.open {
                continue;
            }
            let same = |one: &&(Predictor, AirFlow, _)| {
                one.0.riser() == predictor.riser() && one.1 == *air
            };
            let both = if let Some(one) = known.iter().find(same) {
                one.2
            } else {
                let Some(both) = both_ends(&predictor, *air, wanted)? else {
                    return Ok(self);
                };
                known.push((predictor, *air, both));
                both
            };
            sum.add(&both);
        }
        self.doubt_cost = Some(sum);
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
    /// rigs are independent, so half widths of theirs are combined by root of squares. It rests on a bench trial where
    /// all of them do. None when that of a lift with
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
        let mut whole: Interval = first?;
        let known = self.intervals.iter().flatten();
        if known.clone().any(|one| one.basis == Basis::PublishedRigs) {
            whole.basis = Basis::PublishedRigs;
        }
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
