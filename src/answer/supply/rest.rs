//! Need, doubt, gases, energy and parts of an air supply.

use schemars::JsonSchema;
use serde::Serialize;

use super::super::{GasFacts, LoadFacts};
use crate::need::RoomNeed;
use crate::riser::Site;
use crate::supply::{EndCost, Part, Running, SolvedSupply, Supply, SupplyGases};

/// From the animals to the lifts of a plant as it runs.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct SupplyChainFacts {
    /// what the animals come to
    #[serde(flatten)]
    pub load: LoadFacts,
    /// number of lifts that pump
    pub lifts: usize,
    /// water that is missing to the need; `null` when the water is enough
    pub shortfall_m3_per_s: Option<f64>,
}

impl SupplyChainFacts {
    pub(super) fn of(need: &RoomNeed, running: &Running) -> Self {
        let shortfall = need.shortfall(running.water_flow());
        let pump = running.lifts.iter().filter(|lift| lift.point().is_some());
        Self {
            load: need.into(),
            lifts: pump.count(),
            shortfall_m3_per_s: shortfall.map(|missing| missing.value),
        }
    }
}

/// What the doubt about the lifts costs.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct DoubtCostFacts {
    /// dry air of all open lifts, by prediction
    pub predicted_air_mass_flow_kg_per_s: f64,
    /// the same by the lower ends
    pub lower_end_air_mass_flow_kg_per_s: f64,
    /// isothermal power of that air at the injection points, by prediction
    pub predicted_injection_power_w: f64,
    /// the same by the lower ends
    pub lower_end_injection_power_w: f64,
}

impl From<[EndCost; 2]> for DoubtCostFacts {
    fn from([predicted, lower]: [EndCost; 2]) -> Self {
        Self {
            predicted_air_mass_flow_kg_per_s: predicted.air.value,
            lower_end_air_mass_flow_kg_per_s: lower.air.value,
            predicted_injection_power_w: predicted.injection_power.value,
            lower_end_injection_power_w: lower.injection_power.value,
        }
    }
}

/// Gases of the water of all lifts.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct SupplyGasFacts {
    /// gases of the lift with the largest bound of total gas pressure: the deepest where their mouths are alike
    pub deepest: GasFacts,
    /// oxygen taken up by the water of all lifts; `null` without a transfer coefficient
    pub oxygen_added_kg_per_s: Option<f64>,
    /// that for the electric energy; `null` where the power at the wire is not known
    pub oxygen_per_wire_energy_kg_per_j: Option<f64>,
    /// that for the isothermal energy of the air at the injection points
    pub oxygen_per_air_energy_kg_per_j: Option<f64>,
}

impl SupplyGasFacts {
    pub(super) fn of(gases: &SupplyGases, site: &Site) -> Option<Self> {
        Some(Self {
            deepest: GasFacts::of(gases.of_deepest()?, site, 1),
            oxygen_added_kg_per_s: gases.oxygen_added.map(|added| added.value),
            oxygen_per_wire_energy_kg_per_j: gases.oxygen_per_wire_energy.map(|e| e.value),
            oxygen_per_air_energy_kg_per_j: gases.oxygen_per_air_energy.map(|e| e.value),
        })
    }
}

/// What running without pause takes.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct EnergyFacts {
    /// power at the wire, without the margin on pressure
    pub wire_power_w: f64,
    /// isothermal power of the air at the injection points
    pub ideal_power_w: f64,
    /// power that lifting the water takes, were nothing lost
    pub useful_power_w: f64,
    /// ideal power over that at the wire
    pub air_side_efficiency: f64,
    /// useful power over that at the wire
    pub efficiency: f64,
    /// energy for a day
    pub daily_energy_j: f64,
    /// energy for 365 days
    pub yearly_energy_j: f64,
    /// energy for the water lifted; `null` when none is
    pub energy_per_water_j_per_m3: Option<f64>,
    /// cost of a year; `null` without a tariff
    pub yearly_cost: Option<f64>,
    /// price of the energy; `null` without a tariff
    pub price_per_kwh: Option<f64>,
    /// what the price is in; `null` without a tariff
    pub currency: Option<String>,
}

impl EnergyFacts {
    pub(super) fn of(supply: &Supply, solved: &SolvedSupply) -> Option<Self> {
        let energy = solved.energy?;
        let tariff = supply.tariff.as_ref();
        Some(Self {
            wire_power_w: energy.wire_power.value,
            ideal_power_w: energy.ideal_power.value,
            useful_power_w: energy.useful_power.value,
            air_side_efficiency: energy.air_side_efficiency().value,
            efficiency: energy.efficiency().value,
            daily_energy_j: energy.per_day().value,
            yearly_energy_j: energy.per_year().value,
            energy_per_water_j_per_m3: energy.per_1000_m3().map(|energy| energy.value / 1e3),
            yearly_cost: solved.yearly_cost,
            price_per_kwh: tariff.map(|tariff| tariff.price_per_kilowatt_hour),
            currency: tariff.map(|tariff| tariff.currency.clone()),
        })
    }
}

/// What happens to the animals when the air stops.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct WithoutAirFacts {
    /// mass of animals in a volume of water
    pub density_kg_per_m3: f64,
    /// oxygen that they take, over their mass
    pub oxygen_use_per_s: f64,
    /// dissolved oxygen when the air stops
    pub oxygen_kg_per_m3: f64,
    /// oxygen below which they suffer
    pub oxygen_limit_kg_per_m3: f64,
    /// until the oxygen has fallen to that
    pub time_to_limit_s: f64,
}

impl WithoutAirFacts {
    pub(super) fn of(supply: &Supply, solved: &SolvedSupply) -> Option<Self> {
        let (stock, time) = supply.stock.zip(solved.time_to_limit)?;
        Some(Self {
            density_kg_per_m3: stock.density.value,
            oxygen_use_per_s: stock.oxygen_use.value,
            oxygen_kg_per_m3: stock.oxygen.value,
            oxygen_limit_kg_per_m3: stock.limit.value,
            time_to_limit_s: time.value,
        })
    }
}

/// A part to buy.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct PartFacts {
    /// what it is
    pub part: String,
    /// where it goes
    pub place: String,
    /// how many, or `null` for what is cut
    pub count: Option<u32>,
    /// how long, or `null` for what is counted
    pub length_m: Option<f64>,
}

impl From<Part> for PartFacts {
    fn from(part: Part) -> Self {
        Self {
            part: part.what,
            place: part.place,
            count: part.count,
            length_m: part.length.map(|length| length.value),
        }
    }
}

/// What was taken for a key that is not there.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct AssumptionFacts {
    /// the key
    pub key: String,
    /// what is taken
    pub value: String,
}
