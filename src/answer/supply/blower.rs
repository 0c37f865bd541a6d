//! The blower: what is asked of one, and what those at hand do.

use schemars::JsonSchema;
use serde::Serialize;

use crate::air::{AirFlow, AirState};
use crate::supply::blower::{Machine, Specification};
use crate::supply::{AirDuty, Plant, SolvedSupply, Supply, usual_velocities};
use crate::units::{Length, Velocity};

/// State of air.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct AirStateFacts {
    /// its temperature
    pub temperature_k: f64,
    /// its pressure, absolute
    pub pressure_pa: f64,
    /// its relative humidity
    pub humidity: f64,
}

impl From<&AirState> for AirStateFacts {
    fn from(state: &AirState) -> Self {
        Self {
            temperature_k: state.temperature.value,
            pressure_pa: state.pressure.pascal(),
            humidity: state.humidity.value,
        }
    }
}

/// Air in a pipe.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct AirInPipe {
    /// bore of the pipe
    pub bore_m: f64,
    /// velocity of its air
    pub velocity_m_per_s: f64,
    /// least of the usual velocities in such a bore
    pub usual_low_m_per_s: f64,
    /// most of them
    pub usual_high_m_per_s: f64,
}

impl AirInPipe {
    pub(super) fn of(bore: Length, velocity: Velocity) -> Self {
        // The range is in m/s.
        let usual = usual_velocities(bore);
        Self {
            bore_m: bore.value,
            velocity_m_per_s: velocity.value,
            usual_low_m_per_s: usual.min,
            usual_high_m_per_s: usual.max,
        }
    }
}

/// What the air side asks of a blower.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct AirDutyFacts {
    /// design air of all lifts
    pub air_mass_flow_kg_per_s: f64,
    /// pressure where the air comes into the header, absolute
    pub header_pressure_pa: f64,
    /// loss of the line from the blower
    pub main_line_loss_pa: f64,
    /// velocity in that line
    pub main_line_velocity_m_per_s: f64,
    /// pressure rise from intake to outlet of the blower, with all lifts running
    pub running_rise_pa: f64,
    /// the same that pushes the water out of the deepest line
    pub startup_rise_pa: f64,
    /// state of the air behind the filter
    pub intake: AirStateFacts,
    /// what the filter costs
    pub intake_loss_pa: f64,
    /// temperature at the blower's outlet at the running rise of the design, with its loss left in the air
    pub discharge_temperature_k: f64,
    /// whether that supposes a blower without loss, for want of an efficiency
    pub discharge_is_least: bool,
    /// temperature at the header
    pub arrival_temperature_k: f64,
}

impl AirDutyFacts {
    pub(super) fn of(plant: &Plant, duty: &AirDuty) -> Self {
        Self {
            air_mass_flow_kg_per_s: duty.air.kg_per_s(),
            header_pressure_pa: duty.header_pressure.pascal(),
            main_line_loss_pa: duty.main_flow.loss().value,
            main_line_velocity_m_per_s: duty.main_flow.velocity.value,
            running_rise_pa: duty.running_rise.value,
            startup_rise_pa: duty.startup_rise.value,
            intake: (&duty.intake).into(),
            intake_loss_pa: plant.intake_loss.value,
            discharge_temperature_k: duty.discharge_temperature.value,
            discharge_is_least: duty.discharge_is_least,
            arrival_temperature_k: duty.arrival_temperature.value,
        }
    }
}

/// The duty in the terms of a data sheet.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct SpecificationFacts {
    /// volume flow at the intake, in the state there
    pub inlet_flow_m3_per_s: f64,
    /// the same air at the state `reference_iso_1217`
    pub iso_1217_flow_m3_per_s: f64,
    /// the same at the state `normal_din_1343`
    pub normal_flow_m3_per_s: f64,
    /// the same at the state `scfm_asme`
    pub us_standard_flow_m3_per_s: f64,
    /// the larger of running and start-up, with `rise_margin`
    pub pressure_rise_pa: f64,
    /// added to it, as a share of it
    pub rise_margin: f64,
    /// power in the air at that rise, without exchange of heat
    pub adiabatic_power_w: f64,
    /// the same at constant temperature
    pub isothermal_power_w: f64,
    /// power at the shaft; `null` where the efficiency is not known
    pub shaft_power_w: Option<f64>,
    /// power at the wire; `null` where the efficiency is not known
    pub wire_power_w: Option<f64>,
}

impl SpecificationFacts {
    pub(super) fn of(plant: &Plant, asked: &Specification) -> Self {
        Self {
            inlet_flow_m3_per_s: asked.inlet_flow.value,
            iso_1217_flow_m3_per_s: asked.iso_1217_flow.value,
            normal_flow_m3_per_s: asked.normal_flow.value,
            us_standard_flow_m3_per_s: asked.us_standard_flow.value,
            pressure_rise_pa: asked.pressure_rise.value,
            rise_margin: plant.rise_margin.value,
            adiabatic_power_w: asked.adiabatic_power.value,
            isothermal_power_w: asked.isothermal_power.value,
            shaft_power_w: asked.shaft_power.map(|power| power.value),
            wire_power_w: asked.wire_power.map(|power| power.value),
        }
    }
}

/// The main line in another pipe.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct MainLinePipe {
    /// its name
    pub pipe: String,
    /// pressure that the design air loses in it
    pub loss_pa: f64,
    /// velocity of the design air
    pub velocity_m_per_s: f64,
    /// whether the loss is no more than `main_line.wanted_loss`; true without one
    pub meets: bool,
    /// whether it is the line's own
    pub is_own: bool,
}

impl MainLinePipe {
    pub(super) fn all(supply: &Supply, solved: &SolvedSupply) -> Vec<Self> {
        let own = supply.piping.main.pipe.as_ref();
        let facts = solved.main_choices.iter().map(|choice| Self {
            pipe: choice.pipe.name.clone(),
            loss_pa: choice.flow.loss().value,
            velocity_m_per_s: choice.flow.velocity.value,
            meets: choice.meets,
            is_own: own.is_some_and(|own| own.name == choice.pipe.name),
        });
        facts.collect()
    }
}

/// What the blowers of a table do.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct OperationFacts {
    /// number of blowers that run
    pub running: u32,
    /// number that stand by
    pub standby: u32,
    /// `dynamic` or `positive_displacement`
    #[schemars(with = "String")]
    pub machine: Machine,
    /// dry air where the blowers' curve meets the lifts', nothing bled
    pub unbled_air_mass_flow_kg_per_s: f64,
    /// pressure rise there
    pub unbled_rise_pa: f64,
    /// water of all lifts there
    pub unbled_water_flow_m3_per_s: f64,
    /// dry air to bleed for the design, or `null`
    pub surplus_air_mass_flow_kg_per_s: Option<f64>,
    /// dry air missing at the design's pressure, or `null`
    pub shortfall_air_mass_flow_kg_per_s: Option<f64>,
    /// hole at the blower's outlet that bleeds the surplus, or `null`
    pub bleed_hole_m: Option<f64>,
    /// speed that gives the design with nothing bled, or `null`
    pub speed_over_table: Option<f64>,
    /// power at the wire with the surplus bled, or `null`
    pub wire_power_w: Option<f64>,
    /// with one blower less, or `null` when nothing is left
    pub one_less: Option<OneLessFacts>,
    /// whether every lift starts against risers full of water
    pub starts: bool,
}

/// What one blower less leaves.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct OneLessFacts {
    /// dry air of all lifts
    pub air_mass_flow_kg_per_s: f64,
    /// water of all lifts
    pub water_flow_m3_per_s: f64,
}

impl OperationFacts {
    pub(super) fn of(plant: &Plant, solved: &SolvedSupply) -> Option<Self> {
        let (operation, blowers) = (solved.operation.as_ref()?, plant.blowers.as_ref()?);
        Some(Self {
            running: blowers.running,
            standby: blowers.standby,
            machine: operation.curve.machine(),
            unbled_air_mass_flow_kg_per_s: operation.unbled.split.air.kg_per_s(),
            unbled_rise_pa: operation.unbled_rise.value,
            unbled_water_flow_m3_per_s: operation.unbled.water_flow().value,
            surplus_air_mass_flow_kg_per_s: operation.surplus.map(AirFlow::kg_per_s),
            shortfall_air_mass_flow_kg_per_s: operation.shortfall.map(AirFlow::kg_per_s),
            bleed_hole_m: solved.bleed.map(|bleed| bleed.orifice.diameter.value),
            speed_over_table: operation.speed.map(|speed| speed.value),
            wire_power_w: operation.wire_power.map(|power| power.value),
            one_less: operation.one_less.as_ref().map(|left| OneLessFacts {
                air_mass_flow_kg_per_s: left.split.air.kg_per_s(),
                water_flow_m3_per_s: left.water_flow().value,
            }),
            starts: solved.starts?,
        })
    }
}
