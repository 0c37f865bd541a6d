//! `[trial]`: instruments of a bench, and what to measure with them.

use super::air::VOLUME_FLOW;
use super::{Given, needed};
use crate::design::section::{Bound, Section};
use crate::design::sheet::Sheet;
use crate::error::{Input, Range};
use crate::model::Model;
use crate::riser::{LIFT, SUBMERGENCE};
use crate::trial::{
    BOTTLE_VOLUME, Bench, INSTRUMENT_SHARE, Instruments, PULSATION, RELATIVE_INSTRUMENT, TANK_AREA,
    Target, WANTED, WATER_VOLUME, WIDTH,
};
use crate::units::quantity;
use crate::units::{
    Area, Length, Mass, Pressure, Ratio, TemperatureInterval, Time, Volume, VolumeRate,
    kelvin_interval, kilogram, kilopascal, liter, liter_per_minute, meter, millimeter, second,
    square_meter,
};

/// Half-widths and standard uncertainties: none to more than any bench has.
const fn up_to(max: f64, unit: &'static str) -> Range {
    Range::new(0.0, max, unit)
}

/// `[trial]` as given.
#[derive(Debug, Default)]
pub struct GivenTrial {
    pub instruments: Instruments,
    submergences: Option<Vec<Length>>,
    lifts: Option<Vec<Length>>,
    air_flows: Option<Vec<VolumeRate>>,
    container: Option<Volume>,
    bottle: Option<Volume>,
    pub wanted: Option<Ratio>,
    wanted_width: Option<Ratio>,
    pulsation: Option<Ratio>,
    tank_area: Option<Area>,
}

impl GivenTrial {
    pub fn read(mut trial: Section) -> Self {
        let instruments = instruments(&mut trial);
        let depth: Bound<Length> = (Input::Submergence, SUBMERGENCE, |s| s.get::<meter>());
        let lift: Bound<Length> = (Input::Lift, LIFT, |h| h.get::<meter>());
        let air: Bound<VolumeRate> = (Input::AirFlow, VOLUME_FLOW, |flow| {
            flow.get::<liter_per_minute>()
        });
        let container: Bound<Volume> = (Input::WaterVolume, WATER_VOLUME, |v| v.get::<liter>());
        let bottle: Bound<Volume> = (Input::BottleVolume, BOTTLE_VOLUME, |v| v.get::<liter>());
        let area: Bound<Area> = (Input::TankArea, TANK_AREA, |a| a.get::<square_meter>());
        let given = Self {
            instruments,
            submergences: trial.quantities("submergences", quantity::length, depth),
            lifts: trial.quantities("lifts", quantity::length, lift),
            air_flows: trial.quantities("air_flows", quantity::volume_rate, air),
            container: trial.quantity("container", quantity::volume, container),
            bottle: trial.quantity("bottle", quantity::volume, bottle),
            wanted: trial.number("wanted", Input::WantedUncertainty, WANTED),
            wanted_width: trial.number("wanted_width", Input::WantedWidth, WIDTH),
            pulsation: trial.number("pulsation", Input::Pulsation, PULSATION),
            tank_area: trial.quantity("tank_area", quantity::area, area),
        };
        trial.close();
        given
    }
}

impl GivenTrial {
    /// Whether it says what to try, and not the instruments alone.
    pub fn plans(&self) -> bool {
        self.submergences.is_some()
            || self.lifts.is_some()
            || self.air_flows.is_some()
            || self.container.is_some()
    }
}

fn instruments(trial: &mut Section) -> Instruments {
    const SOME: Input = Input::Instrument;
    let mut kit = Instruments::default();
    let volume: Bound<Volume> = (SOME, up_to(1e4, "L"), |v| v.get::<liter>());
    let time: Bound<Time> = (SOME, up_to(60.0, "s"), |t| t.get::<second>());
    let length: Bound<Length> = (SOME, up_to(1e3, "mm"), |l| l.get::<millimeter>());
    let mass: Bound<Mass> = (SOME, up_to(1e4, "kg"), |m| m.get::<kilogram>());
    let temperature: Bound<TemperatureInterval> =
        (SOME, up_to(20.0, "K"), |t| t.get::<kelvin_interval>());
    let pressure: Bound<Pressure> = (SOME, up_to(20.0, "kPa"), |p| p.get::<kilopascal>());
    let mut put =
        |key, field: &mut Volume| set(field, trial.quantity(key, quantity::volume, volume));
    put("container_reading", &mut kit.container_reading);
    put("bottle_reading", &mut kit.bottle_reading);
    let mut put = |key, field: &mut Time| set(field, trial.quantity(key, quantity::time, time));
    put("start_reaction", &mut kit.start_reaction);
    put("stop_reaction", &mut kit.stop_reaction);
    put("watch_step", &mut kit.watch_step);
    let mut put =
        |key, field: &mut Length| set(field, trial.quantity(key, quantity::length, length));
    put("level", &mut kit.level);
    put("tape", &mut kit.tape);
    let mut put = |key, field: &mut Ratio, what, range| set(field, trial.number(key, what, range));
    let relative = RELATIVE_INSTRUMENT;
    put(
        "container_calibration",
        &mut kit.container_calibration,
        SOME,
        relative,
    );
    put(
        "bottle_calibration",
        &mut kit.bottle_calibration,
        SOME,
        relative,
    );
    put("water_density", &mut kit.water_density, SOME, relative);
    put("air_meter", &mut kit.air_meter, SOME, relative);
    let share = (Input::InstrumentShare, INSTRUMENT_SHARE);
    put(
        "systematic_reaction",
        &mut kit.systematic_reaction,
        share.0,
        share.1,
    );
    put("shared_timing", &mut kit.shared_timing, share.0, share.1);
    set(
        &mut kit.balance,
        trial.quantity("balance", quantity::mass, mass),
    );
    set(
        &mut kit.temperature,
        trial.quantity("temperature", quantity::temperature_interval, temperature),
    );
    set(
        &mut kit.barometer,
        trial.quantity("barometer", quantity::pressure, pressure),
    );
    kit
}

fn set<T>(field: &mut T, given: Option<T>) {
    if let Some(value) = given {
        *field = value;
    }
}

impl Given {
    /// The bench of `[trial]`, `[riser]` and `[air]`, in its site.
    pub fn bench(&self, sheet: &Sheet) -> Option<Bench> {
        let site = self.site(sheet);
        let spec = self.riser.movable(sheet);
        let (submergence, lift) = self.riser.place();
        let trial = &self.trial;
        let several = |list: &Option<Vec<Length>>, one: Option<Length>| {
            list.clone().or_else(|| one.map(|one| vec![one]))
        };
        let submergences = needed(
            sheet,
            several(&trial.submergences, submergence),
            "trial.submergences",
            "the depths to try, such as [\"0.6 m\", \"0.9 m\"]",
        );
        let lifts = needed(
            sheet,
            several(&trial.lifts, lift),
            "trial.lifts",
            "the lifts to try, such as [\"5 cm\", \"10 cm\"]",
        );
        let air_flows = match &trial.air_flows {
            Some(flows) => self.air_flows(sheet, flows),
            None => self.air(sheet).map(|air| vec![air]),
        };
        let container = needed(
            sheet,
            trial.container,
            "trial.container",
            "the volume of water to catch, such as \"15 L\"",
        );
        let bottle = needed(
            sheet,
            trial.bottle,
            "trial.bottle",
            "the volume of the air bottle, such as \"4 L\"",
        );
        let model: Model = self.model;
        let target = Target {
            submergence,
            lift: lift.or(self.lift),
            air: self.air.is_given().then(|| self.air(sheet)).flatten(),
            water_flow: self.water_flow,
        };
        let mut bench = Bench::new(spec?, site?, model, container?, bottle?)
            .with_runs(submergences?, lifts?, air_flows?)
            .with_instruments(trial.instruments)
            .with_target(target);
        bench.wanted_width = trial.wanted_width.unwrap_or(bench.wanted_width);
        bench.wanted = trial.wanted.unwrap_or(bench.wanted);
        bench.pulsation = trial.pulsation.unwrap_or(bench.pulsation);
        bench.tank_area = trial.tank_area;
        Some(bench)
    }
}
