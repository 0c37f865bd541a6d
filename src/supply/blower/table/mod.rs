//! A blower's table as CSV, as a spreadsheet saves it.

use std::path::Path;

use super::{Blower, Machine, PowerKind, RatedPoint, Rating};
use crate::air::AirState;
use crate::error::{BlowerError, Error, Input};
use crate::table::{Column, Layout, Row, Table, TableError, TableProblem, table_text};
use crate::units::quantity::Dimension;
use crate::units::{AbsolutePressure, base};

const STATE: Column = Column::text("intake_state").holds("a name of `risewater list states`");
const TEMPERATURE: Column = Column::number("intake_temperature", (Dimension::Temperature, ""))
    .holds("a temperature, such as 20 degC");
const PRESSURE: Column = Column::number("intake_pressure", (Dimension::AbsolutePressure, ""))
    .holds("an absolute pressure, such as 101.325 kPa");
const HUMIDITY: Column = Column::number("intake_humidity", (Dimension::Ratio, ""))
    .holds("a relative humidity, such as 50 %");
const MACHINE: Column = Column::text("machine").holds("dynamic or positive_displacement");
const POWER_KIND: Column = Column::text("power_kind").holds("shaft or wire");

const RISE: Column = Column::number("pressure_rise", (Dimension::Pressure, "kPa"))
    .holds("the pressure rise from intake to outlet")
    .needed(&[]);
const FLOW: Column = Column::number("inlet_flow", (Dimension::VolumeRate, "m3_per_h"))
    .holds("the volume flow in the state at the intake")
    .needed(&[])
    .with_state("in intake_state, above the header");
const POWER: Column = Column::number("power", (Dimension::Power, "W")).holds("the power");

/// The table of a blower.
const TABLE: &Layout = &Layout {
    row: "point",
    example: "pressure_rise_kPa,inlet_flow_m3_per_h,power_W",
    keys: &[STATE, TEMPERATURE, PRESSURE, HUMIDITY, MACHINE, POWER_KIND],
    columns: &[RISE, FLOW, POWER, Column::note()],
};

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

/// Reads the text of a [table](crate::table).
///
#[doc = include_str!("columns.md")]
///
/// The intake's state is given by name or in its three parts, and `power_kind` where there is a power; or the
/// caller states them.
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
    let table = TABLE.read(text);
    let blower = read(&table, stated);
    table.verdict(blower)
}

fn read(table: &Table, stated: &Stated) -> Option<Blower> {
    let points: Vec<(RatedPoint, Row)> = table
        .rows()
        .filter_map(|row| Some((point(&row)?, row)))
        .collect();
    let conditions = conditions(&table.keys(), stated.conditions);
    let keys = table.keys();
    let machine = [
        ("dynamic", Machine::Dynamic),
        ("positive_displacement", Machine::PositiveDisplacement),
    ];
    let due = "machine,dynamic (side-channel, centrifugal) or machine,positive_displacement";
    let machine = word(&keys, &MACHINE, machine);
    let machine = one(&keys, &MACHINE, machine, stated.machine, Some(due));
    let kind = [("shaft", PowerKind::Shaft), ("wire", PowerKind::Wire)];
    let due = "power_kind,shaft or power_kind,wire (from the mains)";
    let due = table.has(&POWER).then_some(due);
    let kind = word(&keys, &POWER_KIND, kind);
    let power_kind = one(&keys, &POWER_KIND, kind, stated.power_kind, due);
    if !table.is_sound() {
        return None;
    }
    let blower = Blower::new(Rating {
        points: points.iter().map(|(point, _)| *point).collect(),
        conditions: conditions?,
        machine: machine?,
        power_kind,
    });
    blower.map_err(|error| refuse(error, table, &points)).ok()
}

fn point(row: &Row) -> Option<RatedPoint> {
    let rise = row.number(&RISE);
    let flow = row.number(&FLOW);
    // An empty power is none: the table as a whole has all or none of them.
    let power = row.optional(&POWER);
    Some(RatedPoint {
        pressure_rise: base(rise?),
        inlet_flow: base(flow?),
        power: power?.map(base),
    })
}

/// What is given by name or number: the outer option is for a fault.
type Given<T> = Option<Option<T>>;

/// State at the intake that the table holds for: by name, or by its three parts.
fn conditions(keys: &Row, stated: Option<AirState>) -> Option<AirState> {
    let named = keys.text(&STATE).filter(|name| !name.is_empty());
    let named = named.map(AirState::named).transpose();
    let named = named.map_err(|error| keys.refuse(Some(&STATE), error));
    let parts = [&TEMPERATURE, &PRESSURE, &HUMIDITY];
    let numbers = parts.map(|part| keys.optional(part));
    let (key, read) = match (keys.first(&[&STATE]), keys.first(&parts)) {
        (None, Some(key)) => {
            for part in parts.into_iter().filter(|part| !keys.fills(part)) {
                let expected = part.words;
                keys.fault(part, TableProblem::MissingKey { expected });
            }
            let [
                Some(Some(temperature)),
                Some(Some(pressure)),
                Some(Some(humidity)),
            ] = numbers
            else {
                return None;
            };
            let state = AirState {
                temperature: base(temperature),
                pressure: AbsolutePressure(base(pressure)),
                humidity: base(humidity),
            };
            (key, Some(Some(state)))
        }
        (Some(_), Some(key)) => {
            let first = STATE.name.to_owned();
            keys.fault(key, TableProblem::DuplicateKey { first });
            return None;
        }
        (given, None) => (
            &STATE,
            named
                .ok()
                .filter(|state| state.is_some() == given.is_some()),
        ),
    };
    let due = "the state at the intake that the table holds for: intake_state with a name of `risewater list states`, or intake_temperature, intake_pressure and intake_humidity";
    one(keys, key, read, stated, Some(due))
}

/// One of a few words.
fn word<T>(
    keys: &Row,
    key: &Column,
    words: impl IntoIterator<Item = (&'static str, T)>,
) -> Given<T> {
    match keys.text(key) {
        None => Some(None),
        Some("") => None,
        Some(text) => {
            let found = words.into_iter().find(|(word, _)| *word == text);
            if found.is_none() {
                keys.fault(key, key.word());
            }
            found.map(|(_, value)| Some(value))
        }
    }
}

/// What the file or the caller gives, if they do not differ.
fn one<T: Copy + PartialEq>(
    keys: &Row,
    key: &Column,
    read: Given<T>,
    stated: Option<T>,
    missing: Option<&'static str>,
) -> Option<T> {
    let read = read?;
    match (read, stated) {
        (Some(value), Some(other)) if value != other => {
            keys.fault(key, TableProblem::Contradiction);
            return None;
        }
        (None, None) => {
            if let Some(expected) = missing {
                keys.fault(key, TableProblem::MissingKey { expected });
            }
        }
        _ => {}
    }
    read.or(stated)
}

/// Notes an error of the library at the key, or at the line and column to blame.
fn refuse(error: Error, table: &Table, points: &[(RatedPoint, Row)]) {
    let what = match &error {
        Error::OutOfRange { what, .. } | Error::NotFinite { what } => Some(*what),
        Error::Inconsistent { larger, .. } => Some(*larger),
        _ => None,
    };
    // The likelier first.
    let keys: &[&Column] = match what {
        Some(Input::IntakeTemperature | Input::AirTemperature) => &[&TEMPERATURE, &STATE],
        Some(Input::IntakePressure | Input::AirPressure) => &[&PRESSURE, &STATE],
        Some(Input::AirHumidity) => &[&HUMIDITY, &STATE],
        _ => &[],
    };
    let given = table.keys();
    if let Some(key) = keys.iter().find(|key| given.fills(key)) {
        return given.refuse(Some(key), error);
    }
    let (point, column) = match &error {
        Error::Blower(
            BlowerError::PointOutOfRange { point, what, .. }
            | BlowerError::PointNotFinite { point, what },
        ) => {
            let column = match what {
                Input::InletFlow => &FLOW,
                Input::BlowerPower => &POWER,
                _ => &RISE,
            };
            (*point, column)
        }
        Error::Blower(BlowerError::SameFlow { point, .. }) => (*point, &FLOW),
        Error::Blower(BlowerError::RiseNotFalling { point, .. }) => (*point, &RISE),
        Error::Blower(BlowerError::MissingPower { point }) => (*point, &POWER),
        _ => return table.fault_at_end(TableProblem::Refused(error)),
    };
    match point.checked_sub(1).and_then(|place| points.get(place)) {
        Some((_, row)) => row.refuse(Some(column), error),
        None => table.fault_at_end(TableProblem::Refused(error)),
    }
}

#[cfg(test)]
mod tests {
    #[test]
    fn columns() {
        crate::table::tests::documented(super::TABLE, "src/supply/blower/table/columns.md");
    }
}
