//! `[blower]`: its table or what is known of it, and the air that it takes in.

use super::{in_kpa, in_m};
use crate::air::{AIR_TEMPERATURE, HUMIDITY};
use crate::design::fault::Problem;
use crate::design::section::{Bound, Section};
use crate::error::{Input, Range};
use crate::supply::blower::{BLOWERS, Efficiency, RISE_MARGIN};
use crate::supply::{BLOWER_HEIGHT, EFFICIENCY, INTAKE_LOSS, INTAKE_TEMPERATURE};
use crate::units::quantity;
use crate::units::{Length, Pressure, Ratio, ThermodynamicTemperature, degree_celsius};

/// Numbers of blowers that stand by.
const STANDBY: Range = Range::new(0.0, 100.0, "");

/// `[blower]`.
#[derive(Debug, Default)]
pub struct GivenBlower {
    /// Name of the table's file.
    pub table: Option<String>,
    pub running: Option<u32>,
    pub standby: Option<u32>,
    pub efficiency: Efficiency,
    pub rise_margin: Option<Ratio>,
    pub intake_temperature: Option<ThermodynamicTemperature>,
    pub intake_humidity: Option<Ratio>,
    pub intake_loss: Option<Pressure>,
    pub arrival_temperature: Option<ThermodynamicTemperature>,
    pub height: Option<Length>,
}

impl GivenBlower {
    pub fn read(mut blower: Section) -> Self {
        let celsius = |what, range| -> Bound<ThermodynamicTemperature> {
            (what, range, |t| t.get::<degree_celsius>())
        };
        let given = Self {
            table: blower.text("table").map(str::to_owned),
            running: blower.count("running", Input::BlowerCount, BLOWERS),
            standby: blower.count("standby", Input::StandbyCount, STANDBY),
            efficiency: efficiency(&mut blower),
            rise_margin: blower.number("rise_margin", Input::RiseMargin, RISE_MARGIN),
            intake_temperature: blower.quantity(
                "intake_temperature",
                quantity::temperature,
                celsius(Input::IntakeTemperature, INTAKE_TEMPERATURE),
            ),
            intake_humidity: blower.number("intake_humidity", Input::IntakeHumidity, HUMIDITY),
            intake_loss: blower.quantity(
                "intake_loss",
                quantity::pressure,
                in_kpa(Input::IntakeLoss, INTAKE_LOSS),
            ),
            arrival_temperature: blower.quantity(
                "arrival_temperature",
                quantity::temperature,
                celsius(Input::ArrivalTemperature, AIR_TEMPERATURE),
            ),
            height: blower.quantity(
                "height",
                quantity::length,
                in_m(Input::BlowerHeight, BLOWER_HEIGHT),
            ),
        };
        let counted = ["running", "standby"].into_iter();
        if let Some(key) = counted.into_iter().find(|key| blower.has(key))
            && !blower.has("table")
        {
            let expected = "a file as blower.table beside it; without a table there is one duty, for all blowers together";
            blower.fault(key, Problem::Missing { expected });
        }
        blower.close();
        given
    }
}

fn efficiency(blower: &mut Section) -> Efficiency {
    let shaft = blower.number("shaft_efficiency", Input::ShaftEfficiency, EFFICIENCY);
    let motor = blower.number("motor_efficiency", Input::MotorEfficiency, EFFICIENCY);
    let wire = blower.number("wire_efficiency", Input::WireEfficiency, EFFICIENCY);
    for key in ["shaft_efficiency", "motor_efficiency"] {
        if blower.has(key) && blower.has("wire_efficiency") {
            let other = "blower.wire_efficiency";
            blower.fault(key, Problem::Contradiction { other });
        }
    }
    if blower.has("motor_efficiency") && !blower.has("shaft_efficiency") {
        let expected = "the efficiency from shaft to air too, or wire_efficiency alone";
        blower.fault("shaft_efficiency", Problem::Missing { expected });
    }
    match (shaft, motor, wire) {
        (Some(shaft), Some(motor), None) => Efficiency::ShaftAndMotor { shaft, motor },
        (Some(shaft), None, None) => Efficiency::Shaft(shaft),
        (None, None, Some(wire)) => Efficiency::WireToAir(wire),
        _ => Efficiency::Unknown,
    }
}
