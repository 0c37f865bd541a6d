//! The trial sheet: CSV that a spreadsheet opens, read to runs.

mod column;
mod reading;

use std::path::Path;

use super::run::Run;
use crate::table::{TableError, TableProblem, table_text};
use column::{RUN, SHEET};

/// An invented trial of our own.
///
/// Its remarks say how it was made. It is measured with [`Instruments::default`](super::Instruments).
///
/// # Examples
/// ```
/// use risewater::trial::{DEMO, parse_runs};
///
/// assert_eq!(parse_runs(DEMO)?.len(), 12);
/// # Ok::<(), risewater::table::TableError>(())
/// ```
pub const DEMO: &str = include_str!("../demo.csv");

/// Reads the sheet of a file.
///
/// # Errors
/// [`TableError::Unreadable`], and as [`parse_runs`].
pub fn read_runs(path: &Path) -> Result<Vec<Run>, TableError> {
    parse_runs(&table_text(path)?)
}

/// Reads the text of a sheet, a [table](crate::table) with a row for each run.
///
#[doc = include_str!("columns.md")]
///
/// Where no water came, any cell of the water's amount or times says `no flow`. The state of a metered volume
/// is a [named one](crate::air::NAMED), or `as_read`: dry, at air temperature and barometer.
///
/// # Errors
/// [`TableError::Faults`] with everything that is wrong, by line.
///
/// # Examples
/// ```
/// use risewater::trial::parse_runs;
///
/// let sheet = "\
/// submergence_m,lift_m,water_volume_L,water_time_1_s,water_time_2_s,air_flow_L_per_min,air_reference,water_temperature_degC,barometer_kPa
/// 0.8,10 cm,12,14.6,14.9,20,dry_20_c,16,98.4
/// ";
/// let runs = parse_runs(sheet)?;
/// assert_eq!(runs[0].lift.value, 0.1);
///
/// let error = parse_runs(&sheet.replace("14.6", "0")).unwrap_err().to_string();
/// assert!(error.starts_with("line 2, water_time_1_s \"0\": time of the water is 0 s"), "{error}");
/// # Ok::<(), risewater::table::TableError>(())
/// ```
pub fn parse_runs(text: &str) -> Result<Vec<Run>, TableError> {
    let table = SHEET.read(text);
    let mut runs: Vec<Run> = Vec::new();
    let mut lines: Vec<usize> = Vec::new();
    for row in table.rows() {
        let Some(run) = reading::run(&row) else {
            continue;
        };
        let first = runs.iter().position(|other| other.label == run.label);
        if let Some(first) = first.and_then(|place| lines.get(place)) {
            let problem = TableProblem::DuplicateRun { first: *first };
            table.fault(row.line, RUN.name, &run.label, problem);
        }
        runs.push(run);
        lines.extend(row.line);
    }
    table.verdict(Some(runs))
}

#[cfg(test)]
mod tests {
    #[test]
    fn columns() {
        crate::table::tests::documented(super::SHEET, "src/trial/table/columns.md");
    }
}
