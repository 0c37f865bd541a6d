//! An air supply: duty, lifts, blower, shifts, depth, energy, parts.

mod blower;
mod change;
mod depths;
mod lifts;
mod rest;

pub use blower::{
    AirDutyFacts, AirInPipe, AirStateFacts, MainLinePipe, OneLessFacts, OperationFacts,
    SpecificationFacts,
};
pub use change::{ShiftFacts, TeeFacts};
pub use depths::{DepthFacts, DepthPoint, DepthsFacts};
pub use lifts::{KindFacts, LiftFacts};
pub use rest::{
    AssumptionFacts, DoubtCostFacts, EnergyFacts, PartFacts, SupplyChainFacts, SupplyGasFacts,
    WithoutAirFacts,
};

use schemars::JsonSchema;
use serde::Serialize;

use super::{Answer, IntervalFacts, SiteFacts, Worded};
use crate::caution::Caution;
use crate::error::Error;
use crate::model::Model;
use crate::need::RoomNeed;
use crate::references::Reference;
use crate::sizing::Problem;
use crate::supply::{SolvedSupply, Supply};
use crate::transfer::{GasTerms, LiftGases};
use crate::uncertainty::Wanted;

/// What an air supply is asked with, beside itself.
#[derive(Debug, Clone, Default)]
pub struct SupplyTerms<'a> {
    /// The duty and its limits, for the depth of least power.
    pub problem: Option<&'a Problem>,
    /// What the animals need.
    pub need: Option<&'a RoomNeed>,
    /// What is known of the gases of the water.
    pub gas: GasTerms,
    /// Which flows of the lifts meet what they are to give.
    pub wanted: Wanted,
    /// What was taken for granted.
    pub assumptions: Worded<Vec<AssumptionFacts>>,
}

/// An air supply from one blower to many lifts.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[non_exhaustive]
pub struct SupplyAnswer {
    /// from the animals to the lifts; `null` unless the file has `[need]`
    pub chain: Option<SupplyChainFacts>,
    /// what the air side asks of a blower
    pub duty: AirDutyFacts,
    /// the same in the terms of a data sheet, with its margin
    pub specification: SpecificationFacts,
    /// the air outside
    pub outside: AirStateFacts,
    /// at the blower's outlet as it runs, absolute
    pub outlet_pressure_pa: f64,
    /// there, with the blower's loss left in the air
    pub outlet_temperature_k: f64,
    /// whether that supposes a blower without loss, for want of an efficiency
    pub outlet_is_least: bool,
    /// at the header
    pub arrival_temperature_k: f64,
    /// whether the file gives it; otherwise it is that of the outlet
    pub arrival_is_given: bool,
    /// the line from the blower to the header, as it runs
    pub main_line: AirInPipe,
    /// the header, where its air is fastest
    pub header: AirInPipe,
    /// where the air comes in, absolute
    pub header_pressure_pa: f64,
    /// whether an orifice is outside ISO 5167-2; `null` without orifices
    pub orifices_extrapolated: Option<bool>,
    /// how far the air of a lift may be off its design; `null` unless the lifts are balanced by orifices
    pub air_tolerance: Option<f64>,
    /// lifts that are alike, each by itself at its design air
    pub kinds: Vec<KindFacts>,
    /// the lifts as they run, in the file's order: at the design's header pressure, or on the blowers with their surplus bled
    pub lifts: Vec<LiftFacts>,
    /// places in `lifts`, from 0, of the open lift nearest to where the air comes in and of the one farthest from it
    pub ends: Vec<usize>,
    /// dry air of all lifts together
    pub air_mass_flow_kg_per_s: f64,
    /// of all lifts together
    pub water_flow_m3_per_s: f64,
    /// where that lies in truth, or `null`
    pub interval: Option<IntervalFacts>,
    /// whether the lower ends of the intervals meet what the lifts are to give
    pub at_lower_end: bool,
    /// what all open lifts take so that what is promised of them is met by the predicted flows, and by the lower ends of their intervals; `null` where a lift cannot. Promised is what the design air gives by prediction, or at the lower end where `duty.at_lower_end`
    pub doubt_cost: Option<DoubtCostFacts>,
    /// largest loss of the main line that is wanted, or `null`
    pub wanted_main_loss_pa: Option<f64>,
    /// the main line in each pipe of its series, or in each of `[[pipe]]` where its own is one of those; empty when only its bore is given
    pub main_line_pipes: Vec<MainLinePipe>,
    /// what the blowers of a table do, or `null`
    pub operation: Option<OperationFacts>,
    /// what a change does
    pub shifts: Vec<ShiftFacts>,
    /// depth of least power; `null` without duty and limits
    pub depths: Option<DepthsFacts>,
    /// gases of the water of all lifts; `null` where none pumps
    pub gas: Option<SupplyGasFacts>,
    /// what running without pause takes; `null` when the power at the wire is not known
    pub energy: Option<EnergyFacts>,
    /// what happens when the air stops; `null` where the animals are not known
    pub without_air: Option<WithoutAirFacts>,
    /// what to buy
    pub parts: Worded<Vec<PartFacts>>,
    /// what was taken for a key that is not there
    pub assumptions: Worded<Vec<AssumptionFacts>>,
    /// keys of `risewater list sources`
    pub sources: Vec<Reference>,
    /// the closures
    pub model: Model,
    /// water and atmosphere
    pub site: SiteFacts,
    /// what to read it with
    pub cautions: Vec<Caution>,
}

impl Answer for SupplyAnswer {
    const SCHEMA: &'static str = "risewater.supply/4";
}

impl SupplyAnswer {
    /// What a solved supply comes to, with how sure its lifts are, what their water does with the air's gases, and, with
    /// a duty, the depth of least power.
    ///
    /// # Errors
    /// As [`SolvedSupply::intervals`], [`SolvedSupply::gases`] and [`Supply::depths`].
    ///
    /// # Examples
    /// ```
    /// # #[cfg(feature = "supply")] {
    /// use risewater::answer::{SupplyAnswer, SupplyTerms};
    /// use risewater::design::{DesignFile, SUPPLY_EXAMPLE};
    /// use risewater::supply::blower::DEMO;
    ///
    /// let supply = DesignFile::parse(SUPPLY_EXAMPLE)?.with_blower_table(DEMO).supply()?;
    /// let answer = SupplyAnswer::of(&supply, &supply.solve()?, &SupplyTerms::default())?;
    /// let water: f64 = answer.lifts.iter().map(|lift| lift.water_flow_m3_per_s).sum();
    /// assert!((answer.water_flow_m3_per_s / water - 1.0).abs() < 1e-12);
    /// # }
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn of(supply: &Supply, solved: &SolvedSupply, terms: &SupplyTerms) -> Result<Self, Error> {
        let (plant, running) = (&supply.plant, &solved.running);
        let risers = plant.manifold.risers();
        let riser = risers.first().ok_or(Error::RiserMissing {
            branches: plant.design.len(),
            risers: 0,
        })?;
        let intervals = solved.intervals()?;
        let rise = terms.problem.map(|problem| problem.level_rise);
        let gases = solved.gases(&terms.gas, rise.unwrap_or_default())?;
        let depths = terms.problem.map(|problem| {
            let found = supply.depths(solved, problem)?;
            Ok::<_, Error>(DepthsFacts::of(&found, problem))
        });
        let gas_cautions = gases.of_deepest().map(LiftGases::cautions);
        let mut cautions = solved.cautions.clone();
        cautions.extend(gas_cautions.unwrap_or_default());
        cautions.extend(intervals.cautions.iter().cloned());
        cautions.extend(terms.need.map(|_| Caution::MeansOfTheDay));
        let main_line = solved
            .main
            .inlet(running.split.air, running.split.pressure)?;
        let header = solved.manifold.header();
        Ok(Self {
            chain: terms.need.map(|need| SupplyChainFacts::of(need, running)),
            duty: AirDutyFacts::of(plant, &solved.duty),
            specification: SpecificationFacts::of(plant, &solved.duty.specification),
            outside: (&plant.outside).into(),
            outlet_pressure_pa: main_line.inlet.pascal(),
            outlet_temperature_k: solved.outlet_temperature.value,
            outlet_is_least: solved.outlet_is_least,
            arrival_temperature_k: solved.arrival_temperature.value,
            arrival_is_given: plant.arrival.is_some(),
            main_line: AirInPipe::of(solved.main.bore, main_line.velocity),
            header: AirInPipe::of(header.pipe.bore, running.split.velocity),
            header_pressure_pa: running.split.pressure.pascal(),
            orifices_extrapolated: solved.orifices_extrapolated(),
            air_tolerance: plant.balancing.map(|balancing| balancing.tolerance.value),
            kinds: KindFacts::all(plant)?,
            lifts: LiftFacts::all(plant, solved, &intervals, &gases),
            ends: header.ends(),
            air_mass_flow_kg_per_s: running.split.air.kg_per_s(),
            water_flow_m3_per_s: running.water_flow().value,
            interval: intervals.whole.map(Into::into),
            at_lower_end: terms.wanted == Wanted::LowerEnd,
            doubt_cost: plant.doubt_cost(terms.wanted)?.map(Into::into),
            wanted_main_loss_pa: supply.wanted_main_loss.map(|loss| loss.value),
            main_line_pipes: MainLinePipe::all(supply, solved),
            operation: OperationFacts::of(plant, solved),
            shifts: ShiftFacts::all(plant, solved),
            depths: depths.transpose()?,
            gas: SupplyGasFacts::of(&gases, riser.site()),
            energy: EnergyFacts::of(supply, solved),
            without_air: WithoutAirFacts::of(supply, solved),
            parts: Worded::of(|units| {
                let parts = supply.parts(solved, units);
                parts.into_iter().map(Into::into).collect()
            }),
            assumptions: terms.assumptions.clone(),
            sources: supply.sources(),
            model: riser.model(),
            site: riser.site().into(),
            cautions,
        })
    }
}
