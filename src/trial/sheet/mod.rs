//! The trial sheet: CSV that a spreadsheet opens, read to runs.
//!
//! Lines that start with `#` above the header are remarks. The header names the columns with their
//! unit, in any order:
//!
//! | header | what | needed |
//! |---|---|---|
//! | `run`, `configuration`, `note` | texts | no |
//! | `submergence_m`, `lift_m` | depth of the air inlet, height of the outlet | yes |
//! | `water_volume_L` or `water_mass_kg` | what was caught | yes |
//! | `water_time_1_s`, `water_time_2_s`, … | time of each fill, any number | yes, or the next |
//! | `water_clock_1_s`, … | readings of a running watch started at zero, one at the end of each fill | |
//! | any of these | `no flow`, in a run in which no water came | |
//! | `water_repeatability_s` | standard deviation of a single time, where there is one | no |
//! | `air_volume_L`, `air_time_1_s` … or `air_clock_1_s` …, `air_repeatability_s` | likewise of the air in the bottle | or metered |
//! | `bottle_level_mm` | water level inside the bottle above the bath's | with a bottle |
//! | `air_temperature_degC` | of the air in the bottle | with a bottle |
//! | `air_flow_L_per_min`, `air_reference` | metered air, and the [named state](crate::air::NAMED) of its volume, or `as_read`: dry, at air temperature and barometer | instead |
//! | `water_temperature_degC`, `barometer_kPa` | of the source; of the station | yes |
//! | `salinity_g_per_kg` | fresh water where it is left out | no |
//! | `planned_air_L_per_min`, `predicted_water_L_per_min`, `predicted_fill_s` | what a [plan](super::Plan) foretells; not read | no |
//!
//! Any unit of the quantity will do in a header, and a cell may carry its own: `12.5 s`, `1500 mL`.
//! A time may be in minutes and seconds: `1:05` or `0:50.4`. Cells are separated by commas, semicolons
//! or tabs; numbers have a decimal point, or with semicolons and tabs a decimal comma.

mod column;
mod fault;
mod reading;
mod row;

use std::path::Path;

pub use fault::{SheetError, SheetFault, SheetProblem};

use super::run::Run;
use crate::file::text_of;
use column::{Column, Name};
use row::Row;

/// An invented trial of our own.
///
/// Its remarks say how it was made. It is measured with [`Instruments::default`](super::Instruments).
///
/// # Examples
/// ```
/// use risewater::trial::{DEMO, parse_sheet};
///
/// assert_eq!(parse_sheet(DEMO)?.len(), 12);
/// # Ok::<(), risewater::trial::SheetError>(())
/// ```
pub const DEMO: &str = include_str!("../demo.csv");

/// Reads the sheet of a file.
///
/// # Errors
/// [`SheetError::Unreadable`], and as [`parse_sheet`].
pub fn read_sheet(path: &Path) -> Result<Vec<Run>, SheetError> {
    let text = text_of(path).map_err(|reason| SheetError::Unreadable {
        path: path.to_owned(),
        reason,
    })?;
    parse_sheet(&text)
}

/// Reads the text of a sheet.
///
/// # Errors
/// [`SheetError::Faults`] with everything that is wrong, by line.
///
/// # Examples
/// ```
/// use risewater::trial::parse_sheet;
///
/// let sheet = "\
/// submergence_m,lift_m,water_volume_L,water_time_1_s,water_time_2_s,air_flow_L_per_min,air_reference,water_temperature_degC,barometer_kPa
/// 0.8,10 cm,12,14.6,14.9,20,dry_20_c,16,98.4
/// ";
/// let runs = parse_sheet(sheet)?;
/// assert_eq!(runs[0].lift.value, 0.1);
///
/// let error = parse_sheet(&sheet.replace("14.6", "0")).unwrap_err().to_string();
/// assert!(error.starts_with("line 2, water_time_1_s \"0\": time of the water is 0 s"), "{error}");
/// # Ok::<(), risewater::trial::SheetError>(())
/// ```
pub fn parse_sheet(text: &str) -> Result<Vec<Run>, SheetError> {
    let mut faults = Vec::new();
    let runs = read(text, &mut faults);
    if faults.is_empty() {
        return Ok(runs);
    }
    faults.sort_by_key(|fault| fault.line);
    Err(SheetError::Faults { faults })
}

fn read(text: &str, faults: &mut Vec<SheetFault>) -> Vec<Run> {
    let text = text.trim_start_matches('\u{feff}');
    // One kind of line end, since the reader counts others a line late.
    let text = text.replace("\r\n", "\n").replace('\r', "\n");
    let (remarks, body, declared) = below_remarks(&text);
    let delimiter = declared.unwrap_or_else(|| delimiter(body));
    let mut records = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(delimiter)
        .from_reader(body.as_bytes())
        .into_records()
        .map(|record| {
            let record = record.ok();
            let position = record.as_ref().and_then(csv::StringRecord::position);
            let line = position.map_or(0, |position| line_of(position, body));
            (record, line.saturating_add(remarks))
        });
    let Some((Some(header), line)) = records.next() else {
        faults.push(fault(remarks + 1, "", "", SheetProblem::NoHeader));
        return Vec::new();
    };
    let headings = match headings(&header, line, faults) {
        Ok(headings) => headings,
        Err(problem) => {
            faults.clear();
            faults.push(fault(line, "", "", problem));
            return Vec::new();
        }
    };
    let mut runs: Vec<Run> = Vec::new();
    let mut names: Vec<(String, usize)> = Vec::new();
    let mut rows = 0;
    for (record, at) in records {
        let Some(record) = record else {
            faults.push(fault(at, "", "", SheetProblem::NotCsv));
            continue;
        };
        if record.iter().all(|cell| cell.trim().is_empty()) {
            continue;
        }
        rows += 1;
        if record
            .iter()
            .map(str::trim)
            .eq(header.iter().map(str::trim))
        {
            faults.push(fault(at, "", "", SheetProblem::HeaderAgain));
            continue;
        }
        let run =
            Row::new(at, &record, &headings, delimiter, faults).and_then(|mut row| row.run(rows));
        let Some(run) = run else { continue };
        match names.iter().find(|(name, _)| *name == run.label) {
            Some((_, first)) => {
                let problem = SheetProblem::DuplicateRun { first: *first };
                faults.push(fault(at, Name::Run.text(), &run.label, problem));
            }
            None => names.push((run.label.clone(), at)),
        }
        runs.push(run);
    }
    if rows == 0 {
        faults.push(fault(line, "", "", SheetProblem::NoRun));
    }
    runs
}

/// The line of a record. Its position is where the one before it ended, above empty lines.
fn line_of(position: &csv::Position, body: &str) -> usize {
    let number = |n: u64| usize::try_from(n).unwrap_or(usize::MAX);
    let rest = body.get(number(position.byte())..).unwrap_or_default();
    let empty = rest.bytes().take_while(|byte| *byte == b'\n').count();
    number(position.line()).saturating_add(empty)
}

/// Number of lines above the header, what follows them, and a separator that they declare.
///
/// A spreadsheet may have put a remark in quotes or filled it up with separators.
fn below_remarks(text: &str) -> (usize, &str, Option<u8>) {
    let (mut lines, mut rest, mut declared) = (0, text, None);
    while !rest.is_empty() {
        let (line, below) = rest.split_once('\n').unwrap_or((rest, ""));
        let content = line.trim().trim_matches([',', ';', '\t']).trim();
        if let Some(separator) = line.trim().strip_prefix("sep=") {
            declared = separator.bytes().next();
        } else if !(content.is_empty() || content.starts_with('#') || content.starts_with("\"#")) {
            break;
        }
        lines += 1;
        rest = below;
    }
    (lines, rest, declared)
}

/// The separator of a header: semicolon or tab if there is one, else a comma.
fn delimiter(body: &str) -> u8 {
    let header = body.lines().next().unwrap_or_default();
    let found = [b';', b'\t']
        .into_iter()
        .find(|d| header.bytes().any(|byte| byte == *d));
    found.unwrap_or(b',')
}

/// One cell of the header.
#[derive(Debug, Clone, PartialEq)]
enum Heading {
    Column(Column),
    /// Told already.
    Faulty,
    Empty,
}

impl Heading {
    fn column(&self) -> Option<&Column> {
        match self {
            Self::Column(column) => Some(column),
            Self::Faulty | Self::Empty => None,
        }
    }
}

/// The header, by place; an error when it is none.
fn headings(
    header: &csv::StringRecord,
    line: usize,
    faults: &mut Vec<SheetFault>,
) -> Result<Vec<Heading>, SheetProblem> {
    if header.iter().any(|text| text.trim().contains('\n')) {
        return Err(SheetProblem::OpenQuote);
    }
    let mut columns: Vec<Heading> = Vec::new();
    let mut meant = Vec::new();
    for (place, text) in header.iter().enumerate() {
        if text.trim().is_empty() {
            columns.push(Heading::Empty);
            continue;
        }
        match column::read(text) {
            Ok(column) => {
                let same = |o: &Column| (o.name, o.number) == (column.name, column.number);
                let first = columns
                    .iter()
                    .position(|other| other.column().is_some_and(same));
                if let (Some(first), true) = (first, column.name != Name::Note) {
                    let problem = SheetProblem::DuplicateColumn {
                        first: first + 1,
                        again: place + 1,
                    };
                    faults.push(fault(line, text.trim(), "", problem));
                }
                columns.push(Heading::Column(column));
            }
            Err(problem) => {
                meant.extend(column::meant(&problem).or_else(|| column::named(text, &problem)));
                faults.push(fault(line, text.trim(), "", problem));
                columns.push(Heading::Faulty);
            }
        }
    }
    if meant.is_empty() && !columns.iter().any(|heading| heading.column().is_some()) {
        return Err(SheetProblem::NoHeader);
    }
    let has = |name: Name| {
        meant.contains(&name)
            || columns
                .iter()
                .filter_map(Heading::column)
                .any(|column| column.name == name)
    };
    for (name, expected) in missing(has) {
        let problem = SheetProblem::MissingColumn { expected };
        faults.push(fault(line, &name.example("1"), "", problem));
    }
    Ok(columns)
}

/// The columns that a sheet lacks altogether.
fn missing(has: impl Fn(Name) -> bool) -> Vec<(Name, &'static str)> {
    let any = |names: &[Name]| names.iter().any(|name| has(*name));
    let mut missing = Vec::new();
    let mut need = |names: &[Name], expected| {
        if !any(names) {
            missing.push((names[0], expected));
        }
    };
    need(
        &[Name::Submergence],
        "the depth of the air inlet below the water level of the source",
    );
    need(&[Name::Lift], "the height of the outlet above that level");
    need(
        &[Name::WaterVolume, Name::WaterMass],
        "the volume of water caught (or water_mass_kg)",
    );
    need(
        &[Name::WaterTime, Name::WaterClock],
        "the time to catch it, one column for each repeat (or water_clock_1_s)",
    );
    need(&[Name::WaterTemperature], "the temperature of the water");
    need(
        &[Name::Barometer],
        "the station barometer, not reduced to sea level",
    );
    need(
        &[Name::AirVolume, Name::AirFlow],
        "the volume of air in the bottle (or air_flow_L_per_min)",
    );
    if has(Name::AirVolume) {
        need(
            &[Name::AirTime, Name::AirClock],
            "the time to fill the bottle, one column for each repeat (or air_clock_1_s)",
        );
        need(
            &[Name::BottleLevel],
            "the water level in the bottle above that of the bath, 0 when brought together",
        );
        need(
            &[Name::AirTemperature],
            "the temperature of the air in the bottle",
        );
    }
    if has(Name::AirFlow) {
        need(
            &[Name::AirReference],
            "the state that the metered volume is at: a name such as dry_20_c, or as_read",
        );
    }
    missing
}

fn fault(line: usize, column: &str, value: &str, problem: SheetProblem) -> SheetFault {
    SheetFault {
        line,
        column: column.to_owned(),
        value: value.to_owned(),
        problem,
    }
}
