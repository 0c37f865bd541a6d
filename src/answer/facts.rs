//! What several answers tell: the riser and its site, one operating point, an interval, gases.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::gas::{Conditions, Dissolved, Gas, saturation};
use crate::references::WAC_173_201A;
use crate::riser::{ColumnEnd, OperatingPoint, Riser, Site};
use crate::transfer::LiftGases;
use crate::uncertainty::{Basis, Interval};

/// Water and atmosphere.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct SiteFacts {
    /// temperature of the water
    pub water_temperature_k: f64,
    /// salt for the mass of the water with its salt
    pub salinity: f64,
    /// density of the water
    pub water_density_kg_per_m3: f64,
    /// dynamic viscosity of the water
    pub water_viscosity_pa_s: f64,
    /// surface tension of the water
    pub surface_tension_n_per_m: f64,
    /// vapour pressure of the water, absolute
    pub vapour_pressure_pa: f64,
    /// pressure of the atmosphere, absolute
    pub atmospheric_pressure_pa: f64,
}

impl From<&Site> for SiteFacts {
    fn from(site: &Site) -> Self {
        let water = site.water.si();
        Self {
            water_temperature_k: site.water.temperature().value,
            salinity: site.water.salinity().value,
            water_density_kg_per_m3: water.rho,
            water_viscosity_pa_s: water.mu,
            surface_tension_n_per_m: water.sigma,
            vapour_pressure_pa: water.p_v,
            atmospheric_pressure_pa: site.atmosphere.pascal(),
        }
    }
}

/// A riser in its place.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct RiserFacts {
    /// free bore
    pub bore_m: f64,
    /// depth of the injection point below the running water level, given or found
    pub submergence_m: f64,
    /// height of the outlet above that level
    pub lift_m: f64,
    /// how the water leaves
    pub outlet: String,
}

impl From<&Riser> for RiserFacts {
    fn from(riser: &Riser) -> Self {
        let spec = riser.spec();
        Self {
            bore_m: spec.free_bore().value,
            submergence_m: spec.dimensions.submergence.value,
            lift_m: spec.dimensions.lift.value,
            outlet: spec.outlet.to_string(),
        }
    }
}

/// One end of the column of mixture.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct EndFacts {
    /// pressure, absolute
    pub pressure_pa: f64,
    /// share of the volume that is air
    pub void_fraction: f64,
    /// mean velocity of the water
    pub water_velocity_m_per_s: f64,
    /// mean velocity of the gas
    pub gas_velocity_m_per_s: f64,
    /// name of the flow pattern
    pub pattern: String,
}

impl From<&ColumnEnd> for EndFacts {
    fn from(end: &ColumnEnd) -> Self {
        Self {
            pressure_pa: end.pressure.pascal(),
            void_fraction: end.void_fraction.value,
            water_velocity_m_per_s: end.liquid_velocity.value,
            gas_velocity_m_per_s: end.gas_velocity.value,
            pattern: end.pattern.to_string(),
        }
    }
}

/// A riser at work.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct PointFacts {
    /// water flow
    pub water_flow_m3_per_s: f64,
    /// dry air
    pub air_mass_flow_kg_per_s: f64,
    /// pressure in the water at the injection point, running, absolute
    pub injection_pressure_pa: f64,
    /// isothermal power of the air at the injection point: what must be delivered there, without losses of line and blower
    pub injection_power_w: f64,
    /// useful power over `injection_power_w`
    pub efficiency: f64,
    /// volume of air (dry, 20 °C, 101.325 kPa) for each volume of water
    pub air_to_water: f64,
    /// foot of the column of mixture
    pub foot: EndFacts,
    /// its top
    pub top: EndFacts,
}

impl From<&OperatingPoint> for PointFacts {
    fn from(point: &OperatingPoint) -> Self {
        Self {
            water_flow_m3_per_s: point.water_flow.value,
            air_mass_flow_kg_per_s: point.air.kg_per_s(),
            injection_pressure_pa: point.injection_pressure.pascal(),
            injection_power_w: point.injection_power.value,
            efficiency: point.efficiency.value,
            air_to_water: point.air_to_water.value,
            foot: (&point.foot).into(),
            top: (&point.top).into(),
        }
    }
}

/// Where the true water flow lies.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct IntervalFacts {
    /// probability that the true flow lies in it
    pub level: f64,
    /// lower end; zero says that the riser may not pump
    pub low_m3_per_s: f64,
    /// upper end
    pub high_m3_per_s: f64,
    /// `published rigs`, or `bench trial` where points of this rig were measured
    #[schemars(with = "String")]
    pub basis: Basis,
}

impl From<Interval> for IntervalFacts {
    fn from(interval: Interval) -> Self {
        Self {
            level: interval.level.value,
            low_m3_per_s: interval.low.value,
            high_m3_per_s: interval.high.value,
            basis: interval.basis,
        }
    }
}

/// Gases that water holds.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct DissolvedFacts {
    /// oxygen
    pub oxygen_kg_per_m3: f64,
    /// nitrogen
    pub nitrogen_kg_per_m3: f64,
    /// argon
    pub argon_kg_per_m3: f64,
    /// free carbon dioxide
    pub carbon_dioxide_kg_per_m3: f64,
}

impl From<&Dissolved> for DissolvedFacts {
    fn from(all: &Dissolved) -> Self {
        Self {
            oxygen_kg_per_m3: all.oxygen.value,
            nitrogen_kg_per_m3: all.nitrogen.value,
            argon_kg_per_m3: all.argon.value,
            carbon_dioxide_kg_per_m3: all.carbon_dioxide.value,
        }
    }
}

/// Gases of a lift's water.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct GasFacts {
    /// most total gas pressure of the water that leaves, over the barometer's, for water that enters with no more; `null`
    /// at a depth for which none is known
    pub total_gas_pressure_bound: Option<f64>,
    /// largest total gas pressure that the water may have, over the barometer's
    pub total_gas_pressure_limit: f64,
    /// `given`, or a key of `risewater list sources`
    pub limit_source: String,
    /// total gas pressure of the water that enters, over the barometer's; `null` where nothing is known of it
    pub total_gas_pressure_entering: Option<f64>,
    /// least oxygen of the animals' tanks, with `[need]`
    pub limit_of_oxygen_kg_per_m3: Option<f64>,
    /// most carbon dioxide of the animals' tanks, with `[need]`
    pub limit_of_carbon_dioxide_kg_per_m3: Option<f64>,
    /// gases taken to enter at saturation with air
    pub assumed_saturated: Vec<String>,
    /// gases taken to enter as the tanks hold them at the animals' limits
    pub assumed_at_limits: Vec<String>,
    /// what the lift does to them; `null` without a transfer coefficient
    pub transfer: Option<TransferFacts>,
}

/// What a lift does to the gases of its water.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct TransferFacts {
    /// transfer coefficient of oxygen at the water's temperature
    pub coefficient_per_s: f64,
    /// what enters
    pub entering: DissolvedFacts,
    /// what leaves
    pub leaving: DissolvedFacts,
    /// oxygen of water in touch with this air, at the surface
    pub oxygen_saturation_kg_per_m3: Option<f64>,
    /// carbon dioxide likewise
    pub carbon_dioxide_saturation_kg_per_m3: Option<f64>,
    /// total gas pressure of the water that leaves, over the barometer's
    pub total_gas_pressure: f64,
    /// oxygen taken up in each lift; below zero where it is given off
    pub oxygen_added_each_kg_per_s: f64,
    /// oxygen taken up in all lifts
    pub oxygen_added_total_kg_per_s: f64,
    /// carbon dioxide given off in each lift
    pub carbon_dioxide_removed_each_kg_per_s: f64,
    /// largest share of the carbon dioxide in the water that this air could take in one pass
    pub carbon_dioxide_removal_ceiling: f64,
    /// oxygen taken up for the isothermal energy of the air at the injection point
    pub oxygen_per_air_energy_kg_per_j: Option<f64>,
}

impl GasFacts {
    /// Gases of one lift, of so many equal ones in a site.
    pub(crate) fn of(gases: &LiftGases, site: &Site, lifts: u32) -> Self {
        let names = |gases: Vec<Gas>| gases.iter().map(ToString::to_string).collect();
        let terms = &gases.terms;
        let tank = |gas: Gas| terms.tank[gas as usize].map(|held| held.value);
        Self {
            total_gas_pressure_bound: gases.bound.map(|share| share.value),
            total_gas_pressure_limit: gases.limit.value,
            limit_source: match terms.limit {
                Some(_) => GIVEN.to_owned(),
                None => WAC_173_201A.key.to_owned(),
            },
            total_gas_pressure_entering: gases.entering.map(|share| share.value),
            limit_of_oxygen_kg_per_m3: tank(Gas::Oxygen),
            limit_of_carbon_dioxide_kg_per_m3: tank(Gas::CarbonDioxide),
            assumed_saturated: names(terms.assumed()),
            assumed_at_limits: names(terms.at_limits()),
            transfer: gases.transfer.as_ref().map(|(known, found)| {
                let air = Conditions::of(&site.water, site.atmosphere)
                    .with_carbon_dioxide(known.carbon_dioxide_of_air);
                let full = |gas| saturation(gas, &air).ok().map(|held| held.value);
                let added = found.oxygen_added.value;
                TransferFacts {
                    coefficient_per_s: known.coefficient.value,
                    entering: (&known.inlet).into(),
                    leaving: (&found.outlet).into(),
                    oxygen_saturation_kg_per_m3: full(Gas::Oxygen),
                    carbon_dioxide_saturation_kg_per_m3: full(Gas::CarbonDioxide),
                    total_gas_pressure: found.total_pressure.share().value,
                    oxygen_added_each_kg_per_s: added,
                    oxygen_added_total_kg_per_s: added * f64::from(lifts),
                    carbon_dioxide_removed_each_kg_per_s: found.carbon_dioxide_removed.value,
                    carbon_dioxide_removal_ceiling: found.removal_ceiling.value,
                    oxygen_per_air_energy_kg_per_j: gases.oxygen_per_air_energy.map(|e| e.value),
                }
            }),
        }
    }
}

/// A limit that the question gave.
pub(crate) const GIVEN: &str = "given";
