//! One row of a trial sheet to a run.

use super::Heading;
use super::column::{Column, Name};
use super::fault::SheetProblem;
use super::row::{Bound, Row};
use crate::air::AirState;
use crate::error::{Error, Input};
use crate::riser::{ATMOSPHERE, LIFT, SUBMERGENCE, Site};
use crate::trial::air_flow::{
    AIR_TIME, BOTTLE_LEVEL, BOTTLE_TEMPERATURE, BOTTLE_VOLUME, DisplacedAir, METERED_AIR,
    MeteredAir,
};
use crate::trial::instruments::Instruments;
use crate::trial::no_flow::NoFlowRun;
use crate::trial::repeats::REPEATABILITY;
use crate::trial::run::{AirReading, Run, WaterReading};
use crate::trial::water_flow::{TimedVolume, WATER_MASS, WATER_TIME, WATER_VOLUME, WeighedWater};
use crate::units::{AbsolutePressure, Time, base};
use crate::water::{SALINITY, TEMPERATURE, Water};

/// What a water cell says when none came.
const NO_FLOW: &str = "no flow";

fn is_no_flow(text: &str) -> bool {
    text.replace(['_', '-'], " ").eq_ignore_ascii_case(NO_FLOW)
}

const SAME: fn(f64) -> f64 = |si| si;
/// m³ to L, and a fraction to g/kg.
const THOUSANDS: fn(f64) -> f64 = |si| 1e3 * si;
const KILOPASCAL: fn(f64) -> f64 = |pa| 1e-3 * pa;
const CELSIUS: fn(f64) -> f64 = |kelvin| kelvin - 273.15;

/// The columns of one of the two fluids.
struct Timed {
    what: &'static str,
    time: Name,
    clock: Name,
    repeatability: Name,
    bound: Bound,
}

const WATER: Timed = Timed {
    what: "the time of the water",
    time: Name::WaterTime,
    clock: Name::WaterClock,
    repeatability: Name::WaterRepeatability,
    bound: (Input::WaterTime, WATER_TIME, SAME),
};

const AIR: Timed = Timed {
    what: "the time of the air",
    time: Name::AirTime,
    clock: Name::AirClock,
    repeatability: Name::AirRepeatability,
    bound: (Input::AirTime, AIR_TIME, SAME),
};

impl<'a> Row<'a> {
    /// The run of this row, the nth below the header.
    pub fn run(&mut self, nth: usize) -> Option<Run> {
        let label = self
            .text(Name::Run)
            .map_or_else(|| nth.to_string(), str::to_owned);
        let configuration = self
            .text(Name::Configuration)
            .unwrap_or_default()
            .to_owned();
        let submergence = self.need(Name::Submergence, (Input::Submergence, SUBMERGENCE, SAME));
        let lift = self.need(Name::Lift, (Input::Lift, LIFT, SAME));
        let site = self.site();
        let water = self.water(site);
        let air = self.air(site);
        let run = Run {
            label,
            configuration,
            submergence: base(submergence?),
            lift: base(lift?),
            site: site?,
            water: water?,
            air: air?,
        };
        // Whatever goes wrong now, goes wrong between cells that are right by themselves.
        let kit = Instruments::default();
        let checked = if run.water == WaterReading::NoFlow {
            NoFlowRun::of(&run, &kit).map(|_| ())
        } else {
            run.reduce(&kit).map(|_| ())
        };
        checked.map_err(|error| self.refuse(error)).ok()?;
        Some(run)
    }

    /// The header of the water cell that says that none came.
    fn marked_no_flow(&self) -> Option<&'a str> {
        let places = [
            Name::WaterVolume,
            Name::WaterMass,
            Name::WaterTime,
            Name::WaterClock,
        ];
        let mut cells = places.into_iter().flat_map(|name| self.numbered(name));
        let marked = cells.find(|(_, text)| is_no_flow(text))?;
        Some(&marked.0.header)
    }

    fn site(&mut self) -> Option<Site> {
        let temperature = (Input::WaterTemperature, TEMPERATURE, CELSIUS);
        let temperature = self.need(Name::WaterTemperature, temperature);
        let salinity = if self.has(Name::Salinity) {
            self.need(Name::Salinity, (Input::Salinity, SALINITY, THOUSANDS))
        } else {
            Some(0.0)
        };
        let atmosphere = self.need(Name::Barometer, (Input::Barometer, ATMOSPHERE, KILOPASCAL));
        let water = Water::new(base(temperature?), base(salinity?));
        Some(Site {
            water: water.map_err(|error| self.refuse(error)).ok()?,
            atmosphere: AbsolutePressure(base(atmosphere?)),
        })
    }

    fn water(&mut self, site: Option<Site>) -> Option<WaterReading> {
        if let Some(marked) = self.marked_no_flow() {
            let times = [Name::WaterTime, Name::WaterClock].map(|name| self.numbered(name));
            if let Some((column, _)) = times.concat().iter().find(|(_, text)| !is_no_flow(text)) {
                let other = format!("{NO_FLOW:?} in {marked}");
                self.fault_at(column, SheetProblem::Contradiction { other });
                return None;
            }
            return Some(WaterReading::NoFlow);
        }
        let what = self.one_of(
            [Name::WaterVolume, Name::WaterMass],
            ("the water caught", "water_volume, water_mass"),
        );
        let amount = match what? {
            Name::WaterMass => self.need(Name::WaterMass, (Input::WaterMass, WATER_MASS, SAME)),
            name => self.need(name, (Input::WaterVolume, WATER_VOLUME, THOUSANDS)),
        };
        let (times, repeatability) = self.times(&WATER)?;
        Some(if what == Some(Name::WaterMass) {
            let mut weighed = WeighedWater::new(base(amount?), times, site?.water);
            weighed.repeatability = repeatability;
            WaterReading::Weighed(weighed)
        } else {
            let mut timed = TimedVolume::new(base(amount?), times);
            timed.repeatability = repeatability;
            WaterReading::Timed(timed)
        })
    }

    fn air(&mut self, site: Option<Site>) -> Option<AirReading> {
        let what = self.one_of(
            [Name::AirVolume, Name::AirFlow],
            ("the air", "air_volume, air_flow"),
        );
        if what? == Name::AirFlow {
            return self.metered(site).map(AirReading::Metered);
        }
        let volume = self.need(
            Name::AirVolume,
            (Input::BottleVolume, BOTTLE_VOLUME, THOUSANDS),
        );
        let level = self.need(Name::BottleLevel, (Input::BottleLevel, BOTTLE_LEVEL, SAME));
        let temperature = self.air_temperature();
        let (times, repeatability) = self.times(&AIR)?;
        let site = site?;
        let (volume, temperature) = (base(volume?), base(temperature?));
        let mut displaced =
            DisplacedAir::new(volume, times, temperature, site.atmosphere, site.water);
        displaced.level_difference = base(level?);
        displaced.repeatability = repeatability;
        Some(AirReading::Displaced(displaced))
    }

    fn air_temperature(&mut self) -> Option<f64> {
        let bound = (Input::BottleTemperature, BOTTLE_TEMPERATURE, CELSIUS);
        self.need(Name::AirTemperature, bound)
    }

    fn metered(&mut self, site: Option<Site>) -> Option<MeteredAir> {
        /// m³/s to L/min.
        const LITERS_PER_MINUTE: fn(f64) -> f64 = |si| 6e4 * si;
        let flow = self.need(
            Name::AirFlow,
            (Input::AirFlow, METERED_AIR, LITERS_PER_MINUTE),
        );
        let Some(reference) = self.text(Name::AirReference) else {
            if self.stands(Name::AirReference) {
                let expected =
                    "the state that the volume is at: a name such as dry_20_c, or as_read";
                self.fault(Name::AirReference, SheetProblem::EmptyText { expected });
            }
            return None;
        };
        let state = if reference == "as_read" {
            if !self.stands(Name::AirTemperature) {
                let expected = "the temperature at the meter, since air_reference is as_read";
                self.fault(
                    Name::AirTemperature,
                    SheetProblem::MissingColumn { expected },
                );
            }
            AirState::dry(base(self.air_temperature()?), site?.atmosphere)
        } else {
            let state = AirState::named(reference);
            state
                .map_err(|e| self.fault(Name::AirReference, SheetProblem::Refused(e)))
                .ok()?
        };
        Some(MeteredAir {
            volume_rate: base(flow?),
            state,
        })
    }

    /// The times of one fluid, and the repeatability stated for it.
    fn times(&mut self, timed: &Timed) -> Option<(Vec<Time>, Option<Time>)> {
        let stated = (Input::Repeatability, REPEATABILITY, SAME);
        let repeatability = if self.has(timed.repeatability) {
            Some(self.need(timed.repeatability, stated)?)
        } else {
            None
        };
        let single = self.numbered(timed.time);
        let running = self.numbered(timed.clock);
        let seconds = match (&single[..], &running[..]) {
            ([], []) => {
                if self.stands(timed.time) || self.stands(timed.clock) {
                    let columns = if timed.time == Name::WaterTime {
                        "water_time_1, water_clock_1; where no water came, write \"no flow\""
                    } else {
                        "air_time_1, air_clock_1"
                    };
                    let what = timed.what;
                    self.fault(timed.time, SheetProblem::NoReading { what, columns });
                }
                return None;
            }
            ([], clock) => self.differences(clock, timed)?,
            (times, []) => self.each(times, timed.bound)?,
            ([(first, _), ..], [(other, _), ..]) => {
                let other = other.header.clone();
                self.fault_at(first, SheetProblem::Contradiction { other });
                return None;
            }
        };
        if let ([_], None, Some((column, _))) = (
            &seconds[..],
            repeatability,
            single.first().or(running.first()),
        ) {
            // The other times may stand under a header at fault, which has been told.
            if !self.headings.contains(&Heading::Faulty) {
                let stated = timed.repeatability.text();
                self.fault_at(column, SheetProblem::OneTime { column: stated });
            }
            return None;
        }
        Some((
            seconds.into_iter().map(base).collect(),
            repeatability.map(base),
        ))
    }

    /// Numbers of several cells; none if any is at fault, with all of them told.
    fn each(&mut self, cells: &[(&'a Column, &'a str)], bound: Bound) -> Option<Vec<f64>> {
        let found: Vec<Option<f64>> = cells
            .iter()
            .map(|(column, text)| self.value(column, text, Some(bound)))
            .collect();
        found.into_iter().collect()
    }

    /// Times between the readings of a watch that was started at zero.
    fn differences(&mut self, cells: &[(&'a Column, &'a str)], timed: &Timed) -> Option<Vec<f64>> {
        let mut previous_s = 0.0;
        let mut times = Vec::new();
        for (column, text) in cells {
            let reading = self.value(column, text, None)?;
            let time = reading - previous_s;
            if time <= 0.0 {
                let times = timed.time.text();
                self.fault_at(column, SheetProblem::ClockNotRising { previous_s, times });
                return None;
            }
            let (what, range, _) = timed.bound;
            let checked = range.check(what, time);
            times.push(
                checked
                    .map_err(|e| self.fault_at(column, SheetProblem::Refused(e)))
                    .ok()?,
            );
            previous_s = reading;
        }
        Some(times)
    }

    /// Which of two columns this row fills.
    fn one_of(
        &mut self,
        [first, other]: [Name; 2],
        (what, columns): (&'static str, &'static str),
    ) -> Option<Name> {
        match (self.has(first), self.has(other)) {
            (true, false) => Some(first),
            (false, true) => Some(other),
            (true, true) => {
                let other = other.text().to_owned();
                self.fault(first, SheetProblem::Contradiction { other });
                None
            }
            (false, false) => {
                let standing = [first, other].into_iter().find(|name| self.stands(*name));
                if let Some(name) = standing {
                    self.fault(name, SheetProblem::NoReading { what, columns });
                }
                None
            }
        }
    }

    /// Notes an error of the library at the column of the input to blame.
    fn refuse(&mut self, error: Error) {
        let what = match &error {
            Error::OutOfRange { what, .. } | Error::NotFinite { what } => Some(*what),
            Error::Inconsistent { larger, .. } => Some(*larger),
            _ => None,
        };
        let problem = SheetProblem::Refused(error);
        match what {
            Some(Input::Barometer | Input::AirPressure) => self.fault(Name::Barometer, problem),
            Some(Input::AirTemperature) => self.fault(Name::AirTemperature, problem),
            Some(Input::AirFlow) if self.has(Name::AirFlow) => self.fault(Name::AirFlow, problem),
            Some(Input::AirFlow) => self.fault(Name::AirVolume, problem),
            _ => self.fault_of_row(problem),
        }
    }
}
