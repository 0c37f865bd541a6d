//! A blower's table as CSV, as a spreadsheet saves it.
//!
//! Lines that start with `#` are remarks. Above the header stand lines of a key and its value:
//!
//! | key | value | needed |
//! |---|---|---|
//! | `intake_state` | a [named state](crate::air::NAMED) that the table holds for | yes, or the next three |
//! | `intake_temperature`, `intake_pressure`, `intake_humidity` | the same in parts, as `20 degC`, `101.325 kPa`, `50 %` | |
//! | `machine` | `dynamic` (side-channel, centrifugal) or `positive_displacement` | yes |
//! | `power_kind` | `shaft` or `wire` | with a power |
//!
//! The caller may give them instead. The header names the columns with their unit, in any order:
//! `pressure_rise_kPa`, `inlet_flow_m3_per_h` (in the state at the intake), `power_W`, `note`. Any unit
//! of the quantity will do, and a cell may carry its own: `150 mbar`. Cells are separated by commas,
//! semicolons or tabs; numbers have a decimal point, or with
//! semicolons and tabs a decimal comma.

mod column;
mod key;

use std::path::Path;

use super::{Blower, Machine, PowerKind, RatedPoint, Rating};
use crate::air::AirState;
use crate::error::{BlowerError, Error, Input};
use crate::table::{Faults, Line, TableError, TableProblem, cells, lines, table_text};
use column::{Header, Name, starts_header};
use key::{Key, Keys};

/// The table of an invented side-channel blower.
///
/// # Examples
/// ```
/// use risewater::supply::blower::{DEMO, Stated, parse_table};
///
/// let blower = parse_table(DEMO, &Stated::default())?;
/// assert_eq!(blower.rating().points.len(), 6);
/// # Ok::<(), risewater::supply::blower::TableError>(())
/// ```
pub const DEMO: &str = include_str!("../demo.csv");

/// What the caller knows of a table whose file may not say it.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Stated {
    /// State at the intake that the table holds for.
    pub conditions: Option<AirState>,
    /// Kind of machine.
    pub machine: Option<Machine>,
    /// Where the power was measured.
    pub power_kind: Option<PowerKind>,
}

/// Reads the table of a file.
///
/// # Errors
/// [`TableError::Unreadable`], and as [`parse_table`].
pub fn read_table(path: &Path, stated: &Stated) -> Result<Blower, TableError> {
    parse_table(&table_text(path)?, stated)
}

/// Reads the text of a table.
///
/// # Errors
/// [`TableError::Faults`] with everything that is wrong, by line.
///
/// # Examples
/// ```
/// use risewater::air::AirState;
/// use risewater::supply::blower::{Machine, Stated, parse_table};
///
/// let stated = Stated {
///     conditions: Some(AirState::DRY_20_C),
///     machine: Some(Machine::Dynamic),
///     power_kind: None,
/// };
/// let table = "pressure_rise_mbar,inlet_flow_m3_per_h\n220,0\n150,60\n0,150\n";
/// assert!(parse_table(table, &stated).is_ok());
///
/// let error = parse_table(&table.replace("150,60", "230,60"), &stated).unwrap_err().to_string();
/// assert!(error.starts_with("line 3, pressure_rise_mbar \"230\": point 2: the pressure"), "{error}");
/// ```
pub fn parse_table(text: &str, stated: &Stated) -> Result<Blower, TableError> {
    let mut faults = Faults::default();
    let blower = read(text, stated, &mut faults);
    faults.verdict(blower)
}

fn read(text: &str, stated: &Stated, faults: &mut Faults) -> Option<Blower> {
    let lines = lines(text);
    let mut keys = Keys::default();
    let mut header: Option<Header> = None;
    let mut rows: Vec<(RatedPoint, &Line)> = Vec::new();
    let (mut last, mut any_row) = (1, false);
    for taken in &lines {
        let (line, cells) = (taken.0, cells(taken));
        last = line;
        let first = cells.first().copied().unwrap_or_default();
        let key = Key::named(first);
        match (&header, key) {
            (Some(_), Some(_)) => faults.at(line, first, "", TableProblem::KeyBelowHeader),
            (Some(header), None) => {
                any_row = true;
                if header.is_complete() {
                    rows.extend(header.point(line, &cells, faults).zip(Some(taken)));
                }
            }
            (None, Some(key)) => {
                let filled = cells.iter().rposition(|cell| !cell.is_empty());
                let end = filled.map_or(1, |filled| filled + 1);
                keys.line(key, line, &cells[1..end], faults);
            }
            (None, None) if cells.iter().any(|cell| starts_header(cell)) => {
                header = Some(Header::read(line, &cells, faults));
            }
            (None, None) => faults.at(line, first, "", Key::unknown(first)),
        }
    }
    let conditions = keys.conditions(stated, faults);
    let machine = keys.machine(stated, faults);
    let has_power = header.as_ref().is_some_and(Header::has_power);
    let power_kind = keys.power_kind(stated, has_power, faults);
    let Some(header) = header else {
        let example = "pressure_rise_kPa,inlet_flow_m3_per_h,power_W";
        faults.at(last, "", "", TableProblem::NoHeader { example });
        return None;
    };
    if !any_row {
        faults.at(last, "", "", TableProblem::NoRow { row: "point" });
    }
    if !faults.is_empty() {
        return None;
    }
    let blower = Blower::new(Rating {
        points: rows.iter().map(|(point, _)| *point).collect(),
        conditions: conditions?,
        machine: machine?,
        power_kind,
    });
    blower
        .map_err(|error| match keys.place(conditions_to_blame(&error)) {
            Some((line, key, value)) => faults.at(line, key, value, error.into()),
            None => refuse(error, &header, &rows, faults),
        })
        .ok()
}

/// The keys, the likelier first, that an error about the intake's state stands for.
fn conditions_to_blame(error: &Error) -> &'static [Key] {
    let what = match error {
        Error::OutOfRange { what, .. } | Error::NotFinite { what } => *what,
        Error::Inconsistent { larger, .. } => *larger,
        _ => return &[],
    };
    match what {
        Input::IntakeTemperature | Input::AirTemperature => &[Key::Temperature, Key::State],
        Input::IntakePressure | Input::AirPressure => &[Key::Pressure, Key::State],
        Input::AirHumidity => &[Key::Humidity, Key::State],
        _ => &[],
    }
}

/// Notes an error of the library at the line and column to blame.
fn refuse(error: Error, header: &Header, rows: &[(RatedPoint, &Line)], faults: &mut Faults) {
    let (point, name) = match &error {
        Error::Blower(
            BlowerError::PointOutOfRange { point, what, .. }
            | BlowerError::PointNotFinite { point, what },
        ) => {
            let name = match what {
                Input::InletFlow => Name::Flow,
                Input::BlowerPower => Name::Power,
                _ => Name::Rise,
            };
            (Some(*point), name)
        }
        Error::Blower(BlowerError::SameFlow { point, .. }) => (Some(*point), Name::Flow),
        Error::Blower(BlowerError::RiseNotFalling { point, .. }) => (Some(*point), Name::Rise),
        Error::Blower(BlowerError::MissingPower { point }) => (Some(*point), Name::Power),
        _ => (None, Name::Note),
    };
    let row = point.and_then(|point| rows.get(point.checked_sub(1)?));
    let problem = TableProblem::Refused(error);
    match row {
        Some((_, row)) => {
            let cells = cells(row);
            let (column, value) = header.place(name, &cells);
            faults.at(row.0, column, value, problem);
        }
        None => match rows.last() {
            Some((_, row)) => faults.at(row.0, "", "", problem),
            None => faults.absent("", problem),
        },
    }
}
