//! One row of a trial sheet to a run.

use super::column::{
    AIR_CLOCK, AIR_FLOW, AIR_REFERENCE, AIR_REPEATABILITY, AIR_TEMPERATURE, AIR_TIME, AIR_VOLUME,
    BAROMETER, BOTTLE_LEVEL, CONFIGURATION, LIFT, RUN, SALINITY, SUBMERGENCE, WATER_CLOCK,
    WATER_MASS, WATER_REPEATABILITY, WATER_TEMPERATURE, WATER_TIME, WATER_VOLUME,
};
use crate::air::AirState;
use crate::riser::Site;
use crate::table::{Cell, Column, Row, TableProblem};
use crate::trial::air_flow::{DisplacedAir, MeteredAir};
use crate::trial::instruments::Instruments;
use crate::trial::no_flow::NoFlowRun;
use crate::trial::run::{AirReading, Run, WaterReading};
use crate::trial::water_flow::{TimedVolume, WeighedWater};
use crate::units::{AbsolutePressure, Time, base};
use crate::water::Water;

/// What a water cell says when none came.
const NO_FLOW: &str = "no flow";

fn is_no_flow(cell: &Cell) -> bool {
    cell.text
        .replace(['_', '-'], " ")
        .eq_ignore_ascii_case(NO_FLOW)
}

/// The columns of the times of one of the two fluids.
struct Timed {
    what: &'static str,
    time: Column,
    clock: Column,
    repeatability: Column,
    columns: &'static str,
}

const WATER: Timed = Timed {
    what: "reading of the time of the water",
    time: WATER_TIME,
    clock: WATER_CLOCK,
    repeatability: WATER_REPEATABILITY,
    columns: "water_time_1, water_clock_1; where no water came, write \"no flow\"",
};

const AIR: Timed = Timed {
    what: "reading of the time of the air",
    time: AIR_TIME,
    clock: AIR_CLOCK,
    repeatability: AIR_REPEATABILITY,
    columns: "air_time_1, air_clock_1",
};

/// The run of a row.
pub(super) fn run(row: &Row) -> Option<Run> {
    let label = row
        .text(&RUN)
        .map_or_else(|| row.number.to_string(), str::to_owned);
    let configuration = row.text(&CONFIGURATION).unwrap_or_default().to_owned();
    let submergence = row.number(&SUBMERGENCE);
    let lift = row.number(&LIFT);
    let site = site(row);
    let water = water(row, site);
    let air = air(row, site);
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
    checked.map_err(|error| row.refuse(None, error)).ok()?;
    Some(run)
}

fn site(row: &Row) -> Option<Site> {
    let temperature = row.number(&WATER_TEMPERATURE);
    let salinity = row.optional(&SALINITY);
    let atmosphere = row.number(&BAROMETER);
    let water = Water::new(base(temperature?), base(salinity?.unwrap_or(0.0)));
    Some(Site {
        water: water.map_err(|error| row.refuse(None, error)).ok()?,
        atmosphere: AbsolutePressure(base(atmosphere?)),
    })
}

fn water(row: &Row, site: Option<Site>) -> Option<WaterReading> {
    let amounts = [WATER_VOLUME, WATER_MASS].map(|column| row.cells(&column));
    let times = [WATER_TIME, WATER_CLOCK].map(|column| row.cells(&column));
    let times = times.concat();
    let mut cells = amounts.iter().flatten().chain(&times);
    if let Some(marked) = cells.find(|cell| is_no_flow(cell)) {
        if let Some(time) = times.iter().find(|cell| !is_no_flow(cell)) {
            let other = format!("{NO_FLOW:?} in {}", marked.head.text);
            row.fault_at(*time, TableProblem::Beside { other });
            return None;
        }
        return Some(WaterReading::NoFlow);
    }
    let what = "reading of the water caught";
    let amount = row.one_of(
        &[&WATER_VOLUME, &WATER_MASS],
        what,
        "water_volume, water_mass",
    )?;
    let by_mass = amount.name == WATER_MASS.name;
    let amount = row.number(amount);
    let (times, repeatability) = self::times(row, &WATER)?;
    Some(if by_mass {
        let mut weighed = WeighedWater::new(base(amount?), times, site?.water);
        weighed.repeatability = repeatability;
        WaterReading::Weighed(weighed)
    } else {
        let mut timed = TimedVolume::new(base(amount?), times);
        timed.repeatability = repeatability;
        WaterReading::Timed(timed)
    })
}

fn air(row: &Row, site: Option<Site>) -> Option<AirReading> {
    let what = row.one_of(
        &[&AIR_VOLUME, &AIR_FLOW],
        "reading of the air",
        "air_volume, air_flow",
    )?;
    if what.name == AIR_FLOW.name {
        return metered(row, site).map(AirReading::Metered);
    }
    let volume = row.number(&AIR_VOLUME);
    let level = row.number(&BOTTLE_LEVEL);
    let temperature = row.number(&AIR_TEMPERATURE);
    let (times, repeatability) = times(row, &AIR)?;
    let site = site?;
    let (volume, temperature) = (base(volume?), base(temperature?));
    let mut displaced = DisplacedAir::new(volume, times, temperature, site.atmosphere, site.water);
    displaced.level_difference = base(level?);
    displaced.repeatability = repeatability;
    Some(AirReading::Displaced(displaced))
}

fn metered(row: &Row, site: Option<Site>) -> Option<MeteredAir> {
    let flow = row.number(&AIR_FLOW);
    let Some(reference) = row.text(&AIR_REFERENCE) else {
        if row.has(&AIR_REFERENCE) {
            let expected = AIR_REFERENCE.words;
            row.fault(&AIR_REFERENCE, TableProblem::EmptyText { expected });
        }
        return None;
    };
    let state = if reference == "as_read" {
        if !row.has(&AIR_TEMPERATURE) {
            let expected =
                "the temperature at the meter, since air_reference is as_read".to_owned();
            row.fault(&AIR_TEMPERATURE, TableProblem::MissingColumn { expected });
        }
        AirState::dry(base(row.number(&AIR_TEMPERATURE)?), site?.atmosphere)
    } else {
        let state = AirState::named(reference);
        state
            .map_err(|error| row.refuse(Some(&AIR_REFERENCE), error))
            .ok()?
    };
    Some(MeteredAir {
        volume_rate: base(flow?),
        state,
    })
}

/// The times of one fluid, and the repeatability stated for it.
fn times(row: &Row, timed: &Timed) -> Option<(Vec<Time>, Option<Time>)> {
    let repeatability = row.optional(&timed.repeatability)?;
    let single = row.cells(&timed.time);
    let running = row.cells(&timed.clock);
    let seconds = match (&single[..], &running[..]) {
        ([], []) => {
            if row.has(&timed.time) || row.has(&timed.clock) {
                let (what, columns) = (timed.what, timed.columns);
                row.fault(&timed.time, TableProblem::NoneOf { what, columns });
            }
            return None;
        }
        ([], clock) => differences(row, clock, timed)?,
        (times, []) => {
            // All are read, so that each fault is told.
            let found: Vec<Option<f64>> = times.iter().map(|cell| row.value(*cell)).collect();
            found.into_iter().collect::<Option<_>>()?
        }
        ([first, ..], [other, ..]) => {
            let other = other.head.text.clone();
            row.fault_at(*first, TableProblem::Beside { other });
            return None;
        }
    };
    if let ([_], None, Some(cell)) = (
        &seconds[..],
        repeatability,
        single.first().or(running.first()),
    ) {
        // The other times may stand under a header at fault, which has been told.
        if !row.has_faulty_head() {
            let column = timed.repeatability.name;
            row.fault_at(*cell, TableProblem::OneTime { column });
        }
        return None;
    }
    Some((
        seconds.into_iter().map(base).collect(),
        repeatability.map(base),
    ))
}

/// Times between the readings of a watch that was started at zero.
fn differences(row: &Row, cells: &[Cell], timed: &Timed) -> Option<Vec<f64>> {
    let mut previous_s = 0.0;
    let mut times = Vec::new();
    for cell in cells {
        let reading = row.value(*cell)?;
        let time = reading - previous_s;
        let checked = if time <= 0.0 {
            let times = timed.time.name;
            Err(TableProblem::ClockNotRising { previous_s, times })
        } else {
            timed.time.checked(time).map_err(TableProblem::Refused)
        };
        times.push(
            checked
                .map_err(|problem| row.fault_at(*cell, problem))
                .ok()?,
        );
        previous_s = reading;
    }
    Some(times)
}
