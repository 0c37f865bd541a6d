//! A cycle of production as CSV, as a spreadsheet saves it.
//!
//! Lines that start with `#` are remarks. The header names the columns with their unit, in any order:
//!
//! | column | holds | needed |
//! |---|---|---|
//! | `date` | the day, as 2026-03-01 | yes |
//! | `biomass_kg` | mass of the animals | yes |
//! | `feed_kg_per_d` or `feed_rate_percent_per_d` | feed as a mass, or as a share of the animals' mass | one of them in each row |
//! | `temperature_degC` | temperature of the water | yes |
//! | `protein_percent`, `pH`, `salinity_g_per_kg`, `volume_m3` | as in [`CycleRow`]; where empty, as in the tank | |
//! | `note` | free text | |
//!
//! Any unit of the quantity will do, and a cell may carry its own: `350 g`. Cells are separated by commas,
//! semicolons or tabs; numbers have a decimal point, or with
//! semicolons and tabs a decimal comma.

mod column;

use std::path::Path;

use super::cycle::{Cycle, CycleRow, follows};
use super::gases::Gases;
use super::tank::{Tank, TankWater};
use crate::error::{Error, Input, NeedError};
use crate::table::{Faults, TableError, TableProblem, cells, lines, table_text};
use column::{Header, Name, starts_header};

/// The table of an invented crop.
///
/// # Examples
/// See [`parse_cycle`].
pub const DEMO: &str = include_str!("../demo.csv");

/// Reads the table of a file.
///
/// # Errors
/// [`TableError::Unreadable`], and as [`parse_cycle`].
pub fn read_cycle(
    path: &Path,
    tank: &Tank,
    gases: impl Fn(&TankWater) -> Result<Gases, Error>,
) -> Result<Cycle, TableError> {
    parse_cycle(&table_text(path)?, tank, gases)
}

/// Reads the text of a table, for a tank that it says the rest of. The gases of each row's water are for
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
    let mut faults = Faults::default();
    let cycle = read(text, tank, gases, &mut faults);
    faults.verdict(cycle)
}

fn read(
    text: &str,
    tank: &Tank,
    gases: impl Fn(&TankWater) -> Result<Gases, Error>,
    faults: &mut Faults,
) -> Option<Cycle> {
    let lines = lines(text);
    let mut header: Option<Header> = None;
    // Each row with its line and cells.
    let mut rows: Vec<(usize, Vec<&str>, Option<CycleRow>)> = Vec::new();
    let mut last = 1;
    for taken in &lines {
        let (line, cells) = (taken.0, cells(taken));
        last = line;
        match &header {
            Some(header) => {
                let row = header.row(line, &cells, faults);
                rows.push((line, cells, row));
            }
            None if cells.iter().any(|cell| starts_header(cell)) => {
                header = Some(Header::read(line, &cells, faults));
            }
            None => break,
        }
    }
    let Some(header) = header else {
        let example = "date,biomass_kg,feed_kg_per_d,temperature_degC";
        faults.at(last, "", "", TableProblem::NoHeader { example });
        return None;
    };
    if rows.is_empty() {
        faults.at(last, "", "", TableProblem::NoRow { row: "day" });
    }
    let mut before = None;
    for (number, (line, cells, row)) in (1..).zip(&rows) {
        let Some(row) = row else { continue };
        let order = before.map_or(Ok(()), |before| follows(number, before, row.date));
        before = Some(row.date);
        let of_row = row.tank(tank);
        // What is wrong with a number comes before what its gases make of it.
        let need = of_row.check().and_then(|_| gases(&of_row.water));
        let need = need.and_then(|gases| of_row.need(&gases));
        let refused = [order.err(), need.err()];
        for error in refused.into_iter().flatten() {
            let blamed = to_blame(&error);
            let (column, value) = blamed.map_or(("", ""), |name| header.place(name, cells));
            faults.at(*line, column, value, TableProblem::Refused(error));
        }
    }
    if !faults.is_empty() {
        return None;
    }
    let good: Vec<CycleRow> = rows.iter().filter_map(|(.., row)| *row).collect();
    Cycle::new(*tank, &good)
        .map_err(|error| faults.at(last, "", "", TableProblem::Refused(error)))
        .ok()
}

/// The column of the number that an error is about.
fn to_blame(error: &Error) -> Option<Name> {
    let what = match error {
        Error::OutOfRange { what, .. } | Error::NotFinite { what } => *what,
        Error::Need(NeedError::DateNotLater { .. }) => return Some(Name::Date),
        Error::Need(NeedError::FeedWithoutAnimals { .. }) => return Some(Name::Biomass),
        Error::Need(NeedError::LimitAboveSaturation { .. }) => return Some(Name::Temperature),
        _ => return None,
    };
    Some(match what {
        Input::Biomass => Name::Biomass,
        Input::FeedShare => Name::FeedRate,
        Input::Feed => Name::Feed,
        Input::WaterTemperature => Name::Temperature,
        Input::Protein => Name::Protein,
        Input::Ph => Name::Ph,
        Input::Salinity => Name::Salinity,
        Input::TankVolume => Name::Volume,
        _ => return None,
    })
}
