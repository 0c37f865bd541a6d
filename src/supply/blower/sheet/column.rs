//! The columns of a blower's table, and its rows to points.

use crate::name::nearest;
use crate::supply::blower::RatedPoint;
use crate::table::{Faults, TableProblem};
use crate::units::quantity::{QuantityError, power, pressure, volume_rate};

/// What a column is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Name {
    Rise,
    Flow,
    Power,
    Note,
}

/// Every column: name, a header that would do, and what it holds.
const COLUMNS: [(Name, &str, &str, &str); 4] = [
    (
        Name::Rise,
        "pressure_rise",
        "pressure_rise_kPa",
        "the pressure rise from intake to outlet",
    ),
    (
        Name::Flow,
        "inlet_flow",
        "inlet_flow_m3_per_h",
        "the volume flow in the state at the intake",
    ),
    (Name::Power, "power", "power_W", "the power"),
    (Name::Note, "note", "note", "free text"),
];

/// A header understood.
#[derive(Debug, Clone)]
pub(super) struct Column {
    name: Name,
    header: String,
    /// The unit of its numbers, as quantities spell it.
    unit: Option<String>,
}

/// The header, by place; nothing where a column is empty or at fault.
#[derive(Debug, Default)]
pub(super) struct Header {
    columns: Vec<Option<Column>>,
}

/// Whether a first cell starts a header: the name of a column, with or without a unit.
pub(super) fn starts_header(cell: &str) -> bool {
    take_apart(cell).is_some()
}

impl Header {
    /// Reads the line of the header.
    pub fn read(line: usize, cells: &[&str], faults: &mut Faults) -> Self {
        let mut columns: Vec<Option<Column>> = Vec::new();
        let mut meant = Vec::new();
        for cell in cells {
            if cell.is_empty() {
                columns.push(None);
                continue;
            }
            let column = take_apart(cell).map(|(name, unit)| Column {
                name,
                header: (*cell).to_owned(),
                unit: unit.map(|unit| unit.replace("_per_", "/")),
            });
            let problem = match &column {
                None => Some(unknown(cell)),
                Some(column) => {
                    meant.push(column.name);
                    let same =
                        |other: &&Column| other.name == column.name && other.name != Name::Note;
                    match columns.iter().flatten().find(same) {
                        Some(first) => Some(TableProblem::Duplicate {
                            first: first.header.clone(),
                        }),
                        None => column.unit_fault(),
                    }
                }
            };
            let good = problem.is_none();
            if let Some(problem) = problem {
                faults.at(line, cell, "", problem);
            }
            columns.push(column.filter(|_| good));
        }
        for (name, _, example, expected) in COLUMNS {
            if matches!(name, Name::Rise | Name::Flow) && !meant.contains(&name) {
                faults.at(line, example, "", TableProblem::MissingColumn { expected });
            }
        }
        Self { columns }
    }

    /// Whether the columns that every table needs can be read.
    pub fn is_complete(&self) -> bool {
        self.column(Name::Rise).is_some() && self.column(Name::Flow).is_some()
    }

    /// Whether there is a column for the power.
    pub fn has_power(&self) -> bool {
        self.column(Name::Power).is_some()
    }

    fn column(&self, name: Name) -> Option<(usize, &Column)> {
        let places = self.columns.iter().enumerate();
        let mut found = places.filter_map(|(place, column)| Some((place, column.as_ref()?)));
        found.find(|(_, column)| column.name == name)
    }

    /// The header of a name as the file has it, and what a row has there.
    pub fn place<'a>(&'a self, name: Name, cells: &[&'a str]) -> (&'a str, &'a str) {
        let column = self.column(name);
        column.map_or(("", ""), |(place, column)| {
            (
                column.header.as_str(),
                cells.get(place).copied().unwrap_or(""),
            )
        })
    }

    /// Reads a row; its faults told.
    pub fn point(&self, line: usize, cells: &[&str], faults: &mut Faults) -> Option<RatedPoint> {
        let filled = cells.iter().rposition(|cell| !cell.is_empty());
        if filled.is_some_and(|last| last >= self.columns.len()) {
            let (cells, columns) = (cells.len(), self.columns.len());
            faults.at(line, "", "", TableProblem::RowLength { cells, columns });
            return None;
        }
        let rise = self.value(Name::Rise, pressure, (line, cells), faults);
        let flow = self.value(Name::Flow, volume_rate, (line, cells), faults);
        // An empty power is none: the table as a whole has all or none of them.
        let power = if self.place(Name::Power, cells).1.is_empty() {
            Some(None)
        } else {
            self.value(Name::Power, power, (line, cells), faults)
                .map(Some)
        };
        Some(RatedPoint {
            pressure_rise: rise?,
            inlet_flow: flow?,
            power: power?,
        })
    }

    fn value<T>(
        &self,
        name: Name,
        parse: fn(&str) -> Result<T, QuantityError>,
        (line, cells): (usize, &[&str]),
        faults: &mut Faults,
    ) -> Option<T> {
        let (place, column) = self.column(name)?;
        let text = cells.get(place).copied().unwrap_or("");
        let own = parse(text);
        let read = match (&own, &column.unit) {
            (Err(QuantityError::MissingUnit { .. }), Some(unit)) => {
                parse(&format!("{text} {unit}"))
            }
            _ => own,
        };
        read.map_err(|error| faults.at(line, &column.header, text, error.into()))
            .ok()
    }
}

impl Column {
    /// What is wrong with the unit of the header.
    fn unit_fault(&self) -> Option<TableProblem> {
        let text = format!("1 {}", self.unit.as_ref()?);
        let error = match self.name {
            Name::Rise => pressure(&text).err(),
            Name::Flow => volume_rate(&text).err(),
            Name::Power => power(&text).err(),
            Name::Note => None,
        };
        error.map(TableProblem::Quantity)
    }
}

/// Name and unit of a header.
fn take_apart(header: &str) -> Option<(Name, Option<&str>)> {
    COLUMNS.iter().find_map(|(name, text, ..)| {
        let start = header.get(..text.len())?;
        let rest = header.get(text.len()..)?;
        if !start.eq_ignore_ascii_case(text) {
            return None;
        }
        // The key above the header is no column.
        match rest.strip_prefix('_') {
            _ if header.eq_ignore_ascii_case("power_kind") => None,
            None if rest.is_empty() => Some((*name, None)),
            None => None,
            Some(unit) => Some((*name, Some(unit))),
        }
    })
}

fn unknown(header: &str) -> TableProblem {
    let examples = COLUMNS.iter().map(|(_, _, example, _)| *example);
    let bare = COLUMNS.iter().map(|(_, text, ..)| *text);
    TableProblem::Unknown {
        what: "column",
        nearest: nearest(header, examples.clone().chain(bare)),
        known: examples.collect::<Vec<_>>().join(", "),
    }
}
