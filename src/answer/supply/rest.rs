//! Need, doubt, gases, energy and parts of an air supply.

use super::super::{GasFacts, LoadFacts};
use crate::need::RoomNeed;
use crate::riser::Site;
use crate::supply::{EndCost, EnergyUse, Part, Running, SolvedSupply, Supply, SupplyGases, Tariff};

facts! {
    /// From the animals to the lifts of a plant as it runs.
    pub struct SupplyChainFacts {
        /// what the animals come to
        #[serde(flatten)]
        pub load: LoadFacts = need.into(),
        /// number of lifts that pump
        pub lifts: usize = pump.count(),
        /// water that is missing to the need; `null` when the water is enough
        pub shortfall_m3_per_s: Option<f64> = shortfall.map(|missing| missing.value),
    }

    pub(super) fn of(need: &RoomNeed, running: &Running) -> Self {
        let shortfall = need.shortfall(running.water_flow());
        let pump = running.lifts.iter().filter(|lift| lift.point().is_some());
    }

    /// What the doubt about the lifts costs.
    pub struct DoubtCostFacts from [predicted, lower]: [EndCost; 2] {
        /// dry air of all open lifts, by prediction
        pub predicted_air_mass_flow_kg_per_s: f64 = predicted.air.value,
        /// the same by the lower ends
        pub lower_end_air_mass_flow_kg_per_s: f64 = lower.air.value,
        /// isothermal power of that air at the injection points, by prediction
        pub predicted_injection_power_w: f64 = predicted.injection_power.value,
        /// the same by the lower ends
        pub lower_end_injection_power_w: f64 = lower.injection_power.value,
    }

    /// Gases of the water of all lifts.
    pub struct SupplyGasFacts {
        /// gases of the lift with the largest bound of total gas pressure: the deepest where their mouths are alike
        pub deepest: GasFacts = GasFacts::of(gases.of_deepest()?, site, 1),
        /// oxygen taken up by the water of all lifts; `null` without a transfer coefficient
        pub oxygen_added_kg_per_s: Option<f64> = gases.oxygen_added.map(|added| added.value),
        /// that oxygen over the electric energy; `null` where the power at the wire is not known
        pub oxygen_per_wire_energy_kg_per_j: Option<f64> =
            gases.oxygen_per_wire_energy.map(|e| e.value),
        /// that oxygen over the isothermal energy of the air at the injection points
        pub oxygen_per_air_energy_kg_per_j: Option<f64> =
            gases.oxygen_per_air_energy.map(|e| e.value),
    }

    pub(in crate::answer) fn of(gases: &SupplyGases, site: &Site) -> Option<Self> {
    }

    /// Energy and cost of running without pause.
    pub struct EnergyFacts {
        /// power at the wire, without the margin on pressure
        pub wire_power_w: f64 = energy.wire_power.value,
        /// isothermal power of the air at the injection points
        pub ideal_power_w: f64 = energy.ideal_power.value,
        /// power that lifting the water takes, were nothing lost
        pub useful_power_w: f64 = energy.useful_power.value,
        /// ideal power over that at the wire
        pub air_side_efficiency: f64 = energy.air_side_efficiency().value,
        /// useful power over that at the wire
        pub efficiency: f64 = energy.efficiency().value,
        /// energy for a day
        pub daily_energy_j: f64 = energy.per_day().value,
        /// energy for 365 days
        pub yearly_energy_j: f64 = energy.per_year().value,
        /// energy for the water lifted; `null` when none is
        pub energy_per_water_j_per_m3: Option<f64> =
            energy.per_1000_m3().map(|energy| energy.value / 1e3),
        /// cost of a year; `null` without a tariff
        pub yearly_cost: Option<f64> = yearly_cost,
        /// price of the energy; `null` without a tariff
        pub price_per_kwh: Option<f64> = tariff.map(|tariff| tariff.price_per_kilowatt_hour),
        /// what the price is in; `null` without a tariff
        pub currency: Option<String> = tariff.map(|tariff| tariff.currency.clone()),
    }

    pub(in crate::answer) fn of(
        energy: &EnergyUse,
        yearly_cost: Option<f64>,
        tariff: Option<&Tariff>,
    ) -> Self {
    }

    /// What happens to the animals when the air stops.
    pub struct WithoutAirFacts {
        /// mass of animals in a volume of water
        pub density_kg_per_m3: f64 = stock.density.value,
        /// oxygen that the animals take, over their mass
        pub oxygen_use_per_s: f64 = stock.oxygen_use.value,
        /// dissolved oxygen when the air stops
        pub oxygen_kg_per_m3: f64 = stock.oxygen.value,
        /// oxygen below which the animals suffer
        pub oxygen_limit_kg_per_m3: f64 = stock.limit.value,
        /// time until the oxygen has fallen to that limit
        pub time_to_limit_s: f64 = time.value,
    }

    pub(super) fn of(supply: &Supply, solved: &SolvedSupply) -> Option<Self> {
        let (stock, time) = supply.stock.zip(solved.time_to_limit)?;
    }

    /// A part to buy.
    pub struct PartFacts from part: Part {
        /// what it is
        pub part: String = part.what,
        /// where it goes
        pub place: String = part.place,
        /// how many; `null` for what is cut to length
        pub count: Option<u32> = part.count,
        /// how long; `null` for what is counted
        pub length_m: Option<f64> = part.length.map(|length| length.value),
    }

    /// What the tool took for a key that the file leaves out.
    pub struct AssumptionFacts {
        /// the key
        pub key: String,
        /// what the tool took for it
        pub value: String,
    }
}
