//! What several answers tell: the riser and its site, one operating point, an interval, gases.

use serde::Deserialize;

use crate::gas::{Conditions, Dissolved, Gas, saturation};
use crate::references::WAC_173_201A;
use crate::riser::{Budget, ColumnEnd, OperatingPoint, Outlet, Riser, Site, Station};
use crate::transfer::LiftGases;
use crate::uncertainty::{Basis, Interval};

facts! {
    /// Water and atmosphere.
    #[derive(Copy, Deserialize)]
    pub struct SiteFacts from site: &Site {
        /// temperature of the water
        pub water_temperature_k: f64 = site.water.temperature().value,
        /// mass of salt over the mass of the water with its salt
        pub salinity: f64 = site.water.salinity().value,
        /// density of the water
        pub water_density_kg_per_m3: f64 = water.rho,
        /// dynamic viscosity of the water
        pub water_viscosity_pa_s: f64 = water.mu,
        /// surface tension of the water
        pub surface_tension_n_per_m: f64 = water.sigma,
        /// vapour pressure of the water, absolute
        pub vapour_pressure_pa: f64 = water.p_v,
        /// pressure of the atmosphere, absolute
        pub atmospheric_pressure_pa: f64 = site.atmosphere.pascal(),
    } where {
        let water = site.water.si();
    }

    /// A riser in its place.
    #[derive(Deserialize)]
    pub struct RiserFacts from riser: &Riser {
        /// free bore
        pub bore_m: f64 = spec.free_bore().value,
        /// depth of the injection point below the running water level, given or found
        pub submergence_m: f64 = spec.dimensions.submergence.value,
        /// height of the outlet above that level
        pub lift_m: f64 = spec.dimensions.lift.value,
        /// length of pipe below the injection point
        pub suction_length_m: f64 = spec.suction_length.value,
        /// outside diameter of an air line inside the riser, or `null`
        pub air_line_m: Option<f64> = spec.air_line.map(|line| line.value),
        /// how the water leaves
        pub outlet: String = spec.outlet.to_string(),
        /// bore of an elbow's horizontal pipe, or `null`
        pub outlet_bore_m: Option<f64> = bore,
        /// depth of a submerged mouth below the receiving level, or `null`
        pub outlet_depth_m: Option<f64> = depth,
        /// height above the rim that the mixture needs to spill from an open top, or `null`
        pub outlet_head_m: Option<f64> = head,
        /// how the air gets in: `open_tube`, `drilled_ring` or `diffuser`; `null` where that is not said
        pub injector: Option<String> = spec.injector.map(|kind| kind.to_string()),
    } where {
        let spec = riser.spec();
        let [bore, depth, head] = match spec.outlet {
            Outlet::Plain { .. } => [None; 3],
            Outlet::Elbow { bore, .. } => [Some(bore.unwrap_or(spec.dimensions.bore)), None, None],
            Outlet::Submerged { depth, .. } => [None, Some(depth), None],
            Outlet::OpenTop { head, .. } => [None, None, Some(head)],
        }
        .map(|length| length.map(|length| length.value));
    }

    /// One end of the column of mixture.
    #[derive(Deserialize)]
    pub struct EndFacts from end: &ColumnEnd {
        /// pressure, absolute
        pub pressure_pa: f64 = end.pressure.pascal(),
        /// share of the volume that is air
        pub void_fraction: f64 = end.void_fraction.value,
        /// mean velocity of the water
        pub water_velocity_m_per_s: f64 = end.liquid_velocity.value,
        /// mean velocity of the gas
        pub gas_velocity_m_per_s: f64 = end.gas_velocity.value,
        /// name of the flow pattern
        pub pattern: String = end.pattern.to_string(),
    }

    /// Where the submergence goes: heights of the source's water, which together are the submergence.
    #[derive(Copy, Deserialize)]
    pub struct SubmergenceFacts from budget: &Budget {
        /// weight of the mixture, with the water above a submerged mouth
        pub weight_m: f64 = budget.weight.value,
        /// cost of the air that is still missing over the developing length
        pub developing_m: f64 = budget.developing.value,
        /// friction of the mixture
        pub friction_m: f64 = budget.friction.value,
        /// speed of the water in the mouth
        pub speed_m: f64 = budget.speed.value,
        /// losses of entrance and injector
        pub entrance_m: f64 = budget.entrance.value,
        /// friction below the injection point
        pub suction_m: f64 = budget.suction.value,
        /// head and fittings of the outlet
        pub outlet_m: f64 = budget.outlet.value,
        /// water that the air replaces; this drives the useful lift and every part but the weight
        pub replaced_m: f64 = budget.replaced.value,
    }

    /// One height in a running riser.
    #[derive(Deserialize)]
    pub struct StationFacts from here: &Station {
        /// height above the air inlet
        pub height_m: f64 = here.height.value,
        /// pressure, absolute
        pub pressure_pa: f64 = here.pressure.pascal(),
        /// share of the volume that is air, in developed flow
        pub void_fraction: f64 = here.void_fraction.value,
        /// mean velocity of the water
        pub water_velocity_m_per_s: f64 = here.liquid_velocity.value,
        /// mean velocity of the gas
        pub gas_velocity_m_per_s: f64 = here.gas_velocity.value,
        /// name of the flow pattern
        pub pattern: String = here.pattern.to_string(),
        /// time of the water since the air inlet
        pub water_time_s: f64 = here.water_time.value,
    }

    /// What a lift gives, and what it takes.
    #[derive(Deserialize)]
    pub struct YieldFacts from point: &OperatingPoint {
        /// water flow
        pub water_flow_m3_per_s: f64 = point.water_flow.value,
        /// dry air
        pub air_mass_flow_kg_per_s: f64 = point.air.kg_per_s(),
        /// pressure in the water at the injection point, running, absolute
        pub injection_pressure_pa: f64 = point.injection_pressure.pascal(),
        /// isothermal power of the air at the injection point
        pub injection_power_w: f64 = point.injection_power.value,
        /// useful power over `injection_power_w`
        pub efficiency: f64 = point.efficiency.value,
        /// share of the volume that is air at the foot of the column
        pub void_fraction_foot: f64 = point.foot.void_fraction.value,
        /// the same at its top
        pub void_fraction_top: f64 = point.top.void_fraction.value,
    }

    /// A riser at work.
    #[derive(Deserialize)]
    pub struct PointFacts from point: &OperatingPoint {
        /// water flow
        pub water_flow_m3_per_s: f64 = point.water_flow.value,
        /// dry air
        pub air_mass_flow_kg_per_s: f64 = point.air.kg_per_s(),
        /// pressure in the water at the injection point, running, absolute
        pub injection_pressure_pa: f64 = point.injection_pressure.pascal(),
        /// isothermal power of the air at the injection point: what must be delivered there, without losses of line and blower
        pub injection_power_w: f64 = point.injection_power.value,
        /// useful power over `injection_power_w`
        pub efficiency: f64 = point.efficiency.value,
        /// volume of air (dry, 20 °C, 101.325 kPa) for each volume of water
        pub air_to_water: f64 = point.air_to_water.value,
        /// foot of the column of mixture
        pub foot: EndFacts = (&point.foot).into(),
        /// its top
        pub top: EndFacts = (&point.top).into(),
    }

    /// Where the true water flow lies.
    #[derive(Copy, Deserialize)]
    pub struct IntervalFacts from interval: Interval {
        /// probability that the true flow lies in it
        pub level: f64 = interval.level.value,
        /// lower end; zero says that the riser may not pump
        pub low_m3_per_s: f64 = interval.low.value,
        /// upper end
        pub high_m3_per_s: f64 = interval.high.value,
        /// `published rigs`, or `bench trial` where points of this rig were measured
        #[schemars(with = "String")]
        pub basis: Basis = interval.basis,
    }

    /// Gases that water holds.
    #[derive(Copy, Deserialize)]
    pub struct DissolvedFacts from all: &Dissolved {
        /// oxygen
        pub oxygen_kg_per_m3: f64 = all.oxygen.value,
        /// nitrogen
        pub nitrogen_kg_per_m3: f64 = all.nitrogen.value,
        /// argon
        pub argon_kg_per_m3: f64 = all.argon.value,
        /// free carbon dioxide
        pub carbon_dioxide_kg_per_m3: f64 = all.carbon_dioxide.value,
    }

    /// Gases of a lift's water.
    #[derive(Deserialize)]
    pub struct GasFacts {
        /// upper bound of the total gas pressure of the water that leaves, over the barometer's, if water enters with no
        /// more; `null` at a depth for which none is known
        pub total_gas_pressure_bound: Option<f64> = gases.bound.map(|share| share.value),
        /// largest total gas pressure that the water may have, over the barometer's
        pub total_gas_pressure_limit: f64 = gases.limit.value,
        /// `given`, or a key of `risewater list sources`
        pub limit_source: String = match terms.limit {
            Some(_) => GIVEN.to_owned(),
            None => WAC_173_201A.key.to_owned(),
        },
        /// total gas pressure of the water that enters, over the barometer's; `null` where nothing is known of it
        pub total_gas_pressure_entering: Option<f64> = gases.entering.map(|share| share.value),
        /// least oxygen of the animals' tanks, with `[need]`
        pub limit_of_oxygen_kg_per_m3: Option<f64> = tank(Gas::Oxygen),
        /// most carbon dioxide of the animals' tanks, with `[need]`
        pub limit_of_carbon_dioxide_kg_per_m3: Option<f64> = tank(Gas::CarbonDioxide),
        /// gases that are assumed to enter at saturation with air
        pub assumed_saturated: Vec<String> = names(terms.assumed()),
        /// gases that are assumed to enter at the animals' limits
        pub assumed_at_limits: Vec<String> = names(terms.at_limits()),
        /// what the lift does to them; `null` without a transfer coefficient
        pub transfer: Option<TransferFacts> = TransferFacts::of(gases, site, lifts),
    }

    /// Gases of one lift, of so many equal ones in a site.
    pub(crate) fn of(gases: &LiftGases, site: &Site, lifts: u32) -> Self {
        let names = |gases: Vec<Gas>| gases.iter().map(ToString::to_string).collect();
        let terms = &gases.terms;
        let tank = |gas: Gas| terms.tank[gas as usize].map(|held| held.value);
    }

    /// What a lift does to the gases of its water.
    #[derive(Deserialize)]
    pub struct TransferFacts {
        /// transfer coefficient of oxygen at the water's temperature
        pub coefficient_per_s: f64 = known.coefficient.value,
        /// what enters
        pub entering: DissolvedFacts = (&known.inlet).into(),
        /// what leaves
        pub leaving: DissolvedFacts = (&found.outlet).into(),
        /// oxygen of water at saturation with this air, at the surface
        pub oxygen_saturation_kg_per_m3: Option<f64> = full(Gas::Oxygen),
        /// carbon dioxide of such water
        pub carbon_dioxide_saturation_kg_per_m3: Option<f64> = full(Gas::CarbonDioxide),
        /// total gas pressure of the water that leaves, over the barometer's
        pub total_gas_pressure: f64 = found.total_pressure.share().value,
        /// oxygen taken up in each lift; below zero where it is given off
        pub oxygen_added_each_kg_per_s: f64 = added,
        /// oxygen taken up in all lifts
        pub oxygen_added_total_kg_per_s: f64 = added * f64::from(lifts),
        /// carbon dioxide given off in each lift
        pub carbon_dioxide_removed_each_kg_per_s: f64 = found.carbon_dioxide_removed.value,
        /// largest share of the carbon dioxide in the water that this air could take in one pass
        pub carbon_dioxide_removal_ceiling: f64 = found.removal_ceiling.value,
        /// oxygen taken up over the isothermal energy of the air at the injection point
        pub oxygen_per_air_energy_kg_per_j: Option<f64> =
            gases.oxygen_per_air_energy.map(|e| e.value),
    }

    fn of(gases: &LiftGases, site: &Site, lifts: u32) -> Option<Self> {
        let (known, found) = gases.transfer.as_ref()?;
        let air = Conditions::of(&site.water, site.atmosphere)
            .with_carbon_dioxide(known.carbon_dioxide_of_air);
        let full = |gas| saturation(gas, &air).ok().map(|held| held.value);
        let added = found.oxygen_added.value;
    }
}

/// A limit that the question gave.
pub(crate) const GIVEN: &str = "given";
