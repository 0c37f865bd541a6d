//! The columns of a trial sheet.

use crate::error::Input;
use crate::table::{Column, Layout};
use crate::trial::{air_flow, repeats, water_flow};
use crate::units::quantity::Dimension;
use crate::{riser, water};

const LITERS: (Dimension, &str) = (Dimension::Volume, "L");
const SECONDS: (Dimension, &str) = (Dimension::Time, "s");
const METERS: (Dimension, &str) = (Dimension::Length, "m");
const CELSIUS: (Dimension, &str) = (Dimension::Temperature, "degC");
const LITERS_PER_MINUTE: (Dimension, &str) = (Dimension::VolumeRate, "L_per_min");

pub const RUN: Column = Column::text("run")
    .holds("the name of the run; where it is left out, its number below the header");
pub const CONFIGURATION: Column =
    Column::text("configuration").holds("what is compared, such as an injector");
pub const SUBMERGENCE: Column = Column::number("submergence", METERS)
    .holds("the depth of the air inlet below the water level of the source")
    .needed(&[])
    .within(riser::SUBMERGENCE, &[Input::Submergence]);
pub const LIFT: Column = Column::number("lift", METERS)
    .holds("the height of the outlet above that level")
    .needed(&[])
    .within(riser::LIFT, &[Input::Lift]);
pub const WATER_VOLUME: Column = Column::number("water_volume", LITERS)
    .holds("the volume of water caught")
    .needed(&[WATER_MASS])
    .within(water_flow::WATER_VOLUME, &[Input::WaterVolume]);
pub const WATER_MASS: Column = Column::number("water_mass", (Dimension::Mass, "kg"))
    .holds("the mass of water caught")
    .within(water_flow::WATER_MASS, &[Input::WaterMass]);
pub const WATER_TIME: Column = Column::number("water_time", SECONDS)
    .holds("the time to catch it, one column for each repeat")
    .numbered()
    .needed(&[WATER_CLOCK])
    .within(water_flow::WATER_TIME, &[Input::WaterTime]);
pub const WATER_CLOCK: Column = Column::number("water_clock", SECONDS)
    .holds("readings of a running watch started at zero, one at the end of each fill")
    .numbered();
pub const WATER_REPEATABILITY: Column = Column::number("water_repeatability", SECONDS)
    .holds("the standard deviation of a single time, where there is one")
    .within(repeats::REPEATABILITY, &[Input::Repeatability]);
pub const WATER_TEMPERATURE: Column = Column::number("water_temperature", CELSIUS)
    .holds("the temperature of the water")
    .needed(&[])
    .within(water::TEMPERATURE, &[Input::WaterTemperature]);
pub const SALINITY: Column = Column::number("salinity", (Dimension::MassFraction, "g_per_kg"))
    .holds("its salinity; fresh water where it is left out")
    .within(water::SALINITY, &[Input::Salinity]);
pub const BAROMETER: Column = Column::number("barometer", (Dimension::AbsolutePressure, "kPa"))
    .holds("the station barometer, not reduced to sea level")
    .needed(&[])
    .within(riser::ATMOSPHERE, &[Input::Barometer, Input::AirPressure]);
pub const AIR_VOLUME: Column = Column::number("air_volume", LITERS)
    .holds("the volume of air in the bottle")
    .needed(&[AIR_FLOW])
    .within(
        air_flow::BOTTLE_VOLUME,
        &[Input::BottleVolume, Input::AirFlow],
    );
pub const AIR_TIME: Column = Column::number("air_time", SECONDS)
    .holds("the time to fill the bottle, one column for each repeat")
    .numbered()
    .needed_with(&AIR_VOLUME, &[AIR_CLOCK])
    .within(air_flow::AIR_TIME, &[Input::AirTime]);
pub const AIR_CLOCK: Column = Column::number("air_clock", SECONDS)
    .holds("as of the water")
    .numbered();
pub const AIR_REPEATABILITY: Column = Column::number("air_repeatability", SECONDS)
    .holds("as of the water")
    .within(repeats::REPEATABILITY, &[Input::Repeatability]);
pub const BOTTLE_LEVEL: Column = Column::number("bottle_level", (Dimension::Length, "mm"))
    .holds("the water level in the bottle above that of the bath, 0 when brought together")
    .needed_with(&AIR_VOLUME, &[])
    .within(air_flow::BOTTLE_LEVEL, &[Input::BottleLevel]);
pub const AIR_TEMPERATURE: Column = Column::number("air_temperature", CELSIUS)
    .holds("the temperature of the air in the bottle")
    .needed_with(&AIR_VOLUME, &[])
    .within(
        air_flow::BOTTLE_TEMPERATURE,
        &[Input::BottleTemperature, Input::AirTemperature],
    );
pub const AIR_FLOW: Column = Column::number("air_flow", LITERS_PER_MINUTE)
    .holds("the air flow of a meter")
    .within(air_flow::METERED_AIR, &[Input::AirFlow])
    .with_state("in the column \"air_reference\"");
pub const AIR_REFERENCE: Column = Column::text("air_reference")
    .holds("the state that the metered volume is at: a name such as dry_20_c, or as_read")
    .needed_with(&AIR_FLOW, &[]);
const NOTE: Column = Column::note();
// What a plan writes for those at the bench.
const PLANNED_AIR: Column = Column::number("planned_air", LITERS_PER_MINUTE)
    .holds("what a plan asks for")
    .unread();
const PREDICTED_WATER: Column = Column::number("predicted_water", LITERS_PER_MINUTE)
    .holds("what a plan foretells")
    .unread();
const PREDICTED_FILL: Column = Column::number("predicted_fill", SECONDS)
    .holds("what a plan foretells")
    .unread();

/// A trial sheet.
pub const SHEET: &Layout = &Layout {
    row: "run",
    example: "submergence_m,lift_m,water_volume_L,water_time_1_s,water_time_2_s,air_flow_L_per_min,air_reference,water_temperature_degC,barometer_kPa",
    keys: &[],
    columns: &[
        RUN,
        CONFIGURATION,
        NOTE,
        SUBMERGENCE,
        LIFT,
        WATER_VOLUME,
        WATER_MASS,
        WATER_TIME,
        WATER_CLOCK,
        WATER_REPEATABILITY,
        WATER_TEMPERATURE,
        SALINITY,
        BAROMETER,
        AIR_VOLUME,
        AIR_TIME,
        AIR_CLOCK,
        AIR_REPEATABILITY,
        BOTTLE_LEVEL,
        AIR_TEMPERATURE,
        AIR_FLOW,
        AIR_REFERENCE,
        PLANNED_AIR,
        PREDICTED_WATER,
        PREDICTED_FILL,
    ],
};
