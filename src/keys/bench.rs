//! Keys of tests on the bench: a trial, and the aeration of a tank.

use strum::VariantNames;

use super::holds::{area, length, mass, pressure, several, temperature_interval, time};
use super::holds::{concentration, file, name, power, ratio, temperature, volume};
use super::one_riser::VOLUME_FLOW;
use super::{Key, Row, keys};
use crate::error::Range;
use crate::error::{Input, NameKind};
use crate::gas::aeration::AeratorPower;
use crate::units::quantity::Dimension;
use crate::units::{Area, Length, Mass, Pressure, TemperatureInterval, Time, VolumeRate};
use crate::units::{MassConcentration, Power, Ratio, ThermodynamicTemperature, Volume};

/// Half-widths and standard uncertainties: none to more than any bench has.
const fn up_to(max: f64, unit: &'static str) -> Range {
    Range::new(0.0, max, unit)
}
const VOLUMES: Range = up_to(1e4, "L");
const TIMES: Range = up_to(60.0, "s");
const LENGTHS: Range = up_to(1e3, "mm");

keys! {
    /// `[trial]`.
    trial "trial"
        CONTAINER_READING "container_reading": Volume = volume(Input::Instrument, VOLUMES).silent()
            .is("half-width of reading the water container", "0.05 L").or("0.1 L");
        BOTTLE_READING "bottle_reading": Volume = volume(Input::Instrument, VOLUMES).silent()
            .is("half-width of reading the bottle", "0.01 L").or("0.02 L");
        START_REACTION "start_reaction": Time = time(Input::Instrument, TIMES).silent()
            .is("standard uncertainty of starting the watch", "0.2 s").or("0.1 s");
        STOP_REACTION "stop_reaction": Time = time(Input::Instrument, TIMES).silent()
            .is("standard uncertainty of stopping it", "0.2 s").or("0.1 s");
        WATCH_STEP "watch_step": Time = time(Input::Instrument, TIMES).silent()
            .is("step of the watch's display", "0.1 s").or("0.01 s");
        LEVEL "level": Length = length(Input::Instrument, LENGTHS).silent()
            .is("half-width of the level difference at the bottle", "5 mm").or("2 mm");
        TAPE "tape": Length = length(Input::Instrument, LENGTHS).silent()
            .is("half-width of submergence and lift", "5 mm").or("2 mm");
        CONTAINER_CALIBRATION "container_calibration": Ratio = ratio(Input::Instrument, crate::trial::RELATIVE_INSTRUMENT).silent()
            .is("standard uncertainty of the container's own volume", "0.5 %").or("0.25 %");
        BOTTLE_CALIBRATION "bottle_calibration": Ratio = ratio(Input::Instrument, crate::trial::RELATIVE_INSTRUMENT).silent()
            .is("standard uncertainty of the bottle's own volume", "1 %").or("0.5 %");
        WATER_DENSITY "water_density": Ratio = ratio(Input::Instrument, crate::trial::RELATIVE_INSTRUMENT).silent()
            .is("relative half-width of the water's density, for weighed water", "0.1 %").or("0.05 %");
        AIR_METER "air_meter": Ratio = ratio(Input::Instrument, crate::trial::RELATIVE_INSTRUMENT).silent()
            .is("standard uncertainty of an air meter's reading", "2 %").or("4 %");
        SYSTEMATIC_REACTION "systematic_reaction": Ratio = ratio(Input::InstrumentShare, crate::trial::INSTRUMENT_SHARE).silent()
            .is("share of the variance of start and stop that is the same in every repeat", "0.25").or("0.5");
        SHARED_TIMING "shared_timing": Ratio = ratio(Input::InstrumentShare, crate::trial::INSTRUMENT_SHARE).silent()
            .is("correlation of the systematic reaction between water and air: one for the same person and watch", "0").or("1");
        BALANCE "balance": Mass = mass(Input::Instrument, up_to(1e4, "kg")).silent()
            .is("half-width of weighing the net mass of water", "0.01 kg").or("0.02 kg");
        TEMPERATURE "temperature": TemperatureInterval = temperature_interval(Input::Instrument, up_to(20.0, "K")).silent()
            .is("half-width of the temperature of the air in the bottle", "1 K").or("0.5 K");
        BAROMETER "barometer": Pressure = pressure(Input::Instrument, up_to(20.0, "kPa")).silent()
            .is("half-width of the reading of a station barometer", "0.2 kPa").or("0.1 kPa");
        SUBMERGENCES "submergences": Vec<Length> = several(Dimension::Length, Input::Submergence, crate::riser::SUBMERGENCE).silent()
            .is("depths to try", "[\"0.6 m\", \"0.9 m\"]").else_("that of `[riser]`").ask("the depths to try", "");
        LIFTS "lifts": Vec<Length> = several(Dimension::Length, Input::Lift, crate::riser::LIFT).silent()
            .is("lifts to try", "[\"5 cm\", \"10 cm\"]").else_("that of `[riser]`").ask("the lifts to try", "");
        AIR_FLOWS "air_flows": Vec<VolumeRate> = several(Dimension::VolumeRate, Input::AirFlow, VOLUME_FLOW).silent()
            .is("air flows to try, counted at `air.reference`", "[\"20 L/min\", \"30 L/min\"]").else_("that of `[air]`").also(&[Input::PlannedRuns]);
        CONTAINER "container": Volume = volume(Input::WaterVolume, crate::trial::WATER_VOLUME)
            .is("volume of your vessel for the water; if it does not suit, the plan names a common one", "15 L").else_("a common vessel");
        BOTTLE "bottle": Volume = volume(Input::BottleVolume, crate::trial::BOTTLE_VOLUME)
            .is("volume of your bottle for the air; if no bottle suits, the plan names a meter", "4 L").else_("a common bottle, or a meter");
        WANTED "wanted": Ratio = ratio(Input::WantedUncertainty, crate::trial::WANTED)
            .is("relative standard uncertainty that you want for each flow", "1 %").or("2 %");
        WANTED_WIDTH "wanted_width": Ratio = ratio(Input::WantedWidth, crate::trial::WIDTH)
            .is("how narrow you want the interval at the duty: half of it, as a share of the flow there", "5 %").or("10 %");
        PULSATION "pulsation": Ratio = ratio(Input::Pulsation, crate::trial::PULSATION)
            .is("relative scatter of single filling times that the pulsing flow itself causes", "2 %").or("1 %");
        TANK_AREA "tank_area": Area = area(Input::TankArea, crate::trial::TANK_AREA)
            .is("area of the source's water surface, which falls as you draw water", "0.5 m2").else_("none: the level is held");
}

keys! {
    /// `[aeration]`.
    aeration "aeration"
        POWER "power": Power = power(Input::AeratorPower, crate::gas::aeration::POWER).silent()
            .is("power taken while the test ran", "65 W").ask("the power of that kind", "");
        POWER_KIND "power_kind": String = name(NameKind::PowerKind, || AeratorPower::VARIANTS.to_vec())
            .is("where that power was measured: `wire`, `shaft` or `air`", "shaft").or("wire");
        READINGS "readings": String = file().is("file of the readings, in the folder of the design file", "aeration.csv").due()
            .ask("the file of the readings", "");
        VOLUME "volume": Volume = volume(Input::AeratedVolume, crate::gas::aeration::AERATED_VOLUME).silent()
            .is("volume of water in the tank", "2 m3").due().ask("the water in the tank", "");
        FIELD_TEMPERATURE "field_temperature": ThermodynamicTemperature = temperature(Input::WaterTemperature, crate::gas::TEMPERATURE).silent()
            .is("temperature of the water where the aerator is to work", "25 degC").else_("that of `[water]`");
        FIELD_OXYGEN "field_oxygen": MassConcentration = concentration(Input::Oxygen, crate::gas::DISSOLVED).silent()
            .is("oxygen of the water where the aerator is to work (the field water)", "6 mg/L")
            .ask("the oxygen of the water where the aerator is to work", "");
        ALPHA "alpha": Ratio = ratio(Input::AerationAlpha, crate::gas::aeration::ALPHA).silent()
            .is("kLa in the field water over that in clean water", "0.8").or("1");
        BETA "beta": Ratio = ratio(Input::AerationBeta, crate::gas::aeration::BETA).silent()
            .is("saturation in the field water over that in clean water", "0.95").or("1");
}
