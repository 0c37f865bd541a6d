//! What is wrong with a trial sheet: the line, the column, the value, and what would do.

use std::fmt;
use std::path::PathBuf;

use crate::error::Error;
use crate::file::Unreadable;
use crate::units::quantity::{QuantityError, unknown_unit, wrong_quantity};

/// Everything that is wrong with one sheet.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum SheetError {
    /// The file cannot be read.
    #[error("{}: {reason}{}", path.display(), if *reason == Unreadable::NotText { "; in a spreadsheet, save as CSV UTF-8" } else { "" })]
    Unreadable {
        /// The path given.
        path: PathBuf,
        /// Why.
        reason: Unreadable,
    },
    /// What it says cannot be used.
    #[error("{}", lines(faults))]
    Faults {
        /// All faults, by line.
        faults: Vec<SheetFault>,
    },
}

/// One thing wrong.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
#[non_exhaustive]
pub struct SheetFault {
    /// Line of the file, counted from 1.
    pub line: usize,
    /// The column, as its header has it; empty when none is to blame.
    pub column: String,
    /// What stands there; empty when nothing does.
    pub value: String,
    /// What is wrong.
    #[serde(rename = "message", serialize_with = "crate::error::shown")]
    pub problem: SheetProblem,
}

impl fmt::Display for SheetFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "line {}", self.line)?;
        if !self.column.is_empty() {
            let shown = self.column.replace(char::is_control, "\u{fffd}");
            write!(f, ", {shown}")?;
        }
        if !self.value.is_empty() {
            write!(f, " {:?}", self.value)?;
        }
        write!(f, ": {}", self.problem)
    }
}

/// What is wrong at one place of a sheet.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum SheetProblem {
    /// Nothing but remarks, if that, or a line that names no column.
    #[error(
        "there is no header; the first line below the remarks names the columns, with commas, semicolons or tabs between"
    )]
    NoHeader,
    /// The header once more.
    #[error("this is the header again; delete the line")]
    HeaderAgain,
    /// A header, and nothing below it.
    #[error("there is no run below the header")]
    NoRun,
    /// A header that means nothing here.
    #[error("there is no such column; {}",
        match nearest { Some(n) => format!("did you mean {n:?}?"), None => "free text goes into a column named note".to_owned() })]
    UnknownColumn {
        /// The nearest header that would do, if one is near.
        nearest: Option<String>,
    },
    /// Two columns for the same thing.
    #[error("column {again} says what column {first} says already; keep one of the two")]
    DuplicateColumn {
        /// Place of the first, counted from 1.
        first: usize,
        /// Place of the other.
        again: usize,
    },
    /// A column that must be there.
    #[error("this column is missing; it holds {expected}")]
    MissingColumn {
        /// What it holds.
        expected: &'static str,
    },
    /// A column with values and no header.
    #[error("column {place} has no name in the header")]
    UnnamedColumn {
        /// Its place, counted from 1.
        place: usize,
    },
    /// A row longer than the header.
    #[error(
        "{cells} cells under {columns} columns; a decimal comma or a comma in a text does that: write a decimal point, or separate cells by semicolons, and put texts in quotes"
    )]
    RowLength {
        /// Cells of the row.
        cells: usize,
        /// Columns of the header.
        columns: usize,
    },
    /// A quote that takes lines below into its cell.
    #[error(
        "a quote opens this cell and does not close it in its line; close it, or write no quote"
    )]
    OpenQuote,
    /// A name that an earlier run has.
    #[error("the run of line {first} has this name; give each run its own, since results go by it")]
    DuplicateRun {
        /// Line of the other.
        first: usize,
    },
    /// A line that is not CSV.
    #[error("this is not a row of CSV")]
    NotCsv,
    /// A cell, or the unit of a header, that is not the quantity due.
    #[error("{}", in_sheet(.0))]
    Quantity(#[from] QuantityError),
    /// A text that must be there.
    #[error("the cell is empty; give {expected}")]
    EmptyText {
        /// What is due.
        expected: &'static str,
    },
    /// A colon in what is no time of minutes and seconds.
    #[error(
        "minutes and seconds are written 1:05 or 1:05.4, with two digits for the seconds, below 60"
    )]
    Clock,
    /// A running watch that stands still or goes back.
    #[error(
        "a running watch must go on: the reading before is {previous_s} s (for the time of each fill by itself, name the column {times:?})"
    )]
    ClockNotRising {
        /// The reading before it, s.
        previous_s: f64,
        /// The column for single times.
        times: &'static str,
    },
    /// No reading of something that every run needs.
    #[error("no reading of {what} in this run; fill one of: {columns}")]
    NoReading {
        /// What was to be measured.
        what: &'static str,
        /// The columns that would do.
        columns: &'static str,
    },
    /// Two readings of the same thing.
    #[error("given beside {other}; give one of the two in each run")]
    Contradiction {
        /// The other column.
        other: String,
    },
    /// A single time, with nothing said of the scatter.
    #[error(
        "one time tells nothing of its scatter: repeat it, or give {column:?} from earlier repeats"
    )]
    OneTime {
        /// The column for the repeatability.
        column: &'static str,
    },
    /// A value that the library refuses.
    #[error(transparent)]
    Refused(Error),
}

/// What is said of a cell or a header, whose text stands before it.
fn in_sheet(error: &QuantityError) -> String {
    match error {
        QuantityError::Empty { expected } => {
            format!("the cell is empty; give the {expected}, in the column's unit or with its own")
        }
        QuantityError::NotANumber { expected, .. } => format!(
            "this is not a number; give the {expected}, in the column's unit or with its own such as {}",
            expected.advice()
        ),
        QuantityError::NotFinite { .. } => "this is not a finite number".to_owned(),
        QuantityError::DecimalComma { .. } => "a decimal comma; write a decimal point, and nothing between thousands (or separate cells by semicolons: then a decimal comma is read)".to_owned(),
        QuantityError::MissingUnit { expected, .. } => format!(
            "a number without a unit; put the unit in the header or in the cell: {}",
            expected.advice()
        ),
        QuantityError::WrongQuantity { unit, found, expected, .. } => {
            wrong_quantity(unit, *found, *expected)
        }
        QuantityError::StateInUnit { unit, expected, .. } => format!(
            "{unit} is a flow of gas at a state that differs from one text to the next; give the flow in {} and its state in the column \"air_reference\"",
            expected.advice()
        ),
        QuantityError::UnknownUnit { unit, nearest, expected, .. } => {
            unknown_unit(unit, nearest.as_deref(), *expected)
        }
    }
}

/// Faults that a text lists; a sheet with more has one that causes the others.
const MOST_LINES: usize = 50;

fn lines(faults: &[SheetFault]) -> String {
    let mut lines: Vec<String> = faults
        .iter()
        .take(MOST_LINES)
        .map(ToString::to_string)
        .collect();
    if faults.len() > MOST_LINES {
        lines.push(format!("and {} more", faults.len() - MOST_LINES));
    }
    lines.join("\n")
}
