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
pub use lifts::{CatchFacts, KindFacts, LiftFacts};
pub use rest::{
    AssumptionFacts, DoubtCostFacts, EnergyFacts, PartFacts, SupplyChainFacts, SupplyGasFacts,
    WithoutAirFacts,
};

use super::{IntervalFacts, SiteFacts, Worded};
use crate::caution::Caution;
use crate::error::Error;
use crate::model::Model;
use crate::need::RoomNeed;
use crate::references::Reference;
use crate::sizing::Task;
use crate::supply::{SolvedSupply, Supply};
use crate::transfer::{GasTerms, LiftGases};
use crate::uncertainty::Wanted;
use crate::units::Length;

/// What an air supply is asked with, beside itself.
#[derive(Debug, Clone, Default)]
pub struct SupplyTerms<'a> {
    /// The duty and its limits, for the depth of least power.
    pub problem: Option<&'a Task>,
    /// What the animals need.
    pub need: Option<&'a RoomNeed>,
    /// What is known of the gases of the water.
    pub gas: GasTerms,
    /// Which flows of the lifts meet what they are to give.
    pub wanted: Wanted,
    /// Fall of the water level below the running one, where the file gives it, for the drawings.
    pub level_fall: Option<Length>,
    /// Rise of the water level above it.
    pub level_rise: Option<Length>,
    /// What was taken for granted.
    pub assumptions: Worded<Vec<AssumptionFacts>>,
}

facts! {
    /// An air supply from one blower to many lifts.
    pub struct SupplyAnswer {
        /// from the animals to the lifts; `null` unless the file has `[need]`
        pub chain: Option<SupplyChainFacts> =
            terms.need.map(|need| SupplyChainFacts::of(need, running)),
        /// what the air side asks of a blower
        pub duty: AirDutyFacts = AirDutyFacts::of(plant, &solved.duty),
        /// the same in the terms of a data sheet, with its margin
        pub specification: SpecificationFacts =
            SpecificationFacts::of(plant, &solved.duty.specification),
        /// the air outside
        pub outside: AirStateFacts = (&plant.outside).into(),
        /// pressure at the blower's outlet as it runs, absolute
        pub outlet_pressure_pa: f64 = main_line.inlet.pascal(),
        /// temperature there, with the blower's loss left in the air
        pub outlet_temperature_k: f64 = solved.outlet_temperature.value,
        /// whether this temperature is a lower bound, for a blower without loss, because no efficiency is known
        pub outlet_is_least: bool = solved.outlet_is_least,
        /// temperature of the air at the header
        pub arrival_temperature_k: f64 = solved.arrival_temperature.value,
        /// whether the file gives it; otherwise it is that of the outlet
        pub arrival_is_given: bool = plant.arrival.is_some(),
        /// the line from the blower to the header, as it runs
        pub main_line: AirInPipe = AirInPipe::of(solved.main.bore, main_line.velocity),
        /// the header, where its air is fastest
        pub header: AirInPipe = AirInPipe::of(header.pipe.bore, running.split.velocity),
        /// pressure where the air comes into the header, absolute
        pub header_pressure_pa: f64 = running.split.pressure.pascal(),
        /// whether an orifice is outside ISO 5167-2; `null` without orifices
        pub orifices_extrapolated: Option<bool> = solved.orifices_extrapolated(),
        /// how far the air of a lift may be off its design; `null` unless the lifts are balanced by orifices
        pub air_tolerance: Option<f64> = plant.balancing.map(|balancing| balancing.tolerance.value),
        /// kinds of like lifts, each solved by itself at its design air
        pub kinds: Vec<KindFacts> = KindFacts::all(plant, terms)?,
        /// the lifts as they run, in the file's order: at the design's header pressure, or on the blowers with their surplus bled
        pub lifts: Vec<LiftFacts> = LiftFacts::all(supply, solved, &intervals, &gases),
        /// places in `lifts`, counted from zero, of the open lift nearest to where the air comes in and of the one farthest from it
        pub ends: Vec<usize> = header.ends(),
        /// dry air of all lifts together
        pub air_mass_flow_kg_per_s: f64 = running.split.air.kg_per_s(),
        /// water of all lifts together
        pub water_flow_m3_per_s: f64 = running.water_flow().value,
        /// where the true water flow of all lifts lies, or `null`
        pub interval: Option<IntervalFacts> = intervals.whole.map(Into::into),
        /// whether the lower ends of the intervals meet what the lifts are to give
        pub at_lower_end: bool = terms.wanted == Wanted::LowerEnd,
        /// what all open lifts need to give the promised flow, by prediction and by the lower ends of their intervals; `null` where a lift cannot. The promised flow is what the design air gives by prediction, or at the lower end with `duty.at_lower_end`
        pub doubt_cost: Option<DoubtCostFacts> = plant.doubt_cost(terms.wanted)?.map(Into::into),
        /// largest loss of the main line that is wanted, or `null`
        pub wanted_main_loss_pa: Option<f64> = supply.wanted_main_loss.map(|loss| loss.value),
        /// the main line in each pipe of its series, or in each of `[[pipe]]` where its own is one of those; empty when only its bore is given
        pub main_line_pipes: Vec<MainLinePipe> = MainLinePipe::all(supply, solved),
        /// what the blowers of a table do, or `null`
        pub operation: Option<OperationFacts> = OperationFacts::of(plant, solved),
        /// what a change does
        pub shifts: Vec<ShiftFacts> = ShiftFacts::all(plant, solved),
        /// depth of least power; `null` without duty and limits
        pub depths: Option<DepthsFacts> = depths.transpose()?,
        /// gases of the water of all lifts; `null` where none pumps
        pub gas: Option<SupplyGasFacts> = SupplyGasFacts::of(&gases, riser.site()),
        /// energy and cost of running without pause; `null` when the power at the wire is not known
        pub energy: Option<EnergyFacts> = solved.energy.as_ref().map(|energy| {
            EnergyFacts::of(energy, solved.yearly_cost, supply.tariff.as_ref())
        }),
        /// what happens when the air stops; `null` where the animals are not known
        pub without_air: Option<WithoutAirFacts> = WithoutAirFacts::of(supply, solved),
        /// what to buy
        pub parts: Worded<Vec<PartFacts>> = Worded::of(|units| {
            let parts = supply.parts(solved, units);
            parts.into_iter().map(Into::into).collect()
        }),
        /// what the tool took for keys that the file leaves out
        pub assumptions: Worded<Vec<AssumptionFacts>> = terms.assumptions.clone(),
        /// keys of `risewater list sources`
        pub sources: Vec<Reference> = plant.sources(&supply.piping),
        /// the closures
        pub model: Model = riser.model(),
        /// water and atmosphere
        pub site: SiteFacts = riser.site().into(),
        /// cautions that come with it
        pub cautions: Vec<Caution> = cautions,
    }

    /// What a solved supply comes to, with how sure its lifts are, what their water does with the air's gases, and, with
    /// a duty, the depth of least power.
    ///
    /// # Errors
    /// As [`Manifold::intervals`](crate::supply::Manifold::intervals), [`Manifold::gases`](crate::supply::Manifold::gases) and [`Supply::depths`].
    ///
    /// # Examples
    /// ```
    /// # #[cfg(feature = "files")] {
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
        let intervals = solved.manifold.intervals(running)?;
        let by_problem = terms.problem.map(|problem| problem.level_rise);
        let rise = terms.level_rise.or(by_problem);
        let wire_power = solved.energy.map(|energy| energy.wire_power);
        let known = (rise.unwrap_or_default(), wire_power);
        let gases = solved.manifold.gases(running, &terms.gas, known)?;
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
    }
}
