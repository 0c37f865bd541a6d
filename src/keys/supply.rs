//! Keys of an air supply: from the blower to the injectors, and what it costs.

use super::holds::{
    self, concentration, density, file, length, name, number, oxygen_use, pressure, ratio,
    temperature, text, truth, volume_rate, whole,
};
use super::one_riser::{VOLUME_FLOW, injector};
use super::{Holds, Key, Row, keys};
use crate::error::{Input, NameKind, Range};
use crate::pipe::BORE as LINE_BORE;
use crate::riser::{InjectorKind, LOSS_COEFFICIENT};
use crate::supply::{DISCHARGE_COEFFICIENT, DISTANCE, LINE_LENGTH, LINE_ROUGHNESS};
use crate::two_phase;
use crate::units::quantity::Dimension;
use crate::units::{
    Length, MassConcentration, MassDensity, Pressure, Ratio, SpecificOxygenUse,
    ThermodynamicTemperature, VolumeRate,
};

/// Numbers of blowers that stand by.
const STANDING: Range = Range::new(0.0, 100.0, "");
const WIRE: &[(&str, &str)] = &[("wire_efficiency", "blower.wire_efficiency")];
const CURVE: &[(&str, &str)] = &[("table", "blower.table"), ("points", "blower.points")];
const OF_RISER: &str = "that of `[riser]`";
const OF_BRANCH: &str = "that of `[branch]`";
const WHOLE: &str = "all of density, oxygen_use, oxygen and oxygen_limit, or leave the section out";
/// Numbers of one fitting in a run.
const FITTINGS: Range = Range::new(0.0, 1000.0, "");
const OR_A_PIPE: &str = ", or a pipe of `risewater list pipes`";

// What the runs of pipe have in common: main line, header, branch.

const fn bore() -> Key<Length> {
    length(Input::LineBore, LINE_BORE)
        .silent()
        .is("inside diameter", "40 mm")
        .due_as("must be given, or `pipe`")
        .ask("the bore of this pipe", OR_A_PIPE)
        .instead(&["pipe"])
}

const fn pipe(bore: &'static [(&'static str, &'static str)]) -> Key<String> {
    holds::pipe().instead(&["bore"]).beside(bore)
}

const fn run() -> Key<Length> {
    length(Input::LineLength, LINE_LENGTH)
        .silent()
        .is("of the pipe", "12 m")
        .due()
        .ask("the length of this pipe", "")
}

const fn loss(words: &'static str) -> Key<Ratio> {
    ratio(Input::LineLoss, LOSS_COEFFICIENT)
        .silent()
        .is(words, "2")
}

const fn fittings(words: &'static str) -> Key<Vec<(String, u32)>> {
    Key::new(Holds::Fittings(FITTINGS), Some(Input::FittingCount))
        .silent()
        .is(words, "{ elbow_90_threaded = 4, gate_valve = 1 }")
}

const fn roughness(words: &'static str) -> Key<Length> {
    length(Input::LineRoughness, LINE_ROUGHNESS)
        .silent()
        .is(words, "45 um")
        .or("1.5 um")
}

const fn discharge(words: &'static str) -> Key<Ratio> {
    ratio(Input::DischargeCoefficient, DISCHARGE_COEFFICIENT)
        .silent()
        .is(words, "0.6")
        .or("0.62")
}

keys! {
    /// `[blower]`.
    blower "blower"
        TABLE "table": String = file()
            .is("the blower's own table as CSV, in the folder of the design file; without it `supply` says what blower to ask for", "blower.csv");
        POINTS "points": Vec<[f64; 2]> = Key::new(Holds::Pairs([
                (Dimension::VolumeRate, Input::InletFlow, crate::supply::blower::INLET_FLOW),
                (Dimension::Pressure, Input::PressureRise, crate::supply::PRESSURE_RISE),
            ]), Some(Input::InletFlow)).silent()
            .is("the blower's curve in place of `table`: pairs of volume flow at the inlet and pressure rise, for air of the state `dry_20_c` (`risewater list states`)", "[[\"0 L/min\", \"30 kPa\"], [\"60 L/min\", \"20 kPa\"], [\"110 L/min\", \"0 kPa\"]]")
            .instead(&["table"]).beside(&[("table", "blower.table")]);
        PRESSURE "pressure": Pressure = pressure(Input::SupplyPressure, crate::supply::SUPPLY_PRESSURE)
            .is("gauge pressure that a regulator holds where the air enters the header, in place of a blower's curve; for `existing` alone", "15 kPa").beside(CURVE);
        AIR_FLOW "air_flow": VolumeRate = volume_rate(Input::AirFlow, VOLUME_FLOW).silent()
            .is("air that all lifts together get at any pressure, counted at `air.reference`, in place of a blower's curve. A displacement blower nearly gives that. For `existing` alone", "120 L/min")
            .beside(&[("table", "blower.table"), ("points", "blower.points"), ("pressure", "blower.pressure")]);
        BLEED_HOLE "bleed_hole": Length = length(Input::HoleDiameter, crate::supply::HOLE_DIAMETER).silent()
            .is("diameter of a hole at the blower's outlet that lets air out; for `existing` alone", "6 mm");
        BLEED_SHARE "bleed_share": Ratio = ratio(Input::BledShare, crate::supply::BLED_SHARE)
            .is("share of the blower's air that a valve at its outlet lets out; not beside `bleed_hole`; for `existing` alone", "10 %")
            .beside(&[("bleed_hole", "blower.bleed_hole")]);
        RUNNING "running": u32 = whole(Input::BlowerCount, crate::supply::blower::BLOWERS)
            .is("equal blowers that run at once; only with `table` or `points`", "2").or("1");
        STANDBY "standby": u32 = whole(Input::StandbyCount, STANDING)
            .is("equal blowers that stand by; only with `table` or `points`", "1").or("0");
        SHAFT_EFFICIENCY "shaft_efficiency": Ratio = ratio(Input::ShaftEfficiency, crate::supply::EFFICIENCY)
            .is("efficiency from shaft to air", "45 %").else_("not known").beside(WIRE);
        MOTOR_EFFICIENCY "motor_efficiency": Ratio = ratio(Input::MotorEfficiency, crate::supply::EFFICIENCY)
            .is("efficiency from wire to shaft, with the drive; needs `shaft_efficiency`", "85 %").else_("not known").beside(WIRE);
        WIRE_EFFICIENCY "wire_efficiency": Ratio = ratio(Input::WireEfficiency, crate::supply::EFFICIENCY)
            .is("efficiency from wire to air, all in one; not beside the two above", "38 %").else_("not known");
        RISE_MARGIN "rise_margin": Ratio = ratio(Input::RiseMargin, crate::supply::blower::RISE_MARGIN)
            .is("share added to the pressure rise that is asked of a blower; the default is common practice", "15 %").or("10 %");
        INTAKE_TEMPERATURE "intake_temperature": ThermodynamicTemperature = temperature(Input::IntakeTemperature, crate::supply::INTAKE_TEMPERATURE)
            .is("of the air that is taken in", "30 degC").or("20 degC");
        INTAKE_HUMIDITY "intake_humidity": Ratio = ratio(Input::IntakeHumidity, crate::air::HUMIDITY)
            .is("its relative humidity", "80 %").or("50 %");
        INTAKE_LOSS "intake_loss": Pressure = pressure(Input::IntakeLoss, crate::supply::INTAKE_LOSS)
            .is("pressure loss of filter and silencer before the blower", "0.5 kPa").or("0 kPa");
        ARRIVAL_TEMPERATURE "arrival_temperature": ThermodynamicTemperature = temperature(Input::ArrivalTemperature, crate::air::AIR_TEMPERATURE)
            .is("of the air where it reaches the header; for the main line the tool takes the mean of this and the outlet's", "30 degC")
            .else_("that of the blower's outlet");
        HEIGHT "height": Length = length(Input::BlowerHeight, crate::supply::BLOWER_HEIGHT)
            .is("of the blower above the highest water level; below zero if it stands lower", "0.5 m").else_("not known");
}

keys! {
    /// `[main_line]`.
    main_line "main_line"
        BORE "bore": Length = super::bore();
        PIPE "pipe": String = super::pipe(&[("bore", "main_line.bore")]);
        LENGTH "length": Length = super::run();
        LOSS "loss": Ratio = super::loss("sum of the loss coefficients without the fittings; the default is the velocity head lost where the line enters the header").or("1");
        FITTINGS "fittings": Vec<(String, u32)> = super::fittings("each fitting with its number, such as `{ elbow_90_threaded = 4, gate_valve = 1 }`; see `risewater list fittings`");
        ROUGHNESS "roughness": Length = super::roughness("of the wall; the default is smooth plastic");
        WANTED_LOSS "wanted_loss": Pressure = pressure(Input::WantedLoss, crate::supply::WANTED_LOSS).silent()
            .is("largest pressure loss that you want in the line. The answer marks the narrowest pipe that keeps to it, from the series of the line's pipe, or from `[[pipe]]` if the line's pipe is one of those", "1 kPa");
}

keys! {
    /// `[header]`.
    header "header"
        BORE "bore": Length = super::bore();
        PIPE "pipe": String = super::pipe(&[("bore", "header.bore")]);
        ROUGHNESS "roughness": Length = super::roughness("of the wall");
        FEED "feed": Length = length(Input::HeaderFeed, DISTANCE)
            .is("where the main line comes in, measured from the header's first end", "3 m").or("0 m");
        TEE_RUN_LOSS "tee_run_loss": Ratio = ratio(Input::TeeLoss, LOSS_COEFFICIENT)
            .is("loss coefficient of each tee, straight through", "0.6").else_("that of a threaded tee");
        FIRST "first": Length = length(Input::BranchDistance, DISTANCE).silent()
            .is("where the first lift leaves the header, measured from the header's first end", "2 m").due_as("must be given without `at`")
            .ask("where the first lift leaves the header", " from its first end, or every lift as [[lift]]");
        SPACING "spacing": Length = length(Input::BranchDistance, DISTANCE).silent()
            .is("distance from each lift to the next", "1.5 m").due_as("must be given without `at`").ask("how far apart the lifts stand", "");
}

keys! {
    /// `[branch]`.
    branch "branch"
        INJECTOR "injector": InjectorKind = injector()
            .is("how the air gets in", "drilled_ring").else_("that of `[riser]`; else `open_tube`");
        BORE "bore": Length = super::bore();
        PIPE "pipe": String = super::pipe(&[("bore", "branch.bore")]);
        LENGTH "length": Length = super::run();
        LOSS "loss": Ratio = super::loss("sum of the loss coefficients without fittings and valve")
            .else_("that of a threaded tee used as elbow, and one for the end of an open tube");
        FITTINGS "fittings": Vec<(String, u32)> = super::fittings("as in `[main_line]`");
        ROUGHNESS "roughness": Length = super::roughness("of the wall");
        VALVE_LOSS "valve_loss": Ratio = ratio(Input::ValveLoss, LOSS_COEFFICIENT)
            .is("loss coefficient of the hand valve as it stands", "5").else_("that of an open ball valve");
        ORIFICE "orifice": Length = length(Input::HoleDiameter, crate::supply::HOLE_DIAMETER).silent()
            .is("diameter of the hole in a plate at the header, as drilled; for `existing`, and for `supply` if `balance.orifices` is false", "4 mm");
        CHECK_VALVE "check_valve": Pressure = pressure(Input::CheckValve, crate::supply::OPENING_PRESSURE)
            .is("pressure that opens the check valve and keeps it open", "0.7 kPa").or_with("0 kPa", ": none");
        HOLES "holes": u32 = whole(Input::Holes, crate::supply::HOLES).silent().of("drilled_ring")
            .is("number of holes in one ring", "24").due_as("must be given for `drilled_ring`").ask("the number of holes of the ring", "");
        HOLE_DIAMETER "hole_diameter": Length = length(Input::HoleDiameter, crate::supply::HOLE_DIAMETER).silent().of("drilled_ring")
            .is("diameter of each hole", "2 mm").due_as("must be given for `drilled_ring`").ask("the diameter of its holes", "");
        DISCHARGE_COEFFICIENT "discharge_coefficient": Ratio = super::discharge("of the holes; thin sharp edges have 0.60 to 0.65").of("drilled_ring");
        DIFFUSER_LOSS "diffuser_loss": Vec<[f64; 2]> = Key::new(Holds::Pairs([
                (Dimension::VolumeRate, Input::AirFlow, VOLUME_FLOW),
                (Dimension::Pressure, Input::DiffuserLoss, crate::supply::INJECTOR_LOSS),
            ]), Some(Input::DiffuserLoss)).also(&[Input::LossPoints]).of("diffuser")
            .is("such as `[[\"20 L/min\", \"1.5 kPa\"], [\"40 L/min\", \"2.1 kPa\"]]`; air counted at `air.reference`", "[[\"20 L/min\", \"1.5 kPa\"], [\"40 L/min\", \"2.1 kPa\"]]")
            .due_as("must be given for `diffuser`").ask("its loss over its air", "");
}

keys! {
    /// `[balance]`.
    balance "balance"
        ORIFICES "orifices": bool = truth().is("whether each branch gets a fixed orifice that gives it its design air", "false").or("true");
        LEAST_LOSS "least_loss": Pressure = pressure(Input::OrificeLoss, crate::supply::ORIFICE_LOSS)
            .is("least pressure loss of every orifice. The default, our own estimate, is four times the pressure of 5 cm of water, so that a change of level changes the air little", "3 kPa").or("2 kPa");
        DRILLS "drills": String = name(NameKind::DrillSystem, || vec!["metric", "inch", "none"])
            .is("drills to round the holes to: `metric`, `inch` or `none`", "none").or_with("metric", "; `inch` with `--units us`");
        TOLERANCE "tolerance": Ratio = ratio(Input::LiftTolerance, crate::supply::AIR_TOLERANCE)
            .is("how far the air of a lift may be off its design before a caution says so", "10 %").or("5 %");
        DISCHARGE_COEFFICIENT "discharge_coefficient": Ratio = super::discharge("of the orifices; each costs the permanent loss of a plate in a line after ISO 5167-2");
}

keys! {
    /// `[[lift]]`, which may have what `[branch]` has.
    lift "lift"
        NAME "name": String = text().is("what it is called; each lift needs its own name", "tank 1").else_("`lift 1` and so on");
        AT "at": Length = length(Input::BranchDistance, DISTANCE)
            .is("where the lift leaves the header, measured from the header's first end", "4 m").else_("by `first` and `spacing`")
            .ask("where it leaves the header", " from its first end");
        BORE "bore": Length = length(Input::Bore, two_phase::BORE).silent()
            .is("inside diameter of the riser", "76.2 mm").else_(OF_RISER).ask("its bore", OR_A_PIPE).instead(&["pipe"]);
        SUBMERGENCE "submergence": Length = length(Input::Submergence, crate::riser::SUBMERGENCE).silent()
            .is("depth of the injection point", "1.0 m").else_(OF_RISER).ask("the depth of its injection point", "");
        LIFT "lift": Length = length(Input::Lift, crate::riser::LIFT).silent()
            .is("height of the outlet above the running water level", "0.10 m").else_(OF_RISER)
            .ask("the height of its outlet above the water", "");
        LINE_BORE "line_bore": Length = length(Input::LineBore, super::LINE_BORE).silent()
            .is("inside diameter of its branch", "16 mm").else_(OF_BRANCH).instead(&["line_pipe"]);
        LINE_PIPE "line_pipe": String = holds::pipe().else_(OF_BRANCH).instead(&["line_bore"]).beside(&[("line_bore", "its line_bore")])
            .is("a pipe of the catalogue or of `[[pipe]]`, for the bore of its branch; not beside `line_bore`", "ASTM D1785 Sch 40 1/2 in");
        OPEN "open": bool = truth().is("whether its valve is open at all", "false").or("true");
        PIPE "pipe": String = holds::pipe().about(Input::Bore).silent().else_(OF_RISER).instead(&["bore"]).beside(&[("bore", "its bore")])
            .is("a pipe of the catalogue or of `[[pipe]]`, for the riser's bore; not beside `bore`", "ASTM D1785 Sch 40 3 in");
        WATER_FLOW "water_flow": VolumeRate = volume_rate(Input::WaterFlow, crate::riser::WATER_FLOW).silent()
            .is("water that it is to lift; the tool finds the air", "50 L/min").due_as("must be given, or `air_flow`").instead(&["air_flow"])
            .ask("the water that it is to lift", ", or its air_flow; `risewater existing` needs neither");
        AIR_FLOW "air_flow": VolumeRate = volume_rate(Input::AirFlow, VOLUME_FLOW).silent()
            .is("air that it is to have, counted at `air.reference`; not beside `water_flow`", "20 L/min").instead(&["water_flow"])
            .beside(&[("water_flow", "its water_flow")]);
        => &[
            NAME.row, AT.row, BORE.row, SUBMERGENCE.row, LIFT.row, branch::INJECTOR.row, LINE_BORE.row,
            LINE_PIPE.row, branch::LENGTH.row, branch::LOSS.row, branch::FITTINGS.row, branch::VALVE_LOSS.row, branch::ORIFICE.row,
            branch::CHECK_VALVE.row, branch::HOLES.row, branch::HOLE_DIAMETER.row,
            branch::DISCHARGE_COEFFICIENT.row, branch::DIFFUSER_LOSS.row, OPEN.row, PIPE.row, WATER_FLOW.row,
            AIR_FLOW.row,
        ]
}

keys! {
    /// `[tariff]`.
    tariff "tariff"
        PRICE "price": f64 = number(Input::Price, crate::supply::PRICE).is("price of a kilowatt-hour", "0.25").due()
            .ask("the price of a kilowatt-hour", "");
        CURRENCY "currency": String = text().is("currency of the price, as the tool is to print it", "EUR").due()
            .ask("the currency of the price", "");
}

keys! {
    /// `[stock]`.
    stock "stock"
        DENSITY "density": MassDensity = density(Input::Stocking, crate::supply::STOCKING)
            .is("mass of animals over the volume of water", "40 kg/m3").due().ask(WHOLE, ".");
        OXYGEN_USE "oxygen_use": SpecificOxygenUse = oxygen_use(Input::OxygenUse, crate::supply::OXYGEN_USE)
            .is("oxygen that the animals use, over their mass", "300 mg/(kg h)").due().ask(WHOLE, ".");
        OXYGEN "oxygen": MassConcentration = concentration(Input::Oxygen, crate::supply::DISSOLVED_OXYGEN)
            .is("dissolved oxygen when the air stops", "7 mg/L").due().ask(WHOLE, ".");
        OXYGEN_LIMIT "oxygen_limit": MassConcentration = concentration(Input::OxygenLimit, crate::supply::DISSOLVED_OXYGEN)
            .is("dissolved oxygen below which the animals suffer", "4 mg/L").due().ask(WHOLE, ".");
}
