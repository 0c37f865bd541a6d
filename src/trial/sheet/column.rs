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

pub(super) const RUN: Column = Column::text(
    "run",
    "the name of the run; where it is left out, its number below the header",
);
pub(super) const CONFIGURATION: Column =
    Column::text("configuration", "what is compared, such as an injector");
pub(super) const SUBMERGENCE: Column = Column::number(
    "submergence",
    METERS,
    "the depth of the air inlet below the water level of the source",
)
.needed()
.of(&[Input::Submergence])
.within(riser::SUBMERGENCE);
pub(super) const LIFT: Column =
    Column::number("lift", METERS, "the height of the outlet above that level")
        .needed()
        .of(&[Input::Lift])
        .within(riser::LIFT);
pub(super) const WATER_VOLUME: Column =
    Column::number("water_volume", LITERS, "the volume of water caught")
        .needed()
        .or(&[WATER_MASS])
        .of(&[Input::WaterVolume])
        .within(water_flow::WATER_VOLUME);
pub(super) const WATER_MASS: Column = Column::number(
    "water_mass",
    (Dimension::Mass, "kg"),
    "the mass of water caught",
)
.of(&[Input::WaterMass])
.within(water_flow::WATER_MASS);
pub(super) const WATER_TIME: Column = Column::number(
    "water_time",
    SECONDS,
    "the time to catch it, one column for each repeat",
)
.numbered()
.needed()
.or(&[WATER_CLOCK])
.of(&[Input::WaterTime])
.within(water_flow::WATER_TIME);
pub(super) const WATER_CLOCK: Column = Column::number(
    "water_clock",
    SECONDS,
    "readings of a running watch started at zero, one at the end of each fill",
)
.numbered();
pub(super) const WATER_REPEATABILITY: Column = Column::number(
    "water_repeatability",
    SECONDS,
    "the standard deviation of a single time, where there is one",
)
.of(&[Input::Repeatability])
.within(repeats::REPEATABILITY);
pub(super) const WATER_TEMPERATURE: Column =
    Column::number("water_temperature", CELSIUS, "the temperature of the water")
        .needed()
        .of(&[Input::WaterTemperature])
        .within(water::TEMPERATURE);
pub(super) const SALINITY: Column = Column::number(
    "salinity",
    (Dimension::MassFraction, "g_per_kg"),
    "its salinity; fresh water where it is left out",
)
.of(&[Input::Salinity])
.within(water::SALINITY);
pub(super) const BAROMETER: Column = Column::number(
    "barometer",
    (Dimension::AbsolutePressure, "kPa"),
    "the station barometer, not reduced to sea level",
)
.needed()
.of(&[Input::Barometer, Input::AirPressure])
.within(riser::ATMOSPHERE);
pub(super) const AIR_VOLUME: Column =
    Column::number("air_volume", LITERS, "the volume of air in the bottle")
        .needed()
        .or(&[AIR_FLOW])
        .of(&[Input::BottleVolume, Input::AirFlow])
        .within(air_flow::BOTTLE_VOLUME);
pub(super) const AIR_TIME: Column = Column::number(
    "air_time",
    SECONDS,
    "the time to fill the bottle, one column for each repeat",
)
.numbered()
.needed_with(&AIR_VOLUME)
.or(&[AIR_CLOCK])
.of(&[Input::AirTime])
.within(air_flow::AIR_TIME);
pub(super) const AIR_CLOCK: Column =
    Column::number("air_clock", SECONDS, "as of the water").numbered();
pub(super) const AIR_REPEATABILITY: Column =
    Column::number("air_repeatability", SECONDS, "as of the water")
        .of(&[Input::Repeatability])
        .within(repeats::REPEATABILITY);
pub(super) const BOTTLE_LEVEL: Column = Column::number(
    "bottle_level",
    (Dimension::Length, "mm"),
    "the water level in the bottle above that of the bath, 0 when brought together",
)
.needed_with(&AIR_VOLUME)
.of(&[Input::BottleLevel])
.within(air_flow::BOTTLE_LEVEL);
pub(super) const AIR_TEMPERATURE: Column = Column::number(
    "air_temperature",
    CELSIUS,
    "the temperature of the air in the bottle",
)
.needed_with(&AIR_VOLUME)
.of(&[Input::BottleTemperature, Input::AirTemperature])
.within(air_flow::BOTTLE_TEMPERATURE);
pub(super) const AIR_FLOW: Column =
    Column::number("air_flow", LITERS_PER_MINUTE, "the air flow of a meter")
        .of(&[Input::AirFlow])
        .within(air_flow::METERED_AIR)
        .with_state("in the column \"air_reference\"");
pub(super) const AIR_REFERENCE: Column = Column::text(
    "air_reference",
    "the state that the metered volume is at: a name such as dry_20_c, or as_read",
)
.needed_with(&AIR_FLOW);
const NOTE: Column = Column::note();
// What a plan writes for those at the bench.
const PLANNED_AIR: Column =
    Column::number("planned_air", LITERS_PER_MINUTE, "what a plan asks for").unread();
const PREDICTED_WATER: Column = Column::number(
    "predicted_water",
    LITERS_PER_MINUTE,
    "what a plan foretells",
)
.unread();
const PREDICTED_FILL: Column =
    Column::number("predicted_fill", SECONDS, "what a plan foretells").unread();

/// A trial sheet.
pub(super) const SHEET: &Layout = &Layout {
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
