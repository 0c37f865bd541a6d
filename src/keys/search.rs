//! Keys of what a search must meet and may use, of the tank's levels and of gases.

use super::holds::{
    concentration, gauge_pressure, length, name, pressure, rate, ratio, temperature, text, truth,
    volume_rate, whole,
};
use super::{Holds, Key, Row, keys};
use crate::error::{Input, NameKind};
use crate::gas::DISSOLVED;
use crate::sizing::{LEVEL_CHANGE, Objective, TOTAL_GAS_PRESSURE};
use crate::two_phase;
use crate::units::{
    Frequency, GaugePressure, Length, MassConcentration, Pressure, Ratio, ThermodynamicTemperature,
    VolumeRate,
};

const LIMIT_OR_AIR: &str = "with `[need]` its limit, else saturation with air";
const OF_AIR: &str = "saturation with air";
const OF_ALL: &str = "that of `[limits]`";
const OF_TANK: &str = "that of `[tank]`";

keys! {
    /// `[duty]`, or `[[duty]]` for each of several tanks on one header.
    duty "duty"
        WATER_FLOW "water_flow": VolumeRate = volume_rate(Input::WaterFlow, crate::riser::WATER_FLOW)
            .is("water of all risers together; not beside `[need]`", "600 L/min").due_as("that of `[need]`, or must be given")
            .ask("the water flow wanted", ", or what is reared, as [need]");
        TANK "tank": String = text()
            .is("name of a `[[rearing_tank]]`, whose need is then the flow wanted", "fry").else_("no tank in particular").instead(&["water_flow"]).beside(&[("water_flow", "water_flow")]);
        LIFT "lift": Length = length(Input::DutyLift, crate::riser::LIFT)
            .is("height from the running water level of the source to the outlet", "0.15 m").due().ask("the lift wanted", "");
        OBJECTIVE "objective": Objective = name(NameKind::Objective, || Objective::ALL.iter().map(|one| one.name()).collect())
            .is("what the best design has least of: `air_power`, `lifts`, `air_flow` or `pressure`. With several `[[duty]]`, give it in one for all; `air_power` is then the power at the blower", "lifts").or("air_power");
        AT_LOW_WATER "at_low_water": bool = truth().or("false")
            .is("whether a design must also meet the duty at low water, `tank.level_fall` below normal. It then has the air that this takes, and keeps its limits there", "true");
        AT_LOWER_END "at_lower_end": bool = truth().or("false")
            .is("whether the lower end of the flow's interval must meet the duty, and not only the predicted flow. A design then has the air that this takes. `supply` reads it too", "true");
        NAME "name": String = text().is("what the tank is called; with several, each needs its own name", "fry").else_("`tank 1` and so on");
        MIN_SUBMERGENCE "min_submergence": Length = length(Input::MinSubmergence, crate::riser::SUBMERGENCE).silent()
            .is("shallowest point of injection in this tank", "0.5 m").else_(OF_ALL);
        MAX_SUBMERGENCE "max_submergence": Length = length(Input::MaxSubmergence, crate::riser::SUBMERGENCE).silent()
            .is("deepest point of injection in this tank", "0.9 m").else_(OF_ALL).ask("the depth of water that you have", "");
        STANDARDS "standards": Vec<String> = Key::new(Holds::Standards, None)
            .is("pipe standards to search for this tank, in place of the standards and pipes of `[limits]`", "[\"ASTM D1785\"]").else_(OF_ALL)
            .ask("the pipe standards to search", " (`risewater list pipes` has them all)");
        PIPES "pipes": Vec<String> = Key::new(Holds::Pipes, None)
            .is("single pipes to search for this tank", "[\"ASTM D1785 Sch 40 3 in\"]").else_(OF_ALL);
        MAX_BORE "max_bore": Length = length(Input::MaxBore, two_phase::BORE).silent()
            .is("widest bore of a riser in this tank", "80 mm").else_(OF_ALL);
        MIN_LIFTS "min_lifts": u32 = whole(Input::MinLifts, crate::sizing::LIFTS).silent()
            .is("fewest risers in this tank; with two, one is left when the other stops", "2").else_(OF_ALL);
        MAX_LIFTS "max_lifts": u32 = whole(Input::MaxLifts, crate::sizing::LIFTS).silent()
            .is("most risers in this tank", "2").else_(OF_ALL);
        LEVEL_FALL "level_fall": Length = length(Input::LowWater, LEVEL_CHANGE).silent().else_(OF_TANK)
            .is("fall of this tank's water level", "0.1 m").ask("how far the water falls below its normal level", ": its at_low_water asks for it");
        LEVEL_RISE "level_rise": Length = length(Input::HighWater, LEVEL_CHANGE).silent().else_(OF_TANK)
            .is("rise of this tank's water level", "0.05 m");
}

keys! {
    /// `[limits]`.
    limits "limits"
        MIN_SUBMERGENCE "min_submergence": Length = length(Input::MinSubmergence, crate::riser::SUBMERGENCE)
            .is("shallowest point of injection", "0.5 m").else_("one step");
        MAX_SUBMERGENCE "max_submergence": Length = length(Input::MaxSubmergence, crate::riser::SUBMERGENCE)
            .is("deepest point of injection", "1.4 m").due().ask("the depth of water that you have", "");
        SUBMERGENCE_STEP "submergence_step": Length = length(Input::SubmergenceStep, crate::sizing::SUBMERGENCE_STEP).also(&[Input::Depths])
            .is("step between depths; 1000 depths at most", "0.1 m").else_("a round step, 30 depths at most");
        STANDARDS "standards": Vec<String> = Key::new(Holds::Standards, None).also(&[Input::Pipes, Input::WidestPipe])
            .is("pipe standards to search, such as `[\"ASTM D1785\"]`", "[\"ASTM D1785\"]").due_as("must be given, or `pipes`")
            .ask("the pipe standards to search", " (`risewater list pipes` has them all)");
        PIPES "pipes": Vec<String> = Key::new(Holds::Pipes, None).also(&[Input::Pipes, Input::WidestPipe])
            .is("single pipes to search as well, from `risewater list pipes` or `[[pipe]]`", "[\"ASTM D1785 Sch 40 3 in\"]");
        MAX_BORE "max_bore": Length = length(Input::MaxBore, two_phase::BORE)
            .is("widest bore of a riser; wider pipes are left out", "80 mm").else_("that of the widest pipe");
        MIN_LIFTS "min_lifts": u32 = whole(Input::MinLifts, crate::sizing::LIFTS)
            .is("fewest risers that share the duty; with two, one is left when the other stops", "2").or("1");
        MAX_LIFTS "max_lifts": u32 = whole(Input::MaxLifts, crate::sizing::LIFTS).also(&[Input::Candidates])
            .is("most risers that share the duty", "6").or("1");
        MAX_AIR_PRESSURE "max_air_pressure": GaugePressure = gauge_pressure(Input::MaxAirPressure, crate::sizing::AIR_PRESSURE)
            .is("highest pressure that the air supply reaches at the injection point; the pressure to start must not exceed it", "20 kPa").else_("no limit");
        MAX_TOTAL_GAS_PRESSURE "max_total_gas_pressure": Ratio = ratio(Input::MaxTotalGasPressure, TOTAL_GAS_PRESSURE)
            .is("highest total gas pressure of the water that leaves, over the barometer's, as a share or in per cent; it limits the depth. The tool takes the mean of foot and mouth at the highest level; a submerged outlet adds its depth", "110 %").else_("no limit");
        PEAK_RESERVE "peak_reserve": Ratio = ratio(Input::PeakReserve, crate::sizing::PEAK_RESERVE)
            .is("share of the peak flow by which a design stays below the peak", "0.1").or("0");
        FOULING "fouling": Length = length(Input::FouledBore, crate::sizing::FOULING)
            .is("bore that fouling takes before you clean; for the margin *fouled bore*", "3 mm").or("0 mm");
        SUPPLY_LOSS "supply_loss": Pressure = pressure(Input::SupplyLoss, crate::supply::SUPPLY_LOSS)
            .is("pressure lost between blower and injection points in lines, open valves and injectors. With several `[[duty]]` the power at the blower includes it", "3 kPa").else_("none");
}

keys! {
    /// `[tank]`.
    tank "tank"
        LEVEL_FALL "level_fall": Length = length(Input::LowWater, LEVEL_CHANGE).or("0 m")
            .is("fall of the water level, for the margin *low water* and for a change that `supply` tries. With `duty.at_low_water` the duty must also be met there", "0.1 m")
            .ask("how far the water falls below its normal level", ": duty.at_low_water asks for it");
        LEVEL_RISE "level_rise": Length = length(Input::HighWater, LEVEL_CHANGE).or("0 m")
            .is("rise of the water level, for the margin *high water* and for a change that `supply` tries. Without either key it tries 5 and 10 cm either way", "0.05 m");
}

keys! {
    /// `[gas]`.
    gas "gas"
        OXYGEN "oxygen": MassConcentration = concentration(Input::DissolvedGas, DISSOLVED).silent()
            .is("oxygen of the water that enters", "7 mg/L").else_(LIMIT_OR_AIR);
        NITROGEN "nitrogen": MassConcentration = concentration(Input::DissolvedGas, DISSOLVED).silent()
            .is("nitrogen of the water that enters", "16 mg/L").else_(OF_AIR);
        ARGON "argon": MassConcentration = concentration(Input::DissolvedGas, DISSOLVED).silent()
            .is("argon of the water that enters", "0.6 mg/L").else_(OF_AIR);
        CARBON_DIOXIDE "carbon_dioxide": MassConcentration = concentration(Input::DissolvedGas, DISSOLVED).silent()
            .is("free carbon dioxide of the water that enters", "8 mg/L").else_(LIMIT_OR_AIR);
        TRANSFER_COEFFICIENT "transfer_coefficient": Frequency = rate(Input::TransferCoefficient, crate::transfer::TRANSFER_COEFFICIENT).silent()
            .is("k<sub>L</sub>a of oxygen for the volume of water in the riser", "0.02 1/s").else_("not known");
        TRANSFER_TEMPERATURE "transfer_temperature": ThermodynamicTemperature = temperature(Input::WaterTemperature, crate::gas::TEMPERATURE).silent()
            .is("temperature at which that coefficient holds; the tool converts it by the factor of ASCE/EWRI 2 for each kelvin", "20 degC").else_("the water's");
        DIFFUSION_EXPONENT "diffusion_exponent": Ratio = ratio(Input::DiffusionExponent, crate::gas::DIFFUSION_EXPONENT).silent()
            .is("exponent of the ratio of diffusion coefficients, to convert the transfer coefficient to other gases", "0.67").or("0.5");
        CARBON_DIOXIDE_OF_AIR "carbon_dioxide_of_air": Ratio = ratio(Input::GasFraction, crate::gas::FRACTION).silent()
            .is("mole fraction of carbon dioxide in the dry air that is blown; indoor air has more", "800 ppm").or("420 ppm");
        TOTAL_GAS_PRESSURE_LIMIT "total_gas_pressure_limit": Ratio = ratio(Input::TotalGasPressureLimit, TOTAL_GAS_PRESSURE)
            .is("limit of total gas pressure, over the barometer's, to compare results with; CCME 1999, from memory, has a lower one for shallow water", "105 %")
            .or_with("110 %", ", WAC 173-201A-200");
}
