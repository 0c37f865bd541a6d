//! What each section of a design file says, before it is known what the file is for.
//!
//! Each number is held against its range here, where its line is known and whatever the file is for;
//! how the numbers go together is left to those who use them.

#[cfg(all(feature = "trial", feature = "supply"))]
mod aeration;
mod air;
mod gas;
mod limits;
#[cfg(feature = "supply")]
mod need;
mod pipe;
mod riser;
#[cfg(feature = "supply")]
mod supply;
#[cfg(feature = "trial")]
mod trial;

use std::str::FromStr;

use super::fault::Problem;
use super::section::{Bound, Section};
use super::sheet::Sheet;
use crate::air::{ALTITUDE, AirFlow, pressure_at_altitude};
use crate::error::Input;
use crate::model::Model;
use crate::riser::{ATMOSPHERE, LIFT, Site, WATER_FLOW};
use crate::sizing::{Duty, LEVEL_CHANGE, Objective};
use crate::transfer::GasTerms;
use crate::uncertainty::Wanted;
use crate::units::quantity;
use crate::units::{
    AbsolutePressure, DynamicViscosity, Length, MassDensity, Ratio, SurfaceTension,
    ThermodynamicTemperature, VolumeRate, degree_celsius, kilogram_per_cubic_meter, kilopascal,
    liter_per_minute, meter, newton_per_meter, pascal_second, per_mille,
};
use crate::water::{
    GIVEN_DENSITY, GIVEN_SALINITY, GIVEN_SURFACE_TENSION, GIVEN_TEMPERATURE, GIVEN_VAPOUR_PRESSURE,
    GIVEN_VISCOSITY, SALINITY, TEMPERATURE, Water, WaterProperties,
};
use air::GivenAir;
pub(super) use limits::{GivenLimits, Limits};
#[cfg(feature = "supply")]
pub(super) use need::{GivenNeed, GivenTank};
pub(super) use pipe::own_pipes;
pub(super) use riser::GivenRiser;
#[cfg(feature = "supply")]
pub(super) use supply::{
    GivenBranch, GivenLift, GivenRun, GivenSupply, LEAST_LOSS_PA, LiftFlow, TOLERANCE,
};
#[cfg(feature = "trial")]
pub(super) use trial::GivenTrial;

/// Everything that a file gives.
#[derive(Debug, Default)]
pub(super) struct Given {
    pub temperature: Option<ThermodynamicTemperature>,
    pub salinity: Option<Ratio>,
    outright: Option<Outright>,
    pressure: Option<AbsolutePressure>,
    pub riser: GivenRiser,
    air: GivenAir,
    pub model: Model,
    pub water_flow: Option<VolumeRate>,
    lift: Option<Length>,
    pub objective: Objective,
    pub at_low_water: bool,
    pub at_lower_end: bool,
    pub limits: GivenLimits,
    pub gas: GasTerms,
    pub level_fall: Option<Length>,
    pub level_rise: Option<Length>,
    #[cfg(feature = "trial")]
    pub trial: GivenTrial,
    #[cfg(feature = "supply")]
    pub supply: GivenSupply,
    #[cfg(feature = "supply")]
    pub need: GivenNeed,
    #[cfg(all(feature = "trial", feature = "supply"))]
    pub aeration: aeration::GivenAeration,
}

/// Water properties given outright.
#[derive(Debug, Clone, Copy)]
struct Outright {
    density: MassDensity,
    viscosity: DynamicViscosity,
    surface_tension: SurfaceTension,
    vapour_pressure: AbsolutePressure,
}

impl Given {
    pub fn read(sheet: &Sheet) -> Self {
        let mut given = Self::default();
        given.read_water(sheet.section("water"));
        given.read_site(sheet, sheet.section("site"));
        given.riser = GivenRiser::read(sheet, sheet.section("riser"));
        given.air = GivenAir::read(sheet, sheet.section("air"));
        given.read_model(sheet, sheet.section("model"));
        given.read_duty(sheet, sheet.section("duty"));
        given.limits = GivenLimits::read(sheet, sheet.section("limits"));
        given.gas = gas::read(sheet.section("gas"));
        let mut tank = sheet.section("tank");
        let change =
            |what| -> Bound<Length> { (what, LEVEL_CHANGE, |change| change.get::<meter>()) };
        given.level_fall = tank.quantity("level_fall", quantity::length, change(Input::LowWater));
        given.level_rise = tank.quantity("level_rise", quantity::length, change(Input::HighWater));
        tank.close();
        // Without the feature, a file may have the section and it is for others to read.
        #[cfg(feature = "trial")]
        {
            given.trial = GivenTrial::read(sheet.section("trial"));
        }
        #[cfg(feature = "supply")]
        {
            given.supply = GivenSupply::read(sheet);
            given.need = GivenNeed::read(sheet);
        }
        #[cfg(all(feature = "trial", feature = "supply"))]
        {
            given.aeration = aeration::GivenAeration::read(sheet.section("aeration"));
        }
        given
    }

    fn read_water(&mut self, mut water: Section) {
        let outright = OUTRIGHT.iter().any(|key| water.has(key));
        let (temperatures, salinities) = if outright {
            (GIVEN_TEMPERATURE, GIVEN_SALINITY)
        } else {
            (TEMPERATURE, SALINITY)
        };
        let bound: Bound<ThermodynamicTemperature> = (Input::WaterTemperature, temperatures, |t| {
            t.get::<degree_celsius>()
        });
        self.temperature = water.quantity("temperature", quantity::temperature, bound);
        let bound: Bound<Ratio> = (Input::Salinity, salinities, |s| s.get::<per_mille>());
        self.salinity = water.quantity("salinity", quantity::mass_fraction, bound);
        let bound: Bound<MassDensity> = (Input::WaterDensity, GIVEN_DENSITY, |rho| {
            rho.get::<kilogram_per_cubic_meter>()
        });
        let density = water.quantity("density", quantity::density, bound);
        let bound: Bound<DynamicViscosity> = (Input::WaterViscosity, GIVEN_VISCOSITY, |mu| {
            mu.get::<pascal_second>()
        });
        let viscosity = water.quantity("viscosity", quantity::dynamic_viscosity, bound);
        let bound: Bound<SurfaceTension> =
            (Input::SurfaceTension, GIVEN_SURFACE_TENSION, |sigma| {
                sigma.get::<newton_per_meter>()
            });
        let surface_tension = water.quantity("surface_tension", quantity::surface_tension, bound);
        let bound: Bound<AbsolutePressure> = (Input::VapourPressure, GIVEN_VAPOUR_PRESSURE, |p| {
            p.get::<kilopascal>()
        });
        let vapour_pressure = water.quantity("vapour_pressure", quantity::absolute_pressure, bound);
        if let (Some(density), Some(viscosity), Some(surface_tension), Some(vapour_pressure)) =
            (density, viscosity, surface_tension, vapour_pressure)
        {
            self.outright = Some(Outright {
                density,
                viscosity,
                surface_tension,
                vapour_pressure,
            });
        } else if let Some(key) = OUTRIGHT.iter().find(|key| water.has(key)) {
            let expected =
                "all of density, viscosity, surface_tension and vapour_pressure, or none of them";
            if OUTRIGHT.iter().any(|key| !water.has(key)) {
                water.fault(key, Problem::Missing { expected });
            }
        }
        water.close();
    }

    fn read_site(&mut self, sheet: &Sheet, mut site: Section) {
        let bound: Bound<AbsolutePressure> = (Input::AtmosphericPressure, ATMOSPHERE, |p| {
            p.get::<kilopascal>()
        });
        self.pressure = site.quantity("pressure", quantity::absolute_pressure, bound);
        let bound: Bound<Length> = (Input::Altitude, ALTITUDE, |z| z.get::<meter>());
        let altitude = site.quantity("altitude", quantity::length, bound);
        if site.has("pressure") && site.has("altitude") {
            site.fault(
                "altitude",
                Problem::Contradiction {
                    other: "site.pressure",
                },
            );
        } else if let Some(altitude) = altitude {
            self.pressure = sheet.keep(pressure_at_altitude(altitude), "site.altitude");
        }
        site.close();
    }

    fn read_model(&mut self, sheet: &Sheet, mut model: Section) {
        if let Some(name) = model.text("slip") {
            self.model.slip = sheet
                .keep(FromStr::from_str(name), "model.slip")
                .unwrap_or_default();
        }
        if let Some(name) = model.text("friction") {
            self.model.friction = sheet
                .keep(FromStr::from_str(name), "model.friction")
                .unwrap_or_default();
        }
        if let Some(length) = model.developing_length() {
            self.model.developing_length = length;
        }
        model.close();
    }

    fn read_duty(&mut self, sheet: &Sheet, mut duty: Section) {
        let bound: Bound<VolumeRate> = (Input::WaterFlow, WATER_FLOW, |flow| {
            flow.get::<liter_per_minute>()
        });
        self.water_flow = duty.quantity("water_flow", quantity::volume_rate, bound);
        let bound: Bound<Length> = (Input::DutyLift, LIFT, |lift| lift.get::<meter>());
        self.lift = duty.quantity("lift", quantity::length, bound);
        if let Some(name) = duty.text("objective") {
            self.objective = sheet
                .keep(Objective::from_str(name), "duty.objective")
                .unwrap_or_default();
        }
        self.at_low_water = duty.yes_no("at_low_water").unwrap_or_default();
        self.at_lower_end = duty.yes_no("at_lower_end").unwrap_or_default();
        duty.close();
    }

    /// Which flow must meet what is asked for.
    pub fn wanted(&self) -> Wanted {
        if self.at_lower_end {
            Wanted::LowerEnd
        } else {
            Wanted::Predicted
        }
    }

    /// The pressure of the air at the site.
    pub fn atmosphere(&self) -> AbsolutePressure {
        self.pressure
            .unwrap_or(AbsolutePressure::STANDARD_ATMOSPHERE)
    }

    pub fn site(&self, sheet: &Sheet) -> Option<Site> {
        let temperature = needed(
            sheet,
            self.temperature,
            "water.temperature",
            "the water's temperature, such as \"14 degC\"",
        )?;
        let salinity = self.salinity.unwrap_or_default();
        let water = match self.outright {
            None => Water::new(temperature, salinity),
            Some(Outright {
                density,
                viscosity,
                surface_tension,
                vapour_pressure,
            }) => Water::from_properties(WaterProperties {
                temperature,
                density,
                viscosity,
                surface_tension,
                vapour_pressure,
                salinity,
            }),
        };
        let water = sheet.keep(water, "water")?;
        Some(Site {
            water,
            atmosphere: self.atmosphere(),
        })
    }

    pub fn air(&self, sheet: &Sheet) -> Option<AirFlow> {
        self.air.flow(sheet)
    }

    /// Air flows counted at the reference of `[air]`.
    #[cfg(feature = "trial")]
    pub fn air_flows(&self, sheet: &Sheet, flows: &[VolumeRate]) -> Option<Vec<AirFlow>> {
        let at = |flow: &VolumeRate| self.air.counted(sheet, *flow, "trial.air_flows");
        flows.iter().map(at).collect()
    }

    /// An air flow counted at the reference of `[air]`.
    #[cfg(feature = "supply")]
    pub fn air_flow(&self, sheet: &Sheet, flow: VolumeRate, key: &str) -> Option<AirFlow> {
        self.air.counted(sheet, flow, key)
    }

    /// The duty; its flow is that of a need where the file has one, which has told its faults.
    #[allow(clippy::option_option, reason = "a need may have faults")]
    pub fn duty(&self, sheet: &Sheet, need: Option<Option<VolumeRate>>) -> Option<Duty> {
        let water_flow = need.unwrap_or_else(|| {
            needed(
                sheet,
                self.water_flow,
                "duty.water_flow",
                "the water flow wanted, such as \"600 L/min\", or what is reared, as [need]",
            )
        });
        let lift = needed(
            sheet,
            self.lift,
            "duty.lift",
            "the lift wanted, such as \"0.15 m\"",
        );
        if self.at_low_water {
            needed(
                sheet,
                self.level_fall,
                "tank.level_fall",
                "how far the water falls below its normal level, such as \"0.1 m\": duty.at_low_water asks for it",
            )?;
        }
        Some(Duty {
            water_flow: water_flow?,
            lift: lift?,
        })
    }
}

const OUTRIGHT: [&str; 4] = ["density", "viscosity", "surface_tension", "vapour_pressure"];

/// The value, or a fault that says what is missing.
pub(super) fn needed<T>(
    sheet: &Sheet,
    value: Option<T>,
    key: &str,
    expected: &'static str,
) -> Option<T> {
    if value.is_none() {
        sheet.fault(sheet.place(key), key, Problem::Missing { expected });
    }
    value
}
