//! Readings of an aeration test as CSV.

use super::{AERATION_TIME, OXYGEN_READING, Reading, Reaeration};
use crate::error::{AerationError, Error, Input};
use crate::table::{Column, Head, Layout, Table, TableError, TableProblem};
use crate::units::base;
use crate::units::quantity::Dimension;

const TIME: Column = Column::number("time", (Dimension::Time, "min"))
    .holds("the time of each reading")
    .needed(&[])
    .within(AERATION_TIME, &[Input::AerationTime]);
const PROBE: Column = Column::number("probe", (Dimension::Concentration, "mg_per_l"))
    .holds("the readings of a probe")
    .named("oxygen")
    .needed(&[])
    .within(OXYGEN_READING, &[Input::Oxygen]);

/// The table of readings.
const READINGS: &Layout = &Layout {
    row: "reading",
    example: "time_min,probe_north_mg_per_l,probe_south_mg_per_l",
    keys: &[],
    columns: &[TIME, PROBE],
};

/// Readings of an invented test, made from kLa = 2.4/h with noise of a stated seed.
///
/// # Examples
/// See [`parse_readings`].
pub const DEMO_READINGS: &str = include_str!("demo.csv");

/// Readings of one probe.
#[derive(Debug, Clone, PartialEq)]
pub struct Probe {
    /// Its name; `oxygen` for a column without one.
    pub name: String,
    /// Its readings, in the order of time.
    pub readings: Vec<Reading>,
}

/// Reads the readings of a text, a [table](crate::table).
///
#[doc = include_str!("columns.md")]
///
/// An empty cell is a reading that a probe missed. Each probe is fitted, so that one that tells nothing is named here.
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
    let table = READINGS.read(text);
    let probes = read(&table);
    table.verdict(probes)
}

fn read(table: &Table) -> Option<Vec<Probe>> {
    let mut probes: Vec<(&Head, Vec<Reading>)> =
        table.heads(&PROBE).map(|head| (head, Vec::new())).collect();
    let mut before: Option<f64> = None;
    for row in table.rows() {
        // A probe may miss a reading, a row not its time.
        let time = row.number(&TIME);
        if let (Some(time), Some(before)) = (time, before.filter(|before| time <= Some(*before))) {
            let (time, before) = (base(time), base(before));
            let error = Error::Aeration(AerationError::TimeNotLater { time, before });
            row.refuse(Some(&TIME), error);
        }
        before = time.or(before);
        for cell in row.cells(&PROBE) {
            let oxygen = row.value(cell);
            let probe = probes
                .iter_mut()
                .find(|(head, _)| std::ptr::eq(*head, cell.head));
            if let (Some(time), Some(oxygen), Some((_, readings))) = (time, oxygen, probe) {
                readings.push(Reading {
                    time: base(time),
                    oxygen: base(oxygen),
                });
            }
        }
    }
    if !table.is_sound() {
        return None;
    }
    let mut found = Vec::new();
    for (head, readings) in probes {
        if let Err(error) = Reaeration::of(&readings) {
            table.fault_at_head(head, TableProblem::Refused(error));
        }
        found.push(Probe {
            name: head.label.clone(),
            readings,
        });
    }
    Some(found)
}

#[cfg(test)]
mod tests {
    #[test]
    fn columns() {
        crate::table::tests::documented(super::READINGS, "src/gas/aeration/columns.md");
    }
}
