//! Readings of an aeration test as CSV.
//!
//! Lines that start with `#` are remarks. The header names a column of times, `time_min` or `time_s`, and a
//! column for each probe: `oxygen_mg_per_l`, or `probe_north_mg_per_l` for a probe called north. An empty
//! cell is a reading that a probe missed. Any unit of the quantity will do, and a cell may carry its own.

use std::path::Path;

use super::{AERATION_TIME, OXYGEN_READING, Reading, Reaeration};
use crate::error::{AerationError, Error, Input};
use crate::table::{Faults, TableError, TableProblem, cells, lines, table_text};
use crate::units::base;
use crate::units::quantity::{self, Dimension};

/// Readings of an invented test, made from kLa = 2.4/h with noise of a stated seed.
///
/// # Examples
/// See [`parse_readings`].
pub const DEMO_READINGS: &str = include_str!("demo.csv");

/// What a header may be.
const EXAMPLE: &str = "time_min,probe_north_mg_per_l,probe_south_mg_per_l";

/// Readings of one probe.
#[derive(Debug, Clone, PartialEq)]
pub struct Probe {
    /// Its name; `oxygen` for a column without one.
    pub name: String,
    /// Its readings, in the order of time.
    pub readings: Vec<Reading>,
}

/// Reads the readings of a file.
///
/// # Errors
/// [`TableError::Unreadable`], and as [`parse_readings`].
pub fn read_readings(path: &Path) -> Result<Vec<Probe>, TableError> {
    parse_readings(&table_text(path)?)
}

/// Reads the readings of a text. Each probe is fitted, so that one that tells nothing is named here.
///
/// # Errors
/// [`TableError::Faults`] with everything that is wrong, by line.
///
/// # Examples
/// ```
/// use risewater::gas::aeration::{DEMO_READINGS, parse_readings};
///
/// let probes = parse_readings(DEMO_READINGS)?;
/// assert_eq!(probes[0].name, "north");
///
/// let error = parse_readings("time_min,oxygen_mg_per_l\n0,1.2\n0,1.4\n").unwrap_err().to_string();
/// assert!(error.starts_with("line 3, time_min \"0\""), "{error}");
/// # Ok::<(), risewater::table::TableError>(())
/// ```
pub fn parse_readings(text: &str) -> Result<Vec<Probe>, TableError> {
    let mut faults = Faults::default();
    let probes = read(text, &mut faults);
    faults.verdict(probes)
}

/// A header understood: none for times, else the probe's name.
struct Column {
    header: String,
    probe: Option<String>,
    unit: String,
}

impl Column {
    fn of(cell: &str) -> Option<Self> {
        let lower = cell.to_lowercase();
        let (probe, unit) = if let Some(unit) = lower.strip_prefix("time_") {
            (None, unit)
        } else if let Some(unit) = lower.strip_prefix("oxygen_") {
            (Some("oxygen"), unit)
        } else {
            let rest = lower.strip_prefix("probe_")?;
            // The unit is the word before `_per_` and what follows it.
            let (before, _) = rest.rsplit_once("_per_")?;
            let (name, _) = before.rsplit_once('_')?;
            (Some(name), &rest[name.len() + 1..])
        };
        Some(Self {
            header: cell.to_owned(),
            probe: probe.map(str::to_owned),
            unit: unit.replace("_per_", "/"),
        })
    }

    fn dimension(&self) -> Dimension {
        match self.probe {
            None => Dimension::Time,
            Some(_) => Dimension::Concentration,
        }
    }

    /// The value of a cell in SI units, held against its range.
    fn value(&self, cell: &str) -> Result<f64, TableProblem> {
        let usual = quantity::unit(&self.unit, self.dimension())?;
        let value = quantity::si_value(cell, self.dimension(), Some(usual))?;
        match self.probe {
            None => AERATION_TIME.check(Input::AerationTime, value)?,
            Some(_) => OXYGEN_READING.check(Input::Oxygen, 1e3 * value)?,
        };
        Ok(value)
    }
}

/// The header, by place; nothing where a column is empty or at fault.
fn header(line: usize, cells: &[&str], faults: &mut Faults) -> Vec<Option<Column>> {
    let mut columns: Vec<Option<Column>> = Vec::new();
    for cell in cells {
        let column = Column::of(cell);
        let problem = match &column {
            None if cell.is_empty() => None,
            None => Some(TableProblem::Unknown {
                what: "column",
                nearest: None,
                known: "time_min, time_s, oxygen_mg_per_l, probe_<name>_mg_per_l".to_owned(),
            }),
            Some(column) => {
                let twin = columns.iter().flatten().find(|c| c.probe == column.probe);
                match twin {
                    Some(first) => Some(TableProblem::Duplicate {
                        first: first.header.clone(),
                    }),
                    None => quantity::unit(&column.unit, column.dimension())
                        .err()
                        .map(TableProblem::Quantity),
                }
            }
        };
        let good = problem.is_none();
        if let Some(problem) = problem {
            faults.at(line, cell, "", problem);
        }
        columns.push(column.filter(|_| good));
    }
    let mut missing = |is_there: bool, column: &str, expected| {
        if !is_there {
            faults.at(line, column, "", TableProblem::MissingColumn { expected });
        }
    };
    let lower: Vec<String> = cells.iter().map(|cell| cell.to_lowercase()).collect();
    let has = |start: &str| lower.iter().any(|cell| cell.starts_with(start));
    missing(has("time"), "time_min", "the time of each reading");
    missing(
        has("oxygen") || has("probe"),
        "oxygen_mg_per_l",
        "the readings of a probe",
    );
    columns
}

fn read(text: &str, faults: &mut Faults) -> Option<Vec<Probe>> {
    let lines = lines(text);
    let Some((first, rows)) = lines.split_first() else {
        faults.at(1, "", "", TableProblem::NoHeader { example: EXAMPLE });
        return None;
    };
    let columns = header(first.0, &cells(first), faults);
    if rows.is_empty() {
        faults.at(first.0, "", "", TableProblem::NoRow { row: "reading" });
    }
    let mut probes: Vec<Vec<Reading>> = columns.iter().map(|_| Vec::new()).collect();
    let mut before: Option<f64> = None;
    for taken in rows {
        let (line, cells) = (taken.0, cells(taken));
        let filled = cells.iter().rposition(|cell| !cell.is_empty());
        if filled.is_some_and(|last| last >= columns.len()) {
            let (cells, columns) = (cells.len(), columns.len());
            faults.at(line, "", "", TableProblem::RowLength { cells, columns });
            continue;
        }
        let mut time = None;
        let mut oxygen = Vec::new();
        for (place, column) in columns.iter().enumerate() {
            let Some(column) = column else { continue };
            let cell = cells.get(place).copied().unwrap_or("");
            // A probe may miss a reading, a row not its time.
            if cell.is_empty() && column.probe.is_some() {
                continue;
            }
            match column.value(cell) {
                Ok(value) if column.probe.is_some() => oxygen.push((place, value)),
                Ok(value) => {
                    if let Some(before) = before.filter(|before| value <= *before) {
                        let error = Error::Aeration(AerationError::TimeNotLater {
                            time: base(value),
                            before: base(before),
                        });
                        faults.at(line, &column.header, cell, TableProblem::Refused(error));
                    }
                    (before, time) = (Some(value), Some(value));
                }
                Err(problem) => faults.at(line, &column.header, cell, problem),
            }
        }
        for (place, oxygen) in oxygen {
            if let Some(time) = time {
                probes[place].push(Reading {
                    time: base(time),
                    oxygen: base(oxygen),
                });
            }
        }
    }
    if !faults.is_empty() {
        return None;
    }
    let mut found = Vec::new();
    for (column, readings) in columns.into_iter().zip(probes) {
        let Some((name, column)) = column.and_then(|c| Some((c.probe.clone()?, c))) else {
            continue;
        };
        if let Err(error) = Reaeration::of(&readings) {
            faults.at(first.0, &column.header, "", TableProblem::Refused(error));
        }
        found.push(Probe { name, readings });
    }
    Some(found)
}
