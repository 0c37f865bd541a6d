//! What is wrong with a table on file: the line, the column, the value, and what would do.

use std::fmt;
use std::path::PathBuf;

use crate::error::{Error, shown};
use crate::file::Unreadable;
use crate::units::quantity::{QuantityError, unknown_unit, wrong_quantity};

/// Everything that is wrong with one table.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum TableError {
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
        faults: Vec<TableFault>,
    },
}

/// One thing wrong.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
#[non_exhaustive]
pub struct TableFault {
    /// Line of the file, counted from 1; none for what stands nowhere.
    pub line: Option<usize>,
    /// The column or key, as the file has it; empty when none is to blame.
    pub column: String,
    /// What stands there; empty when nothing does.
    pub value: String,
    /// What is wrong.
    #[serde(rename = "message", serialize_with = "shown")]
    pub problem: TableProblem,
}

impl fmt::Display for TableFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.line {
            Some(line) => write!(f, "line {line}")?,
            None => f.write_str("not in the file")?,
        }
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

/// What is wrong at one place of a table.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum TableProblem {
    /// Nothing but remarks and keys, if that, or a line that names no column.
    #[error(
        "there is no header; it names the columns, as {example}, with commas, semicolons or tabs between"
    )]
    NoHeader {
        /// A header that would do.
        example: &'static str,
    },
    /// The header once more.
    #[error("this is the header again; delete the line")]
    HeaderAgain,
    /// A header, and nothing below it.
    #[error("there is no {row} below the header")]
    NoRow {
        /// What a row stands for.
        row: &'static str,
    },
    /// A key or column that means nothing here.
    #[error("there is no such {what}; {}", match (nearest, known.is_empty()) {
        (Some(n), _) => format!("did you mean {n:?}?"),
        (None, false) => format!("known are {known}"),
        (None, true) => "free text goes into a column named note".to_owned(),
    })]
    Unknown {
        /// A key, or a column.
        what: &'static str,
        /// The nearest name that would do, if one is near.
        nearest: Option<String>,
        /// All names; empty where they are too many to list.
        known: String,
    },
    /// Two columns for the same thing.
    #[error("column {again} says what column {first} ({header}) says already; keep one of the two")]
    DuplicateColumn {
        /// Place of the first, counted from 1.
        first: usize,
        /// Its header.
        header: String,
        /// Place of the other.
        again: usize,
    },
    /// Two keys for the same thing.
    #[error("given before, in {first}; keep one of the two")]
    DuplicateKey {
        /// Where the first stands.
        first: String,
    },
    /// A column that must be there.
    #[error("this column is missing; it holds {expected}")]
    MissingColumn {
        /// What it holds.
        expected: String,
    },
    /// A column with values and no header.
    #[error("column {place} has no name in the header")]
    UnnamedColumn {
        /// Its place, counted from 1.
        place: usize,
    },
    /// A key that must be there when the caller does not state it.
    #[error("missing: give {expected}")]
    MissingKey {
        /// What to give.
        expected: &'static str,
    },
    /// A key below the header.
    #[error("this key stands below the header; put it above")]
    KeyBelowHeader,
    /// A key without its value, or with more than one.
    #[error("a key takes one value, in the cell beside it: {expected}")]
    OneValue {
        /// What is due.
        expected: &'static str,
    },
    /// A word that is none of those that would do.
    #[error("give {expected}")]
    Word {
        /// The words that would do.
        expected: &'static str,
    },
    /// The file says it, and so does the caller, otherwise.
    #[error("the file says so, but something else was given beside it; keep one of the two")]
    Contradiction,
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
    /// A cell, or the unit of a header, that is not the quantity due.
    #[error("{}", in_table(error, state))]
    Quantity {
        /// What is wrong with it.
        error: QuantityError,
        /// Where the table says the state of a gas.
        state: &'static str,
    },
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
    /// None of several columns, one of which each row fills.
    #[error("no {what} in this row; fill one of: {columns}")]
    NoneOf {
        /// What is due.
        what: &'static str,
        /// The columns that would do.
        columns: &'static str,
    },
    /// Two cells of a row for the same thing.
    #[error("given beside {other}; give one of the two in each row")]
    Beside {
        /// The other column.
        other: String,
    },
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
    /// A single time, with nothing said of the scatter.
    #[error(
        "one time tells nothing of its scatter: repeat it, or give {column:?} from earlier repeats"
    )]
    OneTime {
        /// The column for the repeatability.
        column: &'static str,
    },
    /// A name that an earlier run has.
    #[error("the run of line {first} has this name; give each run its own, since results go by it")]
    DuplicateRun {
        /// Line of the other.
        first: usize,
    },
    /// What the library refuses.
    #[error(transparent)]
    Refused(#[from] Error),
}

/// What is said of a cell or a header, whose text stands before it.
fn in_table(error: &QuantityError, state: &str) -> String {
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
            "{unit} is a flow of gas at a state that differs from one text to the next; give the flow in {} and its state {state}",
            expected.advice()
        ),
        QuantityError::UnknownUnit { unit, nearest, expected, .. } => {
            unknown_unit(unit, nearest.as_deref(), *expected)
        }
    }
}

/// Faults that a text lists; a table with more has one that causes the others.
const MOST_LINES: usize = 50;

fn lines(faults: &[TableFault]) -> String {
    let shown = faults.iter().take(MOST_LINES);
    let mut lines: Vec<String> = shown.map(ToString::to_string).collect();
    if faults.len() > MOST_LINES {
        lines.push(format!("and {} more", faults.len() - MOST_LINES));
    }
    lines.join("\n")
}
