//! A cycle of production as CSV, as a spreadsheet saves it.

use super::cycle::{Cycle, CycleRow, follows};
use super::gases::Gases;
use super::load::Feed;
use super::tank::{Tank, TankWater};
use crate::error::{Error, Input, NeedError};
use crate::table::{Column, Layout, Row, Table, TableError, TableProblem};
use crate::units::base;
use crate::units::quantity::Dimension;

const DATE: Column = Column::date("date")
    .holds("the day, as 2026-03-01")
    .needed(&[]);
const BIOMASS: Column = Column::number("biomass", (Dimension::Mass, "kg"))
    .holds("the mass of the animals")
    .needed(&[])
    .of(&[Input::Biomass]);
const FEED: Column = Column::number("feed", (Dimension::MassRate, "kg_per_d"))
    .holds("the feed of a day as a mass")
    .needed(&[FEED_RATE])
    .of(&[Input::Feed]);
const FEED_RATE: Column = Column::number("feed_rate", (Dimension::ShareOfDay, "percent_per_d"))
    .holds("the feed of a day as a share of the animals' mass")
    .of(&[Input::FeedShare]);
const TEMPERATURE: Column = Column::number("temperature", (Dimension::Temperature, "degC"))
    .holds("the temperature of the water")
    .needed(&[])
    .of(&[Input::WaterTemperature]);
const PROTEIN: Column = Column::number("protein", (Dimension::Ratio, "percent"))
    .holds("the protein of the feed; where empty, as in the tank")
    .of(&[Input::Protein]);
const PH: Column = Column::number("pH", (Dimension::Ratio, ""))
    .holds("the pH; where empty, as in the tank")
    .of(&[Input::Ph]);
const SALINITY: Column = Column::number("salinity", (Dimension::MassFraction, "g_per_kg"))
    .holds("the salinity of the water; where empty, as in the tank")
    .of(&[Input::Salinity]);
const VOLUME: Column = Column::number("volume", (Dimension::Volume, "m3"))
    .holds("the volume of the water; where empty, as in the tank")
    .of(&[Input::TankVolume]);

/// The table of a cycle.
const CYCLE: &Layout = &Layout {
    row: "day",
    example: "date,biomass_kg,feed_kg_per_d,temperature_degC",
    keys: &[],
    columns: &[
        DATE,
        BIOMASS,
        FEED,
        FEED_RATE,
        TEMPERATURE,
        PROTEIN,
        PH,
        SALINITY,
        VOLUME,
        Column::note(),
    ],
};

/// The table of an invented crop.
///
/// # Examples
/// See [`parse_cycle`].
pub const DEMO: &str = include_str!("../demo.csv");

/// Reads the text of a [table](crate::table).
///
#[doc = include_str!("columns.md")]
///
/// It is for a tank that it says the rest of. The gases of each row's water are for
/// its faults: a limit above saturation is told at its line.
///
/// # Errors
/// [`TableError::Faults`] with everything that is wrong, by line.
///
/// # Examples
/// ```
/// use risewater::need::{Animals, DEMO, Feed, Gases, Limits, Tank, TankWater, parse_cycle};
/// use risewater::units::*;
///
/// let tank = Tank::new(
///     Animals {
///         biomass: Mass::new::<kilogram>(0.0),
///         feed: Feed::Share(Frequency::new::<per_day>(0.0)),
///         protein: Ratio::new::<percent>(42.0),
///     },
///     TankWater {
///         temperature: ThermodynamicTemperature::new::<degree_celsius>(20.0),
///         salinity: Ratio::new::<per_mille>(0.0),
///         atmosphere: AbsolutePressure::STANDARD_ATMOSPHERE,
///         ph: Ratio::new::<ratio>(7.0),
///     },
///     Limits::WARM_WATER,
/// );
/// // The same gases each day: in earnest, a function of the day's water.
/// let mg_l = MassConcentration::new::<milligram_per_liter>;
/// let gases = |_: &TankWater| Ok(Gases {
///     oxygen_saturation: mg_l(8.0),
///     carbon_dioxide_of_air: mg_l(0.6),
///     ammonia_fraction: Some(Ratio::new::<ratio>(0.006)),
/// });
/// let needs = parse_cycle(DEMO, &tank, gases)?.needs(gases)?;
/// assert_eq!(needs.days.len(), 184);
///
/// let twice = DEMO.replace("2026-04-01", "2026-03-01");
/// let error = parse_cycle(&twice, &tank, gases).unwrap_err().to_string();
/// assert!(error.starts_with("line 5, date \"2026-03-01\": row 2: 2026-03-01 is there already"), "{error}");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn parse_cycle(
    text: &str,
    tank: &Tank,
    gases: impl Fn(&TankWater) -> Result<Gases, Error>,
) -> Result<Cycle, TableError> {
    let table = CYCLE.read(text);
    let cycle = read(&table, tank, gases);
    table.verdict(cycle)
}

fn read(
    table: &Table,
    tank: &Tank,
    gases: impl Fn(&TankWater) -> Result<Gases, Error>,
) -> Option<Cycle> {
    let mut rows: Vec<CycleRow> = Vec::new();
    for row in table.rows() {
        let Some(read) = cycle_row(&row) else {
            continue;
        };
        let order = rows
            .last()
            .map_or(Ok(()), |before| follows(row.number, before.date, read.date));
        let of_row = read.tank(tank);
        // What is wrong with a number comes before what its gases make of it.
        let need = of_row.check().and_then(|_| gases(&of_row.water));
        let need = need.and_then(|gases| of_row.need(&gases));
        for error in [order.err(), need.err()].into_iter().flatten() {
            row.refuse(to_blame(&error), error);
        }
        rows.push(read);
    }
    if !table.is_sound() {
        return None;
    }
    let cycle = Cycle::new(*tank, &rows);
    cycle
        .map_err(|error| table.fault_at_end(TableProblem::Refused(error)))
        .ok()
}

fn cycle_row(row: &Row) -> Option<CycleRow> {
    let date = row.date(&DATE);
    let biomass = row.number(&BIOMASS);
    let feed = row.one_of(&[&FEED_RATE, &FEED], "feed", "feed, feed_rate");
    let feed = feed.and_then(|column| {
        let number = row.number(column)?;
        Some(if column.name == FEED.name {
            Feed::Mass(base(number))
        } else {
            Feed::Share(base(number))
        })
    });
    let temperature = row.number(&TEMPERATURE);
    let protein = row.optional(&PROTEIN);
    let ph = row.optional(&PH);
    let salinity = row.optional(&SALINITY);
    let volume = row.optional(&VOLUME);
    let mut read = CycleRow::new(date?, base(biomass?), feed?, base(temperature?));
    read.protein = protein?.map(base);
    read.ph = ph?.map(base);
    read.salinity = salinity?.map(base);
    read.volume = volume?.map(base);
    Some(read)
}

/// The column to blame for what no single input is.
fn to_blame(error: &Error) -> Option<&'static Column> {
    match error {
        Error::Need(NeedError::DateNotLater { .. }) => Some(&DATE),
        Error::Need(NeedError::FeedWithoutAnimals { .. }) => Some(&BIOMASS),
        Error::Need(NeedError::LimitAboveSaturation { .. }) => Some(&TEMPERATURE),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    #[test]
    fn columns() {
        crate::table::tests::documented(super::CYCLE, "src/need/table/columns.md");
    }
}
