//! The blower: what is asked of one, and what those at hand do.

use crate::air::{AirFlow, AirState};
use crate::pipe::Pipe;
use crate::supply::blower::{Machine, Specification};
use crate::supply::{AirDuty, LineChoice, Plant, Running, SolvedSupply, Supply, usual_velocities};
use crate::units::{Length, Velocity};

facts! {
    /// State of air.
    #[derive(Copy)]
    pub struct AirStateFacts from state: &AirState {
        /// its temperature
        pub temperature_k: f64 = state.temperature.value,
        /// its pressure, absolute
        pub pressure_pa: f64 = state.pressure.pascal(),
        /// its relative humidity
        pub humidity: f64 = state.humidity.value,
    }

    /// Air in a pipe.
    #[derive(Copy)]
    pub struct AirInPipe {
        /// bore of the pipe
        pub bore_m: f64 = bore.value,
        /// velocity of its air
        pub velocity_m_per_s: f64 = velocity.value,
        /// least of the usual velocities in such a bore
        pub usual_low_m_per_s: f64 = usual.min,
        /// greatest of them
        pub usual_high_m_per_s: f64 = usual.max,
    }

    pub(super) fn of(bore: Length, velocity: Velocity) -> Self {
        // The range is in m/s.
        let usual = usual_velocities(bore);
    }

    /// What the air side asks of a blower.
    pub struct AirDutyFacts {
        /// design air of all lifts
        pub air_mass_flow_kg_per_s: f64 = duty.air.kg_per_s(),
        /// pressure where the air comes into the header, absolute
        pub header_pressure_pa: f64 = duty.header_pressure.pascal(),
        /// loss of the line from the blower
        pub main_line_loss_pa: f64 = duty.main_flow.loss().value,
        /// velocity in that line
        pub main_line_velocity_m_per_s: f64 = duty.main_flow.velocity.value,
        /// pressure rise from intake to outlet of the blower, with all lifts running
        pub running_rise_pa: f64 = duty.running_rise.value,
        /// pressure rise that pushes the water out of the deepest line at start
        pub startup_rise_pa: f64 = duty.startup_rise.value,
        /// state of the air behind the filter
        pub intake: AirStateFacts = (&duty.intake).into(),
        /// what the filter costs
        pub intake_loss_pa: f64 = plant.intake_loss.value,
        /// temperature at the blower's outlet at the running rise of the design, with its loss left in the air
        pub discharge_temperature_k: f64 = duty.discharge_temperature.value,
        /// whether this temperature is a lower bound, for a blower without loss, because no efficiency is known
        pub discharge_is_least: bool = duty.discharge_is_least,
        /// temperature at the header
        pub arrival_temperature_k: f64 = duty.arrival_temperature.value,
    }

    pub(super) fn of(plant: &Plant, duty: &AirDuty) -> Self {
    }

    /// The duty in the terms of a data sheet.
    pub struct SpecificationFacts {
        /// volume flow at the intake, in the state there
        pub inlet_flow_m3_per_s: f64 = asked.inlet_flow.value,
        /// the same air at the state `reference_iso_1217`
        pub iso_1217_flow_m3_per_s: f64 = asked.iso_1217_flow.value,
        /// the same at the state `normal_din_1343`
        pub normal_flow_m3_per_s: f64 = asked.normal_flow.value,
        /// the same at the state `scfm_asme`
        pub us_standard_flow_m3_per_s: f64 = asked.us_standard_flow.value,
        /// the larger of running and start-up, with `rise_margin`
        pub pressure_rise_pa: f64 = asked.pressure_rise.value,
        /// margin in that rise, as a share of the rise without it
        pub rise_margin: f64 = plant.rise_margin.value,
        /// power in the air at that rise, without exchange of heat
        pub adiabatic_power_w: f64 = asked.adiabatic_power.value,
        /// the same at constant temperature
        pub isothermal_power_w: f64 = asked.isothermal_power.value,
        /// power at the shaft; `null` where the efficiency is not known
        pub shaft_power_w: Option<f64> = asked.shaft_power.map(|power| power.value),
        /// power at the wire; `null` where the efficiency is not known
        pub wire_power_w: Option<f64> = asked.wire_power.map(|power| power.value),
    }

    pub(super) fn of(plant: &Plant, asked: &Specification) -> Self {
    }

    /// The main line in another pipe.
    pub struct MainLinePipe {
        /// its name
        pub pipe: String = choice.pipe.name.clone(),
        /// pressure that the design air loses in it
        pub loss_pa: f64 = choice.flow.loss().value,
        /// velocity of the design air
        pub velocity_m_per_s: f64 = choice.flow.velocity.value,
        /// whether the loss is no more than `main_line.wanted_loss`; true without one
        pub meets: bool = choice.meets,
        /// whether it is the line's own
        pub is_own: bool = own.is_some_and(|own| own.name == choice.pipe.name),
    }

    fn of(own: Option<&Pipe>, choice: &LineChoice) -> Self {
    }
}

impl MainLinePipe {
    pub(super) fn all(supply: &Supply, solved: &SolvedSupply) -> Vec<Self> {
        let own = supply.piping.main.pipe.as_deref();
        let choices = solved.main_choices.iter();
        choices.map(|choice| Self::of(own, choice)).collect()
    }
}

facts! {
    /// What the blowers of a table do.
    pub struct OperationFacts {
        /// number of blowers that run
        pub running: u32 = blowers.running,
        /// number that stand by
        pub standby: u32 = blowers.standby,
        /// `dynamic` or `positive_displacement`
        #[schemars(with = "String")]
        pub machine: Machine = operation.curve.machine(),
        /// dry air where the blowers' curve meets the lifts', nothing bled
        pub unbled_air_mass_flow_kg_per_s: f64 = operation.unbled.split.air.kg_per_s(),
        /// pressure rise there
        pub unbled_rise_pa: f64 = operation.unbled_rise.value,
        /// water of all lifts there
        pub unbled_water_flow_m3_per_s: f64 = operation.unbled.water_flow().value,
        /// dry air to bleed for the design, or `null`
        pub surplus_air_mass_flow_kg_per_s: Option<f64> = operation.surplus.map(AirFlow::kg_per_s),
        /// dry air missing at the design's pressure, or `null`
        pub shortfall_air_mass_flow_kg_per_s: Option<f64> =
            operation.shortfall.map(AirFlow::kg_per_s),
        /// hole at the blower's outlet that bleeds the surplus, or `null`
        pub bleed_hole_m: Option<f64> = solved.bleed.map(|bleed| bleed.orifice.diameter.value),
        /// speed that gives the design with nothing bled, or `null`
        pub speed_over_table: Option<f64> = operation.speed.map(|speed| speed.value),
        /// power at the wire with the surplus bled, or `null`
        pub wire_power_w: Option<f64> = operation.wire_power.map(|power| power.value),
        /// what one blower less leaves; `null` when none is left
        pub one_less: Option<OneLessFacts> = operation.one_less.as_ref().map(Into::into),
        /// whether every lift starts against risers full of water
        pub starts: bool = solved.starts?,
    }

    pub(super) fn of(plant: &Plant, solved: &SolvedSupply) -> Option<Self> {
        let (operation, blowers) = (solved.operation.as_ref()?, plant.blowers.as_ref()?);
    }

    /// What one blower less leaves.
    pub struct OneLessFacts from left: &Running {
        /// dry air of all lifts
        pub air_mass_flow_kg_per_s: f64 = left.split.air.kg_per_s(),
        /// water of all lifts
        pub water_flow_m3_per_s: f64 = left.water_flow().value,
    }
}
